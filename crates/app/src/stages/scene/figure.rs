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
    thighs: [Shape; 2],
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

const fn limb(from: [f32; 3], to: [f32; 3], radii: [f32; 2]) -> Shape {
    let (from, to) = (Vec3::from_array(from), Vec3::from_array(to));
    Shape::Limb { from, to, radii }
}

const fn egg(centre: [f32; 3], half: [f32; 3]) -> Shape {
    let (centre, half) = (Vec3::from_array(centre), Vec3::from_array(half));
    Shape::Egg { centre, half }
}

const fn part(colour: [u8; 4], soft: f32, shape: Shape) -> Part {
    Part {
        shape,
        colour,
        soft,
    }
}

const TORSO: [Shape; 3] = [
    egg([-0.015, 0.0, 0.26], [0.105, 0.165, 0.19]),
    egg([0.015, 0.0, 0.05], [0.125, 0.150, 0.17]),
    egg([0.0, 0.0, -0.11], [0.135, 0.170, 0.11]),
];
const HEAD: [Shape; 2] = [
    egg([0.015, 0.0, 0.645], [0.100, 0.079, 0.098]),
    egg([0.045, 0.0, 0.575], [0.066, 0.058, 0.075]),
];
/// Neck, nose, brow.
const FACE: [(f32, Shape); 3] = [
    (
        0.035,
        limb([-0.02, 0.0, 0.42], [0.005, 0.0, 0.56], [0.056, 0.050]),
    ),
    (
        0.014,
        limb([0.118, 0.0, 0.632], [0.130, 0.0, 0.604], [0.009, 0.014]),
    ),
    (
        0.020,
        limb([0.108, -0.03, 0.668], [0.108, 0.03, 0.668], [0.010, 0.010]),
    ),
];

/// The thigh of the left (1) or right (−1) side.
fn thigh(side: f32) -> Shape {
    limb(
        [0.02, 0.09 * side, -0.13],
        [0.40, 0.098 * side, -0.125],
        [0.084, 0.062],
    )
}

/// Ear, arm and leg of the left (1) or right (−1) side.
fn side_parts(side: f32) -> [Part; 9] {
    let ear = if side < 0.0 { RIGHT } else { LEFT };
    let at = |x: f32, y: f32, z: f32| [x, y * side, z];
    [
        part(
            ear,
            0.004,
            egg(at(0.005, 0.083, 0.628), [0.022, 0.011, 0.034]),
        ),
        part(
            CLOTH,
            0.05,
            limb(
                at(-0.02, 0.07, 0.395),
                at(-0.015, 0.175, 0.345),
                [0.05, 0.058],
            ),
        ),
        part(
            CLOTH,
            0.03,
            limb(at(-0.015, 0.19, 0.34), at(0.0, 0.235, 0.08), [0.053, 0.045]),
        ),
        part(
            CLOTH,
            0.02,
            limb(
                at(0.0, 0.235, 0.08),
                at(0.235, 0.225, 0.065),
                [0.044, 0.034],
            ),
        ),
        part(
            SKIN,
            0.01,
            limb(
                at(0.245, 0.225, 0.064),
                at(0.285, 0.222, 0.062),
                [0.027, 0.03],
            ),
        ),
        part(
            SKIN,
            0.02,
            limb(
                at(0.29, 0.215, 0.06),
                at(0.345, 0.208, 0.05),
                [0.028, 0.016],
            ),
        ),
        part(TROUSERS, 0.04, thigh(side)),
        part(
            TROUSERS,
            0.03,
            limb(
                at(0.4, 0.098, -0.125),
                at(0.445, 0.098, -0.55),
                [0.06, 0.04],
            ),
        ),
        part(
            SHOE,
            0.015,
            limb(at(0.44, 0.098, -0.59), at(0.57, 0.108, -0.6), [0.04, 0.031]),
        ),
    ]
}

impl Figure {
    fn new() -> Self {
        let mut parts = Vec::new();
        parts.extend(TORSO.map(|shape| part(CLOTH, 0.06, shape)));
        parts.extend(HEAD.map(|shape| part(SKIN, 0.04, shape)));
        parts.extend(FACE.map(|(soft, shape)| part(SKIN, soft, shape)));
        parts.push(part(
            HAIR,
            0.006,
            egg([-0.012, 0.0, 0.668], [0.100, 0.086, 0.094]),
        ));
        for side in [-1.0, 1.0] {
            parts.extend(side_parts(side));
        }
        Self {
            parts,
            thighs: [-1.0, 1.0].map(thigh),
        }
    }

    fn body(&self, p: Vec3) -> f32 {
        // 1 m is farther than the body is wide.
        self.parts.iter().fold(1.0, |d, part| {
            smooth_union(d, part.shape.distance(p), part.soft)
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
        let chest = on(&TORSO, 0.06);
        let front = -p.x - 0.02;
        let shoulder = [-1.0f32, 1.0].map(|side| {
            let band = (p.y - side * (0.055 + 0.12 * (p.z - 0.05).max(0.0))).abs() - 0.021;
            chest.max(band).max(front).max(p.z - 0.43).max(-0.05 - p.z)
        });
        let lap = chest
            .max((p.z + 0.045 - 0.25 * (p.x - 0.1)).abs() - 0.023)
            .max(-p.x - 0.09);
        let thigh = on(&self.thighs, 0.02).max((p.x - 0.30).abs() - 0.020);
        let brow = (on(&HEAD, 0.04) - 0.004)
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
