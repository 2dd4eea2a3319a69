//! From the share at one time to the share over a year, under a stated length of an episode.

use serde::Serialize;

/// Share over a year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PeriodPrevalence {
    /// Share at one time.
    pub point: f64,
    /// Length of an episode that was assumed, days.
    pub episode_days: f64,
    /// Share that has at least one episode within a year.
    pub year: f64,
    /// Episodes per resident and year.
    pub episodes_per_year: f64,
}

/// Days in a year.
const YEAR_DAYS: f64 = 365.0;

/// The share over a year.
///
/// # Equation
/// New episodes among the well come at the rate λ = p / ((1 − p) D); over a time T at least one is had by
/// 1 − (1 − p) e^(−λT); episodes per resident pT/D.
///
/// # Limits
/// A steady state, the same rate for everybody, no second episode within one. The length D matters more
/// than the sampling error of p: von Brevern 2007 (JNNP 78:710) has a median of two weeks, Imai 2005
/// means of 39 days (posterior) and 16 (lateral) without treatment.
///
/// `None` for a share outside 0 to below 1 or a length that is not above 0.
pub fn period_prevalence(point: f64, episode_days: f64) -> Option<PeriodPrevalence> {
    let sound = (0.0..1.0).contains(&point) && episode_days > 0.0 && episode_days.is_finite();
    if !sound {
        return None;
    }
    let rate_per_day = point / ((1.0 - point) * episode_days);
    Some(PeriodPrevalence {
        point,
        episode_days,
        year: 1.0 - (1.0 - point) * (-rate_per_day * YEAR_DAYS).exp(),
        episodes_per_year: point * YEAR_DAYS / episode_days,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand for p = 0.016 and 14 days: λ = 0.016 / (0.984 · 14) = 1.161440e-3 a day, λT = 0.423926,
    /// e^−λT = 0.654472, so 1 − 0.984 · 0.654472 = 0.356000.
    #[test]
    fn a_share_at_one_time_becomes_one_over_a_year() {
        let found = period_prevalence(0.016, 14.0).unwrap();
        assert!((found.year - 0.356).abs() < 1e-4, "{found:?}");
        assert!((found.episodes_per_year - 0.417_14).abs() < 1e-4);
        // Rare and short: p (1 + T/D).
        let rare = period_prevalence(1e-5, 100.0).unwrap();
        assert!((rare.year / (1e-5 * 4.65) - 1.0).abs() < 1e-3);
        for (p, days) in [
            (1.0, 14.0),
            (-0.1, 14.0),
            (0.1, 0.0),
            (f64::NAN, 1.0),
            (0.1, f64::INFINITY),
        ] {
            assert_eq!(period_prevalence(p, days), None);
        }
    }
}
