//! The log of visits: written, read, told as figures, exported, copied.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::{Mechanism, write_whole};
use lithodrome_visits::{
    Affected, Code, Date, Log, LogError, SeenTest, Table, Treatment, Visit, export_log, figures_of,
    figures_svg,
};

use super::state::{LogForm, Told, VisitState};

/// Lengths of an episode that the figures are told for, days: the median of von Brevern 2007 (JNNP
/// 78:710) and the mean of an untreated posterior canal of Imai 2005.
const EPISODE_DAYS: [f64; 2] = [14.0, 39.0];

impl VisitState {
    /// The log, opened if need be; one that another window held is tried again.
    fn open_log(&mut self) -> Result<&mut Log, LogError> {
        let path = self.place()?.join("visits.sqlite");
        let kept = self
            .log
            .take()
            .filter(|log| !log.is_read_only() && log.path() == path);
        let log = match kept {
            Some(log) => log,
            None => Log::open(&path)?,
        };
        Ok(self.log.insert(log))
    }

    pub(super) fn log(&mut self) -> Told {
        let visit = match self.entry() {
            Ok(visit) => visit,
            Err(words) => return Told::Failed(words),
        };
        match self.open_log().and_then(|log| log.add(&visit)) {
            Ok(id) => {
                self.log_form = LogForm::default();
                Told::Done(format!("Visit {id} is in the log: {}", visit.patient))
            }
            Err(e) => Told::Failed(e.to_string()),
        }
    }

    /// What the form says as an entry of the log, or what is wrong.
    fn entry(&self) -> Result<Visit, String> {
        let form = &self.log_form;
        let planned = self
            .planned
            .get(form.patient)
            .ok_or("patient: found none, allowed is one of the planned patients")?;
        let suspected = &planned.patient.suspected;
        let mechanism = |found: (_, _)| {
            let same = suspected.iter().find(|s| (s.ear, s.canal) == found);
            same.and_then(|s| s.mechanism)
                .unwrap_or(Mechanism::AmpullaryArm)
        };
        // One manoeuvre for each canal, in order; further ones go to the last.
        let treated: Vec<_> = if form.found.is_empty() {
            suspected.iter().map(|s| (s.ear, s.canal)).collect()
        } else {
            form.found.clone()
        };
        let done = form
            .treatments
            .iter()
            .filter(|t| !t.manoeuvre.trim().is_empty());
        let mut treatments = Vec::new();
        for (i, done) in done.enumerate() {
            let last = treated.len().saturating_sub(1);
            let (ear, canal) = *treated.get(i.min(last)).ok_or(
                "canal: found none, allowed is a canal in which debris was found or suspected, as a manoeuvre was done",
            )?;
            let manoeuvre = done.manoeuvre.trim().to_owned();
            let end = done.end.ok_or_else(|| {
                format!("outcome of {manoeuvre}: found none, allowed is one of the list")
            })?;
            treatments.push(Treatment {
                manoeuvre,
                ear,
                canal,
                end,
            });
        }
        Ok(Visit {
            date: Date::new(&self.day.date).map_err(|e| e.to_string())?,
            home: Code::new(&self.day.home).map_err(|e| format!("home: {e}"))?,
            patient: planned.patient.code.clone(),
            minutes: form.minutes,
            seen: vec![SeenTest {
                test: form.test.trim().to_owned(),
                words: form.seen.trim().to_owned(),
            }],
            affected: form
                .found
                .iter()
                .map(|&(ear, canal)| Affected {
                    ear,
                    canal,
                    mechanism: mechanism((ear, canal)),
                })
                .collect(),
            treatments,
        })
    }

    pub(super) fn read_figures(&mut self) {
        match self.open_log().and_then(|log| log.visits()) {
            Ok(visits) => self.figures = Some(figures_of(&visits, &EPISODE_DAYS)),
            Err(e) => self.told = Some(Told::Failed(e.to_string())),
        }
    }

    pub(super) fn export(&mut self, table: Table) -> Told {
        let stem = match table {
            Table::Csv => "visits",
            Table::Spreadsheet => "visits-spreadsheet",
        };
        self.told_of("The table is in", stem, "csv", |log, path| {
            export_log(log, table, path)
        })
    }

    pub(super) fn back_up(&mut self) -> Told {
        self.told_of("The copy is in", "visits-copy", "sqlite", Log::back_up_to)
    }

    pub(super) fn save_plot(&mut self) -> Told {
        self.told_of("The plot is in", "prevalence", "svg", |log, path| {
            let drawn = figures_svg(&figures_of(&log.visits()?, &EPISODE_DAYS));
            write_whole(path, |w| w.write_all(drawn.as_bytes()))
                .map_err(|e| LogError::File(e.into()))
        })
    }

    /// Writes something of the log into a new file beside it.
    fn told_of(
        &mut self,
        words: &str,
        stem: &str,
        ending: &str,
        write: impl FnOnce(&Log, &Path) -> Result<(), LogError>,
    ) -> Told {
        let written = self.place().and_then(|folder| {
            let folder = folder.join("exports");
            std::fs::create_dir_all(&folder).map_err(|e| {
                LogError::File(lithodrome_visits::VisitError::Write {
                    path: folder.clone(),
                    reason: e.to_string(),
                })
            })?;
            let path = unused(&folder, stem, ending);
            write(self.open_log()?, &path)?;
            Ok(path)
        });
        match written {
            Ok(path) => Told::Done(format!("{words} {}", path.display())),
            Err(e) => Told::Failed(e.to_string()),
        }
    }
}

/// The first of "stem.ending", "stem-2.ending" and so on that is not there yet.
fn unused(folder: &Path, stem: &str, ending: &str) -> PathBuf {
    let name = |i: u32| match i {
        1 => folder.join(format!("{stem}.{ending}")),
        i => folder.join(format!("{stem}-{i}.{ending}")),
    };
    let mut i = 1;
    while name(i).exists() {
        i += 1;
    }
    name(i)
}
