//! Clumps fall apart while they move and gather while they rest.

use super::adhesion::is_slow;
use crate::model::{Model, Pieces};
use crate::state::State;

/// Before a step: what the last one did to the clumps.
///
/// # Equation
/// Share apart s: s' = (1 − s) |v| / over while it moves, s' = −s / gather while it rests. It then moves
/// as pieces of radius a·n^(−s/3): its speed falls with the square of that, its coupling to the flow
/// with its first power.
pub(crate) fn update(model: &Model, state: &mut State, dt_s: f64) {
    for (body, now) in model.bodies.iter().zip(&mut state.bodies) {
        let Some(dispersal) = body.matter.dispersal else {
            continue;
        };
        if now.fixed_to.is_some() {
            continue;
        }
        let way_mm = now.velocity.norm() * dt_s;
        if is_slow(model, body, now) {
            now.apart *= (-dt_s / dispersal.gather_s).exp();
        } else {
            now.apart = 1.0 - (1.0 - now.apart) * (-way_mm / dispersal.over_mm).exp();
        }
        let shrink = dispersal.pieces.powf(-now.apart / 3.0);
        let whole = Pieces::whole(body);
        now.pieces = Pieces {
            radius_mm: whole.radius_mm * shrink,
            resistance_mg_s: whole.resistance_mg_s / (shrink * shrink),
        };
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use lithodrome_chair::HeadPose;
    use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth, Vec3};

    use super::*;
    use crate::run::initial_state;
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
        let mut state = initial_state(&model);
        for g in &mut state.bodies {
            g.velocity = Vec3::new(1.0, 0.0, 0.0);
        }
        for _ in 0..20 {
            update(&model, &mut state, 0.1);
        }
        let apart = 1.0 - (-1.0_f64).exp();
        assert!((state.bodies[0].apart - apart).abs() < 1e-12);
        let shrink = 343.0_f64.powf(-apart / 3.0);
        let slower = model.bodies[0].resistance_mg_s / state.bodies[0].pieces.resistance_mg_s;
        assert!((slower - shrink * shrink).abs() < 1e-12);
        for g in &mut state.bodies {
            g.velocity = Vec3::zeros();
        }
        for _ in 0..600 {
            update(&model, &mut state, 1.0);
        }
        assert!((state.bodies[0].apart - apart * (-1.0_f64).exp()).abs() < 1e-9);
        assert_eq!(state.bodies.len(), 3);
    }
}
