//! Latency, duration, sense and sentences, on traces made by hand.

use lithodrome_labyrinth::Vec3;
use lithodrome_nystagmus::{
    EyeTrace, Finding, Horizontal, Judging, Sense, Torsion, Vertical, judge, sentence,
};

use crate::made_run::{every, n_exc};

const RIGHT_DOWN: Vec3 = Vec3::new(-0.612, -0.612, 0.5);
const NONE_DOWN: Vec3 = Vec3::new(-0.866, 0.0, 0.5);

/// A trace with this slow phase along minus the axis of a canal (index in `CanalId::ALL`), deg/s.
fn trace(canal: usize, time_s: &[f64], fast_deg_s: impl Fn(f64) -> f64) -> EyeTrace {
    let axis = n_exc()[canal].normalize();
    let slow: Vec<Vec3> = time_s
        .iter()
        .map(|&t| -axis * fast_deg_s(t).to_radians())
        .collect();
    EyeTrace {
        time_s: time_s.to_vec(),
        debris_slow_phase_rad_s: slow.clone(),
        slow_phase_rad_s: slow,
        position_rad: vec![Vec3::zeros(); time_s.len()],
    }
}

fn hold(eyes: &EyeTrace, down: Vec3) -> Finding {
    judge(eyes, 10.0, 60.0, down, &Judging::default())
}

/// A triangle from 12 s over 38 deg/s at 20 s to 40 s. By hand: it passes 3 deg/s at 12 + 8 · 3/38 =
/// 12.632 s and 40 − 20 · 3/38 = 38.421 s, so latency 2.632 s and duration 25.789 s.
#[test]
fn latency_duration_and_peak_of_a_triangle() {
    let triangle = |t: f64| (38.0 * ((t - 12.0) / 8.0).min((40.0 - t) / 20.0)).max(0.0);
    for dt_s in [0.1, 0.25] {
        let found = hold(&trace(2, &every(dt_s, 70.0), triangle), RIGHT_DOWN);
        assert!((found.latency_s - 2.632).abs() < 0.01, "{found:?}");
        assert!((found.duration_s - 25.789).abs() < 0.01, "{found:?}");
        assert!((found.peak_at_s - 10.0).abs() < 1e-9);
        assert!((found.peak_spv_rad_s.to_degrees() - 38.0).abs() < 1e-9);
        assert!(!found.reversed && !found.seen_at_end);
        assert_eq!(
            sentence(&found),
            "Upbeating-torsional, upper pole toward the right ear, from 2.6 s for 26 s, peak 38°/s."
        );
    }
}

/// Only what lies in the hold counts, and what is above the threshold all along lasts all of it.
#[test]
fn the_hold_cuts_the_trace() {
    let steady = trace(
        1,
        &every(0.1, 100.0),
        |t| if t < 10.0 { 90.0 } else { 20.0 },
    );
    let found = hold(&steady, Vec3::new(0.0, -1.0, 0.0));
    assert!(
        found.latency_s.abs() < 1e-9 && (found.duration_s - 50.0).abs() < 1e-9,
        "{found:?}"
    );
    assert!(found.seen_at_end && found.decay_tau_s.is_none());
    assert_eq!(
        sentence(&found),
        "Right-beating, at once for 50 s, to the end of the hold, peak 20°/s (geotropic)."
    );
}

#[test]
fn nothing_seen_keeps_its_numbers() {
    let found = hold(
        &trace(2, &every(0.1, 70.0), |t| 2.0 * (-(t - 30.0).powi(2)).exp()),
        RIGHT_DOWN,
    );
    assert_eq!(
        (found.vertical, found.torsion, found.horizontal, found.sense),
        (Vertical::None, Torsion::None, Horizontal::None, Sense::None)
    );
    assert!(found.latency_s == 0.0 && found.duration_s == 0.0 && !found.is_seen());
    assert!((found.peak_spv_rad_s.to_degrees() - 2.0).abs() < 1e-9);
    // 2 deg/s times the normal of the right posterior canal: up, upper pole right, left.
    let [up, pole, right] = found.peak_components_rad_s.map(f64::to_degrees);
    assert!(
        (up - 1.334).abs() < 0.002 && (pole - 1.388).abs() < 0.002,
        "{up} {pole}"
    );
    assert!((right + 0.542).abs() < 0.002, "{right}");
    assert_eq!(sentence(&found), "No nystagmus seen.");
}

