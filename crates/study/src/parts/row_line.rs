//! A row as a line of text, and back exactly.

use lithodrome_labyrinth::{Canal, Region};

use crate::runs::{Ended, Row, RunEnd};

/// Names of the fields, as the second line of a part's file.
pub(super) const HEADER: &str =
    "index\tsequence\tend\tregion\tarc_mm\texit_s\texit_step\tspare_s\tmiss_mm\tmiss_s\terror";

/// The row in one line; numbers have as many digits as they need to be read back exactly.
pub(super) fn row_line(row: &Row) -> String {
    let place = format!("{}\t{}", row.index, row.sequence);
    match &row.end {
        Ok(end) => format!(
            "{place}\t{}\t{}\t{:?}\t{}\t{}\t{}\t{}\t{}\t",
            end.word.name(),
            end.region.name(),
            end.arc_mm,
            optional(end.exit_s.map(|s| format!("{s:?}"))),
            optional(end.exit_step.map(|s| s.to_string())),
            optional(end.spare_s.map(|s| format!("{s:?}"))),
            optional(end.nearest_miss_mm.map(|mm| format!("{mm:?}"))),
            optional(end.nearest_miss_s.map(|s| format!("{s:?}"))),
        ),
        Err(reason) => {
            // A line and its fields stay what they are, whatever the message says.
            let told: Vec<&str> = reason.split_whitespace().collect();
            format!("{place}\tfailed\t\t\t\t\t\t\t\t{}", told.join(" "))
        }
    }
}

fn optional(text: Option<String>) -> String {
    text.unwrap_or_default()
}

/// The row that a line says; `None` if it says none.
pub(super) fn row_from_line(line: &str) -> Option<Row> {
    let fields: Vec<&str> = line.split('\t').collect();
    let [
        index,
        sequence,
        word,
        region,
        arc_mm,
        exit_s,
        exit_step,
        spare_s,
        miss_mm,
        miss_s,
        error,
    ] = <[&str; 11]>::try_from(fields).ok()?;
    let end = if word == "failed" {
        Err(error.to_owned())
    } else {
        Ok(Ended {
            word: RunEnd::ALL.into_iter().find(|w| w.name() == word)?,
            region: regions().find(|r| r.name() == region)?,
            arc_mm: arc_mm.parse().ok()?,
            exit_s: read_optional(exit_s).ok()?,
            exit_step: read_optional(exit_step).ok()?,
            spare_s: read_optional(spare_s).ok()?,
            nearest_miss_mm: read_optional(miss_mm).ok()?,
            nearest_miss_s: read_optional(miss_s).ok()?,
        })
    };
    Some(Row {
        index: index.parse().ok()?,
        sequence: sequence.parse().ok()?,
        end,
    })
}

/// Nothing or a value.
fn read_optional<T: std::str::FromStr>(text: &str) -> Result<Option<T>, T::Err> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some)
}

fn regions() -> impl Iterator<Item = Region> {
    let ducts = Canal::ALL.into_iter().map(Region::Duct);
    let short_arms = Canal::ALL.into_iter().map(Region::ShortArm);
    ducts
        .chain(short_arms)
        .chain([Region::CommonCrus, Region::Utricle])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_read_back_exactly() {
        let ended = Row {
            index: 65535,
            sequence: 3,
            end: Ok(Ended {
                word: RunEnd::BehindCupula,
                region: Region::ShortArm(Canal::Posterior),
                arc_mm: -0.1 - 0.2,
                exit_s: Some(1.0 / 3.0),
                exit_step: Some(4),
                spare_s: None,
                nearest_miss_mm: Some(0.7),
                nearest_miss_s: Some(1e-17),
            }),
        };
        let failed = Row {
            index: 0,
            sequence: 0,
            end: Err("ear: parts\ttouch\nhere".to_owned()),
        };
        assert_eq!(row_from_line(&row_line(&ended)), Some(ended));
        let read = row_from_line(&row_line(&failed)).unwrap();
        assert_eq!(read.end, Err("ear: parts touch here".to_owned()));
        for spoilt in ["", "1\t2", "1\t2\tcleared\tnowhere\t0\t\t\t\t"] {
            assert_eq!(row_from_line(spoilt), None, "{spoilt}");
        }
    }
}
