//! What a whole run did to its case, in one word and in numbers: where every piece is when the run ends
//! and once the patient has sat, how near it came to a wrong canal, whether the control test shows anything.

use lithodrome_debris::{Place, Run};
use lithodrome_labyrinth::{Canal, CanalId, EarShape, Labyrinth, Region, Vec3, frame};
use serde::{Serialize, Serializer};

use super::fixed::fixed_at;
use crate::measures::{UprightDivides, is_near_divide};

/// Debris that ends within this of where it began has not moved, mm: 9° of a canal with a radius of 3.2 mm
/// (assumed).
pub(crate) const SAME_PLACE_MM: f64 = 0.5;
/// Nearer than this to the divide of a wrong canal counts as near, mm.
const NEAR_MM: f64 = 1.0;
/// What has moved less than this in the last [`RESTED_S`] rests, mm (assumed).
const RESTED_MM: f64 = 0.02;
/// How long a piece has to lie still to rest, s (assumed).
const RESTED_S: f64 = 5.0;
/// A slope steeper than this does not hold debris without friction; 5° (assumed).
const STEEP: f64 = 0.087;

/// How a run ends, in the field's words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Out of every long arm, and after 15 min upright the control test shows nothing.
    Cleared,
    /// In another canal, but on the crus side of its upright divide: it returns on sitting.
    Passing,
    /// In another canal beyond its upright divide, or still there after 60 s upright.
    Switched,
    /// Rests where friction alone keeps it near a divide.
    Held,
    /// Out of the long arm, but in a short arm where sitting or the control test shows nystagmus.
    BehindTheCupula,
    /// Some is out or has let go of the cupula, or all is more than 0.5 mm nearer the exit.
    MovedOn,
    /// About where it was.
    Unchanged,
    /// Plausible ears and debris disagree.
    Depends,
}

impl Verdict {
    /// In words, the same everywhere.
    pub const fn name(self) -> &'static str {
        match self {
            Verdict::Cleared => "cleared",
            Verdict::Passing => "passing",
            Verdict::Switched => "switched",
            Verdict::Held => "held",
            Verdict::BehindTheCupula => "behind the cupula",
            Verdict::MovedOn => "moved on",
            Verdict::Unchanged => "unchanged",
            Verdict::Depends => "depends",
        }
    }
}

impl Serialize for Verdict {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// Where a piece is at a moment, seen from the canal it began in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceEnd {
    /// Free in the utricle.
    Out,
    /// Loose in a short arm, between a cupula and the utricle.
    BehindCupula(Canal),
    /// Fixed to its cupula.
    OnCupula,
    /// In its own duct, or in the crus on its own course.
    Inside,
    /// In the common crus, come from the utricle.
    InCrus,
    /// In another canal on the crus side of its upright divide.
    Passing(Canal),
    /// In another canal beyond its upright divide.
    Switched(Canal),
}

/// The end of a piece at a place; `fixed` if it has never let go of its cupula.
pub fn piece_end(divides: &UprightDivides, from: CanalId, place: Place, fixed: bool) -> PieceEnd {
    if fixed {
        return PieceEnd::OnCupula;
    }
    match place.region {
        Region::Utricle => PieceEnd::Out,
        Region::ShortArm(canal) => PieceEnd::BehindCupula(canal),
        Region::Duct(canal) if canal == from.canal => PieceEnd::Inside,
        Region::CommonCrus if from.canal != Canal::Lateral => PieceEnd::Inside,
        Region::CommonCrus => PieceEnd::InCrus,
        Region::Duct(canal) => {
            let ear = from.ear;
            if place.arc_mm > divides.arc_mm(CanalId { ear, canal }) {
                PieceEnd::Passing(canal)
            } else {
                PieceEnd::Switched(canal)
            }
        }
    }
}

/// All pieces at one moment of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Ends {
    /// `[piece]`
    pub ends: Vec<PieceEnd>,
    /// Canal each began in, `[piece]`.
    pub from: Vec<CanalId>,
    /// Rests where only friction keeps it, `[piece]`.
    pub held: Vec<bool>,
    /// Place on the course from cupula to utricle, mm, `[piece]`; `None` in another canal.
    pub course_mm: Vec<Option<f64>>,
}

