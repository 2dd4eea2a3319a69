//! Debriefs of drives whose fault is known: a hold cut short, a position missed, and one as planned.
#![allow(clippy::expect_used, reason = "helpers of tests may fail loudly")]

use std::ops::ControlFlow;
use std::path::Path;

use lithodrome_chair::{AngleSample, StepTimes};
use lithodrome_rehearsal::{
    Compiled, Computed, DriveDebrief, Rehearsed, Scenario, compile, drive_as_scenario,
    drive_debrief, library_entry, rehearse,
};

fn plan() -> Scenario {
    let entry = library_entry("right-posterior-epley-whole-body");
    entry.expect("an entry").expect("a scenario").scenario
}

fn computed(scenario: &Scenario) -> (Compiled, Rehearsed) {
    let compiled = compile(scenario, Path::new("")).expect("it compiles");
    let rehearsed = rehearse(&compiled).expect("it runs");
    (compiled, rehearsed)
}

/// The drive of somebody who does what the changed plan says, recorded at 60 Hz.
fn driven(plan: &Scenario, changed: &Scenario) -> Scenario {
    let motion = compile(changed, Path::new("")).expect("it compiles").motion;
    let n = (motion.duration_s() * 60.0) as usize;
    let samples: Vec<AngleSample> = (0..=n)
        .map(|i| {
            let time_s = i as f64 / 60.0;
            let angles = motion.angles_at(time_s);
            AngleSample {
                time_s,
                yaw_rad: angles.yaw_rad,
                track_rad: angles.track_rad,
            }
        })
        .collect();
    let steps: Vec<StepTimes> = motion.times().to_vec();
    drive_as_scenario(
        plan,
        &samples,
        motion.start.headrest_flexion_rad,
        &steps,
        |_| None,
    )
    .expect("a record")
}

fn debrief(changed: &Scenario) -> DriveDebrief {
    let plan = plan();
    let (plan_compiled, plan_run) = computed(&plan);
    let (drive_compiled, drive_run) = computed(&driven(&plan, changed));
    drive_debrief(
        Computed {
            compiled: &plan_compiled,
            run: &plan_run.run,
            report: &plan_run.report,
        },
        Computed {
            compiled: &drive_compiled,
            run: &drive_run.run,
            report: &drive_run.report,
        },
        &mut |_| ControlFlow::Continue(()),
    )
    .expect("a debrief")
}

#[test]
fn a_drive_as_planned_has_nothing_to_tell() {
    let told = debrief(&plan());
    assert!(told.worst.is_empty(), "{}", told.text());
    assert!(told.astray.is_empty(), "{}", told.text());
    assert_eq!(told.steps.len(), plan().steps.len());
    for step in &told.steps {
        assert!(step.off_deg < 0.1, "{step:?}");
        assert!(
            (step.driven_hold_s - step.planned_hold_s).abs() < 0.1,
            "{step:?}"
        );
    }
    assert!(
        told.needed[0].text.starts_with("Nothing more"),
        "{}",
        told.text()
    );
}

/// The head-hanging position is left after 2 s, with the debris still on its way down: it is named with its
/// moment, and the planned hold is what it would have taken.
#[test]
fn a_hold_cut_short_is_found_and_is_what_it_would_have_taken() {
    let mut changed = plan();
    for step in &mut changed.steps[1..4] {
        step.hold_s = 2.0;
    }
    let told = debrief(&changed);
    let text = told.text();
    let short = told
        .worst
        .iter()
        .find(|p| p.text.contains("left 28 s before the plan"));
    let step = &told.steps[1];
    let end_s = step.at_s.expect("it was driven") + step.driven_hold_s;
    assert!(
        short.is_some_and(|p| p.time_s.is_some_and(|t| t <= end_s + 60.0)),
        "{text}"
    );
    assert!(text.contains("What it would have taken"), "{text}");
    assert!(
        told.needed
            .iter()
            .any(|p| p.text.contains("held for") || p.text.contains("All holds")),
        "{text}"
    );
}

/// 25° less of track than planned is 25° off in gravity (by hand: track turns gravity by as much), most of it
/// in the plane of the right posterior canal, which 45° of yaw brings into that of the track.
#[test]
fn a_missed_position_is_told_in_the_canals_plane() {
    let mut changed = plan();
    let at = changed
        .steps
        .iter()
        .position(|s| s.track_deg.is_some_and(|t| t > 100.0))
        .expect("head-hanging");
    changed.steps[at].track_deg = changed.steps[at].track_deg.map(|t| t - 25.0);
    let told = debrief(&changed);
    let step = &told.steps[at];
    assert!((step.off_deg - 25.0).abs() < 0.2, "{step:?}");
    let words = step.plane_words().expect("a canal");
    assert!(words.contains("short in the plane of the canal"), "{words}");
    let miss = step.miss.expect("a canal");
    assert!(
        miss.in_plane_deg.abs() > 20.0 && miss.off_plane_deg.abs() < 12.0,
        "{miss:?}"
    );
    assert!(
        told.worst[0].text.contains("gravity 25° off"),
        "{}",
        told.text()
    );
}

/// No hand stops at exactly upright: a drive that ends 0.03° off is judged like any other.
#[test]
fn a_drive_that_ends_hardly_off_upright_is_judged() {
    let mut changed = plan();
    if let Some(last) = changed.steps.last_mut() {
        last.track_deg = last.track_deg.map(|t| t + 0.03);
    }
    let told = debrief(&changed);
    assert!(told.worst.is_empty(), "{}", told.text());
    assert!(!told.drive_ends.is_empty());
}
