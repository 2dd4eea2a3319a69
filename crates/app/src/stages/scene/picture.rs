//! One picture of a stage: what to draw and from where, plain data for the renderer.

use std::sync::Arc;

use glam::{Mat4, Vec3};

use super::Mesh;
use crate::stages::camera::View;

/// A mesh and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// The mesh.
    pub mesh: Arc<Mesh>,
    /// From the mesh's axes to the stage's.
    pub stage_from_mesh: Mat4,
}

impl Batch {
    /// A mesh already given in the stage's axes.
    pub fn in_place(mesh: Arc<Mesh>) -> Self {
        Self {
            mesh,
            stage_from_mesh: Mat4::IDENTITY,
        }
    }
}

/// A shaded ball, drawn at least three pixels wide.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Ball {
    /// Centre, in the stage's axes and unit.
    pub centre: [f32; 3],
    /// Radius, the stage's unit.
    pub radius: f32,
    /// sRGB colour and opacity, 0 to 255.
    pub colour: [u8; 4],
}

/// How much work a picture is worth on a slow machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quality {
    /// Something moves: the next picture comes at once.
    Moving,
    /// Everything rests: smooth edges.
    Still,
}

/// All there is to draw of a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Where it is seen from.
    pub view: View,
    /// sRGB background, 0 to 255.
    pub background: [u8; 3],
    /// Colours are for a dark window.
    pub dark: bool,
    /// Lit, opaque.
    pub solids: Vec<Batch>,
    /// See-through with a rim.
    pub glass: Vec<Batch>,
    /// Not lit, blended in the order given, before the glass.
    pub flats: Vec<Batch>,
    /// Debris.
    pub balls: Vec<Ball>,
    /// Unit vector towards the main light, stage axes.
    pub to_light: Vec3,
    /// Still or moving.
    pub quality: Quality,
}
