//! The left ear from the numbers of an anatomy.
//!
//! Each duct is an arc in its published plane. A straight crus that lies in both vertical planes runs
//! along their common line; the anatomy may tilt it out of that line, and then both ducts bend into it.
//! Heights, radii and angles on the arcs come from the anatomy.
//! Angles on the vertical arcs count from the top of the crus over the apex to the cupula; on the
//! lateral arc from e1 (forward) toward e2 (left).

use std::f64::consts::PI;

use crate::build::path::{Path, Piece};
use crate::lumen::{Ducts, Landmarks};
use crate::{Anatomy, AnatomyError, Canal, Ear, Region, Tube, Utricle, Vec3};

/// How far a tube reaches into the part it opens into, mm, so that the two lumens overlap.
const OVERLAP_MM: f64 = 0.4;
/// The crus widens over this length either side of its top, mm.
const CRUS_RAMP_MM: f64 = 0.3;
/// A narrow or wide non-ampullary arm begins within this of the duct's middle, mm.
const FAR_RAMP_MM: f64 = 1.0;

/// The anterior duct leaves its arc for a tilted crus this many times the tilt before the top, but at
/// least [`LEAST_BEND_RAD`] before it.
const BEND_PER_TILT: f64 = 2.0;
const LEAST_BEND_RAD: f64 = 0.1;

/// The left ear's tubes and utricle, Reid axes.
pub(crate) fn left_ear(anatomy: &Anatomy) -> Result<Ducts, AnatomyError> {
    let frame = Frame::of(anatomy);
    let utricle = frame.utricle(anatomy);
    let anterior = frame.anterior(anatomy, &utricle)?;
    let lateral = frame.lateral(anatomy, &utricle)?;
    let posterior = frame.posterior(anatomy, &utricle, &anterior.1)?;
    Ok(Ducts {
        tubes: [anterior.0, lateral.0, posterior.0],
        landmarks: [anterior.1, lateral.1, posterior.1],
        utricle,
    })
}

/// The unit normal of each crista, toward the duct, Reid axes.
pub(crate) fn crista_normals(anatomy: &Anatomy) -> [Vec3; 3] {
    let frame = Frame::of(anatomy);
    Canal::ALL.map(|canal| {
        let (sin, cos) = anatomy.crista_angle_deg(canal).to_radians().sin_cos();
        match canal {
            Canal::Anterior => -(sin * frame.to_anterior + cos * frame.common),
            Canal::Posterior => -(sin * frame.to_posterior + cos * frame.common),
            Canal::Lateral => cos * frame.e2 - sin * frame.e1,
        }
    })
}

/// The anterior arc and the lateral cupula: what tells where on the arc the two cupulae are how far apart.
pub(crate) struct Ampullae {
    /// Half the sum of squares and the two parts of distance² = 2 (even + cos a · across + sin a · along).
    even: f64,
    across: f64,
    along: f64,
}

impl Ampullae {
    pub(crate) fn of(anatomy: &Anatomy) -> Ampullae {
        let frame = Frame::of(anatomy);
        let offset = anatomy.outer_wall_offset_mm.value;
        let radius = anatomy.anterior.arc_radius_mm.value + offset;
        let centre = frame.top(anatomy) + radius * frame.to_anterior;
        let c = &anatomy.lateral;
        let lateral_radius = c.arc_radius_mm.value + offset;
        let (sin, cos) = c.cupula_angle_deg.value.to_radians().sin_cos();
        let [x, y] = anatomy.lateral_centre_mm.value;
        let lateral = frame.in_lateral([x + lateral_radius * cos, y + lateral_radius * sin, 0.0]);
        let off = centre - lateral;
        Ampullae {
            even: 0.5 * (off.norm_squared() + radius * radius),
            across: -radius * off.dot(&frame.to_anterior),
            along: radius * off.dot(&frame.common),
        }
    }

    /// Distance of the two cupulae with the anterior one at an angle of its arc, mm.
    pub(crate) fn gap_mm(&self, anterior_rad: f64) -> f64 {
        let (sin, cos) = anterior_rad.sin_cos();
        (2.0 * (self.even + self.across * cos + self.along * sin)).sqrt()
    }

