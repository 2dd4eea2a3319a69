//! One picture of a clip for teaching: chair and eyes, with the words burnt in.

use egui::{CentralPanel, Frame, Margin, Panel, Ui, vec2};
use lithodrome_nystagmus::now_words;
use lithodrome_rehearsal::{HISTORY_S, Phrase};

use super::state::{LessonState, OpenCase};
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    score::axis::clock,
    session::command::{Command, EyesSeenBy},
    stages::eyes_ui::draw_watched,
    stages::room_ui,
    stages::stage_ui::Shown,
    work::stage_data::{EYES_TOLD_LATER, Loaded},
};

/// Height of the words, points.
const WORDS: f32 = 150.0;
/// Width of the eyes, points.
const EYES: f32 = 380.0;
/// A phrase of the debrief is shown this long after its moment, s of the run.
const SHOWN_S: f64 = 20.0;

impl LessonState {
    /// What pictures of a lesson need.
    pub(crate) fn for_pictures(&self) -> LessonState {
        LessonState {
            open: self.open.clone(),
            tab: self.tab,
            clears: self.clears.for_pictures(),
            ..LessonState::default()
        }
    }

    /// From when on a clip of the open case has something to show, s.
    pub(crate) fn told_from_s(&self) -> f64 {
        if self.open.is_some() { HISTORY_S } else { 0.0 }
    }
}

/// Shows the moment under the cursor.
pub fn clip_ui(ui: &mut Ui, shown: Shown<'_>, loaded: &Loaded) {
    let palette = Palette::of(ui);
    let session = shown.session;
    let time_s = session.playback.time_s;
    Panel::bottom("words of the clip")
        .resizable(false)
        .exact_size(WORDS)
        .frame(
            Frame::new()
                .fill(palette.panel)
                .inner_margin(Margin::symmetric(20, 12)),
        )
        .show(ui, |ui| {
            words_ui(ui, session.lesson.open.as_ref(), loaded, time_s);
        });
    Panel::right("eyes of the clip")
        .resizable(false)
        .exact_size(EYES)
        .frame(
            Frame::new()
                .fill(palette.panel)
                .inner_margin(Margin::same(16)),
        )
        .show(ui, |ui| {
            let who = session.preferences.eyes_seen_by;
            let seen_by = match who {
                EyesSeenBy::Examiner => "Eyes, seen by the examiner",
                EyesSeenBy::Patient => "Eyes, seen by the patient",
            };
            controls::section(ui, seen_by);
            ui.add_space(48.0);
            let size = vec2(ui.available_width(), 160.0);
            let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
            draw_watched(ui.painter(), rect, who, loaded, time_s, &palette);
            controls::line(
                ui,
                eye_words(loaded, time_s),
                theme::heading(),
                palette.text,
            );
        });
    // What the stage asks for is nobody's wish here.
    let mut nobodys: Vec<Command> = Vec::new();
    CentralPanel::default()
        .frame(Frame::NONE)
        .show(ui, |ui| room_ui::room_ui(ui, shown, loaded, &mut nobodys));
}

fn words_ui(ui: &mut Ui, open: Option<&OpenCase>, loaded: &Loaded, time_s: f64) {
    let palette = Palette::of(ui);
    let step = loaded.step_at(time_s).map_or(0, |(i, _)| i);
    let name = loaded
        .scenario
        .steps
        .get(step)
        .map_or("", |s| s.name.as_str());
    let title = format!("{}   {name}", clock(time_s));
    controls::line(ui, title, theme::heading(), palette.text);
    // The eyes above say already that this is told later.
    if let Some(finding) = loaded.findings.get(step).filter(|_| !loaded.hidden) {
        let words = format!("In this hold: {finding}");
        controls::line(ui, words, theme::body(), palette.text);
    }
    let told = open
        .filter(|open| !open.good_shown)
        .and_then(|open| open.debrief.as_ref());
    let phrases = told.map_or(&[][..], |debrief| &debrief.paragraph);
    for phrase in told_at(phrases, time_s) {
        controls::line(
            ui,
            format!("{}.", phrase.text),
            theme::body_strong(),
            palette.text,
        );
    }
}

/// Phrases whose moment has just been, the latest first; not more than there is room for.
fn told_at(phrases: &[Phrase], time_s: f64) -> Vec<&Phrase> {
    let mut told: Vec<(f64, &Phrase)> = phrases
        .iter()
        .filter_map(|phrase| Some((phrase.time_s?, phrase)))
        .filter(|(at_s, _)| (0.0..SHOWN_S).contains(&(time_s - at_s)))
        .collect();
    told.sort_by(|a, b| b.0.total_cmp(&a.0));
    told.into_iter().take(2).map(|(_, phrase)| phrase).collect()
}

fn eye_words(loaded: &Loaded, time_s: f64) -> String {
    // Before anything plays the chair stands.
    if time_s > 0.0 && loaded.step_at(time_s).is_some_and(|(_, moving)| moving) {
        return "The chair is moving: the eyes answer to the turn.".to_owned();
    }
    if loaded.hidden {
        return EYES_TOLD_LATER.to_owned();
    }
    let at = loaded.between(time_s);
    let slow_phase = at.of_vectors(&loaded.eyes.debris_slow_phase_rad_s);
    now_words(slow_phase, &loaded.judging) + "."
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phrase_is_shown_from_its_moment_on_for_a_while() {
        let phrase = |text: &str, time_s| Phrase {
            text: text.to_owned(),
            time_s,
        };
        let all = [
            phrase("a", Some(10.0)),
            phrase("b", Some(25.0)),
            phrase("c", None),
        ];
        let told = |time_s| -> String {
            let told = told_at(&all, time_s).into_iter();
            told.map(|p| p.text.as_str()).collect()
        };
        assert_eq!(told(9.9), "");
        assert_eq!(told(10.0), "a");
        assert_eq!(told(26.0), "ba");
        assert_eq!(told(40.0), "b");
    }
}
