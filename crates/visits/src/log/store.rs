//! The file of the log: opened by one window to write, by others to read.

use std::fs::File;
use std::path::{Path, PathBuf};

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::Mechanism;
use rusqlite::{Connection, OpenFlags, Row, params};
use serde::Serialize;

use super::code::Code;
use super::date::Date;
use super::entry::{Affected, SeenTest, Treatment, TreatmentEnd, Visit};
use super::error::LogError;
use super::schema::{APPLICATION_ID, NEWEST, migrate, version};

/// Longest text of a test, a finding or a manoeuvre, signs.
const LONGEST_TEXT: usize = 400;
/// Longest time with one patient, minutes.
const LONGEST_MINUTES: f64 = 600.0;
/// Most tests or treatments of one visit.
const MOST_ENTRIES: usize = 60;

/// An open log.
#[derive(Debug)]
pub struct Log {
    db: Connection,
    path: PathBuf,
    /// Held while the log may be written; the system lets go of it however the program ends.
    lock: Option<File>,
}

/// A visit with its number in the log.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoggedVisit {
    /// Its number.
    pub id: i64,
    /// What was written down.
    #[serde(flatten)]
    pub visit: Visit,
}

/// Where the log is kept if nobody says otherwise.
pub fn default_log_path() -> Result<PathBuf, LogError> {
    let folder = dirs::data_dir().ok_or(LogError::NoDataFolder)?;
    Ok(folder.join("lithodrome").join("visits.sqlite"))
}

impl Log {
    /// Opens a log, makes it if it is not there, brings it to the newest version. If another window holds
    /// it, it can only be read here.
    pub fn open(path: &Path) -> Result<Log, LogError> {
        let lock_was_there = lock_path(path).exists();
        let opened = Log::open_locked(path);
        if !lock_was_there
            && matches!(
                opened,
                Err(LogError::Open { .. } | LogError::Foreign { .. })
            )
        {
            // Beside what is no log there is nothing to lock.
            let _ = std::fs::remove_file(lock_path(path));
        }
        opened
    }

    /// Opens a log that is there; makes nothing.
    ///
    /// # Errors
    /// As [`Log::open`], and no such log.
    pub fn open_there(path: &Path) -> Result<Log, LogError> {
        if path.exists() {
            Log::open(path)
        } else {
            Err(LogError::Missing {
                path: path.to_owned(),
            })
        }
    }

    fn open_locked(path: &Path) -> Result<Log, LogError> {
        let fault = |reason: String| LogError::Open {
            path: path.to_owned(),
            reason,
        };
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(|e| fault(e.to_string()))?;
        }
        let lock = lock_beside(path).map_err(|e| fault(e.to_string()))?;
        let flags = if lock.is_some() {
            OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE
        } else {
            OpenFlags::SQLITE_OPEN_READ_ONLY
        };
        let db = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
            .map_err(|e| fault(e.to_string()))?;
        let mut log = Log {
            db,
            path: path.to_owned(),
            lock,
        };
        log.prepare()?;
        Ok(log)
    }

    /// Another window holds the log.
    pub fn is_read_only(&self) -> bool {
        self.lock.is_none()
    }

    /// Its file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn prepare(&mut self) -> Result<(), LogError> {
        let foreign = |e: &rusqlite::Error| LogError::Foreign {
            path: self.path.clone(),
            reason: e.to_string(),
        };
        let found = version(&self.db).map_err(|e| foreign(&e))?;
        let id: i64 = self
            .db
            .query_row("PRAGMA application_id", [], |row| row.get(0))
            .map_err(|e| foreign(&e))?;
        let tables: i64 = self
            .db
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(|e| foreign(&e))?;
        if tables > 0 && id != APPLICATION_ID {
            return Err(LogError::Foreign {
                path: self.path.clone(),
                reason: "another program made it".to_owned(),
            });
        }
        if found > NEWEST {
            return Err(LogError::Newer {
                path: self.path.clone(),
                found,
                allowed: NEWEST,
            });
        }
        let writes = self.lock.is_some();
        self.db
            .busy_timeout(std::time::Duration::from_secs(5))
            .and_then(|()| self.db.pragma_update(None, "foreign_keys", true))
            .map_err(|e| self.fault(&e))?;
        if writes {
            // A commit is on the disk, the folder's entry of its journal too, before it is told.
            self.db
                .pragma_update(None, "synchronous", "EXTRA")
                .and_then(|()| migrate(&mut self.db))
                .map_err(|e| self.fault(&e))?;
        }
        Ok(())
    }

    fn fault(&self, error: &rusqlite::Error) -> LogError {
        LogError::Database {
            path: self.path.clone(),
            reason: error.to_string(),
        }
    }

    /// Writes a visit down, whole or not at all, and gives its number. When this returns it is on the
    /// disk.
    pub fn add(&mut self, visit: &Visit) -> Result<i64, LogError> {
        check(visit)?;
        if self.is_read_only() {
            return Err(LogError::ReadOnly {
                path: self.path.clone(),
            });
        }
        insert(&mut self.db, visit).map_err(|e| self.fault(&e))
    }

    /// All visits, the earliest first.
    pub fn visits(&self) -> Result<Vec<LoggedVisit>, LogError> {
        read_all(&self.db).map_err(|e| self.fault(&e))
    }

    /// A copy of the whole log in another file, complete or not at all. A file that is there is
    /// replaced.
    pub fn back_up_to(&self, target: &Path) -> Result<(), LogError> {
        let same = target.canonicalize().ok() == self.path.canonicalize().ok();
        if same && target.exists() {
            return Err(LogError::Field {
                field: "backup".to_owned(),
                found: target.display().to_string(),
                allowed: "a file other than the log itself",
            });
        }
        let write = |reason: String| crate::VisitError::Write {
            path: target.to_owned(),
            reason,
        };
        let folder = match target.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        let room = tempfile::Builder::new()
            .prefix(".lithodrome-")
            .tempdir_in(folder)
            .map_err(|e| write(e.to_string()))?;
        let copy = room.path().join("copy.sqlite");
        let name = copy.to_string_lossy().into_owned();
        self.db
            .execute("VACUUM INTO ?1", params![name])
            .map_err(|e| self.fault(&e))?;
        File::open(&copy)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&copy, target))
            .map_err(|e| write(e.to_string()))?;
        Ok(())
    }
}

