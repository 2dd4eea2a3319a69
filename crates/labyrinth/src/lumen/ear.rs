//! One ear: three tubes, a utricle, cupulae, and which part opens into which.

use crate::frame::{mirror_axis, mirror_point};
use crate::lumen::links::{Link, Mouth, Opens};
use crate::{Canal, Ear, Region, Tube, Utricle, Vec3};

/// Anterior and posterior duct may run side by side, and into each other, over this length before they
/// end in the crus, mm.
const CROTCH_MM: f64 = 3.5;

/// And crus and lateral duct may run into other openings of the utricle this far before their own, mm.
const FLARE_MM: f64 = 1.0;

/// Tubes and utricle before they are joined.
#[derive(Clone, Debug)]
pub(crate) struct Ducts {
    pub(crate) tubes: [Tube; 3],
    pub(crate) landmarks: [Landmarks; 3],
    pub(crate) utricle: Utricle,
}

/// Directions of one canal, unit, Reid axes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CanalAxes {
    pub(crate) n_exc: Vec3,
    pub(crate) load_axis: Vec3,
    /// Square to the crista, toward the duct; along the tube at the cupula if not known.
    pub(crate) crista_normal: Option<Vec3>,
}

/// Places along one canal, mm of arc from the cupula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landmarks {
    /// Where the ampulla opens into the utricle (negative).
    pub port_mm: f64,
    /// Where the short arm begins: an ampulla's length before the cupula, or the port (negative).
    pub short_arm_from_mm: f64,
    /// Where the duct ends: at the crus, or (lateral) at its opening.
    pub duct_end_mm: f64,
    /// Where the course ends: the opening into the utricle.
    pub opening_mm: f64,
    /// Where the common crus begins on this canal's course; `None` for the lateral canal.
    pub crus_from_mm: Option<f64>,
    /// Radius of the arc.
    pub arc_radius_mm: f64,
    /// Its centre, Reid axes.
    pub arc_centre_in_reid_mm: Vec3,
}

/// A membrane across an ampulla; debris cannot pass it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cupula {
    /// Its middle, Reid axes, mm.
    pub centre_in_reid_mm: Vec3,
    /// Unit normal toward the duct, Reid axes.
    pub to_duct_in_reid: Vec3,
    /// Radius, mm.
    pub radius_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Unit normal of the crista that it stands on, toward the duct, Reid axes: `to_duct_in_reid` where
    /// the crista stands square across the duct.
    pub crista_normal_in_reid: Vec3,
    /// Gravity in this direction (unit, Reid axes) loads it ampullofugally most.
    pub load_axis_in_reid: Vec3,
}

/// One canal, with what is measured on it.
#[derive(Clone, Debug, PartialEq)]
pub struct CanalShape {
    /// Unit axis of a head rotation that excites it, Reid axes.
    pub n_exc_in_reid: Vec3,
    /// Places along it.
    pub landmarks: Landmarks,
    /// Its cupula.
    pub cupula: Cupula,
    /// Half the closed integral of r × dr along the duct away from the cupula and back through the
    /// utricle, mm², Reid axes: what couples it to head rotation.
    pub area_vector_in_reid_mm2: Vec3,
}

/// One ear in Reid axes, mm.
#[derive(Clone, Debug)]
pub struct EarShape {
    /// Which ear.
    pub ear: Ear,
    /// Lumens `[canal]`; the anterior one continues through the common crus.
    pub tubes: [Tube; 3],
    /// The utricle.
    pub utricle: Utricle,
    /// The canals, `[canal]`.
    pub canals: [CanalShape; 3],
    /// How far below the top of the crus the posterior duct joins it, mm.
    pub merge_mm: f64,
    pub(crate) links: [Vec<Link>; 3],
    pub(crate) mouths: Vec<Mouth>,
}

impl EarShape {
    /// The same ear on the other side.
    pub(crate) fn mirrored(&self) -> EarShape {
        let canals = self.canals.clone().map(|c| CanalShape {
            n_exc_in_reid: mirror_axis(c.n_exc_in_reid),
            landmarks: Landmarks {
                arc_centre_in_reid_mm: mirror_point(c.landmarks.arc_centre_in_reid_mm),
                ..c.landmarks
            },
            cupula: Cupula {
                centre_in_reid_mm: mirror_point(c.cupula.centre_in_reid_mm),
                to_duct_in_reid: mirror_point(c.cupula.to_duct_in_reid),
                crista_normal_in_reid: mirror_point(c.cupula.crista_normal_in_reid),
                load_axis_in_reid: mirror_point(c.cupula.load_axis_in_reid),
                ..c.cupula
            },
            area_vector_in_reid_mm2: mirror_axis(c.area_vector_in_reid_mm2),
        });
        EarShape {
            ear: self.ear.other(),
            tubes: self.tubes.each_ref().map(Tube::mirrored),
            utricle: self.utricle.mirrored(),
            canals,
            merge_mm: self.merge_mm,
            links: self.links.clone(),
            mouths: self
                .mouths
                .iter()
                .map(|m| Mouth {
                    centre: mirror_point(m.centre),
                    ..*m
                })
                .collect(),
        }
    }

