//! Editing without a screen: steps, undo, files, faults and recovery, found by accessible names.

#[path = "../hands/mod.rs"]
mod hands;
mod paths;
mod score_edges;

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use egui::{Key, Modifiers, Theme, accesskit::Role};
use egui_kittest::{Harness, SnapshotOptions, kittest::Queryable as _};
use hands::{Window, draft, session, settle};
use lithodrome_app::{
    session::Preferences,
    session::command::{
        CaseTab, Command, Dialog, EditCommand, FileCommand, PlayCommand, ViewCommand,
    },
    session::edit::{Edit, SettingEdit, StepsEdit},
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_rehearsal::{StepEntry, read_scenario};

fn open_in(first: Origin, drafts: Option<&Path>) -> Window {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let drafts = drafts.map(Path::to_owned);
    let mut window = Harness::builder()
        .with_size([1440.0, 900.0])
        .with_max_steps(64)
        .build_eframe(|cc| {
            let mut app = App::with_preferences(cc, first, preferences);
            if let Some(folder) = drafts {
                app.keep_drafts_in(&folder);
            }
            app
        });
    settle(&mut window);
    window
}

fn open(first: Origin) -> Window {
    open_in(first, None)
}

fn apply(window: &mut Window, command: Command) {
    window.state_mut().session.apply(command);
    settle(window);
}

/// Types a text into a field and leaves it by Enter.
fn type_into(window: &mut Window, name: &str, text: &str) {
    hands::type_into(window, name, text, Key::Enter);
}

/// An Epley in a folder of its own.
fn file_in(folder: &Path) -> PathBuf {
    let text = include_str!("../../../../scenarios/right-posterior-epley.ron");
    let path = folder.join("epley.ron");
    if let Err(error) = std::fs::write(&path, text) {
        panic!("{}: {error}", path.display());
    }
    path
}

#[test]
fn a_step_is_edited_undone_redone_saved_and_reopened() {
    let folder = tempfile::tempdir().unwrap();
    let path = file_in(folder.path());
    let before = read_scenario(&path).unwrap();
    let mut window = open(Origin::File(path.clone()));
    window.get_by_label("Column: Steps").click();
    window.run();
    type_into(&mut window, "Hold time of step 2", "12.5");
    let mut expected = before.clone();
    expected.steps[1].hold_s = 12.5;
    assert_eq!(draft(&window), expected);
    // 131 s less the 17.5 s that the hold is shorter.
    let shown = session(&window).shown.clone().unwrap();
    assert!((shown.duration_s() - 113.5).abs() < 1e-9);
    assert!(!session(&window).is_stale());
    window.get_by_label("not saved");

    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(draft(&window), before);
    assert!((session(&window).shown.as_ref().unwrap().duration_s() - 131.0).abs() < 1e-9);
    assert!(window.query_by_label("not saved").is_none());
    window.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    settle(&mut window);
    assert_eq!(draft(&window), expected);

    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut window);
    assert!(window.query_by_label("not saved").is_none());
    assert_eq!(read_scenario(&path).unwrap(), expected);
    drop(window);
    let mut window = open(Origin::File(path));
    window.key_press(Key::F3);
    window.run();
    let field = window.get_by_label("Hold time of step 2");
    assert_eq!(field.value().as_deref(), Some("12.5 s"));
}

#[test]
fn the_buttons_of_the_table_act_on_the_chosen_step() {
    let mut window = open(Origin::Shipped);
    window.get_by_label("Column: Steps").click();
    window.run();
    let names = |window: &Window| -> Vec<String> {
        draft(window).steps.into_iter().map(|s| s.name).collect()
    };
    let before = names(&window);
    let press = |window: &mut Window, label: &str| {
        window.get_by_label(label).click();
        settle(window);
    };
    press(&mut window, "Step 2: Right Dix-Hallpike");
    press(&mut window, "Duplicate step 2");
    assert_eq!(names(&window)[1..3], ["Right Dix-Hallpike"; 2]);
    press(&mut window, "Move step 3 up");
    press(&mut window, "Delete step 2");
    assert_eq!(names(&window), before);
    press(&mut window, "Insert a step");
    assert_eq!(names(&window)[2], "Wait");
    // The keys do the same.
    window.key_press_modifiers(Modifiers::ALT, Key::ArrowDown);
    settle(&mut window);
    assert_eq!(names(&window)[3], "Wait");
    window.key_press(Key::Delete);
    settle(&mut window);
    assert_eq!(names(&window), before);
    assert!(!session(&window).is_stale());
}