fn lock_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".lock");
    PathBuf::from(name)
}

/// The lock beside a log, or `None` if another window holds it.
fn lock_beside(path: &Path) -> std::io::Result<Option<File>> {
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(lock_path(path))?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(std::fs::TryLockError::WouldBlock) => Ok(None),
        Err(std::fs::TryLockError::Error(e)) => Err(e),
    }
}

fn check(visit: &Visit) -> Result<(), LogError> {
    let bad = |field: &str, found: String, allowed| LogError::Field {
        field: field.to_owned(),
        found,
        allowed,
    };
    if !(0.0..=LONGEST_MINUTES).contains(&visit.minutes) {
        return Err(bad("minutes", visit.minutes.to_string(), "0 to 600"));
    }
    for (field, n) in [
        ("seen", visit.seen.len()),
        ("affected", visit.affected.len()),
        ("treatments", visit.treatments.len()),
    ] {
        if n > MOST_ENTRIES {
            return Err(bad(field, n.to_string(), "up to 60 entries"));
        }
    }
    let seen = visit
        .seen
        .iter()
        .flat_map(|s| [("seen.test", &s.test), ("seen.words", &s.words)]);
    let done = visit
        .treatments
        .iter()
        .map(|t| ("treatments.manoeuvre", &t.manoeuvre));
    for (field, text) in seen.chain(done) {
        let n = text.chars().count();
        if text.trim().is_empty() || n > LONGEST_TEXT || text.chars().any(char::is_control) {
            let found = format!("a text of {n} signs");
            return Err(bad(field, found, "1 to 400 signs in one line"));
        }
    }
    for treatment in &visit.treatments {
        if treatment.end.switched_to() == Some(treatment.canal) {
            let found = treatment.canal.name().to_owned();
            return Err(bad(
                "treatments.end.to",
                found,
                "another canal than the treated one",
            ));
        }
    }
    Ok(())
}

