//! Slow phases and beats over time, a pure function of a run.

use lithodrome_debris::Run;
use lithodrome_labyrinth::Vec3;

use crate::reflex::Memory;
use crate::{Gaze, Reflex, Watching};

/// What both eyes do, in eye axes: +x upper poles toward the right ear, +y down, +z left.
///
/// What can be told apart: the debris part is what the eyes would do if the same debris moved in a head
/// whose turning caused no signal. The difference of the two columns is not exactly the response to the
/// turning alone, because excitation and inhibition weigh differently and inhibition has a floor: both
/// act on the sum of the signals of a canal. In a hold, when the signal of the turning has died away,
/// the columns differ only by what storage and adaptation remember of it.
#[derive(Clone, Debug, PartialEq)]
pub struct EyeTrace {
    /// Sample times, s, those of the run.
    pub time_s: Vec<f64>,
    /// Slow-phase velocity caused by debris alone, rad/s, `[sample]`. The fast phase is opposite.
    pub debris_slow_phase_rad_s: Vec<Vec3>,
    /// Slow-phase velocity of all, the turning of the chair included, rad/s, `[sample]`.
    pub slow_phase_rad_s: Vec<Vec3>,
    /// Eye position with quick phases, rad, `[sample]`.
    pub position_rad: Vec<Vec3>,
}

/// The eyes of a run in the dark, looking ahead. The cost is linear in its samples and its length.
pub fn eyes_of(run: &Run, reflex: &Reflex) -> EyeTrace {
    eyes_watched(run, reflex, Watching::default())
}

/// The eyes of a run under goggles or in open light: fixation takes from every slow phase of the trace.
pub fn eyes_watched(run: &Run, reflex: &Reflex, watching: Watching) -> EyeTrace {
    eyes_from(
        run,
        EyeState::new(*reflex, run.n_exc_in_reid).watched(watching),
    )
}

fn eyes_from(run: &Run, mut state: EyeState) -> EyeTrace {
    let n = run.time_s.len();
    let mut eyes = EyeTrace {
        time_s: run.time_s.clone(),
        debris_slow_phase_rad_s: Vec::with_capacity(n),
        slow_phase_rad_s: Vec::with_capacity(n),
        position_rad: Vec::with_capacity(n),
    };
    let mut before_s = run.time_s.first().copied().unwrap_or(0.0);
    for (i, &time_s) in run.time_s.iter().enumerate() {
        let debris = run.debris_signal_rad_s.each_ref().map(|canal| canal[i]);
        let rotation = run.rotation_signal_rad_s.each_ref().map(|canal| canal[i]);
        let down_in_head = run.down_in_head[i];
        let sample = state.advance(time_s - before_s, &debris, &rotation, down_in_head);
        eyes.debris_slow_phase_rad_s
            .push(sample.debris_slow_phase_rad_s);
        eyes.slow_phase_rad_s.push(sample.slow_phase_rad_s);
        eyes.position_rad.push(sample.position_rad);
        before_s = time_s;
    }
    eyes
}

/// The eyes of a run that begins after the patient has sat for `sat_s` with the signals of its first sample.
pub fn eyes_after_sitting(run: &Run, reflex: &Reflex, watching: Watching, sat_s: f64) -> EyeTrace {
    eyes_from(run, sat_before(run, reflex, watching, sat_s))
}

/// The same without beats, whose steps of a few milliseconds are most of the cost: the eyes stay straight ahead.
/// Holds are judged by slow phases alone.
pub fn slow_phases_after_sitting(
    run: &Run,
    reflex: &Reflex,
    watching: Watching,
    sat_s: f64,
) -> EyeTrace {
    let state = EyeState {
        beats: false,
        ..sat_before(run, reflex, watching, sat_s)
    };
    eyes_from(run, state)
}

