//! The patient: a plain seated figure, strapped in. Metres; x forward, y left, z up from the middle
//! of the track, where the patient's centre of mass is brought.

use std::sync::{Arc, OnceLock};

use glam::Vec3;

use super::{
    Mesh,
    sculpt::{Field, Shape, skin, smooth_union},
};

/// Height of the head's centre above the track axis, m.
pub const HEAD_HEIGHT_M: f32 = 0.62;

const SKIN: [u8; 4] = [205, 198, 190, 255];
const HAIR: [u8; 4] = [228, 228, 226, 255];
const CLOTH: [u8; 4] = [138, 143, 150, 255];
const TROUSERS: [u8; 4] = [84, 89, 97, 255];
const SHOE: [u8; 4] = [52, 55, 60, 255];
const STRAP: [u8; 4] = [38, 40, 44, 255];
/// The right ear's colour (Okabe & Ito 2008, vermilion).
const RIGHT: [u8; 4] = [213, 94, 0, 255];
/// The left ear's colour (Okabe & Ito 2008, blue).
const LEFT: [u8; 4] = [0, 114, 178, 255];

struct Part {
    shape: Shape,
    colour: [u8; 4],
    /// How far it melts into its neighbours, m.
    soft: f32,
}

struct Figure {
    parts: Vec<Part>,
    torso: Vec<Shape>,
    thighs: Vec<Shape>,
    head: Vec<Shape>,
}

static FIGURE: OnceLock<Arc<Mesh>> = OnceLock::new();

/// Makes the figure, once; takes a moment, so do it on a thread of its own.
pub fn prepare() {
    FIGURE.get_or_init(|| {
        let (low, high) = (Vec3::new(-0.2, -0.34, -0.68), Vec3::new(0.68, 0.34, 0.82));
        Arc::new(skin(&Figure::new(), low, high, 0.0095))
    });
}

/// The figure, once it has been made.
pub fn mesh() -> Option<Arc<Mesh>> {
    FIGURE.get().cloned()
}

fn limb(from: [f32; 3], to: [f32; 3], radii: [f32; 2]) -> Shape {
    Shape::Limb {
        from: Vec3::from(from),
        to: Vec3::from(to),
        radii,
    }
}

fn egg(centre: [f32; 3], half: [f32; 3]) -> Shape {
    Shape::Egg {
        centre: Vec3::from(centre),
        half: Vec3::from(half),
    }
}

