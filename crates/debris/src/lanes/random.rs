//! Four random bodies in random places of random ears, against the scalar law.
#![allow(clippy::unwrap_used, reason = "tests may fail loudly")]

use std::sync::{Arc, LazyLock};

use lithodrome_chair::{ChairAngles, HeadPose};
use lithodrome_labyrinth::{
    Anatomy, Canal, Ear, Hint, Labyrinth, Vec3, Vec3x4, WallLanes, WallSample,
};
use nalgebra::{Rotation3, Vector3};
use proptest::array::{uniform2, uniform3, uniform4};
use proptest::prelude::*;
use wide::f64x4;

use super::body::BodyLanes;
use super::fluid::{DisplacementLanes, FluidLanes};
use crate::law::forces;
use crate::model::Pieces;
use crate::model::endolymph::Displacement;
use crate::{DebrisGroup, Matter, Model, Physics, Rolling, Start};

/// Models that differ in ears, bodies and choices; each holds bodies in all six canals.
pub(super) static MODELS: LazyLock<Vec<Model>> = LazyLock::new(|| {
    let loaded = Physics {
        cupula_load_share: 0.7,
        ..Physics::default()
    };
    let smooth = Rolling::default();
    let rough = Rolling {
        mobility: 0.3,
        ..Rolling::at_gap(0.03).resisting(0.2)
    };
    let uncarried = Physics {
        entrainment: false,
        viscosity_mpa_s: 0.7,
        ..Physics::default()
    };
    vec![
        model("mean-adult", Physics::default(), smooth, 0.05),
        model("mean-adult", loaded, rough, 0.03),
        model("short-crus", Physics::default(), smooth, 0.015),
        model("wide-ducts", uncarried, smooth, 0.08),
        model("narrow-ducts", loaded, rough, 0.02),
    ]
});

fn model(anatomy: &str, physics: Physics, rolling: Rolling, diameter_mm: f64) -> Model {
    let anatomy = Anatomy::named(anatomy).unwrap().unwrap();
    let labyrinth = Arc::new(Labyrinth::build(&anatomy).unwrap());
    let groups: Vec<DebrisGroup> = Ear::ALL
        .into_iter()
        .flat_map(|ear| Canal::ALL.map(|canal| (ear, canal)))
        .enumerate()
        .map(|(i, (ear, canal))| DebrisGroup {
            ear,
            canal,
            start: Start::AmpullaryArm,
            count: 1,
            diameter_mm: diameter_mm * (1.0 + 0.1 * i as f64),
            // One that is lighter than the fluid rises.
            density_mg_mm3: if i == 3 { 0.9 } else { 2.7 },
            matter: Matter {
                rolling,
                ..Matter::default()
            },
        })
        .collect();
    Model::new(labyrinth, &groups, physics, &upright()).unwrap()
}

fn upright() -> HeadPose {
    HeadPose {
        time_s: 0.0,
        angles: ChairAngles {
            yaw_rad: 0.0,
            track_rad: 0.0,
            headrest_flexion_rad: 0.0,
        },
        room_from_head: Rotation3::identity(),
        down_in_head: -Vec3::z(),
        angular_velocity_in_head_rad_s: Vec3::zeros(),
        angular_acceleration_in_head_rad_s2: Vec3::zeros(),
        acceleration_in_head_mm_s2: Vec3::zeros(),
    }
}

/// Within 1e-12 of a vector of this size.
fn close(ours: f64, scalar: f64, size: f64) -> bool {
    (ours - scalar).abs() <= 1e-12 * size
}

fn close_vec(ours: &Vec3, scalar: &Vec3, size: f64) -> bool {
    (0..3).all(|i| close(ours[i], scalar[i], size))
}

fn lane_of(v: &f64x4, lane: usize) -> f64 {
    v.as_array()[lane]
}

fn loops_of([x, y, z]: &[f64x4; 3], lane: usize) -> Vector3<f64> {
    Vec3x4::new(*x, *y, *z).lane(lane)
}

/// A body that slides along a cupula and away from the wall that it touches too: its velocity has no part
/// into the face but for a rounding error, and the sign of that decides whether it may leave the wall.
fn on_the_edge(action: &forces::Action, flow: &Vector3<f64>, size: f64) -> bool {
    let [Some(wall), Some(face)] = action.walls else {
        return false;
    };
    let mut v = action.sinking + action.carried * flow.dot(&action.loops);
    for away in [wall, face, wall] {
        v -= away * v.dot(&away).min(0.0);
    }
    v.dot(&face).abs() < 1e-12 * size
}

/// Where a body is, as drawn by chance.
#[derive(Clone, Copy, Debug)]
struct Draw {
    model: usize,
    body: usize,
    /// 0 to 2 in the tube of that canal, 3 in the utricle, 4 to 6 on the cupula of that canal plus 4.
    part: usize,
    share: f64,
    off: [f64; 3],
    /// What is left between the body and the wall, in radii; `None`: as it comes.
    gap: Option<f64>,
    pull: [f64; 3],
}

