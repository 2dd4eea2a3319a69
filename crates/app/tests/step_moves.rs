//! How a step moves, edited without a screen by accessible names: every kind, its numbers, faults, undo.

mod hands;

use egui::{Key, Modifiers};
use egui_kittest::{kittest::NodeT as _, kittest::Queryable as _};
use hands::{Window, draft, fault, open_tall, press, session, settle, type_into, undo};
use lithodrome_app::{
    session::command::{Command, EditCommand},
    session::edit::{Edit, StepsEdit},
    work::stage_data::Origin,
};
use lithodrome_chair::{HandPace, ShakeAxis};
use lithodrome_labyrinth::Ear;
use lithodrome_rehearsal::{Carrier, MoveEntry, SkullPlace, StepEntry};

/// Opens the shipped scenario at the steps, so tall that nothing need be scrolled.
fn open() -> Window {
    open_first(Origin::Shipped)
}

fn open_first(first: Origin) -> Window {
    open_tall(first, 1400.0, Key::F3)
}

fn step(window: &Window) -> StepEntry {
    draft(window).steps[1].clone()
}

/// How long the second step's move is in the run that is shown.
fn shown_move_s(window: &Window) -> f64 {
    assert!(!session(window).is_stale(), "{:?}", fault(window));
    let Some(shown) = &session(window).shown else {
        panic!("nothing is shown");
    };
    let times = &shown.step_times[1];
    times.hold_from_s - times.start_s
}

fn value(window: &Window, name: &str) -> Option<String> {
    window.get_by_label(name).value()
}

#[test]
fn a_motor_is_chosen_by_keyboard_set_and_undone() {
    let mut window = open();
    let plan = draft(&window);
    assert!(window.query_by_label("Mover of step 2: by motor").is_none());
    window.get_by_label("How step 2 moves: by hand").focus();
    window.run();
    window.key_press(Key::Enter);
    settle(&mut window);
    // From the mark over move time and hold to what may move it; the second is the motor.
    for _ in 0..4 {
        window.key_press(Key::Tab);
        window.run();
    }
    window.key_press(Key::Enter);
    settle(&mut window);
    // 120° at 60°/s and 120°/s²: 120/60 + 60/120 s.
    assert!((shown_move_s(&window) - 2.5).abs() < 1e-9);
    let time = "Move time of step 2";
    assert_eq!(value(&window, time).as_deref(), Some("2.5 s"));
    type_into(&mut window, "Highest speed, step 2", "40 °/s", Key::Tab);
    type_into(
        &mut window,
        "Highest acceleration, step 2",
        "80",
        Key::Enter,
    );
    let motor = MoveEntry::Motor {
        speed_deg_s: 40.0,
        acceleration_deg_s2: 80.0,
    };
    assert_eq!(
        (step(&window).movement, step(&window).move_s),
        (Some(motor), 0.0)
    );
    // 120/40 + 40/80 s.
    assert!((shown_move_s(&window) - 3.5).abs() < 1e-9);
    // Less is refused where it stands; nothing at all is the motor's own time again.
    type_into(&mut window, time, "2", Key::Enter);
    assert!(
        fault(&window)
            .unwrap()
            .contains("step 2, time of the move: found 2")
    );
    type_into(&mut window, time, "", Key::Enter);
    assert_eq!(fault(&window), None);
    assert!((shown_move_s(&window) - 3.5).abs() < 1e-9);
    for _ in 0..5 {
        undo(&mut window);
    }
    assert_eq!(draft(&window), plan);
}

#[test]
fn a_hand_takes_its_own_time_where_none_is_written() {
    let mut window = open();
    let plan = draft(&window);
    type_into(&mut window, "Move time of step 2", "", Key::Enter);
    // 120° at 40°/s.
    assert!((shown_move_s(&window) - 3.0).abs() < 1e-9);
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Pace of step 2: briskly");
    let fast = MoveEntry::Hand {
        pace: HandPace::Fast,
    };
    assert_eq!(step(&window).movement, Some(fast));
    // 110° in 1.8 s.
    assert!((shown_move_s(&window) - 120.0 / 110.0 * 1.8).abs() < 1e-9);
    let time = "Move time of step 2";
    assert_eq!(value(&window, time).as_deref(), Some("1.96 s"));
    // A written time goes before the pace.
    type_into(&mut window, time, "4", Key::Enter);
    assert!((shown_move_s(&window) - 4.0).abs() < 1e-9);
    for _ in 0..3 {
        undo(&mut window);
    }
    assert_eq!(draft(&window), plan);
}

#[test]
fn a_throw_is_as_short_as_its_turn_and_its_stop_is_told_where_it_is_wrong() {
    let mut window = open();
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Mover of step 2: thrown");
    window.get_by_label("How step 2 moves: thrown");
    // 120° at 150°/s.
    assert!((shown_move_s(&window) - 0.8).abs() < 1e-9);
    type_into(&mut window, "Comes to a stop in, step 2", "0,2", Key::Enter);
    assert_eq!(
        step(&window).movement,
        Some(MoveEntry::Throw { stop_s: 0.2 })
    );
    assert_eq!(fault(&window), None);
    type_into(&mut window, "Comes to a stop in, step 2", "50", Key::Enter);
    let words = fault(&window).unwrap();
    assert!(
        words.contains("step 2, kind of move, time of the stop: found 50"),
        "{words}"
    );
    let told = window.query_all_by_label(&words).count();
    assert_eq!(told, 2, "in the banner and at the field");
    undo(&mut window);
    assert_eq!(fault(&window), None);
}

