//! What is seen in each hold of a run.

use lithodrome_chair::StepTimes;
use lithodrome_nystagmus::{EyeTrace, Finding, Horizontal, Sense, Torsion, Vertical, judge};

use crate::compile::Compiled;

/// One finding a step.
pub(crate) fn findings_of(compiled: &Compiled, eyes: &EyeTrace) -> Vec<Finding> {
    let times = compiled.motion.times().iter();
    times.map(|t| judge_hold(compiled, eyes, *t)).collect()
}

/// The hold of a step, when the chair stands; a step without a hold shows nothing.
pub(crate) fn judge_hold(compiled: &Compiled, eyes: &EyeTrace, times: StepTimes) -> Finding {
    if times.end_s <= times.hold_from_s {
        return Finding {
            vertical: Vertical::None,
            torsion: Torsion::None,
            horizontal: Horizontal::None,
            sense: Sense::None,
            latency_s: 0.0,
            peak_at_s: 0.0,
            peak_spv_rad_s: 0.0,
            duration_s: 0.0,
            peak_components_rad_s: [0.0; 3],
            decay_tau_s: None,
            reversed: false,
            seen_at_end: false,
            crescendo: false,
            turning_peak_rad_s: 0.0,
        };
    }
    let down_in_head = compiled.motion.at(times.hold_from_s).down_in_head;
    judge(
        eyes,
        times.hold_from_s,
        times.end_s,
        down_in_head,
        &compiled.judging,
    )
}
