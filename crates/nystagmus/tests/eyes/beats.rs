//! Quick phases: how far, how often, which way.

use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use lithodrome_nystagmus::{Gaze, Reflex, eyes_of};

use crate::made_run::{debris_in, every, run_of};

/// Positions every 5 ms under a steady slow phase, degrees along +z.
fn steady(deg_s: f64, for_s: f64) -> Vec<f64> {
    let slow = Vec3::z() * deg_s.to_radians();
    let mut gaze = Gaze::default();
    (0..(for_s / 0.005) as usize)
        .map(|_| {
            gaze.advance(0.005, slow, slow);
            gaze.position_rad.z.to_degrees()
        })
        .collect()
}

fn quick_phases(position_deg: &[f64]) -> usize {
    let quick: Vec<bool> = position_deg
        .windows(2)
        .map(|w| w[1] < w[0] - 1e-9)
        .collect();
    quick.windows(2).filter(|w| !w[0] && w[1]).count()
}

/// By hand: at 5 deg/s time ends a slow phase, 0.6 s and 3°, of which the quick phase takes 10 ms back;
/// at 40 deg/s the way ends it, 8° in 0.2 s and 27 ms for the quick phase.
#[test]
fn amplitude_or_time_ends_a_slow_phase() {
    for (deg_s, way_deg, cycle_s) in [(5.0, 3.0, 0.61), (40.0, 8.0, 0.23)] {
        let position = steady(deg_s, 60.0);
        let settled = &position[400..];
        let top = settled.iter().copied().fold(f64::MIN, f64::max);
        let bottom = settled.iter().copied().fold(f64::MAX, f64::min);
        assert!(
            (top - bottom - way_deg).abs() < 0.3,
            "{deg_s}: {bottom} to {top}"
        );
        assert!(
            (top + bottom).abs() < 0.3,
            "about straight ahead: {bottom} to {top}"
        );
        let beats = quick_phases(&position) as f64;
        assert!(
            (60.0 / beats / cycle_s - 1.0).abs() < 0.06,
            "{deg_s}: {} s",
            60.0 / beats
        );
    }
}

/// Between beats the eye drifts with the slow phase; quick phases run against it at 300 deg/s.
#[test]
fn quick_phases_run_against_the_slow_phase() {
    let position = steady(40.0, 10.0);
    for w in position.windows(2) {
        let speed = (w[1] - w[0]) / 0.005;
        assert!(speed < 40.1 && speed > -300.1, "{speed}");
    }
    assert!(position.windows(2).any(|w| (w[1] - w[0]) / 0.005 < -299.0));
}

/// The eye stays within a few degrees more than a beat even when the chair whirls, and never leaves
/// the orbit; without a signal it does not stir.
#[test]
fn the_eye_stays_within_its_limits() {
    let time_s = every(0.05, 120.0);
    let whirl = |id: CanalId, t: f64| {
        let axis = crate::made_run::n_exc()[id.index()];
        250.0 * (0.3 * t).sin() * axis.z + 180.0 * (0.7 * t).cos() * axis.x
    };
    let eyes = eyes_of(&run_of(&time_s, |_, _| 0.0, whirl), &Reflex::default());
    let farthest = eyes
        .position_rad
        .iter()
        .map(|p| p.norm().to_degrees())
        .fold(0.0, f64::max);
    assert!(farthest > 2.0 && farthest < 15.0, "{farthest}");
    let frantic = steady(5000.0, 5.0);
    assert!(frantic.iter().all(|p| p.abs() <= 45.0 + 1e-9));
    let still = eyes_of(&run_of(&time_s, |_, _| 0.0, |_, _| 0.0), &Reflex::default());
    assert!(still.position_rad.iter().all(|p| *p == Vec3::zeros()));
}

/// When the nystagmus is over, the eyes come back to straight ahead and stay there.
#[test]
fn the_eye_comes_to_rest_straight_ahead() {
    let canal = CanalId {
        ear: Ear::Left,
        canal: Canal::Posterior,
    };
    let run = debris_in(
        canal,
        &every(0.05, 30.0),
        |t| if t < 10.0 { 50.0 } else { 0.0 },
    );
    let reflex = Reflex {
        adaptation_tau_s: None,
        ..Reflex::default()
    };
    let eyes = eyes_of(&run, &reflex);
    let late = &eyes.position_rad[eyes.position_rad.len() - 100..];
    assert!(
        late.iter()
            .all(|p| p.norm().to_degrees() <= 1.0 && *p == late[0])
    );
}

/// The same run, the same beats: nothing is drawn by chance.
#[test]
fn beats_repeat_exactly() {
    let canal = CanalId {
        ear: Ear::Right,
        canal: Canal::Lateral,
    };
    let run = debris_in(canal, &every(0.04, 30.0), |t| 80.0 * (-t / 6.0).exp());
    assert_eq!(
        eyes_of(&run, &Reflex::default()),
        eyes_of(&run, &Reflex::default())
    );
}
