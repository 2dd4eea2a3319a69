//! The numbers that nobody has measured: each with its range and what the range rests on.

use lithodrome_labyrinth::How;

/// A number that published outcomes have to narrow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unknown {
    /// Resistance to rolling, as a share of the weight on the wall.
    RollingResistance,
    /// Logarithm to the base of ten of the gap at which debris rolls, in radii.
    RollingGap,
    /// Place of the posterior cupula on its arc.
    PosteriorCupula,
    /// Added to the place of the anterior cupula on its arc.
    AnteriorCupula,
    /// Added to the place of the lateral cupula on its arc.
    LateralCupula,
    /// Factor on the lumen radius of ducts.
    DuctCalibre,
    /// Lumen radius of the common crus.
    CrusRadius,
    /// Length of the common crus.
    CrusLength,
    /// Tilt of the common crus backward out of the line common to both vertical planes.
    CrusTilt,
    /// Lumen radius at the cupulae.
    AmpullaRadius,
    /// Length over which an ampulla narrows.
    AmpullaLength,
    /// Pitch of Reid's plane in a patient who sits.
    HeadPitch,
    /// Median diameter of clumps.
    Diameter,
    /// Spread of the diameters between patients.
    DiameterSpread,
    /// Mean number of clumps in a vertical canal.
    VerticalCount,
    /// Mean number of clumps in a lateral canal.
    LateralCount,
    /// Time in which debris that is out of its canal sets.
    VestibuleSets,
}

/// What is known about an unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Name with its unit, as in files and tables.
    pub name: &'static str,
    /// Least value that is thought possible.
    pub least: f64,
    /// Greatest.
    pub most: f64,
    /// What the range rests on.
    pub source: &'static str,
    /// How it is known.
    pub how: How,
}

impl Unknown {
    /// All, in the order of a member's values.
    pub const ALL: [Unknown; 17] = [
        Unknown::RollingResistance,
        Unknown::RollingGap,
        Unknown::PosteriorCupula,
        Unknown::AnteriorCupula,
        Unknown::LateralCupula,
        Unknown::DuctCalibre,
        Unknown::CrusRadius,
        Unknown::CrusLength,
        Unknown::CrusTilt,
        Unknown::AmpullaRadius,
        Unknown::AmpullaLength,
        Unknown::HeadPitch,
        Unknown::Diameter,
        Unknown::DiameterSpread,
        Unknown::VerticalCount,
        Unknown::LateralCount,
        Unknown::VestibuleSets,
    ];

    /// Its range.
    pub const fn range(self) -> Range {
        match self {
            Unknown::RollingResistance => assumed(
                "rolling_resistance",
                [0.0, 0.35],
                "no measurement; 0 is smooth, above .35 debris would rest on slopes of 19 degrees",
            ),
            Unknown::RollingGap => assumed(
                "rolling_gap_log10",
                [-2.3, -0.7],
                "single crystals of a clump stand out by half a percent to a fifth of its radius",
            ),
            Unknown::PosteriorCupula => assumed(
                "posterior_cupula_deg",
                [244.0, 301.0],
                "from next to the lowest point of the canal to the place that the tilt of the crista \
                    would give on a circular arc",
            ),
            Unknown::AnteriorCupula => assumed(
                "anterior_cupula_added_deg",
                [-18.0, 2.0],
                "never measured; from next to the lateral cupula to a millimetre up its arc",
            ),
            Unknown::LateralCupula => {
                assumed("lateral_cupula_added_deg", [-10.0, 10.0], "never measured")
            }
            Unknown::DuctCalibre => assumed(
                "duct_calibre_factor",
                [0.8, 1.25],
                "membranous ducts were measured in few ears, radius .12 to .20 mm",
            ),
            Unknown::CrusRadius => assumed(
                "crus_radius_mm",
                [0.2, 0.32],
                "membranous crus, from wider than a duct to both ducts' area twice over",
            ),
            Unknown::CrusLength => assumed(
                "crus_length_mm",
                [2.2, 3.0],
                "bony common crura in print, less what the openings take",
            ),
            Unknown::CrusTilt => assumed(
                "crus_tilt_back_deg",
                [-6.0, 14.0],
                "never measured; the common lines of the plane studies differ by 11 degrees, and 12 backward \
                    takes away every switch of a long wait",
            ),
            Unknown::AmpullaRadius => {
                assumed("ampulla_radius_mm", [0.58, 0.7], "few membranous ampullae")
            }
            Unknown::AmpullaLength => assumed(
                "ampulla_length_mm",
                [1.5, 2.9],
                "from a half round ampulla to a long funnel",
            ),
            Unknown::HeadPitch => assumed(
                "head_pitch_nose_up_deg",
                [0.0, 15.0],
                "Reid's plane in relaxed sitting is nose up by some degrees; differs between people",
            ),
            Unknown::Diameter => Range {
                name: "diameter_um",
                least: 30.0,
                most: 75.0,
                source: "clumps of 36 and 50 micrometres in Obrist 2016, Front Neurol 7:150; what patients \
                    have was not measured",
                how: How::Assumed,
            },
            Unknown::DiameterSpread => assumed(
                "diameter_log_sd",
                [0.15, 0.4],
                "no distribution of clumps in patients was found",
            ),
            Unknown::VerticalCount => assumed(
                "vertical_count",
                [1.0, 12.0],
                "what gives slow phases of 5 to 100 deg/s",
            ),
            Unknown::LateralCount => assumed(
                "lateral_count",
                [2.0, 20.0],
                "what gives slow phases of 20 to 150 deg/s",
            ),
            Unknown::VestibuleSets => assumed(
                "vestibule_sets_s",
                [60.0, 1200.0],
                "mobile at once, held after a quarter of an hour upright (2012, Otol Neurotol, PMID 22143303)",
            ),
        }
    }

