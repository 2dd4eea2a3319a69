//! The tables of the log, version by version.

use rusqlite::{Connection, Transaction};

/// What tells a log of this program from any other data base: "LiLo" in ASCII.
pub(super) const APPLICATION_ID: i64 = 0x4C69_4C6F;

/// What each version adds to the one before; never changed once it is out.
const VERSIONS: [&str; 2] = [
    // 1: visits with tests, canals and treatments.
    "CREATE TABLE visit (
        id INTEGER PRIMARY KEY,
        date TEXT NOT NULL,
        home TEXT NOT NULL,
        patient TEXT NOT NULL,
        minutes REAL NOT NULL CHECK (minutes >= 0)
    ) STRICT;
    CREATE TABLE seen (
        visit INTEGER NOT NULL REFERENCES visit (id) ON DELETE CASCADE,
        place INTEGER NOT NULL,
        test TEXT NOT NULL,
        words TEXT NOT NULL,
        PRIMARY KEY (visit, place)
    ) STRICT;
    CREATE TABLE affected (
        visit INTEGER NOT NULL REFERENCES visit (id) ON DELETE CASCADE,
        place INTEGER NOT NULL,
        ear TEXT NOT NULL,
        canal TEXT NOT NULL,
        mechanism TEXT NOT NULL,
        PRIMARY KEY (visit, place)
    ) STRICT;
    CREATE TABLE treatment (
        visit INTEGER NOT NULL REFERENCES visit (id) ON DELETE CASCADE,
        place INTEGER NOT NULL,
        manoeuvre TEXT NOT NULL,
        ear TEXT NOT NULL,
        canal TEXT NOT NULL,
        end TEXT NOT NULL,
        PRIMARY KEY (visit, place)
    ) STRICT;",
    // 2: where debris switched to.
    "ALTER TABLE treatment ADD COLUMN switched_to TEXT;
    CREATE INDEX visit_by_home ON visit (home, date);",
];

/// The newest version.
#[expect(clippy::cast_possible_wrap, reason = "a handful")]
pub(super) const NEWEST: i64 = VERSIONS.len() as i64;

/// The version of a log; 0 if it is empty.
pub(super) fn version(db: &Connection) -> rusqlite::Result<i64> {
    db.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Brings a log to the newest version, all or nothing.
pub(super) fn migrate(db: &mut Connection) -> rusqlite::Result<()> {
    let from = version(db)?;
    if from >= NEWEST {
        return Ok(());
    }
    let change = db.transaction()?;
    for (version, sql) in (1..).zip(VERSIONS).skip(from.max(0) as usize) {
        to_version(&change, version, sql)?;
    }
    change.commit()
}

fn to_version(change: &Transaction<'_>, version: i64, sql: &str) -> rusqlite::Result<()> {
    change.execute_batch(sql)?;
    change.pragma_update(None, "application_id", APPLICATION_ID)?;
    change.pragma_update(None, "user_version", version)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_log_of_version_1_is_brought_up_and_keeps_what_it_holds() {
        let mut db = Connection::open_in_memory().unwrap();
        let first = db.transaction().unwrap();
        to_version(&first, 1, VERSIONS[0]).unwrap();
        first.commit().unwrap();
        db.execute_batch(
            "INSERT INTO visit VALUES (1, '2026-03-02', 'H-1', 'KV-07', 35);
             INSERT INTO treatment VALUES (1, 0, 'Epley', 'right', 'posterior', 'cleared');",
        )
        .unwrap();
        migrate(&mut db).unwrap();
        assert_eq!(version(&db).unwrap(), NEWEST);
        let kept: (String, Option<String>) = db
            .query_row("SELECT manoeuvre, switched_to FROM treatment", [], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .unwrap();
        assert_eq!(kept, ("Epley".to_owned(), None));
        migrate(&mut db).unwrap();
    }
}
