//! What every test of the window does with it: wait, look at the draft, type.
#![allow(
    dead_code,
    clippy::panic,
    reason = "each test program uses a part, and may fail loudly"
)]

use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use egui_kittest::{Harness, kittest::Queryable as _};
use lithodrome_app::{app::App, session::Session};
use lithodrome_rehearsal::Scenario;

pub(crate) type Window = Harness<'static, App>;

/// Waits for the worker, then for the window to come to rest.
pub(crate) fn settle(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    while window.state().session.worker.share().is_some() {
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
