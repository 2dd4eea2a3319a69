//! What fits a patient and what does not, with the sheets to print.

use egui::{RichText, Ui};
use lithodrome_visits::{Course, Fit};

use super::{command::VisitCommand, state::Planned};
use crate::{
    kit::{controls, fields, theme::Palette},
    session::command::Command,
};

/// Shows a patient's plan.
pub(super) fn plan_ui(ui: &mut Ui, patient: usize, planned: &Planned, commands: &mut Vec<Command>) {
    let (code, plan) = (&planned.patient.code, &planned.plan);
    let palette = Palette::of(ui);
    controls::section(ui, &format!("Patient {code}"));
    ui.label(format!(
        "{:.0} min in the chair, {:.0} of them waiting",
        plan.chair_min, plan.wait_min
    ));
    let b = &plan.balance;
    ui.label(format!(
        "Hips {:.0} cm below and {:.0} cm behind the middle of the track; {:.0} cm off takes {:.0} N at the rim. Local rules apply.",
        b.hips_below_middle_cm, b.hips_behind_middle_cm, b.off_cm, b.rim_force_n
    ));
    for caution in &plan.cautions {
        ui.horizontal_wrapped(|ui| {
            controls::warning_sign(ui, &palette);
            ui.label(caution);
        });
    }
    if let Some(course) = &plan.course {
        course_ui(ui, patient, code.as_str(), course, commands);
    }
    for (suspected, fits) in &plan.treatments {
        ui.label(RichText::new(format!("Treatments of the {}", suspected.id().name())).strong());
        for fit in fits {
            fit_ui(ui, patient, code.as_str(), fit, commands);
        }
    }
    ui.label(RichText::new("Tests and treatment in order").strong());
    for test in plan.tests.iter().chain(&plan.then) {
        let left_out = test.fit.as_ref().is_some_and(|f| !f.fits());
        let end = if left_out { ", left out" } else { "" };
        ui.label(format!("{} ({}{end})", test.words, test.time_words()));
    }
    if ui.button(format!("Take {code} off the list")).clicked() {
        commands.push(Command::Visit(VisitCommand::Remove(patient)));
    }
}

/// The order in which several canals are treated, and what each treatment does to the others' debris.
fn course_ui(
    ui: &mut Ui,
    patient: usize,
    code: &str,
    course: &Course,
    commands: &mut Vec<Command>,
) {
    ui.label(RichText::new("Several canals, in this order").strong());
    ui.label(&course.why);
    for (i, (suspected, title)) in course.order.iter().enumerate() {
        ui.label(format!("{}. {}: {title}", i + 1, suspected.id().name()));
    }
    for effect in &course.effects {
        if effect.harms {
            fields::warning(ui, &effect.sentence());
        } else {
            ui.label(effect.sentence());
        }
    }
    ui.label(format!("The whole course: {}", course.ends));
    let button = ui.button("Open the whole course");
    fields::name(&button, &format!("Open the whole course for {code}"));
    if button.clicked() {
        commands.push(Command::Visit(VisitCommand::RehearseCourse(patient)));
    }
}

fn fit_ui(ui: &mut Ui, patient: usize, code: &str, fit: &Fit, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if !fit.fits() && fit.slowed.is_none() {
        let header = egui::CollapsingHeader::new(format!("Does not fit: {}", fit.title))
            .id_salt((code, &fit.name));
        header.show(ui, |ui| {
            for refusal in &fit.refused_in_chair {
                ui.label(format!("{}. Needs {}.", refusal.reason, refusal.change));
            }
        });
        return;
    }
    let fits = if fit.fits() { "Fits" } else { "Fits slowed" };
    ui.horizontal_wrapped(|ui| {
        ui.label(format!("{fits}: {}", fit.title));
        let button = ui.button("Print sheet");
        fields::name(&button, &format!("Print sheet for {code}: {}", fit.title));
        if button.clicked() {
            commands.push(Command::Visit(VisitCommand::PrintSheet {
                patient,
                name: fit.name.clone(),
            }));
        }
        let button = ui
            .button("Rehearse")
            .on_hover_text("Opens it with this patient's debris and limits, to be driven (F6)");
        fields::name(&button, &format!("Rehearse for {code}: {}", fit.title));
        if button.clicked() {
            commands.push(Command::Visit(VisitCommand::Rehearse {
                patient,
                name: fit.name.clone(),
            }));
        }
    });
    if let Some(slowed) = &fit.slowed {
        for refusal in &fit.refused_in_chair {
            ui.label(format!("As it is: {}.", refusal.reason));
        }
        ui.label(format!("But {}.", slowed.words()));
    } else if let Some(share) = fit.share {
        ui.label(share.words());
    }
    let bed = if fit.refused_at_bedside.is_empty() {
        "also at the bedside"
    } else {
        "not at the bedside"
    };
    ui.label(
        RichText::new(format!(
            "head {:.0}° below the horizontal, {:.0} s in one go; {bed}",
            fit.head_down_deg, fit.inverted_s
        ))
        .color(palette.weak),
    );
}
