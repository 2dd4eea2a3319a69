//! One bead on a ring against its closed forms: the tan law for its place, the sech convolution for
//! the cupula.
//!
//! The closed forms know one radius. In a lumen a bead rolls on the inner wall while it is above the
//! level of the ring's centre and on the outer wall below it, and between them it falls across the
//! lumen, where it is four times as fast as on a wall. So only a stretch on one wall can hold to the
//! last digit: tests start at 90° from the lowest point, on the outer wall, with the ring's radius
//! chosen so that the bead's centre moves on 3.2 mm. What the crossing does is a test of its own.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use approx::assert_relative_eq;
use lithodrome_debris::{DebrisGroup, Engine, Physics, Rolling, Run};
use lithodrome_labyrinth::Ring;
use rig::{
    BOTH, Bead, CANAL, angle_deg, at_angle, go, hold, model, no_entrainment, peak, run, sample,
    sech_convolution, volume_pl,
};

/// Just below the level of the centre, so that a bead starts on the outer wall.
const LEVEL_DEG: f64 = 89.99;
const LOWEST_DEG: f64 = 120.0;

/// The ring on whose outer wall a bead's centre moves on a circle of 3.2 mm.
fn ring_for(diameter_um: f64) -> Ring {
    let ring = Ring::default();
    let off_axis = ring.duct_radius_mm - diameter_um / 2000.0 * 1.01;
    Ring {
        arc_radius_mm: 3.2 - off_axis,
        ..ring
    }
}

fn from_level(ring: &Ring, diameter_um: f64) -> DebrisGroup {
    at_angle(ring, 1, diameter_um, LOWEST_DEG - LEVEL_DEG)
}

fn from_lowest_deg(ring: &Ring, run: &Run, time_s: f64) -> f64 {
    LOWEST_DEG - angle_deg(ring, &run.tracks[0], sample(run, time_s))
}

/// Full pressure held for ever, pL.
fn final_volume_pl(ring: &Ring, bead: &Bead, physics: &Physics) -> f64 {
    let motion = hold(ring, LOWEST_DEG, 1.0);
    let fluid = model(ring, &[], *physics, &motion).fluid(CANAL.ear).clone();
    bead.pressure_mpa / fluid.stiffness[CANAL.canal.index()] * 1e6
}

/// The check values were made with more digits than the model's 0.177 and 1.65: the lubrication
/// resistances at a gap of 1 % give f = 0.176768 (see `closed_forms.rs`) and, with the shear force and
/// torque on a touching sphere, β = f λ (6.802 + 2.517). That is 0.06° and 0.2 % after 10 s.
fn unrounded() -> Rolling {
    Rolling {
        mobility: 0.176768,
        entrainment: 0.176768 * (6.802 + 2.517),
        ..Rolling::default()
    }
}

/// The formulas of this file give the published regression values: 50 µm rolling, 110° from the lowest
/// point, 10 s: 43.33°; 206.8 pL with 4.2 s (hand calculation with R 3.2 mm, b 0.16 mm).
#[test]
fn the_formulas_give_their_check_values() {
    let ring = ring_for(50.0);
    let (physics, rolling) = (no_entrainment(), unrounded());
    let bead = Bead::rolling(&ring, &physics, &rolling, 50.0);
    assert_relative_eq!(bead.path_mm, 3.2, max_relative = 1e-9);
    assert!((bead.angle_to_lowest_deg(110.0, 10.0) - 43.33).abs() < 0.01);
    let volume = final_volume_pl(&ring, &bead, &physics)
        * sech_convolution(110.0, bead.time_constant_s(), 4.2, 10.0);
    assert_relative_eq!(volume, 206.8, max_relative = 1e-3);
}