    /// One canal.
    pub fn canal(&self, canal: Canal) -> &CanalShape {
        &self.canals[canal.index()]
    }

    /// Its lumen.
    pub fn tube(&self, canal: Canal) -> &Tube {
        &self.tubes[canal.index()]
    }

    /// The part that an arc length of a tube lies in.
    pub fn region_of(&self, canal: Canal, arc_mm: f64) -> Region {
        let marks = &self.canal(canal).landmarks;
        let opening_mm = if canal == Canal::Posterior {
            f64::INFINITY
        } else {
            marks.opening_mm
        };
        if arc_mm < marks.short_arm_from_mm || arc_mm > opening_mm {
            Region::Utricle
        } else if arc_mm < 0.0 {
            Region::ShortArm(canal)
        } else if canal == Canal::Anterior && arc_mm > marks.duct_end_mm {
            Region::CommonCrus
        } else {
            Region::Duct(canal)
        }
    }

    /// What a canal's tube may open into at a place.
    pub(crate) fn opens(&self, canal: Canal, arc_mm: f64) -> Opens {
        let shape = self.canal(canal);
        let marks = &shape.landmarks;
        Opens {
            crus: canal != Canal::Lateral && arc_mm > marks.duct_end_mm - CROTCH_MM,
            // What overlaps inside a cupula's thickness lets nothing through.
            utricle: arc_mm < shape.cupula.thickness_mm / 2.0
                || (canal != Canal::Posterior && arc_mm > marks.opening_mm - FLARE_MM),
        }
    }

    /// The stretches of a canal's tube, arc lengths in mm, on which it may open into what a place with `opens`
    /// opens into: the inverse of [`EarShape::opens`].
    pub(crate) fn zones(&self, canal: Canal, opens: Opens) -> [Option<[f64; 2]>; 3] {
        let shape = self.canal(canal);
        let marks = &shape.landmarks;
        let (from_mm, to_mm) = self.tube(canal).range_mm();
        let lateral = canal == Canal::Lateral;
        let posterior = canal == Canal::Posterior;
        [
            (opens.crus && !lateral).then_some([marks.duct_end_mm - CROTCH_MM, to_mm]),
            opens
                .utricle
                .then_some([from_mm, shape.cupula.thickness_mm / 2.0]),
            (opens.utricle && !posterior).then_some([marks.opening_mm - FLARE_MM, to_mm]),
        ]
    }

    /// How far a place on a canal's tube is from where [`EarShape::region_of`] changes, mm.
    pub(crate) fn to_border_mm(&self, canal: Canal, arc_mm: f64) -> f64 {
        let marks = &self.canal(canal).landmarks;
        let mut borders = [marks.short_arm_from_mm, 0.0, f64::INFINITY, f64::INFINITY];
        if canal != Canal::Posterior {
            borders[2] = marks.opening_mm;
        }
        if canal == Canal::Anterior {
            borders[3] = marks.duct_end_mm;
        }
        borders.into_iter().fold(f64::INFINITY, |least, border| {
            least.min((arc_mm - border).abs())
        })
    }

    /// Place on a canal's course from its cupula to the utricle, mm, of something in `region` at
    /// `arc_mm` of the tube it is in (of the anterior tube in the crus); `None` where the course of
    /// that canal does not go.
    pub fn course_mm(&self, canal: Canal, region: Region, arc_mm: f64) -> Option<f64> {
        let marks = &self.canal(canal).landmarks;
        match region {
            Region::Duct(c) | Region::ShortArm(c) if c == canal => Some(arc_mm),
            Region::Utricle => Some(marks.opening_mm),
            Region::CommonCrus if canal == Canal::Anterior => Some(arc_mm),
            Region::CommonCrus if canal == Canal::Posterior => {
                let merge_at = self.canals[0].landmarks.duct_end_mm + self.merge_mm;
                Some(marks.duct_end_mm + arc_mm - merge_at)
            }
            _ => None,
        }
    }
}
