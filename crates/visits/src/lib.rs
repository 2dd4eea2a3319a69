//! A visit: what is carried there on paper, what was driven, what came of it.
//!
//! [`sheet_of`] sums up one manoeuvre or test on one or two pages, [`write_sheet`] writes it as a PDF or
//! an SVG drawing; [`write_report`] sets anybody's text, tables and pictures on pages. The
//! only crate that knows of PDF and of the log's data base.

mod error;
mod figures;
mod log;
mod plan;
mod report;
mod ron_file;
mod sheet;
mod trace;

pub use error::VisitError;
pub use figures::{
    Figures, HomeFigures, HomesModel, Interval, PeriodPrevalence, Proportion, Sessions, exact,
    figures_of, figures_svg, homes_model, period_prevalence, wilson,
};
pub use log::{
    Affected, Code, CodeError, Date, DateError, Log, LogError, LoggedVisit, SeenTest, Table,
    Treatment, TreatmentEnd, Visit, default_log_path, export_log, visit_from_ron,
};
pub use plan::{
    Balance, BodySize, Caution, ClearedShare, Course, DayPlan, Fit, MassCentre, Patient,
    PatientError, PatientPlan, PlannedTest, Refusal, ShareRow, ShareTable, SideEffect, Slowed,
    Suspected, VisitPlan, balance, fit_of, mass_centre, plan_from_ron, plan_of, tests_for,
    treatments_for, write_plan,
};
pub use report::{
    Curves, DotArray, DotGroup, DotShape, Map, PaperCurve, PaperTable, Report, ReportPart,
    report_pages, write_report,
};
pub use sheet::{
    ControlTest, Face, Ink, LessonPage, Mark, OtherCanal, Page, PageLane, Paper, Sheet, SheetStep,
    lesson_page, moves_debris, pages_of, pdf_of, sheet_of, svg_of, usual_cautions,
    write_lesson_page, write_sheet,
};
pub use trace::{
    Problem, ProblemKind, Reading, Recorded, Rerun, Sensor, SensorApart, Trace, angles_of,
    read_trace, rerun, trace_from_csv,
};
