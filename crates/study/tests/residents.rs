//! Automatic residents on hidden cases.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use lithodrome_rehearsal::{Difficulty, Patience};
use lithodrome_study::{ResidentRow, Residents, residents};

fn rows(patience: Patience, threads: usize) -> Vec<ResidentRow> {
    let asked = Residents {
        first: 0,
        count: 20,
        difficulty: Some(Difficulty::Common),
        patience,
        treat: false,
    };
    let rows = residents(asked, Some(threads), &|| ()).unwrap();
    rows.into_iter().map(Result::unwrap).collect()
}

/// The thousand cases of the README are computed by `lithodrome-cli lesson --seed 0 --cases 1000`.
#[test]
fn waiting_names_more_and_threads_change_nothing() {
    let textbook = rows(Patience::TEXTBOOK, 2);
    let hasty = rows(Patience::NEVER_WAITS, 1);
    assert_eq!(hasty, rows(Patience::NEVER_WAITS, 2));
    let right = |rows: &[ResidentRow]| rows.iter().filter(|row| row.marks.mechanism).count();
    assert!(right(&textbook) >= 16, "{} of 20", right(&textbook));
    assert!(right(&hasty) < right(&textbook));
}
