//! Measures of a built labyrinth beside published ones; the JSON of `anatomy --json`.

use lithodrome_labyrinth::frame::head_from_reid;
use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth, angle_between_rad};
use serde::Serialize;

use super::sizes::{
    CanalVolumes, PUBLISHED_SIZES, PublishedSize, VestibuleReport, tilt_deg, vestibule_report,
};
use crate::units::{deg, tidy};

/// Measures of both ears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AnatomyReport {
    /// Name of the anatomy.
    pub name: String,
    /// Pitch of Reid's plane, nose up, with the patient upright in the headrest.
    pub reid_pitch_nose_up_deg: f64,
    /// All six canals, in the order of `CanalId::ALL`.
    pub canals: Vec<CanalReport>,
    /// Angles between the axes of the canals of one ear.
    pub angles_deg: Vec<AngleReport>,
    /// What was published for those angles.
    pub published_deg: Vec<PublishedAngle>,
    /// Crus and utricle; the other ear is the mirror image.
    pub vestibule: VestibuleReport,
    /// What was published for sizes and tilts.
    pub published: Vec<PublishedSize>,
}

/// Measures of one canal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CanalReport {
    /// "right" or "left".
    pub ear: &'static str,
    /// "anterior", "lateral" or "posterior".
    pub canal: &'static str,
    /// Unit axis of the right-handed head rotation that excites it, Reid axes.
    pub n_exc: [f64; 3],
    /// Radius of the duct's arc.
    pub arc_radius_mm: f64,
    /// From the cupula to the end of the duct, at the crus or the utricle.
    pub duct_length_mm: f64,
    /// Least radius of the duct's lumen.
    pub duct_radius_mm: f64,
    /// Root mean square distance of the duct's centre-line from the plane fitted to it.
    pub plane_fit_residual_mm: f64,
    /// Angle between that plane's normal and `n_exc`.
    pub plane_fit_angle_deg: f64,
    /// Angle between the canal's plane and Reid's plane.
    pub tilt_to_reid_deg: f64,
    /// The same to the ground, with the patient upright in the headrest.
    pub tilt_upright_deg: f64,
    /// Lumen radius at the cupula.
    pub ampulla_radius_mm: f64,
    /// Volume of the duct beyond the ampulla, to the crus or the utricle.
    pub duct_volume_mm3: f64,
    /// Volume of the ampulla, from the utricle to an ampulla's length beyond the cupula.
    pub ampulla_volume_mm3: f64,
}

/// Angle between two canals of one ear.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AngleReport {
    /// "right" or "left".
    pub ear: &'static str,
    /// The two canals.
    pub between: [&'static str; 2],
    /// Angle between their `n_exc`.
    pub deg: f64,
}

/// A published angle between two canals of one ear.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PublishedAngle {
    /// The two canals.
    pub between: [&'static str; 2],
    /// Mean.
    pub deg: f64,
    /// Standard deviation, if it is known.
    pub sd: Option<f64>,
    /// Labyrinths measured.
    pub n: u32,
    /// Author, year, journal and method.
    pub source: &'static str,
}

const PAIRS: [[Canal; 2]; 3] = [
    [Canal::Anterior, Canal::Lateral],
    [Canal::Anterior, Canal::Posterior],
    [Canal::Lateral, Canal::Posterior],
];

/// Mean and standard deviation of the angle of each of [`PAIRS`], degrees.
type Angles = [(f64, Option<f64>); 3];

/// Source, labyrinths and angles as printed. Papers mix the angle between axes with the dihedral angle, so that
/// 84 and 96 may be the same finding.
#[rustfmt::skip]
const PUBLISHED: [(&str, u32, Angles); 4] = [
    ("Della Santina 2005, J Assoc Res Otolaryngol 6:191 (CT)", 44,
        [(90.6, Some(6.2)), (94.0, Some(4.0)), (90.4, Some(4.9))]),
    ("Lee 2013, Anat Rec 296:834 (micro-CT)", 40,
        [(84.4, None), (92.1, None), (86.2, None)]),
    ("Kim 2015, J Laryngol Otol (MRI)", 20,
        [(83.7, None), (88.4, None), (82.5, None)]),
    ("Liu 2022, Front Neurol 12:789887 (MRI)", 53,
        [(84.67, Some(5.76)), (94.21, Some(3.81)), (91.79, Some(5.22))]),
];

