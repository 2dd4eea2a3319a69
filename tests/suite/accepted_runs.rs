//! What is accepted, both engines can run: scenarios drawn from the ranges of the check, their ends more often,
//! in shipped ears, in ears that differ as people do, and in ears with single numbers anywhere in their range.
//!
//! `ACCEPTED_SCENARIOS=2000` in the environment makes it a long hunt, the suite takes a short one.

use std::sync::Arc;

use lithodrome_chair::{HandPace, ShakeAxis};
use lithodrome_debris::{CupulaFace, Engine};
use lithodrome_labyrinth::{Anatomy, CanalId, Ear, Labyrinth, Variation};
use lithodrome_rehearsal::{
    AdhesionEntry, At, Carrier, CupulaEntry, DebrisEntry, DispersalEntry, FORMAT, Kind, MoveEntry,
    NeckEntry, NeckLimits, Scenario, ShapeEntry, SkullPlace, StartAngles, StepEntry, TrunkEntry,
    VestibuleHoldEntry, compile_in, observe, rehearse, scenario_from_ron,
};
use proptest::option::of;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestError, TestRng, TestRunner};

/// Scenarios tried in one run of the suite.
const IN_THE_SUITE: u32 = 40;
/// Longer runs show nothing else and take long in the rigid engine, s.
const LONGEST_S: f64 = 30.0;

/// A number of a range: either end as often as a quarter of the time.
fn number(least: f64, most: f64) -> BoxedStrategy<f64> {
    prop_oneof![6 => least..=most, 1 => Just(least), 1 => Just(most)].boxed()
}

/// The same over powers of ten.
fn scale(least: f64, most: f64) -> BoxedStrategy<f64> {
    number(least.log10(), most.log10())
        .prop_map(move |x| 10_f64.powf(x).clamp(least, most))
        .boxed()
}

fn canal_id() -> impl Strategy<Value = CanalId> {
    prop::sample::select(&CanalId::ALL[..])
}

fn place() -> impl Strategy<Value = At> {
    prop_oneof![
        3 => Just(At::AmpullaryArm),
        1 => Just(At::NonAmpullaryArm),
        1 => Just(At::ShortArm),
        1 => Just(At::Utricle),
        1 => number(-2.0, 18.0).prop_map(|mm| At::Arc { mm }),
        1 => prop::bool::ANY.prop_map(|duct| At::OnCupula {
            side: if duct { CupulaFace::Canal } else { CupulaFace::Utricle },
        }),
    ]
}

fn shape() -> impl Strategy<Value = ShapeEntry> {
    prop_oneof![
        Just(ShapeEntry::Ball),
        number(1.0, 4.0).prop_map(|aspect| ShapeEntry::Rod { aspect }),
        number(1.0, 4.0).prop_map(|aspect| ShapeEntry::Disc { aspect }),
    ]
}

prop_compose! {
    fn adhesion()(
        wall_g in number(0.0, 100.0),
        neighbour_g in number(0.0, 100.0),
        growth_s in prop_oneof![Just(0.0), scale(1e-3, 1e6)],
        wear_s in of(scale(1.0, 1e6)),
    ) -> AdhesionEntry {
        AdhesionEntry { wall_g, neighbour_g, growth_s, wear_s }
    }
}

prop_compose! {
    fn dispersal()(
        pieces in scale(1.0, 1e6),
        over_mm in scale(0.01, 100.0),
        gather_s in scale(1.0, 1e6),
    ) -> DispersalEntry {
        DispersalEntry { pieces, over_mm, gather_s }
    }
}

prop_compose! {
    fn vestibule_hold()(hold_g in number(0.0, 100.0), sets_s in scale(1.0, 1e6)) -> VestibuleHoldEntry {
        VestibuleHoldEntry { hold_g, sets_s }
    }
}

fn kind() -> impl Strategy<Value = Kind> {
    prop::sample::select(&[Kind::Crystal, Kind::Clump, Kind::Gel][..])
}