impl Ends {
    /// The pieces of a run at a time, s; `began_fixed` says which began on a cupula.
    pub fn at(
        labyrinth: &Labyrinth,
        divides: &UprightDivides,
        began_fixed: &[bool],
        run: &Run,
        time_s: f64,
    ) -> Ends {
        let after = run.time_s.partition_point(|&t| t <= time_s + 1e-9);
        let sample = after.saturating_sub(1);
        let fixed = fixed_at(began_fixed, run, time_s);
        let mut at = Ends {
            ends: Vec::new(),
            from: Vec::new(),
            held: Vec::new(),
            course_mm: Vec::new(),
        };
        for (piece, track) in run.tracks.iter().enumerate() {
            let from = CanalId {
                ear: track.ear,
                canal: track.canal,
            };
            let Some(place) = track.place.get(sample) else {
                continue;
            };
            let end = piece_end(divides, from, *place, fixed[piece]);
            let course = f64::from(track.course_mm[sample]);
            at.held.push(is_held(labyrinth, run, piece, sample, end));
            at.ends.push(end);
            at.from.push(from);
            at.course_mm.push(course.is_finite().then_some(course));
        }
        at
    }

    fn any(&self, test: impl Fn(PieceEnd) -> bool) -> bool {
        self.ends.iter().any(|end| test(*end))
    }

    /// Pieces that are out; in a short arm they count once nothing there shows.
    pub fn out(&self) -> usize {
        let out = |end: &&PieceEnd| matches!(end, PieceEnd::Out | PieceEnd::BehindCupula(_));
        self.ends.iter().filter(out).count()
    }

    /// The canals, with their side, of the pieces whose end `which` picks, each once.
    pub fn canals(&self, which: impl Fn(PieceEnd) -> Option<Canal>) -> Vec<String> {
        let pieces = self.ends.iter().zip(&self.from);
        let mut names: Vec<String> = pieces
            .filter_map(|(end, from)| Some((which(*end)?, from.ear)))
            .map(|(canal, ear)| format!("{} {}", ear.name(), canal.name()))
            .collect();
        names.sort();
        names.dedup();
        names
    }
}

/// Still for a while, on a slope that free debris would roll down, near the top of it.
fn is_held(labyrinth: &Labyrinth, run: &Run, piece: usize, sample: usize, end: PieceEnd) -> bool {
    let inside = matches!(
        end,
        PieceEnd::Inside | PieceEnd::InCrus | PieceEnd::Passing(_) | PieceEnd::Switched(_)
    );
    let since_s = run.time_s[sample] - RESTED_S;
    if !inside || since_s < 0.0 {
        return false;
    }
    let track = &run.tracks[piece];
    let before = run.time_s.partition_point(|&t| t < since_s).min(sample);
    let at = |i: usize| Vec3::from(track.position_in_reid_mm[i].map(f64::from));
    if (before..=sample).any(|i| (at(i) - at(sample)).norm() > RESTED_MM) {
        return false;
    }
    let ear = labyrinth.ear(track.ear);
    let (tube, arc_mm) = tube_place(ear, track.place[sample]);
    let head_from_reid = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad);
    let down = head_from_reid.inverse() * run.down_in_head[sample];
    let slope = ear.tube(tube).at(arc_mm).1.dot(&down).abs();
    slope > STEEP && is_near_divide(ear, tube, arc_mm, down, NEAR_MM)
}

/// The tube of a place and the arc length on it; the crus is on the anterior one.
fn tube_place(ear: &EarShape, place: Place) -> (Canal, f64) {
    match place.region {
        Region::Duct(canal) | Region::ShortArm(canal) => (canal, place.arc_mm),
        Region::CommonCrus | Region::Utricle => {
            let top_mm = ear.canal(Canal::Anterior).landmarks.duct_end_mm;
            (Canal::Anterior, top_mm + place.arc_mm)
        }
    }
}

/// How near debris came to the divide of a wrong canal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NearestMiss {
    /// That canal, such as "right anterior".
    pub canal: String,
    /// Least way to its upright divide, mm; 0 if it was passed.
    pub mm: f64,
    /// Time within 1 mm of it or beyond, s.
    pub seconds: f64,
    /// When it was nearest, s.
    pub time_s: f64,
}

