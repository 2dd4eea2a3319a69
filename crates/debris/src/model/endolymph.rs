//! Endolymph and cupulae of one ear: three loops, two of which share the common crus, solved exactly
//! over a time step.
//!
//! `R V̇ = −K V − 2ρ S·α + ΔP` with V the displaced volume (positive ampullofugal), R the hydraulic
//! resistance of the loops, K the stiffness of each cupula, S the loop's area vector and α the head's
//! angular acceleration. The inertia of the fluid (4 ms) is left out.
//!
//! # Source
//! Steinhausen's torsion pendulum without inertia; resistance 8μ∫ds/πb⁴ (Poiseuille); circulation
//! 2ρ·area as in Oman, Marcus & Curthoys 1987, Acta Otolaryngol 103:1 (form from memory).

use std::f64::consts::PI;

use lithodrome_labyrinth::{Canal, EarShape, Region, Tube, Vec3};
use nalgebra::{Matrix3, SymmetricEigen, Vector3};

use super::physics::Physics;

/// Constants of one ear's fluid.
#[derive(Clone, Debug, PartialEq)]
pub struct Endolymph {
    /// Resistance of the loops, mPa·s/mm³, `[canal][canal]`.
    pub resistance: Matrix3<f64>,
    /// Stiffness of the cupulae, mPa/mm³, `[canal]`.
    pub stiffness: Vector3<f64>,
    /// 2ρS, mg/mm, Reid axes, `[canal]`.
    pub circulation: [Vec3; 3],
    /// Volume displaced by a head velocity of 1 rad/s about `n_exc`, mm³, positive, `[canal]`.
    pub gain_mm3_per_rad_s: Vector3<f64>,
    pub(crate) inverse: Matrix3<f64>,
    pub(crate) rates_per_s: Vector3<f64>,
    pub(crate) from_modes: Matrix3<f64>,
    pub(crate) to_modes: Matrix3<f64>,
}

/// Displaced volumes of one ear, mm³, positive ampullofugal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displacement {
    /// By debris, `[canal]`.
    pub debris_mm3: Vector3<f64>,
    /// By the head's rotation, `[canal]`.
    pub rotation_mm3: Vector3<f64>,
}

impl Displacement {
    /// Cupulae at rest.
    pub fn rest() -> Displacement {
        Displacement {
            debris_mm3: Vector3::zeros(),
            rotation_mm3: Vector3::zeros(),
        }
    }

    /// Nothing is displaced.
    pub(crate) fn is_at_rest(&self) -> bool {
        *self == Displacement::rest()
    }

    /// What has been displaced since `before`, per second, mm³/s.
    pub(crate) fn less(&self, before: &Displacement, dt_s: f64) -> Displacement {
        Displacement {
            debris_mm3: (self.debris_mm3 - before.debris_mm3) / dt_s,
            rotation_mm3: (self.rotation_mm3 - before.rotation_mm3) / dt_s,
        }
    }

    /// Both causes together.
    pub fn total_mm3(&self) -> Vector3<f64> {
        self.debris_mm3 + self.rotation_mm3
    }
}

impl Endolymph {
    /// Integrates the ear's lumen.
    pub fn of(ear: &EarShape, physics: &Physics) -> Endolymph {
        let mu = physics.viscosity_mpa_s;
        let marks = |canal: Canal| ear.canal(canal).landmarks;
        let crus_from = marks(Canal::Anterior).duct_end_mm + ear.merge_mm;
        let anterior = ear.tube(Canal::Anterior);
        let shared = resistance(anterior, crus_from, marks(Canal::Anterior).opening_mm, mu);
        let along = |canal: Canal| {
            let m = marks(canal);
            let end = if canal == Canal::Posterior {
                m.duct_end_mm
            } else {
                m.opening_mm
            };
            resistance(ear.tube(canal), m.port_mm, end, mu)
        };
        let (a, l) = (along(Canal::Anterior), along(Canal::Lateral));
        let p = along(Canal::Posterior) + shared;
        let resistance = Matrix3::new(a, 0.0, shared, 0.0, l, 0.0, shared, 0.0, p);
        // A cupula whose own loop relaxes with the published time constant.
        let stiffness = Vector3::new(a, l, p) / physics.cupula_time_constant_s;
        let circulation = Canal::ALL
            .map(|c| ear.canal(c).area_vector_in_reid_mm2 * 2.0 * physics.fluid_density_mg_mm3);
        let gain = Vector3::from_fn(|i, _| {
            circulation[i].dot(&ear.canals[i].n_exc_in_reid).abs() / resistance[(i, i)]
        });
        Endolymph::solve(resistance, stiffness, circulation, gain)
    }

