//! Driving without a screen: keys held, dials pulled, the word and the hold read by accessible names.
//!
//! The drive runs on a thread of its own in real time, so these tests wait for it.
#![allow(clippy::expect_used, reason = "helpers of tests may fail loudly")]

mod glove;
#[path = "../hands/mod.rs"]
mod hands;
mod kept;

use std::{
    sync::Arc,
    thread,
    time::{Duration, Instant},
};

use egui::{Event, Key, Modifiers, Pos2, Vec2, accesskit::Role, vec2};
use egui_kittest::{Harness, HarnessBuilder, kittest::NodeT as _, kittest::Queryable as _};
use hands::{Window, draft, session, settle};
use lithodrome_app::{
    drive::pad::{PadButton, PadEvent, PadSeat, Stick},
    session::Preferences,
    session::command::{Command, DriveSound, FileCommand, PlayCommand},
    shell::app::App,
    work::stage_data::Origin,
};

fn open() -> Window {
    open_in(
        Harness::builder().with_size([1440.0, 900.0]),
        Origin::Shipped,
    )
}

fn open_in(builder: HarnessBuilder<App>, first: Origin) -> Window {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut window = builder
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, first, preferences));
    settle(&mut window);
    window
}

/// Draws pictures until something is so.
fn until(window: &mut Window, patience_s: u64, what: &str, so: impl Fn(&Window) -> bool) {
    let began = Instant::now();
    window.step();
    while !so(window) {
        assert!(began.elapsed().as_secs() < patience_s, "waited for: {what}");
        thread::sleep(Duration::from_millis(10));
        window.step();
    }
}

/// Draws pictures until the drive has gone on by this time.
fn drive_for(window: &mut Window, seconds: f64) {
    let until_s = time_s(window) + seconds;
    until(window, 30, "the drive goes on", |w| time_s(w) >= until_s);
}

fn time_s(window: &Window) -> f64 {
    let drive = session(window).drive.as_ref();
    drive.and_then(|d| d.now()).map_or(0.0, |now| now.time_s)
}

fn begin(window: &mut Window) {
    window.get_by_label("Drive").click();
    until(window, 10, "the chair is ready", |w| time_s(w) > 0.0);
}

/// The angle that a dial tells, degrees.
fn dial_deg(window: &Window, name: &str) -> f64 {
    let dial = window.get_by_role_and_label(Role::Slider, name);
    dial.accesskit_node().numeric_value().unwrap_or(f64::NAN)
}

fn stands(window: &Window) -> bool {
    window.query_by_label_contains("Hold not begun").is_none()
}

#[test]
fn a_held_arrow_turns_the_chair_and_the_drive_becomes_the_draft() {
    let mut window = open();
    let plan = draft(&window);
    begin(&mut window);
    window.get_by_label("Step 1 of 5");
    assert!(dial_deg(&window, "Turn the track").abs() < 0.5);

    window.key_down(Key::ArrowUp);
    drive_for(&mut window, 1.5);
    let turned = dial_deg(&window, "Turn the track");
    assert!(turned > 15.0, "{turned}");
    window.get_by_label_contains("Turning: ");
    window.get_by_label("Hold not begun");
    assert!(session(&window).shown.as_ref().unwrap().duration_s() < 10.0);

    window.key_up(Key::ArrowUp);
    until(&mut window, 5, "it stands", stands);
    drive_for(&mut window, 2.2);
    let held = session(&window).drive.as_ref().unwrap().held_s().unwrap();
    assert!((2.0..3.5).contains(&held), "{held}");
    window.get_by_label(&format!("Hold {held:.1} s"));
    // Upright, 45° to the left is where the first step holds the chair: position comes before "wait".
    window.get_by_label("Yaw 45° left");
    let back = format!("Track {:.0}° back", dial_deg(&window, "Turn the track"));
    window.get_by_label(&back);
    window.get_by_label_contains("Stop and go back upright slowly");
    let rests_deg = dial_deg(&window, "Turn the track");
    assert!(rests_deg > turned, "it brakes, it does not jump");

    window.get_by_label("End and keep").click();
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    let driven = draft(&window);
    assert_eq!(driven.title, format!("{}, as driven", plan.title));
    assert_eq!(driven.debris, plan.debris);
    let last = driven.steps.last().unwrap();
    assert!((last.track_deg.unwrap() - rests_deg).abs() < 1.0);
    assert!(last.hold_s > 2.0);
    assert_eq!(session(&window).banner, None);
    assert!(!session(&window).is_stale(), "it is computed");
    window.get_by_label("not saved");

    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(draft(&window), plan);
    window.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    settle(&mut window);
    assert_eq!(draft(&window), driven);
}

