//! Floor, stand, circular track, inner frame and chair as meshes. Metres, from the middle of the track.

use std::f32::consts::TAU;

use glam::{Mat3, Vec2, Vec3};

use super::{Mesh, MeshBuilder, shapes};

const TRACK_RADIUS: f32 = 1.02;
const FLOOR: f32 = -1.24;
const RAIL: [u8; 4] = [176, 180, 186, 255];
const FRAME: [u8; 4] = [128, 133, 140, 255];
const CHAIR: [u8; 4] = [62, 66, 72, 255];
const STAND: [u8; 4] = [82, 86, 92, 255];
const MARK: [u8; 4] = [240, 242, 244, 255];

/// Floor with rings half a metre apart and the stand's shadow; not lit.
pub fn floor(dark: bool) -> Mesh {
    let mut out = MeshBuilder::default();
    let centre = Vec3::new(0.0, 0.0, FLOOR);
    let disc: [u8; 3] = if dark { [44, 48, 54] } else { [226, 228, 231] };
    let line: [u8; 3] = if dark { [92, 98, 106] } else { [170, 175, 181] };
    let with = |c: [u8; 3], a: u8| [c[0], c[1], c[2], a];
    shapes::flat_ring(
        &mut out,
        centre,
        Vec3::Z,
        0.0,
        2.4,
        [with(disc, 255), with(disc, 0)],
    );
    for i in 1..=4 {
        let (r, a) = (0.5 * i as f32, 120 - 24 * i as u8);
        shapes::flat_ring(&mut out, centre, Vec3::Z, r, r + 0.008, [with(line, a); 2]);
    }
    let shade = if dark { 150 } else { 70 };
    for x in [-0.30f32, 0.30] {
        let under = centre + Vec3::new(x, 0.0, 0.0);
        shapes::flat_ring(
            &mut out,
            under,
            Vec3::Z,
            0.0,
            0.75,
            [[0, 0, 0, shade], [0, 0, 0, 0]],
        );
    }
    out.build()
}

fn on_track(angle: f32, radius: f32, x: f32) -> Vec3 {
    Vec3::new(x, radius * angle.sin(), radius * angle.cos())
}

/// The stand with the rollers that carry the track.
pub fn standing() -> Mesh {
    let mut out = MeshBuilder::default();
    for side in [-1.0f32, 1.0] {
        let low = TAU / 2.0 - side * 0.42;
        for x in [-0.06f32, 0.06] {
            let roller = on_track(low, TRACK_RADIUS + 0.058, x);
            shapes::bar(
                &mut out,
                roller - Vec3::X * 0.02,
                roller + Vec3::X * 0.02,
                0.038,
                CHAIR,
            );
        }
        let hub = on_track(low, TRACK_RADIUS + 0.058, 0.0);
        shapes::bar(
            &mut out,
            hub - Vec3::X * 0.12,
            hub + Vec3::X * 0.12,
            0.014,
            STAND,
        );
        for x in [-1.0f32, 1.0] {
            let foot = Vec3::new(x * 0.34, side * 0.62, FLOOR + 0.03);
            shapes::bar(&mut out, hub + Vec3::X * (x * 0.12), foot, 0.018, STAND);
            shapes::ellipsoid(&mut out, foot, Vec3::new(0.045, 0.045, 0.03), CHAIR);
        }
    }
    for x in [-0.34f32, 0.34] {
        let end = |y: f32| Vec3::new(x, y, FLOOR + 0.04);
        shapes::bar(&mut out, end(-0.62), end(0.62), 0.018, STAND);
    }
    for y in [-0.62f32, 0.62] {
        let end = |x: f32| Vec3::new(x, y, FLOOR + 0.04);
        shapes::bar(&mut out, end(-0.34), end(0.34), 0.018, STAND);
    }
    out.build()
}

/// The track: two rails with a tie every 15°, the one at the top marked.
pub fn track() -> Mesh {
    let mut out = MeshBuilder::default();
    for x in [-0.06f32, 0.06] {
        shapes::ring(&mut out, Vec3::X * x, Vec3::X, TRACK_RADIUS, 0.020, RAIL);
    }
    for i in 0..24 {
        let angle = TAU * i as f32 / 24.0;
        let quarter = i % 6 == 0;
        let (reach, thick) = if quarter {
            (0.06, 0.016)
        } else {
            (0.06, 0.008)
        };
        let colour = if i == 0 { MARK } else { RAIL };
        shapes::bar(
            &mut out,
            on_track(angle, TRACK_RADIUS, -reach),
            on_track(angle, TRACK_RADIUS, reach),
            thick,
            colour,
        );
    }
    for z in [-1.0f32, 1.0] {
        let bearing = |r: f32| Vec3::Z * (z * r);
        shapes::bar(
            &mut out,
            bearing(TRACK_RADIUS - 0.07),
            bearing(TRACK_RADIUS),
            0.045,
            RAIL,
        );
    }
    out.build()
}

