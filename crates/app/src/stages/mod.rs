//! The two stages with the globe and the eyes: the moment under the cursor.

pub mod camera;
pub mod ear_labels;
pub mod ear_ui;
pub mod eyes_ui;
pub mod ghost;
pub mod globe;
pub mod globe_ui;
pub mod render;
pub mod room_grip;
pub mod room_ui;
pub mod scene;
pub mod stage_ui;
