//! Storage, adaptation and what they leave alone.

use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use lithodrome_nystagmus::{Judging, Reflex, Watching, eyes_after_sitting, eyes_of, judge};

use crate::made_run::{debris_in, every, run_of};

const RIGHT_LATERAL: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Lateral,
};
const RIGHT_POSTERIOR: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Posterior,
};

/// Neither stored nor adapted.
fn plain() -> Reflex {
    Reflex {
        adaptation_tau_s: None,
        adaptation_share: 1.0,
        storage_per_s: 0.0,
        ..Reflex::default()
    }
}

/// Of a load that lasts for many time constants a share is left: 1 − 0.7 of it with the default, at the start
/// of a run after long sitting and at its end.
#[test]
fn what_lasts_is_adapted_to_in_part() {
    let time_s = every(1.0, 50.0);
    let reflex = Reflex {
        storage_per_s: 0.0,
        ..Reflex::default()
    };
    let run = debris_in(RIGHT_LATERAL, &time_s, |_| 20.0);
    let yaw = |sat_s: f64| {
        let eyes = eyes_after_sitting(&run, &reflex, Watching::default(), sat_s);
        let of = |i: usize| eyes.debris_slow_phase_rad_s[i].z;
        [of(0), of(time_s.len() - 1)]
    };
    let [first, _] = yaw(0.0);
    let [sat, last] = yaw(4000.0);
    assert!((sat / first - 0.3).abs() < 1e-9, "{sat} {first}");
    assert!((last / first - 0.3).abs() < 1e-9, "{last} {first}");
}

fn one_over_e_s(time_s: &[f64], values: &[f64]) -> f64 {
    let level = values[0] / std::f64::consts::E;
    let i = values.partition_point(|&v| v >= level);
    let share = (values[i - 1] - level) / (values[i - 1] - values[i]);
    time_s[i - 1] + share * (time_s[i] - time_s[i - 1])
}

/// A cupula of 4.2 s (Dai 1999, J Vestib Res 9:293) with a store of 15 s: out = u + x,
/// x = k (e^(−t/15) − e^(−t/4.2)) / (1/4.2 − 1/15), which falls to 1/e at 6.0, 9.1 and 13.2 s for k of
/// 0.05, 0.10 and 0.15 per s.
#[test]
fn storage_lengthens_the_cupula_as_its_closed_form_says() {
    let time_s = every(0.05, 40.0);
    for (k, expected_s) in [(0.0, 4.2), (0.05, 6.0), (0.10, 9.1), (0.15, 13.2)] {
        let reflex = Reflex {
            storage_per_s: k,
            ..plain()
        };
        let run = debris_in(RIGHT_LATERAL, &time_s, |t| 40.0 * (-t / 4.2).exp());
        let eyes = eyes_of(&run, &reflex);
        let yaw: Vec<f64> = eyes
            .debris_slow_phase_rad_s
            .iter()
            .map(|v| v.z.abs())
            .collect();
        let found_s = one_over_e_s(&time_s, &yaw);
        assert!(
            (found_s / expected_s - 1.0).abs() < 0.02,
            "k {k}: {found_s} s"
        );
        for (t, yaw) in time_s.iter().zip(&yaw) {
            let u = (-t / 4.2).exp();
            let x = k * ((-t / 15.0).exp() - u) / (1.0 / 4.2 - 1.0 / 15.0);
            assert!((yaw / amplitude() - (u + x)).abs() < 1e-4, "k {k} at {t} s");
        }
    }
}

/// Seconds to 1/e of the lateral canal's yaw after a cupula of 4.2 s, in a head rolled to its right by `roll_deg`.
fn decay_when_rolled_s(roll_deg: f64) -> f64 {
    let time_s = every(0.05, 40.0);
    let roll_rad = roll_deg.to_radians();
    let mut run = debris_in(RIGHT_LATERAL, &time_s, |t| 40.0 * (-t / 4.2).exp());
    run.down_in_head = vec![Vec3::new(0.0, -roll_rad.sin(), -roll_rad.cos()); time_s.len()];
    let reflex = Reflex {
        adaptation_tau_s: None,
        ..Reflex::default()
    };
    let eyes = eyes_of(&run, &reflex);
    let yaw = eyes.debris_slow_phase_rad_s.iter().map(|v| v.z.abs());
    one_over_e_s(&time_s, &yaw.collect::<Vec<f64>>())
}

