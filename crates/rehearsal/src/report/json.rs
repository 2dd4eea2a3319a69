//! What came out, per step and per debris; the JSON of `rehearse --json`.

use lithodrome_debris::{Model, Run};
use lithodrome_labyrinth::Region;
use lithodrome_nystagmus::{
    Finding, Horizontal, Repetition, Sense, Torsion, Vertical, repetitions, sentence, sentences,
};
use serde::Serialize;

use super::fixed::{began_fixed, fixed_at};
use super::judged::{ControlTest, Judged, Phrase};
use super::short_hold::ShortHold;
use super::verdict::{NearestMiss, Verdict};
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::limits::{LimitBreach, all_breaches};
use crate::rules::TestAnswer;
use crate::scenario::FORMAT;
use crate::units::{deg, tidy};

/// The report of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Version of the format, 1.
    pub format: u32,
    /// Version of the program.
    pub version: &'static str,
    /// Title of the scenario.
    pub title: String,
    /// Name of the anatomy.
    pub anatomy: String,
    /// "settling" or "rigid".
    pub engine: &'static str,
    /// Seed of the scenario, if it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// Length of the run, s.
    pub duration_s: f64,
    /// Slow-phase velocity from which nystagmus is seen, deg/s.
    pub visible_spv_deg_s: f64,
    /// Steps, `[step]`.
    pub steps: Vec<StepReport>,
    /// Debris, `[body]`.
    pub debris: Vec<DebrisReport>,
    /// What the run answers, if it is a test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub test_answer: Option<TestAnswer>,
    /// How the whole run ends.
    pub verdict: Verdict,
    /// The same as a sentence, with what it rests on.
    pub verdict_sentence: String,
    /// The sentence in parts, each with the moment that it leads to.
    pub verdict_phrases: Vec<Phrase>,
    /// The verdict is "cleared"; a case without debris is.
    pub cleared: bool,
    /// How many members of the band clear, if a band was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cleared_in: Option<ClearedIn>,
    /// On which numbers the verdict depends, where plausible ears and debris disagree.
    pub depends_on: Vec<String>,
    /// How near debris came to the divide of a wrong canal.
    pub nearest_miss: Option<NearestMiss>,
    /// Canals that debris of another one has switched to, such as "right lateral".
    pub switched_to: Vec<String>,
    /// What the control test of each affected canal shows after 15 min upright.
    pub control_tests: Vec<ControlTest>,
    /// What the run did not trust about itself, then head
    /// directions that the neck does not reach, then limits that the motion breaks.
    pub warnings: Vec<String>,
}

impl Report {
    /// At the end of the last step no body is in a duct, in the common crus or on a cupula. Less than cleared:
    /// what lies in a short arm then may still show.
    pub fn all_out(&self) -> bool {
        let outside = |d: &DebrisReport| {
            d.end_region == Region::Utricle.name() || d.end_region.ends_with("short arm")
        };
        self.debris.iter().all(|d| outside(d) && !d.on_cupula)
    }
}

/// How many members of a band clear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ClearedIn {
    /// These.
    pub cleared: usize,
    /// Of so many.
    pub of: usize,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepReport {
    /// Its name.
    pub name: String,
    /// Start of the move, s.
    pub start_s: f64,
    /// Start of the hold, s.
    pub hold_from_s: f64,
    /// End of the hold, s.
    pub end_s: f64,
    /// Yaw in the hold; with another body that of a chair with the same gravity.
    pub yaw_deg: f64,
    /// Track in the hold, likewise.
    pub track_deg: f64,
    /// Gravity in the hold, unit vector in head axes.
    pub down_in_head: [f64; 3],
    /// What is seen in the hold.
    pub nystagmus: NystagmusReport,
    /// The same as a sentence.
    pub sentence: String,
    /// The same and more, sentence by sentence.
    pub sentences: Vec<String>,
    /// Debris still moves when the hold ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_hold: Option<ShortHold>,
}