/// Tan law: from 110° the bead passes 90° after τp ln tan 55° and is at 43.33° ± 0.01° after 10 s. The
/// stretch on the outer wall is run; both engines are within 0.01° with their own steps, the settling
/// engine within 0.0005° with a tenth of them.
#[test]
fn a_bead_on_one_wall_follows_the_tan_law() {
    let ring = ring_for(50.0);
    let (physics, rolling) = (no_entrainment(), unrounded());
    let bead = Bead::rolling(&ring, &physics, &rolling, 50.0);
    let passed_s = bead.time_constant_s() * (55_f64.to_radians().tan().ln());
    let later_s = 10.0 - passed_s;
    let motion = hold(&ring, LOWEST_DEG, later_s);
    let mut group = [from_level(&ring, 50.0)];
    group[0].matter.rolling = rolling;
    for (engine, step_scale, allowed_deg) in [
        (Engine::Settling, 1.0, 0.01),
        (Engine::Settling, 0.1, 5e-4),
        (Engine::Rigid, 1.0, 0.01),
    ] {
        let mut model = model(&ring, &group, physics, &motion);
        model.step_scale = step_scale;
        let run = go(&model, &motion, engine);
        let law = bead.angle_to_lowest_deg(LEVEL_DEG, later_s);
        assert!((law - 43.33).abs() < 0.01, "{law}");
        let found = from_lowest_deg(&ring, &run, later_s);
        println!("{engine:?} × {step_scale}: {found:.5}°, law {law:.5}°");
        assert!((found - law).abs() < allowed_deg, "{found} {law}");
    }
}

/// Sech convolution: the cupula under the same bead, within 0.1 %.
#[test]
fn the_cupula_follows_the_sech_convolution() {
    let ring = ring_for(50.0);
    let physics = no_entrainment();
    let bead = Bead::of(&ring, &physics, 50.0);
    let full = final_volume_pl(&ring, &bead, &physics);
    let motion = hold(&ring, LOWEST_DEG, 20.0);
    for engine in BOTH {
        let run = run(&ring, &[from_level(&ring, 50.0)], physics, &motion, engine);
        let volume = volume_pl(&run);
        for time_s in [1.0, 2.0, 4.0, 7.2, 10.0, 15.0, 20.0] {
            let law = full * sech_convolution(LEVEL_DEG, bead.time_constant_s(), 4.2, time_s);
            let found = volume[sample(&run, time_s)];
            println!("{engine:?} {time_s} s: {found:.3} pL, law {law:.3}");
            assert_relative_eq!(found, law, max_relative = 1e-3);
        }
    }
}

/// Time and height of the peak over Λ = τp / τc, from the exact sech drive (regression values derived
/// from first principles: ± 0.5 % and ± 0.3 %).
#[test]
fn peaks_over_the_ratio_of_time_constants() {
    let table = [
        (0.25, 0.523, 0.2427),
        (0.5, 0.813, 0.3786),
        (1.0, 1.226, 0.5404),
        (2.0, 1.787, 0.7011),
        (4.0, 2.507, 0.8313),
        (8.0, 3.377, 0.9171),
    ];
    let ring = ring_for(50.0);
    let tau_p_s = Bead::of(&ring, &no_entrainment(), 50.0).time_constant_s();
    for (ratio, time_over_tau, height) in table {
        let tau_c_s = tau_p_s / ratio;
        let physics = Physics {
            cupula_time_constant_s: tau_c_s,
            ..no_entrainment()
        };
        let bead = Bead::of(&ring, &physics, 50.0);
        let motion = hold(&ring, LOWEST_DEG, 2.0 * time_over_tau * tau_c_s);
        for engine in BOTH {
            let run = run(&ring, &[from_level(&ring, 50.0)], physics, &motion, engine);
            let (at_s, volume) = peak(&run.time_s, &volume_pl(&run));
            let share = volume / final_volume_pl(&ring, &bead, &physics);
            println!("{engine:?} Λ {ratio}: {:.4} {share:.5}", at_s / tau_c_s);
            assert_relative_eq!(at_s / tau_c_s, time_over_tau, max_relative = 5e-3);
            assert_relative_eq!(share, height, max_relative = 3e-3);
        }
    }
}

