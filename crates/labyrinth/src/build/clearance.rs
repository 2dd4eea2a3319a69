//! Parts that do not open into each other must not touch.

use crate::frame::length;
use crate::lumen::links::Opens;
use crate::{AnatomyError, Canal, EarShape, Region, Vec3};

/// The least wall between two parts, mm.
const LEAST_MM: f64 = 0.05;
/// Spacing of the places compared, mm.
const STEP_MM: f64 = 0.1;
/// Places that are compared together, by the balls they are in, before one by one.
const GROUP: usize = 8;

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

/// Places that follow each other and a ball that their lumens are in.
struct Group<'a> {
    places: &'a [Place],
    middle: Vec3,
    reach_mm: f64,
}

fn groups(places: &[Place]) -> Vec<Group<'_>> {
    places
        .chunks(GROUP)
        .map(|places| {
            let middle = places[places.len() / 2].at;
            let reach = |p: &Place| length(&(p.at - middle)) + p.radius_mm;
            Group {
                places,
                middle,
                reach_mm: places.iter().map(reach).fold(0.0, f64::max),
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
    let others = groups(b);
    for near in groups(a) {
        for far in &others {
            let apart_mm = length(&(near.middle - far.middle)) - near.reach_mm - far.reach_mm;
            if apart_mm < LEAST_MM {
                check_places(ear, canals, near.places, far.places)?;
            }
        }
    }
    Ok(())
}

fn check_places(
    ear: &EarShape,
    canals: [Canal; 2],
    a: &[Place],
    b: &[Place],
) -> Result<(), AnatomyError> {
    for p in a {
        for q in b.iter().filter(|q| !p.opens.meets(q.opens)) {
            let gap_mm = length(&(p.at - q.at)) - p.radius_mm - q.radius_mm;
            if gap_mm < LEAST_MM {
                let between = [
                    ear.region_of(canals[0], p.arc_mm),
                    ear.region_of(canals[1], q.arc_mm),
                ];
                return Err(contact(between, (p.at + q.at) / 2.0, gap_mm));
            }
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
