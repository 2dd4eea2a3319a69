//! What the session does with a wish about a hidden case.

use super::{LessonState, command::LessonCommand};
use crate::session::Session;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_lesson(&mut self, command: &LessonCommand) {
        match command {
            LessonCommand::Clear => self.lesson = LessonState::default(),
        }
    }
}