#[test]
fn what_is_thrown_away_can_be_had_back() {
    let mut window = open();
    window
        .state_mut()
        .session
        .apply(Command::Play(PlayCommand::Seek(30.0)));
    let plan = draft(&window);
    begin(&mut window);
    window.key_down(Key::ArrowLeft);
    drive_for(&mut window, 0.6);
    window.key_up(Key::ArrowLeft);
    window.get_by_label("Throw away").click();
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    window.run();
    assert_eq!(draft(&window), plan);
    assert!(!session(&window).is_dirty() && !session(&window).is_stale());
    assert!((session(&window).playback.time_s - 30.0).abs() < 1e-9);
    window.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    settle(&mut window);
    assert!(draft(&window).title.ends_with(", as driven"));
}

#[test]
fn space_stops_at_once_and_keys_of_the_player_rest() {
    let mut window = open();
    begin(&mut window);
    window.key_down(Key::ArrowLeft);
    drive_for(&mut window, 0.8);
    window.get_by_label_contains("Turning: ");
    window.key_press(Key::Space);
    // The arrow is still held, and yet the chair stops.
    until(&mut window, 5, "it stands", stands);
    let there = dial_deg(&window, "Turn the yaw");
    assert!(there > 3.0);
    drive_for(&mut window, 0.4);
    assert!((dial_deg(&window, "Turn the yaw") - there).abs() < 0.6);
    assert!(!session(&window).playback.playing);
    // Let go and taken again, it turns again.
    window.key_up(Key::ArrowLeft);
    window.step();
    window.key_down(Key::ArrowRight);
    drive_for(&mut window, 0.8);
    assert!(dial_deg(&window, "Turn the yaw") < there - 2.0);
    // A window that is not in front any more has no hand on the chair.
    window.input_mut().focused = false;
    until(&mut window, 5, "it stands", stands);
}

#[test]
fn a_dial_and_the_ring_are_turned_by_the_pointer() {
    // The ring is there to be taken only where the room is drawn.
    let mut window = open_in(
        Harness::builder().with_size([1440.0, 900.0]).wgpu(),
        Origin::Shipped,
    );
    begin(&mut window);
    let dial = window.get_by_label("Turn the yaw").rect();
    let middle = dial.center_top() + vec2(0.0, 50.0);
    // A quarter to the left is yaw +90°; a short way of it is gone here.
    drag(
        &mut window,
        middle + vec2(0.0, -40.0),
        middle + vec2(-16.0, -36.0),
    );
    let yaw = dial_deg(&window, "Turn the yaw");
    assert!(yaw > 5.0, "{yaw}");
    let name = "Room stage: chair";
    let stage = window.get_by_label_contains(name).rect();
    let camera = session(&window).room_camera;
    // The patient's left side of the ring, seen from in front on the right.
    let view = camera.view(glam::Vec2::new(stage.width(), stage.height()));
    let at = view.on_screen(glam::Vec3::new(0.0, 1.02, 0.0));
    let at = stage.min + vec2(at.x, at.y);
    window.hover_at(at);
    window.step();
    window.step();
    window.get_by_label("Ring: drag to turn the track");
    // A band of 44 points has it.
    window.hover_at(at + vec2(20.0, 0.0));
    window.step();
    window.step();
    window.get_by_label("Ring: drag to turn the track");
    drag(&mut window, at, at + vec2(0.0, -40.0));
    let track = dial_deg(&window, "Turn the track");
    assert!(track > 4.0, "{track}");
    assert_eq!(session(&window).room_camera, camera, "the view stays");
    // A drag that misses ring and frame turns neither the chair nor the view.
    let missed = stage.left_bottom() + vec2(24.0, -24.0);
    drag(&mut window, missed, missed + vec2(30.0, -30.0));
    let dials = ["Turn the yaw", "Turn the track"].map(|name| dial_deg(&window, name));
    assert!(
        (dials[1] - track).abs() < 4.0 && (dials[0] - yaw).abs() < 4.0,
        "{dials:?}"
    );
    assert_eq!(session(&window).room_camera, camera, "nor the view");
}

