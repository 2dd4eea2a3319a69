//! Light and heavy cupulae.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{Engine, Physics};
use lithodrome_labyrinth::{Canal, CanalId, Ear, frame};
use scene::{labyrinth, motion, run};

/// 1 kg/m³ over 0.4 mm along the load axis is 3.92 mPa, which a pressure of 2ρS·α counts as an
/// acceleration, and that times the time constant as a velocity; by hand from the ear's area. About
/// 15 deg/s for a vertical canal of the usual size.
#[test]
fn a_light_cupula_answers_to_gravity_as_the_hand_calculation() {
    let lab = labyrinth();
    let id = CanalId {
        ear: Ear::Right,
        canal: Canal::Lateral,
    };
    let mut physics = Physics::default();
    physics.cupula_excess_mg_mm3[id.index()] = -1e-3;
    // Supine (yaw 90°, track 90°), then the right ear down, then the left.
    let motion = motion(
        (90.0, 90.0),
        &[(0.0, 90.0, 2.0, 40.0), (180.0, 90.0, 4.0, 40.0)],
    );
    for engine in [Engine::Settling, Engine::Rigid] {
        let run = run(&[], physics, &motion, engine);
        let signal = &run.debris_signal_rad_s[id.index()];
        let canal = lab.canal(id);
        let area = canal
            .area_vector_in_reid_mm2
            .dot(&canal.n_exc_in_reid)
            .abs();
        let reid_from_head = frame::head_from_reid(lab.reid_pitch_nose_up_rad).inverse();
        for time_s in [0.0, 41.9, 85.9] {
            let down = reid_from_head * motion.at(time_s).down_in_head;
            let pressure = -1e-3 * 9810.0 * 0.4 * down.dot(&canal.cupula.load_axis_in_reid);
            // Ampullofugal inhibits the lateral canal.
            let expected = -pressure * 4.2 / (2.0 * area);
            let i = run
                .time_s
                .partition_point(|t| *t < time_s)
                .min(signal.len() - 1);
            println!(
                "{engine:?} {time_s} s: {:.2} deg/s, by hand {:.2}",
                signal[i].to_degrees(),
                expected.to_degrees()
            );
            assert!((signal[i] - expected).abs() < 0.01 * expected.abs().max(0.05));
        }
        for (k, other) in run.debris_signal_rad_s.iter().enumerate() {
            assert!(k == id.index() || other.iter().all(|s| s.abs() < 1e-12));
        }
        // A light cupula: geotropic, so excited with its own ear down (right beat of a right lateral).
        let at = |t: f64| signal[run.time_s.partition_point(|x| *x < t)];
        assert!(at(41.9) > 0.1 && at(85.9) < -0.1);
    }
}
