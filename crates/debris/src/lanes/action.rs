//! What acts on four bodies: [`forces::action`] in lanes.

use std::f64::consts::PI;

use lithodrome_labyrinth::{Region, Vec3x4, WallLanes};
use wide::f64x4;

use super::body::BodyLanes;
use super::contact::{in_corner, share_left, split, without_approach};
use super::drag::MobilityLanes;
use super::face::{FaceLanes, faces_near};
use crate::law::forces::{self, GRIP, PARALLEL, TOUCH};
use crate::model::endolymph::loops_through;

/// Twin of [`forces::Action`], `[lane]`.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct ActionLanes {
    pub(crate) drift: Vec3x4,
    pub(crate) sinking: Vec3x4,
    pub(crate) carried: Vec3x4,
    /// `[canal][lane]`.
    pub(crate) loops: [f64x4; 3],
    /// `[canal][lane]`.
    pub(crate) pressure_mpa: [f64x4; 3],
    pub(crate) roll_per_s: f64x4,
    /// Masks of the lanes that touch the wall and the cupula.
    pub(crate) touches: [f64x4; 2],
    /// Twins of the fields of [`forces::Grip`]; its normal is the wall's.
    pub(crate) grip_mm_s: f64x4,
    pub(crate) pressure_per_speed: Vec3x4,
    /// Normals of the wall, in every lane, and of the cupula's face, where one is near.
    pub(crate) away: [Vec3x4; 2],
}

impl ActionLanes {
    /// Twin of [`forces::Action::free`]; `flow` is `[canal][lane]`.
    #[inline]
    pub(crate) fn free(&self, flow: &[f64x4; 3]) -> Vec3x4 {
        self.drift + self.carried * self.felt(flow)
    }

    /// Twin of the scalar `sliding`.
    #[inline]
    fn sliding(&self, flow: &[f64x4; 3]) -> (Vec3x4, f64x4) {
        let v = self.sinking + self.carried * self.felt(flow);
        let (_, along) = split(v, self.away[0]);
        (along, share_left(along.norm(), self.grip_mm_s))
    }

    /// Whether any lane is pressed on a wall that resists.
    #[inline]
    fn grips(&self) -> bool {
        self.grip_mm_s.simd_ne(f64x4::ZERO).any()
    }

    /// Twin of [`forces::Action::left`].
    #[inline]
    pub(crate) fn left(&self, flow: &[f64x4; 3]) -> f64x4 {
        if self.grips() {
            self.sliding(flow).1
        } else {
            f64x4::ONE
        }
    }

    /// Twin of [`forces::Action::pressure`].
    #[inline]
    pub(crate) fn pressure(&self, flow: &[f64x4; 3]) -> [f64x4; 3] {
        if !self.grips() {
            return self.pressure_mpa;
        }
        let (along, left) = self.sliding(flow);
        let taken_mpa = (along * (1.0 - left)).dot(&self.pressure_per_speed);
        [0, 1, 2].map(|i| self.pressure_mpa[i] - self.loops[i] * taken_mpa)
    }

    /// Twin of [`forces::Action::allowed`].
    #[inline]
    pub(crate) fn allowed(&self, flow: &[f64x4; 3]) -> Vec3x4 {
        let mut v = self.sinking + self.carried * self.felt(flow);
        if self.grips() {
            let (along, left) = self.sliding(flow);
            v -= along * (1.0 - left);
        }
        let ([on_wall, on_face], [wall, face]) = (self.touches, self.away);
        let mut v = without_approach(on_wall, v, wall);
        if !on_face.any() {
            return v;
        }
        v = without_approach(on_face, v, face);
        let both = on_wall & on_face;
        v = without_approach(both, v, wall);
        let into = v.dot(&face);
        let along = (into * into).simd_le(PARALLEL * v.norm_squared());
        let cornered = both & into.simd_lt(f64x4::ZERO) & !along;
        if cornered.any() {
            v = Vec3x4::select(cornered, in_corner(v, wall, face), v);
        }
        v
    }

