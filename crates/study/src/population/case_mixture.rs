//! A case mixture: how ears, debris and operators are spread, every number with its source.
//!
//! Read from a RON file; the usual one is shipped as `assets/mixtures/usual.ron`.

use std::path::Path;

use lithodrome_debris::CupulaFace;
use lithodrome_labyrinth::Sourced;
use lithodrome_rehearsal::Mechanism;
use serde::{Deserialize, Serialize};

use super::{EarMixture, Spread};
use crate::StudyError;
use crate::ron_text::{parse, read_text};

/// Version of the format that this code reads.
const FORMAT: u32 = 1;

/// Name by which the shipped mixture is asked for.
pub const USUAL: &str = "usual";

/// How cases differ.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CaseMixture {
    /// Version of the format, 1.
    pub format: u32,
    /// What people call it.
    pub title: String,
    /// The ears.
    pub ears: EarMixture,
    /// The debris.
    pub debris: DebrisMixture,
    /// Whoever does the manoeuvre.
    pub operator: OperatorNoise,
}

/// How debris differs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DebrisMixture {
    /// Diameter of the bodies of one ear, which are all alike.
    pub diameter_um: Sourced<Spread>,
    /// Their density.
    pub density_g_cm3: Sourced<Spread>,
    /// How many there are.
    pub count: Sourced<Vec<CountShare>>,
    /// Where they start.
    pub place: Sourced<Vec<PlaceShare>>,
    /// Resistance to rolling over the force that presses a body on the wall.
    pub rolling_resistance: Sourced<Spread>,
    /// Gap over a rolling body's radius, which decides how fast it rolls.
    pub rolling_gap: Sourced<Spread>,
    /// Hold of the wall, in multiples of a body's weight; 0 holds nothing.
    pub wall_adhesion_g: Sourced<Spread>,
    /// Pull at which debris on a cupula lets go, in multiples of its weight; without it, it never does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attachment_g: Option<Sourced<Spread>>,
}

/// A number of bodies and how common it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountShare {
    /// How many bodies.
    pub count: u32,
    /// How common, beside the other entries.
    pub weight: f64,
}

/// A place and how common it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlaceShare {
    /// The place.
    pub at: StartPlace,
    /// How common, beside the other entries.
    pub weight: f64,
}

/// Where debris starts in the canal that is treated.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StartPlace {
    /// Anywhere between two shares of the duct's length, from the cupula.
    Duct {
        /// From here.
        from: f64,
        /// To here.
        to: f64,
    },
    /// Where it rests between cupula and apex.
    AmpullaryArm,
    /// Where it rests between apex and far end.
    NonAmpullaryArm,
    /// On the utricular side of the cupula, free.
    ShortArm,
    /// Fixed to the cupula.
    OnCupula(CupulaFace),
}

impl From<Mechanism> for StartPlace {
    fn from(mechanism: Mechanism) -> StartPlace {
        match mechanism {
            Mechanism::AmpullaryArm => StartPlace::AmpullaryArm,
            Mechanism::NonAmpullaryArm => StartPlace::NonAmpullaryArm,
            Mechanism::ShortArm => StartPlace::ShortArm,
            Mechanism::CupulaCanalSide => StartPlace::OnCupula(CupulaFace::Canal),
            Mechanism::CupulaUtricleSide => StartPlace::OnCupula(CupulaFace::Utricle),
        }
    }
}

/// How a manoeuvre as done differs from the written one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OperatorNoise {
    /// Standard deviation of each of a chair's axes at the end of a move.
    pub chair_angle_sd_deg: Sourced<f64>,
    /// Standard deviation of each of the neck's angles, and of the trunk's roll, at the bedside.
    pub bedside_angle_sd_deg: Sourced<f64>,
    /// Standard deviation of the head's flexion in the headrest, or on the neck, for the whole sequence.
    pub set_up_sd_deg: Sourced<f64>,
    /// Standard deviation of the natural logarithm of the times of holds.
    pub hold_log_sd: Sourced<f64>,
    /// The same of the times of moves.
    pub move_log_sd: Sourced<f64>,
}

impl CaseMixture {
    /// The shipped mixture.
    ///
    /// # Errors
    /// None with the shipped file.
    pub fn usual() -> Result<CaseMixture, StudyError> {
        let text = include_str!("../../../../assets/mixtures/usual.ron");
        CaseMixture::from_ron(text, Path::new("usual.ron"))
    }

    /// The shipped mixture by its name, or one from a file; relative paths start from `base_dir`. The file of an
    /// anatomy that it names is looked for in its own folder.
    pub fn named(name_or_path: &str, base_dir: &Path) -> Result<CaseMixture, StudyError> {
        if name_or_path == USUAL {
            return CaseMixture::usual();
        }
        let path = base_dir.join(name_or_path);
        let mut mixture = CaseMixture::from_ron(&read_text(&path)?, &path)?;
        let anatomy = Path::new(&mixture.ears.anatomy);
        if anatomy.extension().is_some()
            && let Some(folder) = Path::new(name_or_path).parent()
        {
            mixture.ears.anatomy = folder.join(anatomy).display().to_string();
        }
        Ok(mixture)
    }

    /// The mixture in a text; `path` is where it is from.
    pub fn from_ron(text: &str, path: &Path) -> Result<CaseMixture, StudyError> {
        let mixture: CaseMixture = parse(text, path)?;
        mixture.check().map_err(|e| e.in_file(path))?;
        Ok(mixture)
    }

