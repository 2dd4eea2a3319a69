//! The line above the score: what the whole run came to; each phrase leads to its moment.

use egui::{Button, RichText, Ui, vec2};
use lithodrome_rehearsal::{BandVerdict, Phrase, worst_of_each};

use crate::{
    drive::running,
    kit::fields,
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, PlayCommand},
    work::aside::Answer,
    work::stage_data::Loaded,
};

/// Shows the line.
pub fn verdict_ui(ui: &mut Ui, session: &Session, loaded: &Loaded, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if let (Some(answer), None) = (&loaded.report.test_answer, &session.drive) {
        let words = RichText::new(&answer.sentence).font(theme::body());
        ui.add(egui::Label::new(words.color(palette.text)).wrap());
    }
    ui.horizontal_wrapped(|ui| {
        // Links, as high as their words.
        ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
        ui.spacing_mut().interact_size.y = 0.0;
        ui.spacing_mut().button_padding.y = 0.0;
        if let Some(drive) = &session.drive {
            let so_far = drive.now().map(|now| running::so_far(now).join("; "));
            let so_far = so_far.map_or_else(String::new, |words| format!(", so far {words}"));
            let words = RichText::new(format!(
                "Driving{so_far}. What the whole run comes to is said when it has ended."
            ));
            ui.label(words.font(theme::small()).color(palette.weak));
            return;
        }
        let band = session.in_plausible_ears(loaded);
        for (i, phrase) in phrases(loaded, band).iter().enumerate() {
            phrase_ui(ui, phrase, i == 0, &palette, commands);
        }
    });
}

/// What plausible ears say, the phrases of the ear shown, then the least time to spare, holds that are too
/// short, limits that are broken.
pub fn phrases(loaded: &Loaded, band: Option<Answer<BandVerdict>>) -> Vec<Phrase> {
    let mut all = match band {
        Some(Answer::Is(band)) => loaded.report.clone().over_band(&band).verdict_phrases,
        Some(Answer::Computing(_)) => in_this_ear(loaded, "asking a dozen plausible ears"),
        Some(Answer::Failed(words)) => in_this_ear(loaded, &words),
        None => loaded.report.verdict_phrases.clone(),
    };
    let steps = loaded
        .step_times
        .iter()
        .zip(&loaded.spare_hold_s)
        .enumerate();
    let least = steps
        .filter_map(|(i, (times, spare))| Some((i, times.end_s, (*spare)?)))
        .filter(|&(i, ..)| i + 1 < loaded.step_times.len())
        .min_by(|a, b| a.2.total_cmp(&b.2));
    if let Some((i, end_s, spare_s)) = least {
        let text = match loaded.short_hold(i) {
            Some(words) => words,
            None => format!("least time to spare {spare_s:.0} s, in step {}", i + 1),
        };
        all.push(Phrase {
            text,
            time_s: Some(end_s),
        });
    }
    let worst = worst_of_each(loaded.breaches.clone());
    all.extend(worst.iter().map(|breach| Phrase {
        text: format!(
            "step {} ({}): {}",
            breach.step + 1,
            breach.step_name,
            breach.words()
        ),
        time_s: Some(breach.time_s),
    }));
    all
}

/// The phrases of the ear shown, which is not all that is to be said.
fn in_this_ear(loaded: &Loaded, words: &str) -> Vec<Phrase> {
    let mut all = loaded.report.verdict_phrases.clone();
    if let Some(first) = all.first_mut() {
        first.text = format!("{} in the ear shown", first.text);
    }
    let about_all = Phrase {
        text: words.to_owned(),
        time_s: None,
    };
    all.insert(1.min(all.len()), about_all);
    all
}

fn phrase_ui(
    ui: &mut Ui,
    phrase: &Phrase,
    first: bool,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let font = if first {
        theme::body_strong()
    } else {
        theme::small()
    };
    let stop = if first { ":" } else { "" };
    let words = RichText::new(format!("{}{stop}", phrase.text)).font(font);
    let Some(time_s) = phrase.time_s else {
        ui.label(words.color(palette.text));
        return;
    };
    let link = Button::new(words.color(palette.text).underline()).frame(false);
    let response = ui.add(link);
    fields::name(&response, &phrase.text);
    if response.on_hover_text("Go to this moment").clicked() {
        commands.push(Command::Play(PlayCommand::Seek(time_s)));
    }
}
