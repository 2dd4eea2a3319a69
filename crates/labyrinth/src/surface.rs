//! Closed surface meshes of the lumen, for drawing only: engines ask the wall itself.

use fast_surface_nets::ndshape::{RuntimeShape, Shape};
use fast_surface_nets::{SurfaceNetsBuffer, surface_nets};

use crate::{Canal, EarShape, Region, Vec3, WallSample};

/// Spacing of the sampling grid, mm.
const GRID_MM: f64 = 0.06;
/// Cells around the lumen that stay empty.
const MARGIN: f64 = 3.0;

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

impl EarShape {
    /// The lumen's surface: a surface net on a grid, its vertices then moved onto the wall, and its facets
    /// split until they lie within 3 µm of it.
    pub fn surface(&self) -> Surface {
        let grid = Grid::around(self);
        let depths = grid.depths(self);
        let mut net = SurfaceNetsBuffer::default();
        let last = grid.size.map(|n| n - 1);
        surface_nets(&depths, &grid.shape, [0; 3], last, &mut net);
        let mut surface = Surface::default();
        for p in &net.positions {
            let on_grid = Vec3::from_fn(|k, _| f64::from(p[k]));
            let (at, wall) = on_wall(self, grid.origin + on_grid * GRID_MM);
            surface.add(at, &wall);
        }
        surface.triangles = net
            .indices
            .chunks_exact(3)
            .map(|t| outward(&surface, [t[0], t[1], t[2]]))
            .collect();
        surface.fit(self);
        surface
    }
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

/// A box of lattice points around one ear.
struct Grid {
    origin: Vec3,
    size: [u32; 3],
    shape: RuntimeShape<u32, 3>,
}

impl Grid {
    fn around(ear: &EarShape) -> Grid {
        let mut low = Vec3::repeat(f64::INFINITY);
        let mut high = -low;
        for (p, reach) in blobs(ear) {
            low = low.inf(&(p - Vec3::repeat(reach)));
            high = high.sup(&(p + Vec3::repeat(reach)));
        }
        let origin = low - Vec3::repeat(MARGIN * GRID_MM);
        let size: [u32; 3] = ((high - origin) / GRID_MM)
            .map(|x| x.ceil() as u32 + MARGIN as u32 + 1)
            .into();
        Grid {
            origin,
            size,
            shape: RuntimeShape::<u32, 3>::new(size),
        }
    }

    /// Signed distance at every lattice point, mm, negative inside; only those near the lumen are worked out.
    fn depths(&self, ear: &EarShape) -> Vec<f32> {
        let mut depths = vec![f32::NAN; self.shape.usize()];
        for (p, reach) in blobs(ear) {
            let reach = reach + 2.5 * GRID_MM;
            let low =
                ((p - self.origin).add_scalar(-reach) / GRID_MM).map(|x| x.floor().max(0.0) as u32);
            let high = ((p - self.origin).add_scalar(reach) / GRID_MM).map(|x| x.ceil() as u32);
            for z in low.z..=high.z.min(self.size[2] - 1) {
                for y in low.y..=high.y.min(self.size[1] - 1) {
                    for x in low.x..=high.x.min(self.size[0] - 1) {
                        let cell = &mut depths[self.shape.linearize([x, y, z]) as usize];
                        if cell.is_nan() {
                            let at = Vec3::new(f64::from(x), f64::from(y), f64::from(z));
                            let at = self.origin + at * GRID_MM;
                            *cell = -ear.wall(at, &mut ear.find(at)).depth_mm as f32;
                        }
                    }
                }
            }
        }
        for cell in &mut depths {
            if cell.is_nan() {
                *cell = GRID_MM as f32;
            }
        }
        depths
    }
}

/// Balls that cover the lumen: centre and radius.
fn blobs(ear: &EarShape) -> Vec<(Vec3, f64)> {
    let mut blobs = Vec::new();
    for canal in Canal::ALL {
        let tube = ear.tube(canal);
        let (from, to) = tube.range_mm();
        let n = ((to - from) / 0.15).ceil();
        for i in 0..=n as usize {
            let (p, _, radius) = tube.at(from + (to - from) * i as f64 / n);
            blobs.push((p, radius + 0.1));
        }
    }
    let utricle = &ear.utricle;
    let reach = utricle.semi_axes_mm[1].max(utricle.semi_axes_mm[2]);
    let long = utricle.semi_axes_mm[0];
    for i in -8..=8 {
        let x = f64::from(i) / 8.0 * long;
        let wide = reach * (1.0 - (x / long).powi(2)).max(0.0).sqrt();
        blobs.push((
            utricle.centre_in_reid_mm + utricle.axes_in_reid[0] * x,
            wide + 0.2,
        ));
    }
    blobs
}
