//! Where bodies start.

use lithodrome_labyrinth::{Canal, EarShape, Vec3};

use super::body::{Body, CupulaFace, DebrisGroup, Start};
use super::heap_places;
use crate::error::ModelError;

/// Centres of a group's bodies, Reid axes, mm. `down` is gravity's direction, `number` the group's, from 1.
pub(crate) fn places(
    ear: &EarShape,
    group: &DebrisGroup,
    body: &Body,
    down: Vec3,
    number: usize,
) -> Result<Vec<Vec3>, ModelError> {
    let marks = &ear.canal(group.canal).landmarks;
    let face = ear.canal(group.canal).cupula.thickness_mm / 2.0 + body.rest_mm;
    let apex = marks.duct_end_mm / 2.0;
    let middle = match group.start {
        Start::AmpullaryArm => rest_between(ear, group, down, face, apex),
        Start::NonAmpullaryArm => rest_between(ear, group, down, apex, marks.duct_end_mm),
        Start::ShortArm => rest_between(ear, group, down, marks.port_mm, -face),
        Start::Arc { mm } => {
            if !(marks.port_mm..=marks.duct_end_mm).contains(&mm) || mm.abs() < face {
                let (least_mm, most_mm) = if mm < 0.0 {
                    (marks.port_mm, -face)
                } else {
                    (face, marks.duct_end_mm)
                };
                return Err(ModelError::OutsideCanal {
                    group: number,
                    found_mm: mm,
                    least_mm,
                    most_mm,
                });
            }
            mm
        }
        Start::OnCupula { face } => return on_cupula(ear, group, body, face, number),
        Start::Utricle => return Ok(in_utricle(ear, group, body, down)),
    };
    let (least, most) = if middle < 0.0 {
        (marks.port_mm, -face)
    } else {
        (face, marks.duct_end_mm)
    };
    let spacing = 2.0 * body.rest_mm;
    let in_row = (((most - least) / spacing) as u32 + 1)
        .min(group.count)
        .max(1);
    let half_row = 0.5 * spacing * f64::from(in_row - 1);
    let from = (middle - half_row).min(most - 2.0 * half_row).max(least);
    let row = (0..in_row).map(|i| (from + f64::from(i) * spacing).min(most));
    if group.count == in_row {
        return row
            .map(|arc_mm| on_lower_wall(ear, group, body, down, arc_mm, number))
            .collect();
    }
    heap_places::places(ear, group, body, down, [least, middle, most], number)
}

/// Whether a start is a place where debris rests in this direction of gravity; an exact one is not taken for
/// one, nor the middle of an arm that has none.
pub fn rests_at(ear: &EarShape, canal: Canal, start: Start, down_in_reid: Vec3) -> bool {
    let marks = &ear.canal(canal).landmarks;
    let apex = marks.duct_end_mm / 2.0;
    let found = |from, to| lowest_between(ear, canal, down_in_reid, from, to).is_some();
    match start {
        Start::AmpullaryArm => found(0.0, apex),
        Start::NonAmpullaryArm => found(apex, marks.duct_end_mm),
        Start::ShortArm => found(marks.port_mm, 0.0),
        Start::Utricle | Start::OnCupula { .. } => true,
        Start::Arc { .. } => false,
    }
}

/// The lowest local minimum of the centre-line's height between two arc lengths, or their middle.
fn rest_between(ear: &EarShape, group: &DebrisGroup, down: Vec3, from: f64, to: f64) -> f64 {
    lowest_between(ear, group.canal, down, from, to).unwrap_or(0.5 * (from + to))
}

fn lowest_between(ear: &EarShape, canal: Canal, down: Vec3, from: f64, to: f64) -> Option<f64> {
    let tube = ear.tube(canal);
    let n = 2000;
    let arc = |i: i32| from + (to - from) * f64::from(i) / f64::from(n);
    let depth = |i: i32| tube.at(arc(i)).0.dot(&down);
    let mut best: Option<(f64, i32)> = None;
    for i in 0..=n {
        let here = depth(i);
        // The cupula's face is a floor too; the far end is open.
        let low_before = if i == 0 {
            from >= 0.0
        } else {
            here >= depth(i - 1)
        };
        let low_after = if i == n {
            to < 0.0
        } else {
            here > depth(i + 1)
        };
        if low_before && low_after && best.is_none_or(|(d, _)| here > d) {
            best = Some((here, i));
        }
    }
    best.map(|(_, i)| arc(i))
}