    /// The angle on the side of the apex at which they are `gap_mm` apart, or where they are nearest if
    /// they always stay farther apart.
    pub(crate) fn apart_rad(&self, gap_mm: f64) -> f64 {
        let swing = self.across.hypot(self.along);
        // From the farthest place on, the arc passes the apex and comes to the nearest one.
        let farthest_rad = self.along.atan2(self.across);
        let cos = (0.5 * gap_mm * gap_mm - self.even) / swing;
        let way_rad = cos.clamp(-1.0, 1.0).acos();
        farthest_rad + way_rad
    }
}

/// Direction from the crus to the anterior arc, seen along the lateral normal, from e1 toward e2.
pub(crate) fn anterior_azimuth_rad(anatomy: &Anatomy) -> f64 {
    let frame = Frame::of(anatomy);
    let d = frame.to_anterior;
    d.dot(&frame.e2).atan2(d.dot(&frame.e1))
}

/// Directions of the construction.
struct Frame {
    /// Where the crus crosses the lateral plane, Reid axes, mm.
    origin: Vec3,
    /// Up along the line common to both vertical planes.
    common: Vec3,
    /// Up along the crus, which may be tilted out of that line.
    crus: Vec3,
    /// In the anterior plane, away from the crus.
    to_anterior: Vec3,
    /// In the posterior plane, away from the crus.
    to_posterior: Vec3,
    /// Forward in the lateral plane.
    e1: Vec3,
    /// Left in the lateral plane.
    e2: Vec3,
    /// Normal of the lateral plane, up.
    up: Vec3,
}

impl Frame {
    fn of(anatomy: &Anatomy) -> Frame {
        let n = |canal| Vec3::from(anatomy.canal(canal).n_exc.value).normalize();
        let (na, nl, np) = (n(Canal::Anterior), n(Canal::Lateral), n(Canal::Posterior));
        let cross = na.cross(&np).normalize();
        let common = if cross.z < 0.0 { -cross } else { cross };
        let e2 = (Vec3::y() - nl * nl.y).normalize();
        let turn = anatomy.turn();
        let (e1, e2) = (turn * e2.cross(&nl), turn * e2);
        let [back, out] = anatomy.crus_tilt_deg().map(|deg| deg.to_radians().tan());
        let straight = turn * common;
        let crus = if back == 0.0 && out == 0.0 {
            straight
        } else {
            (straight - e1 * back + e2 * out).normalize()
        };
        let mut frame = Frame {
            origin: Vec3::zeros(),
            common: straight,
            crus,
            to_anterior: turn * na.cross(&common).normalize(),
            to_posterior: turn * np.cross(&common).normalize(),
            e1,
            e2,
            up: turn * nl,
        };
        let utricle = frame.in_lateral(anatomy.utricle.centre_mm.value);
        frame.origin = Vec3::from(anatomy.utricle_in_reid_mm.value) - utricle;
        frame
    }

    /// A point given along e1, e2 and the normal of the lateral plane.
    fn in_lateral(&self, v: [f64; 3]) -> Vec3 {
        self.origin + self.e1 * v[0] + self.e2 * v[1] + self.up * v[2]
    }

    /// The top of the crus.
    fn top(&self, anatomy: &Anatomy) -> Vec3 {
        self.origin + self.crus * anatomy.crus.top_mm.value
    }

    fn utricle(&self, anatomy: &Anatomy) -> Utricle {
        let u = &anatomy.utricle;
        let (sin, cos) = u.azimuth_deg.value.to_radians().sin_cos();
        Utricle {
            centre_in_reid_mm: anatomy.utricle_in_reid_mm.value.into(),
            axes_in_reid: [
                self.e1 * cos + self.e2 * sin,
                self.e2 * cos - self.e1 * sin,
                self.up,
            ],
            semi_axes_mm: u.semi_axes_mm.value,
        }
    }

