//! Parts that do not open into each other must not touch.

use crate::{AnatomyError, Canal, EarShape, Region};

/// The least wall between two parts, mm.
const LEAST_MM: f64 = 0.05;
/// Spacing of the places compared, mm.
const STEP_MM: f64 = 0.1;

/// The first pair of parts that touch where they should not, as an error.
pub(crate) fn check(ear: &EarShape) -> Result<(), AnatomyError> {
    let pairs = [
        (Canal::Anterior, Canal::Lateral),
        (Canal::Anterior, Canal::Posterior),
        (Canal::Lateral, Canal::Posterior),
    ];
    for (a, b) in pairs {
        check_pair(ear, a, b)?;
    }
    Canal::ALL
        .into_iter()
        .try_for_each(|canal| check_utricle(ear, canal))
}

fn places(ear: &EarShape, canal: Canal) -> impl Iterator<Item = f64> + use<> {
    let (from, to) = ear.tube(canal).range_mm();
    (0..)
        .map(move |i| from + f64::from(i) * STEP_MM)
        .take_while(move |s| *s <= to)
}

fn check_pair(ear: &EarShape, a: Canal, b: Canal) -> Result<(), AnatomyError> {
    for arc_a in places(ear, a) {
        let (p, _, radius_a) = ear.tube(a).at(arc_a);
        for arc_b in places(ear, b) {
            if ear.neighbours(a, arc_a, b, arc_b) {
                continue;
            }
            let (q, _, radius_b) = ear.tube(b).at(arc_b);
            let gap_mm = (p - q).norm() - radius_a - radius_b;
            if gap_mm < LEAST_MM {
                let between = [ear.region_of(a, arc_a), ear.region_of(b, arc_b)];
                return Err(contact(between, (p + q) / 2.0, gap_mm));
            }
        }
    }
    Ok(())
}

fn check_utricle(ear: &EarShape, canal: Canal) -> Result<(), AnatomyError> {
    let marks = &ear.canal(canal).landmarks;
    let open = if canal == Canal::Posterior {
        f64::INFINITY
    } else {
        marks.opening_mm - 1.5
    };
    for arc in places(ear, canal).filter(|s| *s > 0.0 && *s < open) {
        let (p, _, radius) = ear.tube(canal).at(arc);
        let gap_mm = -ear.utricle.depth(p).0 - radius;
        if gap_mm < LEAST_MM {
            return Err(contact(
                [ear.region_of(canal, arc), Region::Utricle],
                p,
                gap_mm,
            ));
        }
    }
    Ok(())
}

fn contact(between: [Region; 2], at: crate::Vec3, gap_mm: f64) -> AnatomyError {
    AnatomyError::Contact {
        between,
        at_mm: at.into(),
        gap_mm,
        least_mm: LEAST_MM,
    }
}
