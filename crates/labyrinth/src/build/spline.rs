//! Cubic splines through given values: the smooth course of measured points.

/// Slopes at the knots of the cubic spline through `values` at the rising places `knots`, with two
/// continuous derivatives and an even curvature at both ends. At least three knots.
pub(crate) fn slopes(knots: &[f64], values: &[f64]) -> Vec<f64> {
    let last = knots.len() - 1;
    let step = |k: usize| knots[k + 1] - knots[k];
    let chord = |k: usize| (values[k + 1] - values[k]) / step(k);
    // Second derivatives by the sweep of a tridiagonal system; each is `slope · next + shift`.
    let mut sweep = vec![(1.0, 0.0)];
    for k in 1..last {
        let (a, b) = sweep[k - 1];
        let right = 6.0 * (chord(k) - chord(k - 1));
        let pivot = 2.0 * (step(k - 1) + step(k)) + step(k - 1) * a;
        sweep.push((-step(k) / pivot, (right - step(k - 1) * b) / pivot));
    }
    let (a, b) = sweep[last - 1];
    let mut bends = vec![0.0; last + 1];
    bends[last] = b / (1.0 - a);
    for k in (0..last).rev() {
        bends[k] = sweep[k].0 * bends[k + 1] + sweep[k].1;
    }
    (0..=last)
        .map(|k| {
            if k < last {
                chord(k) - step(k) * (2.0 * bends[k] + bends[k + 1]) / 6.0
            } else {
                chord(k - 1) + step(k - 1) * (2.0 * bends[k] + bends[k - 1]) / 6.0
            }
        })
        .collect()
}

/// Value and slope at `x` of the cubic with given values and slopes at the knots; held outside them.
pub(crate) fn at(knots: &[f64], values: &[f64], slopes: &[f64], x: f64) -> (f64, f64) {
    let last = knots.len() - 1;
    if x <= knots[0] {
        return (values[0], 0.0);
    }
    if x >= knots[last] {
        return (values[last], 0.0);
    }
    let k = knots.partition_point(|knot| *knot <= x) - 1;
    let h = knots[k + 1] - knots[k];
    let u = (x - knots[k]) / h;
    let (u2, u3) = (u * u, u * u * u);
    let value = (2.0 * u3 - 3.0 * u2 + 1.0) * values[k]
        + (u3 - 2.0 * u2 + u) * h * slopes[k]
        + (3.0 * u2 - 2.0 * u3) * values[k + 1]
        + (u3 - u2) * h * slopes[k + 1];
    let slope = 6.0 * (u2 - u) / h * (values[k] - values[k + 1])
        + (3.0 * u2 - 4.0 * u + 1.0) * slopes[k]
        + (3.0 * u2 - 2.0 * u) * slopes[k + 1];
    (value, slope)
}