#[test]
fn the_mirror_image_does_in_the_other_ear_what_the_original_did() {
    let mut window = open(Origin::Shipped);
    let right = session(&window).shown.clone().unwrap();
    window.key_press(Key::F3);
    window.run();
    window.get_by_label("Mirror to the other ear").click();
    settle(&mut window);
    let left = session(&window).shown.clone().unwrap();
    assert_eq!(
        left.scenario.title,
        "Left posterior canal, whole-body Epley"
    );
    // The shipped file for the left ear was written by hand; it is the same manoeuvre.
    let file = include_str!("../../../../scenarios/left-posterior-epley.ron");
    let by_hand = lithodrome_rehearsal::scenario_from_ron(file, Path::new("left")).unwrap();
    assert_eq!(left.scenario.debris, by_hand.debris);
    // By symmetry each eye's vertical slow phase is the same at every moment.
    let upright =
        |l: &lithodrome_app::work::stage_data::Loaded| l.eyes.debris_slow_phase_rad_s.clone();
    let (a, b) = (upright(&right), upright(&left));
    assert_eq!(a.len(), b.len());
    let worst = a
        .iter()
        .zip(&b)
        .map(|(a, b)| (a.y - b.y).abs())
        .fold(0.0, f64::max);
    assert!(worst < 1e-6, "{worst} rad/s");
}

#[test]
fn a_fault_is_told_in_the_words_of_the_terminal_and_the_last_run_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = file_in(folder.path());
    let mut window = open(Origin::File(path.clone()));
    let before = session(&window).shown.clone().unwrap();
    window.key_press(Key::F3);
    window.run();
    type_into(&mut window, "Move time of step 3", "-2");
    // What `lithodrome-cli check` says of the same file, but for the field's path.
    let mut wrong = draft(&window);
    assert!((wrong.steps[2].move_s + 2.0).abs() < 1e-12);
    wrong.steps[2].move_s = -2.0;
    let words = format!(
        "{}: {}",
        path.display(),
        lithodrome_rehearsal::check(&wrong).unwrap_err().words()
    );
    assert!(words.ends_with("step 3, time of the move: found -2, allowed is 0 to 86400 s"));
    let told = window.query_all_by_label(&words).count();
    assert_eq!(told, 2, "in the banner and at the field");
    window.get_by_label("The picture shows the run of an older draft.");
    let after = session(&window).shown.clone().unwrap();
    assert!(std::sync::Arc::ptr_eq(&before, &after));
    // It is not written over a sound file.
    apply(&mut window, Command::File(FileCommand::Save));
    assert!(
        session(&window)
            .banner
            .clone()
            .unwrap()
            .contains("step 3, time of the move")
    );
    assert!(read_scenario(&path).is_ok());
    window.get_by_label("Undo the change").click();
    settle(&mut window);
    assert!(
        window
            .query_by_label("The picture shows the run of an older draft.")
            .is_none()
    );
    assert!(session(&window).draft.as_ref().unwrap().fault.is_none());
}

#[test]
fn debris_too_wide_for_the_duct_is_told_at_its_field() {
    let mut window = open(Origin::Shipped);
    window.key_press(Key::F4);
    window.run();
    type_into(&mut window, "Diameter of debris 1", "900");
    let fault = session(&window)
        .draft
        .as_ref()
        .unwrap()
        .fault
        .clone()
        .unwrap();
    assert_eq!(fault.field.as_deref(), Some("debris[1].diameter_um"));
    assert!(
        fault
            .words
            .contains("the width of the right posterior duct")
    );
    assert_eq!(window.query_all_by_label(&fault.words).count(), 2);
    type_into(&mut window, "Diameter of debris 1", "40");
    assert!(session(&window).draft.as_ref().unwrap().fault.is_none());
    assert!(!session(&window).is_stale());
}

