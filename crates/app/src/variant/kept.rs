//! Rows of a study kept on disk while it is computed, so that a window that was closed or killed goes on from there.

use std::{
    fs,
    hash::{DefaultHasher, Hash as _, Hasher as _},
    path::Path,
    time::SystemTime,
};

use lithodrome_study::{PartFile, PartNumber, Study, head_line};

/// All of it is one part.
const WHOLE: PartNumber = PartNumber { part: 1, of: 1 };
/// So many studies are kept, the last ones.
const MOST: usize = 8;
/// The folder of all of them beside the ears that were opened.
const STUDIES: &str = "studies";

/// The file of this study's rows in `folder`. Nothing is kept where it cannot be written: the study is computed anyway.
pub(super) fn file_of(study: &Study, folder: &Path) -> Option<PartFile> {
    let head = head_line(study, WHOLE).ok()?;
    let mut hasher = DefaultHasher::new();
    head.hash(&mut hasher);
    let studies = folder.join(STUDIES);
    let own = studies.join(format!("{:016x}", hasher.finish()));
    let file = PartFile::open(study, WHOLE, &own).ok()?;
    take_away_oldest(&studies, &own);
    Some(file)
}

/// Leaves the last few studies, `own` among them.
fn take_away_oldest(studies: &Path, own: &Path) {
    let Ok(entries) = fs::read_dir(studies) else {
        return;
    };
    let written = |path: &Path| {
        let newest = fs::read_dir(path).ok()?;
        let times = newest.filter_map(|entry| entry.ok()?.metadata().ok()?.modified().ok());
        times.max()
    };
    let mut others: Vec<_> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path != own && path.is_dir())
        .map(|path| (written(&path).unwrap_or(SystemTime::UNIX_EPOCH), path))
        .collect();
    others.sort();
    let over = (others.len() + 1).saturating_sub(MOST);
    for (_, path) in others.iter().take(over) {
        // What cannot be removed is looked at again the next time.
        let _ = fs::remove_dir_all(path);
    }
}
