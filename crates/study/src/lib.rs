//! Many runs, on as many threads as there are; the same results whatever their number.
//!
//! A [`CaseMixture`] says how ears, debris and operators differ; [`compute`] runs sequences in the cases
//! that an index and a seed give; [`summary`] and its neighbours sum the rows up. A [`StudyFile`] asks for
//! all of it.

mod constrain;
mod error;
mod export;
mod findings;
mod matrix;
mod members;
mod outcome_map;
mod paired;
mod parts;
mod population;
mod residents;
mod robustness;
mod ron_text;
mod runs;
mod search;
mod statistics;
mod study_file;
mod sweep;

pub use constrain::*;
pub use error::StudyError;
pub use export::{SummaryTable, write_csv, write_json, write_parquet, write_summary};
pub use findings::*;
pub use matrix::{Cell, all_cases, matrix};
pub use members::*;
pub use outcome_map::{
    Carried, CellEnds, ClearedRow, DoneBy, HoldShare, MapCell, MapEar, MapQuestion, OutcomeMap,
    Provenance, Ranked, SIZE_CLASSES_UM, Treatment, carried, cell_ends, cleared_rows,
    holds_on_cupula, map_ear, map_from_csv, other_side, outcome_map, ranked, shares_by_hold,
    shipped_map, treatments, write_map,
};
pub use paired::{Comparison, Strain, compare};
pub use parts::{PartFile, PartNumber, head_line, merge, part_files, run_part};
pub use population::{
    CaseDraw, CaseMixture, CountShare, DebrisMixture, EarMixture, MOST_EARS, OperatorNoise,
    PlaceShare, PlaneShare, Population, Spread, StartPlace, USUAL, UnitPoint, normal_deviate,
};
pub use residents::{ResidentResult, ResidentRow, Residents, residents};
pub use robustness::{
    Counts, FailedRun, Sensitivity, Shares, StepExits, Summary, WorstEar, summary,
};
pub use runs::{
    Ended, Judging, Progress, Question, Row, RunEnd, Sequence, compute, scenario_of, write_case,
};
pub use search::*;
pub use statistics::{Difference, Pairs, Quantiles, REPLICATES, Share, effect, first_order};
pub use study_file::{STUDY_FORMAT, Study, StudyCase, StudyFile, StudyReport, report};
pub use sweep::{Segment, SweepAxis, SweepReport, Vary, contour};