prop_compose! {
    fn debris()(
        id in canal_id(),
        at in place(),
        count in 1_u32..=4,
        diameter_um in scale(0.1, 250.0),
        plain in prop::bool::weighted(0.4),
        (density, kind, shape) in (of(number(0.9, 3.0)), of(kind()), of(shape())),
        (resistance, gap) in (of(number(0.0, 0.35)), of(scale(0.001, 0.2))),
        (adhesion, attachment_g) in (of(adhesion()), of(number(0.0, 100.0))),
        (dispersal, vestibule_hold) in (of(dispersal()), of(vestibule_hold())),
    ) -> DebrisEntry {
        let entry = DebrisEntry::new(id.ear, id.canal, at, count, diameter_um);
        if plain {
            return entry;
        }
        DebrisEntry {
            density_g_cm3: density,
            kind,
            shape,
            rolling_resistance: resistance,
            rolling_gap: gap,
            adhesion,
            attachment_g,
            dispersal,
            vestibule_hold,
            ..entry
        }
    }
}

fn movement(carrier: Carrier) -> BoxedStrategy<Option<MoveEntry>> {
    let axes: &[ShakeAxis] = match carrier {
        Carrier::Chair => &[ShakeAxis::Yaw, ShakeAxis::Nod, ShakeAxis::Track],
        Carrier::Bedside { .. } | Carrier::ThreeAxes => &[ShakeAxis::Yaw, ShakeAxis::Nod],
    };
    let places = &[
        SkullPlace::Mastoid(Ear::Right),
        SkullPlace::Forehead,
        SkullPlace::Crown,
    ];
    prop_oneof![
        4 => Just(None),
        1 => Just(Some(MoveEntry::Hand { pace: HandPace::Fast })),
        2 => (number(0.1, 360.0), scale(0.1, 3600.0)).prop_map(|(speed_deg_s, acceleration_deg_s2)| {
            Some(MoveEntry::Motor { speed_deg_s, acceleration_deg_s2 })
        }),
        2 => scale(0.01, 10.0).prop_map(|stop_s| Some(MoveEntry::Throw { stop_s })),
        1 => (prop::sample::select(axes), number(0.0, 90.0), scale(0.05, 10.0)).prop_map(
            |(axis, amplitude_deg, frequency_hz)| {
                Some(MoveEntry::Shaking { axis, amplitude_deg, frequency_hz })
            }
        ),
        1 => (prop::sample::select(&places[..]), scale(1e-4, 10.0), scale(0.5, 500.0)).prop_map(
            |(at, amplitude_mm, frequency_hz)| {
                Some(MoveEntry::Vibration { at, amplitude_mm, frequency_hz })
            }
        ),
    ]
    .boxed()
}

/// A direction that points somewhere, not of length 1.
fn down() -> impl Strategy<Value = [f64; 3]> {
    prop::array::uniform3(-2.0..2.0)
}

fn step(carrier: Carrier) -> BoxedStrategy<StepEntry> {
    // Most turns want a second or more; what is too quick is refused.
    let times = (
        prop_oneof![1 => Just(0.0), 1 => scale(0.05, 4.0), 6 => 1.5..4.0],
        number(0.0, 4.0),
    );
    let chair = (
        of(number(-200.0, 200.0)),
        of(number(-200.0, 200.0)),
        prop::option::weighted(0.2, number(-90.0, 90.0)),
        prop::option::weighted(0.2, down()),
    );
    let bed = (
        prop::array::uniform3(of(number(-180.0, 180.0))),
        prop::array::uniform3(of(number(-180.0, 180.0))),
    );
    (times, movement(carrier), chair, bed)
        .prop_map(move |((move_s, hold_s), movement, chair, (trunk, neck))| {
            let mut step = StepEntry {
                name: "Step".to_owned(),
                move_s,
                hold_s,
                movement,
                ..StepEntry::default()
            };
            match carrier {
                Carrier::Bedside { .. } => {
                    step.trunk = Some(TrunkEntry {
                        recline_deg: trunk[0],
                        fall_left_deg: trunk[1],
                        roll_left_deg: trunk[2],
                    });
                    step.neck = Some(NeckEntry {
                        turn_left_deg: neck[0],
                        extend_deg: neck[1],
                        tilt_left_deg: neck[2],
                    });
                }
                Carrier::Chair | Carrier::ThreeAxes => match chair {
                    (_, _, _, Some(down)) => step.down_in_head = Some(down),
                    (yaw, track, headrest, None) => {
                        (step.yaw_deg, step.track_deg) = (yaw, track);
                        step.headrest_flexion_deg = headrest;
                    }
                },
            }
            step
        })
        .boxed()
}

