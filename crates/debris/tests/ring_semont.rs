//! Semont's manoeuvre on the ring: two swings in (or near) the canal's plane, and how long each rest
//! must last for a bead to be thrown over the top.
//!
//! Closed form (equal rests, swings in no time): T = (R/v) ln[tan((90° + d)/2) / tan(d/2)] for an
//! overhang d past the horizontal; never at d ≤ 0.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use lithodrome_debris::{Engine, Physics};
use lithodrome_labyrinth::Ring;
use rig::{BOTH, Bead, angle_deg, at_angle, no_entrainment, run, turns};

#[derive(Clone, Copy, Debug)]
struct Semont {
    diameter_um: f64,
    /// Past the horizontal.
    over_deg: f64,
    /// How far the canal's plane is off the swing's.
    off_deg: f64,
    speed_deg_s: f64,
    physics: Physics,
}

impl Semont {
    fn of(diameter_um: f64, over_deg: f64) -> Semont {
        Semont {
            diameter_um,
            over_deg,
            off_deg: 0.0,
            speed_deg_s: 135.0,
            physics: Physics::default(),
        }
    }

    /// Whether the bead, at first at the lowest point, ends beyond the point that is the top in an
    /// upright head.
    fn succeeds(&self, ring: &Ring, rest_s: f64, engine: Engine) -> bool {
        let side = 90.0 + self.over_deg;
        let swing_s = side / self.speed_deg_s;
        let motion = turns(
            self.off_deg,
            0.0,
            &[
                (side, swing_s, rest_s),
                (-side, 2.0 * swing_s, rest_s),
                (0.0, swing_s, 40.0),
            ],
        );
        let lowest_deg = ring.lowest_upright_rad.to_degrees();
        let group = at_angle(ring, 1, self.diameter_um, lowest_deg);
        let run = run(ring, &[group], self.physics, &motion, engine);
        angle_deg(ring, &run.tracks[0], run.time_s.len() - 1) > lowest_deg + 180.0
    }

    /// The least rest, s, to 0.05 s; `None` if 300 s are not enough.
    fn least_rest_s(&self, ring: &Ring) -> Option<f64> {
        let (mut short, mut long) = (0.0, 300.0);
        if !self.succeeds(ring, long, Engine::Settling) {
            return None;
        }
        while long - short > 0.05 {
            let middle = 0.5 * (short + long);
            if self.succeeds(ring, middle, Engine::Settling) {
                long = middle;
            } else {
                short = middle;
            }
        }
        Some(long)
    }

    /// Both engines succeed with a little more than `rest_s` and fail with a little less.
    fn assert_least_rest(&self, ring: &Ring, rest_s: f64, tolerance: f64) {
        for engine in BOTH {
            assert!(
                self.succeeds(ring, rest_s * (1.0 + tolerance), engine),
                "{engine:?} {self:?} fails with {rest_s} s + {tolerance}"
            );
            assert!(
                !self.succeeds(ring, rest_s * (1.0 - tolerance), engine),
                "{engine:?} {self:?} succeeds with {rest_s} s − {tolerance}"
            );
        }
    }
}

fn throw_time_s(path_mm: f64, speed_mm_s: f64, over_deg: f64) -> f64 {
    let (over, right) = (over_deg.to_radians(), 90_f64.to_radians());
    path_mm / speed_mm_s * (f64::midpoint(right, over).tan() / (over / 2.0).tan()).ln()
}

/// The throw time of the closed form, to 1 %, in both engines. It needs a bead with one speed and one
/// path: one that half fills the duct is held by the tube (1/K1 = 0.168), not by the wall, so crossing
/// the lumen changes nothing. Swings take 0.1 to 0.2 s.
#[test]
fn a_bead_that_half_fills_the_duct_has_the_throw_time_of_the_formula() {
    let ring = Ring {
        duct_radius_mm: 0.05,
        ..Ring::default()
    };
    let bead = Bead::of(&ring, &no_entrainment(), 50.0);
    for over_deg in [10.0, 20.0, 30.0] {
        let law = throw_time_s(ring.arc_radius_mm, bead.speed_mm_s, over_deg);
        let semont = Semont {
            speed_deg_s: 1350.0,
            physics: no_entrainment(),
            ..Semont::of(50.0, over_deg)
        };
        println!(
            "{over_deg}°: law {law:.2} s, settling {:.2?} s",
            semont.least_rest_s(&ring)
        );
        semont.assert_least_rest(&ring, law, 0.01);
    }
}

