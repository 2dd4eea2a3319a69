//! The column at the side for a question about many ears: question, form, progress, result.

use egui::{Button, CornerRadius, ProgressBar, RichText, ScrollArea, TextEdit, Ui};

use super::{
    VariantState,
    ask::push,
    command::VariantCommand,
    form::{Asked, Form},
    form_ui, result_ui,
};
use crate::{
    kit::{
        fields,
        theme::{self, Palette},
    },
    session::Session,
    session::command::Command,
};

/// Shows the column.
pub fn panel_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let area = ScrollArea::vertical().auto_shrink([false, false]);
    area.show(ui, |ui| {
        let variant = &session.variant;
        let mut form = variant.form.clone();
        question_ui(ui, &mut form);
        let draft = session.draft.as_ref().map(|d| d.scenario().as_ref());
        if variant.folded {
            form_ui::folded_ui(ui, &form, draft, commands);
        } else {
            form_ui::form_ui(ui, &mut form, draft);
        }
        if form != variant.form {
            push(commands, VariantCommand::Write(Box::new(form)));
        }
        ui.add_space(4.0);
        if variant.desk.is_busy() || variant.searching.is_busy() {
            progress_ui(ui, variant, commands);
        } else {
            start_ui(ui, variant, commands);
        }
        if !variant.folded {
            study_file_ui(ui, variant, commands);
        }
        if let Some(told) = &variant.told {
            fields::warning(ui, told);
        }
        ui.separator();
        if variant.found.is_some() {
            result_ui::result_ui(ui, session, commands);
        } else if !variant.desk.is_busy() {
            empty_ui(ui);
        }
    });
}

fn question_ui(ui: &mut Ui, form: &mut Form) {
    ui.label(RichText::new("A question about many ears").font(theme::heading()));
    ui.spacing_mut().item_spacing.y = 4.0;
    for asked in Asked::ALL {
        let response = ui.radio(form.asked == asked, asked.words());
        if response.on_hover_text(asked.tip()).clicked() {
            form.asked = asked;
        }
    }
    ui.add_space(4.0);
}

fn start_ui(ui: &mut Ui, variant: &VariantState, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let start = ui.button(RichText::new("Start").font(theme::body_strong()));
        let tip = "Compute it in the background; the result grows as it comes";
        if start.on_hover_text(tip).clicked() {
            push(commands, VariantCommand::Start);
        }
        if variant.found.is_some() || variant.form != Form::default() {
            let clear = ui.button("Begin anew");
            let tip = "Empty the form and take the result away";
            if clear.on_hover_text(tip).clicked() {
                push(commands, VariantCommand::Clear);
            }
        }
    });
}

/// A question that lies in a file is computed as it stands there.
fn study_file_ui(ui: &mut Ui, variant: &VariantState, commands: &mut Vec<Command>) {
    let idle = !(variant.desk.is_busy() || variant.searching.is_busy());
    ui.add_enabled_ui(idle, |ui| {
        ui.horizontal(|ui| {
            let choose = ui.button("Study file…");
            let tip = "Choose a study file; it is computed as it stands, whatever the form says";
            if choose.on_hover_text(tip).clicked() {
                push(commands, VariantCommand::PickStudy);
            }
            let mut path = variant.study_path.clone();
            let wide = (ui.available_width() - 104.0).max(64.0);
            let edit = TextEdit::singleline(&mut path).hint_text("study.ron");
            let field = ui.add(edit.desired_width(wide));
            fields::name(&field, "Path of a study file");
            let field = field.on_hover_text("A study file as the terminal takes it");
            if field.changed() {
                push(commands, VariantCommand::StudyPath(path));
            }
            let is_there = !variant.study_path.trim().is_empty();
            let start = ui.add_enabled(is_there, Button::new("Compute it"));
            let tip = "Read this file and compute its ears; the result grows as it comes";
            let start = start.on_disabled_hover_text(tip);
            if start.on_hover_text(tip).clicked() {
                push(commands, VariantCommand::StartFile);
            }
        });
    });
}

fn progress_ui(ui: &mut Ui, variant: &VariantState, commands: &mut Vec<Command>) {
    let (share, words) = match (variant.desk.under_way(), variant.searching.under_way()) {
        (Some(under_way), _) => (under_way.share, under_way.words()),
        (None, Some(searching)) => searching,
        (None, None) => return,
    };
    let palette = Palette::of(ui);
    ui.horizontal(|ui| {
        let wide = (ui.available_width() - 80.0).max(64.0);
        let bar = ProgressBar::new(share)
            .desired_width(wide)
            .desired_height(8.0)
            .fill(palette.weak)
            .corner_radius(CornerRadius::same(4));
        ui.add(bar).widget_info(|| {
            egui::WidgetInfo::labeled(
                egui::Role::ProgressIndicator,
                true,
                "Share of ears computed",
            )
        });
        let cancel = ui.button("Cancel");
        let tip = "Stop; what is done so far stays";
        if cancel.on_hover_text(tip).clicked() {
            push(commands, VariantCommand::Cancel);
        }
    });
    let words = RichText::new(words).font(theme::small());
    ui.label(words.color(palette.weak));
}

/// Nothing has been asked yet.
fn empty_ui(ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.label(RichText::new("Nothing has been asked yet.").color(palette.weak));
    let words = "The answer is a share of ears with its interval, never of one ear. It is only as good as what is assumed of debris and operator: the size of clumps decides most, and nobody has measured its spread.";
    ui.label(
        RichText::new(words)
            .color(palette.weak)
            .font(theme::small()),
    );
}
