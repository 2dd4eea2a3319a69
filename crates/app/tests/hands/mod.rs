//! What every test of the window does with it: wait, look at the draft, type.
#![allow(
    dead_code,
    clippy::panic,
    reason = "each test program uses a part, and may fail loudly"
)]

use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use egui_kittest::{Harness, kittest::Queryable as _};
use lithodrome_app::{
    drive::Script,
    session::{Preferences, Session},
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_rehearsal::Scenario;

pub(crate) type Window = Harness<'static, App>;

/// Waits for the worker, then for the window to come to rest.
pub(crate) fn settle(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    let busy =
        |session: &Session| session.worker.share().is_some() || session.visit.under_way().is_some();
    while busy(&window.state().session) {
        assert!(
            patience.elapsed().as_secs() < 120,
            "the worker does not come back"
        );
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    window.run();
}

pub(crate) fn session(window: &Window) -> &Session {
    &window.state().session
}

pub(crate) fn draft(window: &Window) -> Scenario {
    let Some(draft) = &session(window).draft else {
        panic!("there is no draft");
    };
    (**draft.scenario()).clone()
}

/// What is wrong with the draft, in words.
pub(crate) fn fault(window: &Window) -> Option<String> {
    let draft = session(window).draft.as_ref()?;
    draft.fault.as_ref().map(|f| f.words.clone())
}

pub(crate) fn press(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    settle(window);
}

pub(crate) fn undo(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(window);
}

/// A window so tall that nothing need be scrolled, with the part open that a key opens.
pub(crate) fn open_tall(first: Origin, height: f32, part: Key) -> Window {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size([1440.0, height])
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, first, preferences));
    settle(&mut window);
    window.key_press(part);
    window.run();
    window
}

/// Types a text into a field and leaves it by a key.
pub(crate) fn type_into(window: &mut Window, name: &str, text: &str, leave: Key) {
    window.get_by_label(name).focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.key_press(Key::Backspace);
    window.run();
    window.get_by_label(name).type_text(text);
    window.run();
    window.key_press(leave);
    settle(window);
}

/// Holds a key, or none, while a scripted drive goes on. A wish is handed over by a picture, and what came of it is
/// shown by the next.
pub(crate) fn hold_key(window: &mut Window, script: &Script, key: Option<Key>, seconds: f64) {
    if let Some(key) = key {
        window.key_down(key);
    }
    window.step();
    assert!(script.go_on(seconds), "the drive is over");
    if let Some(key) = key {
        window.key_up(key);
    }
    window.step();
}