fn insert(db: &mut Connection, visit: &Visit) -> rusqlite::Result<i64> {
    let change = db.transaction()?;
    change.execute(
        "INSERT INTO visit (date, home, patient, minutes) VALUES (?1, ?2, ?3, ?4)",
        params![
            visit.date.as_str(),
            visit.home.as_str(),
            visit.patient.as_str(),
            visit.minutes
        ],
    )?;
    let id = change.last_insert_rowid();
    for (place, seen) in (0_i64..).zip(&visit.seen) {
        change.execute(
            "INSERT INTO seen VALUES (?1, ?2, ?3, ?4)",
            params![id, place, seen.test, seen.words],
        )?;
    }
    for (place, a) in (0_i64..).zip(&visit.affected) {
        change.execute(
            "INSERT INTO affected VALUES (?1, ?2, ?3, ?4, ?5)",
            params![id, place, a.ear.name(), a.canal.name(), a.mechanism.name()],
        )?;
    }
    for (place, t) in (0_i64..).zip(&visit.treatments) {
        change.execute(
            "INSERT INTO treatment (visit, place, manoeuvre, ear, canal, end, switched_to) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![
                id,
                place,
                t.manoeuvre,
                t.ear.name(),
                t.canal.name(),
                t.end.name(),
                t.end.switched_to().map(Canal::name)
            ],
        )?;
    }
    change.commit()?;
    Ok(id)
}

fn read_all(db: &Connection) -> rusqlite::Result<Vec<LoggedVisit>> {
    // One transaction, so that all tables are of the same moment.
    let moment = db.unchecked_transaction()?;
    let mut all = moment
        .prepare("SELECT id, date, home, patient, minutes FROM visit ORDER BY date, id")?
        .query_map([], |row| {
            let visit = Visit {
                date: parsed(row, 1, |t| Date::new(t).ok())?,
                home: parsed(row, 2, |t| Code::new(t).ok())?,
                patient: parsed(row, 3, |t| Code::new(t).ok())?,
                minutes: row.get(4)?,
                seen: Vec::new(),
                affected: Vec::new(),
                treatments: Vec::new(),
            };
            Ok(LoggedVisit {
                id: row.get(0)?,
                visit,
            })
        })?
        .collect::<rusqlite::Result<Vec<_>>>()?;
    let mut seen =
        moment.prepare("SELECT test, words FROM seen WHERE visit = ?1 ORDER BY place")?;
    let mut affected = moment
        .prepare("SELECT ear, canal, mechanism FROM affected WHERE visit = ?1 ORDER BY place")?;
    let mut treatments = moment.prepare(
        "SELECT manoeuvre, ear, canal, end, switched_to FROM treatment WHERE visit = ?1 ORDER BY place",
    )?;
    for LoggedVisit { id, visit } in &mut all {
        visit.seen = seen
            .query_map([*id], |row| {
                Ok(SeenTest {
                    test: row.get(0)?,
                    words: row.get(1)?,
                })
            })?
            .collect::<rusqlite::Result<_>>()?;
        visit.affected = affected
            .query_map([*id], |row| {
                Ok(Affected {
                    ear: parsed(row, 0, ear)?,
                    canal: parsed(row, 1, canal)?,
                    mechanism: parsed(row, 2, |t| {
                        Mechanism::ALL.into_iter().find(|m| m.name() == t)
                    })?,
                })
            })?
            .collect::<rusqlite::Result<_>>()?;
        visit.treatments = treatments
            .query_map([*id], treatment)?
            .collect::<rusqlite::Result<_>>()?;
    }
    Ok(all)
}

fn treatment(row: &Row<'_>) -> rusqlite::Result<Treatment> {
    let to: Option<String> = row.get(4)?;
    let to = to.as_deref().and_then(canal);
    Ok(Treatment {
        manoeuvre: row.get(0)?,
        ear: parsed(row, 1, ear)?,
        canal: parsed(row, 2, canal)?,
        end: parsed(row, 3, |text| {
            Some(match text {
                "cleared" => TreatmentEnd::Cleared,
                "not cleared" => TreatmentEnd::NotCleared,
                "stopped" => TreatmentEnd::Stopped,
                "switched" => TreatmentEnd::Switched { to: to? },
                _ => return None,
            })
        })?,
    })
}

fn ear(text: &str) -> Option<Ear> {
    [Ear::Right, Ear::Left]
        .into_iter()
        .find(|e| e.name() == text)
}

fn canal(text: &str) -> Option<Canal> {
    [Canal::Anterior, Canal::Lateral, Canal::Posterior]
        .into_iter()
        .find(|c| c.name() == text)
}

/// A column's text as what it means.
fn parsed<T>(
    row: &Row<'_>,
    column: usize,
    read: impl Fn(&str) -> Option<T>,
) -> rusqlite::Result<T> {
    let text: String = row.get(column)?;
    read(&text).ok_or_else(|| {
        let reason = format!("\"{text}\" is not known here");
        rusqlite::Error::FromSqlConversionFailure(
            column,
            rusqlite::types::Type::Text,
            reason.into(),
        )
    })
}
