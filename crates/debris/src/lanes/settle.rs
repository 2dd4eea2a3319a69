//! Four bodies put at their distance from what they touch: the scalar engine's `settle` in lanes.

use lithodrome_labyrinth::{EarShape, HintLanes, Vec3x4, WallLanes};
use wide::f64x4;

use super::body::BodyLanes;
use super::face::faces_near;
use crate::settling::rest_distance::{FLAT_MM, LEAST_STEEPNESS, ROUNDS};

/// Where four bodies are and what they feel of the lumen there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PlaceLanes {
    pub(crate) at: Vec3x4,
    pub(crate) hints: HintLanes,
    pub(crate) walls: WallLanes,
}

impl BodyLanes<'_> {
    /// Twin of the scalar `settle`, for the `asked` lanes; the others stay.
    #[inline]
    pub(crate) fn settle(&self, place: &mut PlaceLanes, asked: f64x4, pressed: [f64x4; 2]) {
        let lanes = |mask: f64x4| {
            let bits = mask.to_bitmask();
            [0, 1, 2, 3].map(|lane| bits >> lane & 1 == 1)
        };
        let mut open = asked;
        let PlaceLanes { at, hints, walls } = place;
        EarShape::update_wall_lanes(self.ears, at, lanes(open), hints, walls);
        for _ in 0..ROUNDS {
            let wanted = |lack: f64x4, pressed: f64x4| {
                open & (lack.simd_gt(f64x4::ZERO) | (pressed & lack.simd_gt(-self.radius_mm)))
            };
            let lack = self.rest_mm - walls.depth_mm;
            let by_wall = wanted(lack, pressed[0]);
            let steepness = walls.steepness.fast_max(f64x4::splat(LEAST_STEEPNESS));
            let wall_mm = lack / steepness;
            let mut shift = (walls.inward * wall_mm).only(by_wall);
            let mut any = by_wall;
            if let Some(faces) = faces_near(&self.ears, walls, at) {
                // Where there is no face its distance is infinite.
                let lack = self.rest_mm - faces.distance_mm;
                let by_face = wanted(lack, pressed[1]) & faces.has;
                if by_face.any() {
                    let alone = (faces.away * lack).only(by_face);
                    let corner = into_corner((walls.inward, wall_mm), (faces.away, lack));
                    shift = Vec3x4::select(by_face, alone, shift);
                    shift = Vec3x4::select(by_face & by_wall, corner, shift);
                    any |= by_face;
                }
            }
            let size = shift.norm();
            any &= size.simd_ne(f64x4::ZERO);
            if !any.any() {
                return;
            }
            *at += shift.only(any);
            let small = any & size.simd_lt(FLAT_MM);
            let deeper = shift.dot(&walls.inward) * walls.steepness;
            walls.depth_mm = small.select(walls.depth_mm + deeper, walls.depth_mm);
            open = any & !small;
            if !open.any() {
                return;
            }
            EarShape::update_wall_lanes(self.ears, at, lanes(open), hints, walls);
        }
    }
}

/// Twin of the scalar `into_corner`.
fn into_corner((a, by_a): (Vec3x4, f64x4), (b, by_b): (Vec3x4, f64x4)) -> Vec3x4 {
    let cos = a.dot(&b);
    let sin2 = (1.0 - cos * cos).fast_max(f64x4::splat(0.05));
    a * ((by_a - cos * by_b) / sin2) + b * ((by_b - cos * by_a) / sin2)
}
