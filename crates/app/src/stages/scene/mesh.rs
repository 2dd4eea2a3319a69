//! Triangle meshes ready for the graphics card.

use std::sync::atomic::{AtomicU64, Ordering};

use glam::Vec3;

/// A corner of a triangle.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Vertex {
    /// Place, in the mesh's own axes and unit.
    pub position: [f32; 3],
    /// Outward unit normal; zero on meshes that are not lit.
    pub normal: [f32; 3],
    /// sRGB colour and opacity, 0 to 255.
    pub colour: [u8; 4],
}

/// A mesh that never changes once made, so that the card may keep it.
#[derive(Debug)]
pub struct Mesh {
    /// Tells meshes apart on the card.
    pub id: u64,
    /// Corners, `[vertex]`.
    pub vertices: Vec<Vertex>,
    /// Corner indices, `[triangle]`.
    pub triangles: Vec<[u32; 3]>,
}

static NEXT_ID: AtomicU64 = AtomicU64::new(1);

impl PartialEq for Mesh {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
            || (self.vertices == other.vertices && self.triangles == other.triangles)
    }
}

impl Mesh {
    /// Takes corners and triangles as they are.
    pub fn new(vertices: Vec<Vertex>, triangles: Vec<[u32; 3]>) -> Self {
        Self {
            id: NEXT_ID.fetch_add(1, Ordering::Relaxed),
            vertices,
            triangles,
        }
    }
}

/// Puts shapes together into one mesh.
#[derive(Debug, Default)]
pub struct MeshBuilder {
    vertices: Vec<Vertex>,
    triangles: Vec<[u32; 3]>,
}

impl MeshBuilder {
    /// The finished mesh.
    pub fn build(self) -> Mesh {
        Mesh::new(self.vertices, self.triangles)
    }

    /// Adds a corner and returns its index.
    pub fn vertex(&mut self, position: Vec3, normal: Vec3, colour: [u8; 4]) -> u32 {
        self.vertices.push(Vertex {
            position: position.into(),
            normal: normal.into(),
            colour,
        });
        self.vertices.len() as u32 - 1
    }

    /// Adds a triangle.
    pub fn triangle(&mut self, corners: [u32; 3]) {
        self.triangles.push(corners);
    }

    /// Adds a grid of `rows` × `columns` corners; `corner(row, column)` gives place and normal.
    pub fn grid(
        &mut self,
        rows: usize,
        columns: usize,
        colour: [u8; 4],
        corner: impl Fn(usize, usize) -> (Vec3, Vec3),
    ) {
        let first = self.vertices.len() as u32;
        for row in 0..rows {
            for column in 0..columns {
                let (position, normal) = corner(row, column);
                self.vertex(position, normal, colour);
            }
        }
        let columns = columns as u32;
        for row in 0..rows as u32 - 1 {
            for column in 0..columns - 1 {
                let a = first + row * columns + column;
                self.triangle([a, a + 1, a + columns + 1]);
                self.triangle([a, a + columns + 1, a + columns]);
            }
        }
    }
}
