//! One case of a mixture: its ear, its debris, and what the operator will do wrong.

use std::sync::Arc;

use lithodrome_debris::CupulaFace;
use lithodrome_labyrinth::{
    Anatomy, AnatomyError, CanalId, DIMENSIONS, Labyrinth, Sourced, Variation,
};
use lithodrome_rehearsal::{AdhesionEntry, At, DebrisEntry};

use super::case_mixture::{CaseMixture, StartPlace};
use super::spread::Spread;
use super::unit_point::UnitPoint;
use crate::StudyError;
use crate::members::{Member, PlausibleSet, Unknown};

/// Dimensions of the unit cube, in the order in which the sequence fills it best.
mod dimension {
    /// Debris.
    pub(super) const DIAMETER: u32 = 0;
    pub(super) const PLACE: u32 = 1;
    pub(super) const PLACE_IN_DUCT: u32 = 2;
    pub(super) const COUNT: u32 = 3;
    pub(super) const DENSITY: u32 = 4;
    pub(super) const WALL_ADHESION: u32 = 5;
    pub(super) const ATTACHMENT: u32 = 6;
    pub(super) const ROLLING_RESISTANCE: u32 = 7;
    pub(super) const ROLLING_GAP: u32 = 8;
    /// Which plausible set.
    pub(super) const MEMBER: u32 = 9;
    /// The first of the ear's.
    pub(super) const EAR: u32 = 64;
}

/// One case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseDraw {
    /// Its place in the unit cube.
    pub point: UnitPoint,
    /// How its ear differs; `None` if ears do not.
    pub ear: Option<lithodrome_labyrinth::Draw>,
    /// The numbers that nobody has measured; `None` where they are the anatomy's own.
    pub member: Option<Member>,
    /// Diameter of each body.
    pub diameter_um: f64,
    /// Density of each.
    pub density_g_cm3: f64,
    /// How many.
    pub count: u32,
    /// Where.
    pub place: StartPlace,
    /// Place in the range that `place` gives, as a share of the duct; 0 elsewhere.
    pub duct_share: f64,
    /// Resistance to rolling.
    pub rolling_resistance: f64,
    /// Gap over the radius of a rolling body.
    pub rolling_gap: f64,
    /// Hold of the wall.
    pub wall_adhesion_g: f64,
    /// Hold on the cupula.
    pub attachment_g: Option<f64>,
}

/// A mixture and what it is drawn about, ready to be drawn from.
#[derive(Clone, Debug)]
pub struct Population {
    /// The mixture.
    pub mixture: CaseMixture,
    /// The anatomy that ears are drawn about, before a plausible set is applied to it.
    pub mean: Anatomy,
    /// How ears differ.
    pub variation: Variation,
    /// Seed of the draws.
    pub seed: u32,
    /// The plausible sets of unmeasured numbers, if cases are drawn from them.
    members: Vec<Member>,
    /// The mean ear, if ears do not differ.
    same: Option<Arc<Labyrinth>>,
}

impl Population {
    /// The population of a mixture about `mean`.
    pub fn new(mixture: CaseMixture, mean: Anatomy, seed: u32) -> Result<Population, StudyError> {
        let members = if mixture.ears.plausible {
            PlausibleSet::shipped()?.members()
        } else {
            Vec::new()
        };
        let same = if mixture.ears.varied || mixture.ears.plausible {
            None
        } else {
            Some(Arc::new(Labyrinth::build(&mean)?))
        };
        let variation = mixture.ears.variation()?;
        let mean = match members.first() {
            Some(central) => central.taken_from(&mean),
            None => mean,
        };
        Ok(Population {
            mixture,
            mean,
            variation,
            seed,
            members,
            same,
        })
    }

