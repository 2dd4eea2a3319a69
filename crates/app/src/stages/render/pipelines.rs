//! The card's programs: solids, flats, glass, balls, and the copy into the window.

use eframe::egui_wgpu::wgpu;

use super::target::{COLOUR, DEPTH};

const VERTEX: [wgpu::VertexAttribute; 3] =
    wgpu::vertex_attr_array![0 => Float32x3, 1 => Float32x3, 2 => Unorm8x4];
const MATRIX: [wgpu::VertexAttribute; 4] =
    wgpu::vertex_attr_array![3 => Float32x4, 4 => Float32x4, 5 => Float32x4, 6 => Float32x4];
const BALL: [wgpu::VertexAttribute; 3] =
    wgpu::vertex_attr_array![0 => Float32x3, 1 => Float32, 2 => Unorm8x4];

/// Programs for one number of samples.
pub(super) struct Pipelines {
    pub(super) solid: wgpu::RenderPipeline,
    pub(super) flat: wgpu::RenderPipeline,
    pub(super) glass: wgpu::RenderPipeline,
    pub(super) ball: wgpu::RenderPipeline,
}

impl Pipelines {
    pub(super) fn new(
        device: &wgpu::Device,
        globals: &wgpu::BindGroupLayout,
        samples: u32,
    ) -> Self {
        let shader = device.create_shader_module(wgpu::include_wgsl!("stage.wgsl"));
        let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
            label: Some("stage"),
            bind_group_layouts: &[Some(globals)],
            immediate_size: 0,
        });
        let mesh_buffers = [
            Some(wgpu::VertexBufferLayout {
                array_stride: 28,
                step_mode: wgpu::VertexStepMode::Vertex,
                attributes: &VERTEX,
            }),
            Some(wgpu::VertexBufferLayout {
                array_stride: 64,
                step_mode: wgpu::VertexStepMode::Instance,
                attributes: &MATRIX,
            }),
        ];
        let ball_buffers = [Some(wgpu::VertexBufferLayout {
            array_stride: 20,
            step_mode: wgpu::VertexStepMode::Instance,
            attributes: &BALL,
        })];
        let make = |fragment, vertex, buffers: &[_], blend, writes_depth| {
            device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
                label: Some(fragment),
                layout: Some(&layout),
                vertex: wgpu::VertexState {
                    module: &shader,
                    entry_point: Some(vertex),
                    compilation_options: wgpu::PipelineCompilationOptions::default(),
                    buffers,
                },
                primitive: wgpu::PrimitiveState::default(),
                depth_stencil: Some(wgpu::DepthStencilState {
                    format: DEPTH,
                    depth_write_enabled: Some(writes_depth),
                    depth_compare: Some(wgpu::CompareFunction::LessEqual),
                    stencil: wgpu::StencilState::default(),
                    bias: wgpu::DepthBiasState::default(),
                }),
                multisample: wgpu::MultisampleState {
                    count: samples,
                    mask: !0,
                    alpha_to_coverage_enabled: false,
                },
                fragment: Some(wgpu::FragmentState {
                    module: &shader,
                    entry_point: Some(fragment),
                    compilation_options: wgpu::PipelineCompilationOptions::default(),
                    targets: &[Some(wgpu::ColorTargetState {
                        format: COLOUR,
                        blend,
                        write_mask: wgpu::ColorWrites::ALL,
                    })],
                }),
                multiview_mask: None,
                cache: None,
            })
        };
        let blend = Some(wgpu::BlendState::ALPHA_BLENDING);
        Self {
            solid: make("solid", "corner", &mesh_buffers, None, true),
            flat: make("flat_colour", "corner", &mesh_buffers, blend, false),
            glass: make("glass", "corner", &mesh_buffers, blend, false),
            ball: make("ball", "ball_corner", &ball_buffers, blend, true),
        }
    }
}

/// The program that copies a picture, `scale` times as large, into the window.
pub(super) fn blit(
    device: &wgpu::Device,
    picture: &wgpu::BindGroupLayout,
    window_format: wgpu::TextureFormat,
    scale: u32,
) -> wgpu::RenderPipeline {
    let shader = device.create_shader_module(wgpu::include_wgsl!("blit.wgsl"));
    let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
        label: Some("stage copy"),
        bind_group_layouts: &[Some(picture)],
        immediate_size: 0,
    });
    device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
        label: Some("stage copy"),
        layout: Some(&layout),
        vertex: wgpu::VertexState {
            module: &shader,
            entry_point: Some("corner"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            buffers: &[],
        },
        primitive: wgpu::PrimitiveState::default(),
        depth_stencil: None,
        multisample: wgpu::MultisampleState::default(),
        fragment: Some(wgpu::FragmentState {
            module: &shader,
            entry_point: Some("pixel"),
            compilation_options: wgpu::PipelineCompilationOptions {
                constants: &[("SCALE", f64::from(scale))],
                ..wgpu::PipelineCompilationOptions::default()
            },
            targets: &[Some(window_format.into())],
        }),
        multiview_mask: None,
        cache: None,
    })
}
