//! Editing what a scenario says beside case and steps: found by accessible names, and undone.

mod hands;

use egui::{Key, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};
use hands::{Window, draft, settle, type_into};
use lithodrome_app::{
    session::Preferences,
    session::command::{CaseTab, Command, EditCommand, ViewCommand},
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_debris::Engine;
use lithodrome_nystagmus::Cover;
use lithodrome_rehearsal::Kind;

/// The patient tab in a window so tall that nothing is scrolled away.
fn open() -> Window {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size(vec2(1440.0, 2000.0))
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    let session = &mut window.state_mut().session;
    session.apply(Command::View(ViewCommand::ShowTab(CaseTab::Patient)));
    settle(&mut window);
    window
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    settle(window);
}

#[test]
fn eyes_engine_kind_and_notes_are_edited_and_undone() {
    let mut window = open();
    let before = draft(&window);
    click(&mut window, "Eyes watched by: Frenzel");
    type_into(&mut window, "Gaze to the right", "-20", Key::Enter);
    type_into(&mut window, "Nystagmus seen from", "5", Key::Enter);
    click(&mut window, "Kind of debris 1: clumps");
    click(&mut window, "Engine: rigid");
    type_into(
        &mut window,
        "Notes of the scenario",
        "Second visit",
        Key::Tab,
    );
    let after = draft(&window);
    let eyes = after
        .eyes
        .expect("the eyes are watched in a way of their own");
    assert_eq!(eyes.cover, Cover::Frenzel);
    assert!((eyes.gaze_right_deg + 20.0).abs() < 1e-12);
    assert_eq!(after.visible_spv_deg_s, Some(5.0));
    assert_eq!(after.debris[0].kind, Some(Kind::Clump));
    assert_eq!(after.engine, Some(Engine::Rigid));
    assert_eq!(after.notes.as_deref(), Some("Second visit"));
    let shown = window.state().session.shown.clone().expect("a run");
    assert_eq!(shown.run.engine, Engine::Rigid, "it is computed so");
    assert_eq!(shown.scenario, after);
    for _ in 0..6 {
        window
            .state_mut()
            .session
            .apply(Command::Edit(EditCommand::Undo));
    }
    settle(&mut window);
    assert_eq!(draft(&window), before);
}

#[test]
fn a_gaze_beyond_what_eyes_can_do_is_told_at_its_field() {
    let mut window = open();
    type_into(&mut window, "Gaze upward", "60", Key::Enter);
    // In the strip at the head of the window and under the field.
    let told = window.get_all_by_label_contains("eyes, gaze up: found 60");
    assert_eq!(told.count(), 2);
}
