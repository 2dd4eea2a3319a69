//! What can be taken out of the window: pictures, a table, diagrams, moving pictures for slides.
//!
//! Everything is made on a thread of its own from a copy of the window's state, and written to a temporary
//! place first.

mod acting;
mod animation;
pub mod command;
pub mod export_picker;
pub mod export_ui;
mod exporter;
mod kind;
pub mod make;
mod moment;
mod studio;
mod study;
mod svg;
mod written;

pub use exporter::{Exporter, Saved};
pub use kind::{Export, ExportError, Pictured, caption};
pub use moment::moment_words;
pub use svg::{score_svg, svg_of_shapes};
