//! The postures that a search tries: yaw and track in even steps, and how the chair gets from one to another.
//!
//! A posture is a direction of gravity in the head, told by a yaw and a track of 0 to 180°. The chair has two
//! pairs of angles for it and takes the one that is nearer; nothing unwinds.

use lithodrome_chair::down_in_head;
use lithodrome_labyrinth::Vec3;

use super::limits::SearchLimits;

/// Farthest error of an operator that the tables tell apart, degrees.
const FARTHEST_ERROR_DEG: f64 = 30.0;

/// Yaw and track of the chair in steps of the grid; they accumulate.
pub(super) type Angles = [i32; 2];

/// All postures.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    pub(super) step_deg: f64,
    /// Steps of half a turn.
    half: i32,
    /// Largest error in steps.
    pub(super) most_error: i32,
    /// The posture that is another one with an error in yaw and track, `[yaw error][track error][posture]`.
    shifted: Vec<Vec<u16>>,
}

/// A posture as the chair comes to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Drive {
    pub(super) to: Angles,
    /// By the second pair of angles, in which the track turns the other way.
    pub(super) twin: bool,
    pub(super) move_s: f64,
    /// Sum of both axes' turns, degrees.
    pub(super) turn_deg: f64,
}

impl Grid {
    pub(super) fn new(step_deg: f64) -> Grid {
        let half = (180.0 / step_deg).round() as i32;
        let most_error = (FARTHEST_ERROR_DEG / step_deg).ceil() as i32;
        let mut grid = Grid {
            step_deg,
            half,
            most_error,
            shifted: Vec::new(),
        };
        let errors = -most_error..=most_error;
        let pairs = errors
            .clone()
            .flat_map(|yaw| errors.clone().map(move |track| [yaw, track]));
        grid.shifted = pairs
            .map(|[yaw, track]| {
                let postures = 0..grid.len();
                postures
                    .map(|posture| {
                        let [y, t] = grid.angles(posture);
                        grid.posture([y + yaw, t + track]) as u16
                    })
                    .collect()
            })
            .collect();
        grid
    }

    /// How many postures, the two poles once for every yaw.
    pub(super) fn len(&self) -> usize {
        (2 * self.half * (self.half + 1)) as usize
    }

