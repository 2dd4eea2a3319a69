//! A study that goes on from what a window that was killed has kept.

use std::{path::Path, sync::Arc};

use egui::{Key, Theme, vec2};
use egui_kittest::kittest::Queryable as _;
use lithodrome_app::{
    session::command::{Command, VariantCommand},
    variant::desk::Found,
};

use crate::hands::{press, session, type_into};
use crate::{alone, answered, open};

/// Asks what the open sequence does in twelve ears, in a window of its own that keeps its rows in this folder.
fn twelve_ears(folder: &Path) -> Arc<Found> {
    let mut window = open(vec2(1440.0, 1400.0), Theme::Light, false);
    let keep = VariantCommand::KeepIn(folder.to_owned());
    window.state_mut().ask(Command::Variant(keep));
    type_into(&mut window, "Ears", "12", Key::Enter);
    press(&mut window, "Start");
    answered(&mut window);
    let found = session(&window).variant.found.clone().unwrap();
    if found.kept > 0 {
        window.get_by_label_contains("kept from before");
    }
    found
}

/// A window that was killed in the middle of a study has its rows up to there: cut off in the middle of a line.
#[test]
fn a_study_goes_on_from_what_a_killed_window_has_kept() {
    let _alone = alone();
    let folder = tempfile::tempdir().unwrap();
    let first = twelve_ears(folder.path());
    assert_eq!((first.done(), first.kept), (12, 0));
    let mut studies = std::fs::read_dir(folder.path().join("studies")).unwrap();
    let own = studies.next().unwrap().unwrap().path();
    let rows = own.join("part-00001-of-00001.rows");
    let text = std::fs::read_to_string(&rows).unwrap();
    let seventh = text.match_indices('\n').nth(8).unwrap().0;
    std::fs::write(&rows, &text[..seventh - 3]).unwrap();
    let second = twelve_ears(folder.path());
    assert_eq!((second.done(), second.kept), (12, 6));
    assert_eq!(second.rows, first.rows);
    assert_eq!(std::fs::read_to_string(&rows).unwrap(), text);
    let third = twelve_ears(folder.path());
    assert_eq!((third.kept, &third.rows), (12, &first.rows));
}