fn draws() -> impl Strategy<Value = Draw> {
    let gap = prop_oneof![
        3 => Just(None),
        2 => Just(Some(0.0)),
        1 => Just(Some(-1e-5)),
        1 => Just(Some(5e-7)),
        1 => Just(Some(1e-3)),
        1 => (0.003..3.0_f64).prop_map(Some),
    ];
    (
        (0..5_usize, 0..6_usize, 0..7_usize),
        0.0..1.0_f64,
        uniform3(-0.6..0.6_f64),
        gap,
        uniform3(-12000.0..12000.0_f64),
    )
        .prop_map(|((model, body, part), share, off, gap, pull)| Draw {
            model,
            body,
            part,
            share,
            off,
            gap,
            pull,
        })
}

impl Draw {
    fn model(&self) -> &'static Model {
        &MODELS[self.model]
    }

    /// The place, and the wall as seen from there.
    fn place(&self) -> (Vec3, WallSample) {
        let (model, off) = (self.model(), Vec3::from(self.off));
        let body = &model.bodies[self.body];
        let ear = model.ear_of(body);
        let at = match self.part {
            tube @ 0..3 => {
                let tube = &ear.tubes[tube];
                let (from, to) = tube.range_mm();
                let (point, _, radius) = tube.at(from + self.share * (to - from));
                point + off * radius
            }
            3 => ear.utricle.centre_in_reid_mm + off,
            canal => {
                let cupula = &ear.canals[canal - 4].cupula;
                let side = if self.share < 0.5 { 1.0 } else { -1.0 };
                let off = off * cupula.radius_mm;
                let across = off - cupula.to_duct_in_reid * off.dot(&cupula.to_duct_in_reid);
                let gap = self.gap.unwrap_or(1.0) * body.radius_mm;
                let distance = cupula.thickness_mm / 2.0 + body.rest_mm + gap;
                cupula.centre_in_reid_mm + across + cupula.to_duct_in_reid * (side * distance)
            }
        };
        let mut hint: Hint = ear.find(at);
        let mut wall = ear.wall(at, &mut hint);
        if let Some(gap) = self.gap {
            wall.depth_mm = body.rest_mm + gap * body.radius_mm;
        }
        (at, wall)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    /// The scalar law of forces is the source.
    #[test]
    fn lanes_act_as_the_scalar_law(
        draws in uniform4(draws()),
        flow in uniform4(uniform3(-2e-3..2e-3_f64)),
    ) {
        let places = draws.map(|d| d.place());
        let at = places.map(|p| p.0);
        let walls = places.map(|p| p.1);
        let pulls = draws.map(|d| Vec3::from(d.pull));
        let flows = flow.map(Vector3::from);
        let bodies = BodyLanes::new(
            draws.each_ref().map(Draw::model),
            draws.each_ref().map(|d| &d.model().bodies[d.body]),
        );
        let action = bodies.action(
            &Vec3x4::from_lanes(at),
            &WallLanes::from_lanes(walls),
            &Vec3x4::from_lanes(pulls),
        );
        let lanes = Vec3x4::from_lanes(flows);
        let flow = [lanes.x, lanes.y, lanes.z];
        let (free, allowed) = (action.free(&flow), action.allowed(&flow));
        let pressure = action.pressure(&flow);
        for lane in 0..4 {
            let model = draws[lane].model();
            let body = &model.bodies[draws[lane].body];
            let scalar = forces::action(model, body, &Pieces::whole(body), at[lane], &walls[lane], pulls[lane]);
            let said = format!("{:?}\n{action:?}\n{scalar:?}", draws[lane]);
            let weight = (pulls[lane].norm() * body.buoyant_mass_mg).abs();
            let speed = weight / body.resistance_mg_s;
            prop_assert!(close_vec(&action.drift.lane(lane), &scalar.drift, speed), "{said}");
            prop_assert!(close_vec(&action.sinking.lane(lane), &scalar.sinking, speed), "{said}");
            let size = scalar.carried.norm();
            prop_assert!(close_vec(&action.carried.lane(lane), &scalar.carried, size), "{said}");
            prop_assert_eq!(loops_of(&action.loops, lane), scalar.loops);
            let size = scalar.pressure_mpa.norm().max(scalar.carried.norm() * weight);
            let ours = loops_of(&action.pressure_mpa, lane);
            prop_assert!(close_vec(&ours, &scalar.pressure_mpa, size), "{said}");
            let size = size + flows[lane].norm() * scalar.grip.pressure_per_speed.norm() * scalar.carried.norm();
            let (ours, its) = (loops_of(&pressure, lane), scalar.pressure(&flows[lane]));
            prop_assert!(close_vec(&ours, &its, size), "{said}");
            let ours = lane_of(&action.roll_per_s, lane);
            // The part of the pull into the wall is a difference, rounded like the whole pull.
            let size = scalar.roll_per_s.max(speed / walls[lane].off_axis_mm);
            prop_assert!(close(ours, scalar.roll_per_s, size), "{said}");
            for (i, wall) in scalar.walls.iter().enumerate() {
                let touches = action.touches[i].to_bitmask() >> lane & 1 == 1;
                prop_assert_eq!(touches.then_some(action.away[i].lane(lane)), *wall, "{}", said);
            }
            let size = speed + flows[lane].norm() * scalar.carried.norm();
            let ours = free.lane(lane);
            prop_assert!(close_vec(&ours, &scalar.free(&flows[lane]), size), "{said}");
            if !on_the_edge(&scalar, &flows[lane], size) {
                let ours = allowed.lane(lane);
                prop_assert!(close_vec(&ours, &scalar.allowed(&flows[lane]), size), "{said}");
            }
        }
    }

    /// The scalar ratios are the source, from a body in contact to one in free fluid.
    #[test]
    fn lanes_drag_as_the_scalar_table(
        models in uniform4(0..5_usize),
        ratios in uniform4((
            -0.1..1.2_f64,
            0.0..1.0_f64,
            prop_oneof![-0.1..0.05_f64, 0.0..1.2_f64, 0.0..300.0_f64],
        )),
    ) {
        let tables = models.map(|m| MODELS[m].drag);
        let rolling = models.map(|m| &MODELS[m].bodies[0].matter.rolling);
        let each = |n: fn(&(f64, f64, f64)) -> f64| f64x4::new(ratios.each_ref().map(n));
        let ours = super::drag::DragLanes::new(tables, rolling)
            .at(each(|r| r.0), each(|r| r.1), each(|r| r.2));
        for lane in 0..4 {
            let (lambda, off_axis, delta) = ratios[lane];
            let scalar = tables[lane].at(rolling[lane], lambda, off_axis, delta);
            for (ours, scalar) in [
                (ours.along, scalar.along),
                (ours.across, scalar.across),
                (ours.entrainment, scalar.entrainment),
            ] {
                let ours = lane_of(&ours, lane);
                prop_assert!(close(ours, scalar, scalar.abs().max(1e-3)), "{ours} {scalar} {:?}", ratios[lane]);
            }
        }
    }

    /// The scalar propagator is the source, over steps from 1 ms to 4 s.
    #[test]
    fn lanes_flow_as_the_scalar_fluid(
        ears in uniform4((0..5_usize, 0..2_usize)),
        volumes in uniform4(uniform2(uniform3(-1e-3..1e-3_f64))),
        drives in uniform4(uniform2(uniform3(-1.0..1.0_f64))),
        step in uniform4(-3.0..0.6_f64),
        still in 0..2_u32,
    ) {
        let fluids = ears.map(|(model, ear)| MODELS[model].fluid(Ear::ALL[ear]));
        let before = volumes.map(|[debris, rotation]| Displacement {
            debris_mm3: debris.into(),
            rotation_mm3: if still == 0 { Vector3::zeros() } else { rotation.into() },
        });
        let pressure = drives.map(|d| Vector3::from(d[0]) * 50.0);
        let later_mpa = drives.map(|d| Vector3::from(d[1]) * 20.0);
        let turn = drives.map(|d| if still == 0 { Vec3::zeros() } else { d[1].into() });
        let dt = step.map(|s| 10_f64.powf(s));
        let lanes = FluidLanes::new(fluids);
        let pressures = Vec3x4::from_lanes(pressure);
        let pressures = [pressures.x, pressures.y, pressures.z];
        let turns = Vec3x4::from_lanes(turn);
        let mut after = DisplacementLanes::from_lanes(before);
        let later = Vec3x4::from_lanes(later_mpa);
        let later = [later.x, later.y, later.z];
        lanes.step_between(&mut after, [&pressures, &later], &turns, f64x4::new(dt));
        let total = after.total_mm3();
        for lane in 0..4 {
            let mut scalar = before[lane];
            let ends = [&pressure[lane], &later_mpa[lane]];
            fluids[lane].step_between(&mut scalar, ends, &turn[lane], dt[lane]);
            let ours = after.lane(lane);
            let said = format!("{ours:?} {scalar:?}");
            let first = before[lane];
            for (ours, scalar, first) in [
                (ours.debris_mm3, scalar.debris_mm3, first.debris_mm3),
                (ours.rotation_mm3, scalar.rotation_mm3, first.rotation_mm3),
            ] {
                // What is left of a displacement is rounded like what was there.
                let size = scalar.norm().max(first.norm());
                prop_assert!(close_vec(&ours, &scalar, size), "{said}");
            }
            prop_assert_eq!(loops_of(&total, lane), after.lane(lane).total_mm3());
        }
    }
}
