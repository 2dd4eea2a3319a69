//! The debrief beside the run with the ear open: points, the paragraph whose phrases lead to their moments,
//! what was seen beside what was there, which tests show the case, a good run; and how to take it along.

use egui::{RichText, Ui};
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{Debrief, Phrase, Seen};

use super::{ask::push, command::LessonCommand, in_the_ear, state::OpenCase};
use crate::{
    export::{Export, Pictured},
    kit::controls,
    kit::theme::{self, Palette},
    score::axis::clock,
    session::command::{Command, ExportCommand, PlayCommand},
    work::stage_data::Loaded,
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
    good_button(ui, open, commands);
    ui.add_space(8.0);
    controls::section(ui, "What happened");
    for (i, phrase) in debrief.paragraph.iter().enumerate() {
        let is_good = debrief.good.is_some() && i + 1 == debrief.paragraph.len();
        phrase_ui(ui, open, phrase, is_good, commands);
    }
    ui.add_space(8.0);
    ui.collapsing("Seen, and what was there", |ui| {
        seen_beside_ear(ui, &open.seen, &open.loaded, Run::Own, commands);
    });
    if let Some(good) = &open.good {
        ui.collapsing("A good run, step by step", |ui| {
            seen_beside_ear(ui, &open.good_seen, good, Run::Good, commands);
        });
    }
    ui.collapsing("Which test shows this case", |ui| {
        tests_ui(ui, debrief, &palette);
    });
    take_along_ui(ui, commands);
    controls::line(
        ui,
        "A teaching model, not a medical device.",
        theme::small(),
        palette.weak,
    );
}

/// Each phrase leads to its moment, the one about the good run to that run.
fn phrase_ui(
    ui: &mut Ui,
    open: &OpenCase,
    phrase: &Phrase,
    is_good: bool,
    commands: &mut Vec<Command>,
) {
    let text = RichText::new(format!("{}.", phrase.text)).font(theme::body());
    if is_good {
        let link = ui.link(text);
        if link.on_hover_text("Show the good run").clicked() {
            push(commands, LessonCommand::ShowGood(true));
        }
        return;
    }
    let Some(time_s) = phrase.time_s else {
        controls::line(
            ui,
            format!("{}.", phrase.text),
            theme::body(),
            Palette::of(ui).text,
        );
        return;
    };
    let link = ui.link(text);
    if link
        .on_hover_text("Put the cursor at this moment")
        .clicked()
    {
        go_to(Run::Own, open.good_shown, time_s, commands);
    }
}

/// Whose run a moment is of.
#[derive(Clone, Copy, PartialEq)]
enum Run {
    Own,
    Good,
}

/// The run first, if the other one is on the stages; then the moment.
fn go_to(run: Run, good_shown: bool, time_s: f64, commands: &mut Vec<Command>) {
    if good_shown != (run == Run::Good) {
        push(commands, LessonCommand::ShowGood(run == Run::Good));
    }
    commands.push(Command::Play(PlayCommand::Seek(time_s)));
}

/// For each hold what the resident could see, and below it where the debris was and what it did.
fn seen_beside_ear(
    ui: &mut Ui,
    seen: &[Seen],
    loaded: &Loaded,
    run: Run,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    for seen in seen.iter().filter(|seen| seen.name != "Turn") {
        let held_s = seen.end_s - seen.hold_from_s;
        let title = format!("{} {}, {held_s:.0} s", clock(seen.hold_from_s), seen.name);
        let link = ui.link(RichText::new(title).font(theme::body_strong()));
        if link
            .on_hover_text("Put the cursor at the start of this hold")
            .clicked()
        {
            // The other run is put onto the stages again where it is there already: the cursor comes last.
            push(commands, LessonCommand::ShowGood(run == Run::Good));
            commands.push(Command::Play(PlayCommand::Seek(seen.hold_from_s)));
        }
        let eyes = if seen.looked {
            sentence(&seen.finding)
        } else {
            "nobody looked.".to_owned()
        };
        controls::line(ui, format!("Eyes: {eyes}"), theme::small(), palette.text);
        let ear = in_the_ear::words(loaded, seen.hold_from_s, seen.end_s);
        controls::line(ui, format!("Ear: {ear}"), theme::small(), palette.weak);
    }
}

fn tests_ui(ui: &mut Ui, debrief: &Debrief, palette: &Palette) {
    for trial in &debrief.tests {
        ui.label(RichText::new(&trial.title).font(theme::body_strong()));
        let words = match &trial.best {
            Some(seen) => format!("• {}: {}", seen.name, sentence(&seen.finding)),
            None if trial.vertigo => "○ Nothing seen; the patient feels it turn.".to_owned(),
            None => "○ Nothing.".to_owned(),
        };
        controls::line(ui, words, theme::body(), palette.text);
    }
}

fn take_along_ui(ui: &mut Ui, commands: &mut Vec<Command>) {
    ui.add_space(8.0);
    controls::section(ui, "Take it along");
    let exports = [
        ("Page…", "The debrief on one page, PDF", Export::Debrief),
        (
            "Clip…",
            "Chair and eyes with the words burnt in, at the speed of playing: an animated GIF",
            Export::Animation(Pictured::Words),
        ),
        (
            "Clip as pictures…",
            "The same as numbered PNG pictures in a folder",
            Export::Sequence(Pictured::Words),
        ),
    ];
    ui.horizontal_wrapped(|ui| {
        for (label, tip, export) in exports {
            if ui.button(label).on_hover_text(tip).clicked() {
                commands.push(Command::Export(ExportCommand::Pick(export)));
            }
        }
    });
}

fn good_button(ui: &mut Ui, open: &OpenCase, commands: &mut Vec<Command>) {
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
