//! Bodies for rapier: a ball, or a hull of balls that lies along its duct.

use lithodrome_labyrinth::Vec3;
use nalgebra::{Matrix3, Rotation3, UnitQuaternion};
use rapier3d_f64::prelude::{
    CoefficientCombineRule, Collider, ColliderBuilder, MassProperties, PhysicsWorld, Pose,
    RigidBodyBuilder, RigidBodyHandle, Rotation, Vector,
};

use super::vectors::to_rapier;
use crate::model::{Body, Shape};
use crate::state::BodyState;

/// Puts body number `i` into the world.
pub(super) fn insert(
    world: &mut PhysicsWorld,
    i: usize,
    body: &Body,
    now: &BodyState,
) -> RigidBodyHandle {
    let zeta = body.resistance_mg_s;
    let mover = if body.fixed_to.is_some() {
        RigidBodyBuilder::fixed()
    } else {
        RigidBodyBuilder::dynamic()
    };
    let mover = mover.can_sleep(false).user_data(i as u128);
    let scale = body.rest_mm / body.radius_mm;
    if body.matter.shape == Shape::Ball {
        let mover = mover
            .translation(to_rapier(now.at))
            .additional_mass(zeta)
            .lock_rotations();
        return world.insert(mover, ball(body.rest_mm, Vector::ZERO)).0;
    }
    // Resistance to turning of a ball: 8πμa³ = (4/3) ζ a².
    let turning = 4.0 / 3.0 * zeta * body.radius_mm * body.radius_mm;
    let inertia = Vector::new(turning, turning, turning);
    let mover = mover
        .pose(Pose::from_parts(to_rapier(now.at), lying(now)))
        .additional_mass_properties(MassProperties::new(Vector::ZERO, zeta, inertia));
    let handle = world.insert_body(mover);
    for [x, y, z] in body.matter.shape.hull() {
        let at = Vector::new(x, y, z) * body.half_width_mm;
        let part = ball(body.half_width_mm * scale, at);
        world.insert_collider(part, Some(handle));
    }
    handle
}

fn ball(radius_mm: f64, at: Vector) -> Collider {
    ColliderBuilder::ball(radius_mm)
        .translation(at)
        .density(0.0)
        .friction(0.0)
        .friction_combine_rule(CoefficientCombineRule::Max)
        .build()
}

/// x along the duct, z away from the wall.
fn lying(now: &BodyState) -> Rotation {
    let z = now.wall.inward;
    let along = now.wall.tangent - z * now.wall.tangent.dot(&z);
    let x = along.try_normalize(1e-6).unwrap_or_else(|| {
        let across = Vec3::ith(z.iamin(), 1.0);
        (across - z * across.dot(&z)).normalize()
    });
    let axes = Matrix3::from_columns(&[x, z.cross(&x), z]);
    let q = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(axes));
    Rotation::from_xyzw(q.i, q.j, q.k, q.w)
}
