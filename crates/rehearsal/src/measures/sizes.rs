//! Sizes of a built ear, worked out numerically, and the published ones to set beside them.

use std::f64::consts::PI;

use lithodrome_labyrinth::{Canal, EarShape, Tube, Vec3};
use serde::Serialize;

use crate::units::{deg, tidy};

/// The parts of one ear that its canals share.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VestibuleReport {
    /// From the top of the common crus to the utricle.
    pub crus_length_mm: f64,
    /// Lumen radius half way along it.
    pub crus_radius_mm: f64,
    /// Volume of the crus.
    pub crus_volume_mm3: f64,
    /// Half axes of the utricle: long, wide, high.
    pub utricle_semi_axes_mm: [f64; 3],
    /// Volume of the utricle.
    pub utricle_volume_mm3: f64,
}

/// A published size or tilt.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PublishedSize {
    /// What was measured.
    pub what: &'static str,
    /// On which part.
    pub part: &'static str,
    /// Mean or middle of a range.
    pub value: f64,
    /// Standard deviation, if it is known.
    pub sd: Option<f64>,
    /// "mm", "mm2" or "deg".
    pub unit: &'static str,
    /// Author, year, journal and method.
    pub source: &'static str,
    /// Whether the number is recalled and was not seen in the source.
    pub from_memory: bool,
}

const fn size(
    what: &'static str,
    part: &'static str,
    (value, sd): (f64, Option<f64>),
    unit: &'static str,
    source: &'static str,
    from_memory: bool,
) -> PublishedSize {
    PublishedSize {
        what,
        part,
        value,
        sd,
        unit,
        source,
        from_memory,
    }
}

const SPOOR: &str = "Spoor & Zonneveld 1998, Yearb Phys Anthropol 41:211, bony canals";
const CURVED: &str = "CT of 50 ears, Indian J Otolaryngol 2022 (PMID 37206736), bony canals";
const DUCT: &str = "order used by Squires 2004 and Obrist 2008, after Curthoys & Oman 1987";
const AMPULLA: &str = "order used by Squires 2004 and Obrist 2008 (0.6 to 0.7)";

#[rustfmt::skip]
pub(crate) const PUBLISHED_SIZES: [PublishedSize; 14] = [
    size("arc radius", "anterior", (3.2, Some(0.2)), "mm", SPOOR, true),
    size("arc radius", "lateral", (2.3, Some(0.2)), "mm", SPOOR, true),
    size("arc radius", "posterior", (3.1, Some(0.3)), "mm", SPOOR, true),
    size("curved length with ends", "anterior", (13.7, None), "mm", CURVED, false),
    size("curved length with ends", "lateral", (11.9, None), "mm", CURVED, false),
    size("curved length with ends", "posterior", (13.3, None), "mm", CURVED, false),
    size("duct radius", "all ducts", (0.16, None), "mm", DUCT, true),
    size("ampulla radius", "all ampullae", (0.65, None), "mm", AMPULLA, true),
    size("crus length", "common crus", (2.5, None), "mm", "range 2 to 3, images of bony ears", true),
    size("length", "utricle", (4.5, None), "mm", "range 4 to 5", true),
    size("width", "utricle", (3.0, None), "mm", "range 2.5 to 3.5, Feneis, Pocket Atlas of Human Anatomy", false),
    size("tilt to Reid's plane", "lateral", (19.9, Some(7.0)), "deg", "Della Santina 2005, J Assoc Res Otolaryngol 6:191, 44 ears", false),
    size("tilt to Reid's plane", "lateral", (25.0, None), "deg", "Blanks 1975, Acta Otolaryngol 80:185, 10 skulls", false),
    size("tilt to the horizontal", "lateral", (15.64, Some(3.92)), "deg", "Liu 2022, Front Neurol 12:789887", false),
];

/// Volumes of one canal, mm³.
pub(crate) struct CanalVolumes {
    pub(crate) duct_mm3: f64,
    pub(crate) ampulla_mm3: f64,
}

impl CanalVolumes {
    pub(crate) fn of(ear: &EarShape, canal: Canal) -> CanalVolumes {
        let marks = &ear.canal(canal).landmarks;
        let tube = ear.tube(canal);
        // The ampulla ends as far beyond the cupula as the lumen is within a tenth of the duct's radius.
        let slender = 1.1 * tube.at(marks.duct_end_mm / 2.0).2;
        let end = (0..200)
            .map(|i| f64::from(i) * 0.02)
            .find(|s| tube.at(*s).2 < slender)
            .unwrap_or(0.0);
        CanalVolumes {
            duct_mm3: volume_mm3(tube, end, marks.duct_end_mm),
            ampulla_mm3: volume_mm3(tube, marks.port_mm, end),
        }
    }
}

pub(crate) fn vestibule_report(ear: &EarShape) -> VestibuleReport {
    let marks = &ear.canal(Canal::Anterior).landmarks;
    let tube = ear.tube(Canal::Anterior);
    let middle = 0.5 * (marks.duct_end_mm + marks.opening_mm);
    VestibuleReport {
        crus_length_mm: tidy(marks.opening_mm - marks.duct_end_mm),
        crus_radius_mm: tidy(tube.at(middle).2),
        crus_volume_mm3: tidy(volume_mm3(tube, marks.duct_end_mm, marks.opening_mm)),
        utricle_semi_axes_mm: ear.utricle.semi_axes_mm.map(tidy),
        utricle_volume_mm3: tidy(ear.utricle.volume_mm3()),
    }
}

