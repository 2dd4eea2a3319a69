//! Takes a study out: pictures, tables, the report, the question.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use eframe::egui_wgpu::RenderState;
use egui::Theme;
use lithodrome_rehearsal::{check_output, write_scenario};
use lithodrome_study::{Searched, Study, write_csv, write_parquet, write_summary};
use lithodrome_visits::{Paper, write_report};

use super::{
    Export, ExportError, Pictured, caption,
    studio::{Look, Studio},
    svg, written,
};
use crate::{
    session::Session,
    variant::{
        asked::{OPEN_SCENARIO, study_of},
        desk::Found,
        form::Limits,
        picture::{picture_ui, size},
        printed::report_of,
        taken_out::{StudyExport, StudyPicture, TableAs},
    },
};

/// What a picture or report needs to know.
struct Shown {
    found: Arc<Found>,
    sequence: usize,
    limits: Limits,
    searched: Option<Arc<Searched>>,
}

/// Starts to save.
pub(super) fn start(session: &mut Session, export: StudyExport, path: &Path, theme: Theme) {
    let variant = &session.variant;
    let found = variant.found.clone();
    let (sequence, limits) = (variant.shown_sequence(), variant.form.limits);
    let searched = variant.searching.searched.clone();
    let draft = session.draft.as_ref().map(|d| d.scenario().clone());
    let form = variant.form.clone();
    let card = session.export.card.clone();
    let taken = Export::Study(export);
    let inputs = session.files_open();
    session.export.start(taken, path, move |path, go_on| {
        check_output(path, &inputs, true)?;
        if export == StudyExport::StudyFile {
            let study = study_of(&form, draft.as_deref());
            let study = study.map_err(|reason| ExportError::Study { reason })?;
            written::unless_stopped(go_on)?;
            return question(study, path);
        }
        let found = found.ok_or_else(|| ExportError::Study {
            reason: "there is no result to save; ask a question first".to_owned(),
        })?;
        let shown = Shown {
            found,
            sequence,
            limits,
            searched,
        };
        save(&shown, export, path, card.as_ref(), theme, go_on)
    });
}

fn save(
    shown: &Shown,
    export: StudyExport,
    path: &Path,
    card: Option<&RenderState>,
    theme: Theme,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    // Tables and reports are written in one go; stopped later, they say that they were.
    written::unless_stopped(go_on)?;
    let Found {
        study,
        rows,
        report,
        ..
    } = &*shown.found;
    let failed = |e: lithodrome_study::StudyError| ExportError::Study {
        reason: e.to_string(),
    };
    match export {
        StudyExport::Drawing(picture) => {
            let size = size(picture, &shown.found);
            let text = svg::drawing(size, &|ui| draw(ui, shown, picture));
            written::text(path, &text, go_on)
        }
        StudyExport::Picture(picture) => {
            let card = card.ok_or(ExportError::NoCard)?;
            let look = Look {
                pictured: Pictured::Window,
                theme,
                size: size(picture, &shown.found),
                scale: 2.0,
            };
            let drawn = Studio::new(card, look).drawn(&|ui| draw(ui, shown, picture))?;
            written::png(path, &drawn, go_on)
        }
        StudyExport::Ears(TableAs::Csv) => write_csv(study, rows, path).map_err(failed),
        StudyExport::Ears(TableAs::Parquet) => write_parquet(study, rows, path).map_err(failed),
        StudyExport::Summary(table, _) => write_summary(study, report, table, path).map_err(failed),
        StudyExport::Report => {
            let report = report_of(&shown.found, &shown.limits, shown.searched.as_deref());
            written::unless_stopped(go_on)?;
            write_report(&report, Paper::A4, path).map_err(|e| ExportError::Study {
                reason: e.to_string(),
            })
        }
        StudyExport::StudyFile => Ok(()),
    }
}

fn draw(ui: &mut egui::Ui, shown: &Shown, picture: StudyPicture) {
    // The title stands above; a long one would push the notice out.
    let caption = caption(&shown.found.study.canal().name());
    let (found, sequence) = (&shown.found, shown.sequence);
    picture_ui(ui, found, picture, sequence, &shown.limits, &caption);
}

/// The study file, and beside it the open scenario if it is asked about.
fn question(mut study: Study, path: &Path) -> Result<(), ExportError> {
    let place = study.file.sequences.iter().position(|n| n == OPEN_SCENARIO);
    let open = place.and_then(|i| Some((i, study.sequences.get(i)?.scenario.clone())));
    if let Some((i, scenario)) = open {
        let beside = free_beside(path);
        write_scenario(&scenario, &beside)?;
        let name = beside.file_name().unwrap_or_default().to_string_lossy();
        study.file.sequences[i] = name.into_owned();
    }
    study.file.write(path).map_err(|e| ExportError::Study {
        reason: e.to_string(),
    })
}

/// A name beside the study file that nothing has yet.
fn free_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let named = |n: u32| match n {
        1 => path.with_file_name(format!("{stem}-sequence.ron")),
        n => path.with_file_name(format!("{stem}-sequence-{n}.ron")),
    };
    let mut n = 1;
    while named(n).exists() {
        n += 1;
    }
    named(n)
}
