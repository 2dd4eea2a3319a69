//! What happened in a run, for the score: who turned back, entered another canal or left, when, and the time to spare.

use lithodrome_chair::StepTimes;
use lithodrome_debris::{EventKind, Run, Track};
use lithodrome_labyrinth::{Canal, Region};

/// A way back shorter than this is not told, mm (assumed: a tenth of an arc).
const TURN_MM: f32 = 1.0;
/// Slower than this a piece rests, mm/s (assumed: a tenth of the slowest settling seen on a wall).
pub const REST_MM_S: f32 = 0.01;
/// Pieces that do the same within this time are told together, s.
const TOGETHER_S: f64 = 4.0;

/// What a piece can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HappeningKind {
    /// It ran back toward the cupula.
    TurnedBack,
    /// It entered another canal.
    EnteredOther(Canal),
    /// It left for the utricle for good.
    Left,
}

impl HappeningKind {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            HappeningKind::TurnedBack => "turned back",
            HappeningKind::EnteredOther(_) => "into another canal",
            HappeningKind::Left => "out",
        }
    }
}

/// Something that happened to one piece or to several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Happening {
    /// When the first did it, s.
    pub time_s: f64,
    /// Where on the course, mm from the cupula.
    pub course_mm: f32,
    /// What.
    pub what: HappeningKind,
    /// Index of the first piece.
    pub piece: usize,
    /// How many did it.
    pub pieces: usize,
}

/// Everything that happened in a run, in order of time.
pub fn happenings(run: &Run) -> Vec<Happening> {
    let mut all = Vec::new();
    for (piece, track) in run.tracks.iter().enumerate() {
        turned_back(run, piece, track, &mut all);
        if let Some(time_s) = track.exit_s {
            all.push(one(run, piece, time_s, HappeningKind::Left));
        }
    }
    for event in &run.events {
        if let EventKind::Entered(Region::Duct(canal)) = event.kind
            && run
                .tracks
                .get(event.debris)
                .is_some_and(|t| t.canal != canal)
        {
            all.push(one(
                run,
                event.debris,
                event.time_s,
                HappeningKind::EnteredOther(canal),
            ));
        }
    }
    all.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    together(run, all)
}

fn one(run: &Run, piece: usize, time_s: f64, what: HappeningKind) -> Happening {
    let course = &run.tracks[piece].course_mm;
    let after = run.time_s.partition_point(|&t| t < time_s);
    // In another canal there is no place on this course: the last one that there was.
    let course_mm = course[..after.min(course.len())]
        .iter()
        .rev()
        .find(|mm| mm.is_finite())
        .copied()
        .unwrap_or(0.0);
    Happening {
        time_s,
        course_mm,
        what,
        piece,
        pieces: 1,
    }
}

/// Each place from which a piece went back by more than [`TURN_MM`], after going on by as much.
fn turned_back(run: &Run, piece: usize, track: &Track, all: &mut Vec<Happening>) {
    // On its way on: from `base` to the farthest sample so far. On its way back: the lowest so far.
    let (mut base, mut far, mut low) = (0.0f32, None::<usize>, None::<f32>);
    for (i, (&mm, place)) in track.course_mm.iter().zip(&track.place).enumerate() {
        let inside = matches!(place.region, Region::Duct(_) | Region::CommonCrus);
        if !inside || !mm.is_finite() {
            (far, low) = (None, None);
        } else if let Some(at) = far {
            let high = track.course_mm[at];
            if mm >= high {
                far = Some(i);
            } else if high - mm > TURN_MM {
                if high - base > TURN_MM {
                    all.push(Happening {
                        time_s: run.time_s[at],
                        course_mm: high,
                        what: HappeningKind::TurnedBack,
                        piece,
                        pieces: 1,
                    });
                }
                (far, low) = (None, Some(mm));
            }
        } else {
            let lowest = low.map_or(mm, |low| low.min(mm));
            low = Some(lowest);
            if mm - lowest > TURN_MM {
                (base, far) = (lowest, Some(i));
            }
        }
    }
}

fn together(run: &Run, all: Vec<Happening>) -> Vec<Happening> {
    let mut told: Vec<Happening> = Vec::new();
    for now in all {
        let home = |h: &Happening| (run.tracks[h.piece].ear, run.tracks[h.piece].canal);
        let same = told.iter_mut().find(|h| {
            h.what == now.what && home(h) == home(&now) && now.time_s - h.time_s <= TOGETHER_S
        });
        match same {
            Some(h) => h.pieces += 1,
            None => told.push(now),
        }
    }
    told
}

/// How long all debris had come to rest before each hold ended, s; 0 if some was still moving, `None` if
/// there is no hold or no debris inside a canal during it, `[step]`.
pub fn spare_hold_s(run: &Run, steps: &[StepTimes]) -> Vec<Option<f64>> {
    steps.iter().map(|step| spare_of(run, step)).collect()
}

