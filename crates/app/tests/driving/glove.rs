//! Glove mode: a whole plan is driven with one key, or by holding the one large target.

use egui::Key;
use egui_kittest::kittest::Queryable as _;

use super::hands::{Window, draft, session, settle};
use super::{open, until};
use lithodrome_app::drive::{Advice, Script};

fn go_on(window: &mut Window, script: &Script, seconds: f64) {
    // In pieces: what is held is asked for again in every picture.
    for _ in 0..(seconds * 5.0) as usize {
        window.step();
        assert!(script.go_on(0.2));
    }
    window.step();
}

fn advice(window: &Window) -> Advice {
    let drive = session(window).drive.as_ref().expect("a drive");
    drive.now().expect("something driven").advice
}

#[test]
fn a_plan_is_driven_with_a_pedal_alone() {
    let mut window = open();
    let plan = draft(&window);
    let script = window.state_mut().session.start_scripted_drive();
    go_on(&mut window, &script, 0.2);
    window.key_press(Key::F11);
    window.step();
    window.step();
    window.get_by_label("Turn to step 1");
    window.get_by_label_contains("Stop and go back upright slowly");
    for step in 0..plan.steps.len() {
        window.key_down(Key::PageDown);
        go_on(&mut window, &script, plan.steps[step].move_s + 3.0);
        window.key_up(Key::PageDown);
        window.step();
        go_on(&mut window, &script, 0.6);
        let now = session(&window)
            .drive
            .as_ref()
            .expect("a drive")
            .now()
            .expect("it");
        assert_eq!((now.target.step, now.target.reached), (step, true));
        assert!(now.speed_rad_s < 1e-9, "let go, it stands");
        // The hold that is still due, in the largest type.
        let held_s = session(&window)
            .drive
            .as_ref()
            .and_then(lithodrome_app::drive::Drive::held_s);
        let left_s = plan.steps[step].hold_s - held_s.expect("it stands");
        window.get_by_label(&format!("{:.0} s", left_s.ceil()));
        go_on(&mut window, &script, plan.steps[step].hold_s);
    }
    assert_ne!(advice(&window), Advice::GetThere);
    window.get_by_label("End and keep").click();
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    let driven = draft(&window);
    let track = |steps: &[lithodrome_rehearsal::StepEntry]| {
        let all = steps.iter().filter_map(|s| s.track_deg);
        all.fold(0.0_f64, |m, t| m.max(t.abs()))
    };
    assert!((track(&driven.steps) - track(&plan.steps)).abs() < 3.0);
    // What it came to is told beside the plan.
    window.get_by_label("Debrief of the drive");
    until(&mut window, 120, "the debrief is there", |w| {
        w.query_by_label("How it ended").is_some()
    });
    window.get_by_label_contains("Nothing more: the drive ended");
    window.get_by_label("Close the debrief").click();
    window.run();
    assert!(window.query_by_label("Debrief of the drive").is_none());
}

#[test]
fn the_large_target_turns_as_long_as_it_is_held() {
    let mut window = open();
    let script = window.state_mut().session.start_scripted_drive();
    go_on(&mut window, &script, 0.2);
    window.get_by_label("Glove mode").click();
    window.step();
    window.step();
    let target = window.get_by_label("Turn to step 1").rect();
    assert!(
        target.height() > 200.0 && target.width() > 1000.0,
        "{target}"
    );
    let at = target.center();
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    go_on(&mut window, &script, 1.0);
    let yaw = |w: &Window| {
        let now = session(w).drive.as_ref().and_then(|d| d.now()).expect("it");
        now.angles.yaw_rad.to_degrees()
    };
    let turned = yaw(&window);
    assert!(turned > 3.0, "{turned}");
    window.drop_at(at);
    window.step();
    go_on(&mut window, &script, 1.0);
    let rests = yaw(&window);
    go_on(&mut window, &script, 1.0);
    assert!(
        (yaw(&window) - rests).abs() < 1e-9,
        "let go, it brakes and stands"
    );
    for name in ["Stop the chair", "End and keep", "Leave glove mode"] {
        let rect = window.get_by_label(name).rect();
        assert!(
            rect.height() >= 43.9 && rect.width() >= 43.9,
            "{name}: {rect}"
        );
    }
    window.get_by_label("Leave glove mode").click();
    window.step();
    window.step();
    window.get_by_label("Turn the yaw");
}
