//! What the session does with a wish about an export.

use super::{Export, command::ExportCommand};
use crate::session::{Session, state::WindowWish};

impl Session {
    /// The title of what is taken out; nothing if there is nothing.
    pub(crate) fn title_of(&self, export: Export) -> Option<String> {
        match export {
            Export::Study(_) => {
                let found = self.variant.found.as_ref();
                Some(found.map_or_else(
                    || self.variant.form.asked.words().to_owned(),
                    |found| found.study.file.title.clone(),
                ))
            }
            _ => Some(self.shown.as_ref()?.scenario.title.clone()),
        }
    }

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
