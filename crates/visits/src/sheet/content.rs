//! What stands on a sheet, in words and numbers, from one computed run.

use std::path::Path;
use std::sync::Arc;

use lithodrome_chair::HeadPose;
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{
    At, BandVerdict, Carrier, Compiled, Mechanism, Purpose, Rehearsed, Scenario, StepReport,
    compile, rehearse,
};
use nalgebra::Rotation3;

use super::eyes::{Beats, beats, seen_in_test, test_of, words_within};
use super::posture::posture_words;
use super::rules::cautions_of;
use crate::VisitError;

/// A sheet before it is set.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Title of the scenario.
    pub title: String,
    /// "Treatment", "Test" or "Sequence".
    pub purpose: &'static str,
    /// The debris that the run was made with.
    pub case: String,
    /// How the run ends in the ear of the sheet, and in plausible ears if they were asked; of a test what it
    /// answers.
    pub ending: String,
    /// How often it is done, if the file says.
    pub repeats: Option<String>,
    /// When to go on, if the file says.
    pub hold_rule: Option<String>,
    /// Where angles and times are from, if the file says.
    pub source: Option<String>,
    /// Ear and engine of the run.
    pub model: String,
    /// Length of the manoeuvre, s.
    pub duration_s: f64,
    /// The steps.
    pub steps: Vec<SheetStep>,
    /// The tests that prove it, for a treatment: one for every canal that has debris.
    pub controls: Vec<ControlTest>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// What the run warned of.
    pub warnings: Vec<String>,
}

/// One step on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetStep {
    /// Its name.
    pub name: String,
    /// How the head lies, in words.
    pub posture: String,
    /// Yaw and track before the move, degrees.
    pub from_deg: [f64; 2],
    /// Yaw and track in the hold, degrees.
    pub to_deg: [f64; 2],
    /// Time of the move, s.
    pub move_s: f64,
    /// Time of the hold, s.
    pub hold_s: f64,
    /// What the eyes do in the hold.
    pub eyes: String,
    /// When to go on.
    pub go_on: String,
    /// What debris that runs back looks like.
    pub running_back: Option<String>,
    /// What carries the head, and where head and trunk are.
    pub(super) figure: Figure,
}

/// Head and trunk in the room, for the pictogram.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Figure {
    pub(super) carrier: Carrier,
    pub(super) room_from_head: Rotation3<f64>,
    /// `None` where the trunk is not known.
    pub(super) room_from_trunk: Option<Rotation3<f64>>,
}

/// The test after the treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlTest {
    /// Its title.
    pub title: String,
    /// How the chair gets to where it begins, if the treatment ends elsewhere; its steps as posture, move and hold.
    pub steps: Vec<String>,
    /// What is seen if debris is still in the canal.
    pub still_there: Vec<String>,
    /// What is seen if debris is in another canal of this ear.
    pub other_canals: Vec<OtherCanal>,
}

/// Another canal, and what the control test shows of debris there.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherCanal {
    /// Its name, such as "right lateral".
    pub canal: String,
    /// One line a hold in which something is seen.
    pub seen: Vec<String>,
}

/// Computes a scenario and sums it up for a sheet; relative anatomy paths start from `base_dir`.
///
/// # Errors
/// A scenario that cannot be compiled or computed.
pub fn sheet_of(scenario: &Scenario, base_dir: &Path) -> Result<Sheet, VisitError> {
    let compiled = compile(scenario, base_dir)?;
    let rehearsed = rehearse(&compiled)?;
    let about = scenario.about.as_ref();
    let canals = canals_of(scenario);
    let canal = canals.first().copied();
    let runs_in_duct = scenario.debris.first().is_some_and(|d| {
        matches!(
            d.at,
            At::AmpullaryArm | At::NonAmpullaryArm | At::Arc { .. }
        )
    });
    let along = canal
        .filter(|_| runs_in_duct)
        .map(|id| beats(&compiled.labyrinth, id, &compiled.judging));
    let purpose = about.map(|a| a.kind);
    let controls = match purpose {
        None | Some(Purpose::Treatment) => controls_of(&compiled, &canals)?,
        Some(Purpose::Test) => Vec::new(),
    };
    let report = &rehearsed.report;
    Ok(Sheet {
        title: scenario.title.clone(),
        purpose: match purpose {
            Some(Purpose::Treatment) => "Treatment",
            Some(Purpose::Test) => "Test",
            None => "Sequence",
        },
        case: case_words(scenario),
        ending: match &report.test_answer {
            Some(answer) => answer.sentence.clone(),
            None => report.verdict_sentence.clone(),
        },
        repeats: about.map(|a| a.repeats.clone()),
        hold_rule: about.map(|a| a.hold_rule.clone()),
        source: about.map(|a| a.source.clone()),
        model: format!("ear {}, {} engine", report.anatomy, report.engine),
        duration_s: report.duration_s,
        steps: steps_of(&compiled, &rehearsed, along),
        controls,
        cautions: cautions(scenario, &compiled),
        warnings: report.warnings.clone(),
    })
}

