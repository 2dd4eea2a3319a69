//! Manoeuvres for the tests of this crate, in degrees and seconds.
#![allow(dead_code, unreachable_pub, missing_docs, reason = "each test program uses a part")]

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step};
use lithodrome_debris::{
    DebrisGroup, Engine, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Run, Start, simulate,
};
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth};

/// yaw and track (deg), move and hold (s).
pub type Turn = (f64, f64, f64, f64);

/// Whole-body Epley for the right ear (Front Neurol 2023;14:1239959, Fig 1).
pub const EPLEY: &[Turn] = &[
    (45.0, 0.0, 3.0, 5.0),
    (45.0, 120.0, 3.0, 30.0),
    (135.0, 120.0, 3.0, 30.0),
    (225.0, 120.0, 3.0, 30.0),
    (225.0, 0.0, 4.0, 20.0),
];

/// One group of bodies and one manoeuvre in the mean adult ear.
pub struct Scene {
    pub ear: Ear,
    pub canal: Canal,
    pub start: Start,
    pub count: u32,
    pub diameter_um: f64,
    pub from_deg: (f64, f64),
    pub steps: &'static [Turn],
    pub engine: Engine,
    pub step_scale: f64,
}

impl Scene {
    pub fn run(&self) -> Run {
        let motion = motion(self.from_deg, self.steps);
        let labyrinth = Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap();
        let group = DebrisGroup {
            ear: self.ear,
            canal: self.canal,
            start: self.start,
            count: self.count,
            diameter_mm: self.diameter_um / 1000.0,
            density_mg_mm3: OTOCONIA_DENSITY_MG_MM3,
        };
        let physics = Physics::default();
        let mut model = Model::new(Arc::new(labyrinth), &[group], physics, &motion.at(0.0)).unwrap();
        model.step_scale = self.step_scale;
        simulate(&model, &motion, self.engine, &mut |_| ControlFlow::Continue(())).unwrap()
    }
}

pub fn motion(from_deg: (f64, f64), steps: &[Turn]) -> HeadMotion {
    let angles = |yaw: f64, track: f64| ChairAngles {
        yaw_rad: yaw.to_radians(),
        track_rad: track.to_radians(),
        headrest_flexion_rad: 0.0,
    };
    let steps = steps
        .iter()
        .map(|s| Step { name: "step".into(), to: angles(s.0, s.1), move_s: s.2, hold_s: s.3 })
        .collect();
    HeadMotion::new(angles(from_deg.0, from_deg.1), steps, MoveProfile::MinimumJerk, Lever::default())
        .unwrap()
}
