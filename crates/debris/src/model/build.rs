//! Everything constant of a run, put together.

use std::sync::Arc;

use lithodrome_chair::HeadPose;
use lithodrome_labyrinth::{Canal, Ear, EarShape, Labyrinth, Vec3, frame};
use nalgebra::Rotation3;

use super::body::{Body, DebrisGroup, TIGHT};
use super::drag::DragTable;
use super::drive::Drive;
use super::endolymph::{Displacement, Endolymph};
use super::matter::{Matter, Rolling};
use super::physics::Physics;
use super::start_places;
use crate::error::ModelError;

/// Everything constant.
#[derive(Clone, Debug)]
pub struct Model {
    /// Both ears.
    pub labyrinth: Arc<Labyrinth>,
    /// Material numbers and choices.
    pub physics: Physics,
    /// The bodies.
    pub bodies: Vec<Body>,
    /// Factor on every step of either engine; 1 but for tests of convergence.
    pub step_scale: f64,
    pub(crate) fluid: [Endolymph; 2],
    pub(crate) drag: &'static DragTable,
    /// No body can stick, jam, let go or fall apart.
    pub(crate) plain: bool,
    reid_from_head: Rotation3<f64>,
    /// Where the bodies are at the start, and gravity there, Reid axes.
    pub(crate) start: Vec<Vec3>,
    pub(crate) start_pull_mm_s2: Vec3,
    /// Endolymph and cupulae at the start; in balance with their own weight if left out, `[ear]`.
    pub(crate) start_fluid: Option<[Displacement; 2]>,
}

impl Model {
    /// Places the bodies; `pose` is the head's at the start.
    pub fn new(
        labyrinth: Arc<Labyrinth>,
        groups: &[DebrisGroup],
        physics: Physics,
        pose: &HeadPose,
    ) -> Result<Model, ModelError> {
        let reid_from_head = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse();
        let mut bodies = Vec::new();
        let mut start = Vec::new();
        for (i, group) in groups.iter().enumerate() {
            let body = Body::of(group, &physics);
            let down_in_reid = reid_from_head * pose.down_in_head;
            let shape = labyrinth.ear(group.ear);
            start.extend(start_places::places(
                shape,
                group,
                &body,
                down_in_reid,
                i + 1,
            )?);
            bodies.extend(std::iter::repeat_n(body, group.count as usize));
        }
        let start_pull_mm_s2 = reid_from_head * pose.down_in_head * physics.gravity_mm_s2;
        let fluid = Ear::ALL.map(|ear| Endolymph::of(labyrinth.ear(ear), &physics));
        let drag = DragTable::shared();
        let narrowest_mm = Ear::ALL.map(|ear| narrowest_duct_mm(labyrinth.ear(ear)));
        let plain = bodies.iter().all(|body: &Body| {
            let narrowest = narrowest_mm[body.ear.index()];
            let matter = Matter {
                rolling: Rolling::default(),
                ..body.matter
            };
            matter == Matter::default() && body.rest_mm < 0.9 * TIGHT * narrowest
        });
        Ok(Model {
            labyrinth,
            physics,
            bodies,
            step_scale: 1.0,
            fluid,
            drag,
            plain,
            reid_from_head,
            start,
            start_pull_mm_s2,
            start_fluid: None,
        })
    }

    /// The fluid of one ear.
    pub fn fluid(&self, ear: Ear) -> &Endolymph {
        &self.fluid[ear.index()]
    }

    pub(crate) fn ear_of(&self, body: &Body) -> &EarShape {
        self.labyrinth.ear(body.ear)
    }

    /// The head's motion as the ears feel it.
    pub(crate) fn drive(&self, pose: &HeadPose) -> Drive {
        let gravity = pose.down_in_head * self.physics.gravity_mm_s2;
        let pull_mm_s2 = self.labyrinth.ears.each_ref().map(|ear| {
            let at_in_head = self.reid_from_head.inverse() * ear.utricle.centre_in_reid_mm;
            self.reid_from_head * (gravity - pose.acceleration_at_mm_s2(at_in_head))
        });
        Drive {
            pull_mm_s2,
            turning_rad_s: self.reid_from_head * pose.angular_velocity_in_head_rad_s,
        }
    }
}

/// Least lumen radius of an ear's ducts, mm.
fn narrowest_duct_mm(ear: &EarShape) -> f64 {
    let ducts = Canal::ALL.map(|canal| {
        let end_mm = ear.canal(canal).landmarks.duct_end_mm;
        ear.tube(canal).narrowest_mm(0.0, end_mm)
    });
    ducts.into_iter().fold(f64::INFINITY, f64::min)
}
