//! How long one body takes, scalar and in lanes: figures for a reader, no check.
//!
//! `cargo test --release -p lithodrome-debris --lib lanes::timing -- --ignored --nocapture`

use std::hint::black_box;
use std::time::Instant;

use lithodrome_labyrinth::{
    Ear, EarShape, Hint, HintLanes, Region, Vec3, Vec3x4, WallLanes, WallSample,
};
use nalgebra::Vector3;
use wide::f64x4;

use super::body::BodyLanes;
use super::fluid::{DisplacementLanes, FluidLanes};
use super::random::MODELS;
use crate::law::forces;
use crate::model::endolymph::Displacement;
use crate::model::{Body, Model, Pieces};

/// Sets of four bodies.
const SETS: usize = 256;
const ROUNDS: usize = 2000;

/// Four bodies in ducts, each a hundredth of a millimetre on from where its hint was made.
struct Set {
    models: [&'static Model; 4],
    bodies: [&'static Body; 4],
    before: [Vec3; 4],
    at: [Vec3; 4],
    hints: [Hint; 4],
    walls: [WallSample; 4],
}

/// Bodies that do not lie on the wall are `gap` radii from where they would.
fn sets(lies: fn(usize) -> bool, gap: f64) -> Vec<Set> {
    let lane_of = |n: usize| {
        let model: &'static Model = &MODELS[n % 2 * 2];
        let body = &model.bodies[n % 6];
        let ear = model.ear_of(body);
        let share = 0.3 + 0.3 * ((n * 7919) % 1000) as f64 / 1000.0;
        let tube = &ear.tubes[body.canal.index()];
        let (from, to) = tube.range_mm();
        let (point, tangent, radius_mm) = tube.at(from + share * (to - from));
        let any = Vec3::new(0.3, (n % 13) as f64, 0.8);
        let side = tangent.cross(&any).normalize();
        let gap_mm = if lies(n) { 0.0 } else { gap * body.radius_mm };
        let before = point + side * (radius_mm - body.rest_mm - gap_mm);
        let mut hint = ear.find(before);
        ear.wall(before, &mut hint);
        let at = before + tangent * 0.01;
        let mut wall = ear.wall(at, &mut hint.clone());
        assert!(wall.alone && matches!(wall.region, Region::Duct(_)));
        if lies(n) {
            wall.depth_mm = body.rest_mm;
        }
        (model, body, at, hint, wall, before)
    };
    (0..SETS)
        .map(|set| {
            let lanes = [0, 1, 2, 3].map(|lane| lane_of(4 * set + lane));
            Set {
                models: lanes.map(|l| l.0),
                bodies: lanes.map(|l| l.1),
                before: lanes.map(|l| l.5),
                at: lanes.map(|l| l.2),
                hints: lanes.map(|l| l.3),
                walls: lanes.map(|l| l.4),
            }
        })
        .collect()
}

/// The shortest of many runs of `f` over everything, ns per body.
fn ns_per_body(mut f: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        f();
        best = best.min(start.elapsed().as_secs_f64());
    }
    best / (4 * SETS) as f64 * 1e9
}

fn say(what: &str, scalar: f64, lanes: f64) {
    let times = scalar / lanes;
    println!("{what:<28} scalar {scalar:6.1} ns, lanes {lanes:6.1} ns, {times:.2} times");
}

#[test]
#[ignore = "measures, checks nothing"]
fn ns_of_one_body() {
    for (what, lies, gap) in [
        ("lying", (|_| true) as fn(usize) -> bool, 0.0),
        ("falling by the wall", |_| false, 0.4),
        ("half of each", |n| (n / 3) % 2 == 0, 0.4),
    ] {
        let sets = sets(lies, gap);
        walls(what, &sets);
        actions(what, &sets);
    }
    fluids();
}

/// Bodies go to and fro between two places, as hints lead from where a body was to where it is.
fn walls(what: &str, sets: &[Set]) {
    let ears_of = |set: &Set| [0, 1, 2, 3].map(|lane| set.models[lane].ear_of(set.bodies[lane]));
    let mut hinted: Vec<_> = sets
        .iter()
        .map(|set| (ears_of(set), [set.before, set.at], set.hints))
        .collect();
    let mut there = 0;
    let scalar = ns_per_body(|| {
        there = 1 - there;
        for (ears, at, hints) in &mut hinted {
            for lane in 0..4 {
                let wall = ears[lane].wall(at[there][lane], &mut hints[lane]);
                black_box(&wall);
            }
        }
    });
    let mut hinted: Vec<_> = sets
        .iter()
        .map(|set| {
            let at = [set.before, set.at].map(Vec3x4::from_lanes);
            (ears_of(set), at, HintLanes::from_lanes(set.hints))
        })
        .collect();
    let lanes = ns_per_body(|| {
        there = 1 - there;
        for (ears, at, hints) in &mut hinted {
            let walls = EarShape::wall_lanes(*ears, &at[there], hints);
            black_box(&walls);
        }
    });
    say(&format!("wall, {what}"), scalar, lanes);
}

fn actions(what: &str, sets: &[Set]) {
    let pull = Vec3::new(800.0, 300.0, -9700.0);
    let flow = Vector3::new(1e-4, -2e-4, 3e-4);
    let scalar = ns_per_body(|| {
        for set in sets {
            for lane in 0..4 {
                let (model, body) = (set.models[lane], set.bodies[lane]);
                let wall = black_box(&set.walls[lane]);
                let action =
                    forces::action(model, body, &Pieces::whole(body), set.at[lane], wall, pull);
                black_box(action.allowed(&flow));
                black_box(&action);
            }
        }
    });
    let gathered: Vec<(BodyLanes<'_>, Vec3x4, WallLanes)> = sets
        .iter()
        .map(|set| {
            (
                BodyLanes::new(set.models, set.bodies),
                Vec3x4::from_lanes(set.at),
                WallLanes::from_lanes(set.walls),
            )
        })
        .collect();
    let (pull, flow) = (Vec3x4::splat(pull), flow.data.0[0].map(f64x4::splat));
    let lanes = ns_per_body(|| {
        for (bodies, at, walls) in &gathered {
            let action = bodies.action(at, black_box(walls), &pull);
            black_box(action.allowed(&flow));
            black_box(&action);
        }
    });
    say(&format!("action, {what}"), scalar, lanes);
}

fn fluids() {
    let fluids = [0, 1, 0, 1].map(|i| MODELS[i].fluid(Ear::ALL[i]));
    let moving = Displacement {
        debris_mm3: Vector3::new(1e-4, 2e-4, 3e-4),
        rotation_mm3: Vector3::new(3e-4, 2e-4, 1e-4),
    };
    let pressure = Vector3::new(3.0, 4.0, 5.0);
    let turn = Vec3::new(0.01, 0.02, 0.03);
    let scalar = ns_per_body(|| {
        for _ in 0..SETS {
            for fluid in fluids {
                let mut state = black_box(moving);
                fluid.step_between(&mut state, [&pressure; 2], &turn, black_box(0.01));
                black_box(&state);
            }
        }
    });
    let gathered = FluidLanes::new(fluids);
    let moving = DisplacementLanes::from_lanes([moving; 4]);
    let pressure = pressure.data.0[0].map(f64x4::splat);
    let turn = Vec3x4::splat(turn);
    let lanes = ns_per_body(|| {
        for _ in 0..SETS {
            let mut state = black_box(moving);
            let dt_s = black_box(f64x4::splat(0.01));
            gathered.step_between(&mut state, [&pressure; 2], &turn, dt_s);
            black_box(&state);
        }
    });
    say("fluid of one ear", scalar, lanes);
}
