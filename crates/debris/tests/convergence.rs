//! The settling engine against itself with smaller steps.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::ops::ControlFlow;

use lithodrome_debris::{Engine, Model, Physics, Run, simulate};
use lithodrome_labyrinth::Ear;

fn epley(diameter_um: f64, step_scale: f64) -> Run {
    let motion = scene::epley(Ear::Right, 30.0);
    let group = scene::debris(Ear::Right, 1, diameter_um);
    let start = motion.at(0.0);
    let mut model = Model::new(scene::labyrinth(), &[group], Physics::default(), &start).unwrap();
    model.step_scale = step_scale;
    let go_on = &mut |_| ControlFlow::Continue(());
    simulate(&model, &motion, Engine::Settling, go_on).unwrap()
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
            let (place_mm, time_s) = if at_junction {
                (0.010, 0.100)
            } else {
                (0.005, 0.020)
            };
            let allowed_mm = place_mm + time_s * speed_mm_s;
            assert!(
                off_mm < allowed_mm,
                "{diameter_um} µm at {} s: {off_mm} mm off",
                coarse.time_s[i]
            );
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

/// While nothing moves the engine takes steps of a minute. With steps 0.6 s long, as before, everything is where it
/// was: places within what [`default_steps_are_close_to_fine_ones`] allows at rest, cupulae to a ten-thousandth.
#[test]
fn hours_of_rest_take_few_steps_and_change_nothing() {
    let run = |hold_s: f64, step_scale: f64| {
        let motion = scene::epley(Ear::Right, hold_s);
        let group = scene::debris(Ear::Right, 3, 50.0);
        let start = motion.at(0.0);
        let mut model =
            Model::new(scene::labyrinth(), &[group], Physics::default(), &start).unwrap();
        model.step_scale = step_scale;
        let go_on = &mut |_| ControlFlow::Continue(());
        simulate(&model, &motion, Engine::Settling, go_on).unwrap()
    };
    let (long, fine) = (run(1800.0, 1.0), run(1800.0, 0.01));
    let short = run(120.0, 1.0);
    assert!(
        long.work.steps < short.work.steps + 600,
        "{} {}",
        long.work.steps,
        short.work.steps
    );
    for (a, b) in long.tracks.iter().zip(&fine.tracks) {
        assert_eq!(
            a.place.last().unwrap().region,
            b.place.last().unwrap().region
        );
        let ends = [a, b].map(|t| t.position_in_reid_mm.last().copied().unwrap());
        let apart_mm = (0..3)
            .map(|k| (ends[0][k] - ends[1][k]).abs())
            .fold(0.0, f32::max);
        assert!(apart_mm < 0.005, "{apart_mm}");
    }
    let largest = |run: &Run| {
        let all = run.debris_signal_rad_s.iter().flatten();
        all.map(|v| v.abs()).fold(0.0, f64::max)
    };
    for (a, b) in long
        .debris_signal_rad_s
        .iter()
        .zip(&fine.debris_signal_rad_s)
    {
        let ends = [a, b].map(|signal| *signal.last().unwrap());
        assert!(
            (ends[0] - ends[1]).abs() < 1e-4 * largest(&fine),
            "{ends:?}"
        );
    }
}