    fn anterior(
        &self,
        anatomy: &Anatomy,
        utricle: &Utricle,
    ) -> Result<(Tube, Landmarks), AnatomyError> {
        let c = &anatomy.anterior;
        let radius = c.arc_radius_mm.value + anatomy.outer_wall_offset_mm.value;
        let top = self.top(anatomy);
        let centre = top + self.to_anterior * radius;
        let tilt_rad = crate::angle_between_rad(self.crus, self.common);
        let bend_from_rad = if tilt_rad == 0.0 {
            0.0
        } else {
            (BEND_PER_TILT * tilt_rad).max(LEAST_BEND_RAD)
        };
        let arc = Piece::Arc {
            centre,
            radius,
            across: -self.to_anterior,
            along: self.common,
            from_rad: c.cupula_angle_deg.value.to_radians(),
            to_rad: bend_from_rad,
        };
        let mut pieces = vec![arc];
        if tilt_rad > 0.0 {
            let (sin, cos) = bend_from_rad.sin_cos();
            let from = centre + radius * (-cos * self.to_anterior + sin * self.common);
            let handle = (top - from).norm();
            pieces.push(Piece::Bend {
                from,
                from_slope: -(sin * self.to_anterior + cos * self.common) * handle,
                to: top,
                to_slope: -self.crus * handle,
            });
        }
        let to_foot = utricle
            .first_hit(top, -self.crus)
            .ok_or(AnatomyError::NoOpening {
                ear: Ear::Left,
                region: Region::CommonCrus,
            })?;
        let end = Piece::Line {
            from: top,
            to: top - self.crus * (to_foot + OVERLAP_MM),
        };
        pieces.push(end);
        let last = pieces.len() + 1;
        let (path, cupula_at) = from_port(utricle, Canal::Anterior, pieces)?;
        let crus_from = path.start_of_mm(last) - cupula_at;
        let duct_end = crus_from + to_foot;
        let port_at = path.start_of_mm(1) - cupula_at;
        let bore = Bore::of(anatomy, Canal::Anterior, port_at, crus_from);
        let crus_radius = anatomy.crus.radius_mm.value;
        let tube = tube_of(&path, cupula_at, |s| {
            let (r, slope) = bore.at(s);
            let (w, dw) = ramp(s, crus_from - CRUS_RAMP_MM, crus_from + CRUS_RAMP_MM);
            (
                r + (crus_radius - bore.far) * w,
                slope + (crus_radius - bore.far) * dw,
            )
        });
        let marks = Landmarks {
            port_mm: bore.port_at,
            short_arm_from_mm: bore.port_at.max(-bore.ampulla_length),
            duct_end_mm: crus_from,
            opening_mm: duct_end,
            crus_from_mm: Some(crus_from),
            arc_radius_mm: radius,
            arc_centre_in_reid_mm: centre,
        };
        Ok((tube, marks))
    }

    fn posterior(
        &self,
        anatomy: &Anatomy,
        utricle: &Utricle,
        anterior: &Landmarks,
    ) -> Result<(Tube, Landmarks), AnatomyError> {
        let c = &anatomy.posterior;
        let radius = c.arc_radius_mm.value + anatomy.outer_wall_offset_mm.value;
        let top_mm = anatomy.crus.top_mm.value;
        let top = self.top(anatomy);
        // The arc is level with the lateral plane: its centre is as deep below the crus top as possible.
        let phi = (top_mm / radius).clamp(-1.0, 1.0).asin();
        let centre = top + radius * (phi.cos() * self.to_posterior - phi.sin() * self.common);
        let bend_from_rad = anatomy.crus.bend_from_deg.value.to_radians();
        let arc = Piece::Arc {
            centre,
            radius,
            across: -self.to_posterior,
            along: self.common,
            from_rad: c.cupula_angle_deg.value.to_radians(),
            to_rad: bend_from_rad,
        };
        let (sin, cos) = bend_from_rad.sin_cos();
        let from = centre + radius * (-cos * self.to_posterior + sin * self.common);
        // Toward smaller angles.
        let heading = -(sin * self.to_posterior + cos * self.common);
        let merge = top - self.crus * anatomy.crus.merge_mm.value;
        let handle = 1.3 * (merge - from).norm();
        let bend = Piece::Bend {
            from,
            from_slope: heading * handle,
            to: merge,
            to_slope: -self.crus * handle,
        };
        let (path, cupula_at) = from_port(utricle, Canal::Posterior, vec![arc, bend])?;
        let duct_end = path.length_mm() - cupula_at;
        let port_at = path.start_of_mm(1) - cupula_at;
        let bore = Bore::of(anatomy, Canal::Posterior, port_at, duct_end);
        let crus_from = anterior.crus_from_mm.unwrap_or(anterior.duct_end_mm);
        let crus_left = anterior.opening_mm - (crus_from + anatomy.crus.merge_mm.value);
        let marks = Landmarks {
            port_mm: bore.port_at,
            short_arm_from_mm: bore.port_at.max(-bore.ampulla_length),
            duct_end_mm: duct_end,
            opening_mm: duct_end + crus_left,
            crus_from_mm: Some(duct_end),
            arc_radius_mm: radius,
            arc_centre_in_reid_mm: centre,
        };
        Ok((tube_of(&path, cupula_at, |s| bore.at(s)), marks))
    }

