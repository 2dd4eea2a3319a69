//! Joins lumens to an ear: what is measured on its canals, and which parts open into each other.

use crate::build::clearance;
use crate::lumen::links::{Link, Mouth};
use crate::lumen::{CanalAxes, Ducts};
use crate::{AnatomyError, Canal, CanalShape, Cupula, Ear, EarShape, Tube, Vec3};

/// Within this of its wall a part may still shape the union, mm.
const REACH_MM: f64 = 0.15;

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
            canal_shape(&ducts, canal, axes, merge_mm, thickness_mm)
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
        ear.join();
        clearance::check(&ear)?;
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
        let (p, _, radius) = self.tube(canal).at(arc);
        let near = |depth: f64| depth > -(radius + REACH_MM);
        let guess = Canal::ALL.map(|other| {
            let tube = self.tube(other);
            let guess = tube.nearest_arc(p);
            let sample = tube.sample(p, guess);
            let open = self.neighbours(canal, arc, other, sample.arc);
            if other != canal && open && near(sample.depth) {
                sample.arc
            } else {
                f64::NAN
            }
        });
        let marks = &self.canal(canal).landmarks;
        let opens = arc < 0.0 || (canal != Canal::Posterior && arc > marks.opening_mm - 1.5);
        let utricle = opens && near(self.utricle.depth(p).0);
        Link {
            guess,
            utricle,
            alone: !utricle && guess.iter().all(|g| g.is_nan()),
        }
    }
}

fn canal_shape(
    ducts: &Ducts,
    canal: Canal,
    axes: CanalAxes,
    merge_mm: f64,
    thickness_mm: f64,
) -> CanalShape {
    let (centre_in_reid_mm, to_duct_in_reid, radius_mm) = ducts.tubes[canal.index()].at(0.0);
    CanalShape {
        n_exc_in_reid: axes.n_exc_in_reid,
        landmarks: ducts.landmarks[canal.index()],
        cupula: Cupula {
            centre_in_reid_mm,
            to_duct_in_reid,
            radius_mm,
            thickness_mm,
            load_axis_in_reid: axes.load_axis_in_reid,
        },
        area_vector_in_reid_mm2: area_vector(ducts, merge_mm, canal),
    }
}

/// Half the sum of r × dr over the closed loop, with the loop's start as the origin.
fn area_vector(ducts: &Ducts, merge_mm: f64, canal: Canal) -> Vec3 {
    let marks = &ducts.landmarks[canal.index()];
    let tube = &ducts.tubes[canal.index()];
    let mut loop_points = Vec::new();
    let mut follow = |tube: &Tube, from: f64, to: f64| {
        let n = ((to - from) / 0.01).ceil() as usize;
        for i in 0..=n {
            loop_points.push(tube.at(from + (to - from) * i as f64 / n as f64).0);
        }
    };
    match canal {
        Canal::Posterior => {
            follow(tube, marks.port_mm, marks.duct_end_mm);
            let anterior = &ducts.landmarks[0];
            let merge = anterior.duct_end_mm + merge_mm;
            follow(&ducts.tubes[0], merge, anterior.opening_mm);
        }
        Canal::Anterior | Canal::Lateral => follow(tube, marks.port_mm, marks.opening_mm),
    }
    let origin = loop_points[0];
    loop_points.windows(2).fold(Vec3::zeros(), |sum, w| {
        sum + 0.5 * (w[0] - origin).cross(&(w[1] - origin))
    })
}
