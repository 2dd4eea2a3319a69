//! Where four points are relative to four tubes: [`Tube::sample`] in lanes.

use wide::f64x4;

use crate::Tube;
use crate::lumen::lanes::whole;
use crate::lumen::tube::{MOST_STEPS, NEAR_MM, Piece, any_normal};
use crate::lumen::vec3x4::Vec3x4;

/// [`crate::lumen::tube::TubeSample`] of four points, `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TubeSampleLanes {
    pub(crate) depth: f64x4,
    pub(crate) inward: Vec3x4,
    pub(crate) arc: f64x4,
    pub(crate) tangent: Vec3x4,
    pub(crate) radius: f64x4,
    pub(crate) off_axis: f64x4,
    pub(crate) ahead: Vec3x4,
}

/// Four tubes, `[lane]`.
#[derive(Clone, Copy)]
pub(crate) struct TubeLanes<'a> {
    pub(crate) tubes: [&'a Tube; 4],
    pub(crate) numbers: TubeNumbers,
}

/// Their own numbers, `[lane]`.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct TubeNumbers {
    from_mm: f64x4,
    to_mm: f64x4,
    spacing_mm: f64x4,
    pieces_per_mm: f64x4,
    /// Number of the last piece.
    last: f64x4,
}

impl<'a> TubeLanes<'a> {
    /// With the tubes' own numbers.
    #[inline]
    pub(crate) fn new(tubes: [&'a Tube; 4]) -> TubeLanes<'a> {
        let each = |number: fn(&Tube) -> f64| f64x4::new(tubes.map(number));
        let numbers = TubeNumbers {
            from_mm: each(|t| t.from_mm),
            to_mm: each(|t| t.to_mm),
            spacing_mm: each(|t| t.spacing_mm),
            pieces_per_mm: each(|t| t.pieces_per_mm),
            last: each(|t| (t.pieces.len() - 1) as f64),
        };
        TubeLanes { tubes, numbers }
    }

    /// Twin of [`Tube::sample`]; what comes out of lanes that are not `asked` means nothing.
    ///
    /// A lane that has come near enough stays where it is, so that what is computed for it again while
    /// others go on is the same again.
    #[inline]
    pub(crate) fn sample(&self, p: &Vec3x4, guess_mm: f64x4, asked: f64x4) -> TubeSampleLanes {
        let (from, to) = (self.numbers.from_mm, self.numbers.to_mm);
        let mut s = guess_mm.fast_max(from).fast_min(to);
        let mut steps = 0;
        loop {
            let (k, t_mm) = self.interval(s);
            let pieces = self.pieces(k);
            let c = Curve::at(pieces, t_mm);
            let to_point = *p - c.point;
            let along = to_point.dot(&c.velocity);
            let bend = c.velocity.norm_squared() - to_point.dot(&c.acceleration);
            let next = s + along / bend.fast_max(f64x4::splat(0.1));
            let next = next.fast_max(from).fast_min(to);
            let step = next - s;
            steps += 1;
            let goes_on = asked & step.abs().simd_ge(NEAR_MM);
            if steps == MOST_STEPS || !goes_on.any() {
                let bore = Bore::at(pieces, t_mm).moved(step);
                let c = c.moved(step);
                return self.seen_from(&c, &bore, &(*p - c.point), next);
            }
            s = goes_on.select(next, s);
        }
    }

    /// Twin of [`Tube::seen_from`].
    #[inline]
    fn seen_from(&self, c: &Curve, bore: &Bore, to_point: &Vec3x4, arc: f64x4) -> TubeSampleLanes {
        let one = f64x4::ONE;
        let off_axis = to_point.norm();
        let on_axis = off_axis.simd_le(1e-12);
        // Outward, not yet of length 1, and its length.
        let (mut outward, mut length) = (*to_point, off_axis);
        if on_axis.any() {
            outward = Vec3x4::select(on_axis, any_normals(&c.velocity), outward);
            length = on_axis.select(one, length);
        }
        let capped = arc.simd_le(self.numbers.from_mm) | arc.simd_ge(self.numbers.to_mm);
        let slope = bore.slope & !capped;
        let room = bore.radius - off_axis;
        let stretch = (one - to_point.dot(&c.acceleration)).fast_max(f64x4::splat(0.25));
        // The scalar gradient over the flare 1 / √(1 + R'²), which is in the depth too and so drops out,
        // and times the length, so that nothing is divided by it.
        let flat = one + slope * slope;
        let inverse = one / (flat * stretch);
        let ahead = c.velocity * (inverse * flat);
        let along = slope * (one - room * bore.curve * (inverse * stretch));
        let gradient = ahead * (along * length) - outward;
        let unit = one / gradient.norm();
        TubeSampleLanes {
            depth: room * (length * unit),
            inward: gradient * unit,
            arc,
            tangent: c.velocity,
            radius: bore.radius,
            off_axis,
            ahead,
        }
    }

    /// Twin of [`Tube::interval`].
    #[inline]
    fn interval(&self, s: f64x4) -> ([usize; 4], f64x4) {
        let n = &self.numbers;
        let t_mm = s - n.from_mm;
        let (k, number) = whole((t_mm * n.pieces_per_mm).fast_min(n.last));
        (k, t_mm - number * n.spacing_mm)
    }

    /// Numbers of the node intervals that hold these arc lengths, within the tubes' ranges.
    #[inline]
    pub(crate) fn intervals_of(&self, arc_mm: f64x4) -> [usize; 4] {
        self.interval(arc_mm).0
    }

    #[inline]
    fn pieces(&self, k: [usize; 4]) -> [&'a Piece; 4] {
        let [a, b, c, d] = self.tubes;
        [
            &a.pieces[k[0]],
            &b.pieces[k[1]],
            &c.pieces[k[2]],
            &d.pieces[k[3]],
        ]
    }
}

/// One power of one coordinate of four pieces.
#[inline]
fn gather(pieces: [&Piece; 4], power: usize, coordinate: usize) -> f64x4 {
    f64x4::new(pieces.map(|piece| piece.0[power][coordinate]))
}

/// A cubic with two derivatives: twin of [`Piece::at`], one coordinate of four pieces.
#[inline]
fn cubic(pieces: [&Piece; 4], coordinate: usize, t: f64x4) -> [f64x4; 3] {
    let [c0, c1, c2, c3] = [0, 1, 2, 3].map(|power| gather(pieces, power, coordinate));
    let t3 = t * c3;
    let bent = c2 + t3;
    [
        c0 + t * (c1 + t * bent),
        c1 + t * (bent + bent + t3),
        2.0 * (bent + 2.0 * t3),
    ]
}

/// Centre-lines with their derivatives by arc length: the first three lanes of the scalar `Cubic`.
#[derive(Clone, Copy)]
struct Curve<'a> {
    point: Vec3x4,
    velocity: Vec3x4,
    acceleration: Vec3x4,
    pieces: [&'a Piece; 4],
}

impl<'a> Curve<'a> {
    #[inline]
    fn at(pieces: [&'a Piece; 4], t: f64x4) -> Curve<'a> {
        let [x, y, z] = [0, 1, 2].map(|coordinate| cubic(pieces, coordinate, t));
        Curve {
            point: Vec3x4::new(x[0], y[0], z[0]),
            velocity: Vec3x4::new(x[1], y[1], z[1]),
            acceleration: Vec3x4::new(x[2], y[2], z[2]),
            pieces,
        }
    }

    /// Twin of `Cubic::moved`.
    #[inline]
    fn moved(mut self, step: f64x4) -> Curve<'a> {
        let [x, y, z] = [0, 1, 2].map(|coordinate| 6.0 * gather(self.pieces, 3, coordinate));
        let third = Vec3x4::new(x, y, z);
        let (half, sixth) = (step * 0.5, step * step * (1.0 / 6.0));
        self.point += (self.velocity + self.acceleration * half + third * sixth) * step;
        self.velocity += (self.acceleration + third * half) * step;
        self.acceleration += third * step;
        self
    }
}

/// Lumen radii with their derivatives by arc length: the last lane of the scalar `Cubic`.
#[derive(Clone, Copy)]
struct Bore {
    radius: f64x4,
    slope: f64x4,
    curve: f64x4,
    third: f64x4,
}

impl Bore {
    #[inline]
    fn at(pieces: [&Piece; 4], t: f64x4) -> Bore {
        let [radius, slope, curve] = cubic(pieces, 3, t);
        Bore {
            radius,
            slope,
            curve,
            third: 6.0 * gather(pieces, 3, 3),
        }
    }

    /// Twin of `Cubic::moved`.
    #[inline]
    fn moved(mut self, step: f64x4) -> Bore {
        let (half, sixth) = (step * 0.5, step * step * (1.0 / 6.0));
        self.radius += (self.slope + self.curve * half + self.third * sixth) * step;
        self.slope += (self.curve + self.third * half) * step;
        self.curve += self.third * step;
        self
    }
}

#[cold]
fn any_normals(tangents: &Vec3x4) -> Vec3x4 {
    Vec3x4::from_lanes([0, 1, 2, 3].map(|lane| any_normal(&tangents.lane(lane))))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use std::sync::LazyLock;

    use proptest::array::uniform4;
    use proptest::prelude::*;

    use super::*;
    use crate::{Anatomy, Labyrinth, Vec3, mask_of};

    static TUBES: LazyLock<Vec<Tube>> = LazyLock::new(|| {
        ["mean-adult", "narrow-ducts", "short-crus"]
            .iter()
            .map(|name| Labyrinth::build(&Anatomy::named(name).unwrap().unwrap()).unwrap())
            .flat_map(|labyrinth| labyrinth.ears)
            .flat_map(|ear| ear.tubes)
            .collect()
    });

    fn close(ours: f64, scalar: f64) -> bool {
        (ours - scalar).abs() <= 1e-12 * scalar.abs().max(1.0)
    }

    fn close_vec(ours: Vec3, scalar: Vec3) -> bool {
        (0..3).all(|i| close(ours[i], scalar[i]))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// The scalar search is the source: anywhere in a tube, at its ends and up to a third of its
        /// radius outside, from guesses up to 0.6 mm off.
        #[test]
        fn lanes_sample_as_the_scalar_search(
            places in uniform4((0..18_usize, -0.02..1.02_f64, 0.0..1.3_f64, 0.0..6.3_f64, -0.6..0.6_f64)),
            exact in 0..20_u32,
        ) {
            let tubes = places.map(|place| &TUBES[place.0]);
            let mut points = [Vec3::zeros(); 4];
            let mut guesses = [0.0; 4];
            for (lane, (_, share, off, angle, wrong)) in places.into_iter().enumerate() {
                let (from, to) = tubes[lane].range_mm();
                let arc = from + share * (to - from);
                let (point, tangent, radius) = tubes[lane].at(arc);
                let side = any_normal(&tangent);
                let side = side * angle.cos() + tangent.cross(&side) * angle.sin();
                // Now and then exactly on the centre-line.
                let off = if exact == 0 { 0.0 } else { off };
                points[lane] = point + side * (off * radius);
                guesses[lane] = arc + if exact == 0 { 0.0 } else { wrong };
            }
            let lanes = TubeLanes::new(tubes);
            let all = mask_of([true; 4]);
            let ours = lanes.sample(&Vec3x4::from_lanes(points), f64x4::new(guesses), all);
            for lane in 0..4 {
                let scalar = tubes[lane].sample(points[lane], guesses[lane]);
                let at = |v: &f64x4| v.as_array()[lane];
                prop_assert!(close(at(&ours.depth), scalar.depth), "{ours:?} {scalar:?}");
                prop_assert!(close(at(&ours.arc), scalar.arc), "{ours:?} {scalar:?}");
                prop_assert!(close(at(&ours.radius), scalar.radius), "{ours:?} {scalar:?}");
                prop_assert!(close(at(&ours.off_axis), scalar.off_axis), "{ours:?} {scalar:?}");
                prop_assert!(close_vec(ours.tangent.lane(lane), scalar.tangent), "{ours:?} {scalar:?}");
                prop_assert!(close_vec(ours.ahead.lane(lane), scalar.ahead), "{ours:?} {scalar:?}");
                // Near the axis a foot point that is 1e-13 mm off turns the direction by that over the
                // distance, and on it any direction is right.
                let turn = (ours.inward.lane(lane) - scalar.inward).norm();
                prop_assert!(turn < 2e-12 || turn * scalar.off_axis < 1e-13, "{ours:?} {scalar:?}");
                prop_assert!(ours.inward.lane(lane).norm().is_finite());
            }
        }
    }
}
