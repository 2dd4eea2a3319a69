//! The column after a drive: what was driven beside the plan, and what it would have taken.

use egui::{Button, ProgressBar, RichText, ScrollArea, Ui};
use lithodrome_rehearsal::{DriveDebrief, Phrase};

use crate::{
    drive::debriefing::DebriefNow,
    kit::{
        controls, fields,
        theme::{self, Palette},
    },
    session::{
        Session,
        command::{Command, DriveCommand, PlayCommand},
    },
};

/// Width of the column, points.
pub const WIDTH: f32 = 360.0;

/// There is a debrief of what is shown.
pub fn is_there(session: &Session) -> bool {
    session.drive.is_none() && now(session).is_some()
}

/// It is there and open.
pub fn is_open(session: &Session) -> bool {
    session.debrief.as_ref().is_some_and(|d| d.open) && is_there(session)
}

fn now(session: &Session) -> Option<DebriefNow<'_>> {
    let shown = session.shown.as_ref()?;
    session.debrief.as_ref()?.says(shown)
}

/// Shows the column.
pub fn debrief_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Debrief of the drive").font(theme::heading()));
        let close = ui.button("Close");
        fields::name(&close, "Close the debrief");
        if close.clicked() {
            commands.push(Command::Drive(DriveCommand::Debrief(false)));
        }
    });
    let words = "The drive is the draft: its very motion is kept, save it to keep it. Undo brings the plan back.";
    ui.label(
        RichText::new(words)
            .font(theme::small())
            .color(palette.weak),
    );
    match now(session) {
        None => {}
        Some(DebriefNow::Computing(share)) => {
            ui.label("The drive is held against its plan, and run again with one thing changed…");
            ui.add(ProgressBar::new(share));
        }
        Some(DebriefNow::Failed(words)) => fields::warning(ui, words),
        Some(DebriefNow::Told(debrief)) => {
            let area = ScrollArea::vertical().auto_shrink([false, false]);
            area.show(ui, |ui| told_ui(ui, debrief, &palette, commands));
        }
    }
}

fn told_ui(ui: &mut Ui, debrief: &DriveDebrief, palette: &Palette, commands: &mut Vec<Command>) {
    controls::section(ui, "How it ended");
    for (who, ends) in [
        ("Plan", &debrief.plan_ends),
        ("Driven", &debrief.drive_ends),
    ] {
        ui.label(format!("{who}: {ends}"));
    }
    phrases_ui(
        ui,
        "Worst moments",
        &debrief.worst,
        "None worth telling.",
        commands,
    );
    let none = "Nothing that it does not do in the plan.";
    phrases_ui(ui, "What debris did", &debrief.astray, none, commands);
    phrases_ui(
        ui,
        "What it would have taken",
        &debrief.needed,
        "Nothing to say.",
        commands,
    );
    controls::section(ui, "Step by step");
    for (i, step) in debrief.steps.iter().enumerate() {
        let name = format!("{} {}", i + 1, step.name);
        let words = RichText::new(&name).font(theme::body_strong());
        match step.at_s {
            Some(at_s) => link(ui, words, &name, at_s, commands),
            None => {
                ui.label(words);
            }
        }
        let mut words = step.words();
        if step.driven_step.is_some() {
            let (driven, planned) = (step.driven_deg_s, step.planned_deg_s);
            words = format!("{words}; up to {driven:.0}°/s, planned {planned:.0}°/s");
        }
        if let Some(plane) = step.plane_words() {
            words = format!("{words}; {plane}");
        }
        controls::line(ui, words, theme::small(), palette.weak);
    }
}

fn phrases_ui(
    ui: &mut Ui,
    head: &str,
    phrases: &[Phrase],
    none: &str,
    commands: &mut Vec<Command>,
) {
    controls::section(ui, head);
    if phrases.is_empty() {
        ui.label(RichText::new(none).color(Palette::of(ui).weak));
    }
    for phrase in phrases {
        match phrase.time_s {
            Some(time_s) => link(
                ui,
                RichText::new(&phrase.text),
                &phrase.text,
                time_s,
                commands,
            ),
            None => {
                ui.label(&phrase.text);
            }
        }
    }
}

/// Words that lead to their moment.
fn link(ui: &mut Ui, words: RichText, name: &str, time_s: f64, commands: &mut Vec<Command>) {
    let ink = Palette::of(ui).text;
    let button = Button::new(words.color(ink).underline())
        .frame(false)
        .wrap();
    let response = ui.add(button);
    fields::name(&response, name);
    if response.on_hover_text("Go to this moment").clicked() {
        commands.push(Command::Play(PlayCommand::Seek(time_s)));
    }
}
