//! What this is and is not: shown at the first start, and again from the Help menu.

use egui::{Context, Response, RichText, Ui};

use crate::{
    kit::dialog::dialog,
    kit::path_dialog::{Answer, Asked, path_dialog},
    kit::theme::{self, Palette},
    session::command::{Command, Dialog, FileCommand, ViewCommand},
};

const WHAT: &str = "Lithodrome computes where free or stuck debris would go in a model of the \
    semicircular canals while a two-axis chair turns the patient, and what the eyes would do. \
    It is a teaching and planning model, not a medical device. It diagnoses and treats nobody.";

const WHO: &str = "Licensed practice and local rules decide what is done to a patient. A real ear \
    may differ from every ear computed here; the control test, not this program, says whether \
    a manoeuvre has worked.";

const CAUTIONS: [(&str, &str); 3] = [
    (
        "Head below the horizontal",
        "Upside down, the pressure in the eyes about doubles. Think of glaucoma, diseases of the \
         retina and recent eye surgery, raised pressure in the skull, heart failure, high blood \
         pressure, and of reflux and a full stomach.",
    ),
    (
        "Fast moves and throws",
        "Check straps, head and limbs before every move. Think of brittle bones, recent fractures \
         and surgery, aneurysms, and blood thinners.",
    ),
    (
        "Load on the neck",
        "The headrest must carry the head. Think of an unstable or rheumatoid neck, narrowed neck \
         arteries, and severe narrowing of the spinal canal.",
    ),
];

const STOP: &str = "Stop and bring the patient upright at chest pain, breathlessness, fainting, \
    new weakness, numbness, double vision or speech trouble, at severe headache or neck pain, \
    and whenever the patient asks for it.";

/// Shows the notice.
pub fn notice_ui(ctx: &Context, drawn_by: &str, commands: &mut Vec<Command>) {
    let modal = dialog(ctx, "notice").show(ctx, |ui| {
        ui.set_width(520.0);
        ui.spacing_mut().item_spacing.y = 8.0;
        let palette = Palette::of(ui);
        ui.label(RichText::new("About Lithodrome, and cautions").font(theme::heading()));
        ui.add_space(4.0);
        ui.label(WHAT);
        ui.label(WHO);
        ui.add_space(8.0);
        for (title, text) in CAUTIONS {
            ui.label(RichText::new(title).font(theme::body_strong()));
            ui.add_space(-6.0);
            ui.label(RichText::new(text).color(palette.weak));
        }
        ui.add_space(8.0);
        ui.label(STOP);
        ui.add_space(8.0);
        let drawn_by = RichText::new(drawn_by).font(theme::small());
        ui.label(drawn_by.color(palette.weak));
        let read = done_row(
            ui,
            "I have read this",
            "Go on to the window (Enter)",
            commands,
        );
        if ui.memory(|m| m.focused().is_none()) {
            read.request_focus();
        }
    });
    if modal.backdrop_response.clicked() {
        modal.response.request_focus();
    }
}

fn done_row(ui: &mut Ui, label: &str, tip: &str, commands: &mut Vec<Command>) -> Response {
    let row = ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let button = egui::Button::new(RichText::new(label).font(theme::body_strong()));
        let response = ui.add(button).on_hover_text(tip);
        if response.clicked() {
            commands.push(Command::View(ViewCommand::CloseDialog));
        }
        response
    });
    row.inner
}

/// Shows the keys.
pub fn shortcuts_ui(ctx: &Context, driving: bool, commands: &mut Vec<Command>) {
    let modal = dialog(ctx, "shortcuts").show(ctx, |ui| {
        ui.set_width(400.0);
        let palette = Palette::of(ui);
        ui.label(RichText::new("Keys and pointer").font(theme::heading()));
        ui.add_space(4.0);
        let high = (ui.ctx().content_rect().height() - 180.0).max(120.0);
        // Without a least height the dialog would grow into its own from picture to picture.
        let list = egui::ScrollArea::vertical()
            .max_height(high)
            .min_scrolled_height(high);
        list.show(ui, |ui| {
            egui::Grid::new("keys")
                .num_columns(2)
                .spacing([24.0, 6.0])
                .show(ui, |ui| {
                    let drive = crate::drive::drive_keys::HELP.as_slice();
                    let window = crate::shell::keys::HELP.as_slice();
                    // While driving only the drive's keys do anything.
                    let lists = if driving {
                        [drive, &[]]
                    } else {
                        [window, drive]
                    };
                    for (keys, what) in lists.concat() {
                        ui.label(RichText::new(keys).font(theme::body_strong()));
                        ui.label(RichText::new(what).color(palette.weak));
                        ui.end_row();
                    }
                });
        });
        ui.add_space(8.0);
        done_row(ui, "Close", "Close (Esc)", commands);
    });
    if modal.should_close() {
        commands.push(Command::View(ViewCommand::CloseDialog));
    }
}

/// Asks for a path, where the desktop has no file window.
pub fn path_ui(ctx: &Context, path: &str, commands: &mut Vec<Command>) {
    let asked = Asked {
        name: "path",
        heading: "Open a scenario file",
        label: "Path of the file (.ron); it can also be dropped on the window",
        button: "Open",
        text: path,
        written: &|_| None,
    };
    commands.extend(match path_dialog(ctx, &asked) {
        Answer::Waits => None,
        Answer::Typed(text) => Some(Command::View(ViewCommand::Show(Dialog::Path(text)))),
        Answer::Done(path) => Some(Command::File(FileCommand::Open(path))),
        Answer::Cancelled => Some(Command::View(ViewCommand::CloseDialog)),
    });
}
