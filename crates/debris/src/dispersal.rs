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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use lithodrome_chair::HeadPose;
    use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth, Vec3};

    use super::*;
    use crate::{DebrisGroup, Dispersal, Matter, Physics, Start};

    fn upright() -> HeadPose {
        lithodrome_chair::HeadMotion::new(
            lithodrome_chair::ChairAngles::default(),
            Vec::new(),
            lithodrome_chair::MoveProfile::default(),
            lithodrome_chair::Lever::default(),
        )
        .unwrap()
        .at(0.0)
    }

    /// By hand: on a way of 2 mm at 1 mm/s in steps of 0.1 s, 1 − 1/e of it is apart; number and mass
    /// stay; a speed that falls with the square of the pieces' radius; at rest for 600 s, 1/e is left.
    #[test]
    fn count_and_mass_stay_while_it_falls_apart_and_gathers() {
        let labyrinth = Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap();
        let group = DebrisGroup {
            ear: Ear::Right,
            canal: Canal::Posterior,
            start: Start::AmpullaryArm,
            count: 3,
            diameter_mm: 0.06,
            density_mg_mm3: 2.7,
            matter: Matter {
                dispersal: Some(Dispersal::default()),
                ..Matter::default()
            },
        };
        let pose = upright();
        let model = Model::new(Arc::new(labyrinth), &[group], Physics::default(), &pose).unwrap();
        let mut state = model.initial_state();
        let mass = |state: &State| -> f64 { state.bodies.iter().map(|b| b.buoyant_mass_mg).sum() };
        let before = mass(&state);
        for g in &mut state.grains {
            g.velocity = Vec3::new(1.0, 0.0, 0.0);
        }
        for _ in 0..20 {
            update(&model, &mut state, 0.1);
        }
        let apart = 1.0 - (-1.0_f64).exp();
        assert!((state.grains[0].apart - apart).abs() < 1e-12);
        let shrink = 27.0_f64.powf(-apart / 3.0);
        let slower = model.bodies[0].resistance_mg_s / state.bodies[0].resistance_mg_s;
        assert!((slower - shrink * shrink).abs() < 1e-12);
        for g in &mut state.grains {
            g.velocity = Vec3::zeros();
        }
        for _ in 0..600 {
            update(&model, &mut state, 1.0);
        }
        assert!((state.grains[0].apart - apart * (-1.0_f64).exp()).abs() < 1e-9);
        assert_eq!(state.bodies.len(), 3);
        assert!((mass(&state) - before).abs() < 1e-15);
    }
}
