//! The only place where the window meets the engines: from a scenario file to what is shown.

use std::{ops::ControlFlow, path::Path, sync::Arc};

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{EventKind, Run};
use lithodrome_labyrinth::{Ear, Labyrinth};
use lithodrome_rehearsal::{
    Act, Compiled, Patient, RehearsalError, Rehearsed, Scenario, Seen, all_breaches, compile_in,
    compile_with, folder_of, happenings, read_scenario, rehearse_with_progress, scenario_from_ron,
    spare_hold_s,
};

use crate::{
    session::draft::Fault,
    work::ears::Ears,
    work::progress::Waker,
    work::stage_data::{ChairColumns, EarShape, Loaded, Origin},
};

/// What to compute.
#[derive(Clone, Debug)]
pub struct Job {
    /// Where the scenario is from.
    pub origin: Origin,
    /// The scenario as it is edited; read from where it is from if left out.
    pub draft: Option<Arc<Scenario>>,
}

/// The scenario that comes with the program.
const SHIPPED: &str = include_str!("../../../../scenarios/right-posterior-epley.ron");

/// Reads, compiles and runs; `go_on` is told the share done and may stop it. The ears' surfaces follow on
/// a thread of their own.
pub(crate) fn load(
    job: &Job,
    ears: &Ears,
    waker: &Waker,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<Loaded, Fault> {
    let origin = &job.origin;
    let compiled = compiled(job, ears).map_err(|e| Fault::new(e, origin))?;
    let first = compiled
        .scenario
        .debris
        .first()
        .map_or(Ear::Right, |d| d.ear);
    let shapes = ears.shapes(&compiled.labyrinth, first, waker);
    go_on(0.02);
    let rehearsed = rehearse_with_progress(&compiled, &mut |share| {
        if go_on(0.02 + 0.98 * share) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    })
    .map_err(|e| Fault::new(e, origin))?;
    Ok(shown(origin, &compiled, rehearsed, shapes))
}

/// A session of a hidden case for the stages, and what could be seen in it.
pub(crate) fn session_shown(
    patient: &Patient,
    acts: &[Act],
    ears: &Ears,
    waker: &Waker,
) -> Result<(Loaded, Vec<Seen>), RehearsalError> {
    let session = patient.run(acts)?;
    let rehearsed = rehearse_with_progress(&session.compiled, &mut |_| ControlFlow::Continue(()))?;
    let shapes = ears.shapes(&patient.labyrinth, Ear::Right, waker);
    let loaded = shown(&Origin::New, &session.compiled, rehearsed, shapes);
    let watched = Loaded {
        eyes: session.eyes,
        unwatched_s: session
            .seen
            .iter()
            .filter(|seen| !seen.looked)
            .map(|seen| [seen.start_s, seen.end_s])
            .collect(),
        ..loaded
    };
    Ok((watched, session.seen))
}

/// A scenario in ears that are built already, for the stages.
pub(crate) fn scenario_shown(
    scenario: &Scenario,
    labyrinth: &Arc<Labyrinth>,
    ears: &Ears,
    waker: &Waker,
) -> Result<Loaded, RehearsalError> {
    let compiled = compile_in(scenario, labyrinth.clone())?;
    let rehearsed = rehearse_with_progress(&compiled, &mut |_| ControlFlow::Continue(()))?;
    let first = scenario.debris.first().map_or(Ear::Right, |d| d.ear);
    let shapes = ears.shapes(labyrinth, first, waker);
    Ok(shown(&Origin::New, &compiled, rehearsed, shapes))
}

fn compiled(job: &Job, ears: &Ears) -> Result<Compiled, RehearsalError> {
    let scenario = match (&job.draft, &job.origin) {
        (Some(draft), _) => (**draft).clone(),
        (None, Origin::File(path)) => read_scenario(path)?,
        (None, Origin::Shipped | Origin::New) => shipped()?,
    };
    let folder = match &job.origin {
        Origin::File(path) => folder_of(path),
        Origin::Shipped | Origin::New => Path::new(""),
    };
    compile_with(&scenario, folder, &ears.built)
}

/// The scenario that comes with the program.
pub(crate) fn shipped() -> Result<Scenario, RehearsalError> {
    scenario_from_ron(SHIPPED, Path::new("right-posterior-epley.ron"))
}

fn shown(
    origin: &Origin,
    compiled: &Compiled,
    rehearsed: Rehearsed,
    ears: Arc<[EarShape; 2]>,
) -> Loaded {
    let Rehearsed {
        run, eyes, report, ..
    } = rehearsed;
    let still: Vec<bool> = report.debris.iter().map(|d| d.on_cupula).collect();
    Loaded {
        hidden: false,
        unwatched_s: Vec::new(),
        scenario: (*compiled.scenario).clone(),
        compiled: Arc::new(compiled.clone()),
        origin: origin.clone(),
        chair: chair_columns(&compiled.motion, &run),
        step_times: compiled.motion.times().to_vec(),
        attached_until_s: attached_until(&run, &still),
        breaches: all_breaches(&compiled.scenario, &compiled.motion),
        fastest_flow_pl_s: fastest_flow_pl_s(&run),
        happenings: happenings(&run),
        spare_hold_s: spare_hold_s(&run, compiled.motion.times()),
        findings: report.steps.iter().map(|s| s.sentence.clone()).collect(),
        warnings: report.warnings.clone(),
        report,
        judging: compiled.judging,
        ears,
        reid_pitch_nose_up_rad: compiled.labyrinth.reid_pitch_nose_up_rad,
        run,
        eyes,
    }
}

fn chair_columns(motion: &HeadMotion, run: &Run) -> ChairColumns {
    let angles: Vec<_> = run.time_s.iter().map(|&t| motion.angles_at(t)).collect();
    ChairColumns {
        yaw_rad: angles.iter().map(|a| a.yaw_rad).collect(),
        track_rad: angles.iter().map(|a| a.track_rad).collect(),
        headrest_flexion_rad: motion.start.headrest_flexion_rad,
    }
}

/// From one sample to the next, over all canals.
fn fastest_flow_pl_s(run: &Run) -> f64 {
    let mut most = 0.0f64;
    for i in 0..6 {
        let volume = |k: usize| {
            (run.debris_signal_rad_s[i][k] + run.rotation_signal_rad_s[i][k]) * run.pl_per_rad_s[i]
        };
        for k in 1..run.time_s.len() {
            let dt_s = run.time_s[k] - run.time_s[k - 1];
            if dt_s > 1e-3 {
                most = most.max(((volume(k) - volume(k - 1)) / dt_s).abs());
            }
        }
    }
    most
}

/// Until when each body holds on to a cupula, s: without end if it still does, 0 if it never did.
fn attached_until(run: &Run, still: &[bool]) -> Vec<f64> {
    let mut until: Vec<f64> = still
        .iter()
        .map(|&still| if still { f64::INFINITY } else { 0.0 })
        .collect();
    for event in &run.events {
        if event.kind == EventKind::Detached && until[event.debris] < event.time_s {
            until[event.debris] = event.time_s;
        }
    }
    until
}

#[cfg(test)]
mod tests {
    use lithodrome_labyrinth::Canal;
    use lithodrome_rehearsal::{compile_file, library_entry, write_scenario};

    use super::*;

    /// Every kind of anatomy that a file may name opens here as it does in a terminal: shipped, an anatomy
    /// file, a clinic's centre-line table.
    #[test]
    fn every_kind_of_anatomy_opens_in_the_window_and_in_a_terminal() {
        let folder = tempfile::tempdir().unwrap();
        let mean = include_str!("../../../../assets/anatomies/mean-adult.ron");
        let table = include_str!("../../../../assets/anatomies/example-centre-lines.csv");
        std::fs::write(folder.path().join("own.ron"), mean).unwrap();
        std::fs::write(folder.path().join("own.csv"), table).unwrap();
        let ears = Ears::default();
        let waker: Waker = Arc::new(|| {});
        for anatomy in ["mean-adult", "wu-2021", "own.ron", "own.csv"] {
            let mut scenario = library_entry("upright-at-rest").unwrap().unwrap().scenario;
            scenario.anatomy = anatomy.to_owned();
            let path = folder.path().join("case.ron");
            write_scenario(&scenario, &path).unwrap();
            let job = Job {
                origin: Origin::File(path.clone()),
                draft: None,
            };
            let shown = load(&job, &ears, &waker, &|_| true)
                .unwrap_or_else(|fault| panic!("{anatomy}: {fault:?}"));
            let other = compile_file(&path).unwrap();
            let length = |compiled: &Compiled| {
                let ear = compiled.labyrinth.ear(Ear::Right);
                ear.measures(Canal::Posterior).duct_length_mm
            };
            assert!(
                (length(&shown.compiled) - length(&other)).abs() < 1e-12,
                "{anatomy}"
            );
            assert_eq!(shown.compiled.labyrinth.name, other.labyrinth.name);
        }
    }
}
