//! The case column: who, what, where, and the steps with what is seen in each.

use egui::{CornerRadius, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};
use lithodrome_debris::{CupulaFace, Engine};
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{self as rehearsal, At, DebrisEntry};

use crate::{
    case::matter_ui,
    kit::controls::{self, Icon},
    kit::theme::{self, Palette},
    score::axis::clock,
    session::Session,
    session::command::{CaseTab, Command, PlayCommand, ViewCommand},
    work::aside::Answer,
    work::stage_data::Loaded,
};

/// Shows the column.
pub fn case_ui(ui: &mut Ui, session: &Session, loaded: &Loaded, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let time_s = session.playback.time_s;
    let origin = session.draft.as_ref().map_or(&loaded.origin, |d| &d.origin);
    let title = loaded.scenario.title.clone();
    controls::line(ui, title, theme::heading(), palette.text);
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let changed = if session.is_dirty() { ", changed" } else { "" };
            fact(ui, "From", &(origin.name() + changed));
            fact(ui, "Anatomy", &loaded.scenario.anatomy.replace('-', " "));
            fact(ui, "Engine", loaded.run.engine.name());
            beside_ui(ui, session, loaded);
            ui.spacing_mut().item_spacing.y = 8.0;
            ui.add_space(8.0);
            controls::section(ui, "Debris");
            if loaded.scenario.debris.is_empty() {
                controls::line(ui, "None", theme::body(), palette.text);
            }
            for entry in &loaded.scenario.debris {
                debris_ui(ui, entry, &palette);
            }
            ui.add_space(8.0);
            controls::section(ui, "Steps");
            ui.spacing_mut().item_spacing.y = 2.0;
            let current = loaded.step_at(time_s).map(|(i, _)| i);
            for step in 0..loaded.scenario.steps.len() {
                step_ui(ui, loaded, step, current == Some(step), commands);
            }
            if !loaded.warnings.is_empty() {
                ui.spacing_mut().item_spacing.y = 8.0;
                ui.add_space(8.0);
                controls::section(ui, "Warnings");
                for warning in &loaded.warnings {
                    controls::line(ui, format!("! {warning}"), theme::small(), palette.text);
                }
            }
            ui.add_space(16.0);
        });
}

/// What the column shows, and the way to fold it.
pub fn tabs_ui(ui: &mut Ui, tab: CaseTab, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let tabs = [
            (
                CaseTab::Case,
                "Case",
                "Debris, steps and what is seen in each (F2)",
            ),
            (
                CaseTab::Steps,
                "Steps",
                "Edit angles and times of every step (F3)",
            ),
            (
                CaseTab::Patient,
                "Patient",
                "Edit debris, anatomy and limits (F4)",
            ),
            (CaseTab::Library, "Library", "Choose a manoeuvre (F5)"),
            (CaseTab::Visit, "Visit", "Patients, run sheets and the log"),
        ];
        // The mark that folds the column stands beside them.
        let room = ui.available_width() - 24.0 - ui.spacing().item_spacing.x;
        if let Some(tab) = controls::choice_within(ui, "Column", tab, &tabs, room) {
            commands.push(Command::View(ViewCommand::ShowTab(tab)));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let tip = "Fold the case column away";
            if controls::icon_button(ui, Icon::Fold, 24.0, "Fold the case", tip).clicked() {
                commands.push(Command::View(ViewCommand::FoldCase(true)));
            }
        });
    });
}

/// Shows the column folded: the steps as numbers.
pub fn folded_case_ui(ui: &mut Ui, loaded: &Loaded, time_s: f64, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.vertical_centered(|ui| {
        let tip = "Show the case column";
        if controls::icon_button(ui, Icon::Unfold, 24.0, "Unfold the case", tip).clicked() {
            commands.push(Command::View(ViewCommand::FoldCase(false)));
        }
        for (ear, _) in loaded.affected() {
            controls::ear_mark(ui, ear);
        }
        let current = loaded.step_at(time_s).map(|(i, _)| i);
        for (i, step) in loaded.scenario.steps.iter().enumerate() {
            let (rect, response) = ui.allocate_exact_size(vec2(24.0, 24.0), Sense::click());
            let name = format!("Step {}: {}", i + 1, step.name);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
            let on = current == Some(i);
            if on || response.hovered() || response.has_focus() {
                ui.painter()
                    .rect_filled(rect, CornerRadius::same(4), palette.block_strong);
            }
            let ink = if on { palette.text } else { palette.weak };
            ui.painter().text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                (i + 1).to_string(),
                theme::small_strong(),
                ink,
            );
            let tip = format!("{}\n{}", step.name, loaded.findings[i]);
            if response.on_hover_text(tip).clicked() {
                commands.push(Command::Play(PlayCommand::ToStep(i)));
            }
        }
    });
}

