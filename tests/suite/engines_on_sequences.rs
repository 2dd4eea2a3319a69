//! Where the two engines end on sequences that nobody designed: eight random steps in an ear drawn from the
//! published variation, one clump of debris or four.
//!
//! `cargo test --release -p lithodrome-tests -- --ignored disagree --nocapture` draws 300 of them by seed and
//! tells the share of the disagreements and of what kind they are. Those that were looked into are kept below.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Engine, Run, simulate};
use lithodrome_labyrinth::{Anatomy, CanalId, Labyrinth, Variation};
use lithodrome_rehearsal::{
    At, DebrisEntry, FORMAT, Scenario, StepEntry, compile_in, scenario_from_ron,
};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;

/// Sequences drawn by the long search.
const SEQUENCES: u64 = 300;
const STEPS: usize = 8;
/// A disagreement is on a divide if one engine changes its own end when the clump is so much larger or smaller:
/// far less than anybody knows a diameter.
const NUDGE: f64 = 0.002;

/// An ear and what is done to it.
struct Drawn {
    labyrinth: Arc<Labyrinth>,
    scenario: Scenario,
}

struct Chance(ChaCha8Rng);

impl Chance {
    /// Even over [0, 1).
    fn share(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn within(&mut self, least: f64, most: f64) -> f64 {
        least + self.share() * (most - least)
    }
}

/// The sequence of a seed: any yaw, track up to 150° either way, moves of 1.5 to 4 s, holds of 5 to 40 s, clumps of
/// 20 to 80 µm in any canal; of each three seeds the last has four of them.
fn drawn(seed: u64) -> Drawn {
    let mean = Anatomy::named("mean-adult").unwrap().unwrap();
    let labyrinth = (0..)
        .find_map(|more| {
            Variation::published()
                .labyrinth(&mean, seed + 1_000_003 * more)
                .ok()
        })
        .unwrap();
    let mut chance = Chance(ChaCha8Rng::seed_from_u64(seed));
    let id = CanalId::ALL[(chance.share() * 6.0) as usize];
    let count = if seed % 3 == 2 { 4 } else { 1 };
    let mut entry = DebrisEntry::new(id.ear, id.canal, At::AmpullaryArm, count, 0.0);
    entry.diameter_um = chance.within(20.0, 80.0);
    let steps = (0..STEPS).map(|i| {
        let [yaw_deg, track_deg] = [180.0, 150.0].map(|most| Some(chance.within(-most, most)));
        StepEntry {
            name: format!("Step {}", i + 1),
            yaw_deg,
            track_deg,
            move_s: chance.within(1.5, 4.0),
            hold_s: chance.within(5.0, 40.0),
            ..StepEntry::default()
        }
    });
    let text = format!(
        "(format: {FORMAT}, title: \"Drawn\", steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])"
    );
    let plain = scenario_from_ron(&text, std::path::Path::new("drawn.ron")).unwrap();
    let scenario = Scenario {
        debris: vec![entry],
        steps: steps.collect(),
        ..plain
    };
    Drawn {
        labyrinth: Arc::new(labyrinth),
        scenario,
    }
}

impl Drawn {
    /// The run of a clump that is `times` as large.
    fn run(&self, engine: Engine, times: f64) -> Run {
        let mut scenario = self.scenario.clone();
        scenario.debris[0].diameter_um *= times;
        let compiled = compile_in(&scenario, Arc::clone(&self.labyrinth)).unwrap();
        let go_on = &mut |_| ControlFlow::Continue(());
        simulate(&compiled.model, &compiled.motion, engine, go_on).unwrap()
    }
}

/// Parts of the ear that the clumps end in, whichever clump it is.
fn ends(run: &Run) -> Vec<&'static str> {
    let last = run.tracks.iter().filter_map(|t| t.place.last());
    let mut ends: Vec<_> = last.map(|place| place.region.name()).collect();
    ends.sort_unstable();
    ends
}

