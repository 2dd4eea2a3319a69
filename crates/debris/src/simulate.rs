//! From model and motion to a run.

use std::cell::Cell;
use std::ops::ControlFlow;

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::Vec3;

use crate::model::Model;
use crate::mover::{Mover, next_step};
use crate::record::Recorder;
use crate::run::{Engine, Run};
use crate::stretch::Stretch;

/// Why a run did not come to its end.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SimulateError {
    /// Somebody asked it to stop.
    #[error("stopped at {time_s:.1} s of the run")]
    Cancelled {
        /// Time reached.
        time_s: f64,
    },
    /// A number stopped being one.
    #[error("debris {debris} has no place any more at {time_s:.3} s of the run")]
    NotANumber {
        /// Which body, from 1.
        debris: usize,
        /// Time reached.
        time_s: f64,
    },
    /// The rigid engine gave up a body.
    #[error("the rigid engine lost {bodies} bodies at {time_s:.3} s of the run")]
    Lost {
        /// How many.
        bodies: usize,
        /// Time reached.
        time_s: f64,
    },
}

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
    let mut state = model.initial_state();
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
    let mut stretch = Stretch::after(model, motion, time_s, None);
    while time_s < duration_s {
        if time_s >= stretch.to_s {
            stretch = Stretch::after(model, motion, time_s, Some(&stretch));
        }
        let held = stretch.held;
        if held && hold.get().0 < stretch.to_s {
            let (step, down_in_head) = (motion.step_at(time_s), motion.at(time_s).down_in_head);
            hold.set((stretch.to_s, step, down_in_head));
        } else if !held {
            hold.set((0.0, 0, Vec3::zeros()));
        }
        let limit_s = mover.step_limit_s(model, &state, !held);
        let (dt_s, next_s) = next_step(time_s, stretch.to_s, limit_s);
        let [at, mid, end] = stretch.drives(time_s, next_s);
        let drives = [&at, &mid, &end];
        let moved = mover.advance(model, &mut state, drives, held, dt_s, next_s)?;
        time_s = next_s;
        recorder.after_step(model, &state, &head, [time_s, dt_s], moved);
        if time_s - told_s >= TELL_S {
            told_s = time_s;
            if progress(time_s / duration_s).is_break() {
                return Err(SimulateError::Cancelled { time_s });
            }
        }
    }
    Ok(recorder.finish(model, &head))
}
