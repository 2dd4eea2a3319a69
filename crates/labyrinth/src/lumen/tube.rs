//! A duct as a table of nodes along its centre-line, and where a point is relative to it.

use crate::Vec3;
use crate::frame::{length, mirror_point, unit};

/// Spacing of the nodes, mm. The cubic through them leaves an arc of 2.4 mm radius by less than 1e-7 mm.
const SPACING_MM: f64 = 0.1;

/// A step of the search below this ends it, mm: Newton squares the error at each step, and what the
/// curve bends on the way is in [`Cubic::moved`].
pub(crate) const NEAR_MM: f64 = 3e-3;

/// And after so many steps it ends in any case.
pub(crate) const MOST_STEPS: u32 = 24;

/// Nodes that are looked at together in the search for the nearest.
const STRETCH: usize = 16;

#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    point: Vec3,
    tangent: Vec3,
    radius: f64,
    slope: f64,
}

/// The cubic between two nodes: point and radius, `[power of the arc length from the first node][lane]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece(pub(crate) [[f64; 4]; 4]);

/// A lumen of round cross-section around a curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Tube {
    nodes: Vec<Node>,
    pub(crate) pieces: Vec<Piece>,
    pub(crate) spacing_mm: f64,
    pub(crate) pieces_per_mm: f64,
    /// Arc length of the first node; 0 is at the cupula.
    pub(crate) from_mm: f64,
    /// And of the last.
    pub(crate) to_mm: f64,
}

/// A point seen from a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TubeSample {
    /// Distance to the wall, mm, positive inside, exact to second order near the wall.
    pub(crate) depth: f64,
    /// Unit gradient of the depth: away from the wall.
    pub(crate) inward: Vec3,
    /// Arc length of the foot point, mm.
    pub(crate) arc: f64,
    /// Unit tangent there, toward larger arc length.
    pub(crate) tangent: Vec3,
    /// Lumen radius there, mm.
    pub(crate) radius: f64,
    /// Distance from the centre-line, mm.
    pub(crate) off_axis: f64,
    /// How the arc length changes with the point: the tangent over the stretch of the curve.
    pub(crate) ahead: Vec3,
}

impl Tube {
    /// Samples `curve` (point and unit tangent at an arc length) and `radius` (value and slope).
    pub(crate) fn new(
        from_mm: f64,
        to_mm: f64,
        curve: impl Fn(f64) -> (Vec3, Vec3),
        radius: impl Fn(f64) -> (f64, f64),
    ) -> Tube {
        let intervals = ((to_mm - from_mm) / SPACING_MM).ceil().max(2.0);
        let spacing_mm = (to_mm - from_mm) / intervals;
        let nodes = (0..=intervals as usize)
            .map(|i| {
                let s = from_mm + i as f64 * spacing_mm;
                let (point, tangent) = curve(s);
                let (radius, slope) = radius(s);
                Node {
                    point,
                    tangent,
                    radius,
                    slope,
                }
            })
            .collect();
        Tube::through(nodes, spacing_mm, from_mm)
    }

    fn through(nodes: Vec<Node>, spacing_mm: f64, from_mm: f64) -> Tube {
        let pieces = nodes
            .windows(2)
            .map(|ends| Piece::between(&ends[0], &ends[1], spacing_mm))
            .collect();
        let to_mm = from_mm + spacing_mm * (nodes.len() - 1) as f64;
        Tube {
            nodes,
            pieces,
            spacing_mm,
            pieces_per_mm: 1.0 / spacing_mm,
            from_mm,
            to_mm,
        }
    }

    /// Arc length of the first and the last node, mm.
    pub fn range_mm(&self) -> (f64, f64) {
        (self.from_mm, self.to_mm)
    }

    /// Point, unit tangent and lumen radius of the centre-line at an arc length.
    pub fn at(&self, arc_mm: f64) -> (Vec3, Vec3, f64) {
        let (from, to) = self.range_mm();
        let (k, t_mm) = self.interval(arc_mm.clamp(from, to));
        let c = self.pieces[k].at(t_mm);
        (c.point, unit(c.velocity), c.radius)
    }

    /// Lumen radius at an arc length, mm.
    pub fn radius_mm(&self, arc_mm: f64) -> f64 {
        let (from, to) = self.range_mm();
        let (k, t_mm) = self.interval(arc_mm.clamp(from, to));
        self.pieces[k].radius_mm(t_mm)
    }

    /// Least lumen radius of the nodes between two arc lengths, mm.
    pub fn narrowest_mm(&self, from_mm: f64, to_mm: f64) -> f64 {
        let radii = self.nodes_between(from_mm, to_mm).iter().map(|n| n.radius);
        radii.fold(self.radius_mm(from_mm), f64::min)
    }