#[test]
fn a_part_with_a_fault_cannot_be_closed() {
    let mut window = open();
    let wrong = StepEntry {
        movement: Some(MoveEntry::Throw { stop_s: 50.0 }),
        ..step(&window)
    };
    window
        .state_mut()
        .session
        .apply(Command::Edit(EditCommand::Change(Edit::Steps(
            StepsEdit::Set(1, wrong),
        ))));
    settle(&mut window);
    window.get_by_label("Comes to a stop in, step 2");
    undo(&mut window);
    assert!(window.query_by_label("Mover of step 2: by hand").is_none());
}

#[test]
fn a_step_is_shaken_about_an_axis() {
    let mut window = open();
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Mover of step 2: shaken");
    press(&mut window, "Shaken axis of step 2: track");
    type_into(&mut window, "Turn to either side, step 2", "10", Key::Enter);
    type_into(&mut window, "Times a second, step 2", "2", Key::Enter);
    let shaking = |axis| MoveEntry::Shaking {
        axis,
        amplitude_deg: 10.0,
        frequency_hz: 2.0,
    };
    assert_eq!(step(&window).movement, Some(shaking(ShakeAxis::Track)));
    assert_eq!(fault(&window), None);
    // Its time is needed: it follows from nothing.
    type_into(&mut window, "Move time of step 2", "", Key::Enter);
    assert!((step(&window).move_s - 3.0).abs() < 1e-12);
    type_into(&mut window, "Times a second, step 2", "80", Key::Enter);
    assert!(
        fault(&window)
            .unwrap()
            .contains("step 2, kind of move, frequency")
    );
    undo(&mut window);
    press(&mut window, "Shaken axis of step 2: up and down");
    assert_eq!(step(&window).movement, Some(shaking(ShakeAxis::Nod)));
}

#[test]
fn only_a_two_axis_chair_has_a_track_to_shake() {
    let mut window = open();
    let mut from = draft(&window);
    from.body = Some(Carrier::ThreeAxes);
    let edit = Edit::Manoeuvre(Box::new(from));
    window
        .state_mut()
        .session
        .apply(Command::Edit(EditCommand::Change(edit)));
    settle(&mut window);
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Mover of step 2: shaken");
    assert!(
        window
            .query_by_label("Shaken axis of step 2: up and down")
            .is_some()
    );
    assert!(
        window
            .query_by_label("Shaken axis of step 2: track")
            .is_none()
    );
    assert_eq!(fault(&window), None);
}

#[test]
fn a_vibrator_is_held_to_the_skull_and_changes_sides_in_the_mirror() {
    let mut window = open();
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Mover of step 2: vibrated");
    type_into(
        &mut window,
        "Way to either side, step 2",
        "0.05",
        Key::Enter,
    );
    type_into(&mut window, "Times a second, step 2", "60", Key::Enter);
    let vibration = |at| MoveEntry::Vibration {
        at,
        amplitude_mm: 0.05,
        frequency_hz: 60.0,
    };
    let right = SkullPlace::Mastoid(Ear::Right);
    assert_eq!(step(&window).movement, Some(vibration(right)));
    assert_eq!(fault(&window), None);
    window.key_press_modifiers(Modifiers::COMMAND, Key::M);
    settle(&mut window);
    let left = SkullPlace::Mastoid(Ear::Left);
    assert_eq!(step(&window).movement, Some(vibration(left)));
    press(&mut window, "Place of the vibrator of step 2: forehead");
    assert_eq!(
        step(&window).movement,
        Some(vibration(SkullPlace::Forehead))
    );
    type_into(&mut window, "Way to either side, step 2", "11", Key::Enter);
    assert!(
        fault(&window)
            .unwrap()
            .contains("step 2, kind of move, amplitude")
    );
    window
        .state_mut()
        .session
        .apply(Command::Edit(EditCommand::CancelWork));
}

#[test]
fn at_the_bedside_there_are_no_angles_of_a_chair_but_kinds_of_move() {
    let bedside = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/right-posterior-epley-bedside.ron"
    );
    let mut window = open_first(Origin::File(bedside.into()));
    for name in [
        "Yaw at the start",
        "Track at the start",
        "Yaw of step 2",
        "Track of step 2",
    ] {
        let field = window.get_by_label(name);
        assert!(field.accesskit_node().is_disabled(), "{name}");
        assert_eq!(field.value().as_deref(), Some("–"), "{name}");
    }
    press(&mut window, "How step 2 moves: by hand");
    press(&mut window, "Mover of step 2: thrown");
    // The trunk leans back by 90°, at 150°/s.
    assert!((shown_move_s(&window) - 0.6).abs() < 1e-9);
}