/// Nystagmus in one hold. Directions are those of the fast phase.
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent findings, each a key of the document"
)]
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NystagmusReport {
    /// "up", "down" or "none".
    pub vertical: &'static str,
    /// Ear that the upper poles beat toward: "right", "left" or "none".
    pub torsion: &'static str,
    /// "right", "left" or "none".
    pub horizontal: &'static str,
    /// "geotropic", "apogeotropic" or "none".
    pub sense: &'static str,
    /// From the start of the hold until it is seen, s.
    pub latency_s: f64,
    /// From the start of the hold to the peak, s.
    pub peak_at_s: f64,
    /// Highest slow-phase velocity, deg/s.
    pub peak_spv_deg_s: f64,
    /// How long it is seen, s.
    pub duration_s: f64,
    /// Time constant of the fall from the peak, s; `None` if it did not fall by half in the hold.
    pub decay_s: Option<f64>,
    /// After the peak a second phase the other way is seen.
    pub reversed: bool,
    /// It is still seen when the hold ends.
    pub seen_at_end: bool,
    /// It is seen with this cover of the eyes.
    pub seen: bool,
    /// It grows to its peak.
    pub crescendo: bool,
    /// Highest speed in the hold of what stems from turning the chair, which is in nothing else here,
    /// deg/s.
    pub turning_peak_deg_s: f64,
    /// Peak over that of the first hold in this position, if there was one with this beat; below 1 it
    /// fatigues.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeated: Option<RepeatReport>,
    /// Components of the fast phase at the peak.
    pub peak_components_deg_s: Components,
}

/// A hold in a position that was held before.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RepeatReport {
    /// The first hold in this position, step counted from 1.
    pub of_step: usize,
    /// Peak now over peak then.
    pub peak_share: f64,
    /// Clearly weaker than the first time.
    pub fatigued: bool,
}

/// Components of the fast phase, deg/s.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Components {
    /// Positive up.
    pub vertical: f64,
    /// Positive with the upper poles to the right ear.
    pub torsion: f64,
    /// Positive to the right.
    pub horizontal: f64,
}

/// One body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DebrisReport {
    /// "right" or "left".
    pub ear: &'static str,
    /// Canal it started in: "anterior", "lateral" or "posterior".
    pub canal: &'static str,
    /// Its diameter.
    pub diameter_um: f64,
    /// Part it ended in, such as "utricle" or "posterior duct".
    pub end_region: &'static str,
    /// Place in that part, mm.
    pub end_arc_mm: f64,
    /// It is still fixed to a cupula.
    pub on_cupula: bool,
    /// When it left its canal for the utricle, s; `None` if it is not out at the end.
    pub exit_s: Option<f64>,
}

/// The report of a run that has been judged; `steps` is what its holds show.
pub(crate) fn report_of(
    compiled: &Compiled,
    run: &Run,
    steps: Vec<StepReport>,
    judged: &Judged,
) -> Result<Report, RehearsalError> {
    let scenario = &compiled.scenario;
    let debris = debris_of(&compiled.model, run)?;
    let mut warnings: Vec<_> = run.warnings.iter().map(ToString::to_string).collect();
    warnings.extend(compiled.shortfalls.iter().map(ToString::to_string));
    let breaches = all_breaches(scenario, &compiled.motion);
    warnings.extend(breaches.iter().map(LimitBreach::sentence));
    Ok(Report {
        format: FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        anatomy: compiled.labyrinth.name.clone(),
        engine: run.engine.name(),
        seed: scenario.seed,
        duration_s: number(run.duration_s, || "duration_s".to_owned())?,
        visible_spv_deg_s: tidy(deg(compiled.judging.visible_rad_s)),
        steps,
        test_answer: None,
        verdict: judged.verdict,
        verdict_sentence: judged.sentence(),
        verdict_phrases: judged.phrases(),
        cleared: judged.verdict == Verdict::Cleared,
        cleared_in: None,
        depends_on: Vec::new(),
        nearest_miss: judged.nearest_miss.clone(),
        switched_to: judged.switched_to.clone(),
        control_tests: judged.control_tests.clone(),
        debris,
        warnings,
    })
}

/// What the holds of a run show, `[step]`.
pub(crate) fn steps_of(
    compiled: &Compiled,
    findings: &[Finding],
) -> Result<Vec<StepReport>, RehearsalError> {
    let motion = &compiled.motion;
    let mut steps = Vec::with_capacity(findings.len());
    let downs: Vec<_> = motion
        .times()
        .iter()
        .map(|times| motion.at(times.hold_from_s).down_in_head)
        .collect();
    let repeats = repetitions(findings, &downs);
    for (i, (times, finding)) in motion.times().iter().zip(findings).enumerate() {
        let at = motion.steps[i].to;
        let down = motion.at(times.hold_from_s).down_in_head;
        steps.push(StepReport {
            name: motion.steps[i].name.clone(),
            start_s: tidy(times.start_s),
            hold_from_s: tidy(times.hold_from_s),
            end_s: tidy(times.end_s),
            yaw_deg: tidy(deg(at.yaw_rad)),
            track_deg: tidy(deg(at.track_rad)),
            down_in_head: [tidy(down.x), tidy(down.y), tidy(down.z)],
            nystagmus: nystagmus_of(i, finding, repeats[i])?,
            sentence: sentence(finding),
            sentences: all_sentences(compiled, finding, repeats[i]),
            short_hold: None,
        });
    }
    Ok(steps)
}

