//! Places on the utricle, and the lumens as a graph: which part leads where.

use crate::{Canal, EarShape, Region, Vec3};

/// A mouth of a canal in the utricle's wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// The part that opens there: a short arm, the lateral duct or the common crus.
    pub region: Region,
    /// Its middle, Reid axes, mm.
    pub centre_in_reid_mm: Vec3,
    /// Unit direction of the lumen's axis into the utricle, Reid axes.
    pub into_utricle_in_reid: Vec3,
    /// Lumen radius, mm.
    pub radius_mm: f64,
}

/// The macula on the utricle's floor: an ellipse in its tangent plane, from which otoconia come off.
///
/// # Source
/// Area 4.30 mm², Tribukait & Rosenhall 2001, Audiol Neurotol 6:98 (39 maculae). That it lies about
/// parallel to the lateral canal is from memory; that it is a fifth longer than wide is assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Macula {
    /// Its middle on the wall, Reid axes, mm.
    pub centre_in_reid_mm: Vec3,
    /// Unit normal into the lumen, Reid axes.
    pub normal_in_reid: Vec3,
    /// Unit vectors along its length and its width, Reid axes.
    pub along_in_reid: [Vec3; 2],
    /// Half length and half width, mm.
    pub semi_axes_mm: [f64; 2],
}

/// Area of the macula, mm².
const MACULA_MM2: f64 = 4.30;
/// Length of the macula over its width.
const MACULA_RATIO: f64 = 1.2;

/// Where segments of the lumen meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Junction {
    /// The sac.
    Utricle,
    /// A cupula, which fluid pushes and debris does not pass.
    Cupula(Canal),
    /// Where the anterior and the posterior duct run together.
    CrusTop,
}

/// A stretch of lumen between two junctions, along one tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// The part.
    pub region: Region,
    /// The canal whose tube it is on; the crus is on the anterior one.
    pub tube: Canal,
    /// Arc length on that tube at its ends, mm from the cupula.
    pub from_mm: f64,
    /// The larger of the two.
    pub to_mm: f64,
    /// What it leads from, at `from_mm`.
    pub from: Junction,
    /// What it leads to, at `to_mm`.
    pub to: Junction,
}

/// A place on a centre-line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoursePoint {
    /// Reid axes, mm.
    pub point_in_reid_mm: Vec3,
    /// Unit, toward larger arc length, Reid axes.
    pub tangent_in_reid: Vec3,
    /// Toward the centre of curvature, of length 1/radius of curvature, mm⁻¹, Reid axes.
    pub curvature_in_reid_per_mm: Vec3,
    /// Lumen radius, mm.
    pub radius_mm: f64,
}

impl EarShape {
    /// The five openings: anterior, lateral and posterior ampulla, common crus, lateral duct.
    pub fn openings(&self) -> [Opening; 5] {
        let at = |region, canal: Canal, arc_mm: f64, sign: f64| {
            let (centre_in_reid_mm, tangent, radius_mm) = self.tube(canal).at(arc_mm);
            Opening {
                region,
                centre_in_reid_mm,
                into_utricle_in_reid: tangent * sign,
                radius_mm,
            }
        };
        let port = |canal: Canal| {
            let arc_mm = self.canal(canal).landmarks.port_mm;
            at(Region::ShortArm(canal), canal, arc_mm, -1.0)
        };
        let end =
            |region, canal: Canal| at(region, canal, self.canal(canal).landmarks.opening_mm, 1.0);
        let [a, l, p] = Canal::ALL;
        [
            port(a),
            port(l),
            port(p),
            end(Region::CommonCrus, a),
            end(Region::Duct(l), l),
        ]
    }

    /// The macula, under the middle of the utricle.
    pub fn macula(&self) -> Macula {
        let u = &self.utricle;
        let [long, wide, high] = u.axes_in_reid;
        let half_width = (MACULA_MM2 / (std::f64::consts::PI * MACULA_RATIO)).sqrt();
        Macula {
            centre_in_reid_mm: u.centre_in_reid_mm - high * u.semi_axes_mm[2],
            normal_in_reid: high,
            along_in_reid: [long, wide],
            semi_axes_mm: [half_width * MACULA_RATIO, half_width],
        }
    }

    /// The lumen graph: three short arms, three ducts and the crus. The posterior duct's tube ends
    /// [`EarShape::merge_mm`] below the top of the crus.
    pub fn segments(&self) -> [Segment; 7] {
        let marks = |canal: Canal| self.canal(canal).landmarks;
        let short = |canal: Canal| Segment {
            region: Region::ShortArm(canal),
            tube: canal,
            from_mm: marks(canal).port_mm,
            to_mm: 0.0,
            from: Junction::Utricle,
            to: Junction::Cupula(canal),
        };
        let duct = |canal: Canal| Segment {
            region: Region::Duct(canal),
            tube: canal,
            from_mm: 0.0,
            to_mm: marks(canal).duct_end_mm,
            from: Junction::Cupula(canal),
            to: match canal {
                Canal::Lateral => Junction::Utricle,
                Canal::Anterior | Canal::Posterior => Junction::CrusTop,
            },
        };
        let [a, l, p] = Canal::ALL;
        let crus = Segment {
            region: Region::CommonCrus,
            tube: a,
            from_mm: marks(a).duct_end_mm,
            to_mm: marks(a).opening_mm,
            from: Junction::CrusTop,
            to: Junction::Utricle,
        };
        [
            short(a),
            short(l),
            short(p),
            duct(a),
            duct(l),
            duct(p),
            crus,
        ]
    }

    /// Point, tangent, curvature and lumen radius of a canal's tube at an arc length from its cupula.
    pub fn course_point(&self, canal: Canal, arc_mm: f64) -> CoursePoint {
        let tube = self.tube(canal);
        let (from, to) = tube.range_mm();
        let arc_mm = arc_mm.clamp(from, to);
        let (point_in_reid_mm, tangent_in_reid, radius_mm) = tube.at(arc_mm);
        // A central difference of the tangent over one spacing of the nodes.
        let (before, after) = ((arc_mm - 0.05).max(from), (arc_mm + 0.05).min(to));
        CoursePoint {
            point_in_reid_mm,
            tangent_in_reid,
            curvature_in_reid_per_mm: (tube.at(after).1 - tube.at(before).1) / (after - before),
            radius_mm,
        }
    }
}
