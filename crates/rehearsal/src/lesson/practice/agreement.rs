//! How far two readers agree beyond chance.

/// Cohen's kappa of pairs of words; `None` without pairs, or if chance alone would agree always.
///
/// # Source
/// Cohen 1960, Educ Psychol Meas 20:37: (p_o − p_e) / (1 − p_e).
pub fn cohen_kappa<T: PartialEq>(pairs: &[(T, T)]) -> Option<f64> {
    let n = pairs.len() as f64;
    if pairs.is_empty() {
        return None;
    }
    let observed = pairs.iter().filter(|(a, b)| a == b).count() as f64 / n;
    // Every first word against every second one.
    let by_chance = pairs
        .iter()
        .map(|(a, _)| pairs.iter().filter(|(_, b)| a == b).count() as f64)
        .sum::<f64>()
        / (n * n);
    (by_chance < 1.0).then(|| (observed - by_chance) / (1.0 - by_chance))
}

/// Kappa of the last `window` pairs at every pair from the `window`-th on.
pub fn kappa_over_time<T: PartialEq>(pairs: &[(T, T)], window: usize) -> Vec<Option<f64>> {
    pairs.windows(window.max(1)).map(cohen_kappa).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kappa_is_that_of_the_worked_example() {
        // Hand calculation: 20 yes-yes, 15 no-no, 5 yes-no, 10 no-yes: p_o 0.7, p_e 0.5, kappa 0.4.
        let mut pairs = vec![("yes", "yes"); 20];
        pairs.extend(vec![("no", "no"); 15]);
        pairs.extend(vec![("yes", "no"); 5]);
        pairs.extend(vec![("no", "yes"); 10]);
        assert!((cohen_kappa(&pairs).unwrap() - 0.4).abs() < 1e-12);
        assert_eq!(cohen_kappa::<u8>(&[]), None);
        assert_eq!(cohen_kappa(&[(1, 1), (1, 1)]), None);
        assert_eq!(kappa_over_time(&pairs, 40).len(), 11);
    }
}
