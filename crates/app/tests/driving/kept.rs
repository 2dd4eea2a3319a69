//! What is kept of a drive, and what its column offers a hand.

use std::{thread, time::Duration};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use lithodrome_app::session::{
    command::{Command, EditCommand},
    edit::{Edit, StepsEdit},
};

use super::hands::{draft, hold_key, session, settle};
use super::{begin, drive_for, open, time_s, until};

#[test]
fn a_kept_drive_is_exactly_what_was_driven() {
    let mut window = open();
    let script = window.state_mut().session.start_scripted_drive();
    // Yaw to the left, a pause shorter than 2 s, track on past upside down and back without a rest.
    hold_key(&mut window, &script, Some(Key::ArrowLeft), 1.5);
    hold_key(&mut window, &script, None, 1.2);
    hold_key(&mut window, &script, Some(Key::ArrowUp), 6.5);
    hold_key(&mut window, &script, Some(Key::ArrowDown), 5.0);
    hold_key(&mut window, &script, None, 3.0);
    let drive = session(&window).drive.as_ref().unwrap();
    let driven = drive.now().unwrap().loaded.clone();
    let farthest_rad = driven.chair.track_rad.iter().copied().fold(0.0, f64::max);
    assert!(farthest_rad.to_degrees() > 170.0, "upside down on the way");
    window.key_press(Key::F6);
    window.step();
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    let kept = session(&window).shown.clone().unwrap();
    let ends: Vec<_> = kept.scenario.steps.iter().map(|s| s.track_deg).collect();
    assert_eq!(ends.len(), 2, "yaw and track are two steps");
    assert_eq!(ends[0], Some(0.0));
    for (i, &time_s) in driven.run.time_s.iter().enumerate() {
        let again = kept.angles_at(time_s);
        let off = |a: f64, b: f64| (a - b).abs().to_degrees();
        assert!(
            off(again.yaw_rad, driven.chair.yaw_rad[i]) < 0.6,
            "{time_s}"
        );
        assert!(
            off(again.track_rad, driven.chair.track_rad[i]) < 0.6,
            "{time_s}"
        );
    }
    let farthest_again = kept.chair.track_rad.iter().copied().fold(0.0, f64::max);
    assert!((farthest_again - farthest_rad).abs().to_degrees() < 0.5);
    // The debris ends where it did while it was driven.
    let last = driven.run.time_s.len() - 1;
    let at = kept.between(driven.run.time_s[last]).after;
    for (a, b) in driven.run.tracks.iter().zip(&kept.run.tracks) {
        assert_eq!(a.place[last].region, b.place[at].region);
    }
    // A step that is changed makes the steps the motion again.
    assert!(!draft(&window).recorded.is_empty());
    let mut step = draft(&window).steps[0].clone();
    step.hold_s += 1.0;
    let edit = Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Set(0, step))));
    window.state_mut().session.apply(edit);
    settle(&mut window);
    assert!(draft(&window).recorded.is_empty());
}

#[test]
fn behind_a_dialog_the_clock_of_a_drive_stands_still() {
    let mut window = open();
    begin(&mut window);
    drive_for(&mut window, 0.3);
    window.key_press(Key::F1);
    window.step();
    window.step();
    window.get_by_label("Keys and pointer");
    // The drive's keys come first, and the window's, which rest, not at all.
    window.get_by_label("driving: yaw to the patient's left, right");
    assert!(window.query_by_label("slower, faster").is_none());
    window.step();
    thread::sleep(Duration::from_millis(150));
    window.step();
    let before = time_s(&window);
    thread::sleep(Duration::from_millis(400));
    window.step();
    window.step();
    assert!((time_s(&window) - before).abs() < 1e-9, "{before}");
    window.key_press(Key::Escape);
    drive_for(&mut window, 0.2);
}

#[test]
fn what_a_gloved_hand_touches_is_large_enough() {
    let mut window = open();
    begin(&mut window);
    for name in [
        "End and keep",
        "Throw away",
        "Aim at the next step",
        "Aim at the step before",
        "Sound while driving",
        "End the drive",
        "Turn the yaw",
        "Turn the track",
    ] {
        let rect = window.get_by_label(name).rect();
        assert!(
            rect.height() >= 43.9 && rect.width() >= 43.9,
            "{name}: {rect}"
        );
    }
}

#[test]
fn a_drive_that_a_crash_cuts_off_is_offered() {
    let mut window = open();
    let [before, after] = [(); 2].map(|()| tempfile::tempdir().unwrap());
    window.state_mut().keep_drafts_in(before.path());
    let plan = draft(&window);
    let script = window.state_mut().session.start_scripted_drive();
    window.key_down(Key::ArrowUp);
    window.step();
    assert!(script.go_on(2.0));
    window.key_up(Key::ArrowUp);
    window.step();
    assert!(script.go_on(4.0));
    window.step();
    let mut kept = None;
    until(&mut window, 10, "it is written", |_| {
        let files = std::fs::read_dir(before.path()).unwrap();
        files
            .flatten()
            .any(|f| f.path().extension().is_some_and(|e| e == "draft"))
    });
    for file in std::fs::read_dir(before.path()).unwrap().flatten() {
        if file.path().extension().is_some_and(|e| e == "draft") {
            std::fs::copy(file.path(), after.path().join(file.file_name())).unwrap();
            kept = Some(file.path());
        }
    }
    assert!(kept.is_some());
    // As after a crash: the file is there, and no window holds it.
    let mut next = open();
    next.state_mut().keep_drafts_in(after.path());
    next.run();
    next.get_by_label_contains(&format!("A drive, “{}, as driven”, was kept", plan.title));
    next.get_by_label("Take them up").click();
    settle(&mut next);
    let driven = draft(&next);
    assert_eq!(driven.title, format!("{}, as driven", plan.title));
    let track_deg = driven.steps.last().unwrap().track_deg.unwrap();
    assert!(track_deg > 20.0, "{track_deg}");
    assert!(
        (5.0..=6.1).contains(&driven.duration_s()),
        "but for the last second: {}",
        driven.duration_s()
    );
    next.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut next);
    assert_eq!(draft(&next), plan);
    // The drive that goes on ends as ever, and is then an ordinary change.
    window.key_press(Key::F6);
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    assert!(draft(&window).duration_s() > 5.5);
}
