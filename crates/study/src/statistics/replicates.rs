//! How far counts of a Sobol population scatter, told from its independent sequences.
//!
//! Points that fill the unit cube evenly give shares that scatter less than chance does, by an amount that
//! nobody knows beforehand. A population is therefore [`REPLICATES`] sequences with scrambles of their own,
//! ear by ear in turn; what their means differ by tells how far the mean of all is off (randomised
//! quasi-Monte Carlo: Owen 1997, Ann Stat 25:1541; L'Ecuyer & Lemieux 2002).

/// Independent sequences of one population.
pub const REPLICATES: u32 = 16;

/// Fewest ears in a sequence; with fewer, counts are taken to scatter as chance does.
const LEAST: usize = 5;

/// Square of 2.131450, the 97.5 % point of Student's t with 15 degrees of freedom, over 1.959964, that of
/// the normal distribution: the scatter is itself only known from 16 means.
const WIDER: f64 = 1.182_64;

/// Variance of a mean over ears relative to that of as many independent ones, times what makes a normal
/// interval one of Student's; 1 where it cannot be told. Values are given with the index of their ear.
pub fn effect(values: impl IntoIterator<Item = (u32, f64)>) -> f64 {
    let mut sums = [(0_usize, 0.0_f64); REPLICATES as usize];
    let mut squares = 0.0;
    for (index, value) in values {
        let (n, sum) = &mut sums[(index % REPLICATES) as usize];
        *n += 1;
        *sum += value;
        squares += value * value;
    }
    let n: usize = sums.iter().map(|(n, _)| n).sum();
    if sums.iter().any(|(n, _)| *n < LEAST) {
        return 1.0;
    }
    let mean = sums.iter().map(|(_, sum)| sum).sum::<f64>() / n as f64;
    let variance = squares / n as f64 - mean * mean;
    if variance <= 1e-12 {
        return 1.0;
    }
    // Each sequence's mean, in standard deviations that it would have by chance.
    let scatter: f64 = sums
        .iter()
        .map(|(n, sum)| (sum / *n as f64 - mean).powi(2) * *n as f64 / variance)
        .sum();
    (WIDER * scatter / f64::from(REPLICATES - 1)).clamp(0.05, 4.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sequences_that_agree_narrow_and_those_that_differ_widen() {
        // Each sequence has 5 ones of 10: no scatter at all.
        let alike = (0..160).map(|i| (i, f64::from((i / 16) % 2)));
        assert!(effect(alike) < 0.06);
        // Half of the sequences have all the ones.
        let apart = (0..160).map(|i| (i, f64::from(u8::from(i % 16 < 8))));
        assert!(effect(apart) > 3.9);
        // Too few ears, or nothing that differs: as chance does.
        let few = (0..60).map(|i| (i, f64::from(i % 2)));
        assert!((effect(few) - 1.0).abs() < 1e-12);
        assert!((effect((0..160).map(|i| (i, 1.0))) - 1.0).abs() < 1e-12);
    }
}