/// 2.61, 2.09 and 1.87 R/v at 10, 20 and 30°; 16.3 s for 50 µm rolling at 20° (hand calculation).
#[test]
fn the_formula_gives_its_check_values() {
    for (over_deg, times) in [(10.0, 2.61), (20.0, 2.09), (30.0, 1.87)] {
        assert!((throw_time_s(1.0, 1.0, over_deg) - times).abs() < 0.006);
    }
    let bead = Bead::of(&Ring::default(), &Physics::default(), 50.0);
    assert!((throw_time_s(3.2, bead.speed_mm_s, 20.0) - 16.3).abs() < 0.05);
}

/// Obrist et al. 2016, Front Neurol 7:150: no success at the horizontal whatever the rest.
#[test]
fn nothing_is_thrown_at_the_horizontal() {
    let ring = Ring::default();
    for engine in BOTH {
        assert!(!Semont::of(50.0, 0.0).succeeds(&ring, 300.0, engine));
    }
}

/// Obrist et al. 2016: at 20° at least 16 s for 50 µm (± 15 %), about double for 36 µm (± 10 %: the
/// speeds are as 1 to 1.93), little influence of 90 to 180 deg/s; 36 µm pass with 45 s. Found: 14.4 s,
/// 26.1 s (1.82 times), 15.2 to 13.9 s.
///
/// The rolling bead's closed form has 16.3 and 31.5 s, and at 30° 14.6 s; the ring has 10.8 s there,
/// as the bead falls across the lumen where it passes the level of the centre. So the absolute 31.5 s
/// of 36 µm (± 10 %) do not come out.
#[test]
fn rests_are_the_published_ones() {
    let ring = Ring::default();
    let large = Semont::of(50.0, 20.0);
    let rest_s = large.least_rest_s(&ring).unwrap();
    large.assert_least_rest(&ring, rest_s, 0.02);
    assert!((rest_s / 16.0 - 1.0).abs() < 0.15, "{rest_s}");
    let small = Semont::of(36.0, 20.0);
    let ratio = small.least_rest_s(&ring).unwrap() / rest_s;
    assert!((ratio / 2.0 - 1.0).abs() < 0.10, "{ratio}");
    for engine in BOTH {
        assert!(small.succeeds(&ring, 45.0, engine));
    }
    let [slow, fast] = [90.0, 180.0].map(|speed_deg_s| {
        Semont {
            speed_deg_s,
            ..large
        }
        .least_rest_s(&ring)
        .unwrap()
    });
    println!(
        "50 µm {rest_s:.2} s, 36 µm × {ratio:.2}; 90 deg/s {slow:.2} s, 180 deg/s {fast:.2} s"
    );
    assert!((slow / fast - 1.0).abs() < 0.10, "{slow} {fast}");
    // A longer way past the horizontal needs a shorter rest.
    let rests = [10.0, 20.0, 30.0].map(|d| Semont::of(50.0, d).least_rest_s(&ring).unwrap());
    println!("10, 20, 30°: {rests:.2?} s");
    assert!(rests[0] > 1.2 * rests[1] && rests[1] > 1.2 * rests[2]);
}

/// Gebhart et al. 2021, Otol Neurotol 42:e341: with the head turned 24° too little or too much the rest
/// must be up to 30 s, and outside 21 to 67° nothing helps. A flat ring cannot show that: it needs 17.8 s
/// at 24° off, 20.5 s at 45° off, and never fails for good. (See the real labyrinth's tests.)
#[test]
fn a_flat_ring_forgives_a_head_turned_wrongly() {
    let ring = Ring::default();
    let rest = |off_deg: f64| {
        Semont {
            off_deg,
            ..Semont::of(50.0, 20.0)
        }
        .least_rest_s(&ring)
        .unwrap()
    };
    let [right, edge, beyond] = [0.0, 24.0, 45.0].map(rest);
    println!("0, 24, 45° off: {right:.2}, {edge:.2}, {beyond:.2} s");
    assert!(right < edge && edge < beyond && beyond < 30.0);
    let other_side = rest(-24.0);
    assert!((other_side / edge - 1.0).abs() < 0.01, "{other_side}");
}