    /// Twin of [`forces::Action::pressed`].
    #[inline]
    pub(crate) fn pressed(&self, flow: &[f64x4; 3]) -> [f64x4; 2] {
        let v = self.free(flow);
        let ([touches_wall, touches_face], [wall, face]) = (self.touches, self.away);
        let on_wall = touches_wall & v.dot(&wall).simd_lt(f64x4::ZERO);
        if !touches_face.any() {
            return [on_wall, f64x4::ZERO];
        }
        let on_face = touches_face & v.dot(&face).simd_lt(f64x4::ZERO);
        let slid = |v: Vec3x4, along, into: Vec3x4| {
            without_approach(touches_wall & touches_face, v, along)
                .dot(&into)
                .simd_lt(f64x4::ZERO)
        };
        let (after_wall, after_face) = (slid(v, wall, face), slid(v, face, wall));
        let both = touches_wall & touches_face;
        let wall_only = on_wall & !(on_face & after_wall & !after_face);
        let wall_too = !on_wall & on_face & after_face;
        let face_only = on_face & !(on_wall & !after_wall);
        let face_too = on_wall & !on_face & after_wall;
        [
            both.select(wall_only | wall_too, on_wall),
            both.select(face_only | face_too, on_face),
        ]
    }

    /// `yes` where the mask is set, `no` elsewhere.
    #[inline]
    pub(crate) fn select(mask: f64x4, yes: &ActionLanes, no: &ActionLanes) -> ActionLanes {
        let vector = |of: fn(&ActionLanes) -> Vec3x4| Vec3x4::select(mask, of(yes), of(no));
        let number = |a: f64x4, b: f64x4| mask.select(a, b);
        ActionLanes {
            drift: vector(|a| a.drift),
            sinking: vector(|a| a.sinking),
            carried: vector(|a| a.carried),
            loops: [0, 1, 2].map(|i| number(yes.loops[i], no.loops[i])),
            pressure_mpa: [0, 1, 2].map(|i| number(yes.pressure_mpa[i], no.pressure_mpa[i])),
            roll_per_s: number(yes.roll_per_s, no.roll_per_s),
            grip_mm_s: number(yes.grip_mm_s, no.grip_mm_s),
            pressure_per_speed: vector(|a| a.pressure_per_speed),
            touches: [0, 1].map(|i| number(yes.touches[i], no.touches[i])),
            away: [vector(|a| a.away[0]), vector(|a| a.away[1])],
        }
    }

    /// The flow that the body feels.
    #[inline]
    fn felt(&self, [a, l, p]: &[f64x4; 3]) -> f64x4 {
        *a * self.loops[0] + *l * self.loops[1] + *p * self.loops[2]
    }
}