fn carrier() -> impl Strategy<Value = Carrier> {
    let neck = prop::array::uniform4(number(0.0, 90.0)).prop_map(|n| NeckLimits {
        rotation_deg: n[0],
        extension_deg: n[1],
        flexion_deg: n[2],
        lateral_deg: n[3],
    });
    prop_oneof![
        3 => Just(Carrier::Chair),
        1 => neck.prop_map(|neck| Carrier::Bedside { neck }),
        1 => Just(Carrier::ThreeAxes),
    ]
}

fn start(carrier: Carrier) -> BoxedStrategy<StartAngles> {
    if carrier.is_bed() {
        return Just(StartAngles::default()).boxed();
    }
    (
        number(-200.0, 200.0),
        number(-200.0, 200.0),
        number(-90.0, 90.0),
    )
        .prop_map(|(yaw_deg, track_deg, headrest_flexion_deg)| StartAngles {
            yaw_deg,
            track_deg,
            headrest_flexion_deg,
        })
        .boxed()
}

fn cupulae() -> impl Strategy<Value = Vec<CupulaEntry>> {
    let one = (canal_id(), number(-20.0, 20.0)).prop_map(|(id, excess_kg_m3)| CupulaEntry {
        ear: id.ear,
        canal: id.canal,
        excess_kg_m3,
    });
    prop::collection::vec(one, 0..=1)
}

fn scenario() -> impl Strategy<Value = Scenario> {
    carrier().prop_flat_map(|carrier| {
        let steps = prop::collection::vec(step(carrier), 1..=4);
        let debris = prop::collection::vec(debris(), 1..=2);
        let sat_s = of(prop_oneof![Just(0.0), number(0.0, 600.0)]);
        (steps, debris, cupulae(), start(carrier), sat_s).prop_map(
            move |(steps, debris, cupulae, chair, sat_s)| Scenario {
                body: Some(carrier),
                steps,
                debris,
                cupulae,
                chair,
                sat_s,
                ..plain()
            },
        )
    })
}

fn plain() -> Scenario {
    let text = format!(
        "(format: {FORMAT}, title: \"Drawn\", steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])"
    );
    scenario_from_ron(&text, std::path::Path::new("drawn.ron")).unwrap()
}

/// How an ear is made; not every one that is drawn can be built.
#[derive(Clone, Debug)]
enum DrawnEar {
    Shipped(usize),
    /// As people differ.
    Varied(u64),
    /// Numbers of the anatomy, each anywhere in its range.
    Stretched(Vec<(usize, f64)>),
}

fn ear() -> impl Strategy<Value = DrawnEar> {
    let numbers = prop::collection::vec((0..RANGES.len(), number(0.0, 1.0)), 1..=3);
    prop_oneof![
        2 => (0_usize..8).prop_map(DrawnEar::Shipped),
        2 => (0_u64..100_000).prop_map(DrawnEar::Varied),
        1 => numbers.prop_map(DrawnEar::Stretched),
    ]
}

type Number = fn(&mut Anatomy, f64);

