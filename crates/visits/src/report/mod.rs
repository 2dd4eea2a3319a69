//! A report on paper: anybody's title, text, tables and simple pictures, set on pages.

mod content;
mod file;
mod pages;
mod pictures;
mod table;

pub use content::{
    Curves, DotArray, DotGroup, DotShape, Map, PaperCurve, PaperTable, Report, ReportPart,
};
pub use file::write_report;
pub use pages::report_pages;
