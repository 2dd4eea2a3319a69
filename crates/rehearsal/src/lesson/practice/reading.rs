//! Recordings of eyes without a label, cut from runs of hidden cases, and what they show.

use lithodrome_nystagmus::{EyeTrace, Finding, Horizontal, Sense, Vertical};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};

use crate::error::RehearsalError;
use crate::lesson::{Act, HiddenCase, Patient};

/// What a recording shows, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EyeWord {
    /// Beats up, with or without torsion.
    Upbeating,
    /// Beats down, with or without torsion.
    Downbeating,
    /// Beats sideways toward the ground.
    Geotropic,
    /// Beats sideways away from the ground.
    Apogeotropic,
    /// With one ear down and then the other: beats toward the ground both times, so its direction changes.
    ChangingGeotropic,
    /// The same away from the ground.
    ChangingApogeotropic,
    /// Turns round in the hold, without the head having moved.
    Reverses,
    /// Nothing can be seen.
    Nothing,
}

impl EyeWord {
    /// All, in the order of the answer sheet.
    pub const ALL: [EyeWord; 8] = [
        EyeWord::Upbeating,
        EyeWord::Downbeating,
        EyeWord::Geotropic,
        EyeWord::Apogeotropic,
        EyeWord::ChangingGeotropic,
        EyeWord::ChangingApogeotropic,
        EyeWord::Reverses,
        EyeWord::Nothing,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            EyeWord::Upbeating => "upbeating",
            EyeWord::Downbeating => "downbeating",
            EyeWord::Geotropic => "geotropic",
            EyeWord::Apogeotropic => "apogeotropic",
            EyeWord::ChangingGeotropic => "direction-changing, geotropic",
            EyeWord::ChangingApogeotropic => "direction-changing, apogeotropic",
            EyeWord::Reverses => "reverses",
            EyeWord::Nothing => "nothing seen",
        }
    }

    /// The word for a finding; `None` where the beat is sideways and no ear is lower, or only torsional.
    pub fn of(finding: &Finding) -> Option<EyeWord> {
        if !finding.is_seen() {
            return Some(EyeWord::Nothing);
        }
        if finding.reversed {
            return Some(EyeWord::Reverses);
        }
        let [up, _, right] = finding.peak_components_rad_s;
        if finding.horizontal != Horizontal::None && right.abs() > up.abs() {
            return match finding.sense {
                Sense::Geotropic => Some(EyeWord::Geotropic),
                Sense::Apogeotropic => Some(EyeWord::Apogeotropic),
                Sense::None => None,
            };
        }
        match finding.vertical {
            Vertical::Up => Some(EyeWord::Upbeating),
            Vertical::Down => Some(EyeWord::Downbeating),
            Vertical::None => None,
        }
    }

    /// The word for what is seen with one ear down and then the other; `None` where the two have no word together.
    pub fn of_both(first: &Finding, then: &Finding) -> Option<EyeWord> {
        match (EyeWord::of(first)?, EyeWord::of(then)?) {
            (EyeWord::Geotropic, EyeWord::Geotropic) => Some(EyeWord::ChangingGeotropic),
            (EyeWord::Apogeotropic, EyeWord::Apogeotropic) => Some(EyeWord::ChangingApogeotropic),
            (EyeWord::Reverses, _) => None,
            (one, other) => (one == other).then_some(one),
        }
    }
}

/// Eyes in one position or, of a roll test, in two, without a label.
#[derive(Clone, Debug)]
pub struct Recording {
    /// What it follows from.
    pub seed: u64,
    /// The eyes of the whole run.
    pub eyes: EyeTrace,
    /// The positions recorded, one or two, in order.
    pub parts: Vec<RecordedPart>,
    /// What it shows.
    pub word: EyeWord,
}

/// Eyes in one position.
#[derive(Clone, Debug)]
pub struct RecordedPart {
    /// The position, in words: which ear is down is needed to tell geotropic from apogeotropic.
    pub position: &'static str,
    /// Where it begins, s of the run.
    pub from_s: f64,
    /// Where it ends, s of the run.
    pub to_s: f64,
    /// What is seen in it.
    pub finding: Finding,
}

impl Recording {
    /// Length of all its parts, s.
    pub fn length_s(&self) -> f64 {
        self.parts.iter().map(|part| part.to_s - part.from_s).sum()
    }

    /// The part that is shown so long after the recording began, and the time in the run; the last one after its
    /// end. `None` without parts.
    pub fn at(&self, since_s: f64) -> Option<(&RecordedPart, f64)> {
        let mut left_s = since_s.max(0.0);
        for part in &self.parts {
            let long_s = part.to_s - part.from_s;
            if left_s < long_s {
                return Some((part, part.from_s + left_s));
            }
            left_s -= long_s;
        }
        self.parts.last().map(|part| (part, part.to_s))
    }
}

