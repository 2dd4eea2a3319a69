//! Closed surface meshes of the lumen, for drawing.

use crate::Canal;

/// A triangle mesh in Reid axes, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surface {
    /// Vertices, `[vertex]`.
    pub positions_mm: Vec<[f32; 3]>,
    /// Outward unit normals, `[vertex]`.
    pub normals: Vec<[f32; 3]>,
    /// The canal a vertex belongs to; `None` on the utricle and the common crus, `[vertex]`.
    pub canal: Vec<Option<Canal>>,
    /// Corner indices, `[triangle]`, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}
