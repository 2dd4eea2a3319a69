//! The library of manoeuvres and tests as the window shows it, read once.

use std::sync::OnceLock;

use lithodrome_labyrinth::{CanalId, Ear};
use lithodrome_rehearsal::{About, At, LibraryEntry, Mechanism, Scenario, Target};

/// One manoeuvre or test.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Its name, that of its file without the ending.
    pub name: &'static str,
    /// What people call it.
    pub title: String,
    /// What it is for: "right posterior canal".
    pub targets: String,
    /// Where the debris has to be for it, in the trade's words.
    pub mechanism: String,
    /// Sources and rules.
    pub about: About,
    /// All of it.
    pub scenario: Scenario,
}

impl Entry {
    /// Ears that it is for, each once.
    pub fn ears(&self) -> Vec<Ear> {
        let of = |ear: &Ear| self.about.targets.iter().any(|t| t.ear == *ear);
        Ear::ALL.into_iter().filter(of).collect()
    }
}

/// All manoeuvres and tests.
pub fn library() -> &'static [Entry] {
    static ENTRIES: OnceLock<Vec<Entry>> = OnceLock::new();
    // The shipped files are tested; one that could not be read would not be shown.
    let read = || lithodrome_rehearsal::library().unwrap_or_default();
    ENTRIES.get_or_init(|| read().into_iter().map(entry).collect())
}

fn entry(entry: LibraryEntry) -> Entry {
    let LibraryEntry {
        name,
        scenario,
        about,
        ..
    } = entry;
    Entry {
        name,
        title: scenario.title.clone(),
        targets: targets_in_words(&about),
        mechanism: mechanisms_in_words(&about.mechanisms),
        about,
        scenario,
    }
}

/// Canals, one name for both sides of a canal.
fn targets_in_words(about: &About) -> String {
    let mut names: Vec<String> = Vec::new();
    for &Target { ear, canal } in &about.targets {
        let other = Target {
            ear: ear.other(),
            canal,
        };
        let name = if about.targets.contains(&other) {
            format!("{} canal of both ears", canal.name())
        } else {
            CanalId { ear, canal }.name()
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// Free debris, debris on the cupula, or both.
fn mechanisms_in_words(mechanisms: &[Mechanism]) -> String {
    let stuck = |m: &Mechanism| matches!(m.at(), At::OnCupula { .. });
    let words: Vec<&str> = [
        (mechanisms.iter().any(|m| !stuck(m)), "canalithiasis"),
        (mechanisms.iter().any(stuck), "cupulolithiasis"),
    ]
    .into_iter()
    .filter_map(|(any, word)| any.then_some(word))
    .collect();
    words.join(" or ")
}
