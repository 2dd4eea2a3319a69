//! A start for more bodies than a row along the lower wall holds.

use lithodrome_labyrinth::{EarShape, Vec3};

use super::body::{Body, DebrisGroup};
use crate::error::ModelError;

/// How much farther apart than touching bodies of a heap start, along the duct and across it.
const APART: f64 = 1.02;
/// A body this little too deep in the wall starts well, mm.
pub(super) const CLOSE_MM: f64 = 1e-6;

/// Centres of a group's bodies, Reid axes, mm, nearest first to the middle of `[least, middle, most]` (arc
/// lengths, mm) and to the lower wall: cross-sections one behind the other, filled in rings from the
/// wall inward. No two overlap, and none is in a wall.
pub(crate) fn places(
    ear: &EarShape,
    group: &DebrisGroup,
    body: &Body,
    down: Vec3,
    [least, middle, most]: [f64; 3],
    number: usize,
) -> Result<Vec<Vec3>, ModelError> {
    let spacing = 2.0 * body.rest_mm * APART;
    let sections = ((most - least) / spacing) as u32 + 1;
    let mut found: Vec<Site> = Vec::new();
    for i in 0..sections {
        let arc_mm = least + f64::from(i) * spacing;
        section(ear, group, body, down, arc_mm, spacing, &mut found);
    }
    // Lowest layer first, then from the middle outward; ties in the order of the sections.
    let height = |s: &Site| s.up_mm + 0.25 * (s.arc_mm - middle).abs();
    found.sort_by(|a, b| height(a).total_cmp(&height(b)));
    let mut taken: Vec<Vec3> = Vec::new();
    for site in &found {
        if taken.len() == group.count as usize {
            break;
        }
        let clear = |other: &Vec3| (other - site.at).norm() >= 2.0 * body.rest_mm;
        if taken.iter().all(clear) {
            taken.push(site.at);
        }
    }
    if taken.len() < group.count as usize {
        return Err(ModelError::Full {
            group: number,
            found: group.count,
            allowed: taken.len() as u32,
        });
    }
    Ok(taken)
}

/// Where a body may start.
struct Site {
    at: Vec3,
    arc_mm: f64,
    /// Height over the lower wall, mm.
    up_mm: f64,
}

/// Rings of sites in the cross-section at an arc length.
fn section(
    ear: &EarShape,
    group: &DebrisGroup,
    body: &Body,
    down: Vec3,
    arc_mm: f64,
    spacing: f64,
    found: &mut Vec<Site>,
) {
    let (centre, tangent, radius) = ear.tube(group.canal).at(arc_mm);
    let low = down - tangent * down.dot(&tangent);
    let low = low
        .try_normalize(1e-6)
        .unwrap_or_else(|| tangent.cross(&Vec3::ith(tangent.iamin(), 1.0)).normalize());
    let side = tangent.cross(&low);
    let outermost = radius - body.rest_mm;
    let mut ring = outermost;
    while ring >= 0.0 {
        // As many as fit on the ring, the first at its lowest point.
        let share = (0.5 * spacing / ring).min(1.0);
        let count = if ring < 0.5 * spacing {
            1
        } else {
            (std::f64::consts::PI / share.asin()) as u32
        };
        for k in 0..count {
            let turn = std::f64::consts::TAU * f64::from(k) / f64::from(count);
            let at = centre + (low * turn.cos() + side * turn.sin()) * ring;
            let wall = ear.wall(at, &mut ear.find(at));
            if wall.depth_mm >= body.rest_mm - CLOSE_MM {
                found.push(Site {
                    at,
                    arc_mm,
                    up_mm: outermost - ring * turn.cos(),
                });
            }
        }
        ring -= spacing;
    }
}
