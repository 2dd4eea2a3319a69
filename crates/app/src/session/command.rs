//! Everything a person can ask of the window; the panels only read and ask. Each room has its own small list.

pub use super::{
    choices::{
        CaseTab, Dialog, DriveSound, EarFrame, EarShown, EyeSign, EyeTraces, EyesSeenBy, LookFrom,
        Use,
    },
    edit_command::EditCommand,
    file_command::FileCommand,
    play_command::PlayCommand,
    view_command::ViewCommand,
};
pub use crate::{
    drive::command::DriveCommand, export::command::ExportCommand, lesson::command::LessonCommand,
    variant::command::VariantCommand, visit::command::VisitCommand,
};

/// One wish.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// About files, and the end of the program.
    File(FileCommand),
    /// About the draft.
    Edit(EditCommand),
    /// About the cursor in time.
    Play(PlayCommand),
    /// About what is shown and how.
    View(ViewCommand),
    /// About the drive by hand.
    Drive(DriveCommand),
    /// About taking things out.
    Export(ExportCommand),
    /// About a hidden case.
    Lesson(LessonCommand),
    /// About a visit.
    Visit(VisitCommand),
    /// About a variant.
    Variant(VariantCommand),
}

impl Command {
    /// Afterwards another scenario is open, or none: what is not saved would be lost.
    pub(crate) const fn leaves_the_scenario(&self) -> bool {
        match self {
            Command::File(command) => command.leaves_the_scenario(),
            Command::Visit(command) => command.leaves_the_scenario(),
            Command::Variant(command) => command.leaves_the_scenario(),
            Command::Edit(_)
            | Command::Play(_)
            | Command::View(_)
            | Command::Drive(_)
            | Command::Export(_)
            | Command::Lesson(_) => false,
        }
    }
}
