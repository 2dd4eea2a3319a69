//! Rows of a study as tables for other programs.

mod csv;
mod json;
mod parquet;
mod table;

pub use self::csv::write_csv;
pub use self::json::write_json;
pub use self::parquet::write_parquet;
