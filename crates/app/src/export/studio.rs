//! Draws the panels off-screen, at any size, with the window's graphics card but none of its state.

use eframe::egui_wgpu::{RenderState, Renderer, RendererOptions, ScreenDescriptor, wgpu};
use egui::{CentralPanel, Context, Frame, Panel, Pos2, RawInput, Rect, RichText, Theme, Vec2};
use image::RgbaImage;

use super::{ExportError, Pictured, caption, moment_words};
use crate::{
    kit::style,
    kit::theme::{self, Palette},
    lesson::{clears, clip_ui, hidden_ui},
    session::Session,
    shell::layout_ui,
    stages::ear_ui,
    stages::render,
    stages::room_ui,
    stages::scene::{Quality, ear_scene::EarScene, room_scene::RoomScene},
    stages::stage_ui::{Scenes, Shown},
};

/// sRGB values as they are.
const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8Unorm;
/// The card may take this long over one picture.
const PATIENCE: std::time::Duration = std::time::Duration::from_mins(1);

/// How a picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    /// What is on it.
    pub(super) pictured: Pictured,
    /// Colours.
    pub(super) theme: Theme,
    /// Width and height, points.
    pub(super) size: Vec2,
    /// Pixels per point.
    pub(super) scale: f32,
}

/// A window without a screen.
pub(super) struct Studio {
    look: Look,
    ctx: Context,
    card: RenderState,
    renderer: Renderer,
    scenes: Scenes,
    passes: u32,
    /// How fast the film runs, in words.
    pub(super) speed: Option<String>,
}

impl Studio {
    pub(super) fn new(card: &RenderState, look: Look) -> Self {
        let ctx = Context::default();
        style::install(&ctx);
        ctx.set_theme(look.theme);
        let mut renderer = Renderer::new(&card.device, FORMAT, RendererOptions::PREDICTABLE);
        render::install_in(&mut renderer, card, FORMAT);
        Self {
            look,
            ctx,
            card: card.clone(),
            renderer,
            scenes: Scenes {
                room: Some(RoomScene::default()),
                ear: None,
            },
            passes: 0,
            speed: None,
        }
    }

    /// The picture of the moment under the session's cursor.
    pub(super) fn picture(&mut self, session: &Session) -> Result<RgbaImage, ExportError> {
        if let Some(loaded) = &session.shown {
            for ear in loaded.ears.iter() {
                // Another thread is making the surface; a picture without it would be half.
                ear.surface.wait();
            }
            if self
                .scenes
                .ear
                .as_ref()
                .is_none_or(|e| !e.is_of(&loaded.ears))
            {
                self.scenes.ear = Some(EarScene::new(&loaded.ears));
            }
        }
        let (pictured, speed) = (self.look.pictured, self.speed.clone());
        self.shown(&|ui, scenes| panels(ui, session, scenes, pictured, speed.as_deref()))
    }

    /// The picture of anything else.
    pub(super) fn drawn(&mut self, show: &dyn Fn(&mut egui::Ui)) -> Result<RgbaImage, ExportError> {
        self.shown(&|ui, _| show(ui))
    }

    fn shown(&mut self, show: &dyn Fn(&mut egui::Ui, &Scenes)) -> Result<RgbaImage, ExportError> {
        // Panels find their sizes in the first passes.
        let due = if self.passes == 0 { 3 } else { 1 };
        let mut shapes = Vec::new();
        for _ in 0..due {
            shapes = self.pass(show);
        }
        self.draw(shapes)
    }

    fn pass(&mut self, show: &dyn Fn(&mut egui::Ui, &Scenes)) -> Vec<egui::epaint::ClippedShape> {
        let mut input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.look.size)),
            time: Some(f64::from(self.passes)),
            ..RawInput::default()
        };
        if let Some(viewport) = input.viewports.get_mut(&egui::ViewportId::ROOT) {
            viewport.native_pixels_per_point = Some(self.look.scale);
        }
        self.passes += 1;
        let scenes = &self.scenes;
        let mut output = self.ctx.run_ui(input, |ui| show(ui, scenes));
        let (device, queue) = (&self.card.device, &self.card.queue);
        for (id, images) in output.textures_delta.set.drain() {
            for image in images {
                self.renderer.update_texture(device, queue, id, &image);
            }
        }
        for id in output.textures_delta.free.drain() {
            self.renderer.free_texture(&id);
        }
        std::mem::take(&mut output.shapes)
    }

    fn draw(&mut self, shapes: Vec<egui::epaint::ClippedShape>) -> Result<RgbaImage, ExportError> {
        let (device, queue) = (&self.card.device, &self.card.queue);
        let scale = self.look.scale;
        let pixels = (self.look.size * scale).round();
        let screen = ScreenDescriptor {
            pixels_per_point: scale,
            size_in_pixels: [pixels.x as u32, pixels.y as u32],
        };
        let triangles = self.ctx.tessellate(shapes, scale);
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor {
            label: Some("export"),
        });
        let first = self
            .renderer
            .update_buffers(device, queue, &mut encoder, &triangles, &screen);
        let texture = device.create_texture(&wgpu::TextureDescriptor {
            label: Some("export"),
            size: wgpu::Extent3d {
                width: screen.size_in_pixels[0],
                height: screen.size_in_pixels[1],
                depth_or_array_layers: 1,
            },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: FORMAT,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let mut pass = encoder
            .begin_render_pass(&wgpu::RenderPassDescriptor {
                label: Some("export"),
                color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                    view: &view,
                    depth_slice: None,
                    resolve_target: None,
                    ops: wgpu::Operations {
                        load: wgpu::LoadOp::Clear(wgpu::Color::BLACK),
                        store: wgpu::StoreOp::Store,
                    },
                })],
                ..wgpu::RenderPassDescriptor::default()
            })
            .forget_lifetime();
        self.renderer.render(&mut pass, &triangles, &screen);
        drop(pass);
        queue.submit(first.into_iter().chain([encoder.finish()]));
        read_back(device, queue, &texture)
    }
}