    /// The case of an index.
    pub fn draw(&self, index: u32) -> CaseDraw {
        let point = UnitPoint {
            index,
            seed: self.seed,
        };
        let debris = &self.mixture.debris;
        let member = self.member(point);
        let at = |spread: &Sourced<Spread>, dimension| spread.value.at(point.at(dimension));
        let plausible = |spread: &Sourced<Spread>, dimension, number: f64, log_sd| {
            let spread = spread.value.with_plausible(number, log_sd);
            spread.at(point.at(dimension))
        };
        let number = |unknown| member.as_ref().map_or(0.0, |m| m.value(unknown));
        let place = chosen(
            debris.place.value.iter().map(|p| (p.at, p.weight)),
            point.at(dimension::PLACE),
        );
        let duct_share = match place {
            Some(StartPlace::Duct { from, to }) => {
                from + (to - from) * point.at(dimension::PLACE_IN_DUCT)
            }
            _ => 0.0,
        };
        CaseDraw {
            point,
            ear: self.mixture.ears.varied.then(|| self.ear(point)),
            diameter_um: plausible(
                &debris.diameter_um,
                dimension::DIAMETER,
                number(Unknown::Diameter),
                Some(number(Unknown::DiameterSpread)),
            ),
            density_g_cm3: at(&debris.density_g_cm3, dimension::DENSITY),
            count: chosen(
                debris.count.value.iter().map(|c| (c.count, c.weight)),
                point.at(dimension::COUNT),
            )
            .unwrap_or(1),
            place: place.unwrap_or(StartPlace::AmpullaryArm),
            duct_share,
            rolling_resistance: plausible(
                &debris.rolling_resistance,
                dimension::ROLLING_RESISTANCE,
                number(Unknown::RollingResistance),
                None,
            ),
            rolling_gap: plausible(
                &debris.rolling_gap,
                dimension::ROLLING_GAP,
                member.as_ref().map_or(0.0, Member::rolling_gap),
                None,
            ),
            wall_adhesion_g: at(&debris.wall_adhesion_g, dimension::WALL_ADHESION),
            attachment_g: debris
                .attachment_g
                .as_ref()
                .map(|spread| at(spread, dimension::ATTACHMENT)),
            member,
        }
    }

    /// The plausible set of a point.
    fn member(&self, point: UnitPoint) -> Option<Member> {
        let chosen = point.at(dimension::MEMBER) * self.members.len() as f64;
        self.members.get(chosen as usize).cloned()
    }

    /// What a case's ear is drawn about.
    fn middle(&self, draw: &CaseDraw) -> Anatomy {
        match &draw.member {
            Some(member) => member.applied_to(&self.mean),
            None => self.mean.clone(),
        }
    }

    /// How the ear of a point differs.
    fn ear(&self, point: UnitPoint) -> lithodrome_labyrinth::Draw {
        let dimensions = dimension::EAR..dimension::EAR + DIMENSIONS.len() as u32;
        self.variation.from_unit(&point.range(dimensions))
    }

    /// The anatomy of a case; an error where its parts would touch.
    pub fn anatomy(&self, draw: &CaseDraw) -> Result<Anatomy, AnatomyError> {
        let middle = self.middle(draw);
        match &draw.ear {
            Some(ear) => ear.apply(&middle),
            None => Ok(middle),
        }
    }

    /// Both ears of a case.
    pub fn labyrinth(&self, draw: &CaseDraw) -> Result<Arc<Labyrinth>, AnatomyError> {
        match &self.same {
            Some(same) => Ok(Arc::clone(same)),
            None => match &draw.ear {
                Some(ear) => ear.labyrinth(&self.middle(draw)).map(Arc::new),
                None => Labyrinth::build(&self.middle(draw)).map(Arc::new),
            },
        }
    }
}

impl CaseDraw {
    /// The debris of this case in a canal of its ears.
    pub fn debris(&self, canal: CanalId, labyrinth: &Labyrinth) -> DebrisEntry {
        let at = match self.place {
            StartPlace::Duct { .. } => At::Arc {
                mm: self.arc_mm(canal, labyrinth),
            },
            StartPlace::AmpullaryArm => At::AmpullaryArm,
            StartPlace::NonAmpullaryArm => At::NonAmpullaryArm,
            StartPlace::ShortArm => At::ShortArm,
            StartPlace::OnCupula(side) => At::OnCupula { side },
        };
        DebrisEntry {
            density_g_cm3: Some(self.density_g_cm3),
            rolling_resistance: Some(self.rolling_resistance),
            rolling_gap: Some(self.rolling_gap),
            adhesion: (self.wall_adhesion_g > 0.0).then(|| AdhesionEntry {
                wall_g: self.wall_adhesion_g,
                ..AdhesionEntry::default()
            }),
            attachment_g: self.attachment_g.filter(|_| self.is_on_cupula()),
            ..DebrisEntry::new(canal.ear, canal.canal, at, self.count, self.diameter_um)
        }
    }

