//! What the session does with a wish about a variant.

use super::{VariantState, command::VariantCommand};
use crate::session::Session;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_variant(&mut self, command: &VariantCommand) {
        match command {
            VariantCommand::Clear => self.variant = VariantState::default(),
        }
    }
}