/// There is debris that the scenario is to move: plausible ears can be asked what becomes of it. A test moves none
/// on purpose.
pub fn moves_debris(scenario: &Scenario) -> bool {
    let is_test = scenario
        .about
        .as_ref()
        .is_some_and(|a| a.kind == Purpose::Test);
    !scenario.debris.is_empty() && !is_test
}

impl Sheet {
    /// The sheet with what plausible ears say of the manoeuvre before what happens in the ear it was made
    /// with.
    #[must_use]
    pub fn over_band(mut self, band: &BandVerdict) -> Sheet {
        let own = std::mem::take(&mut self.ending);
        self.ending = format!("{} In the ear of this sheet: {own}", band.sentence());
        self
    }
}

/// The canals that have debris, else the first that the sequence is meant for.
fn canals_of(scenario: &Scenario) -> Vec<CanalId> {
    let mut canals = scenario.canals();
    if canals.is_empty() {
        let target = scenario.about.as_ref().and_then(|a| a.targets.first());
        canals.extend(target.map(|t| CanalId {
            ear: t.ear,
            canal: t.canal,
        }));
    }
    canals
}

fn cautions(scenario: &Scenario, compiled: &Compiled) -> Vec<String> {
    match &scenario.about {
        Some(about) if !about.cautions.is_empty() => about.cautions.clone(),
        _ => cautions_of(&compiled.motion, scenario.body.unwrap_or_default().is_bed()),
    }
}

fn case_words(scenario: &Scenario) -> String {
    let words: Vec<_> = scenario
        .debris
        .iter()
        .map(|d| {
            let id = CanalId {
                ear: d.ear,
                canal: d.canal,
            };
            let place = match d.at {
                At::AmpullaryArm => "ampullary arm",
                At::NonAmpullaryArm => "non-ampullary arm",
                At::ShortArm => "short arm",
                At::Utricle => "utricle",
                At::Arc { .. } => "at a given place",
                At::OnCupula { .. } => "on the cupula",
            };
            let bodies = if d.count == 1 { "body" } else { "bodies" };
            format!(
                "{}, {place}: {} {bodies} of {} µm",
                id.name(),
                d.count,
                d.diameter_um
            )
        })
        .collect();
    if words.is_empty() {
        "no debris".to_owned()
    } else {
        words.join("; ")
    }
}

fn steps_of(compiled: &Compiled, rehearsed: &Rehearsed, along: Option<Beats>) -> Vec<SheetStep> {
    let motion = &compiled.motion;
    let scenario = &compiled.scenario;
    let carrier = scenario.body.unwrap_or_default();
    let mut from_deg = [motion.start.yaw_rad, motion.start.track_rad].map(f64::to_degrees);
    let mut trunk_deg = [Some(0.0); 3];
    let mut steps = Vec::with_capacity(rehearsed.report.steps.len());
    for (report, entry) in rehearsed.report.steps.iter().zip(&scenario.steps) {
        let pose = motion.at(report.hold_from_s);
        trunk_deg = trunk_after(trunk_deg, entry);
        let to_deg = [report.yaw_deg, report.track_deg];
        let hold_s = report.end_s - report.hold_from_s;
        steps.push(SheetStep {
            name: report.name.clone(),
            posture: posture_words(pose.down_in_head),
            from_deg,
            to_deg,
            move_s: report.hold_from_s - report.start_s,
            hold_s,
            eyes: report.sentence.clone(),
            go_on: go_on_words(report, hold_s),
            running_back: along.and_then(|beats| running_back_words(beats, report, hold_s)),
            figure: Figure {
                carrier,
                room_from_head: pose.room_from_head,
                room_from_trunk: trunk_of(carrier, &pose, trunk_deg),
            },
        });
        from_deg = to_deg;
    }
    steps
}

/// Recline, fall and roll of the trunk after a step; unknown where the body finds its own way to a head
/// direction.
fn trunk_after(
    before: [Option<f64>; 3],
    step: &lithodrome_rehearsal::StepEntry,
) -> [Option<f64>; 3] {
    match (&step.trunk, step.down_in_head) {
        (Some(t), _) => [
            t.recline_deg.or(before[0]),
            t.fall_left_deg.or(before[1]),
            t.roll_left_deg.or(before[2]),
        ],
        (None, Some(_)) => [None; 3],
        (None, None) => before,
    }
}