    /// It starts fixed to its cupula.
    pub(crate) fn is_on_cupula(&self) -> bool {
        matches!(
            self.place,
            StartPlace::OnCupula(CupulaFace::Canal | CupulaFace::Utricle)
        )
    }

    /// Arc length from the cupula, clear of its face.
    fn arc_mm(&self, canal: CanalId, labyrinth: &Labyrinth) -> f64 {
        let shape = labyrinth.canal(canal);
        let end_mm = shape.landmarks.duct_end_mm;
        // A body's rest distance is a little more than its radius.
        let face_mm = shape.cupula.thickness_mm / 2.0 + 0.6 * self.diameter_um / 1000.0;
        (self.duct_share * end_mm).clamp(face_mm.min(end_mm), end_mm)
    }

    /// What this case differs by from others, as named columns with their units.
    pub fn inputs(&self) -> Vec<(String, f64)> {
        let mut all: Vec<(String, f64)> = [
            ("diameter_um", self.diameter_um),
            ("density_g_cm3", self.density_g_cm3),
            ("count", f64::from(self.count)),
            ("start_duct_share", self.duct_share),
            ("rolling_resistance", self.rolling_resistance),
            ("rolling_gap", self.rolling_gap),
            ("wall_adhesion_g", self.wall_adhesion_g),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .to_vec();
        if let Some(member) = &self.member {
            // Those of the debris are told above.
            let of_ear = Unknown::ALL.into_iter().filter(|u| u.is_of_ear());
            all.extend(of_ear.map(|u| (u.range().name.to_owned(), member.value(u))));
        }
        if let Some(ear) = &self.ear {
            let axes = ["x", "y", "z"];
            let names = ["anterior", "lateral", "posterior"];
            let mut tell = |name: String, value: f64| all.push((name, value));
            for (axis, value) in axes.iter().zip(ear.common_turn_deg.iter()) {
                tell(format!("common_turn_{axis}_deg"), *value);
            }
            for (name, turn) in names.iter().zip(&ear.canal_turn_deg) {
                for (axis, value) in axes.iter().zip(turn.iter()) {
                    tell(format!("{name}_turn_{axis}_deg"), *value);
                }
            }
            for (name, value) in names.iter().zip(ear.arc_radius_mm) {
                tell(format!("{name}_arc_radius_added_mm"), value);
            }
            tell("calibre_factor".to_owned(), ear.calibre);
            for (name, value) in names.iter().zip(ear.cupula_angle_deg) {
                tell(format!("{name}_cupula_angle_added_deg"), value);
            }
            let [back, out] = ear.crus_tilt_deg;
            for (name, value) in [
                ("crus_tilt_back_added_deg", back),
                ("crus_tilt_out_added_deg", out),
                ("crus_length_factor", ear.crus_length),
                ("crus_radius_factor", ear.crus_radius),
                ("ampulla_radius_factor", ear.ampulla_radius),
                ("ampulla_length_factor", ear.ampulla_length),
                ("utricle_floor_added_mm", ear.utricle_floor_mm),
                ("port_radius_factor", ear.port_radius),
                ("reid_pitch_added_deg", ear.reid_pitch_deg),
            ] {
                tell(name.to_owned(), value);
            }
        }
        all
    }
}

/// The entry in whose part of all weights a share falls.
fn chosen<T>(entries: impl Iterator<Item = (T, f64)> + Clone, share: f64) -> Option<T> {
    let all: f64 = entries.clone().map(|(_, weight)| weight).sum();
    let mut left = share * all;
    let mut last = None;
    for (entry, weight) in entries {
        if weight > 0.0 {
            if left < weight {
                return Some(entry);
            }
            left -= weight;
            last = Some(entry);
        }
    }
    last
}
