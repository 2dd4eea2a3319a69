//! What a manoeuvre does to a case: cleared, moved on, switched, unchanged or worse.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Place, Run, simulate};
use lithodrome_labyrinth::{CanalId, EarShape, Labyrinth, Region};

use super::expected::Case;
use crate::compile::{Compiled, compile_in};
use crate::error::RehearsalError;
use crate::report::fixed_at_end;
use crate::scenario::{Mechanism, Scenario, StepEntry};

/// How long the patient sits after the last step before the case is judged, s (assumed): a minute, in
/// which what hangs in the common crus falls one way or the other.
pub const SITS_AFTERWARDS_S: f64 = 60.0;

/// How long the patient sits in the run that a manoeuvre is compared with, s.
const SITS_ONLY_S: f64 = 300.0;

/// Debris that ends within this of where sitting alone brings it has not moved, mm: 9° of a canal
/// with a radius of 3.2 mm (assumed).
const SAME_PLACE_MM: f64 = 0.5;

/// What became of a case.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fate {
    /// All debris is out: in the utricle or loose in a short arm, which opens into it; debris that began
    /// on the utricular side of the cupula is out of its own short arm.
    Cleared,
    /// Some is in the duct of another canal, or came into the common crus from the utricle.
    Switched,
    /// Some is out, all has let go of the cupula, or all together is nearer to the utricle than sitting
    /// alone would bring it.
    MovedOn,
    /// Where it would be had the patient only sat, or still on the cupula.
    Unchanged,
    /// Nearer to the cupula than sitting alone would bring it, or out of the short arm into the duct.
    Worse,
}

impl Fate {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Fate::Cleared => "cleared",
            Fate::Switched => "switched",
            Fate::MovedOn => "moved on",
            Fate::Unchanged => "unchanged",
            Fate::Worse => "worse",
        }
    }
}

/// What a manoeuvre did to a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// In one word.
    pub fate: Fate,
    /// Bodies that are out.
    pub out: usize,
    /// Bodies in all.
    pub of: usize,
    /// Where what switched is, such as "right anterior" or "right common crus".
    pub switched_to: Vec<String>,
    /// When the last body left, if the case is cleared and it left during the run.
    pub exit: Option<Exit>,
    /// How much nearer to the utricle the bodies still in the canal are than sitting alone would bring
    /// them, mm, on average; `None` if there are none on the course.
    pub gained_mm: Option<f64>,
    /// Sitting alone would have cleared it too.
    pub sitting_clears: bool,
}

/// When the last body left its canal.
#[derive(Clone, Debug, PartialEq)]
pub struct Exit {
    /// Time, s.
    pub time_s: f64,
    /// Step, counted from 0; the number of steps if it left while the patient sat afterwards.
    pub step: usize,
    /// Name of that step.
    pub step_name: String,
    /// How much of that step's hold was left, s.
    pub spare_s: f64,
}

/// Runs the manoeuvre with the case's debris, lets the patient sit, and compares with sitting alone.
pub fn outcome(
    labyrinth: &Arc<Labyrinth>,
    case: &Case,
    manoeuvre: &Scenario,
) -> Result<Outcome, RehearsalError> {
    let posed = case.posed_in(manoeuvre);
    let treated = compile_in(&sitting_afterwards(&posed), Arc::clone(labyrinth))?;
    let mut only_sitting = posed;
    only_sitting.steps = vec![sit("Sit", only_sitting.chair.track_deg, SITS_ONLY_S)];
    let untreated = compile_in(&only_sitting, Arc::clone(labyrinth))?;
    let ends = Ends::of(&treated, case)?;
    let rests = Ends::of(&untreated, case)?;
    Ok(judge_ends(case, &treated, &ends, &rests))
}

fn sit(name: &str, track_deg: f64, hold_s: f64) -> StepEntry {
    StepEntry {
        name: name.to_owned(),
        track_deg: Some(track_deg),
        hold_s,
        ..StepEntry::default()
    }
}

/// The manoeuvre, then upright by the shortest way if it ends otherwise, and a wait.
pub fn sitting_afterwards(manoeuvre: &Scenario) -> Scenario {
    // As the patient is sat up from lying elsewhere in the library.
    const SIT_UP_S: f64 = 3.0;
    let mut all = manoeuvre.clone();
    let track_deg = all.angles_deg().last().map_or(0.0, |a| a[1]);
    let upright_deg = (track_deg / 360.0).round() * 360.0;
    let mut step = sit("Sits afterwards", upright_deg, SITS_AFTERWARDS_S);
    if (track_deg - upright_deg).abs() > 0.0 {
        step.move_s = SIT_UP_S;
    }
    all.steps.push(step);
    all
}