/// What the other engine says about the same case.
fn beside_ui(ui: &mut Ui, session: &Session, loaded: &Loaded) {
    let other_engine = session.other_engine.as_ref();
    let Some(says) = other_engine.and_then(|other| other.says(loaded)) else {
        return;
    };
    let words = match says {
        Answer::Computing(share) => format!("computing, {:.0} %", share * 100.0),
        Answer::Is(apart) => apart.words(),
        Answer::Failed(words) => words,
    };
    let name = match rehearsal::other_engine(loaded.run.engine) {
        Engine::Rigid => "Rigid",
        Engine::Settling => "Settling",
    };
    let row = ui.scope(|ui| fact(ui, name, &words));
    row.response.on_hover_text(
        "The other engine computes the same case beside the one that is shown: where its debris ends, \
         and when half of it has left. Two engines that agree are no proof, two that do not are a warning.",
    );
}

fn fact(ui: &mut Ui, name: &str, value: &str) {
    let palette = Palette::of(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(56.0, 16.0), Sense::hover());
        let at = rect.left_center();
        ui.painter().text(
            at,
            egui::Align2::LEFT_CENTER,
            name,
            theme::small(),
            palette.weak,
        );
        controls::line(ui, value, theme::small(), palette.text);
    });
}

fn debris_ui(ui: &mut Ui, entry: &DebrisEntry, palette: &Palette) {
    ui.horizontal_top(|ui| {
        controls::ear_mark(ui, entry.ear);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let canal = CanalId {
                ear: entry.ear,
                canal: entry.canal,
            }
            .name();
            controls::line(ui, canal, theme::body(), palette.text);
            let pieces = if entry.count == 1 { "piece" } else { "pieces" };
            let text = format!(
                "{} {pieces} of {} µm {}",
                entry.count,
                entry.diameter_um,
                place(entry.at)
            );
            controls::line(ui, text, theme::small(), palette.weak);
            matter_ui::words_ui(ui, entry);
        });
    });
}

fn place(at: At) -> String {
    match at {
        At::AmpullaryArm => "in the ampullary arm".to_owned(),
        At::NonAmpullaryArm => "in the non-ampullary arm".to_owned(),
        At::ShortArm => "in the short arm".to_owned(),
        At::Utricle => "in the utricle".to_owned(),
        At::Arc { mm } => format!("{mm:.1} mm from the cupula"),
        At::OnCupula {
            side: CupulaFace::Canal,
        } => "on the cupula, canal side".to_owned(),
        At::OnCupula {
            side: CupulaFace::Utricle,
        } => "on the cupula, utricle side".to_owned(),
    }
}

/// What is wrong with a step, a line each: limits that it breaks, a hold that is too short.
fn marks_of(loaded: &Loaded, step: usize) -> String {
    let breaches = loaded.breaches.iter().filter(|b| b.step == step);
    let lines = breaches.map(|b| format!("⚠ {}", b.words()));
    let short = loaded.short_hold(step).map(|words| format!("⚠ {words}"));
    lines.chain(short).collect::<Vec<_>>().join("\n")
}

fn step_ui(ui: &mut Ui, loaded: &Loaded, i: usize, on: bool, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let (step, times) = (&loaded.scenario.steps[i], &loaded.step_times[i]);
    let width = ui.available_width() - 4.0;
    let (indent, pad) = (28.0, 6.0);
    let lay = |text: String, font, ink, width| ui.painter().layout(text, font, ink, width);
    let clock = clock(times.start_s);
    let time = lay(clock, theme::small(), palette.weak, f32::INFINITY);
    let text_width = width - indent - pad;
    let name_font = if on {
        theme::body_strong()
    } else {
        theme::body()
    };
    let name = lay(
        step.name.clone(),
        name_font,
        palette.text,
        text_width - time.size().x - 8.0,
    );
    let finding = lay(
        loaded.findings[i].clone(),
        theme::small(),
        palette.weak,
        text_width,
    );
    let marks = lay(
        marks_of(loaded, i),
        theme::small(),
        palette.text,
        text_width,
    );
    let marked = if marks.is_empty() {
        0.0
    } else {
        marks.size().y
    };
    let height = name.size().y + finding.size().y + marked + 2.0 * pad;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    let label = format!("Step {}: {}", i + 1, step.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    let painter = ui.painter();
    if on {
        painter.rect_filled(rect, CornerRadius::same(4), palette.block);
    }
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, CornerRadius::same(4), palette.block_strong);
    }
    let top = rect.top() + pad;
    let number = pos2(rect.left() + 8.0, top + 1.0);
    let ink = if on { palette.text } else { palette.faint };
    painter.text(
        number,
        egui::Align2::LEFT_TOP,
        (i + 1).to_string(),
        theme::body_strong(),
        ink,
    );
    let below = top + name.size().y;
    painter.galley(
        pos2(rect.right() - pad - time.size().x, top + 2.0),
        time,
        palette.weak,
    );
    painter.galley(pos2(rect.left() + indent, top), name, palette.text);
    let under = below + finding.size().y;
    painter.galley(pos2(rect.left() + indent, below), finding, palette.weak);
    painter.galley(pos2(rect.left() + indent, under), marks, palette.text);
    let tip = format!(
        "{:.1} s to move, {} s at rest; click to go to the start of the hold",
        times.hold_from_s - times.start_s,
        step.hold_s
    );
    if response.on_hover_text(tip).clicked() {
        commands.push(Command::Play(PlayCommand::ToStep(i)));
    }
}
