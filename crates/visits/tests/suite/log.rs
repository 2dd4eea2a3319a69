//! The log: whole or not at all, whoever is killed and whoever else looks on.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::Mechanism;
use lithodrome_visits::{
    Affected, Code, Date, Log, LogError, SeenTest, Table, Treatment, TreatmentEnd, Visit,
    export_log,
};

/// The n-th visit of a made-up service; how much it holds follows from n, so that a half one shows.
fn visit(n: u64) -> Visit {
    let (ear, canal) = (Ear::Left, Canal::Posterior);
    Visit {
        date: Date::new("2026-04-17").unwrap(),
        home: Code::new(&format!("H-{}", 1 + n % 4)).unwrap(),
        patient: Code::new(&format!("KV-{}", n % 100_000)).unwrap(),
        minutes: n as f64 % 60.0,
        seen: (0..=n % 5)
            .map(|i| SeenTest {
                test: format!("Test {i}"),
                words: "=upbeating, \"upper pole\" toward the left ear".to_owned(),
            })
            .collect(),
        affected: (0..n % 3)
            .map(|_| Affected {
                ear,
                canal,
                mechanism: Mechanism::CupulaUtricleSide,
            })
            .collect(),
        treatments: (0..n % 4)
            .map(|i| Treatment {
                manoeuvre: "Epley with the whole body".to_owned(),
                ear,
                canal,
                end: if i == 0 {
                    TreatmentEnd::Switched { to: Canal::Lateral }
                } else {
                    TreatmentEnd::Cleared
                },
            })
            .collect(),
    }
}

#[test]
fn what_is_written_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("deep/down/visits.sqlite");
    let written: Vec<Visit> = (0..12).map(visit).collect();
    {
        let mut log = Log::open(&path).unwrap();
        for v in &written {
            log.add(v).unwrap();
        }
    }
    let log = Log::open(&path).unwrap();
    let read: Vec<Visit> = log.visits().unwrap().into_iter().map(|v| v.visit).collect();
    assert_eq!(read, written);
}

#[test]
fn a_second_window_reads_and_does_not_write() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visits.sqlite");
    let mut first = Log::open(&path).unwrap();
    first.add(&visit(1)).unwrap();
    let mut second = Log::open(&path).unwrap();
    assert!(second.is_read_only() && !first.is_read_only());
    assert_eq!(second.visits().unwrap().len(), 1);
    let error = second.add(&visit(2)).unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("is open in another window; here it can only be read"),
        "{error}"
    );
    first.add(&visit(3)).unwrap();
    assert_eq!(second.visits().unwrap().len(), 2);
    drop(first);
    drop(second);
    assert!(!Log::open(&path).unwrap().is_read_only());
}

#[test]
fn values_that_cannot_be_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut log = Log::open(&folder.path().join("a.sqlite")).unwrap();
    let mut bad = visit(7);
    bad.minutes = f64::NAN;
    assert!(
        log.add(&bad)
            .unwrap_err()
            .to_string()
            .starts_with("minutes: found NaN")
    );
    let mut bad = visit(7);
    bad.seen[0].words = "a\nb".to_owned();
    assert!(
        log.add(&bad)
            .unwrap_err()
            .to_string()
            .starts_with("seen.words: found a text of 3")
    );
    let mut bad = visit(7);
    bad.treatments[0].end = TreatmentEnd::Switched {
        to: Canal::Posterior,
    };
    assert!(
        log.add(&bad)
            .unwrap_err()
            .to_string()
            .starts_with("treatments.end.to: found posterior")
    );
    assert!(log.visits().unwrap().is_empty());
}

#[test]
fn other_files_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let text = folder.path().join("text.sqlite");
    std::fs::write(
        &text,
        "not a data base, whatever its name says. ".repeat(100),
    )
    .unwrap();
    assert!(matches!(Log::open(&text), Err(LogError::Foreign { .. })));
    let other = folder.path().join("other.sqlite");
    let db = rusqlite::Connection::open(&other).unwrap();
    db.execute_batch("CREATE TABLE a (b); PRAGMA user_version = 1")
        .unwrap();
    drop(db);
    assert!(matches!(Log::open(&other), Err(LogError::Foreign { .. })));
    let newer = folder.path().join("newer.sqlite");
    drop(Log::open(&newer).unwrap());
    let db = rusqlite::Connection::open(&newer).unwrap();
    db.execute_batch("PRAGMA user_version = 99").unwrap();
    drop(db);
    let message = Log::open(&newer).unwrap_err().to_string();
    assert!(
        message.contains("found version 99 of the log, allowed is up to 2"),
        "{message}"
    );
}

