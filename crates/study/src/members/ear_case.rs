//! One ear of a member, with its debris: drawn by index, whatever the thread or the order.

use std::sync::Arc;

use lithodrome_debris::{Matter, OTOCONIA_DENSITY_MG_MM3, VestibuleHold};
use lithodrome_labyrinth::{
    Anatomy, AnatomyError, Canal, DIMENSIONS, Draw, Ear, Labyrinth, Variation,
};

use super::member::Member;
use super::planes::mean_planes;
use super::unknown::Unknown;
use crate::StudyError;
use crate::population::{UnitPoint, normal_deviate};
use crate::ron_text::to_text;

/// The anatomy whose numbers members change; its planes are replaced by those of the studies.
const BASE: &str = "mean-adult";

/// The side of all ears here; the other one is its mirror image.
pub(crate) const SIDE: Ear = Ear::Right;

/// Dimensions of a case's place in the unit cube; those of its ear follow.
const DIAMETER: u32 = 0;
const COUNT: u32 = 1;
const START: u32 = 2;
const EAR: u32 = 4;

/// Fewest and most bodies of one case.
const COUNTS: [f64; 2] = [1.0, 40.0];

/// Thinnest and thickest body, mm.
const DIAMETERS_MM: [f64; 2] = [0.02, 0.11];

/// An ear and what is in it.
#[derive(Clone, Debug)]
pub struct EarCase {
    /// Both ears.
    pub labyrinth: Arc<Labyrinth>,
    /// What the debris is made of.
    pub matter: Matter,
    /// What holds the debris once it is out of its canal.
    pub vestibule_hold: VestibuleHold,
    /// Diameter of its clumps, mm.
    pub diameter_mm: f64,
    /// Their density, mg/mm³.
    pub density_mg_mm3: f64,
    /// How many there are, `[canal]`.
    pub count: [u32; 3],
    /// Where a single clump starts, as a share of the way from the cupula to the apex.
    pub start_share: f64,
}

/// Draws ears about members.
#[derive(Clone, Debug)]
pub struct MemberEars {
    base: Anatomy,
    variation: Variation,
    seed: u32,
}

impl MemberEars {
    /// The published planes, mixed by their ears, and the published spreads.
    ///
    /// # Errors
    /// None with the shipped files.
    pub fn new(seed: u32) -> Result<MemberEars, StudyError> {
        let base = Anatomy::named(BASE)
            .ok_or_else(|| StudyError::field("anatomy", &BASE, &"a shipped anatomy"))??;
        Ok(MemberEars {
            base,
            variation: Variation::mixed(),
            seed,
        })
    }

    /// The ear of an index. The same index has the same deviates in every member.
    pub fn ear(&self, member: &Member, index: u32) -> Result<EarCase, AnatomyError> {
        let point = UnitPoint {
            index,
            seed: self.seed,
        };
        let unit = point.range(EAR..EAR + DIMENSIONS.len() as u32);
        let draw = self.variation.from_unit(&unit);
        let labyrinth = draw.labyrinth(&member.applied_to(&self.base))?;
        let deviate = normal_deviate(point.at(DIAMETER));
        let spread = member.value(Unknown::DiameterSpread);
        let diameter_mm = member.value(Unknown::Diameter) / 1000.0 * (spread * deviate).exp();
        let share = point.at(COUNT);
        Ok(EarCase {
            labyrinth: Arc::new(labyrinth),
            matter: member.matter(),
            vestibule_hold: member.vestibule_hold(),
            diameter_mm: diameter_mm.clamp(DIAMETERS_MM[0], DIAMETERS_MM[1]),
            density_mg_mm3: OTOCONIA_DENSITY_MG_MM3,
            count: Canal::ALL.map(|canal| counted(member.mean_count(canal), share)),
            start_share: point.at(START),
        })
    }

    /// The anatomy in the middle of a member's ears, and its ears.
    fn middle(&self, member: &Member) -> Result<(Anatomy, Labyrinth), AnatomyError> {
        let mean = Draw {
            planes: Some(mean_planes()),
            ..Draw::NONE
        };
        mean.build(&member.applied_to(&self.base))
    }

    /// That anatomy as the text of a file with this name.
    pub fn typical_file(&self, member: &Member, name: &str) -> Result<String, StudyError> {
        let (mut anatomy, _) = self.middle(member)?;
        name.clone_into(&mut anatomy.name);
        "Mean axes of three plane studies by their n, and the most central set of the numbers \
            that nobody has measured among those that published outcomes leave. These are calibrated: what \
            they were chosen by proves nothing about them."
            .clone_into(&mut anatomy.notes);
        to_text(&anatomy)
    }

    /// The ear in the middle of a member's ears, with its middle load.
    pub fn typical(&self, member: &Member) -> Result<EarCase, AnatomyError> {
        Ok(EarCase {
            labyrinth: Arc::new(self.middle(member)?.1),
            matter: member.matter(),
            vestibule_hold: member.vestibule_hold(),
            diameter_mm: member.value(Unknown::Diameter) / 1000.0,
            density_mg_mm3: OTOCONIA_DENSITY_MG_MM3,
            count: Canal::ALL.map(|canal| counted(member.mean_count(canal), 0.5)),
            start_share: 0.5,
        })
    }
}

/// A number of bodies: even from a quarter to seven quarters of the mean (assumed).
fn counted(mean: f64, share: f64) -> u32 {
    (mean * (0.25 + 1.5 * share))
        .round()
        .clamp(COUNTS[0], COUNTS[1]) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn middle() -> Member {
        Member::at(&[0.5; Unknown::ALL.len()])
    }

    #[test]
    fn an_index_gives_the_same_ear_again_and_another_one_another() {
        let ears = MemberEars::new(3).unwrap();
        let centre = |index| {
            let case = ears.ear(&middle(), index).unwrap();
            (
                case.diameter_mm,
                case.count,
                case.labyrinth.ear(SIDE).utricle.centre_in_reid_mm,
            )
        };
        assert_eq!(centre(4), centre(4));
        assert_ne!(centre(4), centre(5));
    }

    #[test]
    fn counts_are_even_about_their_mean_and_never_none() {
        assert_eq!([0.0, 0.5, 0.999].map(|u| counted(8.0, u)), [2, 8, 14]);
        assert_eq!(counted(1.0, 0.0), 1);
    }
}
