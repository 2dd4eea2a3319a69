//! What a patient's illnesses forbid, each with its reason.

use lithodrome_rehearsal::Limits;
use serde::{Deserialize, Serialize};

/// A head that must not go below the horizontal may be off by so much, degrees (assumed: what a chair can
/// be set to).
const LEVEL_DEG: f64 = 1.0;

/// A reason to be careful with a patient.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Caution {
    /// Glaucoma, high eye pressure, diseased retina.
    EyePressure,
    /// Surgery of eye, ear, brain, chest or abdomen of late.
    RecentSurgery,
    /// Unstable angina, failing heart, infarct of late, aneurysm.
    Heart,
    /// Very high blood pressure or a stroke before.
    Stroke,
    /// Unstable neck: injury, rheumatoid or Down's laxity, disc prolapse with signs.
    UnstableNeck,
    /// Narrowed neck arteries, fainting when the neck is turned.
    NeckArteries,
    /// Brittle bones or a fresh fracture.
    BrittleBones,
    /// Reflux, feeding tube, danger of aspiration.
    Aspiration,
    /// Fragile skin or pressure sores.
    Skin,
    /// Blood pressure that falls on standing.
    Orthostatic,
    /// Fear or vomiting.
    Anxiety,
}

impl Caution {
    /// All.
    pub const ALL: [Caution; 11] = [
        Caution::EyePressure,
        Caution::RecentSurgery,
        Caution::Heart,
        Caution::Stroke,
        Caution::UnstableNeck,
        Caution::NeckArteries,
        Caution::BrittleBones,
        Caution::Aspiration,
        Caution::Skin,
        Caution::Orthostatic,
        Caution::Anxiety,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Caution::EyePressure => "glaucoma or diseased retina",
            Caution::RecentSurgery => "surgery of late",
            Caution::Heart => "heart or aneurysm",
            Caution::Stroke => "very high blood pressure or stroke",
            Caution::UnstableNeck => "unstable neck",
            Caution::NeckArteries => "narrowed neck arteries",
            Caution::BrittleBones => "brittle bones or fracture",
            Caution::Aspiration => "reflux or feeding tube",
            Caution::Skin => "fragile skin or pressure sores",
            Caution::Orthostatic => "blood pressure falls on standing",
            Caution::Anxiety => "fear or vomiting",
        }
    }

    /// Why it matters, with its source.
    pub const fn reason(self) -> &'static str {
        match self {
            Caution::EyePressure => {
                "upside down the pressure in the eye about doubles, 14 to 36 mmHg (1985, JAMA 253:1755, read), with glaucoma 21 to 38 within 5 min, with lost fields that came back in 11 of 19 eyes (1984, Am J Ophthalmol 98:784, read)"
            }
            Caution::RecentSurgery => "pressure and fast moves strain what heals (from memory)",
            Caution::Heart => "the heart bears neither inversion nor a full turn (from memory)",
            Caution::Stroke => {
                "inversion raised the mean pressure from 110/77 to 130/90 in the young (LeMarr 1984, read); a bleed after an Epley is told of (2018, J Otolaryngol Head Neck Surg 47:25, read)"
            }
            Caution::UnstableNeck => {
                "a neck that may slip must not be turned, bent or thrown (Humphriss 2003, Int J Audiol 42:166, abstract read)"
            }
            Caution::NeckArteries => {
                "turned and bent back, the neck pinches its arteries (Humphriss 2003, Int J Audiol 42:166, abstract read)"
            }
            Caution::BrittleBones => "straps and stops load the bones (from memory)",
            Caution::Aspiration => {
                "what the stomach holds runs to the throat head down (no source found)"
            }
            Caution::Skin => "straps rub and press when it goes fast (from memory)",
            Caution::Orthostatic => "sitting up fast makes him faint (from memory)",
            Caution::Anxiety => {
                "every turn may be the one too many; fear also foretells unsteadiness afterwards (Teggi 2011, read)"
            }
        }
    }

    /// What it forbids; the numbers are assumed where the reason gives none.
    pub fn limits(self) -> Limits {
        let none = Limits::default();
        match self {
            Caution::EyePressure | Caution::RecentSurgery => Limits {
                head_down_deg: Some(LEVEL_DEG),
                no_throw: self == Caution::RecentSurgery,
                ..none
            },
            Caution::Heart | Caution::Stroke => Limits {
                head_down_deg: Some(30.0),
                inverted_s: Some(120.0),
                ..none
            },
            Caution::UnstableNeck => Limits {
                no_throw: true,
                acceleration_deg_s2: Some(120.0),
                ..none
            },
            Caution::BrittleBones => Limits {
                no_throw: true,
                acceleration_deg_s2: Some(200.0),
                ..none
            },
            Caution::Aspiration => Limits {
                inverted_s: Some(60.0),
                ..none
            },
            Caution::Skin => Limits {
                no_throw: true,
                ..none
            },
            Caution::NeckArteries | Caution::Orthostatic | Caution::Anxiety => none,
        }
    }

    /// The neck must rest: nothing at the bedside that turns or bends it.
    pub const fn rests_the_neck(self) -> bool {
        matches!(self, Caution::UnstableNeck | Caution::NeckArteries)
    }

    /// What to do about it.
    pub const fn advice(self) -> Option<&'static str> {
        match self {
            Caution::Aspiration => Some("last meal two hours ago or more, suction at hand"),
            Caution::Skin => Some("pad the straps and look at the skin before and after"),
            Caution::Orthostatic => {
                Some("2 min of sitting after the last step, measure if he feels faint")
            }
            Caution::Anxiety => {
                Some("say each move before it is made; medicine only against bad nausea")
            }
            Caution::Heart | Caution::Stroke => {
                Some("ask the physician first, measure the blood pressure before")
            }
            Caution::EyePressure | Caution::RecentSurgery => {
                Some("ask the physician in charge first")
            }
            Caution::UnstableNeck | Caution::NeckArteries => {
                Some("head and trunk move together, in the chair alone")
            }
            Caution::BrittleBones => None,
        }
    }
}

/// Each limit at its tightest.
pub(super) fn tightest(all: impl IntoIterator<Item = Limits>) -> Limits {
    let lower = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    all.into_iter().fold(Limits::default(), |a, b| Limits {
        head_down_deg: lower(a.head_down_deg, b.head_down_deg),
        inverted_s: lower(a.inverted_s, b.inverted_s),
        speed_deg_s: lower(a.speed_deg_s, b.speed_deg_s),
        acceleration_deg_s2: lower(a.acceleration_deg_s2, b.acceleration_deg_s2),
        yaw_deg: lower(a.yaw_deg, b.yaw_deg),
        no_throw: a.no_throw || b.no_throw,
    })
}
