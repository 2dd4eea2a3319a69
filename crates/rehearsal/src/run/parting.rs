//! Where two runs of the same debris part: the first moment at which a piece is elsewhere in one than in
//! the other.

use lithodrome_debris::{Run, Track};
use lithodrome_labyrinth::Region;

/// Pieces farther apart than this along their course have parted, mm.
pub const PARTED_MM: f64 = 1.0;
/// Two runs that enter a part one after the other within this have not parted there, s.
const SOON_S: f64 = 1.0;

/// The first moment at which two runs part.
#[derive(Clone, Debug, PartialEq)]
pub struct Parting {
    /// When, s.
    pub time_s: f64,
    /// Which piece.
    pub piece: usize,
    /// How far the second is ahead on the way from the cupula to the utricle, mm; `None` where one of them
    /// is in another canal.
    pub ahead_mm: Option<f64>,
    /// The part of the ear that the piece is in, `[run]`.
    pub parts: [Region; 2],
}

/// Where two runs of the same pieces part first, if they do while both last.
pub fn first_parting(first: &Run, second: &Run) -> Option<Parting> {
    let ends_s = first.duration_s.min(second.duration_s);
    let samples = first.time_s.iter().enumerate();
    let pieces = || first.tracks.iter().zip(&second.tracks).enumerate();
    samples
        .take_while(|(_, time_s)| **time_s <= ends_s)
        .find_map(|(i, &time_s)| {
            let at = At { sample: i, time_s };
            pieces().find_map(|(piece, (a, b))| at.parted(piece, (first, a), (second, b)))
        })
}

/// A moment of the first run.
#[derive(Clone, Copy)]
struct At {
    sample: usize,
    time_s: f64,
}

impl At {
    fn parted(self, piece: usize, a: (&Run, &Track), b: (&Run, &Track)) -> Option<Parting> {
        let parts = [part_at(a, self.time_s)?, part_at(b, self.time_s)?];
        let first_mm = f64::from(*a.1.course_mm.get(self.sample)?);
        let ahead_mm = course_at(b, self.time_s) - first_mm;
        let parted = if ahead_mm.is_finite() {
            ahead_mm.abs() > PARTED_MM
        } else {
            let soon_s = self.time_s + SOON_S;
            parts[0] != parts[1] && part_at(a, soon_s) != part_at(b, soon_s)
        };
        parted.then(|| Parting {
            time_s: self.time_s,
            piece,
            ahead_mm: Some(ahead_mm).filter(|mm| mm.is_finite()),
            parts,
        })
    }
}

/// The last sample at or before a time.
fn sample_at(run: &Run, time_s: f64) -> usize {
    run.time_s
        .partition_point(|&t| t <= time_s)
        .saturating_sub(1)
}

fn part_at((run, track): (&Run, &Track), time_s: f64) -> Option<Region> {
    track
        .place
        .get(sample_at(run, time_s))
        .map(|place| place.region)
}

/// Place on the course between two samples, mm; not a number in another canal.
fn course_at((run, track): (&Run, &Track), time_s: f64) -> f64 {
    let before = sample_at(run, time_s);
    let after = (before + 1).min(track.course_mm.len().saturating_sub(1));
    let at = |i: usize| track.course_mm.get(i).map_or(f64::NAN, |mm| f64::from(*mm));
    let span_s = run.time_s[after] - run.time_s[before];
    let share = if span_s > 0.0 {
        ((time_s - run.time_s[before]) / span_s).clamp(0.0, 1.0)
    } else {
        0.0
    };
    at(before) + (at(after) - at(before)) * share
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{compile, library_entry, rehearse};

    fn run_of(change: impl Fn(&mut crate::Scenario)) -> Run {
        let entry = library_entry("right-posterior-epley-whole-body").unwrap();
        let mut scenario = entry.unwrap().scenario;
        scenario.debris[0].count = 1;
        change(&mut scenario);
        rehearse(&compile(&scenario, "".as_ref()).unwrap())
            .unwrap()
            .run
    }

    #[test]
    fn runs_part_where_their_motions_differ_and_not_before() {
        let written = run_of(|_| ());
        assert_eq!(first_parting(&written, &written), None);
        // The second head-hang is left out: until the step that turns away nothing can differ.
        let turned = run_of(|scenario| {
            for step in &mut scenario.steps[2..] {
                (step.yaw_deg, step.track_deg) = (None, None);
            }
        });
        let parting = first_parting(&written, &turned).unwrap();
        let entry = library_entry("right-posterior-epley-whole-body").unwrap();
        let steps = &entry.unwrap().scenario.steps;
        let until_s: f64 = steps[..2].iter().map(|s| s.move_s + s.hold_s).sum();
        assert!(parting.time_s >= until_s, "{parting:?} after {until_s}");
        assert!(parting.ahead_mm.is_none_or(|mm| mm.abs() > PARTED_MM));
    }
}
