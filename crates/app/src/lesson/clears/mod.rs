//! What clears it: the answer of the outcome map for an ear, a canal, a place and this patient; two
//! manoeuvres beside each other; the whole map as a picture.

pub mod acting;
mod beside_ui;
pub mod command;
mod desk;
mod detail_ui;
mod form_ui;
mod holds_ui;
mod known;
mod map_picture;
mod map_ui;
pub mod panel_ui;
mod ranking_ui;
pub mod state;
mod whole;
pub mod wide_ui;

pub(crate) use map_picture::picture_size;
pub use map_picture::{map_svg, picture_ui};
