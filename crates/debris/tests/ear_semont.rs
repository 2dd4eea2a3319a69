//! Semont's manoeuvre on the mean ear: what was seen in glass models, and what this ear does.
//!
//! The same on a ring, with the closed form beside it: `ring_semont.rs`. The table of both is in the
//! crate's README. A clump of the ampullary arm, head turned to the healthy side, is laid on the side of
//! its ear, swung to the other side and sat up; it has succeeded if it ends in the vestibule.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Engine, Model, Physics, simulate};
use lithodrome_labyrinth::{Canal, Ear, Labyrinth, Region};
use scene::{debris, labyrinth, motion};

#[derive(Clone, Copy, Debug)]
struct Semont {
    diameter_um: f64,
    /// Past the horizontal on both sides.
    over_deg: f64,
    /// How far the head is turned.
    yaw_deg: f64,
    speed_deg_s: f64,
}

/// As recommended, with a clump of 50 µm.
const USUAL: Semont = Semont {
    diameter_um: 50.0,
    over_deg: 20.0,
    yaw_deg: 45.0,
    speed_deg_s: 135.0,
};

impl Semont {
    /// Where the clump ends after rests of `rest_s` on either side.
    fn end(&self, ear: &Arc<Labyrinth>, rest_s: f64, engine: Engine) -> Region {
        let side = 90.0 + self.over_deg;
        let swing_s = side / self.speed_deg_s;
        let motion = motion(
            (self.yaw_deg, 0.0),
            &[
                (self.yaw_deg, side, swing_s, rest_s),
                (self.yaw_deg, -side, 2.0 * swing_s, rest_s),
                (self.yaw_deg, 0.0, swing_s, 60.0),
            ],
        );
        let group = debris(Ear::Right, 1, self.diameter_um);
        let start = motion.at(0.0);
        let model = Model::new(Arc::clone(ear), &[group], Physics::default(), &start).unwrap();
        let run = simulate(&model, &motion, engine, &mut |_| ControlFlow::Continue(())).unwrap();
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        run.tracks[0].place.last().unwrap().region
    }

    fn succeeds(&self, ear: &Arc<Labyrinth>, rest_s: f64, engine: Engine) -> bool {
        matches!(
            self.end(ear, rest_s, engine),
            Region::Utricle | Region::ShortArm(_)
        )
    }

    /// The least rest, s, to 0.1 s; more than 40 s is not looked for.
    fn least_rest_s(&self, ear: &Arc<Labyrinth>) -> f64 {
        let (mut short, mut long) = (0.0, 40.0);
        assert!(self.succeeds(ear, long, Engine::Settling), "{self:?}");
        while long - short > 0.1 {
            let middle = 0.5 * (short + long);
            if self.succeeds(ear, middle, Engine::Settling) {
                long = middle;
            } else {
                short = middle;
            }
        }
        long
    }
}

/// Obrist et al. 2016, Front Neurol 7:150: no success at the horizontal; at 20° past it with at least
/// 16 s for 50 µm, farther past it less. Found: no success 2° short of the horizontal, 38.1 s at it, then
/// 17.4, 13.6, 12.2 and 11.7 s for every 10°. So the limit is there, but the plane of this ear's canal
/// puts it a degree or two before the horizontal.
#[test]
fn it_must_go_past_the_horizontal() {
    let ear = labyrinth();
    let at = |over_deg: f64| Semont { over_deg, ..USUAL };
    for engine in [Engine::Settling, Engine::Rigid] {
        assert!(!at(-2.0).succeeds(&ear, 300.0, engine), "{engine:?}");
        assert!(!at(20.0).succeeds(&ear, 11.0, engine), "{engine:?}");
        assert!(at(20.0).succeeds(&ear, 16.0, engine), "{engine:?}");
    }
    let rests = [0.0, 10.0, 20.0, 30.0, 40.0].map(|over_deg| at(over_deg).least_rest_s(&ear));
    println!("0, 10, 20, 30, 40° past the horizontal: {rests:.1?} s");
    assert!(rests[0] > 2.0 * rests[1] && rests[1] > 1.2 * rests[2]);
    assert!(rests[2] > rests[3] && rests[3] > rests[4]);
    assert!((rests[2] / 16.0 - 1.0).abs() < 0.2, "{rests:?}");
}

/// Obrist et al. 2016: about double for 36 µm (± 10 %), little influence of 90 to 180 deg/s, 45 s
/// recommended. Found: 1.98 times; 14.6, 13.6 and 14.1 s with 90, 135 and 180 deg/s; 45 s
/// are enough for 36 µm.
#[test]
fn size_counts_and_speed_does_not() {
    let ear = labyrinth();
    let large = USUAL.least_rest_s(&ear);
    let small = Semont {
        diameter_um: 36.0,
        ..USUAL
    };
    let ratio = small.least_rest_s(&ear) / large;
    let [slow, fast] = [90.0, 180.0].map(|speed_deg_s| {
        Semont {
            speed_deg_s,
            ..USUAL
        }
        .least_rest_s(&ear)
    });
    println!("50 µm {large:.1} s, 36 µm × {ratio:.2}; 90 deg/s {slow:.1} s, 180 deg/s {fast:.1} s");
    assert!((ratio / 2.0 - 1.0).abs() < 0.10, "{ratio}");
    assert!((slow / fast - 1.0).abs() < 0.10, "{slow} {fast}");
    for engine in [Engine::Settling, Engine::Rigid] {
        assert!(small.succeeds(&ear, 45.0, engine), "{engine:?}");
    }
}

/// No source: what a single canal of glass cannot show. The farther past the horizontal, the sooner a
/// clump that has come through the crus and waits there runs over the top into the anterior canal.
#[test]
fn a_rest_can_be_too_long_far_past_the_horizontal() {
    let ear = labyrinth();
    let far = Semont {
        over_deg: 40.0,
        ..USUAL
    };
    let switched = Region::Duct(Canal::Anterior);
    for engine in [Engine::Settling, Engine::Rigid] {
        assert!(far.succeeds(&ear, 30.0, engine), "{engine:?}");
        assert_eq!(far.end(&ear, 100.0, engine), switched, "{engine:?}");
        assert!(USUAL.succeeds(&ear, 100.0, engine), "{engine:?}");
    }
}

/// Gebhart et al. 2021, Otol Neurotol 42:e341: 16 s with the head turned by 45°, up to 30 s toward 21 and
/// 67°, beyond them no success in 5 minutes. Found: shortest at 45°, longer on both sides, but by 12 to
/// 15 % only at the edges, and a success with 22 s as far as 35° beyond them. Neither more friction (μ 0.3:
/// 26 and 31 s) nor the third dimension makes the window as narrow as that of the glass model.
#[test]
fn the_head_is_best_turned_by_45_degrees() {
    let ear = labyrinth();
    let rest = |yaw_deg: f64| Semont { yaw_deg, ..USUAL }.least_rest_s(&ear);
    let rests = [-12.0, 21.0, 45.0, 67.0, 102.0].map(rest);
    println!("turned by −12, 21, 45, 67, 102°: {rests:.1?} s");
    let [far_less, less, right, more, far_more] = rests;
    assert!(less > 1.05 * right && more > 1.05 * right, "{rests:?}");
    assert!(far_less > 1.3 * less && far_more > 1.3 * more, "{rests:?}");
}
