//! What new users stumbled on, by accessible names.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod hands;

use egui::{Key, Modifiers};
use egui_kittest::{Harness, kittest::Queryable as _};
use hands::{Window, draft, open_tall, press, session, settle, type_into};
use lithodrome_app::{
    session::Preferences,
    session::command::{Command, EyeTraces, FileCommand, PlayCommand, ViewCommand},
    session::remembered::RememberedFile,
    shell::app::App,
    work::library::library,
    work::stage_data::Origin,
};

fn open_with(preferences: Preferences) -> Window {
    let mut window = Harness::builder()
        .with_size([1440.0, 900.0])
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    window
}

fn usual() -> Preferences {
    Preferences {
        notice_read: true,
        ..Preferences::default()
    }
}

fn open_from_library(window: &mut Window, name: &str) {
    let entry = library().iter().position(|e| e.title == name);
    let command = FileCommand::OpenFromLibrary(entry.unwrap());
    window.state_mut().session.apply(Command::File(command));
    settle(window);
}

#[test]
fn a_menu_opens_by_alt_and_its_letter() {
    let mut window = open_with(usual());
    assert!(window.query_by_label("Open by path…").is_none());
    window.key_press_modifiers(Modifiers::ALT, Key::F);
    window.run();
    window.get_by_label("Open by path…");
    window.key_press(Key::Escape);
    window.run();
    window.key_press_modifiers(Modifiers::ALT, Key::H);
    window.run();
    window.get_by_label("About and cautions");
}

#[test]
fn recent_files_that_share_a_name_show_their_folder() {
    let recent = ["/plans/one/a.ron", "/plans/two/a.ron", "/plans/two/b.ron"];
    let mut window = open_with(Preferences {
        recent: recent.map(Into::into).to_vec(),
        ..usual()
    });
    press(&mut window, "File");
    for name in ["a.ron (one)", "a.ron (two)", "b.ron"] {
        window.get_by_label(name);
    }
}

#[test]
fn the_tabs_of_the_column_leave_the_fold_mark_alone() {
    let window = open_with(usual());
    let last = window.get_by_label("Column: Visit").rect();
    let fold = window.get_by_label("Fold the case").rect();
    assert!(last.right() + 4.0 <= fold.left(), "{last} {fold}");
}

#[test]
fn the_cells_of_a_step_are_a_few_keys_from_f3() {
    let mut window = open_with(usual());
    window.key_press(Key::F3);
    window.run();
    let mut keys = 0;
    while !window.get_by_label("Yaw of step 1").is_focused() {
        keys += 1;
        assert!(keys <= 4, "the yaw of the first step is not near");
        window.key_press(Key::Tab);
        window.run();
    }
}

#[test]
fn a_posture_in_words_sets_the_angles_of_a_step() {
    let mut window = open_tall(Origin::Shipped, 1400.0, Key::F3);
    press(&mut window, "Step 2: Right Dix-Hallpike");
    press(&mut window, "Posture of step 2");
    press(&mut window, "Right ear down");
    let angles = draft(&window).angles_deg()[1];
    // Right ear down is yaw 0, track 90, or whole turns and the twin of it (by hand).
    let [yaw, track] = angles.map(f64::to_radians);
    let down = [
        -track.sin() * yaw.sin(),
        -track.sin() * yaw.cos(),
        -track.cos(),
    ];
    assert!((down[1] + 1.0).abs() < 1e-9, "{down:?}");
}

#[test]
fn debris_says_which_form_it_gives_and_is_removed_by_a_word() {
    let mut window = open_tall(Origin::Shipped, 1400.0, Key::F4);
    window.get_by_label_contains("Gives the usual form: in its own Dix-Hallpike upbeat");
    press(&mut window, "Remove debris 1");
    assert!(draft(&window).debris.is_empty());
}

#[test]
fn a_hold_that_is_too_short_is_told_in_the_table_in_seconds() {
    let mut window = open_tall(Origin::Shipped, 1400.0, Key::F3);
    assert!(window.query_by_label_contains("step 2 ends").is_none());
    type_into(&mut window, "Hold time of step 2", "2", Key::Enter);
    let told = session(&window).shown.as_ref().unwrap().short_hold(1);
    let words = told.unwrap();
    assert!(
        words.starts_with("step 2 ends ") && words.ends_with(" s short"),
        "{words}"
    );
    // In the table and in the line above the score.
    assert!(window.query_all_by_label_contains(&words).count() >= 1);
}

