//! A resident who follows the textbook: which tests, in which order, and what is named from the eyes
//! alone. It is a yardstick for the cases, and the example that a debrief compares with.

use lithodrome_labyrinth::Ear;

use super::act::{Act, Part};
use super::seen::Seen;
use crate::rules::{Diagnosis, Eyes, TestPosition, Watched};

/// How long a resident stays in each position, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patience {
    /// In a test position.
    pub hold_s: f64,
    /// Upright between two tests.
    pub rest_s: f64,
    /// How often each test is done.
    pub rounds: usize,
}

impl Patience {
    /// A minute everywhere and every test twice, as textbooks ask.
    pub const TEXTBOOK: Patience = Patience {
        hold_s: 60.0,
        rest_s: 60.0,
        rounds: 2,
    };

    /// On with the next position as soon as the chair has come to rest and the eyes have been glanced
    /// at, 3 s (assumed), and no test a second time.
    pub const NEVER_WAITS: Patience = Patience {
        hold_s: 3.0,
        rest_s: 1.0,
        rounds: 1,
    };
}

const UPRIGHT: &str = "Upright";
const SUPINE: &str = "Supine, head 30° up";
const HEAD_HANGING: &str = "Straight head-hanging";
const LEAN: &str = "Lean back by 60°";
const BOW: &str = "Bow, face down";

fn dix_hallpike(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Right Dix-Hallpike",
        Ear::Left => "Left Dix-Hallpike",
    }
}

fn ear_down(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Right ear down",
        Ear::Left => "Left ear down",
    }
}

fn sat_up_from(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Sit up from the right",
        Ear::Left => "Sit up from the left",
    }
}

/// All tests in the textbook's order: upright, Dix-Hallpike on the right and on the left and each once
/// more, supine roll to both sides twice, bow and lean, straight head-hanging. The first roll to a side
/// finds the debris elsewhere than the second one does, so that only the repeated ones compare.
pub fn test_acts(patience: Patience) -> Vec<Act> {
    let Patience {
        hold_s,
        rest_s,
        rounds,
    } = patience;
    let mut acts = vec![Act::to(UPRIGHT, 0.0, 0.0, 0.0, hold_s / 2.0)];
    for _ in 0..rounds {
        for ear in [Ear::Right, Ear::Left] {
            let (yaw_deg, track_deg) = match ear {
                Ear::Right => (45.0, 120.0),
                Ear::Left => (-45.0, -120.0),
            };
            acts.extend([
                Act::to("Turn", yaw_deg, 0.0, 2.0, 2.0),
                Act::to(dix_hallpike(ear), yaw_deg, track_deg, 2.0, hold_s),
                Act::to(sat_up_from(ear), yaw_deg, 0.0, 2.0, rest_s),
            ]);
        }
    }
    acts.push(Act::to("Turn", 90.0, 0.0, 4.0, 2.0));
    for _ in 0..rounds {
        acts.extend([
            Act::to(SUPINE, 90.0, 60.0, 1.5, hold_s),
            Act::to(ear_down(Ear::Right), 0.0, 90.0, 1.5, hold_s),
            Act::to("Back to supine", 90.0, 60.0, 1.5, hold_s),
            Act::to(ear_down(Ear::Left), 180.0, 90.0, 1.5, hold_s),
        ]);
    }
    acts.extend([
        Act::to("Supine again", 90.0, 60.0, 1.5, hold_s),
        Act::to("Sit up from the roll", 90.0, 0.0, 2.0, rest_s),
        Act::to(BOW, 90.0, -90.0, 1.5, hold_s / 2.0),
        Act::to("Upright after bowing", 90.0, 0.0, 1.5, rest_s / 2.0),
        Act::to(LEAN, 90.0, 60.0, 1.0, hold_s / 2.0),
        Act::to("Upright after leaning", 90.0, 0.0, 1.0, rest_s / 2.0),
        Act::to(HEAD_HANGING, 90.0, 120.0, 2.0, hold_s),
        Act::to("Sit up at the end", 90.0, 0.0, 2.0, rest_s),
    ]);
    acts
}

/// What the textbook makes of what was seen in [`test_acts`]. It knows nothing but `seen`.
pub fn named_by(seen: &[Seen]) -> Diagnosis {
    let watched = seen.iter().map(|s| Watched {
        position: position_of(s),
        finding: &s.finding,
        felt: s.vertigo,
    });
    Eyes(watched.collect()).named()
}

/// By the names of [`test_acts`], which say more than gravity: the first supine position is not the second.
fn position_of(seen: &Seen) -> Option<TestPosition> {
    if seen.part != Part::Test {
        return None;
    }
    let of_ears = Ear::ALL.into_iter().find_map(|ear| {
        let positions = [
            (dix_hallpike(ear), TestPosition::DixHallpike(ear)),
            (ear_down(ear), TestPosition::EarDown(ear)),
            (sat_up_from(ear), TestPosition::SatUp(Some(ear))),
        ];
        positions.into_iter().find(|(name, _)| *name == seen.name)
    });
    let others = [
        (UPRIGHT, TestPosition::Upright),
        (SUPINE, TestPosition::Supine),
        (LEAN, TestPosition::Lean),
        (BOW, TestPosition::Bow),
        (HEAD_HANGING, TestPosition::HeadHanging),
    ];
    let of_others = others.into_iter().find(|(name, _)| *name == seen.name);
    of_ears.or(of_others).map(|(_, position)| position)
}
