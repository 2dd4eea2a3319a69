//! One signed distance for the whole lumen: tubes and utricle, smoothly united where they open into
//! each other and nowhere else.

use crate::frame::length;
use crate::lumen::tube::TubeSample;
use crate::{Canal, EarShape, Region, Vec3};

/// Rounding of the edge where a tube opens into the utricle or another ampulla, mm.
const ROUND_UTRICLE_MM: f64 = 0.12;
/// Rounding of the crotch between the anterior and the posterior duct, mm.
const ROUND_CRUS_MM: f64 = 0.05;
/// Below this depth a hint is not believed and every part is tried, mm.
pub(crate) const LOST_MM: f64 = -0.05;
pub(crate) const UTRICLE: usize = 3;

/// Where to begin the search for the foot point; keep one per body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hint {
    pub(crate) volume: usize,
    pub(crate) arc_mm: f64,
    /// The point that it is about, and how the arc length changes from there.
    pub(crate) at: Vec3,
    pub(crate) ahead: Vec3,
}

impl Hint {
    fn new(volume: usize, arc_mm: f64) -> Hint {
        Hint {
            volume,
            arc_mm,
            at: Vec3::zeros(),
            ahead: Vec3::zeros(),
        }
    }

    #[inline]
    fn guess_mm(&self, p: Vec3) -> f64 {
        self.arc_mm + (p - self.at).dot(&self.ahead)
    }
}

/// What a body feels of the lumen at a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallSample {
    /// Distance to the wall, mm, positive inside.
    pub depth_mm: f64,
    /// Unit vector away from the wall, Reid axes.
    pub inward: Vec3,
    /// How fast the depth grows along `inward`: 1 but for the rounding of an edge, where it is less.
    pub steepness: f64,
    /// The part the point is in.
    pub region: Region,
    /// Arc length along the tube that the point is in, from its cupula, mm; 0 in the utricle.
    pub arc_mm: f64,
    /// Unit tangent of that tube, away from its cupula; zero in the utricle.
    pub tangent: Vec3,
    /// Lumen radius there, mm; infinite in the utricle.
    pub radius_mm: f64,
    /// Distance from the centre-line, mm; 0 in the utricle.
    pub off_axis_mm: f64,
    /// The point is in one tube and far from every other part.
    pub alone: bool,
    /// How far it is from where `region` changes, mm: along its tube, or by how much it is deeper in
    /// its part than in the next.
    pub to_border_mm: f64,
}

impl WallSample {
    /// The canal whose tube the point is in; the crus belongs to the anterior tube.
    pub fn tube(&self) -> Option<Canal> {
        match self.region {
            Region::Duct(c) | Region::ShortArm(c) => Some(c),
            Region::CommonCrus => Some(Canal::Anterior),
            Region::Utricle => None,
        }
    }
}

/// One part's view of a point.
#[derive(Clone, Copy)]
struct Part {
    depth: f64,
    inward: Vec3,
}

impl EarShape {
    /// The wall seen from `p` (Reid axes, mm); updates the hint.
    #[inline]
    pub fn wall(&self, p: Vec3, hint: &mut Hint) -> WallSample {
        let sample = self.wall_near(p, hint);
        if sample.depth_mm >= LOST_MM {
            return sample;
        }
        let mut fresh = self.find(p);
        let found = self.wall_near(p, &mut fresh);
        if found.depth_mm > sample.depth_mm {
            *hint = fresh;
            return found;
        }
        sample
    }

    /// A hint for a point that is not known to be anywhere yet: the part it is deepest in.
    pub fn find(&self, p: Vec3) -> Hint {
        let mut best = Hint::new(UTRICLE, 0.0);
        let mut depth = self.utricle.depth(p).0;
        for (volume, tube) in self.tubes.iter().enumerate() {
            let arc_mm = tube.nearest_arc(p);
            let d = tube.sample(p, arc_mm).depth;
            if d > depth {
                depth = d;
                best = Hint::new(volume, arc_mm);
            }
        }
        best
    }