    /// The integral of a function of the lumen radius over the arc length, by three places of Gauss on each
    /// piece.
    pub fn integral_of_radius(&self, from_mm: f64, to_mm: f64, f: impl Fn(f64) -> f64) -> f64 {
        let (from, to) = self.range_mm();
        let (from_mm, to_mm) = (from_mm.max(from), to_mm.min(to));
        let (first, last) = (self.interval(from_mm).0, self.interval(to_mm).0);
        let pieces = first..=last;
        pieces
            .map(|k| {
                let start_mm = self.node_arc(k);
                let begin = (from_mm - start_mm).max(0.0);
                let end = (to_mm - start_mm).min(self.spacing_mm);
                let (middle, half) = (0.5 * (begin + end), 0.5 * (end - begin));
                let at = |share: f64| f(self.pieces[k].radius_mm(middle + share * half));
                let outer = 0.6_f64.sqrt();
                half * (8.0 * at(0.0) + 5.0 * (at(-outer) + at(outer))) / 9.0
            })
            .sum()
    }

    /// Whether a node between two arc lengths, or next to them, has its wall within `reach_mm` of a point.
    pub(crate) fn comes_near(&self, p: Vec3, from_mm: f64, to_mm: f64, reach_mm: f64) -> bool {
        let one = self.spacing_mm;
        let nodes = self.nodes_between(from_mm - one, to_mm + one);
        nodes.iter().any(|n| {
            let reach_mm = n.radius + reach_mm;
            (n.point - p).norm_squared() < reach_mm * reach_mm
        })
    }

    fn nodes_between(&self, from_mm: f64, to_mm: f64) -> &[Node] {
        let node = |arc_mm: f64| (arc_mm - self.from_mm) * self.pieces_per_mm;
        let first = node(from_mm).ceil().max(0.0) as usize;
        let end = (node(to_mm).floor() + 1.0).max(0.0) as usize;
        let end = end.min(self.nodes.len());
        &self.nodes[first.min(end)..end]
    }

    /// The same tube in the other ear.
    pub(crate) fn mirrored(&self) -> Tube {
        let mut mirrored = self.clone();
        for node in &mut mirrored.nodes {
            node.point = mirror_point(node.point);
            node.tangent = mirror_point(node.tangent);
        }
        for Piece(powers) in &mut mirrored.pieces {
            for [_, y, _, _] in powers {
                *y = -*y;
            }
        }
        mirrored
    }

    /// Number of the node interval that holds an arc length.
    pub(crate) fn interval_of(&self, arc_mm: f64) -> usize {
        self.interval(arc_mm).0
    }

    /// Number of node intervals.
    pub(crate) fn intervals(&self) -> usize {
        self.nodes.len() - 1
    }

    /// Arc length of a node.
    pub(crate) fn node_arc(&self, node: usize) -> f64 {
        self.from_mm + node as f64 * self.spacing_mm
    }

    /// Arc length of the node nearest to a point.
    pub(crate) fn nearest_arc(&self, p: Vec3) -> f64 {
        // No node of a stretch is nearer than the stretch's middle less the arc between them.
        let reach_mm = (STRETCH / 2 + 1) as f64 * self.spacing_mm;
        let middle = |stretch: &[Node]| length(&(stretch[stretch.len() / 2].point - p));
        let stretches = || self.nodes.chunks(STRETCH);
        let near_mm = stretches().map(middle).fold(f64::INFINITY, f64::min) + reach_mm;
        let mut best = (f64::INFINITY, 0);
        for (k, stretch) in stretches().enumerate() {
            if middle(stretch) > near_mm {
                continue;
            }
            for (i, n) in stretch.iter().enumerate() {
                let d = (n.point - p).norm_squared();
                if d < best.0 {
                    best = (d, k * STRETCH + i);
                }
            }
        }
        self.node_arc(best.1)
    }

    /// Where `p` is, starting the search for the foot point at `guess_mm`.
    #[inline]
    pub(crate) fn sample(&self, p: Vec3, guess_mm: f64) -> TubeSample {
        let (from, to) = self.range_mm();
        let mut s = guess_mm.clamp(from, to);
        let mut steps = 0;
        loop {
            let (k, t_mm) = self.interval(s);
            let c = self.pieces[k].at(t_mm);
            let to_point = p - c.point;
            let along = to_point.dot(&c.velocity);
            let bend = c.velocity.norm_squared() - to_point.dot(&c.acceleration);
            let next = (s + along / bend.max(0.1)).clamp(from, to);
            let step = next - s;
            s = next;
            steps += 1;
            if step.abs() < NEAR_MM || steps == MOST_STEPS {
                let c = c.moved(step);
                return Self::seen_from(c, p - c.point, s, from, to);
            }
        }
    }

    #[inline]
    fn seen_from(c: Cubic, to_point: Vec3, arc: f64, from: f64, to: f64) -> TubeSample {
        let off_axis = length(&to_point);
        let outward = if off_axis > 1e-12 {
            to_point * (1.0 / off_axis)
        } else {
            any_normal(&c.velocity)
        };
        let capped = arc <= from || arc >= to;
        let slope = if capped { 0.0 } else { c.slope };
        let flare = 1.0 / (1.0 + slope * slope).sqrt();
        let raw = (c.radius - off_axis) * flare;
        let stretch = (1.0 - to_point.dot(&c.acceleration)).max(0.25);
        let (depth, inward) = if capped || slope == 0.0 {
            (raw, -outward)
        } else {
            // d = (R − ρ) / √(1 + R'²): its gradient along and across the centre-line.
            let along =
                slope * flare - (c.radius - off_axis) * slope * c.curve * (flare * flare * flare);
            let gradient = c.velocity * (along / stretch) - outward * flare;
            let size = length(&gradient);
            let scale = 1.0 / size;
            (raw * scale, gradient * scale)
        };
        TubeSample {
            depth,
            inward,
            arc,
            tangent: c.velocity,
            radius: c.radius,
            off_axis,
            ahead: c.velocity * (1.0 / stretch),
        }
    }