/// All sentences of a hold, the comparison with an earlier hold in the same position last.
fn all_sentences(
    compiled: &Compiled,
    finding: &Finding,
    repeated: Option<Repetition>,
) -> Vec<String> {
    let mut all = sentences(finding, &compiled.judging);
    if let Some(repeated) = repeated {
        let change = if repeated.is_fatigued() {
            "It fatigues"
        } else {
            "It does not fatigue"
        };
        let (step, share) = (repeated.of_step + 1, repeated.peak_share);
        all.push(format!("{change}: {share:.2} of the peak of step {step}."));
    }
    all
}

fn nystagmus_of(
    step: usize,
    finding: &Finding,
    repeated: Option<Repetition>,
) -> Result<NystagmusReport, RehearsalError> {
    let tell =
        |what: &str, value: f64| number(value, || format!("steps[{}].nystagmus.{what}", step + 1));
    let [vertical, torsion, horizontal] = finding.peak_components_rad_s;
    Ok(NystagmusReport {
        vertical: match finding.vertical {
            Vertical::Up => "up",
            Vertical::Down => "down",
            Vertical::None => "none",
        },
        torsion: match finding.torsion {
            Torsion::Right => "right",
            Torsion::Left => "left",
            Torsion::None => "none",
        },
        horizontal: match finding.horizontal {
            Horizontal::Right => "right",
            Horizontal::Left => "left",
            Horizontal::None => "none",
        },
        sense: match finding.sense {
            Sense::Geotropic => "geotropic",
            Sense::Apogeotropic => "apogeotropic",
            Sense::None => "none",
        },
        latency_s: tell("latency_s", finding.latency_s)?,
        peak_at_s: tell("peak_at_s", finding.peak_at_s)?,
        peak_spv_deg_s: tell("peak_spv_deg_s", deg(finding.peak_spv_rad_s))?,
        duration_s: tell("duration_s", finding.duration_s)?,
        decay_s: finding
            .decay_tau_s
            .map(|s| tell("decay_s", s))
            .transpose()?,
        reversed: finding.reversed,
        seen_at_end: finding.seen_at_end,
        seen: finding.is_seen(),
        crescendo: finding.crescendo,
        turning_peak_deg_s: tell("turning_peak_deg_s", deg(finding.turning_peak_rad_s))?,
        repeated: repeated
            .map(|r| {
                Ok::<_, RehearsalError>(RepeatReport {
                    of_step: r.of_step + 1,
                    peak_share: tell("repeated.peak_share", r.peak_share)?,
                    fatigued: r.is_fatigued(),
                })
            })
            .transpose()?,
        peak_components_deg_s: Components {
            vertical: tell("peak_components_deg_s.vertical", deg(vertical))?,
            torsion: tell("peak_components_deg_s.torsion", deg(torsion))?,
            horizontal: tell("peak_components_deg_s.horizontal", deg(horizontal))?,
        },
    })
}

fn debris_of(model: &Model, run: &Run) -> Result<Vec<DebrisReport>, RehearsalError> {
    let fixed = fixed_at(&began_fixed(model), run, f64::INFINITY);
    let mut debris = Vec::with_capacity(run.tracks.len());
    for (i, track) in run.tracks.iter().enumerate() {
        let tell = |what: &str, value: f64| number(value, || format!("debris[{}].{what}", i + 1));
        let Some(end) = track.place.last() else {
            continue;
        };
        debris.push(DebrisReport {
            ear: track.ear.name(),
            canal: track.canal.name(),
            diameter_um: tell("diameter_um", track.diameter_um)?,
            end_region: end.region.name(),
            end_arc_mm: tell("end_arc_mm", end.arc_mm)?,
            on_cupula: fixed.get(i).copied().unwrap_or(false),
            exit_s: track.exit_s.map(|s| tell("exit_s", s)).transpose()?,
        });
    }
    Ok(debris)
}

/// A number that is one, without the noise of its last bits.
fn number(value: f64, what: impl FnOnce() -> String) -> Result<f64, RehearsalError> {
    if value.is_finite() {
        return Ok(tidy(value));
    }
    Err(RehearsalError::NotFinite {
        path: None,
        what: what(),
    })
}
