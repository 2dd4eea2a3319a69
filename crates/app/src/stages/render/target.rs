//! The off-screen pictures that a stage is drawn into.

use eframe::egui_wgpu::wgpu;

/// Colour format of every off-screen picture: sRGB values as they are.
pub(super) const COLOUR: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8Unorm;
/// Depth format of every off-screen picture.
pub(super) const DEPTH: wgpu::TextureFormat = wgpu::TextureFormat::Depth32Float;

/// One stage's off-screen pictures at one size.
pub(super) struct Target {
    size: [u32; 2],
    /// It is drawn larger than shown, with several samples a pixel.
    pub(super) fine: bool,
    smooth: Option<wgpu::TextureView>,
    depth: wgpu::TextureView,
    plain: wgpu::TextureView,
    /// Shows the finished picture to the copying shader.
    pub(super) bind_group: wgpu::BindGroup,
}

impl Target {
    pub(super) fn new(
        device: &wgpu::Device,
        layout: &wgpu::BindGroupLayout,
        size: [u32; 2],
        samples: u32,
    ) -> Self {
        let texture = |label, format, samples, usage| {
            device
                .create_texture(&wgpu::TextureDescriptor {
                    label: Some(label),
                    size: wgpu::Extent3d {
                        width: size[0],
                        height: size[1],
                        depth_or_array_layers: 1,
                    },
                    mip_level_count: 1,
                    sample_count: samples,
                    dimension: wgpu::TextureDimension::D2,
                    format,
                    usage,
                    view_formats: &[],
                })
                .create_view(&wgpu::TextureViewDescriptor::default())
        };
        let drawn = wgpu::TextureUsages::RENDER_ATTACHMENT;
        let plain = texture(
            "stage picture",
            COLOUR,
            1,
            drawn | wgpu::TextureUsages::TEXTURE_BINDING,
        );
        let bind_group = device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("stage picture"),
            layout,
            entries: &[wgpu::BindGroupEntry {
                binding: 0,
                resource: wgpu::BindingResource::TextureView(&plain),
            }],
        });
        Self {
            size,
            fine: samples > 1,
            smooth: (samples > 1).then(|| texture("stage samples", COLOUR, samples, drawn)),
            depth: texture("stage depth", DEPTH, samples, drawn),
            plain,
            bind_group,
        }
    }

    pub(super) fn fits(&self, size: [u32; 2], fine: bool) -> bool {
        self.size == size && self.fine == fine
    }

    pub(super) fn pass<'a>(
        &'a self,
        encoder: &'a mut wgpu::CommandEncoder,
        background: [u8; 3],
    ) -> wgpu::RenderPass<'a> {
        let [r, g, b] = background.map(|c| f64::from(c) / 255.0);
        encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("stage"),
            color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                view: self.smooth.as_ref().unwrap_or(&self.plain),
                depth_slice: None,
                resolve_target: self.smooth.as_ref().map(|_| &self.plain),
                ops: wgpu::Operations {
                    load: wgpu::LoadOp::Clear(wgpu::Color { r, g, b, a: 1.0 }),
                    store: wgpu::StoreOp::Store,
                },
            })],
            depth_stencil_attachment: Some(wgpu::RenderPassDepthStencilAttachment {
                view: &self.depth,
                depth_ops: Some(wgpu::Operations {
                    load: wgpu::LoadOp::Clear(1.0),
                    store: wgpu::StoreOp::Discard,
                }),
                stencil_ops: None,
            }),
            timestamp_writes: None,
            occlusion_query_set: None,
            multiview_mask: None,
        })
    }
}
