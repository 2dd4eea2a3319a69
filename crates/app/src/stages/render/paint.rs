//! A stage's picture put into the window: which stage, when it is drawn, where it is copied to.

use eframe::egui_wgpu::{self, wgpu};
use egui::{Color32, Rect};

use crate::{kit::drawing, stages::render::card::Card, stages::scene::Picture};

/// Which stage a picture is for; each has its own off-screen target.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StageId {
    /// Chair and patient.
    Room,
    /// The labyrinths.
    Ear,
}

impl StageId {
    const fn index(self) -> usize {
        match self {
            StageId::Room => 0,
            StageId::Ear => 1,
        }
    }
}

/// Makes the renderer and leaves it with the window's; call once at the start.
pub fn install(window: &egui_wgpu::RenderState) {
    install_in(&mut window.renderer.write(), window, window.target_format);
}

/// Makes the renderer and leaves it with another one of egui's, for pictures of this format.
pub fn install_in(
    renderer: &mut egui_wgpu::Renderer,
    window: &egui_wgpu::RenderState,
    format: wgpu::TextureFormat,
) {
    let adapter = window.adapter.get_info();
    let slow = drawing::is_software(adapter.device_type, &adapter.name);
    let card = Card::new(&window.device, format, slow);
    renderer.callback_resources.insert(card);
}

/// Paints a picture into `rect`.
pub fn paint(painter: &egui::Painter, rect: Rect, stage: StageId, picture: Picture) {
    let ground = picture.background;
    let callback = StageCallback {
        stage,
        rect,
        picture,
    };
    painter.add(egui_wgpu::Callback::new_paint_callback(rect, callback));
    // A picture cannot fade by itself; its ground over it does the same.
    let veil = 1.0 - painter.opacity();
    if veil > 0.0 {
        let [r, g, b] = ground;
        let ink = Color32::from_rgb(r, g, b).gamma_multiply(veil);
        let mut painter = painter.clone();
        painter.set_opacity(1.0);
        painter.rect_filled(rect, 0.0, ink);
    }
}

/// sRGB bytes of a colour, opacity kept, not multiplied in.
pub fn bytes(colour: Color32) -> [u8; 4] {
    colour.to_srgba_unmultiplied()
}

struct StageCallback {
    stage: StageId,
    rect: Rect,
    picture: Picture,
}

impl egui_wgpu::CallbackTrait for StageCallback {
    fn prepare(
        &self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        screen: &egui_wgpu::ScreenDescriptor,
        encoder: &mut wgpu::CommandEncoder,
        resources: &mut egui_wgpu::CallbackResources,
    ) -> Vec<wgpu::CommandBuffer> {
        if let Some(card) = resources.get_mut::<Card>() {
            let pixels = self.rect.size() * screen.pixels_per_point;
            let size = [
                pixels.x.round().max(1.0) as u32,
                pixels.y.round().max(1.0) as u32,
            ];
            card.draw(
                device,
                queue,
                encoder,
                self.stage.index(),
                &self.picture,
                size,
            );
        }
        Vec::new()
    }

    fn paint(
        &self,
        _info: egui::PaintCallbackInfo,
        pass: &mut wgpu::RenderPass<'static>,
        resources: &egui_wgpu::CallbackResources,
    ) {
        if let Some(card) = resources.get::<Card>() {
            card.show(pass, self.stage.index());
        }
    }
}