/// Angle between the plane of a unit normal and the horizontal one.
pub(crate) fn tilt_deg(normal: Vec3) -> f64 {
    deg(normal.z.abs().clamp(0.0, 1.0).acos())
}

/// ∫πr²ds by Simpson's rule. A tube's volume about its centre-line holds for a bent one too (Pappus).
fn volume_mm3(tube: &Tube, from: f64, to: f64) -> f64 {
    let n = 400;
    let h = (to - from) / f64::from(n);
    let area = |i: i32| PI * tube.at(from + f64::from(i) * h).2.powi(2);
    let inner: f64 = (1..n)
        .map(|i| area(i) * if i % 2 == 1 { 4.0 } else { 2.0 })
        .sum();
    h / 3.0 * (area(0) + inner + area(n))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{compile::load_labyrinth, measures::anatomy_report};
    use std::path::Path;

    #[test]
    fn volumes_and_tilts_are_those_worked_out_by_hand() {
        let labyrinth = load_labyrinth("mean-adult", Path::new("")).unwrap();
        let report = anatomy_report(&labyrinth);
        // A cylinder of 0.16 mm radius is 0.0804 mm³ a mm; the slender ducts are 12.4, 10.9 and 9.6 mm at
        // most, and the ampulla's taper and the openings add a little.
        for c in &report.canals {
            let slender = PI * 0.16_f64.powi(2) * (c.duct_length_mm - 1.3);
            assert!(c.duct_volume_mm3 > 0.95 * slender, "{c:?}");
            assert!(c.duct_volume_mm3 < 1.35 * slender, "{c:?}");
            // Half a cosine from 0.68 to 0.16 over 1.5 mm: mean square radius 0.42² + 0.26²/2 =
            // 0.2102 mm², so 0.99 mm³ beyond the cupula; from 0.68 to 0.6 toward the utricle:
            // 0.64² + 0.04²/2 = 0.4104 mm², so 1.289 mm³ a mm. The taper's last 0.1 mm are the duct's.
            let marks = labyrinth.ears[0].canals.each_ref().map(|c| c.landmarks);
            let i = ["anterior", "lateral", "posterior"].map(|n| n == c.canal);
            let port_mm = marks[i.iter().position(|own| *own).unwrap()].port_mm;
            let by_hand = 0.99 - 1.289 * port_mm;
            assert!(
                (c.ampulla_volume_mm3 - by_hand).abs() < 0.04,
                "{by_hand} {c:?}"
            );
        }
        // Ellipsoid of 2.4, 1.4 and 1.2 mm: 16.9 mm³. Crus: 0.25 mm over 2.37 mm, 0.465 mm³ less its ramp.
        let v = &report.vestibule;
        assert!((v.utricle_volume_mm3 - 16.9).abs() < 0.05, "{v:?}");
        assert!((v.crus_length_mm - 2.37).abs() < 0.02, "{v:?}");
        assert!((0.42..0.466).contains(&v.crus_volume_mm3), "{v:?}");
        // Lateral plane: 18.96° to Reid's, 25.93° to the ground with Reid's plane 7° nose up.
        let lateral = &report.canals[4];
        assert!((lateral.tilt_to_reid_deg - 18.96).abs() < 0.01);
        assert!((lateral.tilt_upright_deg - 25.93).abs() < 0.03);
        // Vertical planes: 10.2° and 15.7° from the vertical.
        assert!((report.canals[3].tilt_to_reid_deg - 79.8).abs() < 0.1);
        assert!((report.canals[5].tilt_to_reid_deg - 74.3).abs() < 0.1);
    }

    #[test]
    fn a_centre_line_table_is_an_anatomy_and_its_faults_have_a_place() {
        let folder = tempfile::tempdir().unwrap();
        let table = include_str!("../../../../assets/anatomies/example-centre-lines.csv");
        std::fs::write(folder.path().join("own.csv"), table).unwrap();
        let labyrinth = load_labyrinth("own.csv", folder.path()).unwrap();
        assert_eq!(labyrinth.name, "own");
        let mean = anatomy_report(&load_labyrinth("mean-adult", folder.path()).unwrap());
        let own = anatomy_report(&labyrinth);
        for (a, b) in own.canals.iter().zip(&mean.canals) {
            assert!((a.duct_length_mm - b.duct_length_mm).abs() < 0.01);
            assert!((a.duct_volume_mm3 - b.duct_volume_mm3).abs() < 0.01);
        }
        std::fs::write(
            folder.path().join("bad.csv"),
            "canal,x,y,z,radius\nnose,1,36,2,0.1\n",
        )
        .unwrap();
        let error = load_labyrinth("bad.csv", folder.path())
            .unwrap_err()
            .to_string();
        assert!(
            error.starts_with("bad.csv: line 2: canal: found nose"),
            "{error}"
        );
    }
}
