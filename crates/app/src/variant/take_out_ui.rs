//! Taking a result out: report, pictures, tables, the question itself.

use egui::Ui;
use lithodrome_study::SummaryTable;

use super::{
    VariantState,
    desk::Found,
    form::Asked,
    taken_out::{StudyExport, StudyPicture, TableAs},
};
use crate::{
    export::Export,
    session::command::{Command, ExportCommand},
};

/// The buttons under a result.
pub(super) fn take_out_ui(
    ui: &mut Ui,
    variant: &VariantState,
    found: &Found,
    commands: &mut Vec<Command>,
) {
    // While it grows, only what stays true is taken out.
    let still = !(variant.desk.is_busy() && variant.found_is_new);
    ui.add_enabled_ui(still, |ui| {
        ui.horizontal_wrapped(|ui| {
            let tip = "Two pages: the answer, what each sequence asks, the curve, what is assumed";
            let button = ui.button("Report…");
            if told(button, tip).clicked() {
                pick(StudyExport::Report, commands);
            }
            let menu = ui.menu_button("Pictures", |ui| pictures_ui(ui, found, commands));
            told(menu.response, "As drawings (SVG) or pictures (PNG)");
            let menu = ui.menu_button("Tables", |ui| tables_ui(ui, found, commands));
            told(menu.response, "As CSV or Parquet, with where they are from");
            let tip = "The question as the form has it now, as a study file for the terminal and other machines; the open scenario is saved beside it";
            let button = ui.button("Question…");
            if told(button, tip).clicked() {
                pick(StudyExport::StudyFile, commands);
            }
        });
    });
}

fn told(response: egui::Response, tip: &str) -> egui::Response {
    response.on_disabled_hover_text(tip).on_hover_text(tip)
}

fn pick(export: StudyExport, commands: &mut Vec<Command>) {
    commands.push(Command::Export(ExportCommand::Pick(Export::Study(export))));
}

fn entry(ui: &mut Ui, label: &str, tip: &str, export: StudyExport, commands: &mut Vec<Command>) {
    if ui.button(label).on_hover_text(tip).clicked() {
        pick(export, commands);
        ui.close();
    }
}

fn pictures_ui(ui: &mut Ui, found: &Found, commands: &mut Vec<Command>) {
    let all = [
        ("Dots", StudyPicture::Dots, true),
        ("Curve", StudyPicture::Curve, true),
        ("Map", StudyPicture::Heat, found.report.sweep.is_some()),
        (
            "Limits",
            StudyPicture::Stairs,
            found.asked == Asked::WithinLimits,
        ),
        ("Inputs", StudyPicture::Inputs, true),
    ];
    for (name, picture, there) in all {
        if there {
            let drawing = StudyExport::Drawing(picture);
            let label = format!("{name} as drawing…");
            entry(ui, &label, "SVG: lines and text stay so", drawing, commands);
            let label = format!("{name} as picture…");
            let picture = StudyExport::Picture(picture);
            entry(ui, &label, "PNG at twice the size", picture, commands);
        }
    }
}

fn tables_ui(ui: &mut Ui, found: &Found, commands: &mut Vec<Command>) {
    let summaries = [
        ("Sequences", SummaryTable::Sequences, true),
        ("Curve", SummaryTable::Convergence, true),
        ("Map", SummaryTable::Grid, found.report.sweep.is_some()),
        ("Inputs", SummaryTable::Inputs, true),
        ("Worst ears", SummaryTable::WorstEars, true),
    ];
    for (as_what, kind) in [(TableAs::Csv, "CSV"), (TableAs::Parquet, "Parquet")] {
        let tip = "One row an ear and sequence: how it ended, and what the case was";
        let label = format!("All ears as {kind}…");
        entry(ui, &label, tip, StudyExport::Ears(as_what), commands);
        for (name, table, there) in summaries {
            if there {
                let label = format!("{name} as {kind}…");
                let export = StudyExport::Summary(table, as_what);
                let tip = "What was found, with units in the names";
                entry(ui, &label, tip, export, commands);
            }
        }
    }
}
