//! The class: a set of cases to open or to make, results to write and to read.

use egui::{DragValue, Grid, RichText, TextEdit, Ui};
use lithodrome_rehearsal::Difficulty;

use super::{
    command::ClassCommand,
    state::{ClassState, SetForm, Told},
};
use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    lesson::ask::class as push,
    session::command::Command,
};

/// Shows the part.
pub(in crate::lesson) fn class_ui(ui: &mut Ui, class: &ClassState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.add_space(8.0);
    ui.label(RichText::new("Class").font(theme::heading()));
    let words = "A teacher's set of cases is a small file: whoever opens it gets the same cases. Results are \
                 tables of codes, never names.";
    controls::line(ui, words, theme::body(), palette.text);
    match &class.told {
        Some(Told::Done(words)) => controls::line(ui, words, theme::body(), palette.text),
        Some(Told::Failed(words)) => fields::warning(ui, words),
        None => {}
    }
    controls::section(ui, "Set of cases");
    let typed = path_ui(ui, "Path of a set", "week-1.ron", &class.set_path);
    if let Some(path) = typed {
        push(commands, ClassCommand::SetPath(path));
    }
    let is_named = !class.set_path.trim().is_empty();
    ui.horizontal(|ui| {
        let open = ui.add_enabled(is_named, egui::Button::new("Open the set"));
        if open.clicked() {
            push(commands, ClassCommand::OpenSet);
        }
    });
    set_ui(ui, class, &palette, commands);
    ui.collapsing("Make a set", |ui| {
        form_ui(ui, class, is_named, commands);
    });
    controls::section(ui, "Results");
    let typed = path_ui(ui, "Path of results", "results.csv", &class.results_path);
    if let Some(path) = typed {
        push(commands, ClassCommand::ResultsPath(path));
    }
    let is_named = !class.results_path.trim().is_empty();
    ui.horizontal(|ui| {
        let any = is_named && !class.here.is_empty();
        let write = ui.add_enabled(any, egui::Button::new("Write results there"));
        let tip = format!("The {} results of this window, CSV", class.here.len());
        if write.on_hover_text(tip).clicked() {
            push(commands, ClassCommand::WriteResults);
        }
        let read = ui.add_enabled(is_named, egui::Button::new("Read results"));
        if read
            .on_hover_text("Sum up a table of results by learner")
            .clicked()
        {
            push(commands, ClassCommand::ReadResults);
        }
    });
    sums_ui(ui, class);
}

/// A path to type; what it is now, if it was changed.
fn path_ui(ui: &mut Ui, name: &str, hint: &str, now: &str) -> Option<String> {
    let mut path = now.to_owned();
    let edit = TextEdit::singleline(&mut path)
        .hint_text(hint)
        .desired_width(f32::INFINITY);
    let response = ui.add(edit);
    fields::name(&response, name);
    response.changed().then_some(path)
}

fn set_ui(ui: &mut Ui, class: &ClassState, palette: &Palette, commands: &mut Vec<Command>) {
    let Some(set) = &class.set else { return };
    let done = set
        .cases
        .iter()
        .filter(|case| class.result_of(case).is_some());
    let words = format!(
        "{}: {} of {} done",
        set.title,
        done.count(),
        set.cases.len()
    );
    controls::line(ui, words, theme::body_strong(), palette.text);
    for (i, case) in set.cases.iter().enumerate() {
        ui.horizontal(|ui| {
            let result = class.result_of(case);
            let mark = if result.is_some() { "•" } else { "○" };
            let difficulty = case.difficulty.map_or("", Difficulty::name);
            ui.label(format!("{mark} case {} {difficulty}", case.seed));
            if let Some(result) = result {
                let points = format!("{} of {} points", result.points, result.of);
                ui.label(RichText::new(points).color(palette.weak));
            }
            let button = ui.button("Begin");
            fields::name(&button, &format!("Begin case {} of the set", i + 1));
            if button.clicked() {
                push(commands, ClassCommand::Begin(i));
            }
        });
    }
}

fn form_ui(ui: &mut Ui, class: &ClassState, is_named: bool, commands: &mut Vec<Command>) {
    let mut form: SetForm = class.form.clone();
    ui.horizontal(|ui| {
        ui.label("Title");
        let title = ui.text_edit_singleline(&mut form.title);
        fields::name(&title, "Title of the set");
    });
    ui.horizontal(|ui| {
        ui.label("Cases from");
        let first = ui.add(DragValue::new(&mut form.first).range(0..=999_000));
        fields::name(&first, "First case of the set");
        ui.label("on, how many");
        let count = ui.add(DragValue::new(&mut form.count).range(1..=500));
        fields::name(&count, "Cases of the set");
    });
    let kinds = [
        (
            None,
            "mixed",
            "Five common, three uncommon and two rare of every ten",
        ),
        (
            Some(Difficulty::Common),
            "common",
            "What a clinic sees every week",
        ),
        (
            Some(Difficulty::Uncommon),
            "uncommon",
            "Other canals and the cupula",
        ),
        (
            Some(Difficulty::Rare),
            "rare",
            "Short arms, light cupulae, several canals",
        ),
    ];
    if let Some(difficulty) = controls::choice(ui, "Cases of the set", form.difficulty, &kinds) {
        form.difficulty = difficulty;
    }
    let ready = is_named && !form.title.trim().is_empty();
    let write = ui.add_enabled(ready, egui::Button::new("Write the set"));
    let tip = "To the path above; nothing that is there is written over";
    if write
        .on_hover_text(tip)
        .on_disabled_hover_text(tip)
        .clicked()
    {
        push(commands, ClassCommand::WriteSet);
    }
    if form != class.form {
        push(commands, ClassCommand::Form(form));
    }
}

fn sums_ui(ui: &mut Ui, class: &ClassState) {
    if class.sums.is_empty() {
        return;
    }
    Grid::new("sums of the class").striped(true).show(ui, |ui| {
        for head in ["code", "cases right", "points", "read right"] {
            ui.label(RichText::new(head).font(theme::small_strong()));
        }
        ui.end_row();
        for sum in &class.sums {
            ui.label(&sum.learner);
            ui.label(format!("{} of {}", sum.cases_right, sum.cases));
            ui.label(format!("{} of {}", sum.points, sum.of));
            ui.label(format!("{} of {}", sum.readings_right, sum.readings));
            ui.end_row();
        }
    });
}