    /// What a clinician calls it, where it may decide how a case of given debris ends.
    pub const fn words_in_a_band(self) -> Option<&'static str> {
        match self {
            Unknown::RollingResistance => Some("resistance to rolling"),
            Unknown::RollingGap => Some("how rough debris and wall are"),
            Unknown::PosteriorCupula => Some("the place of the posterior cupula"),
            Unknown::AnteriorCupula => Some("the place of the anterior cupula"),
            Unknown::LateralCupula => Some("the place of the lateral cupula"),
            Unknown::DuctCalibre => Some("the calibre of the ducts"),
            Unknown::CrusRadius => Some("the calibre of the common crus"),
            Unknown::CrusLength => Some("the length of the common crus"),
            Unknown::CrusTilt => Some("the tilt of the common crus"),
            Unknown::AmpullaRadius => Some("the width of the ampullae"),
            Unknown::AmpullaLength => Some("the length of the ampullae"),
            Unknown::HeadPitch => Some("the pitch of the head"),
            Unknown::Diameter
            | Unknown::DiameterSpread
            | Unknown::VerticalCount
            | Unknown::LateralCount
            | Unknown::VestibuleSets => None,
        }
    }

    /// Its place in a member's values.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// It is one of the ear's numbers, not of its debris.
    pub const fn is_of_ear(self) -> bool {
        match self {
            Unknown::PosteriorCupula
            | Unknown::AnteriorCupula
            | Unknown::LateralCupula
            | Unknown::DuctCalibre
            | Unknown::CrusRadius
            | Unknown::CrusLength
            | Unknown::CrusTilt
            | Unknown::AmpullaRadius
            | Unknown::AmpullaLength
            | Unknown::HeadPitch => true,
            Unknown::RollingResistance
            | Unknown::RollingGap
            | Unknown::Diameter
            | Unknown::DiameterSpread
            | Unknown::VerticalCount
            | Unknown::LateralCount
            | Unknown::VestibuleSets => false,
        }
    }

    /// The one with this name.
    pub fn named(name: &str) -> Option<Unknown> {
        Unknown::ALL.into_iter().find(|u| u.range().name == name)
    }
}

const fn assumed(name: &'static str, [least, most]: [f64; 2], source: &'static str) -> Range {
    Range {
        name,
        least,
        most,
        source,
        how: How::Assumed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unknown_has_its_own_place_name_and_range() {
        for (i, unknown) in Unknown::ALL.into_iter().enumerate() {
            let range = unknown.range();
            assert_eq!(unknown.index(), i);
            assert_eq!(Unknown::named(range.name), Some(unknown));
            assert!(range.least < range.most && !range.source.is_empty());
        }
    }
}
