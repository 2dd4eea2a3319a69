//! Corrects predicted places now that the step's flow is known, and ends the step.

use lithodrome_labyrinth::length;
use nalgebra::Vector3;

use super::body_memory::BodyMemory;
use super::rest_distance::settle;
use crate::law::forces::{self, Action};
use crate::model::{Body, Model};
use crate::state::BodyState;

/// A resting body is left alone below this speed, mm/s: the way still to go is then below 0.2 µm.
pub(crate) const ASLEEP_MM_S: f64 = 2e-5;
/// A place that was predicted from one velocity alone, or before others pushed, is off by a term of lower
/// order: this share of it counts as error.
pub(crate) const SHARE_OF_GUESS: f64 = 0.02;
/// A place corrected by less than this keeps its view of the wall, mm.
pub(crate) const SMALL_MM: f64 = 1e-4;

/// Works out by what a predicted place has to be corrected.
pub(super) fn correct(now: &BodyState, its: &mut BodyMemory, flow: &Vector3<f64>, dt_s: f64) {
    let BodyMemory {
        action: first,
        predicted: Some(end),
        under_way: true,
        ..
    } = its
    else {
        return;
    };
    let mean = 0.5 * (first.allowed(flow) + end.action.allowed(flow));
    let mut by_mm = now.at + mean * dt_s - end.at;
    if let ([Some(wall), Some(face)], [true, true]) = (end.action.walls, end.pressed) {
        by_mm = forces::in_corner(by_mm, wall, face);
    } else {
        for (wall, pressed) in end.action.walls.into_iter().zip(end.pressed) {
            if let Some(away) = wall {
                let leaves = by_mm.dot(&away);
                if pressed || leaves < 0.0 {
                    by_mm -= away * leaves;
                }
            }
        }
    }
    let roll_per_s = end.action.roll_per_s;
    if roll_per_s > 0.0 {
        let left = end.action.left(flow);
        let across = end.wall.inward.cross(&end.wall.tangent);
        let by = by_mm.dot(&across) / across.norm_squared();
        let rolled = by / (1.0 + 0.5 * dt_s * roll_per_s * left);
        by_mm -= across * (by - rolled);
        let change = across * (rolled * roll_per_s);
        end.action.sinking -= change;
        end.action.drift -= change;
    }
    end.correction_mm = by_mm;
}

/// How wrong a place was predicted, mm.
pub(super) fn error_mm(its: &BodyMemory) -> f64 {
    match &its.predicted {
        Some(end) if its.under_way => {
            let guessed = its.bend.is_none() || its.pushed;
            length(&end.correction_mm) * if guessed { SHARE_OF_GUESS } else { 1.0 }
        }
        _ => 0.0,
    }
}

/// Ends a step that is good enough.
pub(super) fn arrive(
    model: &Model,
    body: &Body,
    now: &mut BodyState,
    its: &mut BodyMemory,
    held: bool,
    [last_s, dt_s]: [f64; 2],
) {
    let Some(end) = &mut its.predicted else {
        return;
    };
    let from = now.at;
    (now.at, now.hint, now.wall) = (end.at + end.correction_mm, end.hint, end.wall);
    if end.correction_mm.norm_squared() > SMALL_MM * SMALL_MM {
        now.wall = settle(model, body, &mut now.at, &mut now.hint, end.pressed);
    }
    now.velocity = (now.at - from) / dt_s;
    its.pressure_mpa = end.action.pressure(&Vector3::zeros());
    its.asleep = held && now.velocity.norm_squared() < ASLEEP_MM_S * ASLEEP_MM_S;
    let touched = |a: &Action| a.walls.map(|w| w.is_some());
    let as_before = touched(&its.action) == touched(&end.action);
    let last = its.last.filter(|_| as_before && !its.asleep);
    let between_s = 0.5 * (last_s + dt_s);
    its.bend = last.map(|last| (now.velocity - last) / between_s);
    its.last = (as_before && !its.asleep).then_some(now.velocity);
    its.known = !its.asleep;
    std::mem::swap(&mut its.action, &mut end.action);
}
