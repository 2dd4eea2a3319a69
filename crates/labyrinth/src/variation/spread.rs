//! How much ears differ: what a population varies, by how much, and from which source.

use serde::{Deserialize, Serialize};

use crate::variation::planes::{PLANE_STUDIES, PlaneStudy};
use crate::{Anatomy, Canal, How, Sourced};

/// How much ears differ: standard deviations, each with its source. Deviates are normal, and end three
/// standard deviations from the middle.
///
/// In a file each that is left out is the published or assumed one; the studies are not written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Variation {
    /// Studies of the mean planes, drawn by their numbers of ears; if empty, the planes vary about those
    /// of the anatomy.
    #[serde(skip)]
    pub planes: Vec<PlaneStudy>,
    /// Turn of the whole labyrinth: each component of its rotation vector, Reid axes.
    pub common_turn_sd_deg: Sourced<f64>,
    /// Turn of one canal within its labyrinth: each component of its rotation vector, `[canal]`.
    pub canal_turn_sd_deg: [Sourced<f64>; 3],
    /// Radius of the arcs, `[canal]`.
    pub arc_radius_sd_mm: [Sourced<f64>; 3],
    /// Lumen radius of ducts and crus, one factor for the whole ear: standard deviation of its natural
    /// logarithm, as of every factor below.
    pub calibre_log_sd: Sourced<f64>,
    /// Tilt of the crus out of the line common to both vertical planes, backward and outward.
    pub crus_tilt_sd_deg: [Sourced<f64>; 2],
    /// Length of the crus.
    pub crus_length_log_sd: Sourced<f64>,
    /// Lumen radius of the crus, beside the calibre of the ear.
    pub crus_radius_log_sd: Sourced<f64>,
    /// Width of all ampullae.
    pub ampulla_radius_log_sd: Sourced<f64>,
    /// Length of all ampullae.
    pub ampulla_length_log_sd: Sourced<f64>,
    /// Place of the cupulae on their arcs, `[canal]`; that of the anterior one about the place beside the
    /// lateral one.
    pub cupula_angle_sd_deg: [Sourced<f64>; 3],
    /// How the cristae stand, `[canal]`, beside their places.
    pub crista_angle_sd_deg: [Sourced<f64>; 3],
    /// Depth of the utricle's floor under its middle.
    pub utricle_floor_sd_mm: Sourced<f64>,
    /// Lumen radius of the ampullae where they open into the utricle, beside their width.
    pub port_radius_log_sd: Sourced<f64>,
    /// Pitch of Reid's plane with the head upright.
    pub reid_pitch_sd_deg: Sourced<f64>,
}

const SOLVED: &str = "solved from the spread of the angles between canals, Della Santina et al. \
    2005, J Assoc Res Otolaryngol 6:191 (4.0, 6.2, 4.9 degrees, 44 labyrinths), and of the axes' \
    components (Table 1A); holds the noise of the measurement, so an upper bound";

fn assumed(sd: f64, why: &str) -> Sourced<f64> {
    Sourced::new(sd, why, How::Assumed)
}

impl Default for Variation {
    fn default() -> Variation {
        Variation::published()
    }
}

