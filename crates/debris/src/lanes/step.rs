//! One step of four bodies, each with its own flow and time: the settling engine in lanes.
//!
//! Lanes that are not in `moves` pressed what they have.

use lithodrome_labyrinth::{Vec3x4, mask_of};
use wide::f64x4;

use super::action::ActionLanes;
use super::body::BodyLanes;
use super::contact::in_corner;
use super::fluid::Loops;
use super::settle::PlaceLanes;
use crate::settling::correct::{ASLEEP_MM_S, SHARE_OF_GUESS, SMALL_MM};
use crate::state::BodyState;

/// Twin of [`BodyState`] and of what the engine remembers of a body, masks for what may be missing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StateLanes {
    /// Where they are, and where the step under way leads; `now` says which is which.
    sides: [Side; 2],
    now: usize,
    pub(crate) velocity: Vec3x4,
    pub(crate) asleep: f64x4,
    pub(crate) pressure_mpa: Loops,
    pub(crate) known: f64x4,
    last: Vec3x4,
    has_last: f64x4,
    bend: Vec3x4,
    pub(crate) has_bend: f64x4,
    pressed: [f64x4; 2],
    correction_mm: Vec3x4,
}

/// One end of a step.
#[derive(Clone, Copy, Debug)]
struct Side {
    place: PlaceLanes,
    action: ActionLanes,
}

impl StateLanes {
    pub(crate) fn new(place: &PlaceLanes) -> StateLanes {
        let side = Side {
            place: *place,
            action: ActionLanes::default(),
        };
        StateLanes {
            sides: [side; 2],
            now: 0,
            velocity: Vec3x4::zeros(),
            asleep: f64x4::ZERO,
            pressure_mpa: [f64x4::ZERO; 3],
            known: f64x4::ZERO,
            last: Vec3x4::zeros(),
            has_last: f64x4::ZERO,
            bend: Vec3x4::zeros(),
            has_bend: f64x4::ZERO,
            pressed: [f64x4::ZERO; 2],
            correction_mm: Vec3x4::zeros(),
        }
    }

    /// Where they are.
    pub(crate) fn place(&self) -> &PlaceLanes {
        &self.sides[self.now].place
    }

    /// What acts on them there, in the lanes that are known.
    pub(crate) fn action(&self) -> &ActionLanes {
        &self.sides[self.now].action
    }

    /// Both ends of the step under way.
    #[inline]
    fn ends(&mut self) -> (&mut Side, &mut Side) {
        let [a, b] = &mut self.sides;
        if self.now == 0 { (a, b) } else { (b, a) }
    }

    /// Puts a body that has not moved yet into one lane; `others` is set in the others.
    pub(crate) fn set_lane(&mut self, lane: usize, others: f64x4, now: &BodyState) {
        let place = &mut self.sides[self.now].place;
        place.at.set_lane(lane, now.at);
        place.hints.set_lane(lane, now.hint);
        place.walls.set_lane(lane, &now.wall);
        self.velocity.set_lane(lane, now.velocity);
        let [a, b, c] = &mut self.pressure_mpa;
        let masks = [
            &mut self.asleep,
            &mut self.known,
            &mut self.has_last,
            &mut self.has_bend,
        ];
        for of in masks.into_iter().chain([a, b, c]) {
            *of &= others;
        }
    }

    /// Twin of the scalar `predict`. Returns the pressures of the `moves` lanes at both ends, mPa.
    #[inline]
    pub(crate) fn predict(
        &mut self,
        bodies: &BodyLanes,
        moves: f64x4,
        flow: &Loops,
        [pull, pull_then]: [&Vec3x4; 2],
        [last_s, dt_s]: [f64x4; 2],
    ) -> [Loops; 2] {
        let (known, pressure_mpa) = (self.known, self.pressure_mpa);
        let (last, bend, both) = (self.last, self.bend, self.has_last & self.has_bend);
        let (first, end) = self.ends();
        if (moves & !known).any() {
            let fresh = bodies.action(&first.place.at, &first.place.walls, pull);
            first.action = ActionLanes::select(moves & !known, &fresh, &first.action);
        }
        let predicted = last + bend * (0.5 * (last_s + dt_s));
        let mut mean = predicted;
        if !both.all() {
            mean = Vec3x4::select(both, predicted, first.action.allowed(flow));
        }
        end.place.at = first.place.at + mean * dt_s;
        end.place.hints = first.place.hints;
        let pressed = first.action.pressed(flow);
        bodies.settle(&mut end.place, mask_of([true; 4]), pressed);
        end.action = bodies.action(&end.place.at, &end.place.walls, pull_then);
        let pressures = [&first.action, &end.action].map(|action| {
            let of = action.pressure(flow);
            [0, 1, 2].map(|i| moves.select(of[i], pressure_mpa[i]))
        });
        self.pressed = pressed;
        self.known |= moves;
        pressures
    }

