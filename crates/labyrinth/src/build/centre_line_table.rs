//! Centre-line tables as text: reading, with every row judged by itself, and writing.
//!
//! A table has the header `canal,x,y,z,radius` and one row for each point of a centre-line: Reid axes
//! and mm from the middle between the ear canals, radius of the lumen there in mm. Rows of one line
//! stand together, in the order of its course:
//! `anterior` and `posterior` from the ampulla's mouth in the utricle over the cupula (the widest row)
//! to the common crus, `lateral` to its opening into the utricle, `crus` from its top to the utricle.
//! Four rows `utricle` may follow: its centre and the tips of its long, wide and high half axis (the
//! radius is not used); without them the mean adult's utricle is laid between the openings.
//! A table describes one ear, left of the middle (y > 0) or right of it; the other is its mirror image.

use std::fmt::Write;

use csv::{ReaderBuilder, Trim};

use crate::{AnatomyError, Canal, EarShape, Vec3};

/// Names of the first column, in the order of [`Table::lines`].
pub(crate) const NAMES: [&str; 5] = ["anterior", "lateral", "posterior", "crus", "utricle"];
const HEADER: [&str; 5] = ["canal", "x", "y", "z", "radius"];
/// Rows read at most.
const MOST_ROWS: usize = 20_000;

/// One row.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    /// Line in the file, from 1.
    pub(crate) line: u64,
    pub(crate) at: Vec3,
    pub(crate) radius: f64,
}

/// All rows by name.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    pub(crate) lines: [Vec<Point>; 5],
}

impl Table {
    pub(crate) fn read(text: &str) -> Result<Table, AnatomyError> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .trim(Trim::All)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let mut table = Table::default();
        let mut current = usize::MAX;
        let mut rows = 0;
        for record in reader.records() {
            let record = record.map_err(|e| row(line_of(&e), reason_of(&e)))?;
            let line = record.position().map_or(0, csv::Position::line);
            if rows == 0 {
                if record.iter().ne(HEADER) {
                    let found = record.iter().collect::<Vec<_>>().join(",");
                    let found = told(&found);
                    let reason = format!("header: found {found}, allowed is {}", HEADER.join(","));
                    return Err(row(line, reason));
                }
                rows += 1;
                continue;
            }
            rows += 1;
            if rows > MOST_ROWS {
                let reason = format!("found more than {MOST_ROWS} rows, allowed are {MOST_ROWS}");
                return Err(row(line, reason));
            }
            let which = NAMES.iter().position(|n| *n == &record[0]).ok_or_else(|| {
                let allowed = NAMES.join(", ");
                row(
                    line,
                    format!("canal: found {}, allowed is {allowed}", told(&record[0])),
                )
            })?;
            if which != current && !table.lines[which].is_empty() {
                let name = NAMES[which];
                let reason = format!("rows of {name} must stand together, found more of them");
                return Err(row(line, reason));
            }
            current = which;
            let number = |i: usize| number(line, HEADER[i], &record[i]);
            table.lines[which].push(Point {
                line,
                at: Vec3::new(number(1)?, number(2)?, number(3)?),
                radius: number(4)?,
            });
        }
        if rows == 0 {
            return Err(row(
                1,
                format!("header: found nothing, allowed is {}", HEADER.join(",")),
            ));
        }
        Ok(table)
    }
}

/// What was found, at most 80 characters of it, with what would move or turn the text of a message as escapes.
fn told(found: &str) -> String {
    let short: String = found.chars().take(80).collect();
    short.escape_debug().to_string()
}

fn number(line: u64, column: &str, text: &str) -> Result<f64, AnatomyError> {
    let allowed = if column == "radius" {
        0.0..=20.0
    } else {
        -100.0..=100.0
    };
    match text.parse::<f64>() {
        Ok(x) if allowed.contains(&x) => Ok(x),
        _ => {
            let (least, most) = (allowed.start(), allowed.end());
            let text = told(text);
            let reason = format!("{column}: found {text}, allowed is {least} to {most} mm");
            Err(row(line, reason))
        }
    }
}

fn row(line: u64, reason: impl Into<String>) -> AnatomyError {
    AnatomyError::Row {
        line,
        reason: reason.into(),
    }
}

fn line_of(error: &csv::Error) -> u64 {
    error.position().map_or(1, csv::Position::line)
}

/// What the reader found wrong, without its own account of the place.
fn reason_of(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::UnequalLengths { len, .. } => {
            format!("found {len} columns, allowed are 5: {}", HEADER.join(","))
        }
        _ => "it is not text in columns".to_owned(),
    }
}

impl EarShape {
    /// The ear as a centre-line table, with about `spacing_mm` between its rows.
    pub fn centre_lines_csv(&self, spacing_mm: f64) -> String {
        let mut text = format!("{}\n", HEADER.join(","));
        let mut add = |name: &str, p: Vec3, radius: f64| {
            // Writing to a string does not fail.
            let _ = writeln!(text, "{name},{:.6},{:.6},{:.6},{radius:.6}", p.x, p.y, p.z);
        };
        let mut follow = |name: &str, canal: Canal, from: f64, to: f64, skip_first: bool| {
            let n = ((to - from) / spacing_mm).ceil().max(1.0);
            for i in usize::from(skip_first)..=n as usize {
                let (p, _, radius) = self.tube(canal).at(from + (to - from) * i as f64 / n);
                add(name, p, radius);
            }
        };
        for canal in Canal::ALL {
            let marks = self.canal(canal).landmarks;
            // A row stands at the cupula itself.
            follow(canal.name(), canal, marks.port_mm, 0.0, false);
            follow(canal.name(), canal, 0.0, marks.duct_end_mm, true);
        }
        let marks = self.canal(Canal::Anterior).landmarks;
        follow(
            "crus",
            Canal::Anterior,
            marks.duct_end_mm,
            marks.opening_mm,
            false,
        );
        let u = &self.utricle;
        add("utricle", u.centre_in_reid_mm, 0.0);
        for (axis, semi) in u.axes_in_reid.iter().zip(u.semi_axes_mm) {
            add("utricle", u.centre_in_reid_mm + axis * semi, 0.0);
        }
        text
    }
}
