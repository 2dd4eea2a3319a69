//! Cupulae that are lighter or heavier than endolymph.

use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use nalgebra::Vector3;

use crate::model::Model;

/// Pressure of the cupulae's own weight on the loops, mPa, `[ear]`, `[canal]`, positive ampullofugal.
///
/// # Equation
/// ΔP = Δρ h γ·n with h the thickness and n the load axis: a layer of fluid of another density.
/// 1 kg/m³ over 0.4 mm is 3.9 mPa, which a lateral canal takes for about 15 deg/s.
pub(crate) fn pressure_mpa(model: &Model, pull_mm_s2: &[Vec3; 2]) -> [Vector3<f64>; 2] {
    if !model.physics.has_cupula_weight() {
        return [Vector3::zeros(); 2];
    }
    Ear::ALL.map(|ear| {
        Vector3::from_fn(|i, _| {
            let canal = Canal::ALL[i];
            let cupula = &model.labyrinth.ear(ear).canal(canal).cupula;
            let excess = model.physics.cupula_excess_mg_mm3[CanalId { ear, canal }.index()];
            let pull = pull_mm_s2[ear.index()].dot(&cupula.load_axis_in_reid);
            excess * cupula.thickness_mm * pull
        })
    })
}
