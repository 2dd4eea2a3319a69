//! How the lesson's panels ask for something.

use super::{class::command::ClassCommand, clears::command::ClearsCommand, command::LessonCommand};
use crate::session::command::Command;

/// Asks for a wish of this room.
pub(super) fn push(commands: &mut Vec<Command>, command: LessonCommand) {
    commands.push(Command::Lesson(command));
}

/// Asks for a wish about what clears a case.
pub(super) fn clears(commands: &mut Vec<Command>, command: ClearsCommand) {
    push(commands, LessonCommand::Clears(command));
}

/// Asks for a wish about a class.
pub(super) fn class(commands: &mut Vec<Command>, command: ClassCommand) {
    push(commands, LessonCommand::Class(command));
}
