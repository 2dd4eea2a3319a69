//! One mesh on the graphics card.

use eframe::egui_wgpu::wgpu;
use glam::Mat4;

/// A mesh on the card.
pub(super) struct CardMesh {
    pub(super) vertices: wgpu::Buffer,
    pub(super) indices: wgpu::Buffer,
    pub(super) index_count: u32,
    pub(super) used_at: u64,
    /// Matrix that the glass triangles were last sorted for.
    pub(super) sorted_for: Option<Mat4>,
}