    fn wall_near(&self, p: Vec3, hint: &mut Hint) -> WallSample {
        let mut tubes: [Option<TubeSample>; 3] = [None; 3];
        let mut sac: Option<(f64, Vec3)> = None;
        if hint.volume == UTRICLE {
            sac = Some(self.utricle.depth(p));
            for m in &self.mouths {
                if (p - m.centre).norm_squared() < m.reach * m.reach {
                    let s = self.tubes[m.tube].sample(p, m.arc);
                    if tubes[m.tube].is_none_or(|t| t.depth < s.depth) {
                        tubes[m.tube] = Some(s);
                    }
                }
            }
        } else {
            let own = self.tubes[hint.volume].sample(p, hint.guess_mm(p));
            let link = &self.links[hint.volume][self.tubes[hint.volume].interval_of(own.arc)];
            if link.alone {
                return self.inside(hint.volume, &own, p, hint);
            }
            for (other, guess) in link.guess.iter().enumerate() {
                if !guess.is_nan() {
                    tubes[other] = Some(self.tubes[other].sample(p, *guess));
                }
            }
            tubes[hint.volume] = Some(own);
            if link.utricle {
                sac = Some(self.utricle.depth(p));
            }
        }
        self.unite(&tubes, sac, p, hint)
    }

    /// A point that only one tube is near to.
    #[inline]
    fn inside(&self, tube: usize, t: &TubeSample, p: Vec3, hint: &mut Hint) -> WallSample {
        *hint = Hint {
            volume: tube,
            arc_mm: t.arc,
            at: p,
            ahead: t.ahead,
        };
        WallSample {
            depth_mm: t.depth,
            inward: t.inward,
            steepness: 1.0,
            region: self.region_of(Canal::ALL[tube], t.arc),
            arc_mm: t.arc,
            tangent: t.tangent,
            radius_mm: t.radius,
            off_axis_mm: t.off_axis,
            alone: true,
            to_border_mm: self.to_border_mm(Canal::ALL[tube], t.arc),
        }
    }

    /// Unites what the parts say, always in the same order, so that the hint does not matter.
    fn unite(
        &self,
        tubes: &[Option<TubeSample>; 3],
        sac: Option<(f64, Vec3)>,
        p: Vec3,
        hint: &mut Hint,
    ) -> WallSample {
        let mut whole: Option<Part> = None;
        let (mut deepest, mut next) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        let mut at = UTRICLE;
        for (i, tube) in tubes.iter().enumerate() {
            let Some(t) = tube else { continue };
            let crus = i == Canal::Posterior.index() && t.arc > 0.0;
            let round = if crus {
                ROUND_CRUS_MM
            } else {
                ROUND_UTRICLE_MM
            };
            whole = Some(join(
                whole,
                Part {
                    depth: t.depth,
                    inward: t.inward,
                },
                round,
            ));
            next = next.max(t.depth.min(deepest));
            if t.depth > deepest {
                deepest = t.depth;
                at = i;
            }
        }
        if let Some((depth, inward)) = sac {
            whole = Some(join(whole, Part { depth, inward }, ROUND_UTRICLE_MM));
            next = next.max(depth.min(deepest));
            if depth > deepest {
                deepest = depth;
                at = UTRICLE;
            }
        }
        let whole = whole.unwrap_or(Part {
            depth: f64::NEG_INFINITY,
            inward: Vec3::z(),
        });
        // In the rounding of an edge two gradients blend and the depth grows slower than the distance.
        let steepness = length(&whole.inward).max(1e-6);
        let (depth_mm, inward) = (whole.depth, whole.inward / steepness);
        let lead_mm = deepest - next;
        let Some(t) = tubes.get(at).copied().flatten() else {
            *hint = Hint::new(UTRICLE, 0.0);
            return WallSample {
                depth_mm,
                inward,
                steepness,
                region: Region::Utricle,
                arc_mm: 0.0,
                tangent: Vec3::zeros(),
                radius_mm: f64::INFINITY,
                off_axis_mm: 0.0,
                alone: false,
                to_border_mm: lead_mm,
            };
        };
        let inside = self.inside(at, &t, p, hint);
        WallSample {
            depth_mm,
            inward,
            steepness,
            alone: false,
            to_border_mm: inside.to_border_mm.min(lead_mm),
            ..inside
        }
    }
}

/// Smooth maximum of two depths (quadratic): rounds the edge over `round` mm.
fn join(whole: Option<Part>, part: Part, round: f64) -> Part {
    let Some(a) = whole else { return part };
    let h = (round - (a.depth - part.depth).abs()).max(0.0) / round;
    let (upper, lower) = if a.depth >= part.depth {
        (a, part)
    } else {
        (part, a)
    };
    Part {
        depth: upper.depth + h * h * round / 4.0,
        inward: upper.inward * (1.0 - h / 2.0) + lower.inward * (h / 2.0),
    }
}
