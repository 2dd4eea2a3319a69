//! Automatic residents on hidden cases. `RESIDENT_CASES=1000` measures what the README tells; the suite takes
//! a few.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use lithodrome_rehearsal::{Difficulty, Patience};
use lithodrome_study::{ResidentRow, Residents, Share, residents};

/// Cases in the suite.
const FEW: u64 = 120;

fn cases() -> u64 {
    let asked = std::env::var("RESIDENT_CASES").ok();
    asked.and_then(|text| text.parse().ok()).unwrap_or(FEW)
}

fn rows(patience: Patience, threads: usize, count: u64) -> Vec<ResidentRow> {
    let asked = Residents {
        first: 0,
        count,
        difficulty: Some(Difficulty::Common),
        patience,
        treat: false,
    };
    let rows = residents(asked, Some(threads), &|| ()).unwrap();
    rows.into_iter().map(Result::unwrap).collect()
}

fn is_held(row: &ResidentRow) -> bool {
    row.case
        .debris
        .iter()
        .any(|debris| debris.adhesion.is_some())
}

/// Cases of these that were named right in all parts.
fn right(rows: &[ResidentRow], which: impl Fn(&ResidentRow) -> bool) -> Share {
    let mine = || rows.iter().filter(|row| which(row));
    let right = mine().filter(|row| row.marks.mechanism).count();
    Share::of(right as u64, mine().count() as u64)
}

fn tell(name: &str, rows: &[ResidentRow]) -> [Share; 3] {
    let shares = [
        right(rows, |_| true),
        right(rows, is_held),
        right(rows, |row| !is_held(row)),
    ];
    let words = shares.map(|s| {
        let [share, low, high] = [s.share, s.low, s.high].map(|x| 100.0 * x);
        format!("{} of {}: {share:.1} [{low:.1}, {high:.1}]", s.count, s.of)
    });
    let nothing = rows
        .iter()
        .filter(|row| row.named.lesions.is_empty())
        .count();
    println!(
        "{name}: all {}; held {}; free {}; no canal named in {nothing}",
        words[0], words[1], words[2]
    );
    shares
}

/// Guideline of the project: the textbook names four of five common cases, one who never waits clearly fewer.
#[test]
fn the_textbook_names_most_common_cases_and_who_never_waits_clearly_fewer() {
    let n = cases();
    let textbook = tell("textbook", &rows(Patience::TEXTBOOK, 2, n));
    let hasty = rows(Patience::NEVER_WAITS, 2, n);
    let [all, held, free] = tell("never waits", &hasty);
    // What of it is the waiting, and what the second round.
    for (name, patience) in [
        (
            "never waits, two rounds",
            Patience {
                rounds: 2,
                ..Patience::NEVER_WAITS
            },
        ),
        (
            "waits, one round",
            Patience {
                rounds: 1,
                ..Patience::TEXTBOOK
            },
        ),
    ] {
        tell(name, &rows(patience, 2, n));
    }
    assert!(textbook[0].share >= 0.8, "{:?}", textbook[0]);
    assert!(all.high < textbook[0].low, "{all:?} {:?}", textbook[0]);
    // Held debris does not move before its hold has worn off, which takes longer than a glance.
    assert!(held.share < free.share, "{held:?} {free:?}");
}

#[test]
fn threads_change_nothing() {
    let [one, two] = [1, 2].map(|threads| rows(Patience::NEVER_WAITS, threads, 12));
    assert_eq!(one, two);
}