/// The inner frame on its two bearings, and the chair in it.
pub fn frame_and_chair() -> Mesh {
    let mut out = MeshBuilder::default();
    let (wide, high, round) = (0.40f32, 0.86f32, 0.14f32);
    let mut path = Vec::new();
    for (corner, start) in [
        (Vec2::new(1.0, 1.0), 0.0),
        (Vec2::new(-1.0, 1.0), 1.0),
        (Vec2::new(-1.0, -1.0), 2.0),
        (Vec2::new(1.0, -1.0), 3.0),
    ] {
        let centre = corner * Vec2::new(wide - round, high - round);
        for i in 0..=8 {
            let angle = TAU / 4.0 * (start + i as f32 / 8.0);
            let at = centre + Vec2::from_angle(angle) * round;
            path.push(Vec3::new(0.0, at.x, at.y));
        }
    }
    path.push(path[0]);
    shapes::tube(&mut out, &path, 0.022, 16, FRAME);
    for z in [-1.0f32, 1.0] {
        shapes::bar(
            &mut out,
            Vec3::Z * (z * 0.85),
            Vec3::Z * (z * 0.97),
            0.030,
            FRAME,
        );
    }
    chair(&mut out, wide);
    out.build()
}

fn chair(out: &mut MeshBuilder, wide: f32) {
    let plate =
        |out: &mut MeshBuilder, centre: [f32; 3], half: [f32; 3], round: f32, turn: Mat3| {
            shapes::rounded_box(
                out,
                Vec3::from(centre),
                Vec3::from(half),
                round,
                turn,
                CHAIR,
            );
        };
    let straight = Mat3::IDENTITY;
    plate(
        out,
        [-0.155, 0.0, 0.15],
        [0.030, 0.185, 0.33],
        0.028,
        straight,
    );
    plate(
        out,
        [-0.128, 0.0, 0.645],
        [0.026, 0.10, 0.085],
        0.024,
        straight,
    );
    for side in [-1.0f32, 1.0] {
        let turn = Mat3::from_rotation_z(side * 0.5);
        plate(
            out,
            [-0.085, 0.115 * side, 0.645],
            [0.045, 0.016, 0.07],
            0.015,
            turn,
        );
        plate(
            out,
            [0.13, 0.255 * side, 0.005],
            [0.19, 0.036, 0.020],
            0.018,
            straight,
        );
        let post = |x: f32, z: f32| Vec3::new(x, 0.255 * side, z);
        shapes::bar(out, post(0.0, 0.0), post(0.0, -0.25), 0.014, FRAME);
        shapes::bar(out, post(0.24, 0.0), post(0.24, -0.25), 0.014, FRAME);
        let shank = |x: f32, z: f32| Vec3::new(x, 0.17 * side, z);
        shapes::bar(out, shank(0.33, -0.25), shank(0.46, -0.65), 0.014, FRAME);
        let back = Vec3::new(-0.185, 0.13 * side, 0.30);
        for z in [0.30f32, -0.06] {
            let to = Vec3::new(0.0, wide * side, z);
            shapes::bar(out, Vec3::new(back.x, back.y, z), to, 0.013, FRAME);
        }
        let seat = Vec3::new(0.0, 0.2 * side, -0.27);
        shapes::bar(out, seat, Vec3::new(0.0, wide * side, -0.27), 0.016, FRAME);
    }
    shapes::bar(
        out,
        Vec3::new(-0.15, 0.0, 0.45),
        Vec3::new(-0.15, 0.0, 0.62),
        0.014,
        FRAME,
    );
    plate(
        out,
        [0.12, 0.0, -0.250],
        [0.245, 0.215, 0.034],
        0.030,
        straight,
    );
    plate(
        out,
        [0.50, 0.0, -0.655],
        [0.13, 0.20, 0.014],
        0.012,
        straight,
    );
}
