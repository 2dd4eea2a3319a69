//! What an ear costs: `cargo bench -p lithodrome-labyrinth`.
//!
//! Criterion's figures for the mean ear and for drawn ones, numbers and both ears built.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a bench of files that are shipped may fail loudly; its groups are made by a macro"
)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
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

criterion_group!(benches, building);
criterion_main!(benches);
