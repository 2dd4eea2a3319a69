//! Four bodies' constant numbers.

use lithodrome_labyrinth::{EarShape, mask_of};
use wide::f64x4;

use super::drag::DragLanes;
use crate::model::{Body, Model};

/// Four plain bodies with what they move in, `[lane]`. Fields are named and measured as in [`Body`] and
/// in the physics of the lane's model.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BodyLanes<'a> {
    pub(crate) models: [&'a Model; 4],
    pub(crate) bodies: [&'a Body; 4],
    pub(crate) ears: [&'a EarShape; 4],
    pub(crate) drag: DragLanes<'a>,
    pub(crate) radius_mm: f64x4,
    pub(crate) rest_mm: f64x4,
    pub(crate) buoyant_mass_mg: f64x4,
    /// 1 over [`Body::radius_mm`] and [`Body::resistance_mg_s`], as divisions are slow.
    pub(crate) per_radius_mm: f64x4,
    pub(crate) per_resistance_mg_s: f64x4,
    /// To rolling.
    pub(crate) resistance: f64x4,
    /// Mask of the lanes whose debris is carried by the flow.
    pub(crate) entrainment: f64x4,
}

impl<'a> BodyLanes<'a> {
    /// Gathers the numbers of four bodies, each of its model.
    pub(crate) fn new(models: [&'a Model; 4], bodies: [&'a Body; 4]) -> BodyLanes<'a> {
        let each = |number: fn(&Body) -> f64| f64x4::new(bodies.map(number));
        BodyLanes {
            models,
            bodies,
            ears: [0, 1, 2, 3].map(|lane| models[lane].ear_of(bodies[lane])),
            drag: DragLanes::new(models.map(|m| m.drag), bodies.map(|b| &b.matter.rolling)),
            radius_mm: each(|b| b.radius_mm),
            rest_mm: each(|b| b.rest_mm),
            buoyant_mass_mg: each(|b| b.buoyant_mass_mg),
            per_radius_mm: each(|b| 1.0 / b.radius_mm),
            per_resistance_mg_s: each(|b| 1.0 / b.resistance_mg_s),
            resistance: each(|b| b.matter.rolling.resistance),
            entrainment: mask_of(models.map(|m| m.physics.entrainment)),
        }
    }
}