/// What both engines end with, if that differs, and whether either is on a divide.
struct Disagreement {
    seed: u64,
    ends: [Vec<&'static str>; 2],
    on_a_divide: bool,
    /// When the clumps first were in different parts of the ear for longer than a second, s.
    parted_s: f64,
}

fn disagreement(seed: u64) -> Option<Disagreement> {
    let drawn = drawn(seed);
    let runs = [Engine::Settling, Engine::Rigid].map(|engine| drawn.run(engine, 1.0));
    let both = runs.each_ref().map(ends);
    if both[0] == both[1] {
        return None;
    }
    let nudged = |engine, own: &Vec<&'static str>| {
        [1.0 - NUDGE, 1.0 + NUDGE]
            .into_iter()
            .any(|times| ends(&drawn.run(engine, times)) != *own)
    };
    let on_a_divide = nudged(Engine::Settling, &both[0]) || nudged(Engine::Rigid, &both[1]);
    Some(Disagreement {
        seed,
        ends: both,
        on_a_divide,
        parted_s: parted_s(&runs),
    })
}

fn parted_s([a, b]: &[Run; 2]) -> f64 {
    let now = |run: &Run, i: usize| {
        let regions = run.tracks.iter().filter_map(|t| t.place.get(i));
        let mut regions: Vec<_> = regions.map(|place| place.region.name()).collect();
        regions.sort_unstable();
        regions
    };
    let mut since = None;
    for (i, &time_s) in a.time_s.iter().enumerate() {
        match (now(a, i) == now(b, i), since) {
            (true, _) => since = None,
            (false, None) => since = Some(time_s),
            (false, Some(from)) if time_s - from > 1.0 => return from,
            (false, Some(_)) => {}
        }
    }
    since.unwrap_or(f64::NAN)
}

/// Found by the search below: the settling engine leaves the clump in the lateral duct, the rigid one brings it out.
/// The two part on a divide, and a clump that is 2 % larger or smaller, far less than anybody knows its size, ends
/// alike in both.
#[test]
fn engines_part_on_a_divide_only() {
    for seed in [201] {
        let drawn = drawn(seed);
        for times in [0.98, 1.02] {
            let [a, b] = [Engine::Settling, Engine::Rigid].map(|e| ends(&drawn.run(e, times)));
            assert_eq!(a, b, "seed {seed}, {times} times as large");
        }
    }
}

/// Found by the same search, both with four clumps: a row of them is cut where it passes from the crus on, or by the
/// cupula. The settling engine's usual step puts one clump on the other side of the cut; with three tenths of it all
/// end as in the rigid engine, and leave when they do there.
#[test]
fn rows_that_are_cut_are_cut_alike_with_short_steps() {
    for seed in [428, 575] {
        let drawn = drawn(seed);
        let mut compiled = compile_in(&drawn.scenario, Arc::clone(&drawn.labyrinth)).unwrap();
        compiled.model.step_scale = 0.3;
        let go_on = &mut |_| ControlFlow::Continue(());
        let finer = simulate(&compiled.model, &compiled.motion, Engine::Settling, go_on).unwrap();
        let rigid = drawn.run(Engine::Rigid, 1.0);
        assert_eq!(ends(&finer), ends(&rigid), "seed {seed}");
        let exits = |run: &Run| {
            let mut exits_s: Vec<f64> = run.tracks.iter().filter_map(|t| t.exit_s).collect();
            exits_s.sort_by(f64::total_cmp);
            exits_s
        };
        let both = exits(&finer).into_iter().zip(exits(&rigid));
        for (a, b) in both {
            assert!((a - b).abs() < 0.1, "seed {seed}: out at {a} and {b} s");
        }
    }
}

#[test]
#[ignore = "half a minute of two cores in the dev profile; tells figures and asserts only their share"]
fn engines_disagree_in_few_of_300_random_sequences() {
    let from: u64 = std::env::var("SEQUENCES_FROM").map_or(0, |n| n.parse().unwrap());
    let found: Vec<Disagreement> = (from..from + SEQUENCES)
        .into_par_iter()
        .filter_map(disagreement)
        .collect();
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for d in &found {
        let [a, b] = d.ends.each_ref().map(|ends| ends.join(" + "));
        let edge = if d.on_a_divide {
            "on a divide"
        } else {
            "not on a divide"
        };
        *kinds.entry(format!("{a} / {b}, {edge}")).or_default() += 1;
        println!(
            "seed {}: settling {a}, rigid {b}, {edge}, parted at {:.1} s",
            d.seed, d.parted_s
        );
    }
    println!(
        "{} of {SEQUENCES} end in another part of the ear: {kinds:#?}",
        found.len()
    );
    assert!(
        found.len() as u64 * 20 < SEQUENCES,
        "more than one in twenty"
    );
}
