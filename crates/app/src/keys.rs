//! The keys of the window: one table for doing and for the help page.

use egui::{Context, Key, Modifiers};

use crate::{
    command::{Command, Dialog},
    session::Session,
};

/// What the help page says.
pub const HELP: [(&str, &str); 15] = [
    ("Space", "play, pause"),
    ("Left, Right", "0.1 s back, on"),
    ("Shift + Left, Right", "to the previous, next step"),
    ("Home, End", "to the start, to the end"),
    ("−, +", "slower, faster"),
    ("Ctrl + O", "open a scenario file"),
    ("Ctrl + R", "read the file again"),
    ("Ctrl + Q", "quit"),
    ("F1", "this page"),
    ("Esc", "close a window, pause"),
    ("Drag in the score", "move the cursor in time"),
    ("Drag in a stage", "turn the view"),
    ("Right drag in a stage", "move the view"),
    ("Wheel in a stage", "nearer, farther"),
    ("Double click in a stage", "put the view back"),
];

/// Modifiers, key, and what they ask for.
type Shortcut = (Modifiers, Key, fn() -> Command);

const TABLE: [Shortcut; 15] = [
    (Modifiers::NONE, Key::Space, || Command::TogglePlay),
    (Modifiers::SHIFT, Key::ArrowLeft, || Command::StepBy(-1)),
    (Modifiers::SHIFT, Key::ArrowRight, || Command::StepBy(1)),
    (Modifiers::NONE, Key::ArrowLeft, || Command::Nudge(-0.1)),
    (Modifiers::NONE, Key::ArrowRight, || Command::Nudge(0.1)),
    (Modifiers::NONE, Key::Home, || Command::Seek(0.0)),
    (Modifiers::NONE, Key::End, || Command::Seek(f64::INFINITY)),
    (Modifiers::NONE, Key::Minus, || Command::ChangeSpeed(-1)),
    (Modifiers::NONE, Key::Plus, || Command::ChangeSpeed(1)),
    (Modifiers::NONE, Key::Equals, || Command::ChangeSpeed(1)),
    (Modifiers::COMMAND, Key::O, || Command::PickFile),
    (Modifiers::COMMAND, Key::R, || Command::Reload),
    (Modifiers::COMMAND, Key::Q, || Command::Quit),
    (Modifiers::NONE, Key::F1, || {
        Command::Show(Dialog::Shortcuts)
    }),
    (Modifiers::NONE, Key::Escape, || Command::CloseDialog),
];

/// Reads the keys, unless a text field has them.
pub fn read(ctx: &Context, session: &Session, commands: &mut Vec<Command>) {
    if session.dialog.is_some() {
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            commands.push(Command::CloseDialog);
        }
        return;
    }
    if ctx.text_edit_focused() || egui::Popup::is_any_open(ctx) {
        return;
    }
    for (modifiers, key, command) in TABLE {
        if ctx.input_mut(|i| i.consume_key(modifiers, key)) {
            commands.push(match (key, session.playback.playing) {
                (Key::Escape, true) => Command::TogglePlay,
                (Key::Escape, false) => continue,
                _ => command(),
            });
        }
    }
}