/// With the ear down the store loses 1/15 + 0.38 per s: out = u + x with
/// x = 0.1 (e^(−0.447 t) − e^(−t/4.2)) / (1/4.2 − 0.447), which falls to 1/e at 5.3 s, near the cupula's 4.2, as tilting the
/// head brings the decay to that of the nerve; upright it is 9.1 s.
#[test]
fn an_ear_that_is_down_empties_the_store() {
    let found_s = decay_when_rolled_s(90.0);
    let out = |t: f64| {
        let u = (-t / 4.2_f64).exp();
        u + 0.1 * ((-(1.0 / 15.0 + 0.38) * t).exp() - u) / (1.0 / 4.2 - 1.0 / 15.0 - 0.38)
    };
    assert!(
        (out(found_s) - (-1.0_f64).exp()).abs() < 1e-3,
        "{found_s} s"
    );
    assert!((found_s - 5.3).abs() < 0.1, "{found_s} s");
    assert!((decay_when_rolled_s(0.0) - 9.1).abs() < 0.1);
}

/// 19.6 ± 3.2 s upright, 15.7 ± 4.0 and 12.7 ± 2.7 s in 30° and 60° of roll (Hain & Buettner 1990, Exp Brain Res
/// 82:463, abstract; five subjects): 0.80 and 0.65 of it. Their axis of turning stayed vertical, so it
/// bounds what roll alone does; no number of ours was chosen by it.
#[test]
fn roll_shortens_the_decay_about_as_measured() {
    let upright_s = decay_when_rolled_s(0.0);
    for (roll_deg, ratio, off) in [(30.0, 0.80, 0.20), (60.0, 0.65, 0.14)] {
        let found = decay_when_rolled_s(roll_deg) / upright_s;
        assert!((found - ratio).abs() < off, "{roll_deg}°: {found}");
    }
}

/// Yaw of 40 deg/s on the right lateral canal: 0.9 · 0.72 · 40 · 0.946.
fn amplitude() -> f64 {
    (0.9 * 0.72 * 40.0 * 0.946_f64).to_radians()
}

/// Vertical canals decay with the cupula (torsion 6.7 s, pitch 7.3 s, Tweed 1994; posterior-canal
/// nystagmus 3.7 to 4.5 s, Choi 2020, Front Neurol 11:260): nothing of them is stored.
#[test]
fn a_posterior_canal_is_not_stored() {
    let time_s = every(0.05, 40.0);
    let run = debris_in(RIGHT_POSTERIOR, &time_s, |t| 40.0 * (-t / 4.2).exp());
    let reflex = Reflex {
        adaptation_tau_s: None,
        ..Reflex::default()
    };
    let speed: Vec<f64> = eyes_of(&run, &reflex)
        .debris_slow_phase_rad_s
        .iter()
        .map(Vec3::norm)
        .collect();
    assert!((one_over_e_s(&time_s, &speed) - 4.2).abs() < 0.01);
}