/// What the anatomy's own check allows.
const RANGES: [(f64, f64, Number); 17] = [
    (1.0, 6.0, |a, x| a.posterior.arc_radius_mm.value = x),
    (1.0, 6.0, |a, x| a.lateral.arc_radius_mm.value = x),
    (0.05, 0.5, |a, x| a.posterior.duct_radius_mm.value = x),
    (0.05, 0.5, |a, x| a.anterior.duct_radius_mm.value = x),
    (0.05, 0.5, |a, x| a.lateral.duct_radius_mm.value = x),
    (0.2, 1.2, |a, x| a.posterior.ampulla_radius_mm.value = x),
    (0.3, 4.5, |a, x| a.posterior.ampulla_length_mm.value = x),
    (-90.0, 330.0, |a, x| a.posterior.cupula_angle_deg.value = x),
    (-30.0, 30.0, |a, x| a.reid_pitch_nose_up_deg.value = x),
    (0.2, 1.2, |a, x| a.port_radius_mm.value = x),
    (0.05, 0.8, |a, x| a.cupula_thickness_mm.value = x),
    (0.1, 0.8, |a, x| a.lateral_opening_radius_mm.value = x),
    (0.0, 0.5, |a, x| a.outer_wall_offset_mm.value = x),
    (1.0, 5.0, |a, x| a.crus.top_mm.value = x),
    (0.1, 0.6, |a, x| a.crus.radius_mm.value = x),
    (0.2, 2.0, |a, x| a.crus.merge_mm.value = x),
    (0.5, 4.0, |a, x| a.utricle.semi_axes_mm.value[2] = x),
];

impl DrawnEar {
    fn build(&self) -> Option<Labyrinth> {
        let named = |name: &str| Anatomy::named(name).unwrap().unwrap();
        match self {
            DrawnEar::Shipped(i) => {
                let name = Anatomy::names().nth(*i).unwrap();
                Some(Labyrinth::build(&named(name)).unwrap())
            }
            DrawnEar::Varied(seed) => Variation::mixed()
                .labyrinth(&named("mean-adult"), *seed)
                .ok(),
            DrawnEar::Stretched(numbers) => {
                let mut anatomy = named("mean-adult");
                for (i, share) in numbers {
                    let (least, most, set) = RANGES[*i];
                    set(&mut anatomy, least + share * (most - least));
                }
                Labyrinth::build(&anatomy).ok()
            }
        }
    }
}

/// Runs what is accepted in both engines; false if it is refused.
fn runs(scenario: &Scenario, ear: &DrawnEar) -> Result<bool, String> {
    if scenario.duration_s() > LONGEST_S {
        return Ok(false);
    }
    let Some(labyrinth) = ear.build().map(Arc::new) else {
        return Ok(false);
    };
    let Ok(mut compiled) = compile_in(scenario, labyrinth) else {
        return Ok(false);
    };
    for engine in [Engine::Settling, Engine::Rigid] {
        compiled.engine = engine;
        let told = |e| format!("{engine:?}: {e}");
        let run = match engine {
            Engine::Settling => rehearse(&compiled).map_err(told)?.run,
            Engine::Rigid => {
                observe(&compiled, &mut |_| std::ops::ControlFlow::Continue(()))
                    .map_err(told)?
                    .run
            }
        };
        let finite = run
            .tracks
            .iter()
            .flat_map(|t| t.position_in_reid_mm.iter().flatten())
            .all(|x| x.is_finite());
        if !finite {
            return Err(format!("{engine:?}: a body is nowhere"));
        }
    }
    Ok(true)
}

#[test]
fn what_is_accepted_runs_in_both_engines() {
    let cases = std::env::var("ACCEPTED_SCENARIOS").map_or(IN_THE_SUITE, |n| n.parse().unwrap());
    let seed = std::env::var("ACCEPTED_SEED").map_or(1, |n| n.parse::<u8>().unwrap());
    let config = Config {
        cases,
        failure_persistence: None,
        max_shrink_iters: 200,
        ..Config::default()
    };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let accepted = std::cell::Cell::new(0_u32);
    let tried =
        TestRunner::new_with_rng(config, rng).run(&(scenario(), ear()), |(scenario, ear)| {
            let ran = runs(&scenario, &ear).map_err(TestCaseError::fail)?;
            accepted.set(accepted.get() + u32::from(ran));
            Ok(())
        });
    match tried {
        Ok(()) => {}
        Err(TestError::Fail(why, (scenario, ear))) => {
            panic!("{why}\n{ear:?}\n{scenario:#?}")
        }
        Err(TestError::Abort(why)) => panic!("{why}"),
    }
    // Where nearly all is refused, this would be an idle test.
    let accepted = accepted.get();
    println!("{accepted} of {cases} scenarios were accepted and run in both engines");
    assert!(accepted * 6 > cases, "{accepted} of {cases} accepted");
}