#[test]
fn an_empty_hold_finds_nothing() {
    let eyes = trace(2, &every(0.1, 5.0), |_| 50.0);
    let found = judge(&eyes, 10.0, 60.0, RIGHT_DOWN, &Judging::default());
    assert!(!found.is_seen() && found.peak_spv_rad_s == 0.0);
    let empty = trace(2, &[], |_| 0.0);
    assert_eq!(sentence(&hold(&empty, RIGHT_DOWN)), "No nystagmus seen.");
}

/// The fall of exp(−t/3.7) gives 3.7 s back (the published mean of posterior canals, Choi 2020, Front
/// Neurol 11:260), also below a rise.
#[test]
fn the_decay_is_fitted() {
    for tau_s in [3.7, 14.8] {
        let eyes = trace(2, &every(0.1, 70.0), |t| {
            if t < 15.0 {
                12.0 * (t - 10.0).max(0.0)
            } else {
                60.0 * (-(t - 15.0) / tau_s).exp()
            }
        });
        let found = hold(&eyes, RIGHT_DOWN).decay_tau_s.unwrap();
        assert!((found - tau_s).abs() < 0.01, "{found}");
    }
}

/// A second phase against the first, without a move, as in half of the posterior canals (Choi 2020);
/// it does not lengthen the first, and what was left over from before does not shorten the latency.
#[test]
fn a_second_phase_is_told_apart() {
    let bump = |t: f64, at: f64, height: f64| height * (-((t - at) / 2.0).powi(2)).exp();
    let eyes = trace(2, &every(0.05, 70.0), |t| {
        bump(t, 10.0, -8.0) + bump(t, 20.0, 40.0) + bump(t, 40.0, -6.0)
    });
    let found = hold(&eyes, RIGHT_DOWN);
    assert!(found.reversed && !found.seen_at_end);
    assert_eq!(found.vertical, Vertical::Up);
    // 40 exp(−x²/4) = 3 at x = ±2 √ln(40/3) = ±3.219 s.
    assert!((found.latency_s - (10.0 - 3.219)).abs() < 0.02, "{found:?}");
    assert!((found.duration_s - 6.438).abs() < 0.02, "{found:?}");
    assert!(sentence(&found).ends_with("peak 40°/s. Then it reverses."));
    let weak = trace(2, &every(0.05, 70.0), |t| {
        bump(t, 20.0, 40.0) + bump(t, 40.0, -2.0)
    });
    assert!(!hold(&weak, RIGHT_DOWN).reversed);
}

/// Toward the lower ear or away from it: horizontal beats of lateral canals, torsion of vertical ones in
/// a Dix-Hallpike, nothing when no ear is lower.
#[test]
fn sense_is_told_by_the_lower_ear() {
    let times = every(0.1, 70.0);
    let (right_ear_down, left_ear_down) = (Vec3::new(0.0, -1.0, 0.0), Vec3::new(0.0, 1.0, 0.0));
    let rows = [
        (1, 1.0, right_ear_down, Sense::Geotropic),
        (1, 1.0, left_ear_down, Sense::Apogeotropic),
        (1, -1.0, right_ear_down, Sense::Apogeotropic),
        (1, -1.0, left_ear_down, Sense::Geotropic),
        (1, 1.0, NONE_DOWN, Sense::None),
        (2, 1.0, RIGHT_DOWN, Sense::Geotropic),
        (2, -1.0, RIGHT_DOWN, Sense::Apogeotropic),
        (0, 1.0, RIGHT_DOWN, Sense::Geotropic),
        (2, 1.0, NONE_DOWN, Sense::None),
        (5, 1.0, Vec3::new(-0.612, 0.612, 0.5), Sense::Geotropic),
    ];
    for (canal, sign, down, expected) in rows {
        let eyes = trace(canal, &times, |_| sign * 30.0);
        let asked = Judging {
            torsion_has_sense: true,
            ..Judging::default()
        };
        let found = judge(&eyes, 10.0, 60.0, down, &asked);
        assert_eq!(found.sense, expected, "canal {canal} {sign} {down:?}");
        // Unless it is asked for, only a horizontal beat has a sense.
        let lateral = canal % 3 == 1;
        let unasked = if lateral { expected } else { Sense::None };
        assert_eq!(
            hold(&eyes, down).sense,
            unasked,
            "canal {canal} {sign} {down:?}"
        );
    }
}

/// No clock words: they run one way for the examiner and the other for the patient.
#[test]
fn sentences_have_no_clock() {
    for canal in 0..6 {
        for sign in [30.0, -30.0] {
            let words = sentence(&hold(
                &trace(canal, &every(0.1, 70.0), |_| sign),
                RIGHT_DOWN,
            ));
            assert!(!words.to_lowercase().contains("clock"), "{words}");
            assert!(words.ends_with('.') && words.chars().next().unwrap().is_uppercase());
        }
    }
}
