//! What an ear costs in a study, part by part, and ratios: lanes to scalar, two threads to one, a cloud to a
//! clump. Everything is measured in one run, so that ratios are of the same machine in the same minute.
//!
//! `cargo bench -p lithodrome-study --bench ears [EARS]`
#![expect(clippy::unwrap_used, reason = "a bench may fail loudly")]

use std::hint::black_box;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use cpu_time::ProcessTime;
use lithodrome_rehearsal::compile_in;
use lithodrome_study::{CountShare, Judging, Question, StudyFile, compute, scenario_of};

fn question(ears: u32) -> Question {
    let text = format!(
        r#"(format: 1, title: "Bench", case: (ear: Right, canal: Posterior), n: {ears}, seed: 1,
            sequences: ["right-posterior-epley-whole-body"])"#
    );
    let file = StudyFile::from_ron(&text, Path::new("bench.ron")).unwrap();
    let study = file.resolve(Path::new("")).unwrap();
    study.question().unwrap()
}

/// Seconds of the processor that something takes, whatever else the machine does.
fn seconds(work: impl FnOnce()) -> f64 {
    let began = ProcessTime::now();
    work();
    began.elapsed().as_secs_f64()
}

fn whole(question: &Question, ears: u32, threads: usize) -> f64 {
    seconds(|| {
        let go_on = |_, _| ControlFlow::Continue(());
        let rows = compute(question, 0..ears, Some(threads), &go_on).unwrap();
        assert_eq!(rows.len(), ears as usize);
    })
}

fn main() {
    let asked = std::env::args().skip(1).find_map(|a| a.parse().ok());
    let ears: u32 = asked.unwrap_or(2_000);
    let followed = question(ears);
    // Where debris is after a minute of sitting; what is behind a cupula is not followed to the control test.
    let lanes = Question {
        judging: Judging::AfterSitting,
        ..followed.clone()
    };
    let scalar = Question {
        in_lanes: false,
        ..lanes.clone()
    };
    let mut cloud = lanes.clone();
    cloud.population.mixture.debris.count.value = vec![CountShare {
        count: 8,
        weight: 1.0,
    }];
    whole(&lanes, 64, 2);

    let few = ears.min(500);
    let population = &lanes.population;
    let drawn = |i| {
        let draw = population.draw(i);
        let labyrinth = population.labyrinth(&draw);
        (draw, labyrinth)
    };
    // Each is let go of again, as in a study: ears that are kept cost new pages of memory.
    let building = seconds(|| {
        for i in 0..few {
            drop(black_box(drawn(i)));
        }
    });
    let built: Vec<_> = (0..few).map(drawn).collect();
    let compiling = seconds(|| {
        for (draw, labyrinth) in &built {
            if let Ok(labyrinth) = labyrinth {
                let scenario = scenario_of(&lanes, &lanes.sequences[0], draw, labyrinth);
                let compiled = compile_in(&scenario, Arc::clone(labyrinth));
                assert!(compiled.is_ok());
            }
        }
    });
    let refused = built
        .iter()
        .filter(|(_, labyrinth)| labyrinth.is_err())
        .count();
    drop(built);
    let in_lanes = whole(&lanes, ears, 1);
    let in_scalar = whole(&scalar, ears, 1);
    let began = Instant::now();
    whole(&lanes, ears, 1);
    let one_thread = began.elapsed().as_secs_f64();
    let began = Instant::now();
    whole(&lanes, ears, 2);
    let two = began.elapsed().as_secs_f64();
    let few_ears = ears.min(400);
    let clouds = whole(&cloud, few_ears, 1) / f64::from(few_ears);
    let with_control = whole(&followed, few_ears, 1);
    let us = |seconds: f64, n: u32| 1e6 * seconds / f64::from(n);
    let per_ear = us(in_lanes, ears);
    println!("ears                         {ears}, refused {refused} of {few}");
    println!("draw and build an ear        {:8.0} us", us(building, few));
    println!("scenario and model           {:8.0} us", us(compiling, few));
    println!("whole, in lanes              {per_ear:8.0} us");
    println!(
        "whole, scalar                {:8.0} us",
        us(in_scalar, ears)
    );
    println!(
        "with control if behind       {:8.0} us",
        us(with_control, few_ears)
    );
    println!("lanes faster by              {:8.2}", in_scalar / in_lanes);
    println!("two threads faster by (clock) {:8.2}", one_thread / two);
    println!(
        "clouds of 8 over one clump   {:8.1}",
        1e6 * clouds / per_ear
    );
    println!(
        "10,000 ears on two threads   {:8.2} s",
        1e4 * two / f64::from(ears)
    );
}