fn on_lower_wall(
    ear: &EarShape,
    group: &DebrisGroup,
    body: &Body,
    down: Vec3,
    arc_mm: f64,
    number: usize,
) -> Result<Vec3, ModelError> {
    let (centre, tangent, radius) = ear.tube(group.canal).at(arc_mm);
    if body.rest_mm >= radius {
        return Err(ModelError::TooWide {
            group: number,
            found_um: body.radius_mm * 2000.0,
            allowed_um: radius * 2000.0,
        });
    }
    let side = down - tangent * down.dot(&tangent);
    let side = if side.norm() > 1e-9 {
        side.normalize()
    } else {
        Vec3::zeros()
    };
    let mut at = centre + side * (radius - body.rest_mm);
    // The wall may flare there, or bend: move to the rest distance along its normal.
    let mut hint = ear.find(at);
    for _ in 0..16 {
        let wall = ear.wall(at, &mut hint);
        if wall.depth_mm >= body.rest_mm - heap_places::CLOSE_MM {
            break;
        }
        at += wall.inward * ((body.rest_mm - wall.depth_mm) / wall.steepness);
    }
    Ok(at)
}

fn on_cupula(
    ear: &EarShape,
    group: &DebrisGroup,
    body: &Body,
    face: CupulaFace,
    number: usize,
) -> Result<Vec<Vec3>, ModelError> {
    let cupula = &ear.canal(group.canal).cupula;
    if body.radius_mm >= cupula.radius_mm {
        return Err(ModelError::TooWide {
            group: number,
            found_um: body.radius_mm * 2000.0,
            allowed_um: cupula.radius_mm * 2000.0,
        });
    }
    let out = cupula.to_duct_in_reid * (face.sign() * (cupula.thickness_mm / 2.0 + body.rest_mm));
    let across = out.cross(&Vec3::new(0.3, 0.5, 0.8)).normalize();
    let along = cupula.to_duct_in_reid.cross(&across);
    let reach = 0.7 * (cupula.radius_mm - body.rest_mm);
    Ok((0..group.count)
        .map(|i| {
            // A sunflower's order spreads any count evenly over the disc.
            let r = reach * ((f64::from(i) + 0.5) / f64::from(group.count)).sqrt();
            let turn = f64::from(i) * 2.399963;
            cupula.centre_in_reid_mm + out + (across * turn.cos() + along * turn.sin()) * r
        })
        .collect())
}

/// A stack of rows, columns and layers on the lowest point; as high as it must be.
fn in_utricle(ear: &EarShape, group: &DebrisGroup, body: &Body, down: Vec3) -> Vec<Vec3> {
    let u = &ear.utricle;
    // The lowest surface point of an ellipsoid: r² n / |r n|.
    let scaled = (0..3).fold((Vec3::zeros(), 0.0), |(sum, size), i| {
        let r2 = u.semi_axes_mm[i].powi(2);
        let d = u.axes_in_reid[i].dot(&down);
        (sum + u.axes_in_reid[i] * (r2 * d), size + r2 * d * d)
    });
    let lowest = scaled.0 / scaled.1.sqrt();
    let row = u.axes_in_reid[0] - down * u.axes_in_reid[0].dot(&down);
    let row = row.try_normalize(1e-6).unwrap_or(u.axes_in_reid[1]);
    let column = down.cross(&row);
    let spacing = 2.0 * body.rest_mm;
    let most = (2.0 / spacing) as u32 + 1;
    let columns = group.count.div_ceil(most).min(most);
    let in_row = group.count.div_ceil(columns).min(most);
    let middle = |n: u32| 0.5 * f64::from(n - 1);
    (0..group.count)
        .map(|i| {
            let (x, rest) = (i % in_row, i / in_row);
            let (y, z) = (rest % columns, rest / columns);
            u.centre_in_reid_mm
                + lowest * 0.8
                + row * ((f64::from(x) - middle(in_row)) * spacing)
                + column * ((f64::from(y) - middle(columns)) * spacing)
                - down * (f64::from(z) * spacing)
        })
        .collect()
}