    /// Number of the piece that holds an arc length, and the arc length from its first node.
    #[inline]
    fn interval(&self, s: f64) -> (usize, f64) {
        let t_mm = s - self.from_mm;
        let k = ((t_mm * self.pieces_per_mm) as usize).min(self.pieces.len() - 1);
        (k, t_mm - k as f64 * self.spacing_mm)
    }
}

impl Piece {
    /// Hermite's cubic, as powers of the arc length.
    fn between(a: &Node, b: &Node, h: f64) -> Piece {
        let lanes = |point: &Vec3, radius: f64| [point.x, point.y, point.z, radius];
        let (pa, pb) = (lanes(&a.point, a.radius), lanes(&b.point, b.radius));
        let (va, vb) = (lanes(&a.tangent, a.slope), lanes(&b.tangent, b.slope));
        let by_lane = |f: &dyn Fn(usize) -> f64| std::array::from_fn(f);
        Piece([
            pa,
            va,
            by_lane(&|i| (3.0 * (pb[i] - pa[i]) / h - 2.0 * va[i] - vb[i]) / h),
            by_lane(&|i| (2.0 * (pa[i] - pb[i]) / h + va[i] + vb[i]) / (h * h)),
        ])
    }

    #[inline]
    fn radius_mm(&self, t: f64) -> f64 {
        let [c0, c1, c2, c3] = &self.0;
        c0[3] + t * (c1[3] + t * (c2[3] + t * c3[3]))
    }

    #[inline]
    fn at(&self, t: f64) -> Cubic {
        let [c0, c1, c2, c3] = &self.0;
        let mut value = [0.0; 4];
        let mut first = [0.0; 4];
        let mut second = [0.0; 4];
        for i in 0..4 {
            let bent = c2[i] + t * c3[i];
            value[i] = c0[i] + t * (c1[i] + t * bent);
            first[i] = c1[i] + t * (bent + bent + t * c3[i]);
            second[i] = 2.0 * (bent + 2.0 * t * c3[i]);
        }
        Cubic {
            point: Vec3::new(value[0], value[1], value[2]),
            velocity: Vec3::new(first[0], first[1], first[2]),
            acceleration: Vec3::new(second[0], second[1], second[2]),
            radius: value[3],
            slope: first[3],
            curve: second[3],
            third: std::array::from_fn(|i| 6.0 * c3[i]),
        }
    }
}

/// Centre-line and radius with two derivatives by arc length.
#[derive(Clone, Copy)]
struct Cubic {
    point: Vec3,
    velocity: Vec3,
    acceleration: Vec3,
    radius: f64,
    slope: f64,
    curve: f64,
    /// Third derivatives of point and radius.
    third: [f64; 4],
}

impl Cubic {
    /// Moved along the curve by a small step, mm.
    #[inline]
    fn moved(mut self, step: f64) -> Cubic {
        let [x, y, z, radius] = self.third;
        let third = Vec3::new(x, y, z);
        let (half, sixth) = (step / 2.0, step * step / 6.0);
        self.point += (self.velocity + self.acceleration * half + third * sixth) * step;
        self.velocity += (self.acceleration + third * half) * step;
        self.acceleration += third * step;
        self.radius += (self.slope + self.curve * half + radius * sixth) * step;
        self.slope += (self.curve + radius * half) * step;
        self.curve += radius * step;
        self
    }
}

pub(crate) fn any_normal(tangent: &Vec3) -> Vec3 {
    let other = if tangent.x.abs() < 0.6 {
        Vec3::x()
    } else {
        Vec3::z()
    };
    tangent.cross(&other).normalize()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use proptest::prelude::*;

    use super::*;
    use crate::{Anatomy, Canal, Ear, Labyrinth};

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        /// Against a look at every node.
        #[test]
        fn the_nearest_node_is_found(canal in 0..3_usize, share in -0.1..1.1_f64, off in prop::array::uniform3(-3.0..3.0_f64)) {
            static EARS: std::sync::LazyLock<Labyrinth> = std::sync::LazyLock::new(|| {
                Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap()
            });
            let tube = EARS.ear(Ear::Left).tube(Canal::ALL[canal]);
            let (from, to) = tube.range_mm();
            let p = tube.at(from + share * (to - from)).0 + Vec3::from(off);
            let distances = tube.nodes.iter().map(|n| (n.point - p).norm_squared());
            let (nearest, _) = distances
                .enumerate()
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap();
            let off_mm = tube.nearest_arc(p) - tube.node_arc(nearest);
            prop_assert!(off_mm.abs() < 1e-12, "{off_mm} mm");
        }
    }
}
