//! How fast the engines are: criterion's figures, then a table of ratios, all from one run.
//!
//! `cargo bench -p lithodrome-debris` prints both; `-- table` prints the table alone. Times of one machine
//! say little on another: the table compares with real time and with each other, each the shortest of
//! several runs, since other work on the machine can only make a run longer.
#![allow(
    clippy::unwrap_used,
    reason = "a bench of files that are shipped may fail loudly"
)]

#[path = "../tests/rig/mod.rs"]
mod rig;
#[path = "../tests/scene/mod.rs"]
mod scene;

use std::hint::black_box;
use std::ops::ControlFlow;
use std::process::Command;
use std::time::{Duration, Instant};

use criterion::Criterion;
use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, FinalStates, Model, Physics, Run, final_states, simulate};
use lithodrome_labyrinth::{Ear, Ring};
use rayon::prelude::*;

/// Hold of each lying position that makes Epley's manoeuvre last 305 s.
const LONG_S: f64 = 88.0;
/// Runs of which the shortest counts.
const REPEATS: usize = 7;

fn main() {
    let only_table = std::env::args().any(|a| a == "table");
    // `cargo test --benches` only wants to see that it starts.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    if !only_table {
        let mut criterion = Criterion::default()
            .configure_from_args()
            .sample_size(10)
            .measurement_time(Duration::from_secs(3));
        with_criterion(&mut criterion);
        criterion.final_summary();
    }
    table();
}

fn with_criterion(criterion: &mut Criterion) {
    for (engine, hold_s, count) in [
        (Engine::Settling, LONG_S, 1),
        (Engine::Settling, LONG_S, 30),
        (Engine::Rigid, 2.0, 30),
    ] {
        let case = Case::new(hold_s, count, 20.0);
        let name = format!(
            "{engine:?}, {count} bodies, {:.0} s",
            case.motion.duration_s()
        );
        criterion.bench_function(&name, |b| b.iter(|| case.run(engine)));
    }
}

/// A manoeuvre and an ear with debris in it.
struct Case {
    motion: HeadMotion,
    model: Model,
}

impl Case {
    fn new(hold_s: f64, count: u32, diameter_um: f64) -> Case {
        let motion = scene::epley(Ear::Right, hold_s);
        let groups = [scene::debris(Ear::Right, count, diameter_um)];
        let physics = Physics::default();
        let model = Model::new(scene::labyrinth(), &groups, physics, &motion.at(0.0)).unwrap();
        Case { motion, model }
    }

    fn run(&self, engine: Engine) -> Run {
        simulate(&self.model, &self.motion, engine, &mut |_| {
            ControlFlow::Continue(())
        })
        .unwrap()
    }

    /// The shortest time of several runs, s.
    fn shortest_s(&self, engine: Engine) -> f64 {
        shortest_s(|| self.run(engine))
    }

    fn times_real(&self, engine: Engine) -> f64 {
        self.motion.duration_s() / self.shortest_s(engine)
    }
}

fn shortest_s<T>(work: impl Fn() -> T) -> f64 {
    let time = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed().as_secs_f64()
    };
    (0..REPEATS).map(time).fold(f64::INFINITY, f64::min)
}

fn table() {
    println!("\n| what | figure |\n|---|---|");
    for diameter_um in [10.0, 20.0, 50.0] {
        for (count, contacts) in [(1, true), (30, true), (30, false)] {
            let mut case = Case::new(LONG_S, count, diameter_um);
            case.model.physics.contacts = contacts;
            let work = case.run(Engine::Settling).work;
            println!(
                "| settling, {count} of {diameter_um} µm{}, {:.0} s | {:.0} times real time, {} steps, {:.0} ns a body and step |",
                if contacts {
                    ""
                } else {
                    " that pass through each other"
                },
                case.motion.duration_s(),
                case.times_real(Engine::Settling),
                work.steps,
                1e9 * case.shortest_s(Engine::Settling) / work.body_steps as f64,
            );
        }
    }
    growth();
    for (count, hold_s) in [(30, 10.0), (200, 2.0)] {
        let case = Case::new(hold_s, count, 20.0);
        let times = case.times_real(Engine::Rigid);
        println!("| rigid, {count} of 20 µm | {times:.0} times real time |");
    }
    batch();
    lanes();
    against_scipy();
}

