//! What can be asked about what clears a case.

use lithodrome_study::MapQuestion;

use super::state::{ClearsView, MapPlace, MapSource, WhichEar};

/// A wish about it.
#[derive(Clone, Debug, PartialEq)]
pub enum ClearsCommand {
    /// Read a map.
    Read(MapSource),
    /// The path of a map, as it is typed.
    Path(String),
    /// Ask about another case or another patient.
    Ask(MapQuestion),
    /// Another look at it.
    Look(ClearsView),
    /// In the whole map, the manoeuvres that are meant for the other ear.
    OtherSide(bool),
    /// Show the run of a manoeuvre in an ear.
    Open(String, WhichEar),
    /// Choose a manoeuvre to be set beside another, or let it be.
    Mark(String, bool),
    /// Set the two beside each other.
    Beside,
    /// The same ears on a bed, with a healthy and with a stiff neck, and where debris switched to.
    Carry(String),
    /// Why a cell of the map is as it is.
    Why(MapPlace),
}
