//! How the lesson's panels ask for something.

use super::command::LessonCommand;
use crate::session::command::Command;

/// Asks for a wish of this room.
pub(super) fn push(commands: &mut Vec<Command>, command: LessonCommand) {
    commands.push(Command::Lesson(command));
}
