//! The only place where the window meets the engines: from a scenario file to what is shown.

use std::{
    ops::ControlFlow,
    path::Path,
    sync::{Arc, Mutex, OnceLock, PoisonError},
    thread,
};

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{EventKind, Run};
use lithodrome_labyrinth::{Anatomy, Canal, CanalShape, Ear, Labyrinth, Vec3};
use lithodrome_rehearsal::{
    Compiled, CourseMarks, DrainMap, RehearsalError, Rehearsed, Scenario, all_breaches, check,
    compile_in, course_line, happenings, load_anatomy, read_scenario, rehearse_with_progress,
    scenario_from_ron, spare_hold_s,
};

use crate::{
    session::draft::Fault,
    work::progress::Waker,
    work::stage_data::{ChairColumns, CupulaShape, EarShape, Loaded, Origin},
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

/// The last anatomy with its ears, so that a scenario in the same ears need not make them again.
static LAST: Mutex<Option<(Anatomy, Ears)>> = Mutex::new(None);

/// Both ears, for the engines and for drawing.
#[derive(Clone)]
struct Ears {
    labyrinth: Arc<Labyrinth>,
    shapes: Arc<[EarShape; 2]>,
}

/// Reads, compiles and runs; `go_on` is told the share done and may stop it. The ears' surfaces follow on
/// a thread of their own.
pub(crate) fn load(job: &Job, waker: &Waker, go_on: &dyn Fn(f64) -> bool) -> Result<Loaded, Fault> {
    let origin = &job.origin;
    let (compiled, ears) = compiled(job, waker).map_err(|e| Fault::new(e, origin))?;
    go_on(0.02);
    let rehearsed = rehearse_with_progress(&compiled, &mut |share| {
        if go_on(0.02 + 0.98 * share) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    })
    .map_err(|e| Fault::new(e, origin))?;
    Ok(shown(origin, &compiled, rehearsed, ears))
}

fn compiled(job: &Job, waker: &Waker) -> Result<(Compiled, Arc<[EarShape; 2]>), RehearsalError> {
    let scenario = match (&job.draft, &job.origin) {
        (Some(draft), _) => (**draft).clone(),
        (None, Origin::File(path)) => read_scenario(path)?,
        (None, Origin::Shipped | Origin::New) => shipped()?,
    };
    check(&scenario)?;
    let folder = match &job.origin {
        Origin::File(path) => path.parent(),
        Origin::Shipped | Origin::New => None,
    };
    let anatomy = load_anatomy(&scenario.anatomy, folder.unwrap_or(Path::new("")))?;
    let ears = ears(&scenario, anatomy, waker)?;
    Ok((compile_in(&scenario, ears.labyrinth)?, ears.shapes))
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

/// The ears of a scenario; their surfaces are made meanwhile, the affected ear's first.
fn ears(scenario: &Scenario, anatomy: Anatomy, waker: &Waker) -> Result<Ears, RehearsalError> {
    let mut kept = LAST.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((of, ears)) = kept.as_ref()
        && *of == anatomy
    {
        return Ok(ears.clone());
    }
    let labyrinth = Labyrinth::build(&anatomy).map_err(|error| RehearsalError::Anatomy {
        path: scenario.anatomy.clone().into(),
        error,
    })?;
    let ears = Ears {
        shapes: Arc::new(Ear::ALL.map(|ear| ear_shape(&labyrinth, ear))),
        labyrinth: Arc::new(labyrinth),
    };
    *kept = Some((anatomy, ears.clone()));
    let first = scenario.debris.first().map_or(Ear::Right, |d| d.ear);
    let (drawn, waker) = (ears.clone(), waker.clone());
    thread::spawn(move || {
        for ear in [first, first.other()] {
            drawn.shapes[ear.index()]
                .surface
                .get_or_init(|| drawn.labyrinth.ear(ear).surface());
            waker();
        }
    });
    Ok(ears)
}

fn ear_shape(labyrinth: &Labyrinth, ear: Ear) -> EarShape {
    let shape = labyrinth.ear(ear);
    let (mut low, mut high) = (Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY));
    for canal in Canal::ALL {
        let end = shape.canal(canal).landmarks.duct_end_mm;
        for i in 0..=100 {
            let at = shape.tube(canal).at(end * f64::from(i) / 100.0).0;
            (low, high) = (low.inf(&at), high.sup(&at));
        }
    }
    let courses = Canal::ALL.map(|c| CourseMarks::of(shape, c));
    let lines = Canal::ALL.map(|c| course_line(shape, c));
    EarShape {
        drains: Canal::ALL.map(|c| DrainMap::new(&lines[c.index()], &courses[c.index()])),
        lines_in_reid_mm: lines,
        arcs: Canal::ALL.map(|c| {
            let marks = shape.canal(c).landmarks;
            (marks.arc_centre_in_reid_mm, marks.arc_radius_mm)
        }),
        surface: OnceLock::new(),
        centre_in_reid_mm: (low + high) / 2.0,
        cupulae: shape.canals.each_ref().map(cupula),
        courses,
        labels_in_reid_mm: Canal::ALL.map(|c| {
            shape
                .tube(c)
                .at(shape.canal(c).landmarks.duct_end_mm / 2.0)
                .0
        }),
    }
}

fn cupula(canal: &CanalShape) -> CupulaShape {
    CupulaShape {
        centre_in_reid_mm: canal.cupula.centre_in_reid_mm,
        to_duct_in_reid: canal.cupula.to_duct_in_reid,
        radius_mm: canal.cupula.radius_mm,
        thickness_mm: canal.cupula.thickness_mm,
    }
}
