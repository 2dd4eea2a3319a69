//! A dialog over the window.

use egui::{Context, Frame, Id, Margin, Modal};

/// An empty dialog of this name, with room around what it will hold.
pub fn dialog(ctx: &Context, name: &str) -> Modal {
    let frame = Frame::popup(&ctx.global_style()).inner_margin(Margin::same(24));
    Modal::new(Id::unique(name)).frame(frame)
}