    fn lateral(
        &self,
        anatomy: &Anatomy,
        utricle: &Utricle,
    ) -> Result<(Tube, Landmarks), AnatomyError> {
        let c = &anatomy.lateral;
        let radius = c.arc_radius_mm.value + anatomy.outer_wall_offset_mm.value;
        let [x, y] = anatomy.lateral_centre_mm.value;
        let centre = self.in_lateral([x, y, 0.0]);
        let from_rad = c.cupula_angle_deg.value.to_radians();
        let at = |a: f64| centre + radius * (a.cos() * self.e1 + a.sin() * self.e2);
        let end_rad = first_inside(
            |a| utricle.depth(at(a)).0,
            from_rad + PI / 2.0,
            from_rad + 1.9 * PI,
        )
        .ok_or(AnatomyError::NoOpening {
            ear: Ear::Left,
            region: Region::Duct(Canal::Lateral),
        })?;
        let arc = Piece::Arc {
            centre,
            radius,
            across: self.e1,
            along: self.e2,
            from_rad,
            to_rad: end_rad,
        };
        let heading = end_rad.cos() * self.e2 - end_rad.sin() * self.e1;
        let end = Piece::Line {
            from: at(end_rad),
            to: at(end_rad) + heading * OVERLAP_MM,
        };
        let (path, cupula_at) = from_port(utricle, Canal::Lateral, vec![arc, end])?;
        let duct_end = path.start_of_mm(3) - cupula_at;
        let port_at = path.start_of_mm(1) - cupula_at;
        let bore = Bore::of(anatomy, Canal::Lateral, port_at, duct_end);
        let widen = anatomy.lateral_opening_radius_mm.value - bore.far;
        let flare_from = duct_end - anatomy.lateral_opening_length_mm.value;
        let tube = tube_of(&path, cupula_at, |s| {
            let (r, slope) = bore.at(s);
            let (w, dw) = ramp(s, flare_from, duct_end);
            (r + widen * w, slope + widen * dw)
        });
        let marks = Landmarks {
            port_mm: bore.port_at,
            short_arm_from_mm: bore.port_at.max(-bore.ampulla_length),
            duct_end_mm: duct_end,
            opening_mm: duct_end,
            crus_from_mm: None,
            arc_radius_mm: radius,
            arc_centre_in_reid_mm: centre,
        };
        Ok((tube, marks))
    }
}

