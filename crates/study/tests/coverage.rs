//! Whether intervals hold what they promise: 95 % of them the true share.
//!
//! The outcome is one whose share is known exactly: a sum of normal deviates below a bound, over twelve
//! inputs of different weight, as many as decide an ear.

use lithodrome_study::{Pairs, Share, UnitPoint, normal_deviate};

const WEIGHTS: [f64; 12] = [1.0, 0.8, 0.6, 0.5, 0.5, 0.4, 0.4, 0.3, 0.3, 0.2, 0.2, 0.2];

/// A deviate with unit variance made of all inputs of a case.
fn sum(point: impl Fn(u32) -> f64) -> f64 {
    let weighted = WEIGHTS.iter().zip(0..);
    let sum: f64 = weighted
        .map(|(weight, d)| weight * normal_deviate(point(d)))
        .sum();
    sum / WEIGHTS.iter().map(|w| w * w).sum::<f64>().sqrt()
}

/// Share of trials whose interval of n ears has the true share: `[independent ears and the plain interval,
/// Sobol ears and theirs, Sobol ears and the plain interval]`.
fn coverage(share: f64, n: u32, trials: u32) -> [f64; 3] {
    let bound = normal_deviate(share);
    let holds = |found: Share| f64::from(u8::from(found.low <= share && share <= found.high));
    let mut held = [0.0; 3];
    for trial in 0..trials {
        // The first point under every seed is a plain random number.
        let drawn = |i: u32| {
            let seed = trial * n + i;
            sum(|d| UnitPoint { index: 0, seed }.at(d)) < bound
        };
        let count = (0..n).filter(|i| drawn(*i)).count();
        held[0] += holds(Share::of(count as u64, u64::from(n)));
        let filled: Vec<(u32, bool)> = (0..n)
            .map(|index| {
                let point = UnitPoint { index, seed: trial };
                (index, sum(|d| point.at(d)) < bound)
            })
            .collect();
        let found = Share::of_ears(filled.iter().copied());
        held[1] += holds(found);
        held[2] += holds(Share::of(found.count, found.of));
    }
    held.map(|held| held / f64::from(trials))
}

#[test]
fn intervals_of_a_share_hold_it_in_95_of_100_trials() {
    // Averaged over shares, as the coverage of any interval of counts goes up and down with the share.
    let shares = [0.07, 0.2, 0.45, 0.7, 0.85, 0.96];
    let mut mean = [0.0; 3];
    for share in shares {
        let found = coverage(share, 400, 300);
        println!(
            "share {share}: independent {:.3}, Sobol {:.3}, plain {:.3}",
            found[0], found[1], found[2]
        );
        for (mean, found) in mean.iter_mut().zip(found) {
            *mean += found / shares.len() as f64;
        }
    }
    println!("mean: {mean:.4?}");
    assert!((0.93..=0.97).contains(&mean[0]), "{mean:?}");
    assert!((0.93..=0.97).contains(&mean[1]), "{mean:?}");
    // The plain interval would promise less than Sobol ears hold.
    assert!(mean[2] > 0.97, "{mean:?}");
}

#[test]
fn intervals_of_a_difference_hold_it_in_95_of_100_trials() {
    // Two outcomes that go together: the same sum, with a part of its own for each.
    let (first, second) = (0.8_f64, 0.88_f64);
    let bounds = [first, second].map(normal_deviate);
    let (n, trials) = (200, 1000);
    let mut held = 0;
    for trial in 0..trials {
        let pairs = (0..n).map(|i| {
            let seed = trial * n + i;
            let at = |d| normal_deviate(UnitPoint { index: 0, seed }.at(d));
            let own = |d| 0.9 * at(0) + 0.19_f64.sqrt() * at(d);
            (own(1) < bounds[0], own(2) < bounds[1])
        });
        let difference = Pairs::of(pairs).difference();
        held += u32::from(difference.low <= second - first && second - first <= difference.high);
    }
    let coverage = f64::from(held) / f64::from(trials);
    println!("paired difference: {coverage:.4}");
    assert!((0.93..=0.97).contains(&coverage), "{coverage}");
}
