//! What an ear costs: `cargo bench -p lithodrome-labyrinth`.
//!
//! Criterion's figures for the mean ear and for drawn ones, numbers and both ears built, then the time of
//! the processor an ear, which other work on the machine changes less; `-- table` prints that alone.
#![allow(
    clippy::unwrap_used,
    reason = "a bench of files that are shipped may fail loudly"
)]

use std::hint::black_box;

use cpu_time::ThreadTime;
use criterion::Criterion;
use lithodrome_labyrinth::{Anatomy, Labyrinth, Variation};

fn building(criterion: &mut Criterion) {
    let mean = Anatomy::named("mean-adult").unwrap().unwrap();
    let variation = Variation::published();
    criterion.bench_function("mean ear", |b| {
        b.iter(|| Labyrinth::build(black_box(&mean)).unwrap());
    });
    criterion.bench_function("drawn ear", |b| {
        let mut seed = 0;
        b.iter(|| {
            seed = (seed + 1) % 200;
            black_box(variation.labyrinth(&mean, seed).ok())
        });
    });
    criterion.bench_function("numbers of a draw", |b| {
        let mut seed = 0;
        b.iter(|| {
            seed += 1;
            black_box(variation.draw(seed))
        });
    });
}

/// Processor time of `count` calls, us each, the least of five rounds.
fn processor_us(count: u64, mut call: impl FnMut(u64)) -> f64 {
    (0..5)
        .map(|_| {
            let start = ThreadTime::now();
            (0..count).for_each(&mut call);
            start.elapsed().as_secs_f64() * 1e6 / count as f64
        })
        .fold(f64::INFINITY, f64::min)
}

fn table() {
    let mean = Anatomy::named("mean-adult").unwrap().unwrap();
    let variation = Variation::published();
    let built = processor_us(100, |_| {
        black_box(Labyrinth::build(&mean).unwrap());
    });
    let drawn = processor_us(100, |seed| {
        black_box(variation.labyrinth(&mean, seed).ok());
    });
    println!("processor time: mean ear {built:.0} us, drawn ear {drawn:.0} us");
}

fn main() {
    // `cargo test --benches` only wants to see that it starts.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    if !std::env::args().any(|a| a == "table") {
        let mut criterion = Criterion::default().configure_from_args();
        building(&mut criterion);
        criterion.final_summary();
    }
    table();
}
