//! Simple solids: tubes, rings, balls, rounded boxes, cones and discs.

use std::f32::consts::TAU;

use glam::{Mat3, Vec3};

use super::mesh::MeshBuilder;

/// Two unit vectors square to `axis` and to each other.
pub fn square_to(axis: Vec3) -> (Vec3, Vec3) {
    axis.normalize().any_orthonormal_pair()
}

/// A round tube along a path, with flat ends.
pub fn tube(out: &mut MeshBuilder, path: &[Vec3], radius: f32, sides: usize, colour: [u8; 4]) {
    let Some((&first, &last)) = path.first().zip(path.last()) else {
        return;
    };
    let closed = path.len() > 2 && first.distance(last) < 1e-6;
    let tangent = |i: usize| -> Vec3 {
        let n = path.len();
        let (before, after) = if closed {
            (path[(i + n - 2) % (n - 1)], path[(i + 1) % (n - 1)])
        } else {
            (path[i.saturating_sub(1)], path[(i + 1).min(n - 1)])
        };
        (after - before).normalize_or_zero()
    };
    // Carry one side vector along the path so that the tube does not twist.
    let mut frames = Vec::with_capacity(path.len());
    let mut side = square_to(tangent(0)).0;
    for i in 0..path.len() {
        let t = tangent(i);
        side = (side - t * side.dot(t)).normalize_or_zero();
        frames.push((side, t.cross(side)));
    }
    let around = |i: usize, k: usize| {
        let angle = TAU * k as f32 / sides as f32;
        let (a, b) = frames[i];
        a * angle.cos() + b * angle.sin()
    };
    out.grid(path.len(), sides + 1, colour, |i, k| {
        (path[i] + around(i, k) * radius, around(i, k))
    });
    if !closed {
        for (i, sign) in [(0, -1.0), (path.len() - 1, 1.0)] {
            let normal = tangent(i) * sign;
            out.grid(2, sides + 1, colour, |row, k| {
                (path[i] + around(i, k) * radius * row as f32, normal)
            });
        }
    }
}

/// A straight round bar.
pub fn bar(out: &mut MeshBuilder, from: Vec3, to: Vec3, radius: f32, colour: [u8; 4]) {
    tube(out, &[from, to], radius, 20, colour);
}

/// A closed ring about `axis`.
pub fn ring(
    out: &mut MeshBuilder,
    centre: Vec3,
    axis: Vec3,
    ring_radius: f32,
    tube_radius: f32,
    colour: [u8; 4],
) {
    let (a, b) = square_to(axis);
    let path: Vec<Vec3> = (0..=128)
        .map(|i| {
            let angle = TAU * (i % 128) as f32 / 128.0;
            centre + (a * angle.cos() + b * angle.sin()) * ring_radius
        })
        .collect();
    tube(out, &path, tube_radius, 16, colour);
}

/// An ellipsoid with half axes along x, y and z.
pub fn ellipsoid(out: &mut MeshBuilder, centre: Vec3, half: Vec3, colour: [u8; 4]) {
    let (rows, columns) = (17, 33);
    out.grid(rows, columns, colour, |i, k| {
        let polar = std::f32::consts::PI * i as f32 / (rows - 1) as f32;
        let turn = TAU * k as f32 / (columns - 1) as f32;
        let unit = Vec3::new(
            polar.sin() * turn.cos(),
            polar.sin() * turn.sin(),
            polar.cos(),
        );
        (centre + unit * half, (unit / half).normalize())
    });
}

/// A box with rounded edges; `turn` turns it about its centre.
pub fn rounded_box(
    out: &mut MeshBuilder,
    centre: Vec3,
    half: Vec3,
    radius: f32,
    turn: Mat3,
    colour: [u8; 4],
) {
    const CUTS: usize = 12;
    let inner = (half - Vec3::splat(radius)).max(Vec3::ZERO);
    for axis in 0..3 {
        for sign in [-1.0f32, 1.0] {
            let mut normal = Vec3::ZERO;
            normal[axis] = sign;
            let (mut u, mut v) = (Vec3::ZERO, Vec3::ZERO);
            u[(axis + 1) % 3] = 1.0;
            v[(axis + 2) % 3] = sign;
            out.grid(CUTS + 1, CUTS + 1, colour, |i, k| {
                // Corners are crowded towards the edges, where the rounding is.
                let spread = |i: usize| {
                    let x = 2.0 * i as f32 / CUTS as f32 - 1.0;
                    x.signum() * (1.0 - (1.0 - x.abs()).powi(2))
                };
                let on_cube = (normal + u * spread(k) + v * spread(i)) * half;
                let core = on_cube.clamp(-inner, inner);
                let outward = (on_cube - core).normalize_or(normal);
                (centre + turn * (core + outward * radius), turn * outward)
            });
        }
    }
}

/// An arrow with a shaft and a cone.
pub fn arrow(out: &mut MeshBuilder, from: Vec3, to: Vec3, radius: f32, colour: [u8; 4]) {
    let along = to - from;
    let head = (radius * 6.0).min(along.length() * 0.5);
    let axis = along.normalize_or_zero();
    let neck = to - axis * head;
    bar(out, from, neck, radius, colour);
    let (a, b) = square_to(axis);
    let wide = radius * 2.6;
    let around = |k: usize| {
        let angle = TAU * k as f32 / 24.0;
        a * angle.cos() + b * angle.sin()
    };
    out.grid(2, 25, colour, |row, k| {
        let normal = (around(k) * head + axis * wide).normalize();
        (
            if row == 0 {
                neck + around(k) * wide
            } else {
                to
            },
            normal,
        )
    });
    out.grid(2, 25, colour, |row, k| {
        (neck + around(k) * wide * row as f32, -axis)
    });
}

/// A flat, unlit ring on a plane, for marks on the floor.
pub fn flat_ring(
    out: &mut MeshBuilder,
    centre: Vec3,
    axis: Vec3,
    inner: f32,
    outer: f32,
    colours: [[u8; 4]; 2],
) {
    let (a, b) = square_to(axis);
    let mut before: Option<[u32; 2]> = None;
    for k in 0..=96 {
        let angle = TAU * k as f32 / 96.0;
        let ray = a * angle.cos() + b * angle.sin();
        let now = [
            out.vertex(centre + ray * inner, Vec3::ZERO, colours[0]),
            out.vertex(centre + ray * outer, Vec3::ZERO, colours[1]),
        ];
        if let Some(then) = before {
            out.triangle([then[0], then[1], now[1]]);
            out.triangle([then[0], now[1], now[0]]);
        }
        before = Some(now);
    }
}