/// Puts the utricular side of the ampulla before a duct's pieces: from inside the utricle through the
/// nearest point of its surface, bending into the arc. Returns the path and the cupula's place on it, or an error
/// where the cupula is so deep in the utricle that no way leads to it.
fn from_port(
    utricle: &Utricle,
    canal: Canal,
    mut duct: Vec<Piece>,
) -> Result<(Path, f64), AnatomyError> {
    let (cupula, tangent) = duct[0].start();
    let port = utricle.nearest_surface_point(cupula);
    let outward = -utricle.depth(port).1;
    let chord = cupula - port;
    let to_cupula = chord.normalize();
    // Between straight out of the sac and the arc of a circle: a short arm that bends gently.
    let round = 2.0 * to_cupula.dot(&tangent) * to_cupula - tangent;
    let leaving = (outward * 0.3 + round * 0.7).normalize();
    let handle = 1.3 * chord.norm();
    let mut pieces = vec![
        Piece::Line {
            from: port - leaving * OVERLAP_MM,
            to: port,
        },
        Piece::Bend {
            from: port,
            from_slope: leaving * handle,
            to: cupula,
            to_slope: tangent * handle,
        },
    ];
    pieces.append(&mut duct);
    let path = Path::new(pieces);
    let cupula_at = path.start_of_mm(2);
    if path.length_mm().is_finite() {
        Ok((path, cupula_at))
    } else {
        Err(AnatomyError::NoOpening {
            ear: Ear::Left,
            region: Region::ShortArm(canal),
        })
    }
}

/// Lumen radius of ampulla and slender duct.
struct Bore {
    duct: f64,
    /// Lumen radius of the non-ampullary arm and where the duct changes to it.
    far: f64,
    far_from: f64,
    far_to: f64,
    ampulla: f64,
    ampulla_length: f64,
    port: f64,
    port_at: f64,
}

impl Bore {
    fn of(anatomy: &Anatomy, canal: Canal, port_at: f64, duct_end: f64) -> Bore {
        let c = anatomy.canal(canal);
        let duct = c.duct_radius_mm.value;
        Bore {
            duct,
            far: c.far_arm_radius_mm.as_ref().map_or(duct, |r| r.value),
            far_from: duct_end / 2.0 - FAR_RAMP_MM,
            far_to: duct_end / 2.0 + FAR_RAMP_MM,
            ampulla: c.ampulla_radius_mm.value,
            ampulla_length: c.ampulla_length_mm.value,
            port: anatomy.port_radius_mm.value.min(c.ampulla_radius_mm.value),
            port_at,
        }
    }

    /// Radius and slope, both smooth in the arc length from the cupula.
    fn at(&self, s: f64) -> (f64, f64) {
        let (w, dw, narrow) = if s >= 0.0 {
            let (w, dw) = ramp(s, 0.0, self.ampulla_length);
            (w, dw, self.duct)
        } else {
            let (w, dw) = ramp(-s, 0.0, -self.port_at);
            (w, -dw, self.port)
        };
        let (far, d_far) = ramp(s, self.far_from, self.far_to);
        (
            self.ampulla + (narrow - self.ampulla) * w + (self.far - self.duct) * far,
            (narrow - self.ampulla) * dw + (self.far - self.duct) * d_far,
        )
    }
}

/// Half a cosine from 0 to 1 and its slope.
fn ramp(s: f64, from: f64, to: f64) -> (f64, f64) {
    let x = (s - from) / (to - from);
    if x <= 0.0 {
        (0.0, 0.0)
    } else if x >= 1.0 {
        (1.0, 0.0)
    } else {
        (
            0.5 - 0.5 * (PI * x).cos(),
            0.5 * PI / (to - from) * (PI * x).sin(),
        )
    }
}

fn tube_of(path: &Path, cupula_at: f64, radius: impl Fn(f64) -> (f64, f64)) -> Tube {
    let to = path.length_mm() - cupula_at;
    Tube::new(-cupula_at, to, |s| path.at(s + cupula_at), radius)
}

/// The first angle at which `depth` turns positive, by steps and bisection.
fn first_inside(depth: impl Fn(f64) -> f64, from: f64, to: f64) -> Option<f64> {
    let steps = 200;
    let at = |i: usize| from + (to - from) * i as f64 / f64::from(steps);
    let i = (1..=steps as usize).find(|&i| depth(at(i)) > 0.0)?;
    let (mut outside, mut inside) = (at(i - 1), at(i));
    for _ in 0..60 {
        let middle = 0.5 * (outside + inside);
        if depth(middle) > 0.0 {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    Some(inside)
}
