//! The lumen's surface as a net on a grid.

use fast_surface_nets::ndshape::{RuntimeShape, Shape};
use fast_surface_nets::{SurfaceNetsBuffer, surface_nets};

use crate::surface::facets;
use crate::surface::mesh::{GRID_MM, Surface, on_wall, outward};
use crate::{Canal, EarShape, Vec3};

/// Cells around the lumen that stay empty.
const MARGIN: f64 = 3.0;

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
        facets::fit(&mut surface, self);
        surface
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
