//! The wall as four bodies see it at once, each in its own ear.
//!
//! Most bodies are in one tube and far from every other part; those are answered together. The others
//! are answered one by one by [`EarShape::wall`], so that there is one law of how parts unite.
//!
//! Looking up whether a body is alone, and where, takes longer than it should for what is nearly always
//! as before. So a lane remembers its [`Home`], a stretch of its tube along which the answer is the same.

use wide::f64x4;

use crate::lumen::tube_lanes::{TubeLanes, TubeNumbers, TubeSampleLanes};
use crate::lumen::vec3x4::Vec3x4;
use crate::lumen::wall::{LOST_MM, UTRICLE};
use crate::{Canal, EarShape, Hint, Region, WallSample, mask_of};

/// A home goes at most so many intervals either way from where it was looked up.
const HOME_INTERVALS: usize = 40;
/// And ends so far before the node where it would, mm: no rounding takes an arc length in it out of it.
const HOME_MARGIN_MM: f64 = 1e-9;

/// A [`Hint`] for each of four bodies; a lane stays with the ear that it was first used with until
/// [`HintLanes::set_lane`] names another place.
#[derive(Clone, Copy, Debug)]
pub struct HintLanes {
    volume: [usize; 4],
    arc_mm: f64x4,
    at: Vec3x4,
    ahead: Vec3x4,
    home: Home,
}

/// Between these arc lengths of its tube a body is alone and in one region, `[lane]`; nowhere if the first
/// is above the second.
#[derive(Clone, Copy, Debug)]
struct Home {
    from_mm: f64x4,
    to_mm: f64x4,
    region: [Region; 4],
    /// Numbers of the tubes, once every lane has a home.
    tubes: TubeNumbers,
    everyone: bool,
}

impl Home {
    #[inline]
    fn none() -> Home {
        Home {
            from_mm: f64x4::splat(f64::INFINITY),
            to_mm: f64x4::splat(f64::NEG_INFINITY),
            region: [Region::Utricle; 4],
            tubes: TubeNumbers::default(),
            everyone: false,
        }
    }

    #[inline]
    fn holds(&self, arc_mm: f64x4) -> f64x4 {
        arc_mm.simd_ge(self.from_mm) & arc_mm.simd_le(self.to_mm)
    }

    #[inline]
    fn leave(&mut self, lane: usize) {
        self.from_mm.as_mut_array()[lane] = f64::INFINITY;
        self.to_mm.as_mut_array()[lane] = f64::NEG_INFINITY;
        self.everyone = false;
    }

    /// Looks up the home of a body that is alone in interval `k` of a tube.
    #[cold]
    fn settle(&mut self, lane: usize, ear: &EarShape, tube: usize, k: usize, region: Region) {
        let (line, links) = (&ear.tubes[tube], &ear.links[tube]);
        let same = |k: usize| {
            let at = |node: usize| ear.region_of(Canal::ALL[tube], line.node_arc(node));
            links[k].alone && at(k) == region && at(k + 1) == region
        };
        if !same(k) {
            self.leave(lane);
            return;
        }
        let (mut first, mut last) = (k, k);
        while first > 0 && k - first < HOME_INTERVALS && same(first - 1) {
            first -= 1;
        }
        while last + 1 < links.len() && last - k < HOME_INTERVALS && same(last + 1) {
            last += 1;
        }
        self.from_mm.as_mut_array()[lane] = line.node_arc(first) + HOME_MARGIN_MM;
        self.to_mm.as_mut_array()[lane] = line.node_arc(last + 1) - HOME_MARGIN_MM;
        self.region[lane] = region;
    }
}

impl HintLanes {
    /// One hint per lane.
    #[inline]
    pub fn from_lanes(hints: [Hint; 4]) -> HintLanes {
        HintLanes {
            volume: hints.map(|h| h.volume),
            arc_mm: f64x4::new(hints.map(|h| h.arc_mm)),
            at: Vec3x4::from_lanes(hints.map(|h| h.at)),
            ahead: Vec3x4::from_lanes(hints.map(|h| h.ahead)),
            home: Home::none(),
        }
    }

