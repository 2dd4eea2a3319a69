//! Clumps fall apart while they move and gather while they rest.

use crate::adhesion::is_slow;
use crate::model::Model;
use crate::state::State;

/// Before a step: what the last one did to the clumps.
///
/// # Equation
/// Share apart s: s' = (1 − s) |v| / over while it moves, s' = −s / gather while it rests. It then moves
/// as pieces of radius a·n^(−s/3): its speed falls with the square of that, its coupling to the flow
/// with its first power.
pub(crate) fn update(model: &Model, state: &mut State, dt_s: f64) {
    let whole = model.bodies.iter();
    for ((whole, body), g) in whole.zip(&mut state.bodies).zip(&mut state.grains) {
        let Some(dispersal) = body.matter.dispersal else {
            continue;
        };
        if body.fixed_to.is_some() {
            continue;
        }
        let way_mm = g.velocity.norm() * dt_s;
        if is_slow(model, body, g) {
            g.apart *= (-dt_s / dispersal.gather_s).exp();
        } else {
            g.apart = 1.0 - (1.0 - g.apart) * (-way_mm / dispersal.over_mm).exp();
        }
        let shrink = dispersal.pieces.powf(-g.apart / 3.0);
        body.grain_mm = whole.grain_mm * shrink;
        body.resistance_mg_s = whole.resistance_mg_s / (shrink * shrink);
    }
}