/// Near the lowest point the drive is linear: V/(V∞ φ0) = Λ/(Λ−1) (e^(−t/τp) − e^(−t/τc)). Λ = 2:
/// t_peak = 2 ln 2 τc, height ½; Λ → 1: t_peak = τc, height 1/e. At 2° sine and arc differ by 0.02 %.
#[test]
fn small_angles_give_the_linear_peaks() {
    let start_deg: f64 = 2.0;
    let ring = ring_for(50.0);
    let tau_p_s = Bead::of(&ring, &no_entrainment(), 50.0).time_constant_s();
    let group = [at_angle(&ring, 1, 50.0, LOWEST_DEG - start_deg)];
    for (ratio, time_over_tau, height) in [(2.0, 2.0 * 2_f64.ln(), 0.5), (1.0, 1.0, (-1_f64).exp())]
    {
        let tau_c_s = tau_p_s / ratio;
        let physics = Physics {
            cupula_time_constant_s: tau_c_s,
            ..no_entrainment()
        };
        let bead = Bead::of(&ring, &physics, 50.0);
        let motion = hold(&ring, LOWEST_DEG, 3.0 * tau_c_s);
        for engine in BOTH {
            let run = run(&ring, &group, physics, &motion, engine);
            let (at_s, volume) = peak(&run.time_s, &volume_pl(&run));
            let share = volume / final_volume_pl(&ring, &bead, &physics) / start_deg.to_radians();
            println!("{engine:?} Λ {ratio}: {:.4} {share:.5}", at_s / tau_c_s);
            assert_relative_eq!(at_s / tau_c_s, time_over_tau, max_relative = 2e-3);
            assert_relative_eq!(share, height, max_relative = 1e-3);
        }
    }
}

/// Area law, for any course from rest to rest: ∫V dt = 6πμ (β/f) a S / (A K), S the way in the duct.
#[test]
fn the_area_under_the_cupula_is_the_way() {
    let ring = ring_for(50.0);
    let physics = no_entrainment();
    let bead = Bead::of(&ring, &physics, 50.0);
    let motion = hold(&ring, LOWEST_DEG, 120.0);
    for engine in BOTH {
        let run = run(&ring, &[from_level(&ring, 50.0)], physics, &motion, engine);
        let volume = volume_pl(&run);
        let area: f64 = (1..volume.len())
            .map(|i| 0.5 * (volume[i] + volume[i - 1]) * (run.time_s[i] - run.time_s[i - 1]))
            .sum();
        let way_mm = LEVEL_DEG.to_radians() * bead.path_mm;
        // V∞ = β F / (A K) and v = f F / 6πμa: the product of both ratios is V∞ S / v.
        let law = final_volume_pl(&ring, &bead, &physics) * way_mm / bead.speed_mm_s;
        println!("{engine:?}: {area:.2} pL s, law {law:.2}");
        assert_relative_eq!(area, law, max_relative = 2e-3);
    }
}

/// From 110° the printed 43.33° after 10 s does **not** come out in the ring of 3.2 mm and 0.16 mm: the
/// bead falls off the inner wall as it passes 90° and crosses the lumen at 0.68 of its free speed, not
/// 0.177, and is at 33.2° then (220 pL instead of 206.8). That is the lumen's doing: with ever larger
/// rings of the same lumen the law is approached, the error falling as √(b/R), as the time near 90°
/// does in which the wall is too upright to hold the bead.
#[test]
fn crossing_the_lumen_vanishes_in_a_slender_ring() {
    let ring = Ring::default();
    for engine in BOTH {
        let ahead_deg = [1.0, 4.0, 16.0].map(|k| {
            let large = Ring {
                arc_radius_mm: ring.arc_radius_mm * k,
                duct_length_mm: ring.duct_length_mm * k,
                ..ring
            };
            let motion = hold(&large, LOWEST_DEG, 10.0 * k);
            let group = [at_angle(&large, 1, 50.0, LOWEST_DEG - 110.0)];
            let run = run(&large, &group, no_entrainment(), &motion, engine);
            let found = from_lowest_deg(&large, &run, 10.0 * k);
            let centre_line = Bead {
                path_mm: large.arc_radius_mm,
                ..Bead::of(&large, &no_entrainment(), 50.0)
            };
            centre_line.angle_to_lowest_deg(110.0, 10.0 * k) - found
        });
        println!("{engine:?}: ahead of the tan law by {ahead_deg:.2?}° for 1, 4, 16 × 3.2 mm");
        for larger in ahead_deg.windows(2) {
            let ratio = larger[0] / larger[1];
            assert!((1.6..2.4).contains(&ratio), "{ahead_deg:?}");
        }
        assert!((9.0..11.0).contains(&ahead_deg[0]), "{ahead_deg:?}");
    }
}