    /// Twin of the scalar `correct` and `error_mm`: how wrong the places were predicted, mm.
    #[inline]
    pub(crate) fn correct(&mut self, moves: f64x4, flow: &Loops, dt_s: f64x4) -> f64x4 {
        let pressed = self.pressed;
        let (first, end) = self.ends();
        let mean = (first.action.allowed(flow) + end.action.allowed(flow)) * f64x4::splat(0.5);
        let mut correction_mm = first.place.at + mean * dt_s - end.place.at;
        let ([on_wall, on_face], [wall, face]) = (end.action.touches, end.action.away);
        let cornered = on_wall & on_face & pressed[0] & pressed[1];
        let corner = cornered.any().then(|| in_corner(correction_mm, wall, face));
        for (touches, away, pressed) in [(on_wall, wall, pressed[0]), (on_face, face, pressed[1])] {
            if touches.any() {
                let leaves = correction_mm.dot(&away);
                let by = leaves & touches & (pressed | leaves.simd_lt(f64x4::ZERO));
                correction_mm -= away * by;
            }
        }
        if let Some(corner) = corner {
            correction_mm = Vec3x4::select(cornered, corner, correction_mm);
        }
        let roll_per_s = end.action.roll_per_s;
        let rolls = roll_per_s.simd_gt(f64x4::ZERO);
        if rolls.any() {
            let across = end.place.walls.inward.cross(&end.place.walls.tangent);
            let size = across
                .norm_squared()
                .fast_max(f64x4::splat(f64::MIN_POSITIVE));
            let by = correction_mm.dot(&across) / size;
            let left = end.action.left(flow);
            let rolled = by / (1.0 + 0.5 * dt_s * roll_per_s * left);
            correction_mm -= (across * (by - rolled)).only(rolls);
            let change = (across * (rolled * roll_per_s)).only(rolls);
            end.action.sinking -= change;
            end.action.drift -= change;
        }
        self.correction_mm = correction_mm;
        let share = self
            .has_bend
            .select(f64x4::ONE, f64x4::splat(SHARE_OF_GUESS));
        (correction_mm.norm() * share) & moves
    }

    /// Twin of the scalar `arrive`, for the lanes in `moves`.
    #[inline]
    pub(crate) fn arrive(
        &mut self,
        bodies: &BodyLanes,
        moves: f64x4,
        held: f64x4,
        [last_s, dt_s]: [f64x4; 2],
    ) {
        let (correction_mm, pressed) = (self.correction_mm, self.pressed);
        let (first, end) = self.ends();
        end.place.at += correction_mm;
        let far = moves & correction_mm.norm_squared().simd_gt(SMALL_MM * SMALL_MM);
        if far.any() {
            bodies.settle(&mut end.place, far, pressed);
        }
        let velocity = (end.place.at - first.place.at) * (1.0 / dt_s);
        let slow = velocity.norm_squared().simd_lt(ASLEEP_MM_S * ASLEEP_MM_S);
        let asleep = held & slow;
        let as_before = !(first.action.touches[0] ^ end.action.touches[0])
            & !(first.action.touches[1] ^ end.action.touches[1]);
        let pressure_mpa = end.action.pressure(&[f64x4::ZERO; 3]);
        if moves.all() {
            self.now = 1 - self.now;
        } else {
            first.take(moves, end);
        }
        let goes_on = as_before & !asleep;
        let has_bend = self.has_last & goes_on;
        let bend = (velocity - self.last) * (1.0 / (0.5 * (last_s + dt_s)));
        self.velocity = Vec3x4::select(moves, velocity, self.velocity);
        self.pressure_mpa = [0, 1, 2].map(|i| moves.select(pressure_mpa[i], self.pressure_mpa[i]));
        self.asleep = moves.select(asleep, self.asleep);
        self.bend = Vec3x4::select(moves, bend, self.bend);
        self.has_bend = moves.select(has_bend, self.has_bend);
        self.last = Vec3x4::select(moves, velocity, self.last);
        self.has_last = moves.select(goes_on, self.has_last);
        self.known = moves.select(!asleep, self.known);
    }
}

impl Side {
    /// Takes what another has in the lanes of a mask.
    fn take(&mut self, mask: f64x4, other: &Side) {
        let bits = mask.to_bitmask();
        for lane in (0..4).filter(|lane| bits >> lane & 1 == 1) {
            let (place, of) = (&mut self.place, &other.place);
            place.at.set_lane(lane, of.at.lane(lane));
            place.hints.set_lane(lane, of.hints.lane(lane));
            place.walls.set_lane(lane, &of.walls.lane(lane));
        }
        self.action = ActionLanes::select(mask, &other.action, &self.action);
    }
}
