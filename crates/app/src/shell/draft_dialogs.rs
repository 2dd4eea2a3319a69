//! Questions about a draft: unsaved changes, where to save, what a crash has left.

use std::time::SystemTime;

use egui::{Align, Button, Context, Layout, RichText};

use crate::{
    kit::dialog::dialog,
    kit::path_dialog,
    kit::theme::{self, Palette},
    session::Session,
    session::autosave::Orphan,
    session::command::{Command, Dialog, FileCommand, ViewCommand},
    shell::file_picker::with_ending,
};

/// Shows the question that is open, if it is one of these.
pub fn draft_dialog_ui(ctx: &Context, session: &Session, commands: &mut Vec<Command>) {
    match &session.dialog {
        Some(Dialog::Unsaved) => unsaved_ui(ctx, session, commands),
        Some(Dialog::SavePath(path)) => save_path_ui(ctx, path, commands),
        Some(Dialog::Recover) => {
            if let Some(orphan) = session.orphan() {
                recover_ui(ctx, orphan, session.orphans.len(), commands);
            }
        }
        _ => {}
    }
}

/// One answer: label, tooltip, whether it is the one meant by Enter, and what it asks for.
type Answer<'a> = (&'a str, &'a str, bool, Command);

fn question(
    ctx: &Context,
    id: &str,
    title: &str,
    lines: &[String],
    answers: Vec<Answer<'_>>,
    commands: &mut Vec<Command>,
) {
    let modal = dialog(ctx, id).show(ctx, |ui| {
        ui.set_width(440.0);
        let palette = Palette::of(ui);
        ui.label(RichText::new(title).font(theme::heading()));
        ui.add_space(4.0);
        for line in lines {
            ui.label(RichText::new(line).color(palette.weak));
        }
        ui.add_space(8.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for (label, tip, first, command) in answers {
                let text = RichText::new(label);
                let text = if first {
                    text.font(theme::body_strong())
                } else {
                    text
                };
                let button = ui.add(Button::new(text));
                if first && ui.memory(|m| m.focused().is_none()) {
                    button.request_focus();
                }
                if button.on_hover_text(tip).clicked() {
                    commands.push(command);
                }
            }
        });
    });
    if modal.should_close() {
        commands.push(Command::View(ViewCommand::CloseDialog));
    }
}

fn unsaved_ui(ctx: &Context, session: &Session, commands: &mut Vec<Command>) {
    let Some(draft) = &session.draft else { return };
    let title = format!("Save the changes to “{}”?", draft.scenario().title);
    let mut lines = vec!["What is not saved is lost.".to_owned()];
    let mut answers: Vec<Answer<'_>> = Vec::new();
    if let Some(fault) = &draft.fault {
        lines.push(format!("It cannot be saved as it is: {}", fault.words));
    } else {
        let tip = "Save, then go on (Enter)";
        answers.push(("Save", tip, true, Command::File(FileCommand::Save)));
    }
    let tip = "Go on without saving";
    answers.push((
        "Discard the changes",
        tip,
        false,
        Command::File(FileCommand::DiscardChanges),
    ));
    answers.push((
        "Stay here",
        "Change nothing (Esc)",
        false,
        Command::View(ViewCommand::CloseDialog),
    ));
    question(ctx, "unsaved", &title, &lines, answers, commands);
}

fn recover_ui(ctx: &Context, orphan: &Orphan, count: usize, commands: &mut Vec<Command>) {
    let ago = SystemTime::now()
        .duration_since(orphan.at)
        .map_or(0, |d| d.as_secs());
    let kept = match &orphan.kept.drive {
        Some(drive) => format!("A drive, “{}”, was", drive.title),
        None => format!("Changes to “{}” were", orphan.kept.draft.title),
    };
    let mut lines = vec![format!(
        "The program did not close as it should. {kept} kept {}.",
        ago_words(ago)
    )];
    if let Some(file) = &orphan.kept.file {
        lines.push(format!("File: {}", file.display()));
    }
    if count > 1 {
        lines.push(format!("{} more are waiting.", count - 1));
    }
    let answers: Vec<Answer<'_>> = vec![
        (
            "Take them up",
            "Open the draft with its changes; the file stays as it is until you save (Enter)",
            true,
            Command::File(FileCommand::Recover),
        ),
        (
            "Throw them away",
            "Remove what was kept",
            false,
            Command::File(FileCommand::DiscardRecovered),
        ),
        (
            "Ask again later",
            "Keep it for the next start (Esc)",
            false,
            Command::View(ViewCommand::CloseDialog),
        ),
    ];
    question(
        ctx,
        "recover",
        "Unsaved changes were found",
        &lines,
        answers,
        commands,
    );
}

/// "12 minutes ago".
fn ago_words(seconds: u64) -> String {
    let (count, unit) = match seconds {
        0..=59 => return "less than a minute ago".to_owned(),
        60..=3_599 => (seconds / 60, "minute"),
        3_600..=86_399 => (seconds / 3_600, "hour"),
        _ => (seconds / 86_400, "day"),
    };
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {unit}{plural} ago")
}

/// Asks for a path, where the desktop has no file window.
fn save_path_ui(ctx: &Context, path: &str, commands: &mut Vec<Command>) {
    let asked = path_dialog::Asked {
        name: "save path",
        heading: "Save the scenario",
        label: "Path of the file (.ron)",
        button: "Save to this path",
        text: path,
        written: &|path| Some(with_ending(path.to_owned())),
    };
    commands.extend(match path_dialog::path_dialog(ctx, &asked) {
        path_dialog::Answer::Waits => None,
        path_dialog::Answer::Typed(text) => {
            Some(Command::View(ViewCommand::Show(Dialog::SavePath(text))))
        }
        path_dialog::Answer::Done(path) => {
            Some(Command::File(FileCommand::SaveTo(with_ending(path))))
        }
        path_dialog::Answer::Cancelled => Some(Command::View(ViewCommand::CloseDialog)),
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_ago_in_words() {
        assert_eq!(ago_words(5), "less than a minute ago");
        assert_eq!(ago_words(60), "1 minute ago");
        assert_eq!(ago_words(7_300), "2 hours ago");
        assert_eq!(ago_words(200_000), "2 days ago");
    }
}
