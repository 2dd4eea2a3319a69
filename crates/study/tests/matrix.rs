//! The matrix is the same for any number of threads, in the order asked for, and mirrors.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use lithodrome_labyrinth::{Canal, Labyrinth};
use lithodrome_rehearsal::{Case, LibraryEntry, Load, library_entry, load_anatomy};
use lithodrome_study::{Cell, all_cases, matrix};

fn labyrinth() -> Arc<Labyrinth> {
    let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
    Arc::new(Labyrinth::build(&anatomy).unwrap())
}

fn entries(names: &[&str]) -> Vec<LibraryEntry> {
    names
        .iter()
        .map(|name| library_entry(name).unwrap().unwrap())
        .collect()
}

fn posterior_cases() -> Vec<Case> {
    let load = Load {
        count: 3,
        diameter_um: 50.0,
        ..Load::default()
    };
    all_cases(load)
        .into_iter()
        .filter(|c| c.canal.canal == Canal::Posterior)
        .collect()
}

#[test]
fn one_thread_and_three_give_the_same_in_the_order_asked_for() {
    let labyrinth = labyrinth();
    let manoeuvres = entries(&["right-posterior-epley-bedside", "left-posterior-semont"]);
    let cases = posterior_cases();
    let [told, runs] = [(); 2].map(|()| AtomicUsize::new(0));
    let run = |threads| {
        matrix(&labyrinth, &manoeuvres, &cases, Some(threads), &|_, of| {
            runs.store(of, Ordering::Relaxed);
            told.fetch_add(1, Ordering::Relaxed);
        })
        .unwrap()
    };
    let (one, three) = (run(1), run(3));
    assert_eq!(one, three);
    // Every run is told once, those of sitting alone too.
    let runs = runs.load(Ordering::Relaxed);
    assert_eq!(told.load(Ordering::Relaxed), 2 * runs);
    assert!(runs > 2 * cases.len());
    let order: Vec<_> = one.iter().map(|c| (c.manoeuvre, c.case)).collect();
    let asked: Vec<_> = manoeuvres
        .iter()
        .flat_map(|m| cases.iter().map(move |c| (m.name, *c)))
        .collect();
    assert_eq!(order, asked);
}

#[test]
fn the_left_manoeuvre_does_to_the_left_ear_what_the_right_one_does_to_the_right() {
    let labyrinth = labyrinth();
    let manoeuvres = entries(&[
        "right-posterior-epley-bedside",
        "left-posterior-epley-bedside",
    ]);
    let cases = posterior_cases();
    let cells = matrix(&labyrinth, &manoeuvres, &cases, None, &|_, _| ()).unwrap();
    let (right, left) = cells.split_at(cases.len());
    // The cases are the right ear's, then the left one's.
    let half = cases.len() / 2;
    let pairs = right.iter().zip(left[half..].iter().chain(&left[..half]));
    for (r, l) in pairs {
        assert_eq!(r.case.mechanism, l.case.mechanism);
        assert_eq!(r.case.canal.ear, l.case.canal.ear.other());
        let fate = |c: &Cell| (c.outcome.judged.verdict, c.outcome.judged.out, c.intended);
        assert_eq!(fate(r), fate(l), "{:?}", r.case);
        if let (Some(r), Some(l)) = (&r.outcome.judged.exit, &l.outcome.judged.exit) {
            assert_eq!(r.step, l.step);
            assert!((r.time_s - l.time_s).abs() < 1e-9);
        }
    }
    assert_eq!(right.iter().filter(|c| c.intended).count(), 1);
}
