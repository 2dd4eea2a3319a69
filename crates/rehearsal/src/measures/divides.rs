//! Where a canal divides while the patient sits upright: beyond it debris falls on toward the cupula,
//! before it back out of the canal.

use lithodrome_debris::Place;
use lithodrome_labyrinth::{Canal, CanalId, EarShape, Labyrinth, Region, Vec3, frame};

/// Spacing in which a centre-line is looked at, mm.
const SPACING_MM: f64 = 0.02;
/// A rise of the centre-line smaller than this is no divide, mm: about the size of a piece of debris.
const RISE_MM: f64 = 0.05;

/// The upright divides of both ears.
#[derive(Clone, Debug, PartialEq)]
pub struct UprightDivides {
    /// Arc length from the cupula, mm, `[canal of CanalId::ALL]`.
    arc_mm: [f64; 6],
}

impl UprightDivides {
    /// The divides of a labyrinth, with the patient upright in the headrest.
    pub fn of(labyrinth: &Labyrinth) -> UprightDivides {
        let head_from_reid = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad);
        let down_in_reid = head_from_reid.inverse() * -Vec3::z();
        UprightDivides {
            arc_mm: CanalId::ALL.map(|id| divide_mm(labyrinth.ear(id.ear), id.canal, down_in_reid)),
        }
    }

    /// Arc length from the cupula of the divide of a canal, mm; 0 if all of its duct drains toward the exit
    /// and the duct's end if none does.
    pub fn arc_mm(&self, id: CanalId) -> f64 {
        self.arc_mm[id.index()]
    }

    /// The way along the lumen from a place to the divide of a canal of the same ear, mm, negative beyond
    /// it; `None` where only the utricle leads there.
    pub fn way_mm(&self, ear: &EarShape, canal: Canal, place: Place) -> Option<f64> {
        let id = CanalId {
            ear: ear.ear,
            canal,
        };
        let from_end_mm = ear.canal(canal).landmarks.duct_end_mm - self.arc_mm(id);
        let joins_mm = |canal| match canal {
            Canal::Anterior => Some(0.0),
            Canal::Posterior => Some(ear.merge_mm),
            Canal::Lateral => None,
        };
        match place.region {
            Region::Duct(c) if c == canal => Some(place.arc_mm - self.arc_mm(id)),
            Region::CommonCrus => Some((place.arc_mm - joins_mm(canal)?).abs() + from_end_mm),
            Region::Duct(other) => {
                let to_crus_mm = ear.canal(other).landmarks.duct_end_mm - place.arc_mm;
                let along_crus_mm = (joins_mm(other)? - joins_mm(canal)?).abs();
                Some(to_crus_mm + along_crus_mm + from_end_mm)
            }
            Region::Utricle | Region::ShortArm(_) => None,
        }
    }
}

/// The first height of a duct's centre-line from its exit inward that is followed by a fall.
fn divide_mm(ear: &EarShape, canal: Canal, down: Vec3) -> f64 {
    let end_mm = ear.canal(canal).landmarks.duct_end_mm;
    let tube = ear.tube(canal);
    let height = |mm: f64| -tube.at(mm).0.dot(&down);
    let mut top = (height(end_mm), end_mm);
    for i in 1..=(end_mm / SPACING_MM) as usize {
        let mm = end_mm - i as f64 * SPACING_MM;
        let here = height(mm);
        if here > top.0 {
            top = (here, mm);
        } else if top.0 - here > RISE_MM {
            return top.1;
        }
    }
    0.0
}

/// A height of a duct's centre-line within `near_mm` of a place, for a direction of gravity: debris on
/// either side of it falls apart.
pub(crate) fn is_near_divide(
    ear: &EarShape,
    canal: Canal,
    arc_mm: f64,
    down: Vec3,
    near_mm: f64,
) -> bool {
    let (from, to) = ear.tube(canal).range_mm();
    let height = |mm: f64| -ear.tube(canal).at(mm.clamp(from, to)).0.dot(&down);
    let n = (2.0 * near_mm / SPACING_MM) as usize;
    let at = |i: usize| height(arc_mm - near_mm + i as f64 * SPACING_MM);
    let (first, last) = (at(0), at(n));
    (1..n).any(|i| at(i) > first && at(i) > last)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use lithodrome_labyrinth::Ear;

    use super::*;
    use crate::compile::load_labyrinth;

    fn mean() -> std::sync::Arc<Labyrinth> {
        load_labyrinth("mean-adult", Path::new("")).unwrap()
    }

    /// Upright the arc of the anterior canal stands above the crus and its apex is the divide, where the
    /// tangent is level; the posterior duct falls from the crus on, so that its divide is at its end or near.
    #[test]
    fn the_anterior_divide_is_its_level_top() {
        let labyrinth = mean();
        let divides = UprightDivides::of(&labyrinth);
        let up = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse() * Vec3::z();
        for ear in Ear::ALL {
            let canal = Canal::Anterior;
            let shape = labyrinth.ear(ear);
            let mm = divides.arc_mm(CanalId { ear, canal });
            let (top, tangent, _) = shape.tube(canal).at(mm);
            assert!(tangent.dot(&up).abs() < 0.01, "{tangent}");
            let crus = shape
                .tube(canal)
                .at(shape.canal(canal).landmarks.duct_end_mm);
            assert!((top - crus.0).dot(&up) > 0.5, "{mm}");
        }
        // The mirror image has the same divides.
        for canal in Canal::ALL {
            let [right, left] = Ear::ALL.map(|ear| divides.arc_mm(CanalId { ear, canal }));
            assert!((right - left).abs() < 1e-9);
        }
    }

    /// By hand: from the top of the crus to the anterior divide it is the duct's length less the divide's
    /// place; from the posterior duct's last place one merge more.
    #[test]
    fn the_way_to_a_divide_goes_along_the_lumen() {
        let labyrinth = mean();
        let divides = UprightDivides::of(&labyrinth);
        let ear = labyrinth.ear(Ear::Right);
        let anterior = ear.canal(Canal::Anterior).landmarks.duct_end_mm;
        let posterior = ear.canal(Canal::Posterior).landmarks.duct_end_mm;
        let id = CanalId {
            ear: Ear::Right,
            canal: Canal::Anterior,
        };
        let rest_mm = anterior - divides.arc_mm(id);
        let way = |region, arc_mm| divides.way_mm(ear, id.canal, Place { region, arc_mm });
        let near = |a: Option<f64>, b: f64| assert!((a.unwrap() - b).abs() < 1e-9, "{a:?} {b}");
        near(way(Region::CommonCrus, 0.0), rest_mm);
        near(way(Region::CommonCrus, 0.5), rest_mm + (0.5));
        near(way(Region::Duct(Canal::Posterior), posterior), {
            rest_mm + ear.merge_mm
        });
        near(
            way(Region::Duct(Canal::Anterior), divides.arc_mm(id) - 1.0),
            -1.0,
        );
        assert_eq!(way(Region::Utricle, 0.0), None);
        assert_eq!(way(Region::Duct(Canal::Lateral), 1.0), None);
    }
}