/// Eyes of a patient who has sat with the signals of a run's first sample.
fn sat_before(run: &Run, reflex: &Reflex, watching: Watching, sat_s: f64) -> EyeState {
    let first = |canal: &Vec<f64>| canal.first().copied().unwrap_or(0.0);
    let signals = run.debris_signal_rad_s.each_ref().map(first);
    EyeState::new(*reflex, run.n_exc_in_reid)
        .watched(watching)
        .sat(&signals, sat_s)
}

/// The eyes at one time; the columns of [`EyeTrace`].
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct EyeSample {
    /// Slow-phase velocity caused by debris alone, rad/s.
    pub debris_slow_phase_rad_s: Vec3,
    /// Slow-phase velocity of all, rad/s.
    pub slow_phase_rad_s: Vec3,
    /// Eye position with quick phases, rad.
    pub position_rad: Vec3,
}

/// The eyes from sample to sample, for a chair that is driven live; at rest and straight ahead at first.
#[derive(Clone, Debug, PartialEq)]
pub struct EyeState {
    reflex: Reflex,
    watching: Watching,
    n_exc_in_reid: [Vec3; 6],
    debris_memory: Memory,
    memory: Memory,
    gaze: Gaze,
    /// Quick phases bring the eyes back.
    beats: bool,
    last: Option<EyeSample>,
}

impl EyeState {
    /// Eyes that no signal has reached yet; the axes are those of [`Run::n_exc_in_reid`].
    pub fn new(reflex: Reflex, n_exc_in_reid: [Vec3; 6]) -> EyeState {
        EyeState {
            reflex,
            watching: Watching::default(),
            n_exc_in_reid,
            debris_memory: Memory::default(),
            memory: Memory::default(),
            gaze: Gaze::default(),
            beats: true,
            last: None,
        }
    }

    /// The same eyes under goggles or in open light, looking elsewhere.
    #[must_use]
    pub fn watched(self, watching: Watching) -> EyeState {
        EyeState { watching, ..self }
    }

    /// The same eyes after `sat_s` with these signals of debris all along: stored and adapted to.
    #[must_use]
    pub fn sat(mut self, debris_signal_rad_s: &[f64; 6], sat_s: f64) -> EyeState {
        let command = self
            .reflex
            .command(debris_signal_rad_s, &self.n_exc_in_reid);
        let upright = -Vec3::z();
        for memory in [&mut self.debris_memory, &mut self.memory] {
            for dt_s in [0.0, sat_s] {
                memory.advance(&self.reflex, dt_s, command, upright);
            }
        }
        self
    }

    /// The eyes `dt_s` after the last sample (of no meaning for the first), with the signals of the six
    /// canals then, rad/s, in the order of `CanalId::ALL`, and gravity in the head, a unit vector.
    pub fn advance(
        &mut self,
        dt_s: f64,
        debris_signal_rad_s: &[f64; 6],
        rotation_signal_rad_s: &[f64; 6],
        down_in_head: Vec3,
    ) -> EyeSample {
        let all: [f64; 6] =
            std::array::from_fn(|i| debris_signal_rad_s[i] + rotation_signal_rad_s[i]);
        let debris_command = self
            .reflex
            .command(debris_signal_rad_s, &self.n_exc_in_reid);
        let command = self.reflex.command(&all, &self.n_exc_in_reid);
        let debris_slow_phase_rad_s =
            self.debris_memory
                .advance(&self.reflex, dt_s, debris_command, down_in_head);
        let slow_phase_rad_s = self
            .memory
            .advance(&self.reflex, dt_s, command, down_in_head);
        let debris_slow_phase_rad_s = self.watching.left_by_fixation(debris_slow_phase_rad_s);
        let slow_phase_rad_s = self.watching.left_by_fixation(slow_phase_rad_s);
        if let Some(last) = self.last.filter(|_| self.beats) {
            self.gaze
                .advance(dt_s, last.slow_phase_rad_s, slow_phase_rad_s);
        }
        let sample = EyeSample {
            debris_slow_phase_rad_s,
            slow_phase_rad_s,
            position_rad: self.gaze.position_rad,
        };
        self.last = Some(sample);
        sample
    }
}
