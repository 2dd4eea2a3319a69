//! Closed surface meshes of the lumen, for drawing only: engines ask the wall itself.

use crate::{Canal, EarShape, Region, Vec3, WallSample};

/// Spacing of the sampling grid, mm.
pub(crate) const GRID_MM: f64 = 0.06;

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

impl Surface {
    /// Adds a vertex that lies on the wall.
    pub(crate) fn add(&mut self, at: Vec3, wall: &WallSample) {
        self.positions_mm.push(at.map(|x| x as f32).into());
        self.normals.push((-wall.inward).map(|x| x as f32).into());
        self.canal.push(match wall.region {
            Region::Duct(c) | Region::ShortArm(c) => Some(c),
            Region::CommonCrus | Region::Utricle => None,
        });
    }

    pub(crate) fn vertex_mm(&self, vertex: u32) -> Vec3 {
        Vec3::from(self.positions_mm[vertex as usize].map(f64::from))
    }
}

/// The point moved onto the wall: Newton's steps, and where the rounding of an edge makes them swing, halving.
pub(crate) fn on_wall(ear: &EarShape, mut at: Vec3) -> (Vec3, WallSample) {
    let mut hint = ear.find(at);
    let mut wall = ear.wall(at, &mut hint);
    for _ in 0..4 {
        at -= wall.inward * (wall.depth_mm / wall.steepness.max(0.3));
        wall = ear.wall(at, &mut hint);
    }
    let along = wall.inward;
    let (mut low, mut high) = (-GRID_MM, GRID_MM);
    let inside_at = |x: f64| {
        ear.wall(at + along * x, &mut ear.find(at + along * x))
            .depth_mm
            > 0.0
    };
    if wall.depth_mm.abs() > 1e-3 && !inside_at(low) && inside_at(high) {
        for _ in 0..12 {
            let middle = 0.5 * (low + high);
            if inside_at(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        at += along * high;
        wall = ear.wall(at, &mut hint);
    }
    (at, wall)
}

/// The triangle turned so that it faces as its vertices' normals do.
pub(crate) fn outward(surface: &Surface, [a, b, c]: [u32; 3]) -> [u32; 3] {
    let p = |i: u32| nalgebra::Vector3::from(surface.positions_mm[i as usize]);
    let n = nalgebra::Vector3::from(surface.normals[a as usize]);
    if (p(b) - p(a)).cross(&(p(c) - p(a))).dot(&n) < 0.0 {
        [a, c, b]
    } else {
        [a, b, c]
    }
}
