//! The same small stage for every test of the engines.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "each test program uses a part, and may fail loudly"
)]

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step};
use lithodrome_debris::{DebrisGroup, Engine, Matter, Model, Physics, Run, Start, Track, simulate};
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth, Region};

pub(crate) fn labyrinth() -> Arc<Labyrinth> {
    let anatomy = Anatomy::named("mean-adult").unwrap().unwrap();
    Arc::new(Labyrinth::build(&anatomy).unwrap())
}

pub(crate) fn chair(yaw_deg: f64, track_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: 0.0,
    }
}

/// Steps of (yaw, track, move, hold) in degrees and seconds, from upright.
pub(crate) fn motion(start: (f64, f64), steps: &[(f64, f64, f64, f64)]) -> HeadMotion {
    let steps = steps.iter().map(|&(yaw, track, move_s, hold_s)| Step {
        name: String::new(),
        to: chair(yaw, track),
        move_s,
        hold_s,
    });
    HeadMotion::new(
        chair(start.0, start.1),
        steps.collect(),
        MoveProfile::MinimumJerk,
        Lever {
            head_above_track_axis_mm: 550.0,
        },
    )
    .unwrap()
}

/// Epley's manoeuvre for the posterior canal of an ear, each lying position held for `hold_s`. The mirror
/// image of the chair turns both of its axes the other way.
pub(crate) fn epley(ear: Ear, hold_s: f64) -> HeadMotion {
    let side = if ear == Ear::Right { 1.0 } else { -1.0 };
    motion(
        (0.0, 0.0),
        &[
            (45.0 * side, 0.0, 3.0, 5.0),
            (45.0 * side, 120.0 * side, 3.0, hold_s),
            (135.0 * side, 120.0 * side, 3.0, hold_s),
            (225.0 * side, 120.0 * side, 3.0, hold_s),
            (225.0 * side, 0.0, 4.0, 20.0),
        ],
    )
}

pub(crate) fn debris(ear: Ear, count: u32, diameter_um: f64) -> DebrisGroup {
    DebrisGroup {
        ear,
        canal: Canal::Posterior,
        start: Start::AmpullaryArm,
        count,
        diameter_mm: diameter_um / 1000.0,
        density_mg_mm3: 2.7,
        matter: Matter::default(),
    }
}

/// The same bodies with a resistance to rolling.
pub(crate) fn resisting(group: DebrisGroup, resistance: f64) -> DebrisGroup {
    let rolling = group.matter.rolling.resisting(resistance);
    DebrisGroup {
        matter: Matter {
            rolling,
            ..group.matter
        },
        ..group
    }
}

pub(crate) fn run(
    groups: &[DebrisGroup],
    physics: Physics,
    motion: &HeadMotion,
    engine: Engine,
) -> Run {
    let model = Model::new(labyrinth(), groups, physics, &motion.at(0.0)).unwrap();
    simulate(&model, motion, engine, &mut |_| ControlFlow::Continue(())).unwrap()
}

/// Whether debris ends in the vestibule: in the utricle or on the utricular side of a cupula.
pub fn out_of_canal(track: &Track) -> bool {
    matches!(
        track.place.last().unwrap().region,
        Region::Utricle | Region::ShortArm(_)
    )
}
