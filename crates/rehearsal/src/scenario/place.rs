//! Where debris can start.

use lithodrome_debris::CupulaFace;
use serde::{Deserialize, Serialize};

/// Places debris can start from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum At {
    /// Where it rests between the cupula and the apex.
    AmpullaryArm,
    /// Where it rests between the apex and the far end.
    NonAmpullaryArm,
    /// On the utricular side of the cupula.
    ShortArm,
    /// In the utricle.
    Utricle,
    /// Exactly here.
    Arc {
        /// Arc length from the cupula, mm.
        mm: f64,
    },
    /// Fixed to the cupula.
    OnCupula {
        /// On which of its faces.
        side: CupulaFace,
    },
}
