//! What the renderer keeps on the graphics card between pictures.

use std::collections::HashMap;

use eframe::egui_wgpu::wgpu::{self, util::DeviceExt as _};
use glam::Mat4;

use super::{
    card_mesh::CardMesh,
    passes::{self, Globals, PassBuffers},
    pipelines::{self, Pipelines},
    target::Target,
};
use crate::stages::scene::{Batch, Mesh, Picture, Quality};

/// Samples per pixel where edges are smoothed.
const SMOOTH: u32 = 4;
/// How many times larger a picture is drawn than shown, where there is time for it.
const FINE: u32 = 2;
/// Pictures after which a mesh not drawn is dropped.
const KEEP_PICTURES: u64 = 32;

/// Everything of ours on the card.
pub(super) struct Card {
    globals_layout: wgpu::BindGroupLayout,
    picture_layout: wgpu::BindGroupLayout,
    plain: Pipelines,
    smooth: Pipelines,
    blit: [wgpu::RenderPipeline; 2],
    targets: [Option<Target>; 2],
    drawn: [Option<(Picture, [u32; 2])>; 2],
    meshes: HashMap<u64, CardMesh>,
    pictures_drawn: u64,
    slow: bool,
}

impl Card {
    pub(super) fn new(
        device: &wgpu::Device,
        window_format: wgpu::TextureFormat,
        slow: bool,
    ) -> Self {
        let layout = |label, visibility, ty| {
            device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
                label: Some(label),
                entries: &[wgpu::BindGroupLayoutEntry {
                    binding: 0,
                    visibility,
                    ty,
                    count: None,
                }],
            })
        };
        let globals_layout = layout(
            "stage globals",
            wgpu::ShaderStages::VERTEX_FRAGMENT,
            wgpu::BindingType::Buffer {
                ty: wgpu::BufferBindingType::Uniform,
                has_dynamic_offset: false,
                min_binding_size: None,
            },
        );
        let picture_layout = layout(
            "stage picture",
            wgpu::ShaderStages::FRAGMENT,
            wgpu::BindingType::Texture {
                sample_type: wgpu::TextureSampleType::Float { filterable: false },
                view_dimension: wgpu::TextureViewDimension::D2,
                multisampled: false,
            },
        );
        Self {
            plain: Pipelines::new(device, &globals_layout, 1),
            smooth: Pipelines::new(device, &globals_layout, SMOOTH),
            blit: [1, FINE]
                .map(|scale| pipelines::blit(device, &picture_layout, window_format, scale)),
            globals_layout,
            picture_layout,
            targets: [None, None],
            drawn: [None, None],
            meshes: HashMap::new(),
            pictures_drawn: 0,
            slow,
        }
    }

    /// Draws a stage's picture off-screen, unless it is there already.
    pub(super) fn draw(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        encoder: &mut wgpu::CommandEncoder,
        stage: usize,
        picture: &Picture,
        size: [u32; 2],
    ) {
        if self.drawn[stage]
            .as_ref()
            .is_some_and(|(there, at)| there == picture && *at == size)
        {
            return;
        }
        self.drawn[stage] = Some((picture.clone(), size));
        self.pictures_drawn += 1;
        let hurry = self.slow && picture.quality == Quality::Moving;
        let (samples, size) = if hurry {
            (1, size)
        } else {
            (SMOOTH, size.map(|n| n * FINE))
        };
        for batch in picture
            .solids
            .iter()
            .chain(&picture.flats)
            .chain(&picture.glass)
        {
            self.keep(device, &batch.mesh);
        }
        for batch in &picture.glass {
            self.sort(queue, batch, picture);
        }
        let layout = &self.picture_layout;
        let target = self.targets[stage]
            .take()
            .filter(|target| target.fits(size, !hurry))
            .unwrap_or_else(|| Target::new(device, layout, size, samples));
        let buffers = self.buffers(device, picture, size);
        let pipelines = if samples == 1 {
            &self.plain
        } else {
            &self.smooth
        };
        passes::draw(
            &mut target.pass(encoder, picture.background),
            picture,
            &buffers,
            pipelines,
            &self.meshes,
        );
        self.targets[stage] = Some(target);
        let now = self.pictures_drawn;
        self.meshes
            .retain(|_, mesh| now - mesh.used_at < KEEP_PICTURES);
    }

    /// Copies a stage's picture into the window.
    pub(super) fn show(&self, pass: &mut wgpu::RenderPass<'static>, stage: usize) {
        if let Some(target) = &self.targets[stage] {
            pass.set_pipeline(&self.blit[usize::from(target.fine)]);
            pass.set_bind_group(0, &target.bind_group, &[]);
            pass.draw(0..3, 0..1);
        }
    }

    fn keep(&mut self, device: &wgpu::Device, mesh: &Mesh) {
        let now = self.pictures_drawn;
        let kept = self.meshes.entry(mesh.id).or_insert_with(|| {
            let buffer = |label, contents, usage| {
                device.create_buffer_init(&wgpu::util::BufferInitDescriptor {
                    label: Some(label),
                    contents,
                    usage,
                })
            };
            CardMesh {
                vertices: buffer(
                    "vertices",
                    bytemuck::cast_slice(&mesh.vertices),
                    wgpu::BufferUsages::VERTEX,
                ),
                indices: buffer(
                    "indices",
                    bytemuck::cast_slice(&mesh.triangles),
                    wgpu::BufferUsages::INDEX | wgpu::BufferUsages::COPY_DST,
                ),
                index_count: mesh.triangles.len() as u32 * 3,
                used_at: now,
                sorted_for: None,
            }
        });
        kept.used_at = now;
    }

    /// Orders the triangles of a glass mesh from far to near.
    fn sort(&mut self, queue: &wgpu::Queue, batch: &Batch, picture: &Picture) {
        let clip_from_mesh = picture.view.clip_from_stage * batch.stage_from_mesh;
        let Some(kept) = self.meshes.get_mut(&batch.mesh.id) else {
            return;
        };
        if kept.sorted_for == Some(clip_from_mesh) {
            return;
        }
        let order = passes::far_to_near(&batch.mesh, &clip_from_mesh);
        queue.write_buffer(&kept.indices, 0, bytemuck::cast_slice(&order));
        kept.sorted_for = Some(clip_from_mesh);
    }

    fn buffers(&self, device: &wgpu::Device, picture: &Picture, size: [u32; 2]) -> PassBuffers {
        let globals = Globals::of(picture, size);
        let buffer = |label, contents: &[u8], usage| {
            device.create_buffer_init(&wgpu::util::BufferInitDescriptor {
                label: Some(label),
                contents: if contents.is_empty() {
                    &[0; 64]
                } else {
                    contents
                },
                usage,
            })
        };
        let globals = buffer(
            "stage globals",
            bytemuck::bytes_of(&globals),
            wgpu::BufferUsages::UNIFORM,
        );
        let matrices: Vec<Mat4> = picture
            .solids
            .iter()
            .chain(&picture.flats)
            .chain(&picture.glass)
            .map(|batch| batch.stage_from_mesh)
            .collect();
        PassBuffers {
            globals: device.create_bind_group(&wgpu::BindGroupDescriptor {
                label: Some("stage globals"),
                layout: &self.globals_layout,
                entries: &[wgpu::BindGroupEntry {
                    binding: 0,
                    resource: globals.as_entire_binding(),
                }],
            }),
            matrices: buffer(
                "matrices",
                bytemuck::cast_slice(&matrices),
                wgpu::BufferUsages::VERTEX,
            ),
            balls: buffer(
                "balls",
                bytemuck::cast_slice(&picture.balls),
                wgpu::BufferUsages::VERTEX,
            ),
        }
    }
}