    /// The hint of one lane, 0 to 3.
    #[inline]
    pub fn lane(&self, lane: usize) -> Hint {
        Hint {
            volume: self.volume[lane],
            arc_mm: self.arc_mm.as_array()[lane],
            at: self.at.lane(lane),
            ahead: self.ahead.lane(lane),
        }
    }

    /// Puts a hint into one lane.
    #[inline]
    pub fn set_lane(&mut self, lane: usize, hint: Hint) {
        self.volume[lane] = hint.volume;
        self.arc_mm.as_mut_array()[lane] = hint.arc_mm;
        self.at.set_lane(lane, hint.at);
        self.ahead.set_lane(lane, hint.ahead);
        self.home.leave(lane);
    }

    /// Twin of `Hint::guess_mm`.
    #[inline]
    fn guess_mm(&self, p: &Vec3x4) -> f64x4 {
        self.arc_mm + (*p - self.at).dot(&self.ahead)
    }
}

/// What each of four bodies feels of the lumen: [`WallSample`] in lanes, with its units and axes.
#[derive(Clone, Copy, Debug)]
pub struct WallLanes {
    /// Distance to the wall, mm, positive inside, `[lane]`.
    pub depth_mm: f64x4,
    /// Unit vectors away from the wall, Reid axes.
    pub inward: Vec3x4,
    /// How fast the depth grows along `inward`, `[lane]`.
    pub steepness: f64x4,
    /// The parts the points are in, `[lane]`.
    pub region: [Region; 4],
    /// Arc length along the tube that the point is in, from its cupula, mm; 0 in the utricle, `[lane]`.
    pub arc_mm: f64x4,
    /// Unit tangents of the tubes, away from their cupulae; zero in the utricle.
    pub tangent: Vec3x4,
    /// Lumen radius there, mm; infinite in the utricle, `[lane]`.
    pub radius_mm: f64x4,
    /// Distance from the centre-line, mm; 0 in the utricle, `[lane]`.
    pub off_axis_mm: f64x4,
    /// The point is in one tube and far from every other part, `[lane]`.
    pub alone: [bool; 4],
}

impl WallLanes {
    /// One sample per lane.
    #[inline]
    pub fn from_lanes(walls: [WallSample; 4]) -> WallLanes {
        WallLanes {
            depth_mm: f64x4::new(walls.map(|w| w.depth_mm)),
            inward: Vec3x4::from_lanes(walls.map(|w| w.inward)),
            steepness: f64x4::new(walls.map(|w| w.steepness)),
            region: walls.map(|w| w.region),
            arc_mm: f64x4::new(walls.map(|w| w.arc_mm)),
            tangent: Vec3x4::from_lanes(walls.map(|w| w.tangent)),
            radius_mm: f64x4::new(walls.map(|w| w.radius_mm)),
            off_axis_mm: f64x4::new(walls.map(|w| w.off_axis_mm)),
            alone: walls.map(|w| w.alone),
        }
    }

    /// The sample of one lane, 0 to 3, but for its distance to a border, which lanes do not keep: infinite.
    #[inline]
    pub fn lane(&self, lane: usize) -> WallSample {
        let at = |v: &f64x4| v.as_array()[lane];
        WallSample {
            depth_mm: at(&self.depth_mm),
            inward: self.inward.lane(lane),
            steepness: at(&self.steepness),
            region: self.region[lane],
            arc_mm: at(&self.arc_mm),
            tangent: self.tangent.lane(lane),
            radius_mm: at(&self.radius_mm),
            off_axis_mm: at(&self.off_axis_mm),
            alone: self.alone[lane],
            to_border_mm: f64::INFINITY,
        }
    }

