//! The debrief of the open case as one page: what was seen, where the debris was, what there is to say.

use std::path::Path;

use lithodrome_labyrinth::CanalId;
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{Debrief, HISTORY_S, Phrase};
use lithodrome_visits::{LessonPage, PageLane, Paper, write_lesson_page};

use super::state::{LessonState, OpenCase};
use crate::{export::ExportError, score::axis::clock, work::stage_data::Loaded};

/// Points of a curve at most.
const POINTS: usize = 900;

/// Writes it.
pub(crate) fn write(lesson: &LessonState, path: &Path) -> Result<(), ExportError> {
    let open = lesson.open.as_ref().ok_or(ExportError::NoRun)?;
    let debrief = open.debrief.as_ref().ok_or(ExportError::NoRun)?;
    let page = page_of(open, debrief);
    write_lesson_page(&page, Paper::A4, path).map_err(|error| ExportError::Study {
        reason: error.to_string(),
    })
}

fn page_of(open: &OpenCase, debrief: &Debrief) -> LessonPage {
    let record = &open.record;
    let score = &debrief.score;
    let mut sections = vec![(
        "What happened".to_owned(),
        by_time(&debrief.paragraph)
            .into_iter()
            .map(|phrase| match phrase.time_s {
                Some(time_s) => format!("{}  {}.", clock(time_s), phrase.text),
                None => format!("{}.", phrase.text),
            })
            .collect(),
    )];
    let points = score.lines.iter().map(|line| {
        let reached = if line.reached {
            "reached"
        } else {
            "not reached"
        };
        format!("{}: {reached}", line.what)
    });
    sections.push(("Points".to_owned(), points.collect()));
    let seen = open
        .seen
        .iter()
        .filter(|seen| seen.looked && seen.name != "Turn");
    let seen = seen.map(|seen| {
        let at = clock(seen.hold_from_s);
        format!("{at}  {}: {}", seen.name, sentence(&seen.finding))
    });
    sections.push(("What was seen".to_owned(), seen.collect()));
    LessonPage {
        title: format!(
            "Debrief of hidden case {}, {}",
            record.seed,
            record.difficulty.name()
        ),
        facts: format!(
            "{} of {} points. Times are minutes and seconds of the case, as in the score; the first act begins at {}.",
            score.points(),
            score.of(),
            clock(HISTORY_S)
        ),
        lanes: lanes(&open.loaded),
        duration_s: open.loaded.duration_s(),
        sections,
    }
}

/// Phrases in the order of their moments, those without one last.
fn by_time(phrases: &[Phrase]) -> Vec<&Phrase> {
    let mut ordered: Vec<&Phrase> = phrases.iter().collect();
    let at_s = |phrase: &Phrase| phrase.time_s.unwrap_or(f64::INFINITY);
    ordered.sort_by(|a, b| at_s(a).total_cmp(&at_s(b)));
    ordered
}

fn lanes(loaded: &Loaded) -> Vec<PageLane> {
    let times = &loaded.run.time_s;
    let every = times.len().div_ceil(POINTS).max(1);
    let samples = || (0..times.len()).step_by(every);
    let mut lanes = Vec::new();
    for (ear, canal) in loaded.affected() {
        let marks = loaded.ears[ear.index()].courses[canal.index()];
        let whole = marks.utricle_mm.max(1.0);
        let tracks = loaded.run.tracks.iter();
        let mine = tracks.filter(|track| track.ear == ear && track.canal == canal);
        let curves = mine.flat_map(|track| {
            let points = samples().map(|i| (times[i], track.course_mm.get(i)));
            let points =
                points.map(|(t, mm)| [t, mm.map_or(f64::NAN, |mm| f64::from(*mm)) / whole]);
            unbroken(points)
        });
        lanes.push(PageLane {
            label: CanalId { ear, canal }.name(),
            marks: vec![
                (0.0, "cupula".to_owned()),
                (marks.apex_mm / whole, "apex".to_owned()),
                (1.0, "utricle".to_owned()),
            ],
            curves: curves.collect(),
        });
    }
    let speeds: Vec<[f64; 2]> = samples()
        .filter_map(|i| {
            let speed = loaded
                .eyes
                .debris_slow_phase_rad_s
                .get(i)?
                .norm()
                .to_degrees();
            Some([times[i], speed])
        })
        .collect();
    let most = speeds.iter().map(|p| p[1]).fold(10.0, f64::max);
    let scaled = speeds.into_iter().map(|[t, speed]| [t, speed / most]);
    lanes.push(PageLane {
        label: "Slow phase".to_owned(),
        marks: vec![(0.0, "0".to_owned()), (1.0, format!("{most:.0} deg/s"))],
        curves: vec![scaled.collect()],
    });
    lanes
}

/// Pieces of a curve between its gaps.
fn unbroken(points: impl Iterator<Item = [f64; 2]>) -> Vec<Vec<[f64; 2]>> {
    let mut pieces = vec![Vec::new()];
    for point in points {
        if point[1].is_finite() {
            if let Some(piece) = pieces.last_mut() {
                piece.push(point);
            }
        } else if pieces.last().is_some_and(|piece| !piece.is_empty()) {
            pieces.push(Vec::new());
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_stand_in_the_order_of_time() {
        let phrase = |text: &str, time_s| Phrase {
            text: text.to_owned(),
            time_s,
        };
        let all = [
            phrase("b", Some(180.0)),
            phrase("d", None),
            phrase("c", Some(316.0)),
            phrase("a", Some(0.0)),
        ];
        let ordered = by_time(&all).into_iter();
        let words: String = ordered.map(|p| p.text.as_str()).collect();
        assert_eq!(words, "abcd");
    }
}
