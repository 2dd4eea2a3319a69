//! Points of a session, by what happened in the ear and not by a list of steps.

use lithodrome_labyrinth::CanalId;

use super::record::SessionRecord;
use super::session::Patient;
use super::told::{Debrief, Score, ScoreLine};
use crate::report::HappeningKind;

/// Ear, canal and mechanism; debris out, by whatever way; none in another canal; a control test. Where
/// there is no debris, treating nothing is right.
pub(super) fn score(patient: &Patient, record: &SessionRecord, debrief: &Debrief) -> Score {
    let mut lines = Vec::new();
    let mut line = |what, reached| lines.push(ScoreLine { what, reached });
    let marks = debrief.marks;
    line("ear named", marks.is_some_and(|m| m.ear));
    line("canal named", marks.is_some_and(|m| m.canal));
    line("mechanism named", marks.is_some_and(|m| m.mechanism));
    if patient.case.debris.is_empty() {
        let treated = record
            .acts
            .iter()
            .any(|act| act.part == super::Part::Treatment);
        line("no manoeuvre where there is no debris", !treated);
    } else {
        line("all debris out", debrief.still_in.is_empty());
        line("no debris in another canal", !is_switched(debrief));
        line("control test done", record.has_control());
    }
    Score { lines }
}

/// Debris entered a canal that it did not begin in, and is not out.
fn is_switched(debrief: &Debrief) -> bool {
    debrief.happenings.iter().any(|happening| {
        let HappeningKind::EnteredOther(_) = happening.what else {
            return false;
        };
        let track = &debrief.session.run.tracks[happening.piece];
        debrief.still_in.contains(&CanalId {
            ear: track.ear,
            canal: track.canal,
        })
    })
}