/// Length of a recording, s.
const LENGTH_S: f64 = 30.0;

/// Positions of recordings: words, yaw and track, degrees.
const POSITIONS: [(&str, f64, f64); 5] = [
    ("right Dix-Hallpike", 45.0, 120.0),
    ("left Dix-Hallpike", -45.0, -120.0),
    ("right ear down", 0.0, 90.0),
    ("left ear down", 0.0, -90.0),
    ("straight head-hanging", 90.0, 120.0),
];

/// Every so many recordings one is of a roll test, where the direction can change.
const ROLLS: u64 = 3;

/// A recording by its seed. Where the seed's own case shows what has no one word, the next one is taken.
pub fn recording(seed: u64) -> Result<Recording, RehearsalError> {
    let mut draw = ChaCha8Rng::seed_from_u64(seed);
    loop {
        let patient = Patient::with(&HiddenCase::of_seed(draw.next_u64()))?;
        let [way, place] = [ROLLS, POSITIONS.len() as u64].map(|of| draw.next_u64() % of);
        let acts = if way == 0 {
            roll()
        } else {
            let (position, yaw_deg, track_deg) = POSITIONS[place as usize];
            vec![
                Act::to("Turn", yaw_deg, 0.0, 3.0, 5.0),
                Act::to(position, yaw_deg, track_deg, 2.0, LENGTH_S),
            ]
        };
        let run = patient.run(&acts)?;
        let recorded = |name: &'static str| {
            let seen = run.seen.iter().find(|seen| seen.name == name)?;
            Some(RecordedPart {
                position: name,
                from_s: seen.hold_from_s,
                to_s: seen.end_s,
                finding: seen.finding.clone(),
            })
        };
        let names = POSITIONS.iter().map(|(name, ..)| *name);
        let parts: Vec<RecordedPart> = names.filter_map(recorded).collect();
        let word = match parts.as_slice() {
            [one] => EyeWord::of(&one.finding),
            [one, other] => EyeWord::of_both(&one.finding, &other.finding),
            _ => None,
        };
        if let Some(word) = word {
            return Ok(Recording {
                seed,
                eyes: run.eyes,
                parts,
                word,
            });
        }
    }
}

/// A roll test: supine with the head 30° up, one ear down, back, the other ear down. The two ears' names are those
/// of [`POSITIONS`].
fn roll() -> Vec<Act> {
    vec![
        Act::to("Turn", 90.0, 0.0, 3.0, 5.0),
        Act::to("Supine, head up", 90.0, 60.0, 2.0, LENGTH_S),
        Act::to("right ear down", 0.0, 60.0, 1.5, LENGTH_S),
        Act::to("Back to supine", 90.0, 60.0, 1.5, LENGTH_S),
        Act::to("left ear down", 180.0, 60.0, 1.5, LENGTH_S),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In the debris' absence and in single positions no direction changes; of a roll test each part stands for
    /// one ear. Counted over seeds, every word of the sheet comes up.
    #[test]
    fn every_word_comes_up_and_two_positions_only_where_the_direction_can_change() {
        let mut met = std::collections::BTreeMap::new();
        for seed in 0..150 {
            let recording = recording(seed).unwrap();
            let changing = [EyeWord::ChangingGeotropic, EyeWord::ChangingApogeotropic];
            if changing.contains(&recording.word) {
                let [right, left] = recording.parts.as_slice() else {
                    panic!("one position");
                };
                assert_eq!(right.position, "right ear down");
                // The sense is the same, so the side to which the eyes beat is not.
                let sides = [right, left].map(|part| part.finding.horizontal);
                assert_ne!(sides[0], sides[1]);
            }
            *met.entry(recording.word).or_insert(0) += 1;
        }
        for word in EyeWord::ALL {
            assert!(met.contains_key(&word), "{}: {met:?}", word.name());
        }
    }

    #[test]
    fn a_recording_goes_from_one_position_to_the_next() {
        let roll = (0..40)
            .map(|seed| recording(seed).unwrap())
            .find(|recording| recording.parts.len() == 2)
            .unwrap();
        assert!((roll.length_s() - 2.0 * LENGTH_S).abs() < 1e-6);
        assert_eq!(roll.at(1.0).unwrap().0.position, "right ear down");
        let (part, time_s) = roll.at(LENGTH_S + 1.0).unwrap();
        assert_eq!(part.position, "left ear down");
        assert!((time_s - part.from_s - 1.0).abs() < 1e-6);
        assert_eq!(roll.at(1e9).unwrap().0.position, "left ear down");
    }
}
