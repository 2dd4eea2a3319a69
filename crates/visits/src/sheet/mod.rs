//! The run sheet: one manoeuvre or test on paper.

mod content;
mod dial;
mod eyes;
mod file;
mod font;
mod group;
mod layout;
mod lesson_page;
mod mark;
mod pdf;
mod pictogram;
mod posture;
mod rows;
mod rules;
mod setting;
mod svg;
mod tight_rows;

pub(crate) use font::{TEXT, Type, settable, width_pt};
pub(crate) use setting::{MARGIN_PT, SMALL, Setting, TITLE, short};

pub use content::{ControlTest, OtherCanal, Sheet, SheetStep, moves_debris, sheet_of};
pub use file::write_sheet;
pub use font::Face;
pub use layout::pages_of;
pub use lesson_page::{LessonPage, PageLane, lesson_page, write_lesson_page};
pub use mark::{Ink, Mark, Page, Paper};
pub use pdf::pdf_of;
pub use rules::usual_cautions;
pub use svg::svg_of;
