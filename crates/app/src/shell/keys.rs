//! The keys of the window: one table for doing and for the help page.

use egui::{Context, Key, Modifiers};

use crate::{
    case::steps_ui,
    drive::drive_keys,
    kit::controls,
    session::Session,
    session::command::{
        CaseTab, Command, Dialog, DriveCommand, EditCommand, FileCommand, PlayCommand, ViewCommand,
    },
    session::edit::{Edit, StepsEdit},
};

/// What the help page says.
pub const HELP: [(&str, &str); 25] = [
    ("Space", "play, pause"),
    ("Left, Right", "0.1 s back, on"),
    ("Shift + Left, Right", "to the previous, next step"),
    ("Home, End", "to the start, to the end"),
    ("−, +", "slower, faster"),
    ("Ctrl + N", "new scenario"),
    ("Ctrl + O", "open a scenario file"),
    ("Ctrl + S", "save"),
    ("Ctrl + Shift + S", "save as another file"),
    ("Ctrl + Z", "undo"),
    ("Ctrl + Shift + Z", "redo"),
    ("F2, F3, F4, F5", "case, steps, patient, library"),
    ("Ins, Del, Ctrl + D", "new step, delete, duplicate it"),
    ("Alt + Up, Down", "move the step up, down"),
    ("Ctrl + M", "mirror to the other ear"),
    ("Ctrl + R", "read the file again"),
    ("Ctrl + Q", "quit"),
    ("Alt + F, E, C, V, H", "open a menu"),
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

const TABLE: [Shortcut; 26] = [
    (Modifiers::NONE, Key::Space, || {
        Command::Play(PlayCommand::Toggle)
    }),
    (Modifiers::SHIFT, Key::ArrowLeft, || {
        Command::Play(PlayCommand::StepBy(-1))
    }),
    (Modifiers::SHIFT, Key::ArrowRight, || {
        Command::Play(PlayCommand::StepBy(1))
    }),
    (Modifiers::NONE, Key::ArrowLeft, || {
        Command::Play(PlayCommand::Nudge(-0.1))
    }),
    (Modifiers::NONE, Key::ArrowRight, || {
        Command::Play(PlayCommand::Nudge(0.1))
    }),
    (Modifiers::NONE, Key::Home, || {
        Command::Play(PlayCommand::Seek(0.0))
    }),
    (Modifiers::NONE, Key::End, || {
        Command::Play(PlayCommand::Seek(f64::INFINITY))
    }),
    (Modifiers::NONE, Key::Minus, || {
        Command::Play(PlayCommand::ChangeSpeed(-1))
    }),
    (Modifiers::NONE, Key::Plus, || {
        Command::Play(PlayCommand::ChangeSpeed(1))
    }),
    (Modifiers::NONE, Key::Equals, || {
        Command::Play(PlayCommand::ChangeSpeed(1))
    }),
    (Modifiers::COMMAND, Key::O, || {
        Command::File(FileCommand::Pick)
    }),
    (Modifiers::NONE, Key::F6, || {
        Command::Drive(DriveCommand::Start)
    }),
    (Modifiers::COMMAND, Key::R, || {
        Command::File(FileCommand::Reload)
    }),
    (Modifiers::COMMAND, Key::Q, || {
        Command::File(FileCommand::Quit)
    }),
    (Modifiers::NONE, Key::F1, || {
        Command::View(ViewCommand::Show(Dialog::Shortcuts))
    }),
    (Modifiers::NONE, Key::Escape, || {
        Command::View(ViewCommand::CloseDialog)
    }),
    (Modifiers::COMMAND, Key::N, || {
        Command::File(FileCommand::New)
    }),
    // The longer of two shortcuts comes first, as extra Shift is not looked at.
    (CTRL_SHIFT, Key::S, || Command::File(FileCommand::SaveAs)),
    (Modifiers::COMMAND, Key::S, || {
        Command::File(FileCommand::Save)
    }),
    (CTRL_SHIFT, Key::Z, || Command::Edit(EditCommand::Redo)),
    (Modifiers::COMMAND, Key::Z, || {
        Command::Edit(EditCommand::Undo)
    }),
    (Modifiers::COMMAND, Key::M, || {
        Command::Edit(EditCommand::Change(Edit::Mirror))
    }),
    (Modifiers::NONE, Key::F2, || {
        Command::View(ViewCommand::ShowTab(CaseTab::Case))
    }),
    (Modifiers::NONE, Key::F3, || {
        Command::View(ViewCommand::ShowTab(CaseTab::Steps))
    }),
    (Modifiers::NONE, Key::F4, || {
        Command::View(ViewCommand::ShowTab(CaseTab::Patient))
    }),
    (Modifiers::NONE, Key::F5, || {
        Command::View(ViewCommand::ShowTab(CaseTab::Library))
    }),
];

const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// Modifiers, key, and what they do to a step.
type StepShortcut = (Modifiers, Key, fn(usize) -> Edit);

/// Keys of the steps table, for the step that is chosen in it.
const STEP_TABLE: [StepShortcut; 5] = [
    (Modifiers::NONE, Key::Insert, |i| {
        Edit::Steps(StepsEdit::Insert(i))
    }),
    (Modifiers::COMMAND, Key::D, |i| {
        Edit::Steps(StepsEdit::Duplicate(i))
    }),
    (Modifiers::NONE, Key::Delete, |i| {
        Edit::Steps(StepsEdit::Delete(i))
    }),
    (Modifiers::ALT, Key::ArrowUp, |i| {
        Edit::Steps(StepsEdit::Move(i, -1))
    }),
    (Modifiers::ALT, Key::ArrowDown, |i| {
        Edit::Steps(StepsEdit::Move(i, 1))
    }),
];

/// Reads the keys, unless a text field has them.
pub fn read(ctx: &Context, session: &Session, commands: &mut Vec<Command>) {
    if session.dialog.is_some() {
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            commands.push(Command::View(ViewCommand::CloseDialog));
        }
        return;
    }
    if session.drive.is_some() {
        drive_keys::read(ctx, session, commands);
        return;
    }
    if ctx.text_edit_focused() {
        save_from_field(ctx, commands);
        steps(ctx, session, commands, true);
        return;
    }
    if egui::Popup::is_any_open(ctx) {
        return;
    }
    steps(ctx, session, commands, false);
    let arrows_taken = controls::arrows_are_taken(ctx);
    for (modifiers, key, command) in TABLE {
        if arrows_taken && matches!(key, Key::ArrowLeft | Key::ArrowRight) {
            continue;
        }
        if ctx.input_mut(|i| i.consume_key(modifiers, key)) {
            if key == Key::F3 {
                steps_ui::wish_for_focus(ctx);
            }
            commands.push(match (key, session.playback.playing) {
                (Key::Escape, true) => Command::Play(PlayCommand::Toggle),
                (Key::Escape, false) => continue,
                _ => command(),
            });
        }
    }
}

/// Saving includes what is being typed: the field is left first, and files come after edits.
fn save_from_field(ctx: &Context, commands: &mut Vec<Command>) {
    for (modifiers, command) in [
        (CTRL_SHIFT, Command::File(FileCommand::SaveAs)),
        (Modifiers::COMMAND, Command::File(FileCommand::Save)),
    ] {
        if ctx.input_mut(|i| i.consume_key(modifiers, Key::S)) {
            ctx.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
            commands.push(command);
            return;
        }
    }
}

/// Keys that act on the chosen step; in a text field only those that it does not need itself.
fn steps(ctx: &Context, session: &Session, commands: &mut Vec<Command>, typing: bool) {
    let Some(draft) = session.draft.as_ref() else {
        return;
    };
    if session.case_tab != CaseTab::Steps || session.case_folded == Some(true) {
        return;
    }
    for (modifiers, key, edit) in STEP_TABLE {
        if typing && matches!(key, Key::Insert | Key::Delete) {
            continue;
        }
        if ctx.input_mut(|i| i.consume_key(modifiers, key)) {
            commands.push(Command::Edit(EditCommand::Change(edit(draft.chosen))));
        }
    }
}
