//! What clears a case, by accessible names: the ranking, a run, two beside each other, the whole map.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test")]

mod hands;

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use egui::Key;
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};
use hands::Window;
use lithodrome_app::{
    export::{Export, Saved},
    lesson::clears::{
        command::ClearsCommand,
        map_svg,
        state::{ClearsView, MapPlace, MapSource, WhichEar},
    },
    session::{
        Preferences,
        command::{Command, ExportCommand, LessonCommand, Use},
    },
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{Limits, Mechanism};
use lithodrome_study::{CaseMixture, MapQuestion, outcome_map, treatments, write_map};

const EPLEY: &str = "Right posterior canal, Epley with the whole body";
const WRONG_SIDE: &str = "Left posterior canal, Epley with the whole body";

/// A map of a few manoeuvres in a few ears, computed once.
fn small_map() -> PathBuf {
    static FOLDER: OnceLock<tempfile::TempDir> = OnceLock::new();
    let folder = FOLDER.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let mut some = treatments().unwrap();
        some.retain(|t| {
            let title = t.scenario.title.as_str();
            title == EPLEY || title == WRONG_SIDE || t.name == "right-posterior-semont"
        });
        let mixture = CaseMixture::usual().unwrap();
        let go_on = &|_, _| ControlFlow::Continue(());
        let map = outcome_map(&mixture, &some, 6, 1, None, go_on).unwrap();
        write_map(&map, &folder.path().join("map.csv")).unwrap();
        let empty = "# version: 0\n# mixture: none\n# anatomy: mean-adult\n# seed: 1\n# ears: 0\n\
                     manoeuvre,canal,place,from_um,to_um,ends\n";
        std::fs::write(folder.path().join("empty.csv"), empty).unwrap();
        folder
    });
    folder.path().join("map.csv")
}

