//! Joins lumens to an ear: what is measured on its canals, and which parts open into each other.

use crate::build::clearance;
use crate::lumen::links::{Link, Mouth, Opens};
use crate::lumen::{CanalAxes, Ducts};
use crate::{AnatomyError, Canal, CanalShape, Cupula, Ear, EarShape, Tube, Vec3};

/// Within this of its wall a part may still shape the union, mm.
const REACH_MM: f64 = 0.15;
/// Outside a lumen that widens steeply the depth grows slower than the distance, by no more than this.
const LEAST_DEPTH_SHARE: f64 = 0.5;

impl EarShape {
    /// The left ear of given lumens, its parts joined; an error if others touch.
    pub(crate) fn joined(
        ducts: Ducts,
        axes: [CanalAxes; 3],
        merge_mm: f64,
        thickness_mm: f64,
    ) -> Result<EarShape, AnatomyError> {
        let canals = Canal::ALL.map(|canal| {
            let axes = axes[canal.index()];
            canal_shape(&ducts, canal, axes, thickness_mm)
        });
        let mut ear = EarShape {
            ear: Ear::Left,
            tubes: ducts.tubes,
            utricle: ducts.utricle,
            canals,
            merge_mm,
            links: [Vec::new(), Vec::new(), Vec::new()],
            mouths: Vec::new(),
        };
        clearance::check(&ear)?;
        for canal in Canal::ALL {
            ear.canals[canal.index()].area_vector_in_reid_mm2 = area_vector(&ear, canal);
        }
        ear.join();
        Ok(ear)
    }

    /// Notes for every interval of every tube which declared neighbours are within reach.
    pub(crate) fn join(&mut self) {
        let links = Canal::ALL.map(|canal| {
            let tube = self.tube(canal);
            (0..tube.intervals())
                .map(|k| {
                    let arc = 0.5 * (tube.node_arc(k) + tube.node_arc(k + 1));
                    self.link_at(canal, arc)
                })
                .collect()
        });
        self.links = links;
        let mut mouths = Vec::new();
        for canal in Canal::ALL {
            let marks = self.canal(canal).landmarks;
            let tube = self.tube(canal);
            let mut add = |arc: f64| {
                let (centre, _, radius) = tube.at(arc);
                mouths.push(Mouth {
                    tube: canal.index(),
                    arc,
                    centre,
                    reach: 2.0 * radius + 0.6,
                });
            };
            add(marks.port_mm);
            if canal != Canal::Posterior {
                add(marks.opening_mm);
            }
        }
        self.mouths = mouths;
    }

    fn link_at(&self, canal: Canal, arc: f64) -> Link {
        let opens = self.opens(canal, arc);
        let marks = &self.canal(canal).landmarks;
        let by_sac = arc < 0.0 || (canal != Canal::Posterior && arc > marks.opening_mm - 1.5);
        let mut link = Link {
            guess: [f64::NAN; 3],
            utricle: false,
            alone: true,
        };
        if opens.nowhere() && !by_sac {
            return link;
        }
        let (p, _, radius) = self.tube(canal).at(arc);
        let near = |depth: f64| depth > -(radius + REACH_MM);
        if !opens.nowhere() {
            // Only by the utricle does the lateral duct open into another.
            let may = |other: Canal| opens.utricle || other != Canal::Lateral;
            let others = Canal::ALL.into_iter().filter(|other| *other != canal);
            for other in others.filter(|other| may(*other)) {
                if !self.comes_near(other, opens, p, radius) {
                    continue;
                }
                let tube = self.tube(other);
                let sample = tube.sample(p, tube.nearest_arc(p));
                if opens.meets(self.opens(other, sample.arc)) && near(sample.depth) {
                    link.guess[other.index()] = sample.arc;
                    link.alone = false;
                }
            }
        }
        if by_sac && near(self.utricle.depth(p).0) {
            link.utricle = true;
            link.alone = false;
        }
        link
    }
}

impl EarShape {
    /// Whether a tube may come within reach of a place where another one of so much radius opens: told from
    /// its nodes alone, so rather too often.
    fn comes_near(&self, canal: Canal, opens: Opens, p: Vec3, radius_mm: f64) -> bool {
        let reach_mm =
            LEAST_DEPTH_SHARE.recip() * (radius_mm + REACH_MM) + self.tube(canal).spacing_mm;
        let zones = self.zones(canal, opens);
        let mut zones = zones.iter().flatten();
        zones.any(|&[from_mm, to_mm]| self.tube(canal).comes_near(p, from_mm, to_mm, reach_mm))
    }
}

/// All but its area vector.
fn canal_shape(ducts: &Ducts, canal: Canal, axes: CanalAxes, thickness_mm: f64) -> CanalShape {
    let (centre_in_reid_mm, to_duct_in_reid, radius_mm) = ducts.tubes[canal.index()].at(0.0);
    CanalShape {
        n_exc_in_reid: axes.n_exc,
        landmarks: ducts.landmarks[canal.index()],
        cupula: Cupula {
            centre_in_reid_mm,
            to_duct_in_reid,
            radius_mm,
            thickness_mm,
            crista_normal_in_reid: axes.crista_normal.unwrap_or(to_duct_in_reid),
            load_axis_in_reid: axes.load_axis,
        },
        area_vector_in_reid_mm2: Vec3::zeros(),
    }
}

/// Half the integral of r × dr over the closed loop, with the loop's start as the origin, so that the way
/// back through the utricle adds nothing but between the posterior duct and the crus.
fn area_vector(ear: &EarShape, canal: Canal) -> Vec3 {
    let marks = &ear.canal(canal).landmarks;
    let tube = ear.tube(canal);
    let origin = tube.at(marks.port_mm).0;
    match canal {
        Canal::Posterior => {
            let anterior = &ear.canal(Canal::Anterior).landmarks;
            let crus = ear.tube(Canal::Anterior);
            let merge = anterior.duct_end_mm + ear.merge_mm;
            let across =
                (tube.at(marks.duct_end_mm).0 - origin).cross(&(crus.at(merge).0 - origin));
            swept(tube, marks.port_mm, marks.duct_end_mm, origin)
                + 0.5 * across
                + swept(crus, merge, anterior.opening_mm, origin)
        }
        Canal::Anterior | Canal::Lateral => swept(tube, marks.port_mm, marks.opening_mm, origin),
    }
}

/// Half the integral of r × dr along a centre-line, by Simpson's rule on places 0.05 mm apart.
fn swept(tube: &Tube, from_mm: f64, to_mm: f64, origin: Vec3) -> Vec3 {
    let n = 2 * ((to_mm - from_mm) / 0.1).ceil().max(1.0) as usize;
    let h = (to_mm - from_mm) / n as f64;
    (0..=n).fold(Vec3::zeros(), |sum, i| {
        let weight = match i {
            0 => 1.0,
            i if i == n => 1.0,
            i if i % 2 == 1 => 4.0,
            _ => 2.0,
        };
        let (p, t, _) = tube.at(from_mm + i as f64 * h);
        sum + (p - origin).cross(&t) * (weight * h / 6.0)
    })
}
