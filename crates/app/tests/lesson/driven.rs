//! A hidden case that is driven on by hand, and holds in which nobody looks.

use std::{thread, time::Duration};

use egui::Key;
use egui_kittest::kittest::Queryable as _;
use lithodrome_app::session::command::{Command, PlayCommand};

use super::hands::{hold_key, session};
use super::{enter, open, press, wait};

#[test]
fn a_hidden_case_is_driven_on_by_hand_and_stays_hidden() {
    let mut window = open();
    enter(&mut window, "Difficulty: common");
    enter(&mut window, "Begin the case");
    enter(&mut window, "Right Dix-Hallpike");
    enter(&mut window, "Upright");
    let (acts, seen) = {
        let open = session(&window).lesson.open.as_ref().unwrap();
        (open.record.acts.clone(), open.seen.clone())
    };
    let end_s = session(&window).shown.as_ref().unwrap().duration_s();
    let script = window.state_mut().session.start_scripted_drive();
    hold_key(&mut window, &script, None, 4.0);
    {
        let drive = session(&window).drive.as_ref().unwrap();
        let now = drive.now().unwrap();
        assert!((now.time_s - end_s - 4.0).abs() < 0.05, "it goes on there");
        assert!(now.loaded.hidden && now.loaded.run.tracks.is_empty());
    }
    window.get_by_label("Watch the eyes");
    for words in ["debris rests", "debris still moves", "pieces", "of 8"] {
        let told = window.query_all_by_label_contains(words).count();
        assert_eq!(told, 0, "{words}");
    }
    window.get_by_label("Ear stage: hidden until you name it");
    // What was done to a patient stays done.
    assert!(window.query_by_label("Throw away").is_none());
    hold_key(&mut window, &script, Some(Key::ArrowUp), 3.0);
    hold_key(&mut window, &script, None, 20.0);
    let at = {
        let drive = session(&window).drive.as_ref().unwrap();
        drive.now().unwrap().angles
    };
    assert!(at.track_rad > 1.0, "{}", at.track_rad);
    press(&mut window, "Back to the case");
    drop(script);
    while session(&window).drive.is_some() {
        thread::sleep(Duration::from_millis(5));
        window.step();
    }
    wait(&mut window);
    {
        let open = session(&window).lesson.open.as_ref().unwrap();
        assert_eq!(open.record.acts[..acts.len()], acts);
        let driven = &open.record.acts[acts.len()..];
        assert_eq!(driven.len(), 2, "a rest, then a turn and its hold");
        let turn = &driven[1];
        assert!(turn.driven.len() > 60);
        assert!(
            turn.step.name.starts_with("By hand to yaw "),
            "{}",
            turn.step.name
        );
        let track_deg = turn.step.track_deg.unwrap();
        assert!((track_deg - at.track_rad.to_degrees()).abs() < 0.1);
        let held_s = turn.step.hold_s;
        assert!((held_s - 20.0).abs() < 1.0, "{held_s}");
        // What was seen before is as it was.
        for (was, is) in seen.iter().zip(&open.seen) {
            assert_eq!(was.finding.is_seen(), is.finding.is_seen());
            let apart = was.finding.peak_spv_rad_s - is.finding.peak_spv_rad_s;
            assert!(
                apart.abs() < 0.01,
                "{}: {apart} of {} rad/s",
                was.name,
                was.finding.peak_spv_rad_s
            );
        }
        // The draft is another scenario's, and as it was.
        assert!(session(&window).shown.as_ref().unwrap().hidden);
        assert!(!session(&window).is_dirty());
    }
    // And it is named and told like any other.
    enter(&mut window, "Name it");
    enter(&mut window, "Debrief");
    window.get_by_label_contains("You named");
}

#[test]
fn in_the_rehearsal_a_drive_is_of_the_plan() {
    let mut window = open();
    enter(&mut window, "Begin the case");
    enter(&mut window, "Use: Rehearsal");
    assert!(!session(&window).shows_case_under_way());
    enter(&mut window, "Use: Lesson");
    assert!(session(&window).shows_case_under_way());
}

#[test]
fn in_a_hold_without_a_look_the_eyes_are_not_shown() {
    let mut window = open();
    enter(&mut window, "Begin the case");
    enter(&mut window, "Eyes: not looking");
    enter(&mut window, "Right Dix-Hallpike");
    let hold_from_s = {
        let open = session(&window).lesson.open.as_ref().unwrap();
        open.seen.last().unwrap().hold_from_s
    };
    let seek = Command::Play(PlayCommand::Seek(hold_from_s + 5.0));
    window.state_mut().session.apply(seek);
    window.run();
    let told = window.query_all_by_label_contains("Both eyes. Nobody looks");
    assert!(told.count() > 0);
}
