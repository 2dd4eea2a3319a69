//! An ear that is stepped by the chair's present pose, for a chair that is driven by hand.

use std::sync::Arc;

use lithodrome_chair::{AngleSample, HeadPose};
use lithodrome_labyrinth::{Canal, CanalId, Vec3};

use super::columns::{Engine, Run};
use super::mover::Mover;
use super::record::Recorder;
use super::start::initial_state;
use crate::error::SimulateError;
use crate::model::{Body, Drive, Model};
use crate::place::Place;
use crate::settling::step_size::next_step;
use crate::state::{BodyState, State};

/// Most angles kept of a drive; beyond, every second one is left out: two hours at 60 Hz.
const ANGLES: usize = 432_000;
/// Samples that a rest is kept with, however long it is.
const REST: usize = 4;

/// Debris, endolymph and cupulae of both ears while somebody drives the chair.
///
/// Give it the pose of every frame; between two frames the drive is taken to change evenly, and the
/// engine divides the frame into as many steps as it needs. Frames of 1/60 s agree with
/// [`simulate`](crate::simulate()) of the same motion within a few micrometres.
///
/// What was driven is recorded: [`Live::angles`] for `HeadMotion::from_samples`, and [`Live::so_far`]
/// or [`Live::finish`] as a [`Run`].
pub struct Live {
    model: Arc<Model>,
    engine: Engine,
    state: State,
    mover: Mover,
    recorder: Recorder,
    angles: Vec<AngleSample>,
    /// Every how many frames the angles are kept, and how many frames there were.
    keep_every: usize,
    frames: usize,
    time_s: f64,
    drive: Drive,
    down_in_head: Vec3,
}

/// Where everything is at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// Time since the start, s.
    pub time_s: f64,
    /// Gravity in head axes, unit vector.
    pub down_in_head: Vec3,
    /// The bodies, in the order of [`Model::bodies`].
    pub bodies: Vec<BodyNow>,
    /// Cupula signals caused by debris, rad/s, `[canal of CanalId::ALL]`, as in
    /// [`Run::debris_signal_rad_s`]: what the eyes take in.
    pub debris_signal_rad_s: [f64; 6],
    /// The same for what the head's own rotation causes.
    pub rotation_signal_rad_s: [f64; 6],
}

/// Where one body is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyNow {
    /// Part and arc.
    pub place: Place,
    /// Centre in Reid axes, mm.
    pub position_in_reid_mm: Vec3,
    /// Place on the course of its start canal, mm; `None` while it is in another canal.
    pub course_mm: Option<f64>,
}

impl Live {
    /// Bodies at their start; `pose` is the head's now, the one the model was made with.
    pub fn new(model: Arc<Model>, engine: Engine, pose: &HeadPose) -> Live {
        let state = initial_state(&model);
        let mover = Mover::new(engine, &model, &state);
        let mut recorder = Recorder::new(&model, engine, None);
        recorder.first(&model, &state, &|_| (0, pose.down_in_head));
        let mut live = Live {
            engine,
            state,
            mover,
            recorder,
            angles: Vec::new(),
            keep_every: 1,
            frames: 0,
            time_s: 0.0,
            drive: model.drive(pose),
            down_in_head: pose.down_in_head,
            model,
        };
        live.keep_angles(pose);
        live
    }

    /// Goes on by one frame, `dt_s` long, at whose end the head is at `pose`. The pose's own time is
    /// not looked at. A frame that is not longer than 0 s changes nothing.
    ///
    /// # Errors
    /// The engine lost a body; the state then stays as it is and must not be stepped on.
    pub fn advance(&mut self, pose: &HeadPose, dt_s: f64) -> Result<(), SimulateError> {
        if !(dt_s > 0.0 && dt_s.is_finite()) {
            return Ok(());
        }
        let (start_s, end_s) = (self.time_s, self.time_s + dt_s);
        let (from, to) = (self.drive, self.model.drive(pose));
        let (down_before, down_after) = (self.down_in_head, pose.down_in_head);
        let held = from == to && pose.is_at_rest();
        let share = |t_s: f64| (t_s - start_s) / dt_s;
        let drive = |t_s: f64| between(&from, &to, share(t_s));
        let head = |t_s: f64| {
            let down = down_before + (down_after - down_before) * share(t_s);
            (0, down.try_normalize(1e-9).unwrap_or(down_after))
        };
        let mut at = from;
        while self.time_s < end_s {
            let limit_s = self.mover.step_limit_s(&self.model, &self.state, !held);
            let (step_s, next_s) = next_step(self.time_s, end_s, limit_s);
            let (mid, end) = (drive(self.time_s + 0.5 * step_s), drive(next_s));
            let drives = [&at, &mid, &end];
            let stepped =
                self.mover
                    .advance(&self.model, &mut self.state, drives, held, step_s, next_s)?;
            self.time_s = next_s;
            at = end;
            let when = [next_s, step_s];
            self.recorder
                .after_step(&self.model, &self.state, &head, when, &stepped);
        }
        self.drive = to;
        self.down_in_head = pose.down_in_head;
        self.frames += 1;
        self.keep_angles(pose);
        Ok(())
    }

