//! The order of drawing within one picture, and what the shaders are told.

use std::collections::HashMap;

use eframe::egui_wgpu::wgpu;
use glam::{Mat4, Vec4};

use super::{card_mesh::CardMesh, pipelines::Pipelines};
use crate::stages::scene::{Batch, Mesh, Picture};

/// Least radius of a ball on screen, points.
const LEAST_BALL_POINTS: f32 = 3.0;

/// What every shader of a picture knows; the same layout as in `stage.wgsl`.
#[repr(C)]
#[derive(Clone, Copy, bytemuck::Pod, bytemuck::Zeroable)]
pub(super) struct Globals {
    clip_from_stage: Mat4,
    eye: Vec4,
    right: Vec4,
    up: Vec4,
    to_light: Vec4,
    misc: Vec4,
}

impl Globals {
    pub(super) fn of(picture: &Picture, size: [u32; 2]) -> Self {
        let view = &picture.view;
        let pixels_per_point = size[1] as f32 / view.size.y.max(1.0);
        Self {
            clip_from_stage: view.clip_from_stage,
            eye: view.eye.extend(1.0),
            right: view.right.extend(0.0),
            up: view.up.extend(0.0),
            to_light: picture.to_light.extend(0.0),
            misc: Vec4::new(
                view.point_at_unit / pixels_per_point.max(0.1),
                LEAST_BALL_POINTS * pixels_per_point,
                if picture.dark { 1.0 } else { 0.0 },
                0.0,
            ),
        }
    }
}

/// Buffers made anew for each picture.
pub(super) struct PassBuffers {
    pub(super) globals: wgpu::BindGroup,
    /// One matrix for each solid, flat and glass batch, in this order.
    pub(super) matrices: wgpu::Buffer,
    pub(super) balls: wgpu::Buffer,
}

/// Draws solids, balls, flats and glass.
pub(super) fn draw(
    pass: &mut wgpu::RenderPass<'_>,
    picture: &Picture,
    buffers: &PassBuffers,
    pipelines: &Pipelines,
    meshes: &HashMap<u64, CardMesh>,
) {
    let mut matrix = 0;
    let mut batches = |pass: &mut wgpu::RenderPass<'_>, pipeline, batches: &[Batch]| {
        pass.set_pipeline(pipeline);
        for batch in batches {
            if let Some(mesh) = meshes.get(&batch.mesh.id) {
                pass.set_vertex_buffer(0, mesh.vertices.slice(..));
                pass.set_vertex_buffer(1, buffers.matrices.slice(matrix * 64..));
                pass.set_index_buffer(mesh.indices.slice(..), wgpu::IndexFormat::Uint32);
                pass.draw_indexed(0..mesh.index_count, 0, 0..1);
            }
            matrix += 1;
        }
    };
    pass.set_bind_group(0, &buffers.globals, &[]);
    batches(pass, &pipelines.solid, &picture.solids);
    batches(pass, &pipelines.flat, &picture.flats);
    if !picture.balls.is_empty() {
        pass.set_pipeline(&pipelines.ball);
        pass.set_vertex_buffer(0, buffers.balls.slice(..));
        pass.draw(0..6, 0..picture.balls.len() as u32);
    }
    batches(pass, &pipelines.glass, &picture.glass);
}

/// The triangles of a mesh, the farthest from the eye first.
pub(super) fn far_to_near(mesh: &Mesh, clip_from_mesh: &Mat4) -> Vec<[u32; 3]> {
    // w of clip space grows with the distance from the eye's plane.
    let far = clip_from_mesh.row(3);
    let depth: Vec<f32> = mesh
        .vertices
        .iter()
        .map(|v| far.x * v.position[0] + far.y * v.position[1] + far.z * v.position[2])
        .collect();
    let mut order: Vec<(f32, u32)> = mesh
        .triangles
        .iter()
        .zip(0..)
        .map(|(t, i)| (t.iter().map(|&corner| depth[corner as usize]).sum(), i))
        .collect();
    order.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
    order
        .into_iter()
        .map(|(_, i)| mesh.triangles[i as usize])
        .collect()
}

#[cfg(test)]
mod tests {
    use glam::{Vec2, Vec3};

    use super::*;
    use crate::{stages::camera::Orbit, stages::scene::mesh::Vertex};

    #[test]
    fn the_farther_triangle_comes_first() {
        let at = |x: f32, y: f32, z: f32| Vertex {
            position: [x, y, z],
            normal: [0.0; 3],
            colour: [0; 4],
        };
        // Seen from +x: the triangle at x = 1 is nearer than the one at x = −1.
        let vertices = [1.0f32, -1.0]
            .into_iter()
            .flat_map(|x| [at(x, 0.0, 0.0), at(x, 1.0, 0.0), at(x, 0.0, 1.0)])
            .collect();
        let mesh = Mesh::new(vertices, vec![[0, 1, 2], [3, 4, 5]]);
        let camera = Orbit {
            target: Vec3::ZERO,
            turn_rad: 0.0,
            height_rad: 0.0,
            distance: 10.0,
        };
        let view = camera.view(Vec2::new(100.0, 100.0));
        assert_eq!(
            far_to_near(&mesh, &view.clip_from_stage),
            [[3, 4, 5], [0, 1, 2]]
        );
    }
}
