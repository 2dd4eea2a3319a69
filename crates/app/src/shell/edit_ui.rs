//! The Edit menu, and the strips that tell how the draft and the picture stand to each other.

use egui::{RichText, Ui};

use crate::{
    kit::controls,
    kit::menu::item,
    kit::theme::{self, Palette},
    session::Session,
    session::command::{CaseTab, Command, EditCommand, ViewCommand},
    session::draft::Draft,
    session::edit::Edit,
};

/// Shows the Edit menu.
pub fn edit_menu(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let draft = session.draft.as_ref();
    ui.set_min_width(224.0);
    ui.add_enabled_ui(draft.is_some_and(Draft::can_undo), |ui| {
        let tip = "Take the last change back";
        item(
            ui,
            "Undo",
            "Ctrl+Z",
            tip,
            Command::Edit(EditCommand::Undo),
            commands,
        );
    });
    ui.add_enabled_ui(draft.is_some_and(Draft::can_redo), |ui| {
        let tip = "Make the change again that was taken back";
        item(
            ui,
            "Redo",
            "Ctrl+Shift+Z",
            tip,
            Command::Edit(EditCommand::Redo),
            commands,
        );
    });
    ui.separator();
    for (tab, label, keys, tip) in [
        (
            CaseTab::Case,
            "Read the case",
            "F2",
            "Debris, steps and what is seen in each",
        ),
        (
            CaseTab::Steps,
            "Edit the steps",
            "F3",
            "Angles and times of every step",
        ),
        (
            CaseTab::Patient,
            "Edit the patient",
            "F4",
            "Debris, anatomy and limits",
        ),
        (
            CaseTab::Library,
            "Library",
            "F5",
            "Manoeuvres to choose from",
        ),
    ] {
        item(
            ui,
            label,
            keys,
            tip,
            Command::View(ViewCommand::ShowTab(tab)),
            commands,
        );
    }
    ui.separator();
    ui.add_enabled_ui(draft.is_some(), |ui| {
        let tip = "Yaw and track negated, debris in the other ear";
        let mirror = Command::Edit(EditCommand::Change(Edit::Mirror));
        item(
            ui,
            "Mirror to the other ear",
            "Ctrl+M",
            tip,
            mirror,
            commands,
        );
    });
}

/// What is wrong with the draft, or that the picture is older than the draft.
pub fn draft_strip_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let Some(draft) = &session.draft else { return };
    let palette = Palette::of(ui);
    let older = session.is_stale();
    controls::strip(&palette).show(ui, |ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
            if draft.fault.is_some() {
                ui.add_enabled_ui(draft.can_undo(), |ui| {
                    let undo = ui.add(button("Undo the change", &palette));
                    if undo.on_hover_text("Take it back (Ctrl+Z)").clicked() {
                        commands.push(Command::Edit(EditCommand::Undo));
                    }
                });
            } else {
                let compute = ui.add(button("Compute", &palette));
                if compute
                    .on_hover_text("Compute the draft as it is now")
                    .clicked()
                {
                    commands.push(Command::Edit(EditCommand::Compute));
                }
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Min), |ui| {
                controls::warning_sign(ui, &palette);
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 0.0;
                    if let Some(fault) = &draft.fault {
                        ui.label(RichText::new(&fault.words).color(palette.text));
                    }
                    if older {
                        let words = "The picture shows the run of an older draft.";
                        ui.label(
                            RichText::new(words)
                                .color(palette.weak)
                                .font(theme::small()),
                        );
                    }
                });
            });
        });
    });
}

/// A button that stands out from the strip.
fn button<'a>(label: &'a str, palette: &Palette) -> egui::Button<'a> {
    egui::Button::new(label).fill(palette.block_strong)
}

/// There is something for the strip to say.
pub fn strip_is_needed(session: &Session) -> bool {
    let idle = session.worker.share().is_none();
    session
        .draft
        .as_ref()
        .is_some_and(|d| d.fault.is_some() || (idle && session.is_stale()))
}
