//! The only way in: from people's units to the constant model and the head's motion.

mod chair_recording;
mod compiled;
mod ears;
mod matter;
mod motion;

pub(crate) use chair_recording::ChairRecording;
pub(crate) use compiled::build;
pub use compiled::{Compiled, compile, compile_file, compile_in, compile_with, folder_of};
pub use ears::{EarsCache, load_anatomy, load_labyrinth};
pub(crate) use motion::motion_of;