#[test]
fn tables_and_backups_are_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visits.sqlite");
    let mut log = Log::open(&path).unwrap();
    for n in 0..5 {
        log.add(&visit(n)).unwrap();
    }
    let plain = folder.path().join("plain.csv");
    export_log(&log, Table::Csv, &plain).unwrap();
    let mut table = csv::Reader::from_path(&plain).unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 5);
    assert_eq!(&rows[3][8], "switched; cleared; cleared");
    let sheet = folder.path().join("sheet.csv");
    export_log(&log, Table::Spreadsheet, &sheet).unwrap();
    let bytes = std::fs::read(&sheet).unwrap();
    assert!(bytes.starts_with(b"\xef\xbb\xbfvisit,date,home"));
    // Backup over an old file, while the log is open; the copy opens as a log.
    let copy = folder.path().join("copy.sqlite");
    std::fs::write(&copy, "old").unwrap();
    log.back_up_to(&copy).unwrap();
    assert_eq!(
        Log::open(&copy).unwrap().visits().unwrap(),
        log.visits().unwrap()
    );
    assert!(log.back_up_to(&path).is_err());
    assert_eq!(log.visits().unwrap().len(), 5);
    let odd: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.starts_with(".lithodrome-"))
        .collect();
    assert!(odd.is_empty(), "{odd:?}");
}

const LOG_OF_CHILD: &str = "LITHODROME_TEST_LOG";

/// Not a test of its own: the process that the next one kills. It writes visits and tells the number of
/// each as soon as it is written.
#[test]
fn child_that_writes() {
    let Ok(path) = std::env::var(LOG_OF_CHILD) else {
        return;
    };
    let mut log = Log::open(Path::new(&path)).unwrap();
    let from = log.visits().unwrap().len() as u64;
    println!();
    for n in from.. {
        let id = log.add(&visit(n)).unwrap();
        println!("written {id}");
    }
}

/// 100 processes are killed while they write. What one of them said it had written is there and whole,
/// and at most one visit more (killed between the commit and the telling).
#[test]
fn a_hundred_kills_lose_nothing_and_leave_nothing_half() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visits.sqlite");
    drop(Log::open(&path).unwrap());
    let mut told = 0;
    for kill in 0..100_u64 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args([
                "--exact",
                "log::child_that_writes",
                "--nocapture",
                "--test-threads=1",
            ])
            .env(LOG_OF_CHILD, &path)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        // After the first word of it, and then some time that differs from kill to kill.
        for line in lines.by_ref() {
            if let Some(id) = line.unwrap().strip_prefix("written ") {
                told = id.parse::<u64>().unwrap();
                break;
            }
        }
        std::thread::sleep(Duration::from_micros(kill * 137 % 4000));
        child.kill().unwrap();
        child.wait().unwrap();
        for line in lines {
            if let Some(id) = line.unwrap_or_default().strip_prefix("written ") {
                told = id.parse::<u64>().unwrap();
            }
        }
        let log = Log::open(&path).unwrap();
        assert!(
            !log.is_read_only(),
            "the killed process still holds the log"
        );
        let visits = log.visits().unwrap();
        let n = visits.len() as u64;
        assert!(
            (told..=told + 1).contains(&n),
            "kill {kill}: {n} visits, {told} told"
        );
        for (i, logged) in (0..).zip(&visits) {
            assert_eq!(logged.visit, visit(i), "kill {kill}: visit {i} is half");
        }
    }
    let db = rusqlite::Connection::open(&path).unwrap();
    let sound: String = db
        .query_row("PRAGMA integrity_check", [], |r| r.get(0))
        .unwrap();
    assert_eq!(sound, "ok");
    assert!(told >= 100, "{told}");
}