fn trunk_of(
    carrier: Carrier,
    pose: &HeadPose,
    trunk_deg: [Option<f64>; 3],
) -> Option<Rotation3<f64>> {
    let about = |axis: nalgebra::Vector3<f64>, deg: f64| Rotation3::new(axis * deg.to_radians());
    let (x, y, z) = (
        nalgebra::Vector3::x(),
        nalgebra::Vector3::y(),
        nalgebra::Vector3::z(),
    );
    match carrier {
        Carrier::Chair => Some(
            Rotation3::new(x * pose.angles.track_rad) * Rotation3::new(z * pose.angles.yaw_rad),
        ),
        Carrier::ThreeAxes => Some(pose.room_from_head),
        Carrier::Bedside { .. } => {
            let [recline, fall, roll] = trunk_deg;
            Some(about(x, -fall?) * about(y, -recline?) * about(z, roll?))
        }
    }
}

fn go_on_words(report: &StepReport, hold_s: f64) -> String {
    let seen = &report.nystagmus;
    if hold_s <= 0.0 {
        return "Go on at once.".to_owned();
    }
    if seen.seen && seen.seen_at_end {
        return format!(
            "Go on when the eyes are quiet: in the model they still beat after {hold_s:.0} s."
        );
    }
    if seen.seen {
        let quiet_s = seen.latency_s + seen.duration_s;
        return format!(
            "Go on after {hold_s:.0} s, if the eyes are quiet (in the model after {quiet_s:.0} s)."
        );
    }
    format!("Go on after {hold_s:.0} s, if the eyes are quiet.")
}

/// Nothing for a hold too short to be watched.
fn running_back_words(beats: Beats, report: &StepReport, hold_s: f64) -> Option<String> {
    const SHORTEST_WATCHED_S: f64 = 8.0;
    if hold_s < SHORTEST_WATCHED_S {
        return None;
    }
    let seen = &report.nystagmus;
    let back = words_within(beats.back);
    let expected_back = seen.seen
        && report
            .sentence
            .to_lowercase()
            .starts_with(&format!("{back},"));
    Some(if expected_back {
        "This beat is debris running back toward the cupula; here it is expected.".to_owned()
    } else {
        format!("Runs back: {back}.")
    })
}

fn controls_of(compiled: &Compiled, canals: &[CanalId]) -> Result<Vec<ControlTest>, VisitError> {
    let tests = canals.iter().map(|&canal| control_of(compiled, canal));
    tests.filter_map(Result::transpose).collect()
}

fn control_of(compiled: &Compiled, canal: CanalId) -> Result<Option<ControlTest>, VisitError> {
    let Some(test) = test_of(canal) else {
        return Ok(None);
    };
    let test = test?;
    let ears = Arc::clone(&compiled.labyrinth);
    let mut other_canals = Vec::new();
    for other in CanalId::ALL {
        if other.ear != canal.ear || other.canal == canal.canal {
            continue;
        }
        // Debris enters another canal from the utricle or the crus, by its far end.
        let seen = seen_in_test(&ears, other, Mechanism::NonAmpullaryArm, &test)?;
        other_canals.push(OtherCanal {
            canal: other.name(),
            seen,
        });
    }
    let still_there = seen_in_test(&ears, canal, Mechanism::AmpullaryArm, &test)?;
    Ok(Some(ControlTest {
        title: test.title.clone(),
        steps: control_steps(&test, &compiled.scenario),
        still_there,
        other_canals,
    }))
}

/// Steps of the control test, and before them how the chair gets to where it begins; a bed has no angles of a
/// chair.
fn control_steps(test: &Scenario, treated: &Scenario) -> Vec<String> {
    let on_bed = treated.body.unwrap_or_default().is_bed();
    let steps = test.steps.iter().zip(test.angles_deg());
    let steps = steps.zip(test.move_times_s());
    let steps = steps.map(|((step, [yaw, track]), move_s)| {
        let place = if on_bed {
            String::new()
        } else {
            format!("yaw {yaw:.0}°, track {track:.0}°, ")
        };
        let moved = if move_s > 0.0 {
            format!("move {move_s:.1} s")
        } else {
            "no move".to_owned()
        };
        let (name, hold_s) = (&step.name, step.hold_s);
        format!("{name}: {place}{moved}, hold {hold_s:.0} s")
    });
    let before = way_to(test, treated).filter(|_| !on_bed);
    before.into_iter().chain(steps).collect()
}

/// "Before: set the chair to yaw 45°, track 0° (…)", if the treatment leaves it elsewhere; whole turns are none.
fn way_to(test: &Scenario, treated: &Scenario) -> Option<String> {
    let start = treated.chair;
    let [yaw, track] = treated
        .angles_deg()
        .last()
        .copied()
        .unwrap_or([start.yaw_deg, start.track_deg]);
    let (to_yaw, to_track) = (test.chair.yaw_deg, test.chair.track_deg);
    let apart = |from: f64, to: f64| to - from - 360.0 * ((to - from) / 360.0).round();
    if [apart(yaw, to_yaw), apart(track, to_track)]
        .iter()
        .all(|deg| deg.abs() < 0.5)
    {
        return None;
    }
    Some(format!(
        "Before: set the chair to yaw {to_yaw:.0}°, track {to_track:.0}°; the treatment ends at yaw {yaw:.0}°, track {track:.0}°"
    ))
}