fn panels(
    ui: &mut egui::Ui,
    session: &Session,
    scenes: &Scenes,
    pictured: Pictured,
    speed: Option<&str>,
) {
    let palette = Palette::of(ui);
    let title = match (pictured, &session.shown) {
        (Pictured::Map, _) => "Which manoeuvre clears what",
        (_, Some(loaded)) => loaded.scenario.title.as_str(),
        (_, None) => "",
    };
    Panel::bottom("caption")
        .resizable(false)
        .frame(
            Frame::new()
                .fill(palette.panel)
                .inner_margin(egui::Margin::symmetric(12, 4)),
        )
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            // A map is of no moment.
            if let Some(loaded) = session.shown.as_ref().filter(|_| pictured != Pictured::Map) {
                let now = moment_words(loaded, session.playback.time_s, session.ear_shown());
                let lines = [Some(now.as_str()), speed];
                let words = lines.into_iter().flatten().collect::<Vec<_>>().join(" · ");
                let words = RichText::new(words).font(theme::small_strong());
                ui.add(egui::Label::new(words.color(palette.text)).truncate());
            }
            let words = RichText::new(caption(title)).font(theme::small());
            ui.add(egui::Label::new(words.color(palette.weak)).truncate());
        });
    // What the panels ask for is nobody's wish here.
    let mut commands = Vec::new();
    let shown = Shown {
        session,
        scenes,
        quality: Quality::Still,
        alone: false,
        bare: true,
    };
    let Some(loaded) = session.shown.clone() else {
        return;
    };
    let stage = CentralPanel::default().frame(Frame::NONE);
    match pictured {
        Pictured::Window => layout_ui::panels(ui, session, scenes, Quality::Still, &mut commands),
        Pictured::Words => {
            stage.show(ui, |ui| clip_ui::clip_ui(ui, shown, &loaded));
        }
        Pictured::Map => {
            stage.show(ui, |ui| clears::picture_ui(ui, &session.lesson.clears));
        }
        Pictured::Room => {
            stage.show(ui, |ui| room_ui::room_ui(ui, shown, &loaded, &mut commands));
        }
        Pictured::Ear if loaded.hidden => {
            stage.show(ui, hidden_ui::hidden_stage_ui);
        }
        Pictured::Ear => {
            stage.show(ui, |ui| ear_ui::ear_ui(ui, shown, &loaded, &mut commands));
        }
    }
}

/// The bytes of a texture, rows unpadded.
fn read_back(
    device: &wgpu::Device,
    queue: &wgpu::Queue,
    texture: &wgpu::Texture,
) -> Result<RgbaImage, ExportError> {
    let failed = |reason: String| ExportError::Card { reason };
    let (width, height) = (texture.width(), texture.height());
    let align = wgpu::COPY_BYTES_PER_ROW_ALIGNMENT;
    let padded = (width * 4).div_ceil(align) * align;
    let buffer = device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("export"),
        size: u64::from(padded) * u64::from(height),
        usage: wgpu::BufferUsages::MAP_READ | wgpu::BufferUsages::COPY_DST,
        mapped_at_creation: false,
    });
    let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor {
        label: Some("export read-back"),
    });
    encoder.copy_texture_to_buffer(
        texture.as_image_copy(),
        wgpu::TexelCopyBufferInfo {
            buffer: &buffer,
            layout: wgpu::TexelCopyBufferLayout {
                offset: 0,
                bytes_per_row: Some(padded),
                rows_per_image: None,
            },
        },
        texture.size(),
    );
    let index = queue.submit([encoder.finish()]);
    let (sender, receiver) = std::sync::mpsc::channel();
    buffer
        .slice(..)
        .map_async(wgpu::MapMode::Read, move |done| {
            let _ = sender.send(done);
        });
    device
        .poll(wgpu::PollType::Wait {
            submission_index: Some(index),
            timeout: Some(PATIENCE),
        })
        .map_err(|e| failed(e.to_string()))?;
    receiver
        .recv_timeout(PATIENCE)
        .map_err(|e| failed(e.to_string()))?
        .map_err(|e| failed(e.to_string()))?;
    let data = buffer
        .slice(..)
        .get_mapped_range()
        .map_err(|e| failed(e.to_string()))?;
    let bytes = data
        .chunks_exact(padded as usize)
        .flat_map(|row| &row[..width as usize * 4])
        .copied()
        .collect();
    RgbaImage::from_raw(width, height, bytes)
        .ok_or_else(|| failed("the picture came back with too few bytes".to_owned()))
}
