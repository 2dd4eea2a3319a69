//! What can be asked about files.

use std::path::PathBuf;

/// A wish about files, or to leave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileCommand {
    /// Open a scenario file.
    Open(PathBuf),
    /// Open the scenario that comes with the program.
    OpenShipped,
    /// Read the file again.
    Reload,
    /// Ask the desktop for a file.
    Pick,
    /// A new scenario.
    New,
    /// Open an entry of the library as a new scenario.
    OpenFromLibrary(usize),
    /// Save to the file that it came from.
    Save,
    /// Ask for a file to save to.
    SaveAs,
    /// Save to this file.
    SaveTo(PathBuf),
    /// Forget unsaved changes, then do what was asked for.
    DiscardChanges,
    /// Take up the draft that was not saved before a crash.
    Recover,
    /// Throw that draft away.
    DiscardRecovered,
    /// Close the program.
    Quit,
}

impl FileCommand {
    /// Afterwards another scenario is open, or none.
    pub(crate) const fn leaves_the_scenario(&self) -> bool {
        match self {
            FileCommand::Open(_)
            | FileCommand::OpenShipped
            | FileCommand::Reload
            | FileCommand::New
            | FileCommand::OpenFromLibrary(_)
            | FileCommand::Recover
            | FileCommand::Quit => true,
            FileCommand::Pick
            | FileCommand::Save
            | FileCommand::SaveAs
            | FileCommand::SaveTo(_)
            | FileCommand::DiscardChanges
            | FileCommand::DiscardRecovered => false,
        }
    }
}
