//! Walls and cupulae for rapier, from the same wall function that the forces use.
//!
//! A mesh would hold a body off the true wall by a facet's height, where its mobility changes steeply.
//! So rapier gets balls that merely say which bodies may touch something, and a hook that writes into
//! each contact what the wall function says: the direction away from the wall and the distance.

use lithodrome_labyrinth::{Canal, Ear, Vec3};
use rapier3d_f64::prelude::{
    ActiveHooks, CoefficientCombineRule, Collider, ColliderBuilder, ContactModificationContext,
    PhysicsHooks, Vector,
};

use super::to_rapier;
use crate::forces::face_near;
use crate::model::{Body, Model};
use crate::state::Grain;

/// Marks the collider of every lumen's wall; a cupula's has 1 + the canal's index.
const LUMEN: u128 = 0;
/// The lumen's ball holds both ears, mm.
const EVERYWHERE_MM: f64 = 1e3;

/// One ball around everything, for the lumens, and one around each cupula.
pub(super) fn colliders(model: &Model) -> Vec<Collider> {
    let wall = |radius_mm: f64, centre: Vec3, friction: f64, mark: u128| {
        ColliderBuilder::ball(radius_mm)
            .translation(to_rapier(centre))
            .friction(friction)
            .friction_combine_rule(CoefficientCombineRule::Max)
            .active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)
            .user_data(mark)
            .build()
    };
    let mut all = vec![wall(EVERYWHERE_MM, Vec3::zeros(), model.physics.friction, LUMEN)];
    for ear in Ear::ALL {
        for canal in Canal::ALL {
            let cupula = &model.labyrinth.ear(ear).canal(canal).cupula;
            let radius_mm = cupula.radius_mm + cupula.thickness_mm / 2.0;
            let mark = 1 + canal.index() as u128;
            all.push(wall(radius_mm, cupula.centre_in_reid_mm, 0.0, mark));
        }
    }
    all
}

/// What the walls say of every body during one step.
pub(super) struct Walls<'a> {
    pub(super) model: &'a Model,
    pub(super) grains: &'a [Grain],
    /// Contacts farther than this are none yet, mm.
    pub(super) reach_mm: f64,
}

impl Walls<'_> {
    /// The direction away from what `mark` stands for, and how far the body is from resting on it, mm.
    fn contact(&self, body: &Body, g: &Grain, mark: u128) -> Option<(Vec3, f64)> {
        if mark == LUMEN {
            let gap_mm = (g.wall.depth_mm - body.rest_mm) / g.wall.steepness.max(0.3);
            return Some((g.wall.inward, gap_mm));
        }
        let canal = g.wall.tube()?;
        if mark != 1 + canal.index() as u128 {
            return None;
        }
        let face = face_near(self.model.ear_of(body), &g.wall, g.at)?;
        Some((face.away, face.distance_mm - body.rest_mm))
    }
}

impl PhysicsHooks for Walls<'_> {
    fn modify_solver_contacts(&self, context: &mut ContactModificationContext) {
        let (mover, wall, body_is_first) = match (context.rigid_body1, context.rigid_body2) {
            (Some(mover), None) => (mover, context.collider2, true),
            (None, Some(mover)) => (mover, context.collider1, false),
            _ => return,
        };
        let found = context.bodies.get(mover).zip(context.colliders.get(wall)).and_then(|(mover, wall)| {
            let i = usize::try_from(mover.user_data).ok()?;
            let (body, g) = (self.model.bodies.get(i)?, self.grains.get(i)?);
            let (away, gap_mm) = self.contact(body, g, wall.user_data)?;
            (gap_mm < self.reach_mm).then_some((away, gap_mm, g.at - away * body.rest_mm))
        });
        let Some(contacts) = context.rigid_mut() else { return };
        let Some((away, gap_mm, on_body)) = found else {
            contacts.solver_contacts.clear();
            return;
        };
        let (on_wall, on_body) = (to_rapier(on_body - away * gap_mm), to_rapier(on_body));
        *contacts.normal = if body_is_first { -to_rapier(away) } else { to_rapier(away) };
        for contact in contacts.solver_contacts.iter_mut() {
            let ends: (Vector, Vector) = if body_is_first { (on_body, on_wall) } else { (on_wall, on_body) };
            (contact.anchor1, contact.anchor2) = ends;
            contact.dist = gap_mm;
        }
    }
}
