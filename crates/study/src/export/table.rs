//! Rows and inputs of a study as columns, with units in their names.

use crate::StudyError;
use crate::runs::Row;
use crate::study_file::Study;

/// One column of a table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    /// Name, with its unit.
    pub(super) name: String,
    /// Values, `[row]`.
    pub(super) values: Values,
}

/// Values of one kind; `None` where there is none.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Values {
    Whole(Vec<Option<i32>>),
    Number(Vec<Option<f64>>),
    Text(Vec<Option<String>>),
}

impl Values {
    /// How many rows.
    pub(super) fn len(&self) -> usize {
        match self {
            Values::Whole(values) => values.len(),
            Values::Number(values) => values.len(),
            Values::Text(values) => values.len(),
        }
    }
}

/// Where a table is from, as names and values.
pub(super) fn provenance(study: &Study) -> Vec<(String, String)> {
    let of = |name: &str, value: String| (name.to_owned(), value);
    vec![
        of(
            "program",
            format!("lithodrome {}", env!("CARGO_PKG_VERSION")),
        ),
        of("caution", lithodrome_rehearsal::CAUTION.to_owned()),
        of("study", study.file.title.clone()),
        of("mixture", study.mixture.title.clone()),
        of("anatomy", study.anatomy.name.clone()),
        of("canal", study.canal().name()),
        of("ears", study.file.n.to_string()),
        of("seed", study.file.seed.to_string()),
    ]
}

/// All rows as columns: how each run ended, then what its ear and debris were.
pub(super) fn columns(study: &Study, rows: &[Row]) -> Result<Vec<Column>, StudyError> {
    let question = study.question()?;
    let column = |name: &str, values| Column {
        name: name.to_owned(),
        values,
    };
    let ended = |value: fn(&crate::runs::Ended) -> Option<f64>| {
        Values::Number(
            rows.iter()
                .map(|row| row.end.as_ref().ok().and_then(value))
                .collect(),
        )
    };
    let text =
        |value: &dyn Fn(&Row) -> Option<String>| Values::Text(rows.iter().map(value).collect());
    let name_of = |row: &Row| {
        let sequence = question.sequences.get(row.sequence as usize);
        sequence.map(|s| s.name.clone())
    };
    let mut all = vec![
        column(
            "ear_index",
            Values::Whole(
                rows.iter()
                    .map(|row| i32::try_from(row.index).ok())
                    .collect(),
            ),
        ),
        column("sequence", text(&name_of)),
        column(
            "end",
            text(&|row| {
                Some(
                    row.end
                        .as_ref()
                        .map_or("failed", |e| e.word.name())
                        .to_owned(),
                )
            }),
        ),
        column(
            "end_region",
            text(&|row| Some(row.end.as_ref().ok()?.region.name().to_owned())),
        ),
        column("end_arc_mm", ended(|end| Some(end.arc_mm))),
        column("exit_s", ended(|end| end.exit_s)),
        column(
            "exit_step",
            Values::Whole(
                rows.iter()
                    .map(|row| i32::try_from(row.end.as_ref().ok()?.exit_step?).ok())
                    .collect(),
            ),
        ),
        column("spare_s", ended(|end| end.spare_s)),
        column("nearest_miss_mm", ended(|end| end.nearest_miss_mm)),
        column("nearest_miss_s", ended(|end| end.nearest_miss_s)),
        column("error", text(&|row| row.end.as_ref().err().cloned())),
    ];
    all.extend(input_columns(&question, rows));
    Ok(all)
}

/// What each row's case differs by; drawn once per ear.
fn input_columns(question: &crate::runs::Question, rows: &[Row]) -> Vec<Column> {
    let mut columns: Vec<(String, Vec<Option<f64>>)> = Vec::new();
    let mut last: Option<(u32, Vec<(String, f64)>)> = None;
    for row in rows {
        let drawn = last.as_ref().is_some_and(|(index, _)| *index == row.index);
        if !drawn {
            last = Some((row.index, question.population.draw(row.index).inputs()));
        }
        let Some((_, inputs)) = &last else { continue };
        if columns.is_empty() {
            columns = inputs.iter().map(|i| (i.0.clone(), Vec::new())).collect();
        }
        for (column, (_, value)) in columns.iter_mut().zip(inputs) {
            column.1.push(Some(*value));
        }
    }
    columns
        .into_iter()
        .map(|(name, values)| Column {
            name,
            values: Values::Number(values),
        })
        .collect()
}
