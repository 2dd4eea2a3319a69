//! A cheap stand-in for one outcome over the unit cube: straight lines and parabolas along every number.

use nalgebra::{DMatrix, DVector};

/// Weight that keeps the fit finite where there are few members.
const RIDGE: f64 = 1e-3;

/// A fit with the spread that it leaves.
pub(crate) struct Emulator {
    weights: DVector<f64>,
    /// Standard deviation of what the fit does not tell.
    pub(crate) left: f64,
}

impl Emulator {
    /// Through values at places in the unit cube; `None` for fewer than twice as many as there are terms.
    pub(crate) fn fit(places: &[Vec<f64>], values: &[f64]) -> Option<Emulator> {
        let terms = 2 * places.first()?.len() + 1;
        if values.len() < 2 * terms {
            return None;
        }
        let rows: Vec<f64> = places.iter().flat_map(|place| features(place)).collect();
        let design = DMatrix::from_row_slice(values.len(), terms, &rows);
        let wanted = DVector::from_row_slice(values);
        let ridge = DMatrix::<f64>::identity(terms, terms) * RIDGE;
        let normal = design.transpose() * &design + ridge;
        let weights = normal.cholesky()?.solve(&(design.transpose() * &wanted));
        let off = &design * &weights - &wanted;
        let freedom = (values.len() - terms) as f64;
        Some(Emulator {
            weights,
            left: (off.norm_squared() / freedom).sqrt(),
        })
    }

    /// The value that the fit gives.
    pub(crate) fn at(&self, place: &[f64]) -> f64 {
        let terms = features(place);
        terms
            .iter()
            .zip(self.weights.iter())
            .map(|(x, w)| x * w)
            .sum()
    }
}

fn features(place: &[f64]) -> Vec<f64> {
    let centred = place.iter().map(|u| 2.0 * u - 1.0);
    let mut all = vec![1.0];
    all.extend(centred.clone());
    all.extend(centred.map(|x| x * x));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::population::UnitPoint;

    #[test]
    fn a_parabola_is_found_again() {
        let places: Vec<Vec<f64>> = (0..64)
            .map(|index| UnitPoint { index, seed: 1 }.range(0..3))
            .collect();
        let truth = |p: &[f64]| 3.0 + 2.0 * p[0] - p[1] * p[1] + 0.5 * p[2];
        let values: Vec<f64> = places.iter().map(|p| truth(p)).collect();
        let emulator = Emulator::fit(&places, &values).unwrap();
        assert!(emulator.left < 1e-3);
        assert!((emulator.at(&[0.2, 0.9, 0.4]) - truth(&[0.2, 0.9, 0.4])).abs() < 1e-3);
        assert!(Emulator::fit(&places[..5], &values[..5]).is_none());
    }
}