fn spare_of(run: &Run, step: &StepTimes) -> Option<f64> {
    let from = run.time_s.partition_point(|&t| t < step.hold_from_s);
    let to = run.time_s.partition_point(|&t| t <= step.end_s + 1e-9);
    let mut spare = None;
    for track in &run.tracks {
        let inside =
            |i: usize| matches!(track.place[i].region, Region::Duct(_) | Region::CommonCrus);
        if !(from..to).any(inside) {
            continue;
        }
        let moves = |i: &usize| {
            let (a, b) = (
                track.position_in_reid_mm[i - 1],
                track.position_in_reid_mm[*i],
            );
            let way = (0..3).map(|k| (b[k] - a[k]).powi(2)).sum::<f32>().sqrt();
            let dt = (run.time_s[*i] - run.time_s[i - 1]) as f32;
            inside(*i) && way > REST_MM_S * dt
        };
        let last = (from + 1..to).rev().find(moves);
        let rests_from_s = last.map_or(step.hold_from_s, |i| run.time_s[i]);
        let of_track = step.end_s - rests_from_s;
        spare = Some(spare.map_or(of_track, |s: f64| s.min(of_track)));
    }
    spare.filter(|_| step.end_s > step.hold_from_s)
}

#[cfg(test)]
mod tests {
    use lithodrome_debris::{Engine, Place, Work};
    use lithodrome_labyrinth::{Ear, Vec3};

    use super::*;

    /// A run of one piece in a posterior canal, a sample every second, at these places (mm); those that
    /// are no number are in the anterior canal.
    fn run(course_mm: &[f32]) -> Run {
        let n = course_mm.len();
        let place = |mm: &f32| Place {
            region: Region::Duct(if mm.is_finite() {
                Canal::Posterior
            } else {
                Canal::Anterior
            }),
            arc_mm: 0.0,
        };
        Run {
            engine: Engine::Settling,
            duration_s: n as f64 - 1.0,
            time_s: (0..n).map(|i| i as f64).collect(),
            step_index: vec![0; n],
            down_in_head: vec![-Vec3::z(); n],
            debris_signal_rad_s: std::array::from_fn(|_| vec![0.0; n]),
            rotation_signal_rad_s: std::array::from_fn(|_| vec![0.0; n]),
            pl_per_rad_s: [1.0; 6],
            n_exc_in_reid: [Vec3::x(); 6],
            tracks: vec![Track {
                ear: Ear::Right,
                canal: Canal::Posterior,
                diameter_um: 50.0,
                place: course_mm.iter().map(place).collect(),
                position_in_reid_mm: course_mm.iter().map(|&mm| [mm, 0.0, 0.0]).collect(),
                course_mm: course_mm.to_vec(),
                exit_s: None,
            }],
            events: Vec::new(),
            warnings: Vec::new(),
            work: Work::default(),
        }
    }

    #[test]
    fn a_way_on_and_a_way_back_are_one_turn() {
        let told = happenings(&run(&[2.0, 4.0, 6.0, 5.5, 3.0, 2.0, 2.0]));
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].what, HappeningKind::TurnedBack);
        assert!((told[0].time_s - 2.0).abs() < 1e-12 && (told[0].course_mm - 6.0).abs() < 1e-6);
        let twice = happenings(&run(&[2.0, 6.0, 2.0, 2.0, 2.0, 2.0, 6.0, 2.0]));
        assert_eq!(twice.len(), 2, "{twice:?}");
    }

    #[test]
    fn falling_from_the_start_or_a_little_is_no_turn() {
        assert!(happenings(&run(&[6.0, 4.0, 2.0])).is_empty());
        assert!(happenings(&run(&[2.0, 6.0, 5.5, 7.0])).is_empty());
    }

    #[test]
    fn a_switch_is_told_where_the_piece_was_last() {
        let mut run = run(&[2.0, 6.0, f32::NAN, f32::NAN]);
        run.events.push(lithodrome_debris::Event {
            time_s: 1.5,
            debris: 0,
            kind: EventKind::Entered(Region::Duct(Canal::Anterior)),
        });
        let told = happenings(&run);
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].what, HappeningKind::EnteredOther(Canal::Anterior));
        assert!((told[0].course_mm - 6.0).abs() < 1e-6);
    }

    #[test]
    fn time_to_spare_is_from_the_last_movement() {
        let run = run(&[2.0, 2.0, 4.0, 5.0, 5.0, 5.0, 5.0]);
        let step = |start_s, hold_from_s, end_s| StepTimes {
            start_s,
            hold_from_s,
            end_s,
        };
        let spare = spare_hold_s(&run, &[step(0.0, 1.0, 3.0), step(3.0, 4.0, 6.0)]);
        // It moves until 3 s, when the first hold ends; in the second it rests for all of its 2 s.
        assert_eq!(spare, [Some(0.0), Some(2.0)]);
        let of_none = spare_hold_s(&run, &[step(0.0, 3.0, 3.0)]);
        assert_eq!(of_none, [None]);
    }
}
