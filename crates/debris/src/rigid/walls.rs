//! Walls and cupulae for rapier, from the same wall function that the forces use.
//!
//! A mesh would hold a body off the true wall by a facet's height, where its mobility changes steeply.
//! So rapier gets balls that merely say which bodies may touch something, and a hook that writes into
//! each contact what the wall function says: the direction away from the wall and the distance.

use lithodrome_labyrinth::{Canal, Ear, Vec3, WallSample};
use rapier3d_f64::prelude::{
    ActiveHooks, Collider, ColliderBuilder, ContactModificationContext, PhysicsHooks,
};

use super::vectors::{from_rapier, to_rapier};
use crate::law::forces::face_near;
use crate::model::{Body, Model, Shape};
use crate::state::BodyState;

/// Marks the collider of every lumen's wall; a cupula's has 1 + the canal's index.
const LUMEN: u128 = 0;
/// The lumen's ball holds both ears, mm.
const EVERYWHERE_MM: f64 = 1e3;
/// In the rounding of an edge the depth grows slower than the distance, but never believed slower than this.
const LEAST_STEEPNESS: f64 = 0.3;

/// One ball around everything, for the lumens, and one around each cupula.
pub(super) fn colliders(model: &Model) -> Vec<Collider> {
    let wall = |radius_mm: f64, centre: Vec3, mark: u128| {
        ColliderBuilder::ball(radius_mm)
            .translation(to_rapier(centre))
            .friction(0.0)
            .active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)
            .user_data(mark)
            .build()
    };
    let mut all = vec![wall(EVERYWHERE_MM, Vec3::zeros(), LUMEN)];
    for ear in Ear::ALL {
        for canal in Canal::ALL {
            let cupula = &model.labyrinth.ear(ear).canal(canal).cupula;
            let radius_mm = cupula.radius_mm + cupula.thickness_mm / 2.0;
            let mark = 1 + canal.index() as u128;
            all.push(wall(radius_mm, cupula.centre_in_reid_mm, mark));
        }
    }
    all
}

/// What the walls say of every body during one step.
pub(super) struct Walls<'a> {
    pub(super) model: &'a Model,
    pub(super) bodies: &'a [BodyState],
    /// Contacts farther than this are none yet, mm.
    pub(super) reach_mm: f64,
}

/// A body near something it may rest on.
struct Touch {
    /// Unit vector away from that something.
    away: Vec3,
    /// How far the body still is from resting there, mm.
    gap_mm: f64,
    /// The point of the body that touches first.
    on_body: Vec3,
    /// Its resistance to rolling there.
    resistance: f64,
}

impl Walls<'_> {
    /// Where body number `i` touches what `mark` stands for, if it is within reach; `part` is the middle
    /// of the ball of its hull that may touch.
    fn touch(&self, i: usize, part: Option<Vec3>, mark: u128) -> Option<Touch> {
        let (body, now) = (self.model.bodies.get(i)?, self.bodies.get(i)?);
        if let (Some(at), true) = (part, body.matter.shape != Shape::Ball) {
            let mut hint = now.hint;
            let wall = self.model.ear_of(body).wall(at, &mut hint);
            let rest_mm = body.half_width_mm * body.rest_mm / body.radius_mm;
            return self.touch_at(body, at, &wall, rest_mm, mark);
        }
        self.touch_at(body, now.at, &now.wall, body.rest_mm, mark)
    }

    fn touch_at(
        &self,
        body: &Body,
        at: Vec3,
        wall: &WallSample,
        rest_mm: f64,
        mark: u128,
    ) -> Option<Touch> {
        let (away, gap_mm) = if mark == LUMEN {
            let lack = wall.depth_mm - rest_mm;
            (wall.inward, lack / wall.steepness.max(LEAST_STEEPNESS))
        } else {
            wall.tube()
                .filter(|canal| mark == 1 + canal.index() as u128)?;
            let face = face_near(self.model.ear_of(body), wall, at)?;
            (face.away, face.distance_mm - rest_mm)
        };
        (gap_mm < self.reach_mm).then(|| Touch {
            away,
            gap_mm,
            on_body: at - away * rest_mm,
            resistance: if mark == LUMEN {
                body.matter.rolling.resistance
            } else {
                0.0
            },
        })
    }
}

impl PhysicsHooks for Walls<'_> {
    fn modify_solver_contacts(&self, context: &mut ContactModificationContext) {
        let (first, second) = (context.collider1, context.collider2);
        let (mover, part, wall, body_is_first) = match (context.rigid_body1, context.rigid_body2) {
            (Some(mover), None) => (mover, first, second, true),
            (None, Some(mover)) => (mover, second, first, false),
            _ => return,
        };
        let part = context
            .colliders
            .get(part)
            .map(|part| from_rapier(part.translation()));
        let mark = context
            .colliders
            .get(wall)
            .map_or(LUMEN, |wall| wall.user_data);
        let body = context
            .bodies
            .get(mover)
            .map_or(usize::MAX, |mover| mover.user_data as usize);
        let Some(contacts) = context.rigid_mut() else {
            return;
        };
        let Some(touch) = self.touch(body, part, mark) else {
            contacts.solver_contacts.clear();
            return;
        };
        let on_body = to_rapier(touch.on_body);
        let on_wall = to_rapier(touch.on_body - touch.away * touch.gap_mm);
        let away = to_rapier(touch.away);
        *contacts.friction = touch.resistance;
        // The normal goes from the first to the second.
        *contacts.normal = if body_is_first { -away } else { away };
        for contact in contacts.solver_contacts.iter_mut() {
            let ends = if body_is_first {
                (on_body, on_wall)
            } else {
                (on_wall, on_body)
            };
            (contact.anchor1, contact.anchor2) = ends;
            contact.dist = touch.gap_mm;
        }
    }
}
