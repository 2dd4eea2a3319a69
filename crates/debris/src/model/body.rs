//! The bodies of debris: groups as they are asked for, and each body's constant numbers.

use std::f64::consts::PI;

use lithodrome_labyrinth::{Canal, Ear};
use serde::{Deserialize, Serialize};

use super::matter::Matter;
use super::physics::Physics;

/// From this share of the lumen's radius on a body is jammed (assumed: a duct is neither as round nor
/// as smooth as a clump that wide would need).
pub(crate) const TIGHT: f64 = 0.97;

/// Bodies of one kind that start at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DebrisGroup {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Where.
    pub start: Start,
    /// How many; they start side by side.
    pub count: u32,
    /// Diameter of each, mm.
    pub diameter_mm: f64,
    /// Density, mg/mm³.
    pub density_mg_mm3: f64,
    /// Shape, adhesion, dispersal.
    pub matter: Matter,
}

/// Places debris can start from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// Where it rests between cupula and apex in the starting pose, or the middle of that arm.
    AmpullaryArm,
    /// Where it rests between apex and the far end, or the middle of that arm.
    NonAmpullaryArm,
    /// On the utricular side of the cupula.
    ShortArm,
    /// The lowest point of the utricle.
    Utricle,
    /// Exactly here on the centre-line's arc, lying on the lower wall.
    Arc {
        /// Arc length from the cupula.
        mm: f64,
    },
    /// Fixed to the cupula.
    OnCupula {
        /// On this face.
        face: CupulaFace,
    },
}

/// A face of a cupula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum CupulaFace {
    /// Toward the duct.
    Canal,
    /// Toward the utricle.
    Utricle,
}

impl CupulaFace {
    /// 1 toward the duct, −1 toward the utricle.
    pub(crate) const fn sign(self) -> f64 {
        match self {
            CupulaFace::Canal => 1.0,
            CupulaFace::Utricle => -1.0,
        }
    }
}

/// One body's constant numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Side.
    pub ear: Ear,
    /// Canal it starts in.
    pub canal: Canal,
    /// Radius, mm; of the ball of the same volume.
    pub radius_mm: f64,
    /// Mass less the fluid it displaces, mg.
    pub buoyant_mass_mg: f64,
    /// Stokes resistance 6πμa, mg/s, of its shape, while it is whole.
    pub resistance_mg_s: f64,
    /// Distance of its centre from a wall it rests on, mm.
    pub rest_mm: f64,
    /// Half its smallest width, mm: no part of it is nearer to its centre.
    pub half_width_mm: f64,
    /// The face of its cupula to which it is fixed at the start, if it is.
    pub fixed_to: Option<CupulaFace>,
    /// Shape, adhesion, dispersal.
    pub matter: Matter,
}

impl Body {
    /// A body of a group.
    pub(crate) fn of(group: &DebrisGroup, physics: &Physics) -> Body {
        let radius_mm = group.diameter_mm / 2.0;
        let volume = 4.0 / 3.0 * PI * radius_mm.powi(3);
        let fixed_to = match group.start {
            Start::OnCupula { face } => Some(face),
            _ => None,
        };
        Body {
            ear: group.ear,
            canal: group.canal,
            radius_mm,
            buoyant_mass_mg: volume * (group.density_mg_mm3 - physics.fluid_density_mg_mm3),
            resistance_mg_s: 6.0
                * PI
                * physics.viscosity_mpa_s
                * radius_mm
                * group.matter.shape.drag_factor(),
            rest_mm: radius_mm * (1.0 + group.matter.rolling.gap),
            half_width_mm: radius_mm * group.matter.shape.half_width(),
            fixed_to,
            matter: group.matter,
        }
    }
}

/// What a body moves as, while it is whole and while it has fallen apart: even balls side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pieces {
    /// Radius of each, mm.
    pub(crate) radius_mm: f64,
    /// Stokes resistance of the body, mg/s, when it moves as they do.
    pub(crate) resistance_mg_s: f64,
}

impl Pieces {
    /// The whole body.
    pub(crate) fn whole(body: &Body) -> Pieces {
        Pieces {
            radius_mm: body.radius_mm,
            resistance_mg_s: body.resistance_mg_s,
        }
    }
}
