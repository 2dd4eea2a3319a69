//! How long the settling engine's steps are: as long as the error of the last one and the bodies' ways
//! through the lumen let them be.

use crate::model::Model;

/// Farthest that a body goes in one step through the lumen, as a share of its radius.
const SHARE_OF_RADIUS: f64 = 0.1;
/// Along a wall it goes so far that samples, on the straight line between two steps, are not farther
/// outside than this, mm.
const CHORD_MM: f64 = 1e-3;
/// A wall bends over no less than this, where parts meet, and along an ampulla hardly more, mm.
const BEND_MM: f64 = 0.12;
/// No lumen counts as wider than this, mm.
const WIDE_MM: f64 = 0.5;
/// Longest step while the chair moves and while it is held, s: cupulae relax in 4 s, and the cubics that
/// samples between two steps lie on follow that.
const LONGEST_S: [f64; 2] = [0.06, 0.8];
/// Longest step while nothing moves at all, neither head nor debris nor endolymph, s.
const RESTING_S: f64 = 60.0;
/// Endolymph that flows more slowly has come to rest, mm³/s: what still flows, in the 4 s of a cupula, is a
/// thousandth of what a beat of 1 deg/s moves, some 5 pL.
const RESTING_MM3_S: f64 = 1e-9;
/// No step is shorter, s.
const SHORTEST_S: f64 = 1e-3;
/// Longest step in a hold with a body whose last step tells little about the next, s.
const UNKNOWN_S: f64 = 0.04;
/// Farthest that a body goes in one step where parts meet if others push it, mm, but for very short steps.
const JOSTLED_MM: f64 = 0.008;
/// How far a predicted place may be off, mm. About a sixth of it stays when it has been corrected.
const TOLERANCE_MM: f64 = 5e-5;
/// A step that is off by more than this many times as much is made again, shorter.
const REFUSED: f64 = 8.0;
/// How much shorter or longer the next step may be.
const CHANGE: [f64; 2] = [0.25, 1.5];

/// What of one body limits the length of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BodyLimits {
    pub(crate) speed_mm_s: f64,
    pub(crate) radius_mm: f64,
    /// It lies on a wall.
    pub(crate) on_wall: bool,
    /// Its last step tells about the next.
    pub(crate) predictable: bool,
    /// Others push it where parts meet, around an edge.
    pub(crate) jostled: bool,
}

/// The fastest of these flows leaves the endolymph at rest, mm³/s.
pub(crate) fn rests(flow_mm3_s: impl IntoIterator<Item = f64>) -> bool {
    flow_mm3_s.into_iter().all(|q| q.abs() < RESTING_MM3_S)
}

/// The longest step under these limits of the bodies that move, s; `moving` is the head, `still` the endolymph at
/// rest.
pub(crate) fn longest_s(
    model: &Model,
    limits: impl Iterator<Item = BodyLimits>,
    moving: bool,
    still: bool,
) -> f64 {
    let mut limits = limits.peekable();
    if !moving && still && limits.peek().is_none() {
        return RESTING_S * model.step_scale;
    }
    let mut limit_s = LONGEST_S[usize::from(!moving)];
    let mut predictable = true;
    for one in limits {
        let room_mm = if one.on_wall {
            (8.0 * CHORD_MM * one.radius_mm.min(BEND_MM)).sqrt()
        } else {
            SHARE_OF_RADIUS * one.radius_mm.min(WIDE_MM)
        };
        limit_s = limit_s.min((room_mm / one.speed_mm_s.max(1e-9)).max(SHORTEST_S));
        if one.jostled {
            let way_s = JOSTLED_MM / one.speed_mm_s.max(1e-9);
            limit_s = limit_s.min(way_s.max(UNKNOWN_S));
        }
        predictable &= one.predictable;
    }
    if !predictable {
        limit_s = limit_s.min(UNKNOWN_S);
    }
    limit_s * model.step_scale
}

/// The length that the error of the last step lets the next one have, s.
pub(crate) fn next_s(model: &Model, last_s: f64, error_mm: f64) -> f64 {
    let share = allowed_mm(model) / error_mm.max(1e-12);
    let [least, most] = CHANGE;
    let change = if share >= most * most * most {
        most
    } else {
        (share.ln() / 3.0).exp().max(least)
    };
    (last_s * change).max(shortest_s(model))
}

/// No step is shorter, s.
pub(crate) fn shortest_s(model: &Model) -> f64 {
    SHORTEST_S * model.step_scale
}

/// A step that is off by more is made again, mm.
pub(crate) fn bad_mm(model: &Model) -> f64 {
    REFUSED * allowed_mm(model)
}

/// How long a part is tried instead of one that was bad, s.
pub(crate) fn shorter_s(model: &Model, step_s: f64) -> f64 {
    (step_s / 4.0).max(shortest_s(model))
}

/// The next part of a step that has so much left, s: rather all of it than a little rest later.
pub(crate) fn part_s(step_s: f64, left_s: f64) -> f64 {
    if step_s > 0.75 * left_s {
        left_s
    } else {
        step_s
    }
}

/// How far a predicted place may be off, mm; a third of the step makes a 27th of the error.
fn allowed_mm(model: &Model) -> f64 {
    let scale = model.step_scale;
    TOLERANCE_MM * scale * scale * scale
}

/// How long the next step is and where it ends: as long as `limit_s` allows, and rather two even steps
/// than one and a little rest before `end_s`.
pub(crate) fn next_step(time_s: f64, end_s: f64, limit_s: f64) -> (f64, f64) {
    let left = end_s - time_s;
    if left <= limit_s {
        (left, end_s)
    } else if left < 2.0 * limit_s {
        (left / 2.0, time_s + left / 2.0)
    } else {
        (limit_s, time_s + limit_s)
    }
}
