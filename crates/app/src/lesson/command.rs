//! What can be asked about a hidden case.

use lithodrome_rehearsal::{Difficulty, EyeWord, LesionKind};

use super::{
    class::command::ClassCommand,
    clears::command::ClearsCommand,
    state::{LessonTab, Position, Way},
};

/// A wish about a hidden case.
#[derive(Clone, Debug, PartialEq)]
pub enum LessonCommand {
    /// Close the case and show what was shown before.
    Close,
    /// Another part of the column.
    Show(LessonTab),
    /// The seed of the next case.
    Seed(u64),
    /// Its difficulty; the seed's own if left out.
    Difficulty(Option<Difficulty>),
    /// Begin with that case.
    Begin,
    /// Begin a case again that is due, by its seed and difficulty.
    RepeatCase(u64, Option<Difficulty>),
    /// Show a recording again that is due, by its seed.
    RepeatReading(u64),
    /// How the next act is done.
    Way(Way),
    /// Bring the chair to a position and hold.
    Do(Position),
    /// Stay where the chair is.
    Wait(f64),
    /// Do a manoeuvre of the library, by its place in it.
    Treat(usize),
    /// Name a canal on the answer sheet, or take it off; index in the order of `CanalId::ALL`.
    Mark(usize, Option<LesionKind>),
    /// That is the answer: the ear is opened.
    Name,
    /// Compute the debrief.
    Debrief,
    /// Show a good run of the same case, or one's own again.
    ShowGood(bool),
    /// Another recording of eyes.
    NextReading,
    /// What the recording shows.
    Read(EyeWord),
    /// The learner's code, as it is typed.
    Code(String),
    /// Begin to keep progress under that code.
    Keep,
    /// Write the results beside the learner's file, as CSV.
    WriteResults,
    /// About what clears a case.
    Clears(ClearsCommand),
    /// About a class.
    Class(ClassCommand),
}
