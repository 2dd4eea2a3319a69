//! From model and motion to a run.

use std::cell::Cell;
use std::ops::ControlFlow;

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::Vec3;

use super::columns::{Engine, Run};
use super::mover::Mover;
use super::record::Recorder;
use super::start::initial_state;
use crate::error::SimulateError;
use crate::model::{Model, Segment};
use crate::settling::step_size::next_step;

/// How often progress is told, s of the run.
const TELL_S: f64 = 1.0;

/// Computes a run. `progress` hears the share done now and then and may break off.
pub fn simulate(
    model: &Model,
    motion: &HeadMotion,
    engine: Engine,
    progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<Run, SimulateError> {
    let duration_s = motion.duration_s();
    let mut state = initial_state(model);
    let mut mover = Mover::new(engine, model, &state);
    let mut recorder = Recorder::new(model, engine, Some(duration_s));
    // While the chair is held its pose is asked for once: until when, the step, gravity in the head.
    let hold = Cell::new((0.0, 0, Vec3::zeros()));
    let head = |t_s: f64| {
        let (until_s, step, down_in_head) = hold.get();
        if t_s < until_s {
            return (step, down_in_head);
        }
        (motion.step_at(t_s), motion.at(t_s).down_in_head)
    };
    recorder.first(model, &state, &head);
    let (mut time_s, mut told_s) = (0.0, 0.0);
    let mut segment = Segment::after(model, motion, time_s, None);
    while time_s < duration_s {
        if time_s >= segment.to_s {
            segment = Segment::after(model, motion, time_s, Some(&segment));
        }
        let held = segment.held;
        if held && hold.get().0 < segment.to_s {
            let (step, down_in_head) = (motion.step_at(time_s), motion.at(time_s).down_in_head);
            hold.set((segment.to_s, step, down_in_head));
        } else if !held {
            hold.set((0.0, 0, Vec3::zeros()));
        }
        let limit_s = mover.step_limit_s(model, &state, !held);
        let (dt_s, next_s) = next_step(time_s, segment.to_s, limit_s);
        let [at, mid, end] = segment.drives(time_s, next_s);
        let drives = [&at, &mid, &end];
        let stepped = mover.advance(model, &mut state, drives, held, dt_s, next_s)?;
        time_s = next_s;
        recorder.after_step(model, &state, &head, [time_s, dt_s], &stepped);
        if time_s - told_s >= TELL_S {
            told_s = time_s;
            if progress(time_s / duration_s).is_break() {
                return Err(SimulateError::Cancelled { time_s });
            }
        }
    }
    Ok(recorder.finish(model, &head))
}
