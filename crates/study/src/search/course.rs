//! One sequence in one ear, to be drawn beside another: which way is down in the head, and how far the debris is.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::simulate;
use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3};
use lithodrome_rehearsal::{At, CourseMarks, DebrisEntry, Scenario, compile_in};

use crate::StudyError;

/// Diameter of the one clump that is followed, µm (Obrist 2016, Front Neurol 7:150 used 36 and 50).
const DIAMETER_UM: f64 = 50.0;
/// Places are kept in single precision.
const ROUNDING: f64 = 1e-5;
/// Time between two samples kept, s.
const EVERY_S: f64 = 0.25;

/// A sequence in the ear that the mixture's ears are drawn about, with one clump in the ampullary arm.
#[derive(Clone, Debug, PartialEq)]
pub struct TracedCourse {
    /// What people call the sequence.
    pub title: String,
    /// The canal whose debris is followed.
    pub canal: CanalId,
    /// Time, s, `[sample]`.
    pub time_s: Vec<f64>,
    /// Gravity in head axes, `[sample]`.
    pub down_in_head: Vec<Vec3>,
    /// Share of the way from the cupula (0) to the utricle (1), `[sample]`; `None` while the clump is in another
    /// canal.
    pub way: Vec<Option<f64>>,
}

impl TracedCourse {
    /// The clump has left for the utricle at the end.
    pub fn is_out(&self) -> bool {
        let last = self.way.last().copied().flatten();
        last.is_some_and(|way| way > 1.0 - ROUNDING)
    }
}

/// Follows a sequence.
///
/// # Errors
/// A sequence that cannot be compiled or whose run breaks off.
pub(super) fn traced(
    scenario: &Scenario,
    canal: CanalId,
    labyrinth: &Arc<Labyrinth>,
) -> Result<TracedCourse, StudyError> {
    let clump = DebrisEntry::new(canal.ear, canal.canal, At::AmpullaryArm, 1, DIAMETER_UM);
    let followed = Scenario {
        debris: vec![clump],
        ..scenario.clone()
    };
    let compiled = compile_in(&followed, Arc::clone(labyrinth))?;
    let go_on = &mut |_| ControlFlow::Continue(());
    let run = simulate(&compiled.model, &compiled.motion, compiled.engine, go_on)
        .map_err(lithodrome_rehearsal::RehearsalError::from)?;
    let whole_mm = CourseMarks::of(labyrinth.ear(canal.ear), canal.canal).utricle_mm;
    let mut course = TracedCourse {
        title: scenario.title.clone(),
        canal,
        time_s: Vec::new(),
        down_in_head: Vec::new(),
        way: Vec::new(),
    };
    let Some(track) = run.tracks.first() else {
        return Ok(course);
    };
    let last = run.time_s.len().saturating_sub(1);
    for (i, &time_s) in run.time_s.iter().enumerate() {
        let before_s = course.time_s.last().copied().unwrap_or(-EVERY_S);
        if i < last && time_s - before_s < EVERY_S {
            continue;
        }
        course.time_s.push(time_s);
        course.down_in_head.push(run.down_in_head[i]);
        let way = f64::from(track.course_mm[i]) / whole_mm;
        course.way.push(Some(way).filter(|way| way.is_finite()));
    }
    Ok(course)
}
