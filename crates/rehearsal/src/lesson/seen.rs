//! What a resident sees of each act, and what the patient says. It knows the eyes and nothing else.

use lithodrome_debris::Run;
use lithodrome_labyrinth::Vec3;
use lithodrome_nystagmus::{EyeTrace, Finding, Judging, Reflex, eyes_watched, judge};

use super::act::{Act, Look, Part};
use crate::compile::Compiled;

/// From this slow phase in the dark on the patient feels turning, rad/s: whole-body turning is felt from
/// about 1 deg/s (Grabherr 2008, Exp Brain Res 186:677, from memory; yaw, faster than 1 Hz).
const FELT_RAD_S: f64 = 1.0 * std::f64::consts::PI / 180.0;

/// What was there to be seen in one hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// Name of the act.
    pub name: String,
    /// What it was done for.
    pub part: Part,
    /// Start of the move, s.
    pub start_s: f64,
    /// Start of the hold, s.
    pub hold_from_s: f64,
    /// End of the hold, s.
    pub end_s: f64,
    /// Gravity in the head in the hold.
    pub down_in_head: Vec3,
    /// The resident looked.
    pub looked: bool,
    /// The eyes while the resident looked; without anything if he did not.
    pub finding: Finding,
    /// The patient feels turning in the hold for a second or longer.
    pub vertigo: bool,
}

/// The eyes of a session as they can be looked at, and what its acts show; the first step of its scenario
/// is the history.
pub(super) fn seen_in(compiled: &Compiled, run: &Run, acts: &[Act]) -> (EyeTrace, Vec<Seen>) {
    let in_the_dark = eyes_watched(run, &Reflex::default(), Look::default().watching());
    let in_the_light = acts.iter().any(|act| act.look.fixation).then(|| {
        let look = Look {
            fixation: true,
            ..Look::default()
        };
        eyes_watched(run, &Reflex::default(), look.watching())
    });
    let times = compiled.motion.times();
    let seen = acts
        .iter()
        .zip(times.iter().skip(1))
        .map(|(act, times)| {
            let look = act.look;
            let hold_s = times.end_s - times.hold_from_s;
            let eyes = match (&in_the_light, look.fixation) {
                (Some(eyes), true) => eyes,
                _ => &in_the_dark,
            };
            let from_s = times.hold_from_s + look.from_s.clamp(0.0, hold_s);
            let to_s = times.hold_from_s + look.to_s.unwrap_or(hold_s).clamp(0.0, hold_s);
            let down_in_head = compiled.motion.at(times.hold_from_s).down_in_head;
            let judging = Judging {
                watching: look.watching(),
                ..compiled.judging
            };
            let looked = !look.is_away(hold_s);
            let finding = if looked {
                judge(eyes, from_s, to_s, down_in_head, &judging)
            } else {
                // Before the first sample there is nothing to judge.
                judge(eyes, -2.0, -1.0, down_in_head, &judging)
            };
            Seen {
                name: act.step.name.clone(),
                part: act.part,
                start_s: times.start_s,
                hold_from_s: times.hold_from_s,
                end_s: times.end_s,
                down_in_head,
                looked,
                finding,
                vertigo: is_felt(&in_the_dark, times.hold_from_s, times.end_s),
            }
        })
        .collect();
    let mut eyes = in_the_dark;
    if let Some(light) = in_the_light {
        for (act, times) in acts.iter().zip(times.iter().skip(1)) {
            if act.look.fixation {
                take_over(&mut eyes, &light, times.start_s, times.end_s);
            }
        }
    }
    (eyes, seen)
}

/// The samples between two times are those of another trace of the same run.
fn take_over(eyes: &mut EyeTrace, other: &EyeTrace, from_s: f64, to_s: f64) {
    let from = eyes.time_s.partition_point(|&t| t < from_s);
    let to = eyes.time_s.partition_point(|&t| t <= to_s);
    let part = from..to;
    eyes.debris_slow_phase_rad_s[part.clone()]
        .copy_from_slice(&other.debris_slow_phase_rad_s[part.clone()]);
    eyes.slow_phase_rad_s[part.clone()].copy_from_slice(&other.slow_phase_rad_s[part.clone()]);
    eyes.position_rad[part.clone()].copy_from_slice(&other.position_rad[part]);
}

/// Debris or a cupula turns the eyes in the dark for a second in all.
fn is_felt(eyes: &EyeTrace, from_s: f64, to_s: f64) -> bool {
    let mut felt_s = 0.0;
    for (i, pair) in eyes.time_s.windows(2).enumerate() {
        if pair[0] >= from_s
            && pair[1] <= to_s
            && eyes.debris_slow_phase_rad_s[i].norm() >= FELT_RAD_S
        {
            felt_s += pair[1] - pair[0];
        }
    }
    felt_s >= 1.0
}
