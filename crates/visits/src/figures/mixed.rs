//! A logistic model with a random intercept per home.

use serde::Serialize;

use super::interval::Interval;

/// The model of several homes; shares, with the spread between homes on the logit scale.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HomesModel {
    /// Logit of the share in the home in the middle.
    pub intercept: f64,
    /// Its standard error, from the curvature of the likelihood; `None` where it has no top.
    pub intercept_se: Option<f64>,
    /// Standard deviation of the homes' intercepts.
    pub spread: f64,
    /// Share in the home in the middle, with 95 %.
    pub middle_home: f64,
    /// Interval of that share.
    pub middle_home_interval: Option<Interval>,
    /// Share over all homes.
    pub mean_home: f64,
    /// Correlation of two residents of one home on the logit scale: s² / (s² + π²/3).
    pub within_home: f64,
    /// Logarithm of the likelihood, with the binomial factors.
    pub log_likelihood: f64,
}

/// The largest spread that is looked at: homes as unlike as 1 in 150 and 149 in 150.
const LARGEST_SPREAD: f64 = 5.0;
const LARGEST_INTERCEPT: f64 = 12.0;
/// Points of the sum over a home's intercept, which spans 8 spreads each side.
const POINTS: i32 = 400;

/// The model of homes given as (with it, tested); `None` with fewer than two homes or if nobody or
/// everybody has it, as then no logit is finite.
///
/// # Equation
/// kᵢ ~ Binomial(nᵢ, expit(b + s uᵢ)), uᵢ ~ N(0, 1); b and s maximise Σ log ∫ Bin φ du. The integral is
/// a sum over equal steps, which for a smooth function that vanishes at both ends converges faster than
/// any power of the step.
pub fn homes_model(homes: &[(u64, u64)]) -> Option<HomesModel> {
    let homes: Vec<_> = homes.iter().copied().filter(|(_, n)| *n > 0).collect();
    let (k, n) = homes
        .iter()
        .fold((0, 0), |(k, n), h| (k + h.0.min(h.1), n + h.1));
    if homes.len() < 2 || k == 0 || k == n {
        return None;
    }
    let likelihood = |b: f64, s: f64| homes.iter().map(|h| home(*h, b, s)).sum::<f64>();
    let best_b = |s: f64| largest(|b| likelihood(b, s), -LARGEST_INTERCEPT, LARGEST_INTERCEPT);
    let mut spread = largest(|s| likelihood(best_b(s), s), 0.0, LARGEST_SPREAD);
    // A top at the edge is the edge.
    let at_edge = likelihood(best_b(0.0), 0.0) >= likelihood(best_b(spread), spread) - 1e-9;
    if at_edge {
        spread = 0.0;
    }
    let intercept = best_b(spread);
    let intercept_se = standard_error(&likelihood, intercept, spread);
    let middle_home_interval = intercept_se.map(|se| Interval {
        low: expit(intercept - 1.959_963_985 * se),
        high: expit(intercept + 1.959_963_985 * se),
    });
    let variance = spread * spread;
    Some(HomesModel {
        intercept,
        intercept_se,
        spread,
        middle_home: expit(intercept),
        middle_home_interval,
        mean_home: over_homes(|u| expit(intercept + spread * u)),
        within_home: variance / (variance + std::f64::consts::PI.powi(2) / 3.0),
        log_likelihood: likelihood(intercept, spread)
            + homes.iter().map(|h| log_choose(*h)).sum::<f64>(),
    })
}

/// Log-likelihood of one home without its binomial factor.
fn home((k, n): (u64, u64), b: f64, s: f64) -> f64 {
    let (k, n) = (k.min(n) as f64, n as f64);
    let at = |u: f64| {
        let eta = b + s * u;
        k * eta - n * softplus(eta)
    };
    if s == 0.0 {
        return at(0.0);
    }
    // Scaled by the largest term, so that nothing vanishes.
    let terms = || {
        (-POINTS..=POINTS)
            .map(|i| 8.0 * f64::from(i) / f64::from(POINTS))
            .map(|u| at(u) - 0.5 * u * u)
    };
    let top = terms().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = terms().map(|t| (t - top).exp()).sum();
    top + (sum * 8.0 / f64::from(POINTS)).ln() - 0.5 * std::f64::consts::TAU.ln()
}

/// Mean of a function of a standard normal.
fn over_homes(f: impl Fn(f64) -> f64) -> f64 {
    let step = 8.0 / f64::from(POINTS);
    let terms = (-POINTS..=POINTS)
        .map(|i| f64::from(i) * step)
        .map(|u| f(u) * (-0.5 * u * u).exp());
    terms.sum::<f64>() * step / std::f64::consts::TAU.sqrt()
}

/// Where a function with one top is largest, by golden sections.
fn largest(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    let mut inner = [high - ratio * (high - low), low + ratio * (high - low)];
    let mut values = inner.map(&f);
    while high - low > 1e-7 {
        if values[0] < values[1] {
            low = inner[0];
            inner = [inner[1], low + ratio * (high - low)];
            values = [values[1], f(inner[1])];
        } else {
            high = inner[1];
            inner = [high - ratio * (high - low), inner[0]];
            values = [f(inner[0]), values[0]];
        }
    }
    0.5 * (low + high)
}

/// From the curvature over intercept and spread; over the intercept alone if the spread is 0.
fn standard_error(f: &impl Fn(f64, f64) -> f64, b: f64, s: f64) -> Option<f64> {
    let h = 1e-3;
    let here = f(b, s);
    let bb = (f(b + h, s) - 2.0 * here + f(b - h, s)) / (h * h);
    if s < 2.0 * h {
        return (bb < 0.0).then(|| (-1.0 / bb).sqrt());
    }
    let ss = (f(b, s + h) - 2.0 * here + f(b, s - h)) / (h * h);
    let bs =
        (f(b + h, s + h) - f(b + h, s - h) - f(b - h, s + h) + f(b - h, s - h)) / (4.0 * h * h);
    let determinant = bb * ss - bs * bs;
    (bb < 0.0 && determinant > 0.0).then(|| (-ss / determinant).sqrt())
}

fn expit(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// log(1 + eˣ).
fn softplus(x: f64) -> f64 {
    x.max(0.0) + (-x.abs()).exp().ln_1p()
}

fn log_choose((k, n): (u64, u64)) -> f64 {
    use statrs::function::factorial::ln_binomial;
    ln_binomial(n, k.min(n))
}