impl Variation {
    /// The published spread of adult ears about one anatomy's planes, and assumed numbers where none was
    /// found.
    pub fn published() -> Variation {
        let radius = |sd| {
            let source = "Spoor & Zonneveld 1998, Yearb Phys Anthropol 41:211";
            Sourced::new(sd, source, How::Memory)
        };
        let tilt = "no measurement of the crus' direction was found; the mean planes of three studies put \
            the common line 8 to 20 degrees from each other";
        let place = "no distribution was found; about a quarter of a millimetre along the arc";
        let crista =
            "Zhou et al. 2024, Front Neurol 15:1401041, gives means; a spread was not read";
        Variation {
            planes: Vec::new(),
            common_turn_sd_deg: Sourced::new(4.7, SOLVED, How::Derived),
            canal_turn_sd_deg: [3.9, 4.8, 0.9].map(|sd| Sourced::new(sd, SOLVED, How::Derived)),
            arc_radius_sd_mm: [0.2, 0.2, 0.3].map(radius),
            calibre_log_sd: assumed(
                0.15,
                "no distribution of membranous calibres was found; about 15 percent",
            ),
            crus_tilt_sd_deg: [assumed(6.0, tilt), assumed(3.0, tilt)],
            crus_length_log_sd: assumed(
                0.08,
                "bony crus 2 to 3 mm, from memory: three standard deviations",
            ),
            crus_radius_log_sd: assumed(0.10, "no published number; beside the calibre of the ear"),
            ampulla_radius_log_sd: assumed(0.05, "0.6 to 0.7 mm in published models, from memory"),
            ampulla_length_log_sd: assumed(
                0.15,
                "about 2 mm with the taper, from memory; no spread was found",
            ),
            cupula_angle_sd_deg: [
                assumed(3.0, place),
                assumed(5.0, place),
                assumed(5.0, place),
            ],
            crista_angle_sd_deg: [5.0; 3].map(|sd| assumed(sd, crista)),
            utricle_floor_sd_mm: assumed(0.1, "no published number; a twelfth of the half height"),
            port_radius_log_sd: assumed(0.08, "no published number"),
            reid_pitch_sd_deg: assumed(
                2.5,
                "0 to 10 degrees in use; two standard deviations either side of the mean reach them",
            ),
        }
    }

    /// The same about the mean planes of all [`PLANE_STUDIES`], mixed by their numbers of ears: 44
    /// labyrinths of Della Santina, 110 of Wu, 20 of Blanks. The spread is Della Santina's in each: of
    /// Wu's none was read, and the one angle of Blanks' (7.6 degrees, 10 skulls) is 1.0 standard errors
    /// from it.
    pub fn mixed() -> Variation {
        Variation {
            planes: PLANE_STUDIES.to_vec(),
            ..Variation::published()
        }
    }

    /// The same with the standard deviations that an anatomy's own numbers give.
    #[must_use]
    pub fn as_in(mut self, anatomy: &Anatomy) -> Variation {
        let take = |own: &mut Sourced<f64>, number: &Sourced<f64>, to_spread: f64| {
            if let Some(sd) = number.sd {
                *own = Sourced::new(sd * to_spread, &number.source, number.how);
            }
        };
        for canal in Canal::ALL {
            let (i, c) = (canal.index(), anatomy.canal(canal));
            take(&mut self.arc_radius_sd_mm[i], &c.arc_radius_mm, 1.0);
            take(&mut self.cupula_angle_sd_deg[i], &c.cupula_angle_deg, 1.0);
            if let Some(crista) = &c.crista_angle_deg {
                take(&mut self.crista_angle_sd_deg[i], crista, 1.0);
            }
        }
        let relative = |number: &Sourced<f64>| 1.0 / number.value;
        let c = &anatomy.posterior;
        take(
            &mut self.calibre_log_sd,
            &c.duct_radius_mm,
            relative(&c.duct_radius_mm),
        );
        take(
            &mut self.ampulla_radius_log_sd,
            &c.ampulla_radius_mm,
            relative(&c.ampulla_radius_mm),
        );
        take(
            &mut self.ampulla_length_log_sd,
            &c.ampulla_length_mm,
            relative(&c.ampulla_length_mm),
        );
        let crus = &anatomy.crus;
        take(
            &mut self.crus_length_log_sd,
            &crus.top_mm,
            relative(&crus.top_mm),
        );
        take(
            &mut self.crus_radius_log_sd,
            &crus.radius_mm,
            relative(&crus.radius_mm),
        );
        for (own, tilt) in self
            .crus_tilt_sd_deg
            .iter_mut()
            .zip([&crus.tilt_back_deg, &crus.tilt_out_deg])
        {
            if let Some(tilt) = tilt {
                take(own, tilt, 1.0);
            }
        }
        take(
            &mut self.port_radius_log_sd,
            &anatomy.port_radius_mm,
            relative(&anatomy.port_radius_mm),
        );
        take(
            &mut self.reid_pitch_sd_deg,
            &anatomy.reid_pitch_nose_up_deg,
            1.0,
        );
        if let Some(sd) = anatomy.utricle.semi_axes_mm.sd {
            self.utricle_floor_sd_mm =
                Sourced::new(sd[2], &anatomy.utricle.semi_axes_mm.source, How::Assumed);
        }
        self
    }
}
