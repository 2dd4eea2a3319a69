//! The map as a data file: lines that begin with `#` say where it is from, then one line for every cell
//! with one letter for every ear.

use std::path::Path;

use lithodrome_labyrinth::Canal;
use lithodrome_rehearsal::{CAUTION, Mechanism};

use super::{MapCell, OutcomeMap, Provenance};
use crate::StudyError;
use crate::runs::RunEnd;

const HEADER: [&str; 6] = ["manoeuvre", "canal", "place", "from_um", "to_um", "ends"];

/// The map that is shipped.
///
/// # Errors
/// None with the shipped file.
pub fn shipped_map() -> Result<OutcomeMap, StudyError> {
    let text = include_str!("../../../../assets/outcome-map/usual.csv");
    map_from_csv(text, Path::new("outcome-map/usual.csv"))
}

/// The map in a text; `path` is where it is from.
pub fn map_from_csv(text: &str, path: &Path) -> Result<OutcomeMap, StudyError> {
    let unusable = |reason: String| StudyError::Part {
        path: path.to_owned(),
        reason,
    };
    let told = |name: &str| {
        let line = text
            .lines()
            .take_while(|l| l.starts_with('#'))
            .find_map(|l| {
                let (found, value) = l.trim_start_matches('#').split_once(':')?;
                (found.trim() == name).then(|| value.trim().to_owned())
            });
        line.ok_or_else(|| unusable(format!("has no line \"# {name}: …\"")))
    };
    let number = |name: &str| {
        let value = told(name)?;
        let number = value.parse::<u32>();
        number.map_err(|_| unusable(format!("# {name}: found {value}, allowed is a number")))
    };
    let provenance = Provenance {
        version: told("version")?,
        model: number("model").unwrap_or(1),
        mixture: told("mixture")?,
        anatomy: told("anatomy")?,
        seed: number("seed")?,
        ears: number("ears")?,
    };
    let mut table = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut cells = Vec::new();
    for record in table.records() {
        let record = record.map_err(|e| unusable(e.to_string()))?;
        let line = record.position().map_or(0, csv::Position::line);
        let cell = cell_of(&record).filter(|c| c.ends.len() == provenance.ears as usize);
        cells.push(cell.ok_or_else(|| unusable(format!("line {line}: is not a cell of a map")))?);
    }
    Ok(OutcomeMap { provenance, cells })
}

fn cell_of(record: &csv::StringRecord) -> Option<MapCell> {
    let [manoeuvre, canal, place, from_um, to_um, ends] = [0, 1, 2, 3, 4, 5].map(|i| record.get(i));
    let ends: Option<Vec<_>> = ends?.chars().map(end_of_letter).collect();
    let (ends, switched_to) = ends?.into_iter().unzip();
    Some(MapCell {
        manoeuvre: manoeuvre?.to_owned(),
        canal: Canal::ALL.into_iter().find(|c| Some(c.name()) == canal)?,
        place: Mechanism::ALL
            .into_iter()
            .find(|m| Some(m.name()) == place)?,
        size_um: (from_um?.parse().ok()?, to_um?.parse().ok()?),
        ends,
        switched_to,
    })
}

/// Writes a map.
pub fn write_map(map: &OutcomeMap, path: &Path) -> Result<(), StudyError> {
    lithodrome_rehearsal::write_whole(path, |out| {
        let Provenance {
            version,
            model,
            mixture,
            anatomy,
            seed,
            ears,
        } = &map.provenance;
        for (name, value) in [
            ("version", version.clone()),
            ("model", model.to_string()),
            ("mixture", mixture.clone()),
            ("anatomy", anatomy.clone()),
            ("seed", seed.to_string()),
            ("ears", ears.to_string()),
            ("letters", letters()),
            ("caution", CAUTION.to_owned()),
        ] {
            writeln!(out, "# {name}: {value}")?;
        }
        let mut table = csv::Writer::from_writer(out);
        table.write_record(HEADER)?;
        for cell in &map.cells {
            let ears = cell.ends.iter().zip(&cell.switched_to);
            let ends: String = ears.map(|(end, to)| letter(*end, *to)).collect();
            table.write_record([
                &cell.manoeuvre,
                cell.canal.name(),
                cell.place.name(),
                &cell.size_um.0.to_string(),
                &cell.size_um.1.to_string(),
                &ends,
            ])?;
        }
        table.flush()
    })?;
    Ok(())
}

/// The letter of an end; a small one says which canal debris switched to.
fn letter(end: Option<RunEnd>, switched_to: Option<Canal>) -> char {
    match (end, switched_to) {
        (Some(RunEnd::Switched), Some(Canal::Anterior)) => 'a',
        (Some(RunEnd::Switched), Some(Canal::Lateral)) => 'l',
        (Some(RunEnd::Switched), Some(Canal::Posterior)) => 'p',
        (Some(RunEnd::Switched), None) => 'S',
        (Some(RunEnd::Cleared), _) => 'C',
        (Some(RunEnd::BehindCupula), _) => 'B',
        (Some(RunEnd::Inside), _) => 'I',
        (Some(RunEnd::Held), _) => 'H',
        (Some(RunEnd::Passing), _) => 'P',
        (None, _) => 'F',
    }
}

fn letters() -> String {
    let words = RunEnd::ALL.map(|end| format!("{} {}", letter(Some(end), None), end.name()));
    let into = Canal::ALL.map(|canal| {
        let found = letter(Some(RunEnd::Switched), Some(canal));
        format!("{found} switched to the {} canal", canal.name())
    });
    format!(
        "{}, {}, F failed; one letter an ear",
        words.join(", "),
        into.join(", ")
    )
}

/// The end of a letter and the canal that debris switched to; the outer `None` for one that is no end's.
fn end_of_letter(found: char) -> Option<(Option<RunEnd>, Option<Canal>)> {
    let ends = RunEnd::ALL.map(|end| (Some(end), None));
    let into = Canal::ALL.map(|canal| (Some(RunEnd::Switched), Some(canal)));
    let mut all = ends.into_iter().chain(into).chain([(None, None)]);
    all.find(|(end, to)| letter(*end, *to) == found)
}
