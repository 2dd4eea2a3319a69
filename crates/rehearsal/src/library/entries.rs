//! The manoeuvres and tests that are shipped, each a scenario file, embedded so that no file is needed.

use std::path::Path;

use lithodrome_labyrinth::CanalId;

use crate::check::check;
use crate::error::{FieldError, RehearsalError};
use crate::scenario::{About, Scenario, Target, scenario_from_ron};

/// One shipped manoeuvre or test.
#[derive(Clone, Debug, PartialEq)]
pub struct LibraryEntry {
    /// Its name, that of its file without the ending.
    pub name: &'static str,
    /// The file's text, to be copied and changed.
    pub text: &'static str,
    /// The file, read.
    pub scenario: Scenario,
    /// Its purpose, sources and rules.
    pub about: About,
}

impl LibraryEntry {
    /// It is meant for this canal.
    pub fn is_for(&self, canal: CanalId) -> bool {
        self.about.targets.contains(&Target::from(canal))
    }

    /// Every one of the words stands somewhere in its name, title, notes, sources, rules or steps;
    /// capitals do not matter. No words are in every entry.
    pub fn has_words(&self, words: &str) -> bool {
        let (scenario, about) = (&self.scenario, &self.about);
        let steps = scenario.steps.iter().map(|s| s.name.as_str());
        let texts = [
            self.name,
            &scenario.title,
            scenario.notes.as_deref().unwrap_or_default(),
            &about.source,
            &about.repeats,
            &about.hold_rule,
        ];
        let text = texts
            .into_iter()
            .chain(steps)
            .chain(about.cautions.iter().map(String::as_str))
            .collect::<Vec<_>>()
            .join("\n")
            .to_lowercase();
        words
            .to_lowercase()
            .split_whitespace()
            .all(|word| text.contains(word))
    }
}

/// All shipped manoeuvres and tests, by name.
///
/// # Errors
/// None with the shipped files; a changed one that is not a scenario, or has no `about`.
pub fn library() -> Result<Vec<LibraryEntry>, RehearsalError> {
    FILES.iter().map(|(name, text)| entry(name, text)).collect()
}

/// The entry of this name.
pub fn library_entry(name: &str) -> Option<Result<LibraryEntry, RehearsalError>> {
    let (name, text) = FILES.iter().find(|(known, _)| *known == name)?;
    Some(entry(name, text))
}

/// Names of all entries, in order.
pub fn library_names() -> impl Iterator<Item = &'static str> {
    FILES.iter().map(|(name, _)| *name)
}

fn entry(name: &'static str, text: &'static str) -> Result<LibraryEntry, RehearsalError> {
    let path = Path::new(name).with_extension("ron");
    let scenario = scenario_from_ron(text, &path)?;
    check(&scenario).map_err(|e| RehearsalError::from(e).in_file(&path))?;
    let Some(about) = scenario.about.clone() else {
        let error = FieldError::new("about", &"nothing", "an about block");
        return Err(RehearsalError::from(error).in_file(&path));
    };
    Ok(LibraryEntry {
        name,
        text,
        scenario,
        about,
    })
}

macro_rules! files {
    ($($name:literal,)*) => {
        &[$((
            $name,
            include_str!(concat!("../../../../scenarios/library/", $name, ".ron")),
        ),)*]
    };
}

/// Name and text of every file, by name.
const FILES: &[(&str, &str)] = files![
    "bow-and-lean",
    "head-pitch",
    "left-anterior-deep-head-hanging",
    "left-anterior-forward-turn-in-steps",
    "left-anterior-head-hanging",
    "left-anterior-short-repositioning",
    "left-dix-hallpike",
    "left-first-battery",
    "left-lateral-cupula-repositioning",
    "left-lateral-gufoni-apogeotropic",
    "left-lateral-gufoni-apogeotropic-nose-down",
    "left-lateral-gufoni-geotropic",
    "left-lateral-head-shaking",
    "left-lateral-prolonged-affected-side",
    "left-lateral-prolonged-healthy-side",
    "left-lateral-roll-270",
    "left-lateral-roll-360",
    "left-lateral-roll-in-steps",
    "left-posterior-backward-turn",
    "left-posterior-backward-turn-in-steps",
    "left-posterior-backward-turn-slow",
    "left-posterior-brandt-daroff",
    "left-posterior-demi-semont",
    "left-posterior-epley-bedside",
    "left-posterior-epley-whole-body",
    "left-posterior-epley-whole-body-raised",
    "left-posterior-half-somersault",
    "left-posterior-semont",
    "left-posterior-semont-20-beyond",
    "left-posterior-semont-60-beyond",
    "left-posterior-semont-whole-body",
    "left-side-lying",
    "left-supine-roll",
    "lying-down",
    "right-anterior-deep-head-hanging",
    "right-anterior-forward-turn-in-steps",
    "right-anterior-head-hanging",
    "right-anterior-short-repositioning",
    "right-dix-hallpike",
    "right-first-battery",
    "right-lateral-cupula-repositioning",
    "right-lateral-gufoni-apogeotropic",
    "right-lateral-gufoni-apogeotropic-nose-down",
    "right-lateral-gufoni-geotropic",
    "right-lateral-head-shaking",
    "right-lateral-prolonged-affected-side",
    "right-lateral-prolonged-healthy-side",
    "right-lateral-roll-270",
    "right-lateral-roll-360",
    "right-lateral-roll-in-steps",
    "right-posterior-backward-turn",
    "right-posterior-backward-turn-in-steps",
    "right-posterior-backward-turn-slow",
    "right-posterior-brandt-daroff",
    "right-posterior-demi-semont",
    "right-posterior-epley-bedside",
    "right-posterior-epley-whole-body",
    "right-posterior-epley-whole-body-raised",
    "right-posterior-half-somersault",
    "right-posterior-semont",
    "right-posterior-semont-20-beyond",
    "right-posterior-semont-60-beyond",
    "right-posterior-semont-whole-body",
    "right-side-lying",
    "right-supine-roll",
    "sitting-up",
    "straight-head-hanging",
    "upright-at-rest",
];

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_labyrinth::{Canal, Ear};

    #[test]
    fn every_file_of_the_folder_is_embedded_under_its_name() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/library");
        let mut files: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|f| f.unwrap().file_name().into_string().unwrap())
            .map(|f| f.strip_suffix(".ron").unwrap_or(&f).to_owned())
            .collect();
        files.sort();
        let names: Vec<_> = library_names().collect();
        assert_eq!(names, files);
    }

    #[test]
    fn entries_are_found_by_target_and_by_words() {
        let all = library().unwrap();
        let right_anterior = CanalId {
            ear: Ear::Right,
            canal: Canal::Anterior,
        };
        let found: Vec<_> = all
            .iter()
            .filter(|e| e.is_for(right_anterior) && e.has_words("Hanging bhandari"))
            .map(|e| e.name)
            .collect();
        // The same for both ears, so the files of both sides.
        assert_eq!(
            found,
            [
                "left-anterior-deep-head-hanging",
                "left-anterior-head-hanging",
                "right-anterior-deep-head-hanging",
                "right-anterior-head-hanging",
                "straight-head-hanging",
            ]
        );
        assert!(all.iter().all(|e| e.has_words("")));
        assert!(!all.iter().any(|e| e.has_words("unheard-of")));
        assert!(library_entry("unheard-of").is_none());
        let one = library_entry("right-posterior-semont").unwrap().unwrap();
        assert!(all.contains(&one));
    }
}
