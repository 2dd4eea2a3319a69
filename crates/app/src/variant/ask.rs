//! How the panels of this room ask for something.

use super::command::VariantCommand;
use crate::session::command::Command;

/// Asks for a wish of this room.
pub(super) fn push(commands: &mut Vec<Command>, command: VariantCommand) {
    commands.push(Command::Variant(command));
}
