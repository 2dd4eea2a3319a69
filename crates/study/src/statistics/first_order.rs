//! How much of an outcome's variance one input explains alone, from draws that are there anyway.
//!
//! The draws are sorted by the input and cut into bins of equal size; what the bins' means differ by more
//! than chance makes them is the input's own part.

/// First-order index of an input, 0 to 1 but for chance (a little below 0 for inputs without effect).
/// `None` for fewer than 20 draws or an outcome that never differs.
///
/// # Equation
/// S = (between − (B − 1) · mean square within) / total, sums of squares over B bins: the index of Sobol
/// 1993, Math Model Comput Exp 1:407, estimated by one-way analysis of variance (ω² without its last
/// term). With n draws there are √n bins, so that what differs
/// within a bin goes with n.
pub fn first_order(input: &[f64], outcome: &[f64]) -> Option<f64> {
    let n = input.len().min(outcome.len());
    if n < 20 {
        return None;
    }
    let bins = ((n as f64).sqrt().round() as usize).max(4);
    let mut order: Vec<usize> = (0..n).collect();
    // Equal inputs keep the order of the draws, so the result is the same on every machine.
    order.sort_by(|a, b| input[*a].total_cmp(&input[*b]));
    let mean = outcome[..n].iter().sum::<f64>() / n as f64;
    let (mut between, mut within) = (0.0, 0.0);
    for bin in 0..bins {
        let members = &order[bin * n / bins..(bin + 1) * n / bins];
        let size = members.len() as f64;
        let of_bin = members.iter().map(|i| outcome[*i]).sum::<f64>() / size;
        between += size * (of_bin - mean).powi(2);
        within += members
            .iter()
            .map(|i| (outcome[*i] - of_bin).powi(2))
            .sum::<f64>();
    }
    let total = between + within;
    if total <= 0.0 {
        return None;
    }
    let mean_square_within = within / (n - bins) as f64;
    Some((between - (bins - 1) as f64 * mean_square_within) / total)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::population::UnitPoint;
    use std::f64::consts::PI;

    /// Ishigami & Homma 1990 with a = 7, b = 0.1: the indices in closed form are .3139, .4424 and 0
    /// (Saltelli et al. 2008, Global Sensitivity Analysis, chapter 4).
    #[test]
    fn the_ishigami_function_has_its_closed_form_indices() {
        let mean_of = |n: u32, points: &dyn Fn(u32, u32) -> UnitPoint| {
            let trials = 20;
            let mut sum = [0.0; 3];
            for trial in 0..trials {
                let points: Vec<[f64; 3]> = (0..n)
                    .map(|i| [0, 1, 2].map(|d| PI * (2.0 * points(trial, i).at(d) - 1.0)))
                    .collect();
                let outcome: Vec<f64> = points
                    .iter()
                    .map(|[x, y, z]| x.sin() + 7.0 * y.sin().powi(2) + 0.1 * z.powi(4) * x.sin())
                    .collect();
                for (d, sum) in sum.iter_mut().enumerate() {
                    let input: Vec<f64> = points.iter().map(|p| p[d]).collect();
                    *sum += first_order(&input, &outcome).unwrap() / f64::from(trials);
                }
            }
            sum
        };
        // The first point under every seed is a plain random number.
        let independent = |n| {
            move |trial, i| UnitPoint {
                index: 0,
                seed: trial * n + i,
            }
        };
        // Points that fill three dimensions more evenly than chance leave less between the bins than
        // the estimate takes away: a little low, by (B − 1)/n at most.
        let sobol = |trial, index| UnitPoint { index, seed: trial };
        for (n, found, within) in [
            (1000, mean_of(1000, &independent(1000)), 0.02),
            (1000, mean_of(1000, &sobol), 0.03),
            (10_000, mean_of(10_000, &sobol), 0.01),
        ] {
            for (found, truth) in found.iter().zip([0.3139, 0.4424, 0.0]) {
                assert!((found - truth).abs() < within, "n {n}: {found} for {truth}");
            }
        }
    }

    #[test]
    fn an_outcome_that_never_differs_has_no_index() {
        let input: Vec<f64> = (0..100).map(f64::from).collect();
        assert_eq!(first_order(&input, &[1.0; 100]), None);
        assert_eq!(first_order(&input[..10], &input[..10]), None);
        // The input itself is explained but for what lies within the bins.
        assert!(first_order(&input, &input).unwrap() > 0.95);
    }
}
