//! The room stage: floor, stand, circular track, inner frame, chair and patient. Metres; the room's
//! axes, from the middle of the track.

use std::sync::Arc;

use glam::{Mat4, Vec2, Vec3};
use lithodrome_chair::ChairAngles;

use super::{Batch, Mesh, Picture, Quality, chair_mesh, figure};
use crate::stages::camera::Orbit;

/// The camera that the stage opens with.
pub fn home_camera() -> Orbit {
    let mut camera = Orbit {
        target: Vec3::ZERO,
        turn_rad: -0.72,
        height_rad: 0.16,
        distance: 6.0,
    };
    camera.fit(Vec3::new(0.0, 0.0, -0.04), 1.36);
    camera
}

/// Meshes of the room, made once.
pub struct RoomScene {
    standing: Arc<Mesh>,
    track: Arc<Mesh>,
    frame: Arc<Mesh>,
    floor: [Arc<Mesh>; 2],
}

impl Default for RoomScene {
    fn default() -> Self {
        Self {
            standing: Arc::new(chair_mesh::standing()),
            track: Arc::new(chair_mesh::track()),
            frame: Arc::new(chair_mesh::frame_and_chair()),
            floor: [false, true].map(|dark| Arc::new(chair_mesh::floor(dark))),
        }
    }
}

/// Orientation of the track and of the inner frame in the room.
pub fn track_and_frame(angles: ChairAngles) -> (Mat4, Mat4) {
    let track = Mat4::from_rotation_x(angles.track_rad as f32);
    (track, track * Mat4::from_rotation_z(angles.yaw_rad as f32))
}

impl RoomScene {
    /// The picture for these chair angles.
    pub fn picture(
        &self,
        angles: ChairAngles,
        camera: &Orbit,
        size: Vec2,
        background: [u8; 3],
        dark: bool,
        quality: Quality,
    ) -> Picture {
        let (track, frame) = track_and_frame(angles);
        let mut solids = vec![
            Batch::in_place(self.standing.clone()),
            Batch {
                mesh: self.track.clone(),
                stage_from_mesh: track,
            },
            Batch {
                mesh: self.frame.clone(),
                stage_from_mesh: frame,
            },
        ];
        if let Some(mesh) = figure::mesh() {
            solids.push(Batch {
                mesh,
                stage_from_mesh: frame,
            });
        }
        Picture {
            view: camera.view(size),
            background,
            dark,
            solids,
            glass: Vec::new(),
            flats: vec![Batch::in_place(self.floor[usize::from(dark)].clone())],
            balls: Vec::new(),
            to_light: Vec3::new(0.45, -0.55, 0.8).normalize(),
            quality,
        }
    }
}
