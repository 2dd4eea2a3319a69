//! What a resident names: which canals of which ears are ill, and how.

use lithodrome_labyrinth::CanalId;
use serde::{Deserialize, Serialize};

use crate::scenario::{Mechanism, Target};

/// How a canal is ill, as far as eyes can tell it: both faces of a cupula look alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LesionKind {
    /// Free debris between cupula and apex.
    AmpullaryArm,
    /// Free debris between apex and utricle.
    NonAmpullaryArm,
    /// Free debris on the utricular side of the cupula.
    ShortArm,
    /// Debris on the cupula.
    Cupula,
    /// A cupula that is lighter than endolymph; there is no debris.
    LightCupula,
}

impl LesionKind {
    /// All, in the order of the answer sheet.
    pub const ALL: [LesionKind; 5] = [
        LesionKind::AmpullaryArm,
        LesionKind::NonAmpullaryArm,
        LesionKind::ShortArm,
        LesionKind::Cupula,
        LesionKind::LightCupula,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            LesionKind::AmpullaryArm => "free debris, ampullary arm",
            LesionKind::NonAmpullaryArm => "free debris, non-ampullary arm",
            LesionKind::ShortArm => "free debris, short arm",
            LesionKind::Cupula => "debris on the cupula",
            LesionKind::LightCupula => "light cupula",
        }
    }

    /// The mechanisms that a manoeuvre may be meant for; none for a light cupula.
    pub const fn mechanisms(self) -> &'static [Mechanism] {
        match self {
            LesionKind::AmpullaryArm => &[Mechanism::AmpullaryArm],
            LesionKind::NonAmpullaryArm => &[Mechanism::NonAmpullaryArm],
            LesionKind::ShortArm => &[Mechanism::ShortArm],
            LesionKind::Cupula => &[Mechanism::CupulaCanalSide, Mechanism::CupulaUtricleSide],
            LesionKind::LightCupula => &[],
        }
    }
}

impl From<Mechanism> for LesionKind {
    fn from(mechanism: Mechanism) -> LesionKind {
        match mechanism {
            Mechanism::AmpullaryArm => LesionKind::AmpullaryArm,
            Mechanism::NonAmpullaryArm => LesionKind::NonAmpullaryArm,
            Mechanism::ShortArm => LesionKind::ShortArm,
            Mechanism::CupulaCanalSide | Mechanism::CupulaUtricleSide => LesionKind::Cupula,
        }
    }
}

/// One ill canal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Lesion {
    /// Side and canal.
    pub canal: Target,
    /// How it is ill.
    pub kind: LesionKind,
}

impl Lesion {
    /// A lesion of this canal.
    pub fn new(canal: CanalId, kind: LesionKind) -> Lesion {
        Lesion {
            canal: canal.into(),
            kind,
        }
    }

    /// Side and canal.
    pub fn canal_id(self) -> CanalId {
        CanalId {
            ear: self.canal.ear,
            canal: self.canal.canal,
        }
    }

    /// "right posterior canal: free debris, ampullary arm".
    pub fn words(self) -> String {
        format!("{}: {}", self.canal_id().name(), self.kind.name())
    }
}

/// Everything that is ill; nothing, if it is empty.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Diagnosis {
    /// The ill canals, in the order of [`CanalId::ALL`].
    pub lesions: Vec<Lesion>,
}

impl Diagnosis {
    /// These lesions, each canal once, in order.
    pub fn new(mut lesions: Vec<Lesion>) -> Diagnosis {
        lesions.sort_by_key(|lesion| lesion.canal_id().index());
        lesions.dedup_by_key(|lesion| lesion.canal_id().index());
        Diagnosis { lesions }
    }

    /// In words: "right posterior canal: free debris, ampullary arm", or "no canal is ill".
    pub fn words(&self) -> String {
        if self.lesions.is_empty() {
            return "no canal is ill".to_owned();
        }
        let each: Vec<_> = self.lesions.iter().map(|l| l.words()).collect();
        each.join("; ")
    }

    /// How this answer compares with the truth.
    pub fn against(&self, truth: &Diagnosis) -> Marks {
        let ears = |d: &Diagnosis| {
            let mut ears: Vec<_> = d.lesions.iter().map(|l| l.canal.ear.index()).collect();
            ears.dedup();
            ears
        };
        let canals =
            |d: &Diagnosis| -> Vec<_> { d.lesions.iter().map(|l| l.canal_id().index()).collect() };
        Marks {
            ear: ears(self) == ears(truth),
            canal: canals(self) == canals(truth),
            mechanism: self == truth,
        }
    }
}

/// Which parts of an answer are right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Marks {
    /// The ears, no more and no fewer.
    pub ear: bool,
    /// The canals.
    pub canal: bool,
    /// The canals and how each is ill: all of it.
    pub mechanism: bool,
}
