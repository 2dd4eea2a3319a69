//! What the drive has come to so far, in phrases.

use lithodrome_rehearsal::{HappeningKind, plane_miss};

use super::{Drive, Driven};
use crate::stages::ghost;

/// Pieces that are out so far, and what debris did that is not told of a good run.
pub fn so_far(now: &Driven) -> Vec<String> {
    let loaded = &now.loaded;
    if loaded.hidden {
        return vec!["what debris does stays hidden until you name it".to_owned()];
    }
    let of = loaded.run.tracks.len();
    if of == 0 {
        return vec!["no debris".to_owned()];
    }
    let out = of - loaded.inside_at(now.time_s).min(of);
    let mut all = vec![format!("{out} of {of} out")];
    for happening in &loaded.happenings {
        let n = happening.pieces;
        let words = match happening.what {
            HappeningKind::TurnedBack => format!("{n} turned back"),
            HappeningKind::EnteredOther(canal) => format!("{n} entered the {} canal", canal.name()),
            HappeningKind::Left => continue,
        };
        all.push(format!("{words} at {:.0} s", happening.time_s));
    }
    all
}

/// How far gravity is off, seen by the canal that holds debris; `None` without a step or debris.
pub fn plane_words(drive: &Drive, now: &Driven) -> Option<String> {
    let (there, step) = ghost::aim(drive)?;
    let plan = drive.plan();
    let &(ear, canal) = plan.affected().first()?;
    let id = lithodrome_labyrinth::CanalId { ear, canal };
    let down = lithodrome_chair::down_in_head;
    let labyrinth = &plan.compiled.labyrinth;
    let miss = |from, to| plane_miss(labyrinth, id, down(from), down(to));
    let from = plan.angles_at(plan.step_times.get(step)?.start_s);
    let turn_deg = miss(from, there).in_plane_deg;
    Some(miss(there, now.angles).words(turn_deg))
}

/// What is left of the planned hold of the step that is reached, s; `None` if it is not.
pub fn hold_left_s(drive: &Drive, now: &Driven) -> Option<f64> {
    let step = drive.plan().scenario.steps.get(now.target.step)?;
    let held_s = drive.held_s().filter(|_| now.target.reached)?;
    Some((step.hold_s - held_s).max(0.0))
}