    /// Postures that differ in gravity: the poles once.
    pub(super) fn all(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.len()).filter(|posture| {
            let [yaw, track] = self.angles(*posture);
            yaw == -self.half || (track != 0 && track != self.half)
        })
    }

    /// The first pair of angles of a posture.
    pub(super) fn angles(&self, posture: usize) -> Angles {
        let posture = i32::try_from(posture).unwrap_or(i32::MAX);
        let rows = self.half + 1;
        [posture / rows - self.half, posture % rows]
    }

    /// The posture of any angles.
    pub(super) fn posture(&self, [yaw, track]: Angles) -> usize {
        let whole = 2 * self.half;
        let mut track = track.rem_euclid(whole);
        let mut yaw = yaw;
        if track > self.half {
            track = whole - track;
            yaw += self.half;
        }
        let yaw = (yaw + self.half).rem_euclid(whole);
        (yaw * (self.half + 1) + track) as usize
    }

    /// Every posture with an error of the operator, in steps; `twin` if it is had by the second pair of angles.
    pub(super) fn with_error(&self, [yaw, track]: Angles, twin: bool) -> &[u16] {
        let most = self.most_error;
        let track = if twin { -track } else { track };
        let errors = 2 * most + 1;
        let at = |error: i32| error.clamp(-most, most) + most;
        &self.shifted[(at(yaw) * errors + at(track)) as usize]
    }

    /// Degrees of angles in steps.
    pub(super) fn deg(&self, angles: Angles) -> [f64; 2] {
        angles.map(|steps| f64::from(steps) * self.step_deg)
    }

    /// An error in degrees as steps.
    pub(super) fn error(&self, deg: f64) -> i32 {
        ((deg / self.step_deg).round() as i32).clamp(-self.most_error, self.most_error)
    }

    /// Gravity in the head in a posture, unit.
    pub(super) fn down_in_head(&self, posture: usize, headrest_deg: f64) -> Vec3 {
        let [yaw_deg, track_deg] = self.deg(self.angles(posture));
        let limits = SearchLimits {
            headrest_deg,
            ..SearchLimits::default()
        };
        down_in_head(limits.angles(yaw_deg, track_deg))
    }

    /// The nearer way from angles to a posture; `None` where the limits allow neither. A patient who sits
    /// upright is turned about the long axis beforehand, `free_yaw`.
    pub(super) fn drive(
        &self,
        from: Angles,
        posture: usize,
        free_yaw: bool,
        limits: &SearchLimits,
    ) -> Option<Drive> {
        let [yaw, track] = self.angles(posture);
        let pole = track == 0 || track == self.half;
        let ways = [([yaw, track], false), ([yaw + self.half, -track], true)];
        let driven = ways.map(|(angles, twin)| {
            let mut to = self.wound_toward(from, angles);
            if pole {
                to[0] = from[0];
            }
            let start = if free_yaw { [to[0], from[1]] } else { from };
            let (from_deg, to_deg) = (self.deg(start), self.deg(to));
            let move_s = limits.move_s(from_deg, to_deg);
            let drive = Drive {
                to,
                twin,
                move_s,
                turn_deg: (to_deg[0] - from_deg[0]).abs() + (to_deg[1] - from_deg[1]).abs(),
            };
            limits.allows_drive(from_deg, to_deg).then_some(drive)
        });
        match driven {
            [Some(first), Some(second)] if second.move_s < first.move_s => Some(second),
            [Some(first), _] => Some(first),
            [None, second] => second,
        }
    }

    /// The same posture by whole turns as near as can be.
    fn wound_toward(&self, from: Angles, to: Angles) -> Angles {
        let whole = f64::from(2 * self.half);
        let wound = |from: i32, to: i32| {
            let turns = (f64::from(from - to) / whole).round() as i32;
            to + turns * 2 * self.half
        };
        [wound(from[0], to[0]), wound(from[1], to[1])]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_and_their_twins_are_one_posture() {
        let grid = Grid::new(15.0);
        assert_eq!(grid.all().count(), 24 * 11 + 2);
        for posture in 0..grid.len() {
            let [yaw, track] = grid.angles(posture);
            assert_eq!(grid.posture([yaw, track]), posture);
            // At the poles every yaw is a posture of its own.
            if track % 12 != 0 {
                assert_eq!(grid.posture([yaw + 12, -track]), posture);
            }
            assert_eq!(grid.posture([yaw - 24, track + 48]), posture);
            let down = grid.down_in_head(posture, 0.0);
            let (sin, cos) = (f64::from(track) * 15.0).to_radians().sin_cos();
            let turn = (f64::from(yaw) * 15.0).to_radians();
            let by_hand = Vec3::new(-sin * turn.sin(), -sin * turn.cos(), -cos);
            assert!((down - by_hand).norm() < 1e-12);
        }
    }

    #[test]
    fn an_error_beyond_the_pole_comes_down_on_the_other_side() {
        let grid = Grid::new(15.0);
        let posture = grid.posture([2, 1]);
        // 15° less two steps of track is 15° on the other side.
        let shifted = grid.with_error([0, -2], false)[posture];
        assert_eq!(usize::from(shifted), grid.posture([2 + 12, 1]));
        // By the second pair of angles the same error leads away from the pole.
        let twin = grid.with_error([0, -2], true)[posture];
        assert_eq!(usize::from(twin), grid.posture([2, 3]));
    }

    #[test]
    fn the_chair_takes_the_nearer_angles_within_the_limits() {
        let grid = Grid::new(15.0);
        let wide = SearchLimits {
            head_down_deg: 90.0,
            ..SearchLimits::default()
        };
        // From yaw 45°, track 120° to yaw 225°, track 120°: half a turn of yaw (4.5 s at 40°/s), or yaw stays and
        // the track goes on by 120° to 240° (3 s), over the head.
        let over = grid
            .drive([3, 8], grid.posture([15, 8]), false, &wide)
            .unwrap();
        assert_eq!((over.to, over.twin), ([3, 16], true));
        assert!((over.move_s - 3.0).abs() < 1e-9);
        let around = grid.drive(
            [3, 8],
            grid.posture([15, 8]),
            false,
            &SearchLimits::default(),
        );
        let around = around.unwrap();
        assert_eq!((around.to[1], around.twin), (8, false));
        assert!((around.move_s - 4.5).abs() < 1e-9);
        let level = SearchLimits {
            inversion: false,
            ..SearchLimits::default()
        };
        assert_eq!(
            grid.drive([3, 6], grid.posture([15, 8]), false, &level),
            None
        );
    }
}
