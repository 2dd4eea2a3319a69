//! Asks for a path, where the desktop has no file window.

use std::path::{Path, PathBuf};

use egui::{Align, Button, Context, Key, Layout, RichText, TextEdit};

use super::{dialog::dialog, theme};

/// What is asked.
pub struct Asked<'a> {
    /// Name of the dialog.
    pub name: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// What the field is for.
    pub label: &'a str,
    /// The button that does it.
    pub button: &'static str,
    /// As typed so far.
    pub text: &'a str,
    /// The file that would be written, to be asked about if it is there already; nothing is written otherwise.
    pub written: &'a dyn Fn(&Path) -> Option<PathBuf>,
}

/// What a person did in this picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Nothing.
    Waits,
    /// The text is another one.
    Typed(String),
    /// Do it with this path.
    Done(PathBuf),
    /// Leave it.
    Cancelled,
}

/// Shows the dialog. Only its buttons and the escape key close it: a click beside it loses nothing.
pub fn path_dialog(ctx: &Context, asked: &Asked<'_>) -> Answer {
    let mut text = asked.text.to_owned();
    let mut answer = Answer::Waits;
    dialog(ctx, asked.name).show(ctx, |ui| {
        ui.set_width(520.0);
        ui.label(RichText::new(asked.heading).font(theme::heading()));
        ui.add_space(4.0);
        let label = ui.label(asked.label);
        let edit = TextEdit::singleline(&mut text)
            .desired_width(f32::INFINITY)
            .hint_text("…/scenario.ron");
        let field = ui.add(edit).labelled_by(label.id);
        let field = field
            .on_hover_text("A path from the folder that the program was started in, or from /");
        // Whether it was left is asked before it is given the focus again.
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        if !entered && ui.memory(|m| m.focused().is_none()) {
            field.request_focus();
        }
        let path = PathBuf::from(text.trim());
        let whole = std::path::absolute(&path).ok();
        if let Some(folder) = whole.as_deref().and_then(Path::parent) {
            let words = format!("In the folder {}", folder.display());
            ui.label(RichText::new(words).font(theme::small()));
        }
        let there = (asked.written)(&path).filter(|p| p.exists() && !text.trim().is_empty());
        if let Some(there) = &there {
            let name = there.file_name().unwrap_or_default().to_string_lossy();
            ui.label(format!("⚠ {name} is there already and would be replaced."));
        }
        ui.add_space(8.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (verb, tip) = match &there {
                Some(_) => ("Replace it", "Write over what is there"),
                None => (asked.button, "Go on with this path (Enter)"),
            };
            let button = ui.add_enabled(!text.trim().is_empty(), Button::new(verb));
            let clicked = button.on_hover_text(tip).clicked();
            // What is there is replaced by its own button only.
            if clicked || (entered && there.is_none() && !text.trim().is_empty()) {
                answer = Answer::Done(path);
            }
            if ui.button("Cancel").on_hover_text("Close (Esc)").clicked() {
                answer = Answer::Cancelled;
            }
        });
    });
    if answer == Answer::Waits && text != asked.text {
        answer = Answer::Typed(text);
    }
    answer
}