/// Measures a labyrinth.
pub fn anatomy_report(labyrinth: &Labyrinth) -> AnatomyReport {
    AnatomyReport {
        name: labyrinth.name.clone(),
        reid_pitch_nose_up_deg: tidy(deg(labyrinth.reid_pitch_nose_up_rad)),
        canals: CanalId::ALL.map(|id| canal_report(labyrinth, id)).to_vec(),
        angles_deg: Ear::ALL
            .into_iter()
            .flat_map(|ear| PAIRS.map(|pair| angle_report(labyrinth, ear, pair)))
            .collect(),
        published_deg: PUBLISHED
            .into_iter()
            .flat_map(|(source, n, angles)| {
                let of_pair = move |(pair, (deg, sd)): ([Canal; 2], _)| PublishedAngle {
                    between: pair.map(Canal::name),
                    deg,
                    sd,
                    n,
                    source,
                };
                PAIRS.into_iter().zip(angles).map(of_pair)
            })
            .collect(),
        vestibule: vestibule_report(labyrinth.ear(Ear::Left)),
        published: PUBLISHED_SIZES.to_vec(),
    }
}

fn canal_report(labyrinth: &Labyrinth, id: CanalId) -> CanalReport {
    let shape = labyrinth.canal(id);
    let measures = labyrinth.ear(id.ear).measures(id.canal);
    let n = shape.n_exc_in_reid;
    let sizes = CanalVolumes::of(labyrinth.ear(id.ear), id.canal);
    CanalReport {
        ear: id.ear.name(),
        canal: id.canal.name(),
        n_exc: [n.x, n.y, n.z],
        arc_radius_mm: tidy(shape.landmarks.arc_radius_mm),
        duct_length_mm: tidy(measures.duct_length_mm),
        duct_radius_mm: tidy(measures.duct_radius_mm),
        plane_fit_residual_mm: tidy(measures.plane_fit_residual_mm),
        plane_fit_angle_deg: tidy(deg(angle_between_rad(measures.fitted_normal_in_reid, n))),
        tilt_to_reid_deg: tidy(tilt_deg(n)),
        tilt_upright_deg: tidy(tilt_deg(
            head_from_reid(labyrinth.reid_pitch_nose_up_rad) * n,
        )),
        ampulla_radius_mm: tidy(shape.cupula.radius_mm),
        duct_volume_mm3: tidy(sizes.duct_mm3),
        ampulla_volume_mm3: tidy(sizes.ampulla_mm3),
    }
}

fn angle_report(labyrinth: &Labyrinth, ear: Ear, pair: [Canal; 2]) -> AngleReport {
    let [a, b] = pair.map(|canal| labyrinth.canal(CanalId { ear, canal }).n_exc_in_reid);
    AngleReport {
        ear: ear.name(),
        between: pair.map(Canal::name),
        deg: tidy(deg(angle_between_rad(a, b))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::load_anatomy;
    use std::path::Path;

    #[test]
    fn the_mean_adult_has_the_published_planes_and_angles() {
        let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
        let report = anatomy_report(&Labyrinth::build(&anatomy).unwrap());
        assert_eq!(report.canals.len(), 6);
        // Della Santina 2005, 44 labyrinths pooled: left lateral axis.
        let left_lateral = &report.canals[4];
        assert_eq!((left_lateral.ear, left_lateral.canal), ("left", "lateral"));
        for (got, printed) in left_lateral.n_exc.iter().zip([-0.32269, -0.03837, 0.94573]) {
            assert!((got - printed).abs() < 1e-4, "{got} for {printed}");
        }
        // Table 1 of the same: angles between the pooled axes within 0.5° of the mean of angles.
        for (angle, published) in report.angles_deg.iter().zip([90.6, 94.0, 90.4]) {
            assert!((angle.deg - published).abs() < 0.5, "{angle:?}");
        }
        // The duct lies in its plane but for the short bend of the posterior one, which stays in it too.
        for canal in &report.canals {
            assert!(canal.plane_fit_angle_deg < 0.1, "{canal:?}");
            assert!(canal.plane_fit_residual_mm < 0.01, "{canal:?}");
        }
    }
}