impl Figure {
    fn new() -> Self {
        let torso = vec![
            egg([-0.015, 0.0, 0.26], [0.105, 0.165, 0.19]),
            egg([0.015, 0.0, 0.05], [0.125, 0.150, 0.17]),
            egg([0.0, 0.0, -0.11], [0.135, 0.170, 0.11]),
        ];
        let mut thighs = Vec::new();
        let head = vec![
            egg([0.015, 0.0, 0.645], [0.100, 0.079, 0.098]),
            egg([0.045, 0.0, 0.575], [0.066, 0.058, 0.075]),
        ];
        let mut parts = Vec::new();
        let mut add = |shape, colour, soft| {
            parts.push(Part {
                shape,
                colour,
                soft,
            })
        };
        for &shape in &torso {
            add(shape, CLOTH, 0.06);
        }
        for &shape in &head {
            add(shape, SKIN, 0.04);
        }
        add(
            limb([-0.02, 0.0, 0.42], [0.005, 0.0, 0.56], [0.056, 0.050]),
            SKIN,
            0.035,
        );
        add(
            limb([0.118, 0.0, 0.632], [0.130, 0.0, 0.604], [0.009, 0.014]),
            SKIN,
            0.014,
        );
        add(
            limb([0.108, -0.03, 0.668], [0.108, 0.03, 0.668], [0.010, 0.010]),
            SKIN,
            0.02,
        );
        add(
            egg([-0.012, 0.0, 0.668], [0.100, 0.086, 0.094]),
            HAIR,
            0.006,
        );
        for side in [-1.0f32, 1.0] {
            let ear = if side < 0.0 { RIGHT } else { LEFT };
            add(
                egg([0.005, 0.083 * side, 0.628], [0.022, 0.011, 0.034]),
                ear,
                0.004,
            );
            let y = |y: f32| y * side;
            add(
                limb(
                    [-0.02, y(0.07), 0.395],
                    [-0.015, y(0.175), 0.345],
                    [0.05, 0.058],
                ),
                CLOTH,
                0.05,
            );
            add(
                limb(
                    [-0.015, y(0.19), 0.34],
                    [0.0, y(0.235), 0.08],
                    [0.053, 0.045],
                ),
                CLOTH,
                0.03,
            );
            add(
                limb(
                    [0.0, y(0.235), 0.08],
                    [0.235, y(0.225), 0.065],
                    [0.044, 0.034],
                ),
                CLOTH,
                0.02,
            );
            add(
                limb(
                    [0.245, y(0.225), 0.064],
                    [0.285, y(0.222), 0.062],
                    [0.027, 0.03],
                ),
                SKIN,
                0.01,
            );
            add(
                limb(
                    [0.29, y(0.215), 0.060],
                    [0.345, y(0.208), 0.050],
                    [0.028, 0.016],
                ),
                SKIN,
                0.02,
            );
            let thigh = limb(
                [0.02, y(0.09), -0.13],
                [0.40, y(0.098), -0.125],
                [0.084, 0.062],
            );
            thighs.push(thigh);
            add(thigh, TROUSERS, 0.04);
            add(
                limb(
                    [0.40, y(0.098), -0.125],
                    [0.445, y(0.098), -0.55],
                    [0.060, 0.040],
                ),
                TROUSERS,
                0.03,
            );
            add(
                limb(
                    [0.44, y(0.098), -0.59],
                    [0.57, y(0.108), -0.60],
                    [0.040, 0.031],
                ),
                SHOE,
                0.015,
            );
        }
        Self {
            parts,
            torso,
            thighs,
            head,
        }
    }

    fn body(&self, p: Vec3) -> f32 {
        self.parts.iter().fold(f32::MAX, |d, part| {
            if d == f32::MAX {
                part.shape.distance(p)
            } else {
                smooth_union(d, part.shape.distance(p), part.soft)
            }
        })
    }

    /// Belts lie on the body a few millimetres thick, where a band crosses it.
    fn straps(&self, p: Vec3) -> f32 {
        let on = |shapes: &[Shape], soft: f32| {
            shapes
                .iter()
                .fold(1.0, |d: f32, s| smooth_union(d, s.distance(p), soft))
                - 0.010
        };
        let chest = on(&self.torso, 0.06);
        let front = -p.x - 0.02;
        let shoulder = [-1.0f32, 1.0].map(|side| {
            let band = (p.y - side * (0.055 + 0.12 * (p.z - 0.05).max(0.0))).abs() - 0.021;
            chest.max(band).max(front).max(p.z - 0.43).max(-0.05 - p.z)
        });
        let lap = chest
            .max((p.z + 0.045 - 0.25 * (p.x - 0.1)).abs() - 0.023)
            .max(-p.x - 0.09);
        let thigh = on(&self.thighs, 0.02).max((p.x - 0.30).abs() - 0.020);
        let brow = (on(&self.head, 0.04) - 0.004)
            .max((p.z - 0.690 + 0.15 * p.x).abs() - 0.013)
            .max(-p.x - 0.12);
        shoulder[0].min(shoulder[1]).min(lap).min(thigh).min(brow)
    }
}

impl Field for Figure {
    fn distance(&self, p: Vec3) -> f32 {
        self.body(p).min(self.straps(p))
    }

    fn colour(&self, p: Vec3) -> [u8; 4] {
        if self.straps(p) < self.body(p) {
            return STRAP;
        }
        let nearest = |a: &&Part, b: &&Part| a.shape.distance(p).total_cmp(&b.shape.distance(p));
        self.parts
            .iter()
            .min_by(nearest)
            .map_or(CLOTH, |part| part.colour)
    }
}