/// Debris of 80 µm in the linear model of a round canal (Obrist & Hegemann 2008, J R Soc Interface, in
/// the overdamped limit): u = e^(−t/4.2) − e^(−t/3.05). A high-pass of time constant τ gives, for each
/// exponential of time constant T, (e^(−t/T)/T − e^(−t/τ)/τ) / (1/T − 1/τ), and with it a second phase
/// against the first: 8.9 % of the peak for 80 s and 14.7 % for 39.3 s (Glover 2014,
/// Phys Med Biol).
///
/// A reference computation with simulated debris in a lateral canal found 9 % (sign change at 19 s) and
/// 16 % (16 s). The input there is another one, so that only the order is comparable.
#[test]
fn adaptation_reverses_as_its_closed_form_says() {
    let time_s = every(0.05, 80.0);
    let u = |t: f64| (-t / 4.2).exp() - (-t / 3.05).exp();
    let high_pass = |t: f64, slow: f64, tau: f64| {
        ((-t / slow).exp() / slow - (-t / tau).exp() / tau) / (1.0 / slow - 1.0 / tau)
    };
    for (tau_s, percent, change_s) in [
        (80.0, 7.0..11.0, 14.0..22.0),
        (39.3, 13.0..19.0, 12.0..20.0),
    ] {
        let reflex = Reflex {
            adaptation_tau_s: Some(tau_s),
            ..plain()
        };
        let run = debris_in(RIGHT_LATERAL, &time_s, |t| 400.0 * u(t));
        let eyes = eyes_of(&run, &reflex);
        let yaw: Vec<f64> = eyes.debris_slow_phase_rad_s.iter().map(|v| v.z).collect();
        let (mut peak, mut least) = (0.0_f64, 0.0_f64);
        for (&t, yaw) in time_s.iter().zip(&yaw) {
            let expected = high_pass(t, 4.2, tau_s) - high_pass(t, 3.05, tau_s);
            let found = yaw / (10.0 * amplitude());
            assert!(
                (found - expected).abs() < 1e-4,
                "τ {tau_s} at {t} s: {found} {expected}"
            );
            peak = peak.max(found);
            least = least.min(found);
        }
        let reversal = -100.0 * least / peak;
        assert!(percent.contains(&reversal), "τ {tau_s}: {reversal} %");
        let turns_s = time_s
            .iter()
            .zip(&yaw)
            .find(|&(&t, &v)| t > 2.0 && v < 0.0)
            .map_or(f64::NAN, |(&t, _)| t);
        assert!(change_s.contains(&turns_s), "τ {tau_s}: {turns_s} s");
    }
}

/// The same signal sampled unevenly gives the same eyes: the updates are exact for straight pieces.
#[test]
fn uneven_samples_give_the_same() {
    let ramp = |t: f64| {
        if t < 5.0 {
            8.0 * t
        } else {
            40.0 - 2.0 * (t - 5.0)
        }
    };
    let even = every(0.1, 20.0);
    let uneven = [
        0.0, 0.3, 0.4, 1.7, 2.0, 4.9, 5.0, 8.8, 9.0, 9.1, 15.0, 19.99, 20.0,
    ];
    let reflex = Reflex {
        adaptation_tau_s: None,
        ..Reflex::default()
    };
    let fine = eyes_of(&debris_in(RIGHT_LATERAL, &even, ramp), &reflex);
    let coarse = eyes_of(&debris_in(RIGHT_LATERAL, &uneven, ramp), &reflex);
    let (a, b) = (
        fine.debris_slow_phase_rad_s.last(),
        coarse.debris_slow_phase_rad_s.last(),
    );
    assert!((a.unwrap() - b.unwrap()).norm() < 1e-6, "{a:?} {b:?}");
}

/// Turning and debris are told apart: the debris column does not know of the turn, the other does, and
/// both are one once the turn has died away.
#[test]
fn the_turn_is_left_out_of_the_debris_part() {
    let time_s = every(0.05, 60.0);
    let debris = |t: f64| 30.0 * (-(t - 12.0).powi(2) / 18.0).exp();
    let turn = |t: f64| -40.0 * (-t / 4.2).exp();
    let of = |id: CanalId, v: f64| if id == RIGHT_POSTERIOR { v } else { 0.0 };
    let with = eyes_of(
        &run_of(&time_s, |c, t| of(c, debris(t)), |c, t| of(c, turn(t))),
        &plain(),
    );
    let without = eyes_of(
        &run_of(&time_s, |c, t| of(c, debris(t)), |_, _| 0.0),
        &plain(),
    );
    assert_eq!(
        with.debris_slow_phase_rad_s,
        without.debris_slow_phase_rad_s
    );
    assert_eq!(without.debris_slow_phase_rad_s, without.slow_phase_rad_s);
    // Beating down at first, from the turn: the fast phase of an inhibited posterior canal.
    assert!(with.slow_phase_rad_s[0].y < 0.0 && with.debris_slow_phase_rad_s[0].y >= 0.0);
    let last = time_s.len() - 1;
    let rest = with.slow_phase_rad_s[last] - with.debris_slow_phase_rad_s[last];
    assert!(rest.norm() < 1e-5, "{rest:?}");
    let found = judge(
        &with,
        0.0,
        60.0,
        Vec3::new(-0.6, -0.6, 0.5),
        &Judging::default(),
    );
    assert!((found.peak_at_s - 12.0).abs() < 0.051);
}
