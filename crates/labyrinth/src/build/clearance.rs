//! Parts that do not open into each other must not touch.

use crate::lumen::links::Opens;
use crate::{AnatomyError, Canal, EarShape, Region, Vec3};

/// The least wall between two parts, mm.
const LEAST_MM: f64 = 0.05;
/// Spacing of the places compared, mm.
const STEP_MM: f64 = 0.1;

/// A place on a tube, looked at once.
struct Place {
    arc_mm: f64,
    at: Vec3,
    radius_mm: f64,
    opens: Opens,
}

/// The first pair of parts that touch where they should not, as an error.
pub(crate) fn check(ear: &EarShape) -> Result<(), AnatomyError> {
    let places = Canal::ALL.map(|canal| places(ear, canal));
    let pairs = [
        (Canal::Anterior, Canal::Lateral),
        (Canal::Anterior, Canal::Posterior),
        (Canal::Lateral, Canal::Posterior),
    ];
    for (a, b) in pairs {
        check_pair(ear, [a, b], &places[a.index()], &places[b.index()])?;
    }
    for canal in Canal::ALL {
        check_utricle(ear, canal, &places[canal.index()])?;
    }
    Ok(())
}

fn places(ear: &EarShape, canal: Canal) -> Vec<Place> {
    let tube = ear.tube(canal);
    let (from, to) = tube.range_mm();
    (0..=((to - from) / STEP_MM) as u32)
        .map(|i| {
            let arc_mm = from + f64::from(i) * STEP_MM;
            let (at, _, radius_mm) = tube.at(arc_mm);
            let opens = ear.opens(canal, arc_mm);
            Place {
                arc_mm,
                at,
                radius_mm,
                opens,
            }
        })
        .collect()
}

fn check_pair(
    ear: &EarShape,
    canals: [Canal; 2],
    a: &[Place],
    b: &[Place],
) -> Result<(), AnatomyError> {
    // From one place to the next the gap shrinks by no more than this.
    let reach_mm = b
        .windows(2)
        .map(|w| (w[1].at - w[0].at).norm() + (w[1].radius_mm - w[0].radius_mm).abs())
        .fold(f64::EPSILON, f64::max);
    for p in a {
        let mut next = 0;
        while let Some(q) = b.get(next) {
            let gap_mm = (p.at - q.at).norm() - p.radius_mm - q.radius_mm;
            if gap_mm < LEAST_MM && !p.opens.meets(q.opens) {
                let between = [
                    ear.region_of(canals[0], p.arc_mm),
                    ear.region_of(canals[1], q.arc_mm),
                ];
                return Err(contact(between, (p.at + q.at) / 2.0, gap_mm));
            }
            // The places that this gap cannot close before are left out.
            next += 1 + ((gap_mm - LEAST_MM).max(0.0) / reach_mm) as usize;
        }
    }
    Ok(())
}

fn check_utricle(ear: &EarShape, canal: Canal, places: &[Place]) -> Result<(), AnatomyError> {
    let marks = &ear.canal(canal).landmarks;
    let open = if canal == Canal::Posterior {
        f64::INFINITY
    } else {
        marks.opening_mm - 1.5
    };
    for place in places.iter().filter(|p| p.arc_mm > 0.0 && p.arc_mm < open) {
        let gap_mm = -ear.utricle.depth(place.at).0 - place.radius_mm;
        if gap_mm < LEAST_MM {
            let between = [ear.region_of(canal, place.arc_mm), Region::Utricle];
            return Err(contact(between, place.at, gap_mm));
        }
    }
    Ok(())
}

fn contact(between: [Region; 2], at: Vec3, gap_mm: f64) -> AnatomyError {
    AnatomyError::Contact {
        between,
        at_mm: at.into(),
        gap_mm,
        least_mm: LEAST_MM,
    }
}