/// Where the bodies of a run are in the end.
struct Ends {
    run: Run,
    places: Vec<Place>,
    /// Still on the cupula, `[body]`.
    fixed: Vec<bool>,
    /// Out, as the fates mean it, `[body]`.
    out: Vec<bool>,
}

impl Ends {
    fn of(compiled: &Compiled, case: &Case) -> Result<Ends, RehearsalError> {
        let run = simulate(
            &compiled.model,
            &compiled.motion,
            compiled.engine,
            &mut |_| ControlFlow::Continue(()),
        )?;
        let last = |places: &Vec<Place>| places.last().copied();
        let places: Vec<Place> = run.tracks.iter().filter_map(|t| last(&t.place)).collect();
        let fixed = fixed_at_end(&compiled.model, &run);
        let began_short = matches!(
            case.mechanism,
            Mechanism::ShortArm | Mechanism::CupulaUtricleSide
        );
        let out = places
            .iter()
            .zip(&fixed)
            .map(|(place, fixed)| match place.region {
                Region::Utricle => !fixed,
                Region::ShortArm(canal) => {
                    let where_it_began = began_short && canal == case.canal.canal;
                    !(*fixed || where_it_began)
                }
                Region::CommonCrus | Region::Duct(_) => false,
            })
            .collect();
        Ok(Ends {
            run,
            places,
            fixed,
            out,
        })
    }

    /// Place of a body on the course from its cupula to the utricle, mm; what is out is at its end.
    fn course_mm(&self, body: usize, out_mm: f64) -> Option<f64> {
        if self.out[body] {
            return Some(out_mm);
        }
        let course = *self.run.tracks[body].course_mm.last()?;
        course.is_finite().then_some(f64::from(course))
    }
}

fn judge_ends(case: &Case, treated: &Compiled, ends: &Ends, rests: &Ends) -> Outcome {
    let ear = treated.labyrinth.ear(case.canal.ear);
    let of = ends.places.len();
    let out = ends.out.iter().filter(|out| **out).count();
    let mut switched_to: Vec<String> = ends
        .places
        .iter()
        .zip(&ends.fixed)
        .filter(|(_, fixed)| !**fixed)
        .filter_map(|(place, _)| strange_place(ear, case.canal, place.region))
        .map(|place| format!("{} {place}", case.canal.ear.name()))
        .collect();
    switched_to.sort();
    switched_to.dedup();
    let out_mm = ear.canal(case.canal.canal).landmarks.opening_mm;
    let gains: Vec<f64> = (0..of)
        .filter(|&i| !ends.out[i])
        .filter_map(|i| Some(ends.course_mm(i, out_mm)? - rests.course_mm(i, out_mm)?))
        .collect();
    let gained_mm = (!gains.is_empty()).then(|| gains.iter().sum::<f64>() / gains.len() as f64);
    let into_duct = case.mechanism == Mechanism::ShortArm
        && ends
            .places
            .iter()
            .any(|p| p.region == Region::Duct(case.canal.canal));
    let held = ends.fixed.iter().any(|fixed| *fixed);
    let freed = rests.fixed.iter().all(|fixed| *fixed) && !held;
    let gain = gained_mm.unwrap_or(0.0);
    let fate = if !switched_to.is_empty() {
        Fate::Switched
    } else if out == of {
        Fate::Cleared
    } else if into_duct {
        Fate::Worse
    } else if out > 0 || freed {
        Fate::MovedOn
    } else if held || gain.abs() <= SAME_PLACE_MM || case.mechanism == Mechanism::ShortArm {
        Fate::Unchanged
    } else if gain > 0.0 {
        Fate::MovedOn
    } else {
        Fate::Worse
    };
    Outcome {
        fate,
        out,
        of,
        switched_to,
        exit: (fate == Fate::Cleared)
            .then(|| exit_of(treated, &ends.run))
            .flatten(),
        gained_mm,
        sitting_clears: rests.out.iter().all(|out| *out),
    }
}

/// The part's name if debris of this canal can only be there by a switch.
fn strange_place(ear: &EarShape, from: CanalId, region: Region) -> Option<&'static str> {
    match region {
        Region::Duct(canal) if canal != from.canal => Some(canal.name()),
        Region::CommonCrus if ear.course_mm(from.canal, region, 0.0).is_none() => {
            Some(region.name())
        }
        _ => None,
    }
}

fn exit_of(treated: &Compiled, run: &Run) -> Option<Exit> {
    let time_s = run
        .tracks
        .iter()
        .filter_map(|t| t.exit_s)
        .fold(f64::NEG_INFINITY, f64::max);
    if !time_s.is_finite() {
        return None;
    }
    let step = treated.motion.step_at(time_s);
    let times = treated.motion.times().get(step)?;
    Some(Exit {
        time_s,
        step,
        step_name: treated.motion.steps[step].name.clone(),
        spare_s: times.end_s - time_s,
    })
}
