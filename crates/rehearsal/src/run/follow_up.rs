//! What follows a manoeuvre before it is judged: the patient sits up, sits for a minute, waits upright to
//! a quarter of an hour, then has the control test of every canal that held debris.

use std::ops::Range;
use std::sync::Arc;

use lithodrome_chair::down_in_head;
use lithodrome_debris::{Engine, Run, simulate};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth};
use lithodrome_nystagmus::{EyeTrace, Reflex, sentence, slow_phases_after_sitting};

use super::holds::judge_hold;
use super::observe::stays_inside;
use super::progress::Progress;
use crate::compile::{ChairRecording, Compiled, build};
use crate::error::RehearsalError;
use crate::library::library_entry;
use crate::report::ControlTest;
use crate::scenario::{Carrier, NeckEntry, Scenario, StepEntry, TrunkEntry};
use crate::units::chair_angles;

/// How long the patient sits after the last step before it is judged where debris is, s (assumed): a
/// minute, in which what hangs in the common crus falls one way or the other.
pub const SITS_AFTERWARDS_S: f64 = 60.0;
/// How long the patient is upright before the control test, s: after 15 min debris no longer comes back
/// into the canal (2012, Otol Neurotol, PMID 22143303).
pub const UPRIGHT_BEFORE_CONTROL_S: f64 = 900.0;
/// How long after that minute what is left of the nystagmus of the manoeuvre has gone, s: adaptation
/// answers with 80 s, so that of 50 deg/s less than 1 is left (by hand). What is seen later lasts.
const REMAINS_S: f64 = 360.0;
/// As the patient is sat up from lying elsewhere in the library, s.
const SIT_UP_S: f64 = 3.0;

/// A manoeuvre with all that follows it, computed by the settling engine.
pub(crate) struct FollowUp {
    pub(crate) compiled: Compiled,
    pub(crate) run: Run,
    eyes: EyeTrace,
    /// When the manoeuvre ends, s.
    pub(crate) end_s: f64,
    /// When the minute of sitting ends, s.
    pub(crate) sat_s: f64,
    /// The later step of waiting.
    wait: usize,
    /// Title and steps of each control test.
    tests: Vec<(String, Range<usize>)>,
}

impl FollowUp {
    /// Computes it. The scenario has been checked.
    pub(crate) fn of(
        scenario: &Scenario,
        labyrinth: &Arc<Labyrinth>,
        progress: Progress,
    ) -> Result<FollowUp, RehearsalError> {
        let mut all = scenario.clone();
        all.engine = Some(Engine::Settling);
        for entry in &mut all.debris {
            // What waits upright outside its canal is held there with time.
            entry.vestibule_hold.get_or_insert_default();
        }
        let steps = all.steps.len();
        all.steps.push(sit_up(scenario));
        all.steps.push(StepEntry {
            name: "Waits upright".to_owned(),
            hold_s: REMAINS_S,
            ..StepEntry::default()
        });
        all.steps.push(StepEntry {
            name: "Goes on waiting".to_owned(),
            hold_s: UPRIGHT_BEFORE_CONTROL_S - SITS_AFTERWARDS_S - REMAINS_S,
            ..StepEntry::default()
        });
        let mut tests = Vec::new();
        for id in scenario.canals() {
            let from = all.steps.len();
            let (title, control) = control_steps(id)?;
            all.steps.extend(control);
            tests.push((title, from..all.steps.len()));
        }
        // What follows a recorded motion is recorded likewise: its steps only read it.
        if let Some(mut motion) =
            ChairRecording::going_on(std::mem::take(&mut all.recorded), scenario.chair)
        {
            for step in &all.steps[steps..] {
                motion.move_as(scenario, step)?;
                motion.rest(step.hold_s);
            }
            all.recorded = motion.entries;
        }
        let compiled = build(&all, Arc::clone(labyrinth))?;
        let run = simulate(&compiled.model, &compiled.motion, compiled.engine, progress)?;
        stays_inside(&run)?;
        let watching = compiled.judging.watching;
        let eyes = slow_phases_after_sitting(&run, &Reflex::default(), watching, compiled.sat_s);
        let times = compiled.motion.times();
        Ok(FollowUp {
            end_s: times[steps].start_s,
            sat_s: times[steps].end_s,
            wait: steps + 2,
            tests,
            run,
            eyes,
            compiled,
        })
    }

    /// Nystagmus lasts while the patient waits upright.
    pub(crate) fn seen_waiting(&self) -> bool {
        let times = self.compiled.motion.times()[self.wait];
        judge_hold(&self.compiled, &self.eyes, times).is_seen()
    }

    /// What the control tests show.
    pub(crate) fn control_tests(&self) -> Vec<ControlTest> {
        let times = self.compiled.motion.times();
        let of = |(title, steps): &(String, Range<usize>)| {
            let holds = times[steps.clone()].iter();
            let strongest = holds
                .map(|t| judge_hold(&self.compiled, &self.eyes, *t))
                .max_by(|a, b| {
                    let key = |f: &lithodrome_nystagmus::Finding| (f.is_seen(), f.peak_spv_rad_s);
                    let ((seen_a, peak_a), (seen_b, peak_b)) = (key(a), key(b));
                    seen_a.cmp(&seen_b).then(peak_a.total_cmp(&peak_b))
                });
            ControlTest {
                title: title.clone(),
                seen: strongest
                    .as_ref()
                    .is_some_and(lithodrome_nystagmus::Finding::is_seen),
                sentence: strongest.as_ref().map_or_else(String::new, sentence),
            }
        };
        self.tests.iter().map(of).collect()
    }
}

