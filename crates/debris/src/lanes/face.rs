//! The near faces of four cupulae: [`forces::face_near`] in lanes.

use lithodrome_labyrinth::{EarShape, Region, Vec3, Vec3x4, WallLanes, mask_of};
use wide::f64x4;

use crate::law::forces::{self, NEAR_CUPULA_MM};

/// Twin of [`forces::Face`], `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FaceLanes {
    /// Mask of the lanes that have one; the others hold zeros and an infinite distance.
    pub(crate) has: f64x4,
    pub(crate) away: Vec3x4,
    pub(crate) distance_mm: f64x4,
}

/// Twin of [`forces::face_near`]: `None` if no lane is near a cupula, which is usual.
#[inline]
pub(crate) fn faces_near(
    ears: &[&EarShape; 4],
    walls: &WallLanes,
    at: &Vec3x4,
) -> Option<FaceLanes> {
    let near = walls.arc_mm.abs().simd_le(NEAR_CUPULA_MM);
    if !near.any() {
        return None;
    }
    // In the utricle the arc length is 0.
    let near = near & mask_of(walls.region.map(|region| region != Region::Utricle));
    if !near.any() {
        return None;
    }
    Some(FaceLanes::of(ears, walls, at))
}

impl FaceLanes {
    #[cold]
    fn of(ears: &[&EarShape; 4], walls: &WallLanes, at: &Vec3x4) -> FaceLanes {
        let faces = [0, 1, 2, 3].map(|lane| {
            let wall = walls.lane(lane);
            forces::face_near(ears[lane], &wall, at.lane(lane))
        });
        FaceLanes {
            has: mask_of(faces.map(|face| face.is_some())),
            away: Vec3x4::from_lanes(faces.map(|face| face.map_or(Vec3::zeros(), |f| f.away))),
            distance_mm: f64x4::new(faces.map(|f| f.map_or(f64::INFINITY, |f| f.distance_mm))),
        }
    }
}
