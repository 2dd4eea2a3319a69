//! What can be taken out, how its file is called, and why it may not be saved.

use std::path::{Path, PathBuf};

use crate::variant::taken_out::StudyExport;

/// Letters of a study's title that a file's name has.
const LONGEST: usize = 60;

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pictured {
    /// The room stage.
    Room,
    /// The ear stage.
    Ear,
    /// The whole window.
    Window,
    /// Chair and eyes of a lesson with the words burnt in.
    Words,
    /// The outcome map.
    Map,
}

impl Pictured {
    /// "room", "ear" or "window".
    pub const fn name(self) -> &'static str {
        match self {
            Pictured::Room => "room",
            Pictured::Ear => "ear",
            Pictured::Window => "window",
            Pictured::Words => "with-words",
            Pictured::Map => "map",
        }
    }
}

/// What is taken out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Export {
    /// One PNG of the moment under the cursor.
    Picture(Pictured),
    /// The run as a CSV table.
    Table,
    /// The score as an SVG drawing.
    Diagrams,
    /// The outcome map as an SVG drawing.
    MapDrawing,
    /// The debrief of a hidden case as one page, PDF.
    Debrief,
    /// The run as an animated GIF.
    Animation(Pictured),
    /// The run as a folder of numbered PNG pictures.
    Sequence(Pictured),
    /// Something of a question about many ears.
    Study(StudyExport),
}

impl Export {
    /// Letters after the dot; none for a folder.
    pub const fn extension(self) -> &'static str {
        match self {
            Export::Picture(_) => "png",
            Export::Table => "csv",
            Export::Diagrams | Export::MapDrawing => "svg",
            Export::Debrief => "pdf",
            Export::Animation(_) => "gif",
            Export::Sequence(_) => "",
            Export::Study(what) => what.extension(),
        }
    }

    /// A name for the file, from the title of the scenario.
    pub fn file_name(self, title: &str) -> String {
        let mut stem = String::new();
        for c in title.chars().flat_map(char::to_lowercase) {
            if c.is_alphanumeric() {
                stem.push(c);
            } else if !stem.ends_with('-') && !stem.is_empty() {
                stem.push('-');
            }
        }
        let stem = stem.trim_end_matches('-');
        let stem = if stem.is_empty() { "run" } else { stem };
        match self {
            Export::MapDrawing | Export::Picture(Pictured::Map) => {
                format!("what-clears-what.{}", self.extension())
            }
            Export::Debrief => format!("{stem}-debrief.{}", self.extension()),
            Export::Picture(what) | Export::Animation(what) => {
                format!("{stem}-{}.{}", what.name(), self.extension())
            }
            Export::Sequence(what) => format!("{stem}-{}-pictures", what.name()),
            Export::Table | Export::Diagrams => format!("{stem}.{}", self.extension()),
            Export::Study(what) => {
                let stem: String = stem.chars().take(LONGEST).collect();
                let stem = stem.trim_end_matches('-');
                format!("{stem}-{}.{}", what.name(), self.extension())
            }
        }
    }

    /// The path with the right extension, which people leave out.
    pub fn with_extension(self, path: &Path) -> PathBuf {
        if self.extension().is_empty() || path.extension().is_some() {
            path.to_owned()
        } else {
            path.with_extension(self.extension())
        }
    }
}

/// Why nothing was saved.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// No graphics card, no software one.
    #[error(
        "a picture needs a graphics card or a software one, and neither was found; the table (CSV) \
         and the diagrams (SVG) can be saved without"
    )]
    NoCard,
    /// The card failed.
    #[error("the graphics card did not draw the picture: {reason}")]
    Card {
        /// In its words.
        reason: String,
    },
    /// There is no run.
    #[error("there is no run to save; open a scenario first")]
    NoRun,
    /// Every quantity over time would name the case.
    #[error("the table is told with the debrief: name the hidden case first")]
    Hidden,
    /// A study or a page could not be written.
    #[error("cannot save: {reason}")]
    Study {
        /// In its words.
        reason: String,
    },
    /// The file could not be written, in the words of the terminal.
    #[error(transparent)]
    File(#[from] lithodrome_rehearsal::RehearsalError),
    /// A person stopped it.
    #[error("cancelled")]
    Cancelled,
}

/// The line under every picture: scenario, version, what this is not.
pub fn caption(title: &str) -> String {
    format!(
        "{title} · Lithodrome {} · teaching and planning model, not a medical device",
        env!("CARGO_PKG_VERSION")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_come_from_the_title() {
        let title = "Right posterior canal, whole-body Epley";
        assert_eq!(
            Export::Animation(Pictured::Ear).file_name(title),
            "right-posterior-canal-whole-body-epley-ear.gif"
        );
        assert_eq!(Export::Table.file_name("…"), "run.csv");
    }

    #[test]
    fn a_missing_extension_is_added() {
        let path = Export::Diagrams.with_extension(Path::new("/a/b"));
        assert_eq!(path, Path::new("/a/b.svg"));
        let path = Export::Diagrams.with_extension(Path::new("/a/b.xml"));
        assert_eq!(path, Path::new("/a/b.xml"));
    }
}
