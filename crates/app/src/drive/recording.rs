//! What was driven so far, as the window shows a run.

use lithodrome_chair::{AngleSample, StepTimes};
use lithodrome_debris::Run;
use lithodrome_nystagmus::{Reflex, Watching, eyes_watched, judge, sentence};
use lithodrome_rehearsal::{LimitBreach, StepEntry, happenings, spare_hold_s};

use crate::work::stage_data::{ChairColumns, Loaded};

/// The latest part of a drive that is shown with every sample, s.
const WHOLE_S: f64 = 120.0;
/// Samples of what came before it that are shown at most.
const EARLIER: usize = 3_600;

/// A run for showing: of what is long past some samples only. What was driven is kept whole all the same, as
/// angles.
pub(crate) fn view(run: &Run) -> Run {
    let n = run.time_s.len();
    let late_s = run.time_s.last().map_or(0.0, |end_s| end_s - WHOLE_S);
    let late = run.time_s.partition_point(|&t| t < late_s);
    let every = late.div_ceil(EARLIER).max(1);
    let samples: Vec<usize> = (0..late).step_by(every).chain(late..n).collect();
    run.at_samples(&samples)
}

/// What was driven so far, besides the run.
pub(crate) struct Played<'a> {
    /// The chair.
    pub(crate) angles: &'a [AngleSample],
    /// Moves and holds.
    pub(crate) steps: &'a [StepTimes],
    /// Their names.
    pub(crate) names: &'a dyn Fn(usize) -> String,
    /// How the eyes are watched.
    pub(crate) watching: Watching,
    /// When nobody looks at them, from and to, s.
    pub(crate) unwatched_s: Vec<[f64; 2]>,
    /// The limits passed.
    pub(crate) breaches: Vec<LimitBreach>,
}

/// The drive so far in the plan's case.
pub(crate) fn as_loaded(plan: &Loaded, run: Run, played: Played) -> Loaded {
    let Played {
        angles,
        steps,
        names,
        watching,
        unwatched_s,
        breaches,
    } = played;
    let eyes = eyes_watched(&run, &Reflex::default(), watching);
    let finding = |step: &StepTimes| {
        let at = run.time_s.partition_point(|&t| t < step.hold_from_s);
        let down = run.down_in_head[at.min(run.down_in_head.len() - 1)];
        sentence(&judge(
            &eyes,
            step.hold_from_s,
            step.end_s,
            down,
            &plan.judging,
        ))
    };
    let chair = columns(&run.time_s, angles, plan.chair.headrest_flexion_rad);
    let mut scenario = plan.scenario.clone();
    scenario.steps = steps
        .iter()
        .enumerate()
        .map(|(i, step)| StepEntry {
            name: names(i),
            move_s: step.hold_from_s - step.start_s,
            hold_s: step.end_s - step.hold_from_s,
            ..StepEntry::default()
        })
        .collect();
    let mut report = plan.report.clone();
    report.steps.clear();
    Loaded {
        hidden: false,
        unwatched_s,
        scenario,
        compiled: plan.compiled.clone(),
        report,
        origin: plan.origin.clone(),
        chair,
        step_times: steps.to_vec(),
        findings: steps.iter().map(finding).collect(),
        warnings: Vec::new(),
        breaches,
        attached_until_s: plan.attached_until_s.clone(),
        judging: plan.judging,
        fastest_flow_pl_s: plan.fastest_flow_pl_s,
        happenings: happenings(&run),
        spare_hold_s: spare_hold_s(&run, steps),
        ears: plan.ears.clone(),
        reid_pitch_nose_up_rad: plan.reid_pitch_nose_up_rad,
        run,
        eyes,
    }
}

/// The angles at the run's sample times.
fn columns(time_s: &[f64], angles: &[AngleSample], headrest_flexion_rad: f64) -> ChairColumns {
    let mut columns = ChairColumns {
        headrest_flexion_rad,
        ..ChairColumns::default()
    };
    let mut i = 0;
    for &t in time_s {
        while i + 1 < angles.len() && angles[i + 1].time_s <= t {
            i += 1;
        }
        let Some(a) = angles.get(i) else { continue };
        let b = angles.get(i + 1).unwrap_or(a);
        let span = b.time_s - a.time_s;
        let share = if span > 0.0 {
            ((t - a.time_s) / span).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let blend = |from: f64, to: f64| from + (to - from) * share;
        columns.yaw_rad.push(blend(a.yaw_rad, b.yaw_rad));
        columns.track_rad.push(blend(a.track_rad, b.track_rad));
    }
    columns
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::work::{
        ears::Ears,
        load::{Job, load},
        progress::Waker,
        stage_data::Origin,
    };

    #[test]
    fn a_short_drive_is_shown_whole_and_a_long_one_ends_where_it_is() {
        let job = Job {
            origin: Origin::Shipped,
            draft: None,
        };
        let waker: Waker = Arc::new(|| {});
        let run = load(&job, &Ears::default(), &waker, &|_| true).unwrap().run;
        let n = run.time_s.len();
        assert_eq!(view(&run).time_s.len(), n);
        // The same samples over and over, two seconds apart.
        let all: Vec<usize> = (0..n).cycle().take(10_000).collect();
        let mut long = run.at_samples(&all);
        long.time_s = (0..all.len()).map(|i| 2.0 * i as f64).collect();
        let shown = view(&long);
        assert!(shown.time_s.len() <= EARLIER + 62 && shown.time_s.len() > EARLIER / 2);
        assert_eq!(shown.time_s.last(), long.time_s.last());
        assert_eq!(shown.time_s.first(), long.time_s.first());
        let [a, b] = [&shown, &long].map(|r| r.tracks[0].position_in_reid_mm.last().copied());
        assert_eq!(a, b);
        assert_eq!(shown.tracks[0].place.len(), shown.time_s.len());
        assert_eq!(shown.debris_signal_rad_s[0].len(), shown.time_s.len());
    }
}