#[test]
fn a_broken_limit_is_named_with_step_angle_and_time() {
    let mut window = open(Origin::Shipped);
    window.key_press(Key::F4);
    window.run();
    type_into(
        &mut window,
        "Limit of the patient: head below the horizontal",
        "20",
    );
    // The second step lies 120° back from upright: 30° below the horizontal, from 8 s on in 3 s.
    let words = "step 2 (Right Dix-Hallpike) at 11.0 s: the head is below the horizontal by 30.0°, this \
                 patient allows 20.0°";
    window.get_by_label_contains(words);
    // In the table it stands below its step; in the line above the score it leads to its moment.
    window.key_press(Key::F3);
    window.run();
    let below = "the head is below the horizontal by 30.0°, this patient allows 20.0°";
    assert_eq!(
        window.query_all_by_label(below).count(),
        3,
        "steps 2, 3 and 4"
    );
    let phrase = "step 2 (Right Dix-Hallpike): the head is below the horizontal by 30.0°, this patient allows 20.0°";
    window.get_by_label(phrase).click();
    window.run();
    assert!((session(&window).playback.time_s - 11.0).abs() < 0.2);
    window.key_press(Key::F4);
    window.run();
    type_into(
        &mut window,
        "Limit of the patient: head below the horizontal",
        "",
    );
    assert_eq!(draft(&window).limits, None);
    assert!(window.query_by_label_contains(words).is_none());
}

#[test]
fn an_emptied_angle_stays_where_the_axis_was() {
    let mut window = open(Origin::Shipped);
    window.key_press(Key::F3);
    window.run();
    type_into(&mut window, "Yaw of step 3", "");
    assert_eq!(draft(&window).steps[2].yaw_deg, None);
    let field = window.get_by_label("Yaw of step 3");
    assert_eq!(field.value().as_deref(), Some("45°"));
    type_into(&mut window, "Yaw of step 3", "-22,5");
    assert_eq!(draft(&window).steps[2].yaw_deg, Some(-22.5));
}

#[test]
fn the_library_is_searched_and_gives_steps_or_a_whole_scenario() {
    let mut window = open(Origin::Shipped);
    let debris = draft(&window).debris;
    window.key_press(Key::F5);
    window.run();
    window.get_by_label("Search the library").focus();
    window.run();
    window
        .get_by_label("Search the library")
        .type_text("left lateral full roll");
    window.run();
    window
        .get_by_label("Take the steps of Left lateral canal, full roll to the right")
        .click();
    settle(&mut window);
    let taken = draft(&window);
    assert_eq!(taken.debris, debris, "this patient keeps her debris");
    let file = include_str!("../../../../scenarios/library/left-lateral-roll-360.ron");
    let entry = lithodrome_rehearsal::scenario_from_ron(file, Path::new("left")).unwrap();
    assert_eq!(taken.steps, entry.steps);
    // Opening asks about the change first.
    window
        .get_by_label("Open Left lateral canal, full roll to the right")
        .click();
    settle(&mut window);
    window.get_by_label("Discard the changes").click();
    settle(&mut window);
    assert_eq!(draft(&window), entry);
    assert_eq!(session(&window).draft.as_ref().unwrap().origin, Origin::New);
    assert_eq!(session(&window).shown.as_ref().unwrap().scenario, entry);
}

#[test]
fn unsaved_changes_are_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let path = file_in(folder.path());
    let mut window = open(Origin::File(path.clone()));
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Setting(SettingEdit::Title(
            "Changed".to_owned(),
        )))),
    );
    apply(&mut window, Command::File(FileCommand::New));
    window.get_by_label("Save the changes to “Changed”?");
    window.get_by_label("Stay here").click();
    settle(&mut window);
    assert_eq!(draft(&window).title, "Changed");
    apply(&mut window, Command::File(FileCommand::New));
    window.get_by_role_and_label(Role::Button, "Save").click();
    settle(&mut window);
    assert_eq!(read_scenario(&path).unwrap().title, "Changed");
    assert_eq!(draft(&window).title, "New scenario");
    assert_eq!(draft(&window).steps.len(), 1);
    assert!(!session(&window).is_dirty());
}