    /// Time since the start, s.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// Which engine moves the bodies.
    pub fn engine(&self) -> Engine {
        self.engine
    }

    /// What stays constant.
    pub fn model(&self) -> &Arc<Model> {
        &self.model
    }

    /// Where everything is now.
    pub fn snapshot(&self) -> Snapshot {
        let signals = |volumes: &dyn Fn(usize, Canal) -> f64| {
            CanalId::ALL.map(|id| {
                let volume_mm3 = volumes(id.ear.index(), id.canal);
                self.model.fluid(id.ear).signal_rad_s(id.canal, volume_mm3)
            })
        };
        let fluid = &self.state.fluid;
        let body_now = |(body, now): (&Body, &BodyState)| BodyNow {
            place: Place::of(&self.model, body, &now.wall),
            position_in_reid_mm: now.at,
            course_mm: self.model.ear_of(body).course_mm(
                body.canal,
                now.wall.region,
                now.wall.arc_mm,
            ),
        };
        Snapshot {
            time_s: self.time_s,
            down_in_head: self.down_in_head,
            bodies: self
                .model
                .bodies
                .iter()
                .zip(&self.state.bodies)
                .map(body_now)
                .collect(),
            debris_signal_rad_s: signals(&|ear, canal| fluid[ear].debris_mm3[canal.index()]),
            rotation_signal_rad_s: signals(&|ear, canal| fluid[ear].rotation_mm3[canal.index()]),
        }
    }

    /// The chair's angles of the frames driven, the start included; of a rest only its first two and last two. With them and the headrest's
    /// flexion, `HeadMotion::from_samples` makes the drive one that can be saved and rerun.
    pub fn angles(&self) -> &[AngleSample] {
        &self.angles
    }

    /// The run up to its last sample, at most one sample (0.05 s at first) ago. It is bounded: at most
    /// 40,000 samples (fewer with many bodies); when that is reached, every second one is left out and
    /// the next are twice as far apart. Its step indices are all 0.
    pub fn so_far(&self) -> &Run {
        self.recorder.so_far()
    }

    /// The whole run, with a sample now and all warnings.
    pub fn finish(self) -> Run {
        let down = self.down_in_head;
        self.recorder.finish(&self.model, &|_| (0, down))
    }

    fn keep_angles(&mut self, pose: &HeadPose) {
        if !self.frames.is_multiple_of(self.keep_every) {
            return;
        }
        let now = AngleSample {
            time_s: self.time_s,
            yaw_rad: pose.angles.yaw_rad,
            track_rad: pose.angles.track_rad,
        };
        let still = |s: &AngleSample| {
            s.yaw_rad.to_bits() == now.yaw_rad.to_bits()
                && s.track_rad.to_bits() == now.track_rad.to_bits()
        };
        let n = self.angles.len();
        if n >= REST && self.angles[n - REST..].iter().all(still) {
            // A rest is told by its first two and last two samples: between them the curve stands still.
            self.angles[n - 2] = self.angles[n - 1];
            self.angles[n - 1] = now;
            return;
        }
        self.angles.push(now);
        if self.angles.len() >= ANGLES {
            let mut keep = false;
            self.angles.retain(|_| {
                keep = !keep;
                keep
            });
            self.keep_every *= 2;
        }
    }
}

/// The drive at a share of the way.
fn between(from: &Drive, to: &Drive, share: f64) -> Drive {
    let blend = |a: Vec3, b: Vec3| a + (b - a) * share;
    Drive {
        pull_mm_s2: std::array::from_fn(|ear| blend(from.pull_mm_s2[ear], to.pull_mm_s2[ear])),
        turning_rad_s: blend(from.turning_rad_s, to.turning_rad_s),
    }
}
