//! What makes one ear differ: numbers drawn from a seed or from given places in the unit cube.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use statrs::distribution::{ContinuousCDF, Normal};

use crate::{Canal, PlaneStudy, Variation, Vec3};

/// Deviates end so many standard deviations from the middle.
const MOST_SD: f64 = 3.0;

/// What each number in [0, 1) decides, in the order in which [`Variation::from_unit`] takes them.
pub const DIMENSIONS: [&str; 32] = [
    "study of the planes",
    "common turn x",
    "common turn y",
    "common turn z",
    "anterior turn x",
    "anterior turn y",
    "anterior turn z",
    "lateral turn x",
    "lateral turn y",
    "lateral turn z",
    "posterior turn x",
    "posterior turn y",
    "posterior turn z",
    "anterior arc radius",
    "lateral arc radius",
    "posterior arc radius",
    "calibre",
    "crus tilt back",
    "crus tilt out",
    "crus length",
    "crus radius",
    "ampulla width",
    "ampulla length",
    "anterior cupula place",
    "lateral cupula place",
    "posterior cupula place",
    "anterior crista",
    "lateral crista",
    "posterior crista",
    "utricle floor",
    "port radius",
    "Reid pitch",
];

/// What makes one ear differ from the anatomy it varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// The seed that gave it, if one did.
    pub seed: Option<u64>,
    /// The study whose mean planes it varies; the anatomy's own if none.
    pub planes: Option<PlaneStudy>,
    /// Rotation vector of the whole left labyrinth, Reid axes.
    pub common_turn_deg: Vec3,
    /// Rotation vectors of the canals before the common turn, left ear, Reid axes, `[canal]`.
    pub canal_turn_deg: [Vec3; 3],
    /// Added to the radius of the arcs, `[canal]`.
    pub arc_radius_mm: [f64; 3],
    /// Multiplies the lumen radius of ducts and crus.
    pub calibre: f64,
    /// Added to the tilt of the crus, backward and outward.
    pub crus_tilt_deg: [f64; 2],
    /// Multiplies the length of the crus.
    pub crus_length: f64,
    /// Multiplies its lumen radius, beside the calibre.
    pub crus_radius: f64,
    /// Multiplies the width of the ampullae.
    pub ampulla_radius: f64,
    /// Multiplies their length.
    pub ampulla_length: f64,
    /// Added to the place of the cupulae on their arcs, `[canal]`; of the anterior one, to the place that
    /// keeps it beside the lateral one.
    pub cupula_angle_deg: [f64; 3],
    /// Added to how the cristae stand, `[canal]`, beside what their places add.
    pub crista_angle_deg: [f64; 3],
    /// Added to the depth of the utricle's floor under its middle.
    pub utricle_floor_mm: f64,
    /// Multiplies the lumen radius of the ampullae's mouths, beside their width.
    pub port_radius: f64,
    /// Added to the pitch of Reid's plane.
    pub reid_pitch_deg: f64,
}

impl Draw {
    /// No difference at all: the anatomy itself.
    pub const NONE: Draw = Draw {
        seed: None,
        planes: None,
        common_turn_deg: Vec3::new(0.0, 0.0, 0.0),
        canal_turn_deg: [Vec3::new(0.0, 0.0, 0.0); 3],
        arc_radius_mm: [0.0; 3],
        calibre: 1.0,
        crus_tilt_deg: [0.0; 2],
        crus_length: 1.0,
        crus_radius: 1.0,
        ampulla_radius: 1.0,
        ampulla_length: 1.0,
        cupula_angle_deg: [0.0; 3],
        crista_angle_deg: [0.0; 3],
        utricle_floor_mm: 0.0,
        port_radius: 1.0,
        reid_pitch_deg: 0.0,
    };
}

impl Variation {
    /// The draw at a place of the unit cube, one number of [0, 1) for each of [`DIMENSIONS`], so that a
    /// point of a low-discrepancy sequence gives an ear, whatever was drawn before. A number that is left
    /// out is taken as 0.5: the middle of its spread (for the study of the planes, the largest).
    pub fn from_unit(&self, unit: &[f64]) -> Draw {
        let mut unit = unit.iter().copied();
        let mut next = || unit.next().unwrap_or(0.5);
        let planes = study_at(&self.planes, next());
        let mut normal = |sd: f64| sd * deviate(next());
        let mut vector = |sd: f64| Vec3::from_fn(|_, _| normal(sd));
        let common_turn_deg = vector(self.common_turn_sd_deg.value);
        let canal_turn_deg = Canal::ALL.map(|c| vector(self.canal_turn_sd_deg[c.index()].value));
        let arc_radius_mm = self.arc_radius_sd_mm.each_ref().map(|sd| normal(sd.value));
        let calibre = normal(self.calibre_log_sd.value).exp();
        let crus_tilt_deg = self.crus_tilt_sd_deg.each_ref().map(|sd| normal(sd.value));
        Draw {
            seed: None,
            planes,
            common_turn_deg,
            canal_turn_deg,
            arc_radius_mm,
            calibre,
            crus_tilt_deg,
            crus_length: normal(self.crus_length_log_sd.value).exp(),
            crus_radius: normal(self.crus_radius_log_sd.value).exp(),
            ampulla_radius: normal(self.ampulla_radius_log_sd.value).exp(),
            ampulla_length: normal(self.ampulla_length_log_sd.value).exp(),
            cupula_angle_deg: self
                .cupula_angle_sd_deg
                .each_ref()
                .map(|sd| normal(sd.value)),
            crista_angle_deg: self
                .crista_angle_sd_deg
                .each_ref()
                .map(|sd| normal(sd.value)),
            utricle_floor_mm: normal(self.utricle_floor_sd_mm.value),
            port_radius: normal(self.port_radius_log_sd.value).exp(),
            reid_pitch_deg: normal(self.reid_pitch_sd_deg.value),
        }
    }

    /// The draw of a seed: ChaCha with eight rounds gives the numbers in [0, 1), so that a seed gives the
    /// same ear on every machine.
    pub fn draw(&self, seed: u64) -> Draw {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let unit: [f64; DIMENSIONS.len()] =
            std::array::from_fn(|_| (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64);
        Draw {
            seed: Some(seed),
            ..self.from_unit(&unit)
        }
    }
}

/// The study at a share of all measured ears; in the middle of its spread the largest.
fn study_at(studies: &[PlaneStudy], share: f64) -> Option<PlaneStudy> {
    let ears: u32 = studies.iter().map(|s| s.ears).sum();
    let mut passed = 0;
    studies
        .iter()
        .find(|s| {
            passed += s.ears;
            share * f64::from(ears) < f64::from(passed)
        })
        .or(studies.last())
        .copied()
}

/// The standard normal deviate at a share of its distribution, cut at [`MOST_SD`] either side.
fn deviate(share: f64) -> f64 {
    let normal = Normal::standard();
    let least = normal.cdf(-MOST_SD);
    normal.inverse_cdf(least + share.clamp(0.0, 1.0) * (1.0 - 2.0 * least))
}
