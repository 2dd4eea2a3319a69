//! What of a study can be taken out, and how its file is called.

use lithodrome_study::SummaryTable;

/// A picture of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StudyPicture {
    /// The share as dots.
    Dots,
    /// The share against the number of ears.
    Curve,
    /// The map of a sweep.
    Heat,
    /// The best share against the lowest-head limit.
    Stairs,
    /// What decides.
    Inputs,
}

impl StudyPicture {
    /// For a file's name.
    pub const fn name(self) -> &'static str {
        match self {
            StudyPicture::Dots => "share",
            StudyPicture::Curve => "curve",
            StudyPicture::Heat => "map",
            StudyPicture::Stairs => "limits",
            StudyPicture::Inputs => "inputs",
        }
    }
}

/// How a table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableAs {
    /// Text, commas between.
    Csv,
    /// Columns for other programs.
    Parquet,
}

impl TableAs {
    /// Letters after the dot.
    pub const fn extension(self) -> &'static str {
        match self {
            TableAs::Csv => "csv",
            TableAs::Parquet => "parquet",
        }
    }
}

/// What of a study is taken out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StudyExport {
    /// A picture as SVG.
    Drawing(StudyPicture),
    /// A picture as PNG.
    Picture(StudyPicture),
    /// Every ear with how it ended.
    Ears(TableAs),
    /// A table of what was found.
    Summary(SummaryTable, TableAs),
    /// The report on two pages.
    Report,
    /// The question, to be asked again here or on other machines.
    StudyFile,
}

impl StudyExport {
    /// Letters after the dot.
    pub const fn extension(self) -> &'static str {
        match self {
            StudyExport::Drawing(_) => "svg",
            StudyExport::Picture(_) => "png",
            StudyExport::Ears(as_what) | StudyExport::Summary(_, as_what) => as_what.extension(),
            StudyExport::Report => "pdf",
            StudyExport::StudyFile => "ron",
        }
    }

    /// For a file's name.
    pub const fn name(self) -> &'static str {
        match self {
            StudyExport::Drawing(picture) | StudyExport::Picture(picture) => picture.name(),
            StudyExport::Ears(_) => "ears",
            StudyExport::Summary(table, _) => match table {
                SummaryTable::Sequences => "sequences",
                SummaryTable::Convergence => "curve",
                SummaryTable::Grid => "map",
                SummaryTable::Inputs => "inputs",
                SummaryTable::WorstEars => "worst-ears",
            },
            StudyExport::Report => "report",
            StudyExport::StudyFile => "study",
        }
    }
}
