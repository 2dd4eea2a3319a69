//! What a manoeuvre or a test is for, as a scenario file says it.

use lithodrome_debris::CupulaFace;
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use serde::{Deserialize, Serialize};

use super::place::At;

/// Purpose, source and rules of a manoeuvre or a test; the `about` block of a scenario.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct About {
    /// Treatment or test.
    pub kind: Purpose,
    /// Canals it is meant for.
    pub targets: Vec<Target>,
    /// Where the debris has to be for it.
    pub mechanisms: Vec<Mechanism>,
    /// Where its angles, times and results are from.
    pub source: String,
    /// How often it is done.
    pub repeats: String,
    /// What to mind before and while it is done.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// When to go on to the next step.
    pub hold_rule: String,
}

/// What a sequence is done for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Purpose {
    /// To bring debris out.
    Treatment,
    /// To find out where it is.
    Test,
}

/// A canal in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
}

impl From<CanalId> for Target {
    fn from(id: CanalId) -> Target {
        Target {
            ear: id.ear,
            canal: id.canal,
        }
    }
}

/// Where debris is and whether it is free, the things that tests are to tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Mechanism {
    /// Free between cupula and apex.
    AmpullaryArm,
    /// Free between apex and utricle.
    NonAmpullaryArm,
    /// Free on the utricular side of the cupula.
    ShortArm,
    /// On the cupula, on its face toward the duct.
    CupulaCanalSide,
    /// On the cupula, on its face toward the utricle.
    CupulaUtricleSide,
}

impl Mechanism {
    /// All, free ones first.
    pub const ALL: [Mechanism; 5] = [
        Mechanism::AmpullaryArm,
        Mechanism::NonAmpullaryArm,
        Mechanism::ShortArm,
        Mechanism::CupulaCanalSide,
        Mechanism::CupulaUtricleSide,
    ];

    /// In words: "ampullary arm", "cupula, canal side".
    pub const fn name(self) -> &'static str {
        match self {
            Mechanism::AmpullaryArm => "ampullary arm",
            Mechanism::NonAmpullaryArm => "non-ampullary arm",
            Mechanism::ShortArm => "short arm",
            Mechanism::CupulaCanalSide => "cupula, canal side",
            Mechanism::CupulaUtricleSide => "cupula, utricle side",
        }
    }

    /// Debris begins between a cupula and the utricle.
    pub const fn at_is_short(self) -> bool {
        matches!(self, Mechanism::ShortArm | Mechanism::CupulaUtricleSide)
    }

    /// Debris is held on a cupula.
    pub const fn is_on_cupula(self) -> bool {
        matches!(
            self,
            Mechanism::CupulaCanalSide | Mechanism::CupulaUtricleSide
        )
    }

    /// The place in a scenario's debris.
    pub const fn at(self) -> At {
        match self {
            Mechanism::AmpullaryArm => At::AmpullaryArm,
            Mechanism::NonAmpullaryArm => At::NonAmpullaryArm,
            Mechanism::ShortArm => At::ShortArm,
            Mechanism::CupulaCanalSide => At::OnCupula {
                side: CupulaFace::Canal,
            },
            Mechanism::CupulaUtricleSide => At::OnCupula {
                side: CupulaFace::Utricle,
            },
        }
    }
}
