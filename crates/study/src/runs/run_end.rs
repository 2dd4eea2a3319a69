//! The end of a run in one word, from where its bodies are once the patient has sat up and waited.

use lithodrome_debris::Place;
use lithodrome_labyrinth::{Canal, CanalId, Labyrinth, Region, Vec3, frame};
use serde::{Deserialize, Serialize};

/// How a run ended, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunEnd {
    /// All debris is in the utricle.
    Cleared,
    /// All is out of the long arms, some in a short arm.
    BehindCupula,
    /// Some is in its own canal still.
    Inside,
    /// Some is in its own canal still and rests where only friction keeps it.
    Held,
    /// Some is in another canal, on the side of its crus from which it falls back in a sitting patient.
    Passing,
    /// Some is in another canal.
    Switched,
}

impl RunEnd {
    /// All, best first.
    pub const ALL: [RunEnd; 6] = [
        RunEnd::Cleared,
        RunEnd::BehindCupula,
        RunEnd::Inside,
        RunEnd::Held,
        RunEnd::Passing,
        RunEnd::Switched,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            RunEnd::Cleared => "cleared",
            RunEnd::BehindCupula => "behind the cupula",
            RunEnd::Inside => "inside",
            RunEnd::Held => "held",
            RunEnd::Passing => "passing",
            RunEnd::Switched => "switched",
        }
    }
}

/// The word for one body of a canal's debris.
pub fn body_end(labyrinth: &Labyrinth, from: CanalId, place: Place) -> RunEnd {
    let ear = labyrinth.ear(from.ear);
    match place.region {
        Region::Utricle => RunEnd::Cleared,
        Region::ShortArm(_) => RunEnd::BehindCupula,
        Region::CommonCrus if ear.course_mm(from.canal, place.region, 0.0).is_none() => {
            RunEnd::Passing
        }
        Region::CommonCrus => RunEnd::Inside,
        Region::Duct(canal) if canal == from.canal => RunEnd::Inside,
        Region::Duct(canal) => {
            if place.arc_mm
                > upright_divide_mm(
                    labyrinth,
                    CanalId {
                        ear: from.ear,
                        canal,
                    },
                )
            {
                RunEnd::Passing
            } else {
                RunEnd::Switched
            }
        }
    }
}

/// The highest place of a duct in a sitting patient, mm of arc from its cupula: what lies beyond falls
/// back to where the duct opens.
pub fn upright_divide_mm(labyrinth: &Labyrinth, id: CanalId) -> f64 {
    let ear = labyrinth.ear(id.ear);
    let end_mm = ear.canal(id.canal).landmarks.duct_end_mm;
    let up = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse() * Vec3::z();
    let height = |mm: f64| ear.tube(id.canal).at(mm).0.dot(&up);
    let steps = 400;
    let mm = |i: usize| end_mm * i as f64 / steps as f64;
    (0..=steps)
        .map(mm)
        .max_by(|a, b| height(*a).total_cmp(&height(*b)))
        .unwrap_or(end_mm)
}

/// A canal by its name in a region, for tables.
pub(crate) fn canal_of(region: Region) -> Option<Canal> {
    match region {
        Region::Duct(canal) | Region::ShortArm(canal) => Some(canal),
        Region::CommonCrus | Region::Utricle => None,
    }
}
