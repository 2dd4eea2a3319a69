//! A step of the settling engine takes no memory from the heap: a run of twenty times as many steps takes
//! as many blocks as one with the usual ones, those of its columns and of the model's copy.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::ops::ControlFlow;

use lithodrome_debris::{Engine, Model, Physics, simulate};
use lithodrome_labyrinth::Ear;
use scene::{debris, labyrinth, motion};

#[global_allocator]
static COUNTED: dhat::Alloc = dhat::Alloc;

#[test]
fn steps_allocate_nothing() {
    let _profiler = dhat::Profiler::builder().testing().build();
    // Sitting, then lying back: debris falls and rolls, but passes into no other part, which would be an
    // event and may take a block.
    let motion = motion((45.0, 0.0), &[(45.0, 100.0, 3.0, 4.0)]);
    let groups = [debris(Ear::Right, 8, 50.0)];
    let mut model = Model::new(labyrinth(), &groups, Physics::default(), &motion.at(0.0)).unwrap();
    let mut blocks_and_steps = |step_scale: f64| {
        model.step_scale = step_scale;
        let before = dhat::HeapStats::get().total_blocks;
        let run = simulate(&model, &motion, Engine::Settling, &mut |_| {
            ControlFlow::Continue(())
        })
        .unwrap();
        assert!(run.events.is_empty(), "{:?}", run.events);
        (dhat::HeapStats::get().total_blocks - before, run.work.steps)
    };
    let (blocks, steps) = blocks_and_steps(1.0);
    let (blocks_of_many, many_steps) = blocks_and_steps(0.05);
    println!("{blocks} blocks for {steps} steps, {blocks_of_many} for {many_steps}");
    assert!(many_steps > 15 * steps);
    assert_eq!(blocks, blocks_of_many);
}
