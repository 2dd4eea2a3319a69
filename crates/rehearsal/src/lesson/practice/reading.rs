//! Recordings of eyes without a label, cut from runs of hidden cases, and what they show.

use lithodrome_nystagmus::{EyeTrace, Finding, Horizontal, Sense, Vertical};
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
    /// Turns round in the hold, without the head having moved.
    Reverses,
    /// Nothing can be seen.
    Nothing,
}

impl EyeWord {
    /// All, in the order of the answer sheet.
    pub const ALL: [EyeWord; 6] = [
        EyeWord::Upbeating,
        EyeWord::Downbeating,
        EyeWord::Geotropic,
        EyeWord::Apogeotropic,
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
}

/// Eyes in one position, without a label.
#[derive(Clone, Debug)]
pub struct Recording {
    /// What it follows from.
    pub seed: u64,
    /// The position, in words: which ear is down is needed to tell geotropic from apogeotropic.
    pub position: &'static str,
    /// The eyes of the whole run.
    pub eyes: EyeTrace,
    /// Where the recording begins, s.
    pub from_s: f64,
    /// Where it ends, s.
    pub to_s: f64,
    /// What it shows.
    pub word: EyeWord,
    /// The finding behind the word.
    pub finding: Finding,
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

/// A recording by its seed. Where the seed's own case shows what has no one word, the next one is taken.
pub fn recording(seed: u64) -> Result<Recording, RehearsalError> {
    // Spread, so that neighbouring seeds share no case.
    const NEXT: u64 = 0x9E37_79B9_7F4A_7C15;
    let mut number = seed;
    loop {
        number = number.wrapping_add(NEXT);
        let patient = Patient::with(&HiddenCase::of_seed(number >> 16))?;
        let (position, yaw_deg, track_deg) = POSITIONS[(number % 5) as usize];
        let acts = [
            Act::to("Turn", yaw_deg, 0.0, 3.0, 5.0),
            Act::to(position, yaw_deg, track_deg, 2.0, LENGTH_S),
        ];
        let run = patient.run(&acts)?;
        let Some(seen) = run.seen.into_iter().next_back() else {
            continue;
        };
        if let Some(word) = EyeWord::of(&seen.finding) {
            return Ok(Recording {
                seed,
                position,
                eyes: run.eyes,
                from_s: seen.hold_from_s,
                to_s: seen.end_s,
                word,
                finding: seen.finding,
            });
        }
    }
}