impl BodyLanes<'_> {
    /// Twin of [`forces::mobility`].
    #[inline]
    pub(crate) fn mobility(&self, walls: &WallLanes) -> MobilityLanes {
        let delta = (walls.depth_mm - self.radius_mm) * self.per_radius_mm;
        // In the utricle the radius is infinite: both ratios are 0.
        let per_mm = 1.0 / walls.radius_mm;
        let mobility = self
            .drag
            .at(self.radius_mm * per_mm, walls.off_axis_mm * per_mm, delta);
        MobilityLanes {
            entrainment: mobility.entrainment & walls.radius_mm.simd_lt(f64::INFINITY),
            ..mobility
        }
    }

    /// Twin of [`forces::action`].
    #[inline]
    pub(crate) fn action(&self, at: &Vec3x4, walls: &WallLanes, pull: &Vec3x4) -> ActionLanes {
        let m = self.mobility(walls);
        let weight = *pull * self.buoyant_mass_mg;
        let free = weight * self.per_resistance_mg_s;
        let (into, along) = split(free, walls.inward);
        let across = walls.inward * (into * m.across);
        let mut sinking = along * m.along;
        let drift = sinking + across;
        let gap = walls.depth_mm - self.rest_mm;
        let rubs = gap.simd_le(GRIP * self.radius_mm) & into.simd_lt(f64x4::ZERO);
        let grip_mm_s = (-into * m.along * self.resistance) & rubs;
        let touching = gap.simd_le(TOUCH * self.radius_mm);
        sinking += across.only(!touching | into.simd_gt(f64x4::ZERO));
        let rolls = touching & into.simd_lt(f64x4::ZERO) & walls.off_axis_mm.simd_gt(f64x4::ZERO);
        let off_axis_mm = walls.off_axis_mm.fast_max(f64x4::splat(f64::MIN_POSITIVE));
        let mut action = ActionLanes {
            drift,
            sinking,
            carried: Vec3x4::zeros(),
            loops: [f64x4::ZERO; 3],
            pressure_mpa: [f64x4::ZERO; 3],
            roll_per_s: rolls.select(-into * m.along / off_axis_mm, f64x4::ZERO),
            touches: [touching, f64x4::ZERO],
            grip_mm_s,
            pressure_per_speed: Vec3x4::zeros(),
            away: [walls.inward, Vec3x4::zeros()],
        };
        let coupled = m.entrainment.simd_gt(f64x4::ZERO);
        if coupled.any() {
            action.loops = self.loops_through(walls).map(|open| open & coupled);
            let area_mm2 = PI * walls.radius_mm * walls.radius_mm;
            let coupling = (m.entrainment / area_mm2) & coupled;
            let pressure = coupling * weight.dot(&walls.tangent);
            action.pressure_mpa = action.loops.map(|open| open * pressure);
            action.carried = walls.tangent * (coupling & self.entrainment);
            if grip_mm_s.simd_ne(f64x4::ZERO).any() {
                let force_per_speed = 1.0 / (self.per_resistance_mg_s * m.along);
                action.pressure_per_speed = walls.tangent * (coupling * force_per_speed);
            }
        }
        if let Some(faces) = faces_near(&self.ears, walls, at) {
            self.lie_on(&faces, &mut action, at, walls, pull);
        }
        action
    }

    /// The end of [`forces::action`]: what a cupula does to the body that lies on it and has to bear.
    #[cold]
    fn lie_on(
        &self,
        face: &FaceLanes,
        action: &mut ActionLanes,
        at: &Vec3x4,
        walls: &WallLanes,
        pull: &Vec3x4,
    ) {
        let reach_mm = |share: f64| self.rest_mm + share * self.radius_mm;
        let lies = face.distance_mm.simd_le(reach_mm(GRIP));
        if !lies.any() {
            return;
        }
        action.touches[1] = face.distance_mm.simd_le(reach_mm(TOUCH));
        action.away[1] = face.away;
        let weight = *pull * self.buoyant_mass_mg;
        let presses = lies & weight.dot(&face.away).simd_lt(f64x4::ZERO);
        let presses = presses.to_bitmask();
        for lane in 0..4 {
            if presses >> lane & 1 == 1
                && let Some(canal) = walls.lane(lane).tube()
            {
                let (model, body) = (self.models[lane], self.bodies[lane]);
                action.pressure_mpa[canal.index()].as_mut_array()[lane] +=
                    forces::lying_load(model, body, canal, at.lane(lane), pull.lane(lane));
            }
        }
    }

    /// Twin of [`loops_through`], `[canal][lane]`.
    #[inline]
    fn loops_through(&self, walls: &WallLanes) -> [f64x4; 3] {
        let arc_mm = walls.arc_mm.as_array();
        let open = [0, 1, 2, 3].map(|lane| match walls.region[lane] {
            Region::Duct(c) | Region::ShortArm(c) => OWN[c.index()],
            Region::Utricle => OWN[3],
            region @ Region::CommonCrus => {
                loops_through(self.ears[lane], region, arc_mm[lane]).into()
            }
        });
        [0, 1, 2].map(|canal| f64x4::new(open.map(|open: [f64; 3]| open[canal])))
    }
}

/// The loop of each canal alone, and none.
const OWN: [[f64; 3]; 4] = [
    [1.0, 0.0, 0.0],
    [0.0, 1.0, 0.0],
    [0.0, 0.0, 1.0],
    [0.0, 0.0, 0.0],
];