/// How the cost grows: 1 is in proportion.
fn growth() {
    let cost =
        |hold_s: f64, count: u32| Case::new(hold_s, count, 20.0).shortest_s(Engine::Settling);
    let by_count = (cost(30.0, 120) / cost(30.0, 30)).log(4.0);
    println!("| settling, cost over the number of bodies | power {by_count:.2} |");
    let duration_s = |hold_s: f64| scene::epley(Ear::Right, hold_s).duration_s();
    let by_time =
        (cost(240.0, 30) / cost(60.0, 30)).ln() / (duration_s(240.0) / duration_s(60.0)).ln();
    println!("| settling, cost over the duration | power {by_time:.2} |");
}

/// Many ears on one and on two threads.
fn batch() {
    let cases: Vec<Case> = (0..32)
        .map(|i| Case::new(30.0, 4, 20.0 + f64::from(i)))
        .collect();
    let time_s = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new();
        let pool = pool.num_threads(threads).build().unwrap();
        shortest_s(|| {
            pool.install(|| {
                let steps = cases
                    .par_iter()
                    .map(|case| case.run(Engine::Settling).work.steps);
                steps.sum::<u64>()
            })
        })
    };
    let [one, two] = [1, 2].map(time_s);
    println!(
        "| settling, 32 ears on two threads against one | {:.2} times |",
        one / two
    );
}

/// Many ears, of which only the end is wanted, on one thread: one after the other and four at a time.
fn lanes() {
    for diameter_um in [10.0, 20.0, 50.0] {
        let cases: Vec<Case> = (0..64)
            .map(|i| Case::new(LONG_S, 1, diameter_um * (1.0 + 0.003 * f64::from(i))))
            .collect();
        let alone_s = shortest_s(|| {
            let steps = cases
                .iter()
                .map(|case| case.run(Engine::Settling).work.steps);
            steps.sum::<u64>()
        });
        let steps: u64 = ends(&cases).iter().map(|e| e.work.steps).sum();
        let together_s = shortest_s(|| ends(&cases));
        println!(
            "| settling, ears of one {diameter_um} µm in lanes against one by one | {:.1} times, {:.0} ns a body and step |",
            alone_s / together_s,
            1e9 * together_s / steps as f64,
        );
    }
}

fn ends(cases: &[Case]) -> Vec<FinalStates> {
    let runs: Vec<_> = cases.iter().map(|c| (&c.model, &c.motion)).collect();
    let ends = final_states(&runs, &mut |_| {});
    ends.into_iter().map(Result::unwrap).collect()
}

/// One debris against the same equations in `scipy`, timed one right after the other. `PYTHON` names an
/// interpreter that has it.
fn against_scipy() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/scipy");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let timed = Command::new(python)
        .args([&format!("{folder}/ring_reference.py"), "--time"])
        .output();
    let scipy_s = timed.ok().and_then(|out| {
        String::from_utf8(out.stdout)
            .ok()?
            .trim()
            .parse::<f64>()
            .ok()
    });
    let Some(scipy_s) = scipy_s else {
        println!(
            "| settling, one debris against scipy's LSODA | not measured: no Python with scipy |"
        );
        return;
    };
    let table = include_str!("../../../tests/scipy/ring_reference.csv");
    let motion = rig::reference_motion(table);
    let ring = Ring::default();
    let from_deg = ring.lowest_upright_rad.to_degrees() + motion.start.track_rad.to_degrees();
    let group = rig::at_angle(&ring, 1, 20.0, from_deg);
    let model = rig::model(&ring, &[group], Physics::default(), &motion);
    let case = Case { motion, model };
    let ours_s = case.shortest_s(Engine::Settling);
    let many = [(); 64].map(|()| (&case.model, &case.motion));
    let lanes_s = shortest_s(|| final_states(&many, &mut |_| {})) / many.len() as f64;
    println!(
        "| settling, one debris against scipy's LSODA ({scipy_s:.2} s) | {:.0} times |",
        scipy_s / ours_s
    );
    println!(
        "| the same in lanes, 64 runs | {:.0} times |",
        scipy_s / lanes_s
    );
}