/// Holds the pointer, moves it, waits a second and lets go.
fn drag(window: &mut Window, from: Pos2, to: Pos2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=4 {
        let by: Vec2 = (to - from) * (i as f32 / 4.0);
        window.hover_at(from + by);
        window.step();
    }
    drive_for(window, 1.0);
    window.drop_at(to);
    window.step();
    until(window, 5, "it stands", stands);
}

#[test]
fn a_gamepad_turns_the_chair_while_a_shoulder_button_is_held() {
    let mut window = open();
    let (seat, feed) = PadSeat::new(Arc::new(|| {}));
    window.state_mut().session.pad = Some(seat);
    begin(&mut window);
    window.get_by_label("Gamepad: none is seen");
    let button = |b, down| feed.put(PadEvent::Button(b, down));
    feed.put(PadEvent::Came("Pad".to_owned(), true));
    feed.put(PadEvent::Moved(Stick::LeftX, -1.0));
    drive_for(&mut window, 0.4);
    assert!(dial_deg(&window, "Turn the yaw").abs() < 0.5, "not held");
    window.get_by_label("Gamepad: Pad; hold a shoulder button to turn");
    button(PadButton::RightShoulder, true);
    drive_for(&mut window, 0.8);
    window.get_by_label("Gamepad: Pad, held");
    window.get_by_label_contains("Turning: ");
    let turned = dial_deg(&window, "Turn the yaw");
    assert!(turned > 5.0, "{turned}");
    // The lowest button stops it although the stick is still held.
    button(PadButton::South, true);
    button(PadButton::South, false);
    until(&mut window, 5, "it stands", stands);
    drive_for(&mut window, 0.3);
    assert!(stands(&window));
    // Let go and held again it turns again; let go it brakes.
    button(PadButton::RightShoulder, false);
    window.step();
    button(PadButton::LeftShoulder, true);
    drive_for(&mut window, 0.5);
    window.get_by_label_contains("Turning: ");
    button(PadButton::LeftShoulder, false);
    until(&mut window, 5, "it stands", stands);
    // Pulled out while held, it brakes too.
    button(PadButton::LeftShoulder, true);
    drive_for(&mut window, 0.5);
    window.get_by_label_contains("Turning: ");
    drop(feed);
    until(&mut window, 5, "it stands", stands);
    window.get_by_label("Gamepad: none is seen");
    window.key_press(Key::F6);
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    assert!(session(&window).pad.is_none());
}

#[test]
fn sound_is_off_and_tells_why_it_cannot_be_on() {
    let heard = |w: &Window| session(w).preferences.sound == DriveSound::On;
    let mut window = open();
    begin(&mut window);
    assert!(!heard(&window), "off by default");
    window.get_by_label("Sound while driving").click();
    window.step();
    assert!(heard(&window));
    // Where these tests run there is no sound device; where there is one, it plays.
    let began = Instant::now();
    while heard(&window) && began.elapsed() < Duration::from_secs(3) {
        thread::sleep(Duration::from_millis(10));
        window.step();
    }
    let said = session(&window).banner.is_some();
    assert_eq!(said, !heard(&window));
    if said {
        window.get_by_label_contains("There is no sound while driving: ");
    }
}

