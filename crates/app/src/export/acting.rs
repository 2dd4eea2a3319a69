//! What the session does with a wish about an export.

use super::command::ExportCommand;
use crate::session::{Session, state::WindowWish};

impl Session {
    pub(crate) fn apply_export(&mut self, command: ExportCommand) {
        match command {
            ExportCommand::Pick(export) => self.for_window.push(WindowWish::PickExport(export)),
            ExportCommand::To(export, path) => {
                self.for_window.push(WindowWish::ExportTo(export, path));
            }
            ExportCommand::Cancel => self.export.stop(),
            ExportCommand::DismissSaved => self.export.saved = None,
        }
    }
}