#[test]
fn a_crash_loses_nothing() {
    let (folder, drafts) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let path = file_in(folder.path());
    let mut window = open_in(Origin::File(path.clone()), Some(drafts.path()));
    let before = draft(&window);
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Delete(4)))),
    );
    let lost = draft(&window);
    // The window goes without a word: nothing is asked, nothing is saved.
    drop(window);

    let mut window = open_in(Origin::Shipped, Some(drafts.path()));
    window.get_by_label("Unsaved changes were found");
    window.get_by_label("Take them up").click();
    settle(&mut window);
    assert_eq!(draft(&window), lost);
    assert_eq!(
        session(&window).draft.as_ref().unwrap().origin,
        Origin::File(path.clone())
    );
    assert_eq!(session(&window).shown.as_ref().unwrap().scenario, lost);
    window.get_by_label("not saved");
    apply(&mut window, Command::Edit(EditCommand::Undo));
    assert_eq!(draft(&window), before);
    apply(&mut window, Command::Edit(EditCommand::Redo));
    apply(&mut window, Command::File(FileCommand::Save));
    assert_eq!(read_scenario(&path).unwrap(), lost);
    drop(window);
    let window = open_in(Origin::Shipped, Some(drafts.path()));
    assert_eq!(session(&window).dialog, None, "nothing is left to offer");
}

#[test]
fn a_faulty_draft_is_recovered_with_its_fault() {
    let drafts = tempfile::tempdir().unwrap();
    let mut window = open_in(Origin::Shipped, Some(drafts.path()));
    let sound = draft(&window);
    let wrong = StepEntry {
        hold_s: -1.0,
        ..sound.steps[0].clone()
    };
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Set(0, wrong)))),
    );
    drop(window);
    let mut window = open_in(Origin::Shipped, Some(drafts.path()));
    assert_eq!(session(&window).dialog, Some(Dialog::Recover));
    apply(&mut window, Command::File(FileCommand::Recover));
    window.get_by_label("step 1, time at rest: found -1, allowed is 0 to 86400 s");
    assert_eq!(session(&window).shown.as_ref().unwrap().scenario, sound);
}

#[test]
fn a_newer_change_makes_an_older_answer_void() {
    let mut window = open(Origin::Shipped);
    for hold_s in 1..=20 {
        let step = StepEntry {
            hold_s: f64::from(hold_s),
            ..draft(&window).steps[0].clone()
        };
        let session = &mut window.state_mut().session;
        session.apply(Command::Edit(EditCommand::Drag(Edit::Steps(
            StepsEdit::Set(0, step),
        ))));
    }
    settle(&mut window);
    let shown = session(&window).shown.clone().unwrap();
    assert!((shown.scenario.steps[0].hold_s - 20.0).abs() < 1e-12);
    assert!(!session(&window).is_stale());
    apply(&mut window, Command::Edit(EditCommand::EndDrag));
    apply(&mut window, Command::Edit(EditCommand::Undo));
    assert!(
        (draft(&window).steps[0].hold_s - 5.0).abs() < 1e-12,
        "one drag"
    );
}

/// The picture of the table; `UPDATE_SNAPSHOTS=1` draws it anew.
#[test]
fn picture_of_the_steps_table() {
    let mut window = pictured([1440.0, 900.0], Theme::Dark);
    let steps = Command::View(ViewCommand::ShowTab(CaseTab::Steps));
    for command in [
        Command::Play(PlayCommand::Seek(62.0)),
        steps,
        Command::Edit(EditCommand::ChooseStep(2)),
    ] {
        apply(&mut window, command);
    }
    type_into(
        &mut window,
        "Name of step 2",
        "Right Dix-Hallpike, a little longer",
    );
    let mut emptied = draft(&window).steps[2].clone();
    emptied.track_deg = None;
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Set(2, emptied)))),
    );
    let options = SnapshotOptions::new().max_failed_pixels(200);
    window.snapshot_options("steps_dark_1440x900", &options);
}

fn pictured(size: [f32; 2], theme: Theme) -> Window {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(64)
        .wgpu()
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    while !window.state().is_ready() {
        std::thread::sleep(Duration::from_millis(20));
    }
    window.run();
    window
}

fn time_s(window: &Window) -> f64 {
    session(window).playback.time_s
}