    /// Puts a sample into one lane.
    #[inline]
    pub fn set_lane(&mut self, lane: usize, wall: &WallSample) {
        self.depth_mm.as_mut_array()[lane] = wall.depth_mm;
        self.inward.set_lane(lane, wall.inward);
        self.steepness.as_mut_array()[lane] = wall.steepness;
        self.region[lane] = wall.region;
        self.arc_mm.as_mut_array()[lane] = wall.arc_mm;
        self.tangent.set_lane(lane, wall.tangent);
        self.radius_mm.as_mut_array()[lane] = wall.radius_mm;
        self.off_axis_mm.as_mut_array()[lane] = wall.off_axis_mm;
        self.alone[lane] = wall.alone;
    }

    /// A body in the middle of nowhere, to be overwritten.
    #[inline]
    fn nowhere() -> WallLanes {
        WallLanes {
            depth_mm: f64x4::ZERO,
            inward: Vec3x4::zeros(),
            steepness: f64x4::ONE,
            region: [Region::Utricle; 4],
            arc_mm: f64x4::ZERO,
            tangent: Vec3x4::zeros(),
            radius_mm: f64x4::splat(f64::INFINITY),
            off_axis_mm: f64x4::ZERO,
            alone: [false; 4],
        }
    }

    /// Takes the `asked` lanes of four tubes' samples, all of which are far from other parts.
    #[inline]
    fn take(&mut self, asked: f64x4, t: &TubeSampleLanes) {
        self.depth_mm = asked.select(t.depth, self.depth_mm);
        self.inward = Vec3x4::select(asked, t.inward, self.inward);
        self.steepness = asked.select(f64x4::ONE, self.steepness);
        self.arc_mm = asked.select(t.arc, self.arc_mm);
        self.tangent = Vec3x4::select(asked, t.tangent, self.tangent);
        self.radius_mm = asked.select(t.radius, self.radius_mm);
        self.off_axis_mm = asked.select(t.off_axis, self.off_axis_mm);
    }

    /// Takes all of them.
    #[inline]
    fn take_all(&mut self, t: &TubeSampleLanes) {
        self.depth_mm = t.depth;
        self.inward = t.inward;
        self.steepness = f64x4::ONE;
        self.arc_mm = t.arc;
        self.tangent = t.tangent;
        self.radius_mm = t.radius;
        self.off_axis_mm = t.off_axis;
    }
}

impl EarShape {
    /// Twin of [`EarShape::wall`] for four bodies in four ears, the same or others: the walls seen from
    /// `p` (Reid axes, mm); updates the hints.
    #[inline]
    pub fn wall_lanes(ears: [&EarShape; 4], p: &Vec3x4, hints: &mut HintLanes) -> WallLanes {
        let mut walls = WallLanes::nowhere();
        EarShape::update_wall_lanes(ears, p, [true; 4], hints, &mut walls);
        walls
    }

    /// The same for the `asked` lanes alone; the others keep what stands in `hints` and `walls`.
    #[inline]
    pub fn update_wall_lanes(
        ears: [&EarShape; 4],
        p: &Vec3x4,
        asked: [bool; 4],
        hints: &mut HintLanes,
        walls: &mut WallLanes,
    ) {
        if hints.home.everyone && asked == [true; 4] {
            let tubes = TubeLanes {
                tubes: own_tubes(ears, hints),
                numbers: hints.home.tubes,
            };
            let own = tubes.sample(p, hints.guess_mm(p), mask_of(asked));
            if (hints.home.holds(own.arc) & own.depth.simd_ge(LOST_MM)).all() {
                walls.take_all(&own);
                walls.region = hints.home.region;
                walls.alone = [true; 4];
                hints.arc_mm = own.arc;
                hints.at = *p;
                hints.ahead = own.ahead;
                return;
            }
        }
        update_by_lane(ears, p, asked, hints, walls);
    }
}

/// The tubes that the hints name; the first where they name none.
#[inline]
fn own_tubes<'a>(ears: [&'a EarShape; 4], hints: &HintLanes) -> [&'a crate::Tube; 4] {
    [0, 1, 2, 3].map(|lane| &ears[lane].tubes[hints.volume[lane] % UTRICLE])
}