#[test]
fn a_test_says_what_was_seen_and_what_it_speaks_for() {
    let mut window = open_with(usual());
    open_from_library(&mut window, "Dix-Hallpike on the right, twice");
    window.get_by_label_contains("speaks for the right posterior canal");
    // A treatment has no such answer.
    window
        .state_mut()
        .session
        .apply(Command::File(FileCommand::OpenShipped));
    settle(&mut window);
    assert!(window.query_by_label_contains("speaks for").is_none());
}

#[test]
fn a_changed_scenario_is_not_called_as_shipped() {
    let mut window = open_tall(Origin::Shipped, 900.0, Key::F3);
    type_into(&mut window, "Hold time of step 2", "40", Key::Enter);
    window.key_press(Key::F2);
    window.run();
    window.get_by_label_contains("shipped with the program, changed");
}

#[test]
fn preferences_are_on_the_disk_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().to_owned();
    RememberedFile::of(&place).write(&usual()).unwrap();
    let mut window = Harness::builder()
        .with_size([1440.0, 900.0])
        .with_max_steps(64)
        .build_eframe(|cc| App::remembering_in(cc, Origin::Shipped, &place));
    settle(&mut window);
    assert!(window.query_by_label("I have read this").is_none(), "read");
    let command = ViewCommand::Trace(EyeTraces::Position);
    window.state_mut().session.apply(Command::View(command));
    window.step();
    // Without the window having been closed.
    let (kept, trouble) = RememberedFile::of(&place).read();
    assert_eq!((kept.eye_traces, trouble), (EyeTraces::Position, None));
}

#[test]
fn the_library_shows_ears_and_cautions_without_pointing() {
    let mut window = open_tall(Origin::Shipped, 3000.0, Key::F5);
    type_into(&mut window, "Search the library", "right lateral", Key::Tab);
    let cautions = window.query_all_by_label_contains("⚠ ").count();
    assert!(cautions > 3, "{cautions}");
    let marks = window.query_all_by_label("Mark of the right ear").count();
    assert!(marks > 0, "the first rows carry the mark of their ear");
}

#[test]
fn a_battery_says_what_was_seen_in_each_position_and_what_that_speaks_for() {
    let mut window = open_with(usual());
    open_from_library(&mut window, "All tests in one run, right side first");
    let shown = session(&window).shown.clone().unwrap();
    let answer = shown.report.test_answer.clone().unwrap();
    window.get_by_label(&answer.sentence);
    for told in [
        "Right Dix-Hallpike: upbeating-torsional",
        "Sitting up: ",
        "Right ear down: ",
        "nothing in the other positions",
        "speaks for the right posterior canal",
    ] {
        assert!(
            answer
                .sentence
                .to_lowercase()
                .contains(&told.to_lowercase()),
            "{told}: {}",
            answer.sentence
        );
    }
}

#[test]
fn where_the_pieces_are_is_said_once_they_have_left() {
    let mut window = open_with(usual());
    window.key_press(Key::End);
    window.run();
    let left = "All 5 pieces have left the right posterior canal and are in the utricle.";
    window.get_by_label_contains(left);
    window.key_press(Key::Home);
    window.run();
    window.get_by_label_contains("All 5 pieces are still in the right posterior canal.");
}

#[test]
fn nothing_is_said_to_move_that_rests() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("still.ron");
    let still = "(format: 1, title: \"Sits\", debris: [], steps: [(name: \"Sit\", move_s: 0.0, hold_s: 20.0)])";
    std::fs::write(&path, still).unwrap();
    let mut window = open_with(usual());
    let open = Command::File(FileCommand::Open(path));
    window.state_mut().session.apply(open);
    settle(&mut window);
    for time_s in [0.0, 0.5, 10.0] {
        let seek = Command::Play(PlayCommand::Seek(time_s));
        window.state_mut().session.apply(seek);
        window.run();
        for words in ["The chair is moving", "flow arrow"] {
            let told = window.query_all_by_label_contains(words).count();
            assert_eq!(told, 0, "{words} at {time_s} s");
        }
    }
    let shown = session(&window).shown.clone().unwrap();
    assert!(shown.fastest_flow_pl_s < 0.5, "no arrow is drawn");
}

#[test]
fn a_new_scenario_offers_postures_and_forms_in_words() {
    let mut window = open_with(usual());
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut window);
    assert_eq!(draft(&window).steps.len(), 1);
    window.key_press(Key::F3);
    window.run();
    press(&mut window, "Posture of step 1");
    for posture in ["Supine", "Right ear down", "Head hanging, turned right"] {
        assert!(
            window.query_all_by_label_contains(posture).count() > 0,
            "{posture}"
        );
    }
}
