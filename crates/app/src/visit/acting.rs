//! What the session does with a wish about a visit.

use super::{VisitState, command::VisitCommand};
use crate::session::Session;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_visit(&mut self, command: &VisitCommand) {
        match command {
            VisitCommand::Clear => self.visit = VisitState::default(),
        }
    }
}