/// [`EarShape::update_wall_lanes`] where some lanes are not at home.
fn update_by_lane(
    ears: [&EarShape; 4],
    p: &Vec3x4,
    asked: [bool; 4],
    hints: &mut HintLanes,
    walls: &mut WallLanes,
) {
    let in_tube = [0, 1, 2, 3].map(|lane| asked[lane] && hints.volume[lane] != UTRICLE);
    let mut answered = [false; 4];
    if in_tube != [false; 4] {
        let tubes = TubeLanes::new(own_tubes(ears, hints));
        let own = tubes.sample(p, hints.guess_mm(p), mask_of(in_tube));
        let k = tubes.intervals_of(own.arc);
        let at_home = hints.home.holds(own.arc).to_bitmask();
        let believed = own.depth.simd_ge(LOST_MM).to_bitmask();
        for lane in 0..4 {
            let tube = hints.volume[lane];
            if !in_tube[lane] || believed >> lane & 1 == 0 || !ears[lane].links[tube][k[lane]].alone
            {
                continue;
            }
            if at_home >> lane & 1 == 0 {
                let region = ears[lane].region_of(Canal::ALL[tube], own.arc.as_array()[lane]);
                hints.home.settle(lane, ears[lane], tube, k[lane], region);
                walls.region[lane] = region;
            } else {
                walls.region[lane] = hints.home.region[lane];
            }
            walls.alone[lane] = true;
            answered[lane] = true;
        }
        let mask = mask_of(answered);
        walls.take(mask, &own);
        hints.arc_mm = mask.select(own.arc, hints.arc_mm);
        hints.at = Vec3x4::select(mask, *p, hints.at);
        hints.ahead = Vec3x4::select(mask, own.ahead, hints.ahead);
        hints.home.everyone = hints.home.from_mm.simd_le(hints.home.to_mm).all();
        hints.home.tubes = tubes.numbers;
    }
    for lane in 0..4 {
        if asked[lane] && !answered[lane] {
            let mut hint = hints.lane(lane);
            let wall = ears[lane].wall(p.lane(lane), &mut hint);
            hints.set_lane(lane, hint);
            walls.set_lane(lane, &wall);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use std::sync::LazyLock;

    use proptest::array::uniform4;
    use proptest::prelude::*;

    use super::*;
    use crate::{Anatomy, Labyrinth, Vec3};

    static EARS: LazyLock<Vec<EarShape>> = LazyLock::new(|| {
        ["mean-adult", "wide-ducts", "short-crus"]
            .iter()
            .map(|name| Labyrinth::build(&Anatomy::named(name).unwrap().unwrap()).unwrap())
            .flat_map(|labyrinth| labyrinth.ears)
            .collect()
    });

    fn close(ours: f64, scalar: f64) -> bool {
        // Both may be infinite.
        ours.total_cmp(&scalar).is_eq() || (ours - scalar).abs() <= 1e-12 * scalar.abs().max(1.0)
    }

    fn close_vec(ours: Vec3, scalar: Vec3) -> bool {
        (0..3).all(|i| close(ours[i], scalar[i]))
    }

    fn same_wall(ours: &WallSample, scalar: &WallSample) -> bool {
        close(ours.depth_mm, scalar.depth_mm)
            && close_turn(ours, scalar)
            && close(ours.steepness, scalar.steepness)
            && ours.region == scalar.region
            && close(ours.arc_mm, scalar.arc_mm)
            && close_vec(ours.tangent, scalar.tangent)
            && close(ours.radius_mm, scalar.radius_mm)
            && close(ours.off_axis_mm, scalar.off_axis_mm)
            && ours.alone == scalar.alone
    }

    /// Near the axis a foot point that is 1e-13 mm off turns the direction by that over the distance.
    fn close_turn(ours: &WallSample, scalar: &WallSample) -> bool {
        let turn = (ours.inward - scalar.inward).norm();
        turn < 2e-12 || turn * scalar.off_axis_mm < 1e-13
    }

    fn same_hint(ours: &Hint, scalar: &Hint) -> bool {
        ours.volume == scalar.volume
            && close(ours.arc_mm, scalar.arc_mm)
            && close_vec(ours.at, scalar.at)
            && close_vec(ours.ahead, scalar.ahead)
    }

    /// A point of an ear: in a tube at a share of its length and off its axis, or in the utricle.
    fn place(ear: &EarShape, part: usize, share: f64, off: Vec3) -> Vec3 {
        let Some(tube) = ear.tubes.get(part % 5) else {
            return ear.utricle.centre_in_reid_mm + off * 1.5;
        };
        let (from, to) = tube.range_mm();
        let (point, _, radius) = tube.at(from + share * (to - from));
        point + off * radius
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// The scalar wall is the source, from hints of where the body was before, near or far.
        #[test]
        fn lanes_see_the_scalar_wall(
            places in uniform4((0..6_usize, 0..5_usize, 0.0..1.0_f64, uniform4(-0.9..0.9_f64))),
            moved in uniform4(uniform4(-0.15..0.15_f64)),
            asked in uniform4(0..8_usize),
        ) {
            let ears = places.map(|p| &EARS[p.0]);
            let before = [0, 1, 2, 3].map(|lane| {
                let (_, part, share, [x, y, z, _]) = places[lane];
                place(ears[lane], part, share, Vec3::new(x, y, z))
            });
            let points = [0, 1, 2, 3].map(|lane| {
                let [x, y, z, _] = moved[lane];
                before[lane] + Vec3::new(x, y, z)
            });
            let mut hints = [0, 1, 2, 3].map(|lane| ears[lane].find(before[lane]));
            let walls = [0, 1, 2, 3].map(|lane| ears[lane].wall(before[lane], &mut hints[lane]));
            let asked = asked.map(|n| n > 0);

            let mut our_hints = HintLanes::from_lanes(hints);
            let mut ours = WallLanes::from_lanes(walls);
            let p = Vec3x4::from_lanes(points);
            EarShape::update_wall_lanes(ears, &p, asked, &mut our_hints, &mut ours);
            for lane in 0..4 {
                let (mut hint, mut wall) = (hints[lane], walls[lane]);
                if asked[lane] {
                    wall = ears[lane].wall(points[lane], &mut hint);
                }
                let (our_hint, our_wall) = (our_hints.lane(lane), ours.lane(lane));
                prop_assert!(same_wall(&our_wall, &wall), "{our_wall:?} {wall:?}");
                prop_assert!(same_hint(&our_hint, &hint), "{our_hint:?} {hint:?}");
            }
            if asked == [true; 4] {
                let all = EarShape::wall_lanes(ears, &p, &mut HintLanes::from_lanes(hints));
                for lane in 0..4 {
                    prop_assert_eq!(all.lane(lane), ours.lane(lane));
                }
            }
        }

        /// And go on seeing it while the bodies walk along their tubes through every region.
        #[test]
        fn lanes_walk_as_the_scalar_wall(
            places in uniform4((0..6_usize, 0..3_usize, 0.0..1.0_f64, uniform4(-0.5..0.5_f64))),
            paces in uniform4(-0.01..0.01_f64),
        ) {
            let ears = places.map(|p| &EARS[p.0]);
            let at = |step: u32| [0, 1, 2, 3].map(|lane| {
                let (_, part, share, [x, y, z, _]) = places[lane];
                let share = (share + f64::from(step) * paces[lane]).rem_euclid(1.0);
                place(ears[lane], part, share, Vec3::new(x, y, z))
            });
            let mut hints = [0, 1, 2, 3].map(|lane| ears[lane].find(at(0)[lane]));
            let mut our_hints = HintLanes::from_lanes(hints);
            for step in 0..60 {
                let points = at(step);
                let ours = EarShape::wall_lanes(ears, &Vec3x4::from_lanes(points), &mut our_hints);
                for lane in 0..4 {
                    let wall = ears[lane].wall(points[lane], &mut hints[lane]);
                    let our_wall = ours.lane(lane);
                    prop_assert!(same_wall(&our_wall, &wall), "{step} {our_wall:?} {wall:?}");
                }
            }
        }
    }
}