    /// The same with all debris at one place.
    #[must_use]
    pub fn at(mut self, place: StartPlace) -> CaseMixture {
        self.debris.place.value = vec![PlaceShare {
            at: place,
            weight: 1.0,
        }];
        self
    }

    /// The same with diameters cut off to a class of sizes, µm.
    #[must_use]
    pub fn sized(mut self, from_um: f64, to_um: f64) -> CaseMixture {
        let spread = &mut self.debris.diameter_um.value;
        *spread = spread.within(from_um, to_um);
        self
    }

    /// Every number within its range.
    pub fn check(&self) -> Result<(), StudyError> {
        if self.format != FORMAT {
            return Err(StudyError::field("format", &self.format, &FORMAT));
        }
        let debris = &self.debris;
        self.ears.variation()?;
        self.check_plausible()?;
        let spreads = [
            ("diameter_um", Some(&debris.diameter_um), 0.1, 1000.0),
            ("density_g_cm3", Some(&debris.density_g_cm3), 1.01, 10.0),
            (
                "rolling_resistance",
                Some(&debris.rolling_resistance),
                0.0,
                0.35,
            ),
            ("rolling_gap", Some(&debris.rolling_gap), 0.001, 0.2),
            ("wall_adhesion_g", Some(&debris.wall_adhesion_g), 0.0, 100.0),
            ("attachment_g", debris.attachment_g.as_ref(), 0.0, 100.0),
        ];
        for (name, spread, least, most) in spreads {
            let Some(Sourced { value, .. }) = spread else {
                continue;
            };
            let [from, to] = value.ends();
            if !value.is_sound() || from < least || to > most {
                return Err(StudyError::field(
                    &format!("debris.{name}"),
                    &format!("{value:?}"),
                    &format!("a distribution between {least} and {most}, least first"),
                ));
            }
        }
        check_weights("debris.count", debris.count.value.iter().map(|c| c.weight))?;
        check_weights("debris.place", debris.place.value.iter().map(|p| p.weight))?;
        for CountShare { count, .. } in &debris.count.value {
            if !(1..=200).contains(count) {
                return Err(StudyError::field("debris.count", count, &"1 to 200 bodies"));
            }
        }
        for PlaceShare { at, .. } in &debris.place.value {
            if let StartPlace::Duct { from, to } = at
                && !(*from >= 0.0 && from <= to && *to <= 1.0)
            {
                let allowed = "shares of the duct from 0 to 1, the smaller first";
                let found = format!("from {from} to {to}");
                return Err(StudyError::field("debris.place", &found, &allowed));
            }
        }
        self.operator.check()
    }

    /// Only what the plausible sets hold is left to them, and only where ears are drawn from them.
    fn check_plausible(&self) -> Result<(), StudyError> {
        let debris = &self.debris;
        let left = |spread: &Sourced<Spread>| matches!(spread.value, Spread::Plausible { .. });
        let from_sets = [
            ("diameter_um", &debris.diameter_um),
            ("rolling_resistance", &debris.rolling_resistance),
            ("rolling_gap", &debris.rolling_gap),
        ];
        let others = [
            ("density_g_cm3", Some(&debris.density_g_cm3)),
            ("wall_adhesion_g", Some(&debris.wall_adhesion_g)),
            ("attachment_g", debris.attachment_g.as_ref()),
        ];
        let refused = |name: &str, allowed: &str| {
            Err(StudyError::field(
                &format!("debris.{name}"),
                &"Plausible",
                &allowed,
            ))
        };
        for (name, spread) in from_sets {
            if left(spread) && !self.ears.plausible {
                return refused(name, "a distribution, or ears.plausible: true");
            }
        }
        for (name, spread) in others {
            if spread.is_some_and(left) {
                return refused(
                    name,
                    "a distribution: plausible sets do not hold this number",
                );
            }
        }
        Ok(())
    }
}

impl OperatorNoise {
    /// The written manoeuvre exactly.
    pub fn none() -> OperatorNoise {
        let how = lithodrome_labyrinth::How::Assumed;
        let none = || Sourced::new(0.0, "the manoeuvre exactly as written", how);
        OperatorNoise {
            chair_angle_sd_deg: none(),
            bedside_angle_sd_deg: none(),
            set_up_sd_deg: none(),
            hold_log_sd: none(),
            move_log_sd: none(),
        }
    }

    fn check(&self) -> Result<(), StudyError> {
        let numbers = [
            ("chair_angle_sd_deg", &self.chair_angle_sd_deg, 60.0),
            ("bedside_angle_sd_deg", &self.bedside_angle_sd_deg, 60.0),
            ("set_up_sd_deg", &self.set_up_sd_deg, 60.0),
            ("hold_log_sd", &self.hold_log_sd, 1.0),
            ("move_log_sd", &self.move_log_sd, 1.0),
        ];
        for (name, number, most) in numbers {
            if !(0.0..=most).contains(&number.value) {
                return Err(StudyError::field(
                    &format!("operator.{name}"),
                    &number.value,
                    &format!("0 to {most}"),
                ));
            }
        }
        Ok(())
    }
}

/// Weights that make a choice: finite, none negative, not all 0.
fn check_weights(field: &str, weights: impl Iterator<Item = f64>) -> Result<(), StudyError> {
    let mut sum = 0.0;
    for weight in weights {
        if !(0.0..=1e9).contains(&weight) {
            let allowed = "weights from 0 to 1e9";
            return Err(StudyError::field(field, &weight, &allowed));
        }
        sum += weight;
    }
    if sum > 0.0 {
        return Ok(());
    }
    let allowed = "at least one entry with a weight above 0";
    Err(StudyError::field(field, &"none", &allowed))
}
