//! What can be measured without a run: ears, canal planes, poses.

mod anatomy;
mod course;
mod divides;
mod drain;
mod named_posture;
mod plane_miss;
mod planes;
mod posture;
mod sizes;

pub use anatomy::{AnatomyReport, AngleReport, CanalReport, PublishedAngle, anatomy_report};
pub use course::{CourseMarks, course_line};
pub use divides::UprightDivides;
pub(crate) use divides::is_near_divide;
pub use drain::{CoursePart, DrainMap, lowest_part, part_at};
pub use named_posture::{NAMED_POSTURES, NamedPosture};
pub use plane_miss::{PlaneMiss, plane_miss};
pub use planes::{DriveReport, PlaneTilt, drive_to, plane_tilts};
pub use posture::{Posture, Twin, posture_of_angles, posture_of_down};
pub use sizes::{PublishedSize, VestibuleReport};
