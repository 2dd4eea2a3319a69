//! Turns soft solids into one smooth skin: a distance field and naive surface nets.
//!
//! # Source
//! Gibson 1998, MICCAI LNCS 1496:888 (surface nets); the smooth union is the usual polynomial one.

use glam::Vec3;

use super::{Mesh, MeshBuilder};

/// A soft solid.
#[derive(Clone, Copy, Debug)]
pub enum Shape {
    /// A ball swept from one place to another, its radius changing on the way.
    Limb {
        /// One end.
        from: Vec3,
        /// The other end.
        to: Vec3,
        /// Radius there and there.
        radii: [f32; 2],
    },
    /// An ellipsoid along the axes.
    Egg {
        /// Centre.
        centre: Vec3,
        /// Half axes.
        half: Vec3,
    },
}

impl Shape {
    /// Distance to the surface, negative inside (near the surface only for an egg).
    pub fn distance(&self, p: Vec3) -> f32 {
        match *self {
            Shape::Limb { from, to, radii } => {
                let (along, off) = (to - from, p - from);
                let share = (off.dot(along) / along.length_squared()).clamp(0.0, 1.0);
                (off - along * share).length() - (radii[0] + (radii[1] - radii[0]) * share)
            }
            Shape::Egg { centre, half } => {
                let q = (p - centre) / half;
                let k = q.length();
                k * (k - 1.0) / (q / half).length().max(1e-6)
            }
        }
    }
}

/// A distance field: distance at a point, and the colour there.
pub trait Field {
    /// Distance to the skin, negative inside.
    fn distance(&self, p: Vec3) -> f32;
    /// sRGB colour of the skin nearest to a point.
    fn colour(&self, p: Vec3) -> [u8; 4];
}

/// The union of two distances, blended over `soft`.
pub fn smooth_union(a: f32, b: f32, soft: f32) -> f32 {
    let h = (soft - (a - b).abs()).max(0.0) / soft;
    a.min(b) - h * h * soft * 0.25
}

/// The skin of a field within a box, cells of `cell` wide.
pub fn skin(field: &impl Field, low: Vec3, high: Vec3, cell: f32) -> Mesh {
    let grid = Grid::sample(field, low, high, cell);
    let [nx, ny, nz] = grid.size;
    let mut out = MeshBuilder::default();
    let mut corner_of = vec![u32::MAX; nx * ny * nz];
    for z in 0..nz - 1 {
        for y in 0..ny - 1 {
            for x in 0..nx - 1 {
                if let Some(place) = grid.crossing([x, y, z]) {
                    // One step along the gradient puts the corner onto the skin itself.
                    let slope = gradient(field, place, cell * 0.5);
                    let place = place - slope * field.distance(place).clamp(-cell, cell);
                    let normal = gradient(field, place, cell * 0.5);
                    corner_of[grid.index([x, y, z])] =
                        out.vertex(place, normal, field.colour(place));
                }
            }
        }
    }
    for z in 1..nz - 1 {
        for y in 1..ny - 1 {
            for x in 1..nx - 1 {
                for axis in 0..3 {
                    let here = [x, y, z];
                    let mut next = here;
                    next[axis] += 1;
                    let (a, b) = (grid.at(here), grid.at(next));
                    if (a < 0.0) == (b < 0.0) {
                        continue;
                    }
                    let back = |i: usize, j: usize| {
                        let mut cell = here;
                        cell[(axis + 1) % 3] -= i;
                        cell[(axis + 2) % 3] -= j;
                        corner_of[grid.index(cell)]
                    };
                    let quad = [back(0, 0), back(1, 0), back(1, 1), back(0, 1)];
                    if quad.contains(&u32::MAX) {
                        continue;
                    }
                    let [p, q, r, s] = quad;
                    if a < 0.0 {
                        out.triangle([p, q, r]);
                        out.triangle([p, r, s]);
                    } else {
                        out.triangle([p, r, q]);
                        out.triangle([p, s, r]);
                    }
                }
            }
        }
    }
    out.build()
}

