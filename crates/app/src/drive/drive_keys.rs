//! Keys while driving: arrows turn the chair as long as they are held, all else that plays or edits rests.

use egui::{Context, Key, Modifiers};

use crate::{
    drive::{ChairAxis, pad::PadSeat},
    session::Session,
    session::command::{Command, Dialog, DriveCommand, FileCommand, ViewCommand},
};

/// Speed that a held arrow asks for, rad/s (30°/s).
const SLOW_RAD_S: f64 = 0.524;
/// The same with Shift, rad/s (90°/s).
const FAST_RAD_S: f64 = 1.571;

/// Axis, key that turns it on, key that turns it back.
const ARROWS: [(ChairAxis, Key, Key); 2] = [
    (ChairAxis::Yaw, Key::ArrowLeft, Key::ArrowRight),
    (ChairAxis::Track, Key::ArrowUp, Key::ArrowDown),
];

/// Keys that hold the large target of glove mode; pedals send one of them.
const PEDALS: [Key; 2] = [Key::PageDown, Key::Enter];

/// Modifiers, key, and what they ask for.
type Shortcut = (Modifiers, Key, fn() -> Command);

const TABLE: [Shortcut; 6] = [
    (Modifiers::NONE, Key::Space, || {
        Command::Drive(DriveCommand::StopChair)
    }),
    (Modifiers::NONE, Key::Escape, || {
        Command::Drive(DriveCommand::StopChair)
    }),
    (Modifiers::NONE, Key::F6, || {
        Command::Drive(DriveCommand::End)
    }),
    (Modifiers::NONE, Key::F1, || {
        Command::View(ViewCommand::Show(Dialog::Shortcuts))
    }),
    (Modifiers::NONE, Key::F11, || {
        Command::Drive(DriveCommand::Glove(true))
    }),
    (Modifiers::COMMAND, Key::Q, || {
        Command::File(FileCommand::Quit)
    }),
];

/// What the help page says.
pub const HELP: [(&str, &str); 10] = [
    ("F6", "drive the chair; end the drive and keep it"),
    ("Left, Right", "driving: yaw to the patient's left, right"),
    ("Up, Down", "driving: track on, back; Shift: faster"),
    ("Space, Esc", "driving: stop the chair at once"),
    (
        "Drag the ring, the frame",
        "driving: turn the track, the yaw",
    ),
    ("Middle drag in the room", "driving: turn the view"),
    (
        "Gamepad",
        "hold a shoulder button: left stick yaw, right stick track",
    ),
    ("Gamepad, lowest button", "driving: stop the chair at once"),
    ("F11", "driving: glove mode, one large target, and back"),
    (
        "Page Down, Enter",
        "glove mode: held by hand or pedal, turn to the next position",
    ),
];

/// Reads the keys.
pub fn read(ctx: &Context, session: &Session, commands: &mut Vec<Command>) {
    if session.drive.is_none() || egui::Popup::is_any_open(ctx) {
        return;
    }
    commands.extend(session.pad.iter().flat_map(PadSeat::asks));
    let glove = session.drive.as_ref().is_some_and(|d| d.glove);
    for (modifiers, key, command) in TABLE {
        if ctx.input_mut(|i| i.consume_key(modifiers, key)) {
            commands.push(match command() {
                Command::Drive(DriveCommand::Glove(_)) => {
                    Command::Drive(DriveCommand::Glove(!glove))
                }
                other => other,
            });
        }
    }
    if glove && ctx.input(|i| PEDALS.iter().any(|key| i.key_down(*key))) {
        // Enter would press what has the focus.
        ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter));
        commands.push(Command::Drive(DriveCommand::GoOn));
        return;
    }
    let (down, fast) = ctx.input(|i| {
        let down =
            ARROWS.map(|(_, on, back)| i32::from(i.key_down(on)) - i32::from(i.key_down(back)));
        (down, i.modifiers.shift)
    });
    if down == [0; 2] {
        return;
    }
    // Arrows would move the focus from button to button.
    ctx.memory_mut(|m| {
        if let Some(id) = m.focused() {
            m.surrender_focus(id);
        }
    });
    let rate_rad_s = if fast { FAST_RAD_S } else { SLOW_RAD_S };
    for ((axis, ..), way) in ARROWS.into_iter().zip(down) {
        if way != 0 {
            commands.push(Command::Drive(DriveCommand::Push(
                axis,
                f64::from(way) * rate_rad_s,
            )));
        }
    }
}