/// A manoeuvre, then the patient sat up if it ends otherwise, and a minute's rest.
pub fn sitting_afterwards(manoeuvre: &Scenario) -> Scenario {
    let mut all = manoeuvre.clone();
    all.steps.push(sit_up(manoeuvre));
    all
}

/// Upright by the shortest way, then a minute's rest.
fn sit_up(scenario: &Scenario) -> StepEntry {
    let mut step = StepEntry {
        name: "Sits afterwards".to_owned(),
        hold_s: SITS_AFTERWARDS_S,
        move_s: SIT_UP_S,
        ..StepEntry::default()
    };
    match scenario.body.unwrap_or_default() {
        Carrier::Chair => {
            // Steps that read a recording are rounded, the recording itself is not.
            let recorded = scenario.recorded.last().map(|s| s.track_deg);
            let read = scenario.angles_deg().last().map_or(0.0, |a| a[1]);
            let track_deg = recorded.unwrap_or(read);
            let upright_deg = (track_deg / 360.0).round() * 360.0;
            step.track_deg = Some(upright_deg);
            if (track_deg - upright_deg).abs() <= 0.0 {
                step.move_s = 0.0;
            }
        }
        Carrier::Bedside { .. } => {
            step.trunk = Some(TrunkEntry {
                recline_deg: Some(0.0),
                fall_left_deg: Some(0.0),
                roll_left_deg: Some(0.0),
            });
            step.neck = Some(NeckEntry {
                turn_left_deg: Some(0.0),
                extend_deg: Some(0.0),
                tilt_left_deg: Some(0.0),
            });
        }
        Carrier::ThreeAxes => step.down_in_head = Some([0.0, 0.0, -1.0]),
    }
    step
}

/// Title and steps of the test that provokes a canal, as head directions that every body can be brought to.
fn control_steps(id: CanalId) -> Result<(String, Vec<StepEntry>), RehearsalError> {
    let name = match (id.canal, id.ear) {
        (Canal::Posterior, Ear::Right) => "right-dix-hallpike",
        (Canal::Posterior, Ear::Left) => "left-dix-hallpike",
        (Canal::Lateral, Ear::Right) => "right-supine-roll",
        (Canal::Lateral, Ear::Left) => "left-supine-roll",
        (Canal::Anterior, _) => "straight-head-hanging",
    };
    let Some(entry) = library_entry(name).transpose()? else {
        return Ok((name.to_owned(), Vec::new()));
    };
    let test = entry.scenario;
    let headrest_deg = test.chair.headrest_flexion_deg;
    let angles = test.angles_deg();
    let steps = test.steps.iter().zip(angles);
    let steps = steps.map(|(step, [yaw_deg, track_deg])| {
        let down = down_in_head(chair_angles(yaw_deg, track_deg, headrest_deg));
        StepEntry {
            name: format!("Control test: {}", step.name),
            down_in_head: Some([down.x, down.y, down.z]),
            move_s: step.move_s.max(1.0),
            hold_s: step.hold_s,
            ..StepEntry::default()
        }
    });
    Ok((test.title.clone(), steps.collect()))
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;
    use std::path::Path;

    use super::*;
    use crate::compile::{load_labyrinth, motion_of};
    use crate::scenario::RecordedEntry;
    use crate::units::deg;

    /// A whole-body Epley by its steps and the same motion recorded end alike: what follows is judged for both.
    #[test]
    fn what_follows_a_recorded_motion_is_as_after_its_steps() {
        let name = "right-posterior-epley-whole-body";
        let mut scenario = library_entry(name).unwrap().unwrap().scenario;
        let labyrinth = load_labyrinth("mean-adult", Path::new("")).unwrap();
        let go_on = &mut |_| ControlFlow::Continue(());
        let by_steps = FollowUp::of(&scenario, &labyrinth, go_on).unwrap();
        let (motion, _) = motion_of(&scenario).unwrap();
        let n = (motion.duration_s() / 0.05).ceil() as usize;
        let at = |i: usize| motion.duration_s() * i as f64 / n as f64;
        scenario.recorded = (0..=n)
            .map(|i| {
                let angles = motion.angles_at(at(i));
                RecordedEntry {
                    at_s: at(i),
                    yaw_deg: deg(angles.yaw_rad),
                    track_deg: deg(angles.track_rad),
                }
            })
            .collect();
        let recorded = FollowUp::of(&scenario, &labyrinth, go_on).unwrap();
        assert!((by_steps.run.duration_s - recorded.run.duration_s).abs() < 0.5);
        let last = |f: &FollowUp| {
            let tracks = f.run.tracks.iter();
            let mut ends: Vec<_> = tracks
                .map(|t| t.place.last().unwrap().region.name())
                .collect();
            ends.sort_unstable();
            ends
        };
        assert_eq!(last(&by_steps), last(&recorded));
        let down = |f: &FollowUp| f.run.down_in_head[f.run.down_in_head.len() - 1];
        assert!((down(&by_steps) - down(&recorded)).norm() < 1e-3);
    }
}
