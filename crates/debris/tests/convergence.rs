//! The settling engine against itself with smaller steps.

mod manoeuvre;

use lithodrome_debris::{Engine, Run, Start};
use lithodrome_labyrinth::{Canal, Ear};
use manoeuvre::{EPLEY, Scene};

fn epley(diameter_um: f64, step_scale: f64) -> Run {
    Scene {
        ear: Ear::Right,
        canal: Canal::Posterior,
        start: Start::AmpullaryArm,
        count: 1,
        diameter_um,
        from_deg: (0.0, 0.0),
        steps: EPLEY,
        engine: Engine::Settling,
        step_scale,
    }
    .run()
}

#[test]
fn default_steps_are_close_to_fine_ones() {
    // Tolerance as measured for such engines against a general ODE solver: 5 µm + what the body
    // covers in 20 ms in a duct, and the exit within 0.1 s.
    for diameter_um in [10.0, 20.0, 36.0, 50.0, 80.0] {
        let (coarse, fine) = (epley(diameter_um, 1.0), epley(diameter_um, 0.1));
        let (a, b) = (&coarse.tracks[0], &fine.tracks[0]);
        for i in 1..coarse.time_s.len().min(fine.time_s.len()) {
            let off_mm = f64::from((a.course_mm[i] - b.course_mm[i]).abs());
            if off_mm.is_nan() {
                continue;
            }
            // The fastest within 0.1 s, the jump from one tube's arc length to the other's included.
            let window = &b.course_mm[i.saturating_sub(2)..(i + 3).min(b.course_mm.len())];
            let speed_mm_s = window
                .windows(2)
                .map(|w| f64::from((w[1] - w[0]).abs()) / 0.05)
                .fold(0.05, f64::max);
            // At the junction of the ducts an edge is crossed: 10 µm and 100 ms.
            let at_junction = b.course_mm[i] > 12.0;
            let (place_mm, time_s) = if at_junction { (0.010, 0.100) } else { (0.005, 0.020) };
            let allowed_mm = place_mm + time_s * speed_mm_s;
            assert!(off_mm < allowed_mm, "{diameter_um} µm at {} s: {off_mm} mm off", coarse.time_s[i]);
        }
        match (a.exit_s, b.exit_s) {
            (Some(a), Some(b)) => assert!((a - b).abs() < 0.1, "{diameter_um} µm: {a} and {b} s"),
            (a, b) => assert_eq!(a, b),
        }
    }
}

#[test]
fn halving_the_step_quarters_the_error_on_the_way() {
    // The midpoint rule is of second order away from contact changes: compare the place at 20 s,
    // in the middle of the way, against a much finer run.
    let at_20_s = |scale: f64| {
        let run = epley(50.0, scale);
        f64::from(run.tracks[0].course_mm[400])
    };
    let exact = at_20_s(0.01);
    let (one, half) = ((at_20_s(1.0) - exact).abs(), (at_20_s(0.5) - exact).abs());
    // Columns are single precision: errors below 1 µm cannot be compared.
    assert!(half < 1e-3 || one / half > 2.5, "{one} and {half} mm");
    assert!(one < 3e-3, "{one} mm");
}
