//! Material numbers and modelling choices, each with its source.
//!
//! Units are mm, mg, s throughout: force nN, pressure mPa, viscosity mPa·s, density mg/mm³ (g/cm³),
//! volume mm³ (µL). Every number is then of order one and water is 1, 1.

/// Constants of one run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Physics {
    /// Viscosity of endolymph. Source: 0.7 (water at 37 °C) to 1.2 (pike, ten Kate & Kuiper 1970,
    /// J Exp Biol 53:495); 1.0 chosen.
    pub viscosity_mpa_s: f64,
    /// Density of endolymph. Source: 1.000 to 1.009 (Brandt, Vertigo, ch. 17); 1.0 chosen.
    pub fluid_density_mg_mm3: f64,
    /// Standard gravity.
    pub gravity_mm_s2: f64,
    /// Long time constant of every cupula. Source: 4.2 ± 0.6 s in man, Dai et al. 1999,
    /// J Vestib Res 9:293.
    pub cupula_time_constant_s: f64,
    /// Share of the weight of a body that is fixed to a cupula that counts as even pressure on it. 1 is a
    /// uniform load.
    pub cupula_load_share: f64,
    /// How a body that lies on a cupula and is not fixed to it loads it.
    pub lying_load: LyingLoad,
    /// How far in from the rim of a cupula crista and wall bear all that lies there, as a share of its
    /// radius: the cupula stands on a ridge. 0 to 0.4; calibrated: 0.25 lets no nystagmus last in somebody who
    /// sits after a cleared manoeuvre, as that is rare in print.
    pub cupula_rim: f64,
    /// Density of each cupula less that of endolymph, mg/mm³, `[canal of CanalId::ALL]`: below 0 a light
    /// cupula, above a heavy one. Measured as equal, 1.0087 both (Brandt, Vertigo, ch. 17); 0.
    pub cupula_excess_mg_mm3: [f64; 6],
    /// Whether the flow of endolymph carries debris; off only to compare with formulas that leave it out.
    pub entrainment: bool,
    /// Whether bodies of the settling engine push each other; off for formulas and for studies of single
    /// bodies, where it is time lost.
    pub contacts: bool,
}

/// How the weight of a body that lies on a cupula bends it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum LyingLoad {
    /// As if it were spread evenly, wherever the body lies.
    Even,
    /// As a membrane that is held at its rim: `2 (1 − ρ²)` of the even load at the share ρ of the radius
    /// from the middle (by reciprocity with the deflection under an even pressure, a paraboloid).
    Membrane,
    /// As a plate that is clamped at its rim: `3 (1 − ρ²)²`, by the same reciprocity. In the middle it is
    /// three times the even load; at the rim, where debris comes to rest in somebody who sits, crista and
    /// wall bear nearly all. Assumed.
    #[default]
    Plate,
}

impl LyingLoad {
    /// The load over the even one, where the square of the distance from the middle is this share of the
    /// square of the cupula's radius; `rim` as in [`Physics::cupula_rim`]. Its mean over the cupula is 1.
    pub fn share(self, rho2: f64, rim: f64) -> f64 {
        let free2 = (1.0 - rim) * (1.0 - rim);
        let inside = (1.0 - rho2 / free2).max(0.0);
        match self {
            LyingLoad::Even => 1.0,
            LyingLoad::Membrane => 2.0 * inside / free2,
            LyingLoad::Plate => 3.0 * inside * inside / free2,
        }
    }
}

impl Default for Physics {
    fn default() -> Physics {
        Physics {
            viscosity_mpa_s: 1.0,
            fluid_density_mg_mm3: 1.0,
            gravity_mm_s2: 9810.0,
            cupula_time_constant_s: 4.2,
            cupula_load_share: 1.0,
            lying_load: LyingLoad::Plate,
            cupula_rim: 0.25,
            cupula_excess_mg_mm3: [0.0; 6],
            entrainment: true,
            contacts: true,
        }
    }
}

impl Physics {
    /// Whether any cupula is lighter or heavier than endolymph.
    pub(crate) fn has_cupula_weight(&self) -> bool {
        self.cupula_excess_mg_mm3
            .iter()
            .any(|excess| *excess != 0.0)
    }
}

/// Density of calcite otoconia, g/cm³. Source: calcite 2.71; 2.70 with bound water (from memory).
pub const OTOCONIA_DENSITY_MG_MM3: f64 = 2.7;

/// Density of a clump of otoconia with fluid between them, g/cm³: 64 % of its volume is calcite, as in
/// balls heaped at random (Scott 1960, Nature 188:908).
pub const CLUMP_DENSITY_MG_MM3: f64 = 2.1;

/// Density of a fragment of the otolithic membrane with otoconia in its gel, g/cm³. Source: such
/// fragments are found in surgery (Kao, Parnes & Chole 2017, Laryngoscope 127:709); the share of a third
/// of calcite is assumed.
pub const GEL_DENSITY_MG_MM3: f64 = 1.5;

/// Stokes speed of a sphere in free fluid, mm/s: (2/9) Δρ g a² / μ.
pub fn stokes_speed_mm_s(radius_mm: f64, density_mg_mm3: f64, physics: &Physics) -> f64 {
    2.0 / 9.0
        * (density_mg_mm3 - physics.fluid_density_mg_mm3)
        * physics.gravity_mm_s2
        * radius_mm
        * radius_mm
        / physics.viscosity_mpa_s
}
