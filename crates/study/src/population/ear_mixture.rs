//! How ears differ in a case mixture: about which anatomy, in which planes, and by how much.

use std::slice::from_ref;

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
    /// Standard deviations between ears; each that is left out is the published or assumed one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread: Option<Variation>,
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

/// Most that a turn or an angle, a factor's logarithm and a length may vary by: beyond it hardly an ear can be built.
const MOST_DEG: f64 = 15.0;
const MOST_LOG: f64 = 0.4;
const MOST_MM: f64 = 0.6;

impl EarMixture {
    /// How the ears of a population differ.
    pub(crate) fn variation(&self) -> Result<Variation, StudyError> {
        let spread = self.spread.clone().unwrap_or_default();
        check(&spread)?;
        let mut planes = PLANE_STUDIES.to_vec();
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
            planes = shares
                .iter()
                .map(study)
                .collect::<Result<_, StudyError>>()?;
            let ears: u64 = shares.iter().map(|share| u64::from(share.ears)).sum();
            if !shares.is_empty() && !(1..=1_000_000).contains(&ears) {
                let allowed = "1 to 1000000 ears in all, or no study";
                return Err(StudyError::field("ears.planes.ears", &ears, &allowed));
            }
        }
        Ok(Variation { planes, ..spread })
    }
}

/// Every standard deviation within its range.
fn check(spread: &Variation) -> Result<(), StudyError> {
    let numbers = [
        (
            "common_turn_sd_deg",
            from_ref(&spread.common_turn_sd_deg),
            MOST_DEG,
        ),
        ("canal_turn_sd_deg", &spread.canal_turn_sd_deg, MOST_DEG),
        ("arc_radius_sd_mm", &spread.arc_radius_sd_mm, MOST_MM),
        ("calibre_log_sd", from_ref(&spread.calibre_log_sd), MOST_LOG),
        ("crus_tilt_sd_deg", &spread.crus_tilt_sd_deg, MOST_DEG),
        (
            "crus_length_log_sd",
            from_ref(&spread.crus_length_log_sd),
            MOST_LOG,
        ),
        (
            "crus_radius_log_sd",
            from_ref(&spread.crus_radius_log_sd),
            MOST_LOG,
        ),
        (
            "ampulla_radius_log_sd",
            from_ref(&spread.ampulla_radius_log_sd),
            MOST_LOG,
        ),
        (
            "ampulla_length_log_sd",
            from_ref(&spread.ampulla_length_log_sd),
            MOST_LOG,
        ),
        ("cupula_angle_sd_deg", &spread.cupula_angle_sd_deg, MOST_DEG),
        ("crista_angle_sd_deg", &spread.crista_angle_sd_deg, MOST_DEG),
        (
            "utricle_floor_sd_mm",
            from_ref(&spread.utricle_floor_sd_mm),
            MOST_MM,
        ),
        (
            "port_radius_log_sd",
            from_ref(&spread.port_radius_log_sd),
            MOST_LOG,
        ),
        (
            "reid_pitch_sd_deg",
            from_ref(&spread.reid_pitch_sd_deg),
            MOST_DEG,
        ),
    ];
    for (name, each, most) in numbers {
        for Sourced { value, .. } in each {
            if !(0.0..=most).contains(value) {
                let field = format!("ears.spread.{name}");
                return Err(StudyError::field(&field, value, &format!("0 to {most}")));
            }
        }
    }
    Ok(())
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