/// The nearest miss of a run up to a time, s.
pub fn nearest_miss(
    labyrinth: &Labyrinth,
    divides: &UprightDivides,
    run: &Run,
    until_s: f64,
) -> Option<NearestMiss> {
    let n = run.time_s.partition_point(|&t| t <= until_s + 1e-9);
    let mut least: Option<(f64, CanalId, f64)> = None;
    let way = |piece: usize, canal: Canal, i: usize| {
        let track = &run.tracks[piece];
        if track.canal == canal {
            return None;
        }
        divides.way_mm(labyrinth.ear(track.ear), canal, track.place[i])
    };
    for (piece, track) in run.tracks.iter().enumerate() {
        for canal in Canal::ALL {
            for i in 0..n {
                let Some(mm) = way(piece, canal, i) else {
                    continue;
                };
                if least.is_none_or(|(least, ..)| mm < least) {
                    let ear = track.ear;
                    least = Some((mm, CanalId { ear, canal }, run.time_s[i]));
                }
            }
        }
    }
    let (mm, id, time_s) = least?;
    let near = |i: usize| {
        let of_ear = |piece: usize| run.tracks[piece].ear == id.ear;
        (0..run.tracks.len())
            .filter(|piece| of_ear(*piece))
            .any(|piece| way(piece, id.canal, i).is_some_and(|mm| mm < NEAR_MM))
    };
    let seconds = (1..n)
        .filter(|&i| near(i))
        .map(|i| run.time_s[i] - run.time_s[i - 1])
        .fold(0.0, |sum, s| sum + s);
    Some(NearestMiss {
        canal: format!("{} {}", id.ear.name(), id.canal.name()),
        mm: mm.max(0.0),
        seconds,
        time_s,
    })
}

/// What is known of a run when it is judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence<'a> {
    /// When the manoeuvre ends.
    pub at_end: &'a Ends,
    /// After 60 s upright.
    pub after_sitting: &'a Ends,
    /// Places on the course to compare with, mm, `[piece]`.
    pub before_mm: &'a [Option<f64>],
    /// Nystagmus is seen while the patient sits and waits.
    pub seen_sitting: bool,
    /// Nystagmus is seen in the control test.
    pub seen_in_control: bool,
    /// Pieces began on a cupula, `[piece]`.
    pub began_fixed: &'a [bool],
    /// Pieces began in a short arm, `[piece]`: there they are not out.
    pub began_short: &'a [bool],
}

impl Evidence<'_> {
    /// How much nearer to the exit the pieces still inside are, mm, on average.
    pub fn gained_mm(&self) -> Option<f64> {
        let pieces = self.after_sitting.ends.iter().enumerate();
        let gains: Vec<f64> = pieces
            .filter(|(_, end)| **end == PieceEnd::Inside)
            .filter_map(|(i, _)| {
                let before = (*self.before_mm.get(i)?)?;
                Some(self.after_sitting.course_mm[i]? - before)
            })
            .collect();
        (!gains.is_empty()).then(|| gains.iter().sum::<f64>() / gains.len() as f64)
    }

    /// Pieces that count as out after sitting.
    pub fn out(&self) -> usize {
        let began_here = |i: usize| self.began_short.get(i).copied().unwrap_or(false);
        let ends = self.after_sitting.ends.iter().enumerate();
        ends.filter(|(i, end)| match end {
            PieceEnd::Out => true,
            PieceEnd::BehindCupula(canal) => {
                !(began_here(*i) && *canal == self.after_sitting.from[*i].canal)
            }
            _ => false,
        })
        .count()
    }

    /// The one word.
    pub fn verdict(&self) -> Verdict {
        let sat = self.after_sitting;
        let of = sat.ends.len();
        let elsewhere = |end| matches!(end, PieceEnd::Switched(_) | PieceEnd::Passing(_));
        if self.at_end.any(|end| matches!(end, PieceEnd::Switched(_))) || sat.any(elsewhere) {
            return Verdict::Switched;
        }
        if self.at_end.any(|end| matches!(end, PieceEnd::Passing(_))) {
            return Verdict::Passing;
        }
        if sat.held.iter().any(|held| *held) {
            return Verdict::Held;
        }
        let behind = sat.any(|end| matches!(end, PieceEnd::BehindCupula(_)));
        let seen = self.seen_sitting || self.seen_in_control;
        if sat.out() == of && behind && seen {
            return Verdict::BehindTheCupula;
        }
        let out = self.out();
        if out == of && !seen {
            return Verdict::Cleared;
        }
        let free = sat.ends.iter().zip(self.began_fixed);
        let let_go = free
            .filter(|(end, began)| **began && **end != PieceEnd::OnCupula)
            .count();
        let gained = self.gained_mm().is_some_and(|mm| mm > SAME_PLACE_MM);
        if out > 0 || let_go > 0 || gained {
            Verdict::MovedOn
        } else {
            Verdict::Unchanged
        }
    }
}

#[cfg(test)]
mod tests {
    use lithodrome_labyrinth::Ear;

    use super::*;

    fn ends(all: &[PieceEnd]) -> Ends {
        let from = CanalId {
            ear: Ear::Right,
            canal: Canal::Posterior,
        };
        Ends {
            ends: all.to_vec(),
            from: vec![from; all.len()],
            held: vec![false; all.len()],
            course_mm: vec![Some(3.0); all.len()],
        }
    }

