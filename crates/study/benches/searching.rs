//! What a search costs, stage by stage, on two threads.
//!
//! `cargo bench -p lithodrome-study --bench searching`
#![expect(clippy::unwrap_used, reason = "a bench may fail loudly")]

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Mutex;
use std::time::Instant;

use cpu_time::ProcessTime;
use lithodrome_study::{SearchFile, SearchStage, search};

/// When a stage began, s by the clock and of the processor.
struct Began {
    stage: SearchStage,
    at_s: [f64; 2],
}

fn main() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../examples/searches/right-posterior-head-15-below.ron");
    let asked = SearchFile::read(&path).unwrap();
    let asked = asked.resolve(Path::new("")).unwrap();
    let (clock, processor) = (Instant::now(), ProcessTime::now());
    let now_s = || {
        [
            clock.elapsed().as_secs_f64(),
            processor.elapsed().as_secs_f64(),
        ]
    };
    let stages: Mutex<Vec<Began>> = Mutex::new(Vec::new());
    let tell = |stage: SearchStage, _: u32, _: u32| {
        let mut stages = stages.lock().unwrap();
        if stages.iter().all(|began| began.stage != stage) {
            stages.push(Began {
                stage,
                at_s: now_s(),
            });
        }
        ControlFlow::Continue(())
    };
    let found = search(&asked, Some(2), &tell).unwrap();
    let end_s = now_s();
    assert!(found.report.found);
    let stages = stages.into_inner().unwrap();
    let ends = stages.iter().skip(1).map(|b| b.at_s).chain([end_s]);
    // A stage tells of itself after its first part, so the first part counts for the stage before.
    for (began, to_s) in stages.iter().zip(ends) {
        let [by_clock, of_processor] = [0, 1].map(|k| to_s[k] - began.at_s[k]);
        let share = 100.0 * of_processor / end_s[1];
        println!(
            "{:24} {by_clock:6.2} s by the clock, {of_processor:6.2} s of the processor, {share:3.0} %",
            began.stage.name()
        );
    }
    println!(
        "{:24} {:6.2} s by the clock, {:6.2} s of the processor",
        "all", end_s[0], end_s[1]
    );
}
