//! A duct as a table of nodes along its centre-line, and where a point is relative to it.

use crate::Vec3;
use crate::frame::mirror_point;

/// Spacing of the nodes, mm. The cubic through them leaves an arc of 2.4 mm radius by less than 1e-7 mm.
const SPACING_MM: f64 = 0.1;

#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    point: Vec3,
    tangent: Vec3,
    radius: f64,
    slope: f64,
}

/// A lumen of round cross-section around a curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Tube {
    nodes: Vec<Node>,
    spacing_mm: f64,
    /// Arc length of the first node; 0 is at the cupula.
    from_mm: f64,
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
                Node { point, tangent, radius, slope }
            })
            .collect();
        Tube { nodes, spacing_mm, from_mm }
    }

    /// Arc length of the first and the last node, mm.
    pub fn range_mm(&self) -> (f64, f64) {
        (self.from_mm, self.from_mm + self.spacing_mm * (self.nodes.len() - 1) as f64)
    }

    /// Point, unit tangent and lumen radius of the centre-line at an arc length.
    pub fn at(&self, arc_mm: f64) -> (Vec3, Vec3, f64) {
        let (from, to) = self.range_mm();
        let (k, u) = self.interval(arc_mm.clamp(from, to));
        let c = self.cubic(k, u);
        (c.point, c.velocity.normalize(), c.radius)
    }

    /// The same tube in the other ear.
    pub(crate) fn mirrored(&self) -> Tube {
        let nodes = self
            .nodes
            .iter()
            .map(|n| Node { point: mirror_point(n.point), tangent: mirror_point(n.tangent), ..*n })
            .collect();
        Tube { nodes, ..*self }
    }

    /// The same tube moved.
    pub(crate) fn shifted(&self, by: Vec3) -> Tube {
        let nodes = self.nodes.iter().map(|n| Node { point: n.point + by, ..*n }).collect();
        Tube { nodes, ..*self }
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
        let mut best = (f64::INFINITY, 0);
        for (i, n) in self.nodes.iter().enumerate() {
            let d = (n.point - p).norm_squared();
            if d < best.0 {
                best = (d, i);
            }
        }
        self.node_arc(best.1)
    }

    /// Where `p` is, starting the search for the foot point at `guess_mm`.
    pub(crate) fn sample(&self, p: Vec3, guess_mm: f64) -> TubeSample {
        let (from, to) = self.range_mm();
        let mut s = guess_mm.clamp(from, to);
        let mut steps = 0;
        let (c, to_point) = loop {
            let (k, u) = self.interval(s);
            let c = self.cubic(k, u);
            let to_point = p - c.point;
            let along = to_point.dot(&c.velocity);
            let bend = c.velocity.norm_squared() - to_point.dot(&c.acceleration);
            let next = (s + along / bend.max(0.1)).clamp(from, to);
            steps += 1;
            // Newton squares the error at each step: 1e-4 mm now is about 1e-9 mm after the last.
            if (next - s).abs() < 1e-4 || steps == 24 {
                let step = next - s;
                s = next;
                break (c.moved(step), to_point - c.velocity * step);
            }
            s = next;
        };
        self.seen_from(c, to_point, s, from, to)
    }

    fn seen_from(&self, c: Cubic, to_point: Vec3, arc: f64, from: f64, to: f64) -> TubeSample {
        let off_axis = to_point.norm();
        let outward = if off_axis > 1e-12 { to_point / off_axis } else { any_normal(&c.velocity) };
        let capped = arc <= from || arc >= to;
        let slope = if capped { 0.0 } else { c.slope };
        let flare = 1.0 / (1.0 + slope * slope).sqrt();
        let raw = (c.radius - off_axis) * flare;
        let (depth, inward) = if capped || slope == 0.0 {
            (raw, -outward)
        } else {
            // d = (R − ρ) / √(1 + R'²): its gradient along and across the centre-line.
            let stretch = (1.0 - to_point.dot(&c.acceleration)).max(0.25);
            let along = slope * flare - (c.radius - off_axis) * slope * c.curve * flare.powi(3);
            let gradient = c.velocity * (along / stretch) - outward * flare;
            let size = gradient.norm();
            (raw / size, gradient / size)
        };
        TubeSample { depth, inward, arc, tangent: c.velocity, radius: c.radius, off_axis }
    }

    #[inline]
    fn interval(&self, s: f64) -> (usize, f64) {
        let x = (s - self.from_mm) / self.spacing_mm;
        let k = (x as usize).min(self.nodes.len() - 2);
        (k, x - k as f64)
    }

    #[inline]
    fn cubic(&self, k: usize, u: f64) -> Cubic {
        let (a, b) = (&self.nodes[k], &self.nodes[k + 1]);
        let h = self.spacing_mm;
        let (u2, u3) = (u * u, u * u * u);
        let (h00, h10, h01, h11) =
            (2.0 * u3 - 3.0 * u2 + 1.0, (u3 - 2.0 * u2 + u) * h, 3.0 * u2 - 2.0 * u3, (u3 - u2) * h);
        let (d0, d10, d11) =
            ((6.0 * u2 - 6.0 * u) / h, 3.0 * u2 - 4.0 * u + 1.0, 3.0 * u2 - 2.0 * u);
        let (e0, e10, e11) =
            ((12.0 * u - 6.0) / (h * h), (6.0 * u - 4.0) / h, (6.0 * u - 2.0) / h);
        let chord = a.point - b.point;
        Cubic {
            point: a.point * h00 + a.tangent * h10 + b.point * h01 + b.tangent * h11,
            velocity: chord * d0 + a.tangent * d10 + b.tangent * d11,
            acceleration: chord * e0 + a.tangent * e10 + b.tangent * e11,
            radius: a.radius * h00 + a.slope * h10 + b.radius * h01 + b.slope * h11,
            slope: (a.radius - b.radius) * d0 + a.slope * d10 + b.slope * d11,
            curve: (a.radius - b.radius) * e0 + a.slope * e10 + b.slope * e11,
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
}

impl Cubic {
    /// A first-order move along the curve by a tiny step, mm.
    #[inline]
    fn moved(mut self, step: f64) -> Cubic {
        self.point += self.velocity * step;
        self.velocity += self.acceleration * step;
        self.radius += self.slope * step;
        self.slope += self.curve * step;
        self
    }
}

fn any_normal(tangent: &Vec3) -> Vec3 {
    let other = if tangent.x.abs() < 0.6 { Vec3::x() } else { Vec3::z() };
    tangent.cross(&other).normalize()
}