    fn word(at_end: &[PieceEnd], sat: &[PieceEnd], seen: [bool; 2]) -> Verdict {
        let no = vec![false; at_end.len()];
        Evidence {
            at_end: &ends(at_end),
            after_sitting: &ends(sat),
            before_mm: &vec![Some(3.0); at_end.len()],
            seen_sitting: seen[0],
            seen_in_control: seen[1],
            began_fixed: &no,
            began_short: &no,
        }
        .verdict()
    }

    /// In another canal it matters on which side of the divide debris is: nearer the crus it falls back, nearer
    /// the cupula it stays.
    #[test]
    fn beyond_the_divide_it_has_switched() {
        let mean = crate::compile::load_labyrinth("mean-adult", std::path::Path::new("")).unwrap();
        let divides = UprightDivides::of(&mean);
        let ear = Ear::Right;
        let (from, to) = (Canal::Posterior, Canal::Anterior);
        let divide_mm = divides.arc_mm(CanalId { ear, canal: to });
        let end = |arc_mm| {
            let region = Region::Duct(to);
            let place = Place { region, arc_mm };
            piece_end(&divides, CanalId { ear, canal: from }, place, false)
        };
        assert_eq!(end(divide_mm + 0.3), PieceEnd::Passing(to));
        assert_eq!(end(divide_mm - 0.3), PieceEnd::Switched(to));
    }

    /// Each word from its definition.
    #[test]
    fn each_word_has_its_meaning() {
        use PieceEnd::{BehindCupula, Inside, Out, Passing, Switched};
        type Ended<'a> = (&'a [PieceEnd], &'a [PieceEnd], [bool; 2], Verdict);
        let quiet = [false, false];
        let (anterior, posterior) = (Canal::Anterior, Canal::Posterior);
        let cases: [Ended<'_>; 11] = [
            (&[Out, Out], &[Out, Out], quiet, Verdict::Cleared),
            // The last hold of the file does not matter: it falls out when the patient sits.
            (&[Inside], &[Out], quiet, Verdict::Cleared),
            (&[Passing(anterior)], &[Out], quiet, Verdict::Passing),
            (
                &[Passing(anterior)],
                &[Passing(anterior)],
                quiet,
                Verdict::Switched,
            ),
            (&[Switched(anterior)], &[Out], quiet, Verdict::Switched),
            (
                &[BehindCupula(posterior)],
                &[BehindCupula(posterior)],
                [true, false],
                Verdict::BehindTheCupula,
            ),
            (
                &[BehindCupula(posterior)],
                &[BehindCupula(posterior)],
                [false, true],
                Verdict::BehindTheCupula,
            ),
            (
                &[BehindCupula(posterior)],
                &[BehindCupula(posterior)],
                quiet,
                Verdict::Cleared,
            ),
            (&[Out, Inside], &[Out, Inside], quiet, Verdict::MovedOn),
            (&[Inside], &[Inside], quiet, Verdict::Unchanged),
            // Out, but the control test brings it back: never a success.
            (&[Out], &[Out], [false, true], Verdict::MovedOn),
        ];
        for (at_end, sat, seen, verdict) in cases {
            assert_eq!(word(at_end, sat, seen), verdict, "{at_end:?} {sat:?}");
        }
    }

    #[test]
    fn more_than_half_a_millimetre_nearer_the_exit_is_moved_on() {
        let at_end = ends(&[PieceEnd::Inside]);
        let no = [false];
        let word = |before_mm: f64| {
            Evidence {
                at_end: &at_end,
                after_sitting: &at_end,
                before_mm: &[Some(before_mm)],
                seen_sitting: false,
                seen_in_control: false,
                began_fixed: &no,
                began_short: &no,
            }
            .verdict()
        };
        assert_eq!(word(2.4), Verdict::MovedOn);
        assert_eq!(word(2.6), Verdict::Unchanged);
        assert_eq!(word(9.0), Verdict::Unchanged);
    }

    #[test]
    fn what_is_held_near_a_divide_is_told() {
        let mut at_end = ends(&[PieceEnd::Inside, PieceEnd::Out]);
        at_end.held[0] = true;
        let no = [false; 2];
        let evidence = Evidence {
            at_end: &at_end,
            after_sitting: &at_end,
            before_mm: &[Some(1.0), None],
            seen_sitting: false,
            seen_in_control: false,
            began_fixed: &no,
            began_short: &no,
        };
        assert_eq!(evidence.verdict(), Verdict::Held);
        assert_eq!(evidence.out(), 1);
    }
}
