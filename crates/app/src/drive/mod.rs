//! Driving the chair by hand: what the hand asks for, how the chair follows, what the ear answers.
//!
//! The engine is stepped on a thread of its own; the window hands over wishes and shows what comes back.

pub mod advice;
pub mod aim;
pub mod command;
pub mod debrief_ui;
pub mod debriefing;
pub mod drive_aids_ui;
pub mod drive_dial;
pub mod drive_keys;
pub mod drive_ui;
pub mod driven;
pub mod driver;
pub mod glove_ui;
pub mod pace;
pub mod pad;
pub mod pad_reader;
pub mod recording;
pub mod running;
pub mod seat;
pub mod sound;
pub mod target;
pub mod tone;
pub mod under_way;

pub use advice::{Advice, Now};
pub use debriefing::Debriefing;
pub use driven::Driven;
pub use driver::{Driver, Wish};
pub use lithodrome_chair::{Ask, ChairAxis};
pub use pace::{Pace, Script};
pub use seat::Begin;
pub use under_way::Drive;