#[test]
fn what_would_lose_the_drive_ends_and_keeps_it_first() {
    let mut window = open();
    begin(&mut window);
    window.key_down(Key::ArrowLeft);
    drive_for(&mut window, 0.5);
    window.key_up(Key::ArrowLeft);
    window
        .state_mut()
        .session
        .apply(Command::File(FileCommand::OpenShipped));
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    assert!(draft(&window).title.ends_with(", as driven"));
    window.get_by_label("Discard the changes");
}

#[test]
fn at_rest_nothing_is_drawn_after_a_drive() {
    let mut window = open();
    begin(&mut window);
    drive_for(&mut window, 0.3);
    window.key_press(Key::F6);
    until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
    settle(&mut window);
    assert_eq!(session(&window).banner, None);
    // Only a rest was driven, and that is a step too.
    assert_eq!(draft(&window).steps.len(), 1);
    until(&mut window, 120, "the debrief is there", |w| {
        w.query_by_label("How it ended").is_some()
    });
    window.run();
    // `run` ends only when no picture is asked for any more.
    assert!(window.try_run().unwrap() <= 2);
}

#[test]
fn shift_turns_faster_and_a_passed_limit_is_told_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("limited.ron");
    let text = include_str!("../../../../scenarios/right-posterior-epley.ron");
    let limits = "limits: ( speed_deg_s: 40.0 ),\n    steps: [";
    let text = text.replacen("steps: [", limits, 1);
    std::fs::write(&path, text).unwrap();
    let builder = Harness::builder().with_size([1024.0, 700.0]);
    let mut window = open_in(builder, Origin::File(path));
    window.key_press(Key::F6);
    until(&mut window, 10, "the chair is ready", |w| time_s(w) > 0.0);
    // A held arrow asks for 30°/s, which this patient bears.
    window.key_down(Key::ArrowUp);
    drive_for(&mut window, 1.2);
    assert!(window.query_by_label_contains("Limit passed").is_none());
    window.get_by_label_contains("Within the limits");
    // With Shift it asks for 90°/s.
    window.event(Event::ModifiersChanged(Modifiers::SHIFT));
    drive_for(&mut window, 0.8);
    window.get_by_label_contains("Limit passed: step 2 (Driven 2)");
    assert!(
        window
            .query_by_label_contains("Within the limits")
            .is_none()
    );
}

#[test]
fn a_bedside_plan_and_the_rigid_engine_can_be_driven() {
    let folder = tempfile::tempdir().unwrap();
    let bedside = include_str!("../../../../scenarios/right-posterior-epley-bedside.ron");
    let rigid = include_str!("../../../../scenarios/right-dix-hallpike.ron");
    let rigid = rigid.replacen("steps: [", "engine: Rigid,\n    steps: [", 1);
    for (name, text) in [("bedside.ron", bedside), ("rigid.ron", rigid.as_str())] {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        let builder = Harness::builder().with_size([1440.0, 900.0]);
        let mut window = open_in(builder, Origin::File(path));
        begin(&mut window);
        window.key_down(Key::ArrowUp);
        drive_for(&mut window, 0.6);
        window.key_up(Key::ArrowUp);
        window.key_press(Key::F6);
        until(&mut window, 10, "it ends", |w| session(w).drive.is_none());
        settle(&mut window);
        let draft = session(&window).draft.as_ref().unwrap();
        assert_eq!((&draft.fault, &session(&window).banner), (&None, &None));
        let driven = draft.scenario();
        assert!(driven.body.is_none(), "a chair was driven");
        assert!(driven.title.ends_with(", as driven"));
        assert!(!session(&window).is_stale(), "{name} is computed");
    }
}
