//! Export in the window: the menu, a path to type, how far it is, and where it lies.

use egui::{Context, CornerRadius, Frame, Margin, ProgressBar, RichText, Ui};

use crate::{
    export::{Export, Pictured, Saved},
    kit::path_dialog::{Answer, Asked, path_dialog},
    kit::theme::Palette,
    session::Session,
    session::command::{Command, Dialog, ExportCommand, ViewCommand},
};

/// Label, tooltip and what is exported.
const ENTRIES: [(&str, &str, Export); 11] = [
    (
        "Ear as picture…",
        "The ear stage under the cursor, PNG at twice the size",
        Export::Picture(Pictured::Ear),
    ),
    (
        "Room as picture…",
        "The room stage under the cursor, PNG at twice the size",
        Export::Picture(Pictured::Room),
    ),
    (
        "Window as picture…",
        "Both stages, eyes and score, PNG at twice the size",
        Export::Picture(Pictured::Window),
    ),
    (
        "Diagrams as drawing…",
        "The score with all its lanes, SVG",
        Export::Diagrams,
    ),
    (
        "Run as table…",
        "Every quantity over time, one row for each sample, CSV",
        Export::Table,
    ),
    (
        "Ear as moving picture…",
        "The run at the speed of playing, animated GIF",
        Export::Animation(Pictured::Ear),
    ),
    (
        "Room as moving picture…",
        "The run at the speed of playing, animated GIF",
        Export::Animation(Pictured::Room),
    ),
    (
        "Window as moving picture…",
        "The run at the speed of playing, animated GIF",
        Export::Animation(Pictured::Window),
    ),
    (
        "Ear as pictures in a folder…",
        "The run as numbered PNG pictures, ten for each second of film",
        Export::Sequence(Pictured::Ear),
    ),
    (
        "Room as pictures in a folder…",
        "The run as numbered PNG pictures, ten for each second of film",
        Export::Sequence(Pictured::Room),
    ),
    (
        "Window as pictures in a folder…",
        "The run as numbered PNG pictures, ten for each second of film",
        Export::Sequence(Pictured::Window),
    ),
];

/// The submenu.
pub fn menu_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    ui.add_enabled_ui(session.shown.is_some(), |ui| {
        ui.menu_button("Export", |ui| {
            ui.set_min_width(240.0);
            for (i, (label, tip, export)) in ENTRIES.into_iter().enumerate() {
                if i == 3 || i == 5 || i == 8 {
                    ui.separator();
                }
                if ui.button(label).on_hover_text(tip).clicked() {
                    commands.push(Command::Export(ExportCommand::Pick(export)));
                    ui.close();
                }
            }
        });
    });
}

/// Something is to be told about an export.
pub fn has_strip(session: &Session) -> bool {
    session.export.saved.is_some() || session.export.under_way().is_some()
}

/// How far it is, or what became of it; stays until dismissed.
pub fn strip_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let frame = Frame::new()
        .fill(palette.block)
        .inner_margin(Margin::symmetric(16, 8));
    frame.show(ui, |ui| {
        ui.horizontal(|ui| {
            if let Some((export, share)) = session.export.under_way() {
                let stopping = session.export.is_stopping();
                progress_ui(ui, export, (share, stopping), &palette, commands);
            } else if let Some(saved) = &session.export.saved {
                let words = match saved {
                    Saved::Done(path) => format!("Saved to {}", path.display()),
                    Saved::Failed(words) => format!("Not saved: {words}"),
                    Saved::Stopped => "The export was stopped; nothing of it is left.".to_owned(),
                    Saved::TooLate(path) => format!(
                        "It was written before it could be stopped: {}",
                        path.display()
                    ),
                };
                let wide = ui.available_width() - 96.0;
                ui.allocate_ui(egui::vec2(wide, 0.0), |ui| {
                    let text = RichText::new(words).color(palette.text);
                    ui.add(egui::Label::new(text).wrap());
                });
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    let tip = "Take this message away";
                    if ui.button("Good").on_hover_text(tip).clicked() {
                        commands.push(Command::Export(ExportCommand::DismissSaved));
                    }
                });
            }
        });
    });
}

fn progress_ui(
    ui: &mut Ui,
    export: Export,
    (share, stopping): (f32, bool),
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let what = match export {
        _ if stopping => "Stopping",
        Export::Picture(_) => "Drawing the picture",
        Export::Table => "Writing the table",
        Export::Diagrams | Export::MapDrawing => "Drawing the diagrams",
        Export::Debrief => "Setting the page",
        Export::Animation(_) | Export::Sequence(_) => "Drawing the pictures",
        Export::Study(_) => "Writing what was found",
    };
    ui.label(RichText::new(what).color(palette.text));
    let wide = (ui.available_width() - 112.0).max(64.0);
    let bar = ProgressBar::new(share)
        .desired_width(wide)
        .desired_height(8.0)
        .fill(palette.weak)
        .corner_radius(CornerRadius::same(4));
    ui.add(bar).widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::ProgressIndicator, true, "Share exported")
    });
    let tip = "Stop; nothing of it is left, unless it was written already";
    let button = ui.add_enabled(!stopping, egui::Button::new("Stop export"));
    if button.on_hover_text(tip).clicked() {
        commands.push(Command::Export(ExportCommand::Cancel));
    }
}

/// Asks for a path, where the desktop has no file window.
pub fn path_ui(ctx: &Context, export: Export, path: &str, commands: &mut Vec<Command>) {
    let label = if export.extension().is_empty() {
        "Path of a new folder".to_owned()
    } else {
        format!("Path of the file (.{})", export.extension())
    };
    let asked = Asked {
        name: "export path",
        heading: "Export",
        label: &label,
        button: "Save",
        text: path,
        // A folder that is there is never written into.
        written: &|path| (!export.extension().is_empty()).then(|| export.with_extension(path)),
    };
    commands.extend(match path_dialog(ctx, &asked) {
        Answer::Waits => None,
        Answer::Typed(text) => Some(Command::View(ViewCommand::Show(Dialog::ExportPath(
            export, text,
        )))),
        Answer::Done(path) => Some(Command::Export(ExportCommand::To(export, path))),
        Answer::Cancelled => Some(Command::View(ViewCommand::CloseDialog)),
    });
}