fn gradient(field: &impl Field, p: Vec3, step: f32) -> Vec3 {
    let slope = |axis: Vec3| field.distance(p + axis * step) - field.distance(p - axis * step);
    Vec3::new(slope(Vec3::X), slope(Vec3::Y), slope(Vec3::Z)).normalize_or(Vec3::Z)
}

struct Grid {
    low: Vec3,
    cell: f32,
    size: [usize; 3],
    values: Vec<f32>,
}

impl Grid {
    /// Samples a field; blocks far from the skin are not looked at more closely.
    fn sample(field: &impl Field, low: Vec3, high: Vec3, cell: f32) -> Self {
        const BLOCK: usize = 4;
        let size = ((high - low) / cell)
            .to_array()
            .map(|n| n.ceil() as usize + 1);
        let mut grid = Self {
            low,
            cell,
            size,
            values: vec![0.0; size.iter().product()],
        };
        let half = BLOCK as f32 * cell / 2.0;
        let [bx, by, bz] = size.map(|n| n.div_ceil(BLOCK));
        for block in 0..bx * by * bz {
            let corner = [block % bx, block / bx % by, block / (bx * by)].map(|b| b * BLOCK);
            let middle = grid.place(corner) + Vec3::splat(half);
            let there = field.distance(middle);
            let near = there.abs() < half * 3.0;
            for step in 0..BLOCK.pow(3) {
                let at = [
                    corner[0] + step % BLOCK,
                    corner[1] + step / BLOCK % BLOCK,
                    corner[2] + step / (BLOCK * BLOCK),
                ];
                if at.iter().zip(&size).all(|(a, n)| a < n) {
                    let index = grid.index(at);
                    grid.values[index] = if near {
                        field.distance(grid.place(at))
                    } else {
                        there
                    };
                }
            }
        }
        grid
    }

    fn index(&self, [x, y, z]: [usize; 3]) -> usize {
        (z * self.size[1] + y) * self.size[0] + x
    }

    fn at(&self, cell: [usize; 3]) -> f32 {
        self.values[self.index(cell)]
    }

    fn place(&self, at: [usize; 3]) -> Vec3 {
        self.low + Vec3::from_array(at.map(|i| i as f32)) * self.cell
    }

    /// The mean of the places where the skin cuts a cell's edges.
    fn crossing(&self, cell: [usize; 3]) -> Option<Vec3> {
        let corner = |bits: usize| std::array::from_fn(|axis| cell[axis] + (bits >> axis & 1));
        let (mut sum, mut count) = (Vec3::ZERO, 0.0);
        for bits in 0..8usize {
            for axis in 0..3 {
                if bits >> axis & 1 == 1 {
                    continue;
                }
                let (from, to) = (corner(bits), corner(bits | 1 << axis));
                let (a, b) = (self.at(from), self.at(to));
                if (a < 0.0) != (b < 0.0) {
                    sum += self.place(from).lerp(self.place(to), a / (a - b));
                    count += 1.0;
                }
            }
        }
        (count > 0.0).then(|| sum / count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Ball;
    impl Field for Ball {
        fn distance(&self, p: Vec3) -> f32 {
            p.length() - 1.0
        }
        fn colour(&self, _: Vec3) -> [u8; 4] {
            [1, 2, 3, 4]
        }
    }

    #[test]
    fn a_ball_has_the_area_of_a_ball_and_looks_outward() {
        let mesh = skin(&Ball, Vec3::splat(-1.3), Vec3::splat(1.3), 0.1);
        let mut area = 0.0;
        for t in &mesh.triangles {
            let [a, b, c] = t.map(|i| Vec3::from(mesh.vertices[i as usize].position));
            let normal = (b - a).cross(c - a);
            assert!(
                normal.dot(a + b + c) > 0.0,
                "counter-clockwise from outside"
            );
            area += normal.length() / 2.0;
        }
        let ball = 4.0 * std::f32::consts::PI;
        assert!((area / ball - 1.0).abs() < 0.01, "{area} of {ball}");
    }
}
