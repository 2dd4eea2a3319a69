//! How ears differ in a case mixture: about which anatomy, in which planes, and by how much.

use lithodrome_labyrinth::{PLANE_STUDIES, PlaneStudy, Sourced, Variation};
use serde::{Deserialize, Serialize};

use crate::StudyError;

/// How ears differ.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EarMixture {
    /// Name of a shipped anatomy, or the path of one, that ears are drawn about.
    pub anatomy: String,
    /// Whether they differ at all.
    pub varied: bool,
    /// Whether the numbers that nobody has measured are those of the plausible sets in turn; otherwise they
    /// are the anatomy's own.
    #[serde(default)]
    pub plausible: bool,
    /// Published studies whose mean planes are mixed; if left out, all by their numbers of ears, and if empty, the
    /// planes are the anatomy's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planes: Option<Vec<PlaneShare>>,
    /// Standard deviations that are not the published or assumed ones.
    #[serde(default, skip_serializing_if = "EarSpread::is_as_published")]
    pub spread: EarSpread,
}

/// How often the mean planes of a study are drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlaneShare {
    /// Author and year, as in [`PLANE_STUDIES`].
    pub study: String,
    /// Its weight, in ears.
    pub ears: u32,
}

/// Standard deviations between ears instead of those of [`Variation::published`], each where it is given. Factors
/// vary by the natural logarithm; arrays are `[canal]`: anterior, lateral, posterior.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[expect(missing_docs, reason = "named and told as in Variation")]
pub struct EarSpread {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub common_turn_sd_deg: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub canal_turn_sd_deg: Option<[Sourced<f64>; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arc_radius_sd_mm: Option<[Sourced<f64>; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub calibre_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crus_tilt_sd_deg: Option<[Sourced<f64>; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crus_length_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crus_radius_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ampulla_radius_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ampulla_length_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cupula_angle_sd_deg: Option<[Sourced<f64>; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crista_angle_sd_deg: Option<[Sourced<f64>; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub utricle_floor_sd_mm: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub port_radius_log_sd: Option<Sourced<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reid_pitch_sd_deg: Option<Sourced<f64>>,
}

/// Most that a turn or an angle, a factor's logarithm and a length may vary by: beyond it hardly an ear can be built.
const MOST_DEG: f64 = 15.0;
const MOST_LOG: f64 = 0.4;
const MOST_MM: f64 = 0.6;

impl EarMixture {
    /// How the ears of a population differ.
    pub(crate) fn variation(&self) -> Result<Variation, StudyError> {
        let mut variation = Variation::mixed();
        if let Some(shares) = &self.planes {
            let study = |share: &PlaneShare| {
                let found = PLANE_STUDIES.iter().find(|s| s.name == share.study);
                let names = PLANE_STUDIES.map(|s| s.name).join(", ");
                let missing = || StudyError::field("ears.planes.study", &share.study, &names);
                let known = found.ok_or_else(missing)?;
                Ok(PlaneStudy {
                    ears: share.ears,
                    ..*known
                })
            };
            variation.planes = shares
                .iter()
                .map(study)
                .collect::<Result<_, StudyError>>()?;
            let ears: u64 = shares.iter().map(|share| u64::from(share.ears)).sum();
            if !shares.is_empty() && !(1..=1_000_000).contains(&ears) {
                let allowed = "1 to 1000000 ears in all, or no study";
                return Err(StudyError::field("ears.planes.ears", &ears, &allowed));
            }
        }
        self.spread.put_into(&mut variation)?;
        Ok(variation)
    }
}

impl EarSpread {
    fn is_as_published(&self) -> bool {
        *self == EarSpread::default()
    }

    fn put_into(&self, all: &mut Variation) -> Result<(), StudyError> {
        let own = self.clone();
        put(
            "common_turn_sd_deg",
            MOST_DEG,
            &mut all.common_turn_sd_deg,
            own.common_turn_sd_deg,
        )?;
        put(
            "calibre_log_sd",
            MOST_LOG,
            &mut all.calibre_log_sd,
            own.calibre_log_sd,
        )?;
        put(
            "crus_length_log_sd",
            MOST_LOG,
            &mut all.crus_length_log_sd,
            own.crus_length_log_sd,
        )?;
        put(
            "crus_radius_log_sd",
            MOST_LOG,
            &mut all.crus_radius_log_sd,
            own.crus_radius_log_sd,
        )?;
        let (ampulla, given) = (&mut all.ampulla_radius_log_sd, own.ampulla_radius_log_sd);
        put("ampulla_radius_log_sd", MOST_LOG, ampulla, given)?;
        let (ampulla, given) = (&mut all.ampulla_length_log_sd, own.ampulla_length_log_sd);
        put("ampulla_length_log_sd", MOST_LOG, ampulla, given)?;
        put(
            "utricle_floor_sd_mm",
            MOST_MM,
            &mut all.utricle_floor_sd_mm,
            own.utricle_floor_sd_mm,
        )?;
        put(
            "port_radius_log_sd",
            MOST_LOG,
            &mut all.port_radius_log_sd,
            own.port_radius_log_sd,
        )?;
        put(
            "reid_pitch_sd_deg",
            MOST_DEG,
            &mut all.reid_pitch_sd_deg,
            own.reid_pitch_sd_deg,
        )?;
        put_all(
            "canal_turn_sd_deg",
            MOST_DEG,
            &mut all.canal_turn_sd_deg,
            own.canal_turn_sd_deg,
        )?;
        put_all(
            "arc_radius_sd_mm",
            MOST_MM,
            &mut all.arc_radius_sd_mm,
            own.arc_radius_sd_mm,
        )?;
        let (cupula, given) = (&mut all.cupula_angle_sd_deg, own.cupula_angle_sd_deg);
        put_all("cupula_angle_sd_deg", MOST_DEG, cupula, given)?;
        let (crista, given) = (&mut all.crista_angle_sd_deg, own.crista_angle_sd_deg);
        put_all("crista_angle_sd_deg", MOST_DEG, crista, given)?;
        put_all(
            "crus_tilt_sd_deg",
            MOST_DEG,
            &mut all.crus_tilt_sd_deg,
            own.crus_tilt_sd_deg,
        )
    }
}

fn put(
    name: &str,
    most: f64,
    own: &mut Sourced<f64>,
    given: Option<Sourced<f64>>,
) -> Result<(), StudyError> {
    let Some(given) = given else {
        return Ok(());
    };
    if !(0.0..=most).contains(&given.value) {
        let field = format!("ears.spread.{name}");
        let allowed = format!("0 to {most}");
        return Err(StudyError::field(&field, &given.value, &allowed));
    }
    *own = given;
    Ok(())
}

fn put_all<const N: usize>(
    name: &str,
    most: f64,
    own: &mut [Sourced<f64>; N],
    given: Option<[Sourced<f64>; N]>,
) -> Result<(), StudyError> {
    let mut each = own.iter_mut().zip(given.into_iter().flatten());
    each.try_for_each(|(own, given)| put(name, most, own, Some(given)))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::population::CaseMixture;

    /// The usual mixture with more written into its ears.
    fn with(more: &str) -> Result<CaseMixture, StudyError> {
        let text = include_str!("../../../../assets/mixtures/usual.ron");
        let text = text.replacen("plausible: true,", &format!("plausible: true, {more}"), 1);
        CaseMixture::from_ron(&text, Path::new("own.ron"))
    }

    #[test]
    fn a_file_replaces_planes_and_spreads_of_the_ears() {
        let usual = CaseMixture::usual().unwrap().ears.variation().unwrap();
        assert_eq!(usual, Variation::mixed());
        let own = with(
            "planes: [(study: \"Wu 2021\", ears: 3)], spread: (calibre_log_sd: (value: 0.05, source: \"own scans\", \
             how: Read)),",
        );
        let own = own.unwrap().ears.variation().unwrap();
        assert_eq!(own.planes.len(), 1);
        assert_eq!((own.planes[0].name, own.planes[0].ears), ("Wu 2021", 3));
        assert!((own.calibre_log_sd.value - 0.05).abs() < 1e-12);
        assert_eq!(own.common_turn_sd_deg, usual.common_turn_sd_deg);
    }

    #[test]
    fn what_cannot_be_is_refused_in_words() {
        for (more, found, allowed) in [
            ("planes: [(study: \"Wu\", ears: 3)],", "Wu", "Wu 2021"),
            (
                "planes: [(study: \"Wu 2021\", ears: 0)],",
                "0",
                "1 to 1000000",
            ),
            (
                "spread: (reid_pitch_sd_deg: (value: 40.0, source: \"\", how: Assumed)),",
                "40",
                "0 to 15",
            ),
        ] {
            let words = with(more).unwrap_err().to_string();
            assert!(words.contains(found) && words.contains(allowed), "{words}");
        }
    }
}
