//! The library of manoeuvres: search, take the steps for this case, or open the whole scenario.

use egui::{Button, RichText, ScrollArea, Ui};
use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::About;

use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    score::axis::clock,
    session::Session,
    session::command::{Command, EditCommand, FileCommand, ViewCommand},
    work::library::{Entry, library},
};

/// How well the entry answers to words: 0 if its title has them all, 1 if its canal or mechanism has the
/// rest, 2 if its steps or notes have, nothing if a word is nowhere. One that is for the other ear or another canal
/// than the words name comes after all of these.
pub fn rank(entry: &Entry, words: &str) -> Option<u8> {
    let words = words.to_lowercase();
    let mut text = String::new();
    let mut has_all = |more: &[&str]| {
        for part in more {
            text.push_str(&part.to_lowercase());
            text.push(' ');
        }
        words.split_whitespace().all(|word| text.contains(word))
    };
    let steps = entry.scenario.steps.iter().map(|s| s.name.as_str());
    let texts: Vec<&str> = steps.chain(entry.scenario.notes.as_deref()).collect();
    let rank = if has_all(&[&entry.title]) {
        0
    } else if has_all(&[&entry.targets, &entry.mechanism]) {
        1
    } else if has_all(&texts) {
        2
    } else {
        return None;
    };
    Some(if is_for(entry, &words) {
        rank
    } else {
        rank + 3
    })
}

/// It is for an ear and a canal that the words name; words that name none leave all in.
fn is_for(entry: &Entry, words: &str) -> bool {
    let named = |name: &str| words.split_whitespace().any(|word| word == name);
    let targets = &entry.about.targets;
    let ears: Vec<Ear> = Ear::ALL.into_iter().filter(|e| named(e.name())).collect();
    let canals: Vec<Canal> = Canal::ALL.into_iter().filter(|c| named(c.name())).collect();
    (ears.is_empty() && canals.is_empty())
        || targets.iter().any(|t| {
            (ears.is_empty() || ears.contains(&t.ear))
                && (canals.is_empty() || canals.contains(&t.canal))
        })
}

/// Entries that have all words, the best first, with their places in [`library`].
pub fn found(words: &str) -> Vec<(usize, &'static Entry)> {
    let mut hits: Vec<_> = library()
        .iter()
        .enumerate()
        .filter_map(|(i, entry)| Some((rank(entry, words)?, i, entry)))
        .collect();
    hits.sort_by_key(|&(rank, i, _)| (rank, i));
    hits.into_iter().map(|(_, i, entry)| (i, entry)).collect()
}

/// Shows the library.
pub fn library_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let mut words = session.library_search.clone();
    let edit = egui::TextEdit::singleline(&mut words)
        .hint_text("Search: epley, left, anterior…")
        .desired_width(f32::INFINITY);
    let response = ui.add(edit);
    fields::name(&response, "Search the library");
    response
        .on_hover_text("Words of the title, the canal, the steps or the notes; all must be found");
    if words != session.library_search {
        commands.push(Command::View(ViewCommand::SearchLibrary(words)));
    }
    let found = found(&session.library_search);
    if found.is_empty() {
        controls::line(
            ui,
            "No manoeuvre has all these words.",
            theme::body(),
            palette.weak,
        );
        return;
    }
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            for (i, entry) in found {
                entry_ui(ui, i, entry, session.draft.is_some(), commands);
                ui.separator();
            }
        });
}

fn entry_ui(ui: &mut Ui, i: usize, entry: &Entry, open: bool, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.horizontal_top(|ui| {
        for ear in entry.ears() {
            controls::ear_mark(ui, ear);
        }
        controls::line(ui, &entry.title, theme::body_strong(), palette.text);
    });
    let steps = entry.scenario.steps.len();
    let about = format!(
        "{}, {}; {steps} steps, {}",
        entry.targets,
        entry.mechanism,
        clock(entry.scenario.duration_s())
    );
    controls::line(ui, about, theme::small(), palette.weak);
    for caution in &entry.about.cautions {
        controls::line(ui, format!("⚠ {caution}"), theme::small(), palette.text);
    }
    ui.horizontal(|ui| {
        let mut button = |label: &str, name: String, tip: &str, on: bool, command: Command| {
            let text = RichText::new(label).font(theme::small());
            let response = ui.add_enabled(on, Button::new(text));
            fields::name(&response, &name);
            let response = response.on_disabled_hover_text(tip);
            if response.on_hover_text(tip).clicked() {
                commands.push(command);
            }
        };
        button(
            "Take its steps",
            format!("Take the steps of {}", entry.title),
            "Its start and steps for this case; debris, anatomy and limits stay. Can be undone.",
            open,
            Command::Edit(EditCommand::TakeManoeuvre(i)),
        );
        button(
            "Open",
            format!("Open {}", entry.title),
            "The whole scenario with its own debris, as a new one",
            true,
            Command::File(FileCommand::OpenFromLibrary(i)),
        );
        for (label, words) in [("Rules", rules(&entry.about)), ("Source", source(entry))] {
            if words.is_empty() {
                continue;
            }
            let text = RichText::new(label)
                .font(theme::small())
                .color(palette.weak);
            let label = ui.add(egui::Label::new(text).sense(egui::Sense::hover()));
            label.on_hover_text(words);
        }
    });
}

/// How often, and when to go on.
fn rules(about: &About) -> String {
    format!("{}\n{}", about.repeats, about.hold_rule)
}

fn source(entry: &Entry) -> String {
    match &entry.scenario.notes {
        None => entry.about.source.clone(),
        Some(notes) => format!("{}\n{notes}", entry.about.source),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_manoeuvre_is_there() {
        let names = lithodrome_rehearsal::library_names();
        assert_eq!(library().len(), names.count());
    }

    #[test]
    fn all_words_must_be_found_in_any_order_and_case() {
        let titles = |words: &str| -> Vec<&str> {
            let hits = found(words).into_iter();
            hits.map(|(_, e)| e.title.as_str()).collect()
        };
        assert_eq!(titles("").len(), library().len());
        assert_eq!(
            titles("EPLEY left whole body")[0],
            "Left posterior canal, Epley with the whole body"
        );
        assert!(titles("epley anterior-canal-of-nobody").is_empty());
    }

    #[test]
    fn words_of_the_title_count_more_than_those_of_the_notes() {
        // The canals of a test have both sides in them, and so have the steps of every manoeuvre.
        let best = |words: &str| found(words)[0].1.title.as_str();
        assert!(best("left lateral").starts_with("Left lateral"));
        for words in ["right lateral", "left lateral", "right posterior"] {
            let (ear, _) = words.split_once(' ').unwrap();
            let first = found(words)[0].1;
            assert!(
                first.ears().iter().any(|e| e.name() == ear),
                "{words}: {}",
                first.title
            );
            // All that are for this ear come before the first that is for the other one only.
            let fits: Vec<bool> = found(words).iter().map(|(_, e)| is_for(e, words)).collect();
            assert!(fits.is_sorted_by(|a, b| a >= b), "{words}: {fits:?}");
        }
        assert!(best("gufoni right geotropic").starts_with("Right lateral"));
    }
}
