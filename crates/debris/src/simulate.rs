//! From model and motion to a run.

use std::ops::ControlFlow;

use lithodrome_chair::HeadMotion;

use crate::model::Model;
use crate::record::Recorder;
use crate::run::{Engine, Run};
use crate::{rigid, settling};

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
    let mut world = match engine {
        Engine::Settling => None,
        Engine::Rigid => Some(rigid::World::new(model, &state)),
    };
    let mut recorder = Recorder::new(model, motion, engine);
    recorder.first(&state);
    let (mut time_s, mut told_s) = (0.0, 0.0);
    let mut at = model.drive(&motion.at(0.0));
    while time_s < duration_s {
        let (phase_end_s, held) = phase(motion, time_s);
        let limit = match &world {
            None => settling::step_limit_s(model, &state, !held),
            Some(world) => world.step_limit_s(&state),
        }
        .min(motion.longest_step_s(time_s));
        let left = phase_end_s - time_s;
        // Two even steps rather than one and a crumb.
        let dt_s = if left <= limit {
            left
        } else if left < 2.0 * limit {
            left / 2.0
        } else {
            limit
        };
        let next_s = if left <= limit {
            phase_end_s
        } else {
            time_s + dt_s
        };
        let (mid, end) = if held {
            let mut still = at;
            still.turning_rad_s = lithodrome_labyrinth::Vec3::zeros();
            (still, still)
        } else {
            (
                model.drive(&motion.at(time_s + 0.5 * dt_s)),
                model.drive(&motion.at(next_s)),
            )
        };
        let drives = [&at, &mid, &end];
        let moved = match &mut world {
            None => settling::advance(model, &mut state, drives, held, dt_s),
            Some(world) => world.advance(model, &mut state, drives, dt_s, next_s)?,
        };
        time_s = next_s;
        at = end;
        if let Some(i) = state.grains.iter().position(|g| !g.at.sum().is_finite()) {
            return Err(SimulateError::NotANumber {
                debris: i + 1,
                time_s,
            });
        }
        recorder.after_step(&state, time_s, dt_s, moved);
        if time_s - told_s >= TELL_S {
            told_s = time_s;
            if progress(time_s / duration_s).is_break() {
                return Err(SimulateError::Cancelled { time_s });
            }
        }
    }
    Ok(recorder.finish(&state))
}

/// The end of the move or hold that `time_s` lies in, and whether it is a hold.
fn phase(motion: &HeadMotion, time_s: f64) -> (f64, bool) {
    let duration_s = motion.duration_s();
    let Some(times) = motion.times().get(motion.step_at(time_s)) else {
        return (duration_s, false);
    };
    // The last step's end is the run's, to the last bit.
    let end_s = if times.end_s > duration_s {
        duration_s
    } else {
        times.end_s
    };
    if time_s < times.hold_from_s {
        (times.hold_from_s, false)
    } else if time_s < end_s {
        (end_s, true)
    } else {
        (duration_s, false)
    }
}
