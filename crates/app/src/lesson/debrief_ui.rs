//! The debrief beside the run with the ear open: points, the paragraph whose phrases lead to their moments,
//! which tests show the case, a good run.

use egui::{RichText, Ui};
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::Debrief;

use super::{ask::push, command::LessonCommand, state::OpenCase};
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::command::{Command, PlayCommand},
};

/// Shows it.
pub(super) fn debrief_ui(
    ui: &mut Ui,
    open: &OpenCase,
    debrief: &Debrief,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let (points, of) = (debrief.score.points(), debrief.score.of());
    controls::section(ui, "Debrief");
    ui.label(RichText::new(format!("{points} of {of} points")).font(theme::body_strong()));
    for line in &debrief.score.lines {
        // A shape before a colour.
        let mark = if line.reached { "•" } else { "–" };
        let words = if line.reached { "" } else { ": not reached" };
        let text = format!("{mark} {}{words}", line.what);
        controls::line(ui, text, theme::body(), palette.text);
    }
    good_ui(ui, open, commands);
    ui.add_space(8.0);
    controls::section(ui, "What happened");
    for phrase in &debrief.paragraph {
        let text = format!("{}.", phrase.text);
        match phrase.time_s.filter(|_| !open.good_shown) {
            Some(time_s) => {
                let link = ui.link(RichText::new(text).font(theme::body()));
                if link
                    .on_hover_text("Put the cursor at this moment")
                    .clicked()
                {
                    commands.push(Command::Play(PlayCommand::Seek(time_s)));
                }
            }
            None => controls::line(ui, text, theme::body(), palette.text),
        }
    }
    ui.add_space(8.0);
    ui.collapsing("Which test shows this case", |ui| {
        for trial in &debrief.tests {
            ui.label(RichText::new(&trial.title).font(theme::body_strong()));
            let words = match &trial.best {
                Some(seen) => format!("• {}: {}", seen.name, sentence(&seen.finding)),
                None if trial.vertigo => "○ Nothing seen; the patient feels it turn.".to_owned(),
                None => "○ Nothing.".to_owned(),
            };
            controls::line(ui, words, theme::body(), palette.text);
        }
    });
    controls::line(
        ui,
        "A teaching model, not a medical device.",
        theme::small(),
        palette.weak,
    );
}

fn good_ui(ui: &mut Ui, open: &OpenCase, commands: &mut Vec<Command>) {
    if open.good.is_none() {
        return;
    }
    let words = if open.good_shown {
        "Show your own run again"
    } else {
        "Show a good run"
    };
    if ui.button(words).clicked() {
        push(commands, LessonCommand::ShowGood(!open.good_shown));
    }
}
