//! History matching gives the same bytes for any number of threads and after a break.

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::atomic::{AtomicU32, Ordering};

use lithodrome_study::{ConstrainAsked, Ledger, StudyError, constrain};

fn asked(threads: usize) -> ConstrainAsked {
    ConstrainAsked {
        members: vec![18, 2],
        ears: 6,
        seed: 5,
        threads: Some(threads),
    }
}

fn run(path: &Path, threads: usize, at_most: u32) -> Result<(), StudyError> {
    let told = AtomicU32::new(0);
    let mut ledger = Ledger::open(path, &asked(threads))?;
    constrain(&asked(threads), &mut ledger, &|_, _| {
        if told.fetch_add(1, Ordering::Relaxed) + 1 >= at_most {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    })
}

#[test]
fn threads_and_breaks_do_not_change_a_byte() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one.jsonl", "two.jsonl"].map(|name| folder.path().join(name));
    run(&one, 1, u32::MAX).unwrap();
    assert!(matches!(
        run(&two, 2, 1),
        Err(StudyError::Cancelled { of: 20, .. })
    ));
    run(&two, 2, u32::MAX).unwrap();
    let [one, two] = [one, two].map(|path| std::fs::read_to_string(path).unwrap());
    assert_eq!(one, two);
    // A line for each member, after that of the question.
    assert_eq!(one.lines().count(), 21);
}
