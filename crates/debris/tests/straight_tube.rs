//! Sliding with friction and pushing in a tube that is as good as straight.
//!
//! The tube is a stretch of a ring of 800 mm radius that descends at 30° from the cupula. A body that
//! slides on its outer wall under Coulomb's law moves at v0 (sin θ − μ cos θ) at the slope θ, with v0 its
//! speed along an upright wall. On a circle that is closed in form: with tan ψ = μ,
//! tan((θ − ψ)/2) falls as exp(−v0 t / (R cos ψ)), R the radius of the circle of its centre.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use std::sync::Arc;

use lithodrome_debris::drag::DragTable;
use lithodrome_debris::{DebrisGroup, Engine, Live, Model, Physics, Rolling, stokes_speed_mm_s};
use lithodrome_labyrinth::{Ring, Vec3};
use rig::{BOTH, CALCITE, at_angle, hold, no_entrainment, resisting};

const SLOPE_DEG: f64 = 30.0;

fn tube(slope_deg: f64) -> Ring {
    Ring {
        arc_radius_mm: 800.0,
        duct_length_mm: 20.0,
        lowest_upright_rad: slope_deg.to_radians(),
        ..Ring::default()
    }
}

fn body_at(ring: &Ring, mm: f64, diameter_um: f64, density_mg_mm3: f64) -> DebrisGroup {
    DebrisGroup {
        density_mg_mm3,
        ..at_angle(ring, 1, diameter_um, (mm / ring.arc_radius_mm).to_degrees())
    }
}

/// Centres after every time of `times_s`, mm, `[time][body]`; the slope at the cupula is `slope_deg`.
fn places_mm(
    ring: &Ring,
    groups: &[DebrisGroup],
    physics: Physics,
    engine: Engine,
    times_s: &[f64],
) -> Vec<Vec<Vec3>> {
    let motion = hold(ring, ring.lowest_upright_rad.to_degrees(), 1.0);
    let pose = motion.at(0.0);
    let model = Model::new(Arc::new(ring.labyrinth()), groups, physics, &pose).unwrap();
    let mut live = Live::new(Arc::new(model), engine, &pose);
    times_s
        .iter()
        .map(|time_s| {
            let left_s = time_s - live.time_s();
            live.advance(&pose, left_s).unwrap();
            let now = live.snapshot();
            now.bodies.iter().map(|b| b.position_in_reid_mm).collect()
        })
        .collect()
}

/// How far from the lowest point of the ring, rad: the slope there.
fn slope_rad(at: Vec3) -> f64 {
    f64::atan2(at.y, -at.z)
}

/// Speed of a body on an upright wall of the tube, mm/s.
fn wall_speed_mm_s(ring: &Ring, physics: &Physics, diameter_um: f64, density_mg_mm3: f64) -> f64 {
    let rolling = Rolling::default();
    let a = diameter_um / 2000.0;
    let lambda = a / ring.duct_radius_mm;
    let rest = 1.0 + rolling.gap;
    let m = DragTable::new().at(&rolling, lambda, 1.0 - lambda * rest, rolling.gap);
    m.along * stokes_speed_mm_s(a, density_mg_mm3, physics)
}

/// Coulomb's law, to 0.05 %; above tan θ nothing moves.
#[test]
fn friction_slows_and_stops_as_coulomb_says() {
    const TIME_S: f64 = 4.0;
    let ring = tube(SLOPE_DEG);
    for diameter_um in [10.0, 20.0, 50.0] {
        for friction in [0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.6] {
            let physics = no_entrainment();
            let group = [resisting(
                body_at(&ring, 1.0, diameter_um, CALCITE),
                friction,
            )];
            let v0 = wall_speed_mm_s(&ring, &physics, diameter_um, CALCITE);
            let psi = friction.atan();
            for engine in BOTH {
                let [from, to] = places_mm(&ring, &group, physics, engine, &[0.5, 0.5 + TIME_S])
                    .try_into()
                    .unwrap();
                let (from, to) = (from[0], to[0]);
                let radius_mm = from.norm();
                let slid = (slope_rad(from) - slope_rad(to)) * radius_mm;
                if friction > SLOPE_DEG.to_radians().tan() {
                    let sunk = (to.norm() - radius_mm).abs();
                    println!(
                        "{engine:?} {diameter_um} µm, μ {friction}: slid {slid:.1e} mm, sank {sunk:.1e} mm"
                    );
                    // Its last way into the contact, a few nm, is not sliding.
                    assert!(
                        slid.abs() < 1e-9 && sunk < 2e-7 * diameter_um,
                        "{engine:?} {diameter_um} µm: {slid} {sunk}"
                    );
                    continue;
                }
                let half = (0.5 * (slope_rad(from) - psi)).tan()
                    * (-v0 * TIME_S / (radius_mm * psi.cos())).exp();
                let law = (slope_rad(from) - psi - 2.0 * half.atan()) * radius_mm;
                let off = slid / law - 1.0;
                println!(
                    "{engine:?} {diameter_um} µm, μ {friction}: {slid:.6} mm, {:.4} % off",
                    off * 100.0
                );
                assert!(
                    off.abs() < 5e-4,
                    "{engine:?} {diameter_um} µm, μ {friction}: {off}"
                );
            }
        }
    }
}

/// Balance of forces: two bodies in contact move at (F1 + F2) / (ζ1 + ζ2), F = ζ v, to 0.05 %. Only on slopes
/// on which the tube's bottom keeps them in a row.
#[test]
fn one_grain_pushes_another() {
    let physics = no_entrainment();
    for (slope_deg, [d1, rho1], [d2, rho2]) in [
        (30.0, [40.0, 2.7], [40.0, 1.5]),
        (30.0, [20.0, 2.7], [20.0, 1.2]),
        (10.0, [50.0, 2.7], [40.0, 2.7]),
        (5.0, [50.0, 2.7], [30.0, 2.7]),
    ] {
        let ring = tube(slope_deg);
        let near = 1.0 + (d1 + d2) / 2000.0 * 1.02;
        let groups = [
            body_at(&ring, 1.0, d1, rho1),
            body_at(&ring, near, d2, rho2),
        ];
        let [from, to] = places_mm(&ring, &groups, physics, Engine::Rigid, &[2.0, 6.0])
            .try_into()
            .unwrap();
        let [v1, v2] =
            [0, 1].map(|i| (slope_rad(from[i]) - slope_rad(to[i])) * from[i].norm() / 4.0);
        let slope = |i: usize| 0.5 * (slope_rad(from[i]) + slope_rad(to[i]));
        let own1 = wall_speed_mm_s(&ring, &physics, d1, rho1) * slope(0).sin();
        let own2 = wall_speed_mm_s(&ring, &physics, d2, rho2) * slope(1).sin();
        let law = (d1 * own1 + d2 * own2) / (d1 + d2);
        println!("{d1} {d2} µm: {v1:.6} {v2:.6} mm/s, alone {own1:.5} {own2:.5}, law {law:.6}");
        assert!(own1 > 1.5 * own2, "nothing to push");
        for v in [v1, v2] {
            assert!(
                (v / law - 1.0).abs() < 5e-4,
                "{d1} {d2} µm: {v1} {v2} {law}"
            );
        }
    }
}
