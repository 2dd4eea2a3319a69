//! What a debris entry may say of its bodies besides number and size, in people's units.

use lithodrome_debris::{
    CLUMP_DENSITY_MG_MM3, Dispersal, GEL_DENSITY_MG_MM3, OTOCONIA_DENSITY_MG_MM3, VestibuleHold,
};
use lithodrome_labyrinth::{Canal, Ear};
use serde::{Deserialize, Serialize};

/// What the bodies are; it decides the density if that is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Kind {
    /// Single otoconia of calcite, 2.7 g/cm³.
    Crystal,
    /// Otoconia with fluid between them, 2.1 g/cm³.
    Clump,
    /// Gel of the otolithic membrane with otoconia in it, 1.5 g/cm³.
    Gel,
}

impl Kind {
    /// Its density, g/cm³.
    pub(crate) const fn density_g_cm3(self) -> f64 {
        match self {
            Kind::Crystal => OTOCONIA_DENSITY_MG_MM3,
            Kind::Clump => CLUMP_DENSITY_MG_MM3,
            Kind::Gel => GEL_DENSITY_MG_MM3,
        }
    }
}

/// Shape of a body; its diameter is that of the ball of the same volume.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum ShapeEntry {
    /// A ball.
    Ball,
    /// A rod with round ends.
    Rod {
        /// Length over width.
        aspect: f64,
    },
    /// A round plate.
    Disc {
        /// Width over thickness.
        aspect: f64,
    },
}

/// What holds a resting body, in multiples of its own weight; 0 if left out.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AdhesionEntry {
    /// Hold of the wall after a long rest.
    pub wall_g: f64,
    /// Further hold on a body that touches another.
    pub neighbour_g: f64,
    /// Time in which the hold grows back at rest, s; 0 is at once.
    pub growth_s: f64,
    /// Time in which a load of its weight wears off a hold of the same size, s; left out does not wear.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wear_s: Option<f64>,
}

/// How a clump falls apart while it moves and gathers at rest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct DispersalEntry {
    /// How many pieces it falls into; 343 if left out.
    pub pieces: f64,
    /// Way on which most of it falls apart, mm; 2 if left out.
    pub over_mm: f64,
    /// Time in which most of it gathers again, s; 600 if left out.
    pub gather_s: f64,
}

impl Default for DispersalEntry {
    fn default() -> DispersalEntry {
        let Dispersal {
            pieces,
            over_mm,
            gather_s,
        } = Dispersal::default();
        DispersalEntry {
            pieces,
            over_mm,
            gather_s,
        }
    }
}

/// What holds debris in the utricle and the short arms: it sets with time while it rests there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct VestibuleHoldEntry {
    /// Hold after a long rest, in multiples of its weight; 2 if left out.
    pub hold_g: f64,
    /// Time in which most of it has set, s; 600 if left out.
    pub sets_s: f64,
}

impl Default for VestibuleHoldEntry {
    fn default() -> VestibuleHoldEntry {
        let VestibuleHold { hold_g, sets_s } = VestibuleHold::default();
        VestibuleHoldEntry { hold_g, sets_s }
    }
}

/// A cupula that is lighter or heavier than endolymph.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CupulaEntry {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Density less that of endolymph, kg/m³; below 0 is a light cupula.
    pub excess_kg_m3: f64,
}