    fn solve(
        resistance: Matrix3<f64>,
        stiffness: Vector3<f64>,
        circulation: [Vec3; 3],
        gain_mm3_per_rad_s: Vector3<f64>,
    ) -> Endolymph {
        // A lower-triangle-free inverse: the matrix is positive definite by construction.
        let inverse = resistance.try_inverse().unwrap_or_else(Matrix3::zeros);
        let root = Matrix3::from_diagonal(&stiffness.map(f64::sqrt));
        let unroot = Matrix3::from_diagonal(&stiffness.map(|k| 1.0 / k.sqrt()));
        let eigen = SymmetricEigen::new(root * inverse * root);
        Endolymph {
            resistance,
            stiffness,
            circulation,
            gain_mm3_per_rad_s,
            inverse,
            rates_per_s: eigen.eigenvalues,
            from_modes: unroot * eigen.eigenvectors,
            to_modes: eigen.eigenvectors.transpose() * root,
        }
    }

    /// The same ear with more resistance in its loops, mPa·s/mm³; cupulae and gains stay as they are.
    pub(crate) fn with_resistance(&self, added: Matrix3<f64>) -> Endolymph {
        Endolymph::solve(
            self.resistance + added,
            self.stiffness,
            self.circulation,
            self.gain_mm3_per_rad_s,
        )
    }

    /// Advances by `dt_s` under a constant pressure of the debris (mPa, `[canal]`, positive
    /// ampullofugal) and a head velocity that changes by `turn_in_reid_rad_s` evenly over the step.
    pub fn step(
        &self,
        state: &mut Displacement,
        pressure_mpa: &Vector3<f64>,
        turn_in_reid_rad_s: &Vec3,
        dt_s: f64,
    ) {
        self.step_between(state, [pressure_mpa; 2], turn_in_reid_rad_s, dt_s);
    }

    /// The same with a pressure that goes evenly from the first to the second.
    pub(crate) fn step_between(
        &self,
        state: &mut Displacement,
        [first_mpa, last_mpa]: [&Vector3<f64>; 2],
        turn_in_reid_rad_s: &Vec3,
        dt_s: f64,
    ) {
        let decay = self.rates_per_s.map(|r| (-r * dt_s).exp());
        let gain = self.rates_per_s.map(|r| -(-r * dt_s).exp_m1() / r);
        // Of a pressure that begins at nothing and is whole at the end.
        let late = Vector3::from_fn(|i, _| (1.0 - gain[i] / dt_s) / self.rates_per_s[i]);
        let modes = |pressure: &Vector3<f64>| self.to_modes * (self.inverse * pressure);
        let advance = |v: &Vector3<f64>, drive: Vector3<f64>| {
            let mode = self.to_modes * v;
            self.from_modes * (decay.component_mul(&mode) + drive)
        };
        let drive = gain.component_mul(&modes(first_mpa))
            + late.component_mul(&modes(&(last_mpa - first_mpa)));
        state.debris_mm3 = advance(&state.debris_mm3, drive);
        if state.rotation_mm3 != Vector3::zeros() || *turn_in_reid_rad_s != Vec3::zeros() {
            let kick = Vector3::from_fn(|i, _| -self.circulation[i].dot(turn_in_reid_rad_s) / dt_s);
            state.rotation_mm3 = advance(&state.rotation_mm3, gain.component_mul(&modes(&kick)));
        }
    }

    /// How fast the volumes change under a pressure of the debris, mPa, and an angular acceleration of the
    /// head, rad/s²: mm³/s.
    pub(crate) fn slope(
        &self,
        state: &Displacement,
        pressure_mpa: &Vector3<f64>,
        acceleration_in_reid_rad_s2: &Vec3,
    ) -> Displacement {
        let inertia =
            Vector3::from_fn(|i, _| -self.circulation[i].dot(acceleration_in_reid_rad_s2));
        let relax = |v: &Vector3<f64>| self.stiffness.component_mul(v);
        Displacement {
            debris_mm3: self.inverse * (pressure_mpa - relax(&state.debris_mm3)),
            rotation_mm3: self.inverse * (inertia - relax(&state.rotation_mm3)),
        }
    }

    /// The head velocity about `n_exc` that would displace a cupula as far, rad/s, positive excites.
    pub fn signal_rad_s(&self, canal: Canal, volume_mm3: f64) -> f64 {
        canal.excited_by_ampullofugal() * volume_mm3 / self.gain_mm3_per_rad_s[canal.index()]
    }
}

/// Which loops flow through a place of an ear: one entry per canal, 1 or 0.
pub fn loops_through(ear: &EarShape, region: Region, arc_mm: f64) -> Vector3<f64> {
    let own = |canal: Canal| Vector3::ith(canal.index(), 1.0);
    match region {
        Region::Duct(c) | Region::ShortArm(c) => own(c),
        Region::CommonCrus => {
            let merged = arc_mm > ear.canal(Canal::Anterior).landmarks.duct_end_mm + ear.merge_mm;
            own(Canal::Anterior)
                + if merged {
                    own(Canal::Posterior)
                } else {
                    Vector3::zeros()
                }
        }
        Region::Utricle => Vector3::zeros(),
    }
}

/// 8μ∫ds/πb⁴.
fn resistance(tube: &Tube, from_mm: f64, to_mm: f64, mu: f64) -> f64 {
    8.0 * mu / PI * tube.integral_of_radius(from_mm, to_mm, |b| b.powi(-4))
}