fn open(map: PathBuf) -> Window {
    let preferences = Preferences {
        notice_read: true,
        used_for: Use::Lesson,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size([1440.0, 2000.0])
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    hands::settle(&mut window);
    enter(&mut window, "Lesson: What clears it");
    ask(&mut window, ClearsCommand::Read(MapSource::File(map)));
    window
}

fn ask(window: &mut Window, command: ClearsCommand) {
    let command = Command::Lesson(LessonCommand::Clears(command));
    window.state_mut().session.apply(command);
    wait(window);
}

fn wait(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    while window.state().session.lesson.clears.is_busy() {
        assert!(patience.elapsed().as_secs() < 300, "it does not come back");
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.run();
    assert_eq!(window.state().session.lesson.clears.words, None);
}

/// Goes to a widget by its name and presses Enter.
fn enter(window: &mut Window, name: &str) {
    window.get_by_label(name).focus();
    window.step();
    window.key_press(Key::Enter);
    window.step();
    wait(window);
}

#[test]
fn a_manoeuvre_is_found_its_run_opened_and_two_set_beside_each_other() {
    let mut window = open(small_map());
    let ranked = window.state().session.lesson.clears.ranked.clone();
    assert_eq!(ranked.len(), 3);
    assert_eq!(ranked[0].title, EPLEY);
    let wrong_side = ranked.iter().find(|row| row.title == WRONG_SIDE).unwrap();
    assert!(!wrong_side.is_meant && wrong_side.out.count < ranked[0].out.count);
    enter(&mut window, &format!("Open its run: {EPLEY}"));
    let shown = window.state().session.shown.clone().unwrap();
    assert!(shown.scenario.title.starts_with(EPLEY));
    assert!(shown.scenario.title.ends_with("of 6"));
    enter(&mut window, "Show: ranking");
    enter(&mut window, &format!("Beside another: {EPLEY}"));
    enter(&mut window, &format!("Beside another: {WRONG_SIDE}"));
    enter(&mut window, "Set the two beside each other");
    let clears = &window.state().session.lesson.clears;
    assert_eq!(clears.view, ClearsView::Beside);
    let beside = clears.beside.clone().unwrap();
    let parting = beside
        .parting
        .clone()
        .expect("the wrong side goes another way");
    assert!(parting.time_s < beside.runs[0].duration_s());
    assert!(window.query_all_by_label_contains("They part at").count() > 0);
    enter(&mut window, "Show: ranking");
    enter(&mut window, &format!("On a bed: {EPLEY}"));
    let rows = window.query_all_by_label_contains("On a bed, stiff neck");
    assert!(rows.count() > 0);
}

/// Asks for a long computation and does not wait for it.
fn begin(window: &mut Window, command: ClearsCommand) {
    let command = Command::Lesson(LessonCommand::Clears(command));
    window.state_mut().session.apply(command);
    assert!(window.state().session.lesson.clears.is_busy());
}

#[test]
fn what_is_known_of_a_case_is_not_shown_for_another() {
    let mut window = open(small_map());
    let epley = window.state().session.lesson.clears.ranked[0].name.clone();
    enter(&mut window, &format!("Open its run: {EPLEY}"));
    enter(&mut window, "Show: ranking");
    enter(&mut window, &format!("On a bed: {EPLEY}"));
    let on_stage = "On the stages: ear";
    assert!(window.query_all_by_label_contains(on_stage).count() > 0);
    assert!(window.state().session.lesson.clears.carried.is_some());
    // Another place: that run is none of this case, whatever the manoeuvre is called.
    let asked = MapQuestion {
        place: Mechanism::ALL[1],
        ..MapQuestion::default()
    };
    ask(&mut window, ClearsCommand::Ask(asked));
    assert!(window.state().session.lesson.clears.row(&epley).is_some());
    assert_eq!(window.query_all_by_label_contains(on_stage).count(), 0);
    ask(&mut window, ClearsCommand::Look(ClearsView::Run));
    window.get_by_label_contains("No run of this case is open");
    let clears = &window.state().session.lesson.clears;
    assert!(clears.opened.is_none() && clears.carried.is_none());
    // What is under way is void too.
    for command in [
        ClearsCommand::Carry(epley.clone()),
        ClearsCommand::Open(epley.clone(), WhichEar::Usual),
    ] {
        begin(&mut window, command);
        ask(&mut window, ClearsCommand::Ask(MapQuestion::default()));
        let clears = &window.state().session.lesson.clears;
        assert!(clears.opened.is_none() && clears.carried.is_none());
        ask(&mut window, ClearsCommand::Ask(asked));
    }
    // So is why a cell is so, once it is about another size; asked again, it is computed for that.
    let place = |size| MapPlace {
        name: epley.clone(),
        ear: Ear::Right,
        size,
        canal: Canal::Posterior,
        place: Mechanism::AmpullaryArm,
    };
    begin(&mut window, ClearsCommand::Why(place(1)));
    let larger = MapQuestion { size: 2, ..asked };
    ask(&mut window, ClearsCommand::Ask(larger));
    let clears = &window.state().session.lesson.clears;
    assert!(clears.whys.is_empty() && clears.why.is_none());
    ask(&mut window, ClearsCommand::Why(place(2)));
    let whys = &window.state().session.lesson.clears.whys;
    assert!(whys.contains_key(&place(2)) && !whys.contains_key(&place(1)));
    // Another map knows nothing of what was asked about the one before.
    ask(&mut window, ClearsCommand::Ask(MapQuestion::default()));
    ask(&mut window, ClearsCommand::Open(epley, WhichEar::Usual));
    assert!(window.state().session.lesson.clears.opened.is_some());
    ask(
        &mut window,
        ClearsCommand::Read(MapSource::File(small_map())),
    );
    let clears = &window.state().session.lesson.clears;
    assert!(clears.opened.is_none() && clears.whys.is_empty());
}

#[test]
fn limits_and_the_other_ear_change_the_answer_at_once() {
    let mut window = open(small_map());
    let asked = MapQuestion {
        limits: Limits {
            head_down_deg: Some(10.0),
            ..Limits::default()
        },
        ..MapQuestion::default()
    };
    ask(&mut window, ClearsCommand::Ask(asked));
    let ranked = window.state().session.lesson.clears.ranked.clone();
    let epley = ranked.iter().find(|row| row.title == EPLEY).unwrap();
    assert!(!epley.breaks.is_empty());
    enter(&mut window, "Ear: left");
    let clears = &window.state().session.lesson.clears;
    assert_eq!(clears.asked.canal.ear, Ear::Left);
    assert!(
        clears
            .ranked
            .iter()
            .any(|row| row.title == WRONG_SIDE && row.is_meant)
    );
}

#[test]
fn the_whole_map_says_why_and_is_taken_out_as_a_drawing() {
    let mut window = open(small_map());
    enter(&mut window, "Show: whole map");
    let cell = "Epley with the whole body, posterior canal, ampullary arm";
    let name = {
        let node = window.get_by_label_contains(cell);
        node.accesskit_node().label().unwrap_or_default()
    };
    enter(&mut window, &name);
    let clears = &window.state().session.lesson.clears;
    let why = clears.whys.values().next().expect("one sentence").clone();
    assert!(
        why.starts_with("Most ears, ") && why.ends_with('.'),
        "{why}"
    );
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("map.svg");
    window.state_mut().ask(Command::Export(ExportCommand::To(
        Export::MapDrawing,
        path.clone(),
    )));
    let patience = Instant::now();
    while window.state().session.export.saved.is_none() {
        assert!(patience.elapsed().as_secs() < 60);
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    assert_eq!(
        window.state().session.export.saved,
        Some(Saved::Done(path.clone()))
    );
    let text = std::fs::read_to_string(&path).unwrap();
    let drawing = roxmltree::Document::parse(&text).unwrap();
    let words: Vec<&str> = drawing.descendants().filter_map(|n| n.text()).collect();
    assert!(
        words
            .iter()
            .any(|w| w.contains("What clears the right ear"))
    );
    assert!(words.iter().any(|w| w.contains("Most ears")));
    assert!(
        drawing
            .descendants()
            .filter(|n| n.has_tag_name("circle"))
            .count()
            > 15
    );
}

#[test]
fn names_in_the_whole_map_are_not_cut_where_there_is_room() {
    let mut window = open(small_map());
    ask(&mut window, ClearsCommand::Read(MapSource::Shipped));
    let clears = &window.state().session.lesson.clears;
    assert!(clears.rows.iter().any(|row| row.short.len() > 40));
    let text = map_svg(clears);
    let drawing = roxmltree::Document::parse(&text).unwrap();
    let words: Vec<&str> = drawing.descendants().filter_map(|n| n.text()).collect();
    for row in clears.rows.iter() {
        assert!(words.contains(&row.short.as_str()), "{}", row.short);
    }
}

#[test]
fn a_map_without_ears_answers_nothing_and_says_so() {
    let empty = small_map().with_file_name("empty.csv");
    let mut window = open(empty);
    window.get_by_label_contains("holds no ears yet");
    window.get_by_label("Path of a map");
    let missing = MapSource::File("no-such-map.csv".into());
    let command = Command::Lesson(LessonCommand::Clears(ClearsCommand::Read(missing)));
    window.state_mut().session.apply(command);
    while window.state().session.lesson.clears.is_busy() {
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.step();
    window.get_by_label_contains("no-such-map.csv");
}
