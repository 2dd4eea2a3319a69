//! Rows of a study as tables for other programs.

mod csv;
mod json;
mod parquet;
mod summary_table;
mod table;

pub use self::csv::write_csv;
pub use self::json::write_json;
pub use self::parquet::write_parquet;
pub use self::summary_table::{SummaryTable, write_summary};
