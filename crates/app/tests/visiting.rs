//! One whole visit by accessible names: a name refused, two patients planned, both sheets printed, one driven,
//! both logged, the figures read, and all of it there again in the next window.
#![allow(clippy::expect_used, reason = "helpers of tests may fail loudly")]

mod hands;

use std::path::Path;

use egui::Key;
use egui_kittest::kittest::Queryable as _;
use hands::{Window, open_tall, press, session, settle, type_into};
use lithodrome_app::{
    session::command::{CaseTab, Command, ViewCommand, VisitCommand},
    visit::state::Told,
    work::stage_data::Origin,
};
use lithodrome_labyrinth::{Canal, Ear};

fn open(folder: &Path) -> Window {
    let mut window = open_tall(Origin::Shipped, 7200.0, Key::F4);
    let ask = Command::Visit(VisitCommand::KeepIn(folder.to_owned()));
    window.state_mut().ask(ask);
    to_the_visit(&mut window);
    window
}

fn to_the_visit(window: &mut Window) {
    window
        .state_mut()
        .ask(Command::View(ViewCommand::ShowTab(CaseTab::Visit)));
    settle(window);
}

/// Chooses from a list by the names of both, as a screen reader does.
fn choose(window: &mut Window, list: &str, entry: &str) {
    window.get_by_label(list).click();
    window.run();
    window.get_by_label(entry).click();
    window.run();
}

fn told(window: &Window) -> Told {
    let told = session(window).visit.told.clone();
    told.unwrap_or(Told::Failed("nothing was told".to_owned()))
}

fn done(window: &Window) -> String {
    match told(window) {
        Told::Done(words) => words,
        Told::Failed(words) => panic!("{words}"),
    }
}

/// Plans for two patients: one with glaucoma and a suspected right posterior canal, one with a left lateral one.
fn plan_two(window: &mut Window) {
    type_into(window, "Patient's code", "KV-07", Key::Tab);
    press(window, "glaucoma or diseased retina");
    choose(window, "Suspected canal", "right posterior canal");
    press(window, "Plan for this patient");
    assert_eq!(session(window).visit.form_fault, None);
    type_into(window, "Patient's code", "KV-12", Key::Tab);
    choose(window, "Suspected canal", "left lateral canal");
    press(window, "Plan for this patient");
    assert_eq!(session(window).visit.form_fault, None);
    let planned = &session(window).visit.planned;
    let second = &planned[1].patient.suspected;
    assert_eq!(
        (second[0].ear, second[0].canal),
        (Ear::Left, Canal::Lateral)
    );
}

/// The title of the first treatment that fits a patient.
fn fitting(window: &Window, patient: usize) -> String {
    let plan = &session(window).visit.planned[patient].plan;
    let (_, fits) = &plan.treatments[0];
    let fit = fits.iter().find(|f| f.fits());
    fit.map(|f| f.title.clone()).expect("one fits")
}

#[test]
fn a_whole_visit_by_accessible_names() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = open(folder.path());
    type_into(&mut window, "Date of the visit", "2026-05-12", Key::Tab);
    type_into(&mut window, "Home's code", "H-3", Key::Tab);
    // A name is refused with the reason.
    type_into(&mut window, "Patient's code", "Maria Example", Key::Tab);
    press(&mut window, "Plan for this patient");
    window.get_by_label_contains("looks like a name");
    plan_two(&mut window);
    window.get_by_label("Does not fit: Right posterior canal, Epley with the whole body");
    let titles = [0, 1].map(|i| fitting(&window, i));
    for (code, title) in ["KV-07", "KV-12"].iter().zip(&titles) {
        press(&mut window, &format!("Print sheet for {code}: {title}"));
        assert!(done(&window).contains("The sheet is in"));
    }
    let sheets = std::fs::read_dir(folder.path().join("sheets")).expect("sheets");
    assert_eq!(sheets.count(), 2);

    drive(&mut window, &format!("Rehearse for KV-12: {}", titles[1]));

    log(&mut window, "KV-07", "nothing", None);
    log(
        &mut window,
        "KV-12",
        "Right-beating",
        Some(("left lateral canal", &titles[1])),
    );
    press(&mut window, "Read the figures");
    window.get_by_label_contains("Share by home: H-3 1 of 2, 50 %");
    for (button, file) in [
        ("Export as CSV", "visits.csv"),
        ("Export for a spreadsheet", "visits-spreadsheet.csv"),
        ("Save the plot", "prevalence.svg"),
        ("Back up the log", "visits-copy.sqlite"),
    ] {
        press(&mut window, button);
        assert!(done(&window).contains(file), "{}", done(&window));
        assert!(folder.path().join("exports").join(file).exists());
    }
    // The same once more goes into a file of its own.
    press(&mut window, "Export as CSV");
    assert!(done(&window).contains("visits-2.csv"));

    // A second window finds the visit, and reads the log, which the first one holds.
    let mut second = open(folder.path());
    assert_eq!(session(&second).visit.planned.len(), 2);
    press(&mut second, "Read the figures");
    second.get_by_label_contains("Share by home: H-3 1 of 2");
    second.get_by_label_contains("Another window holds the log");
    press(&mut second, "Write into the log");
    assert!(matches!(told(&second), Told::Failed(_)));
    drop(second);
    drop(window);
    // Opened again, all is there, and can be written once more.
    let mut again = open(folder.path());
    let codes: Vec<_> = session(&again)
        .visit
        .planned
        .iter()
        .map(|p| p.patient.code.as_str().to_owned())
        .collect();
    assert_eq!(codes, ["KV-07", "KV-12"]);
    assert_eq!(session(&again).visit.day.home, "H-3");
    press(&mut again, "Read the figures");
    again.get_by_label_contains("Share by home: H-3 1 of 2, 50 %");
    type_into(&mut again, "What was seen", "nothing", Key::Tab);
    press(&mut again, "Write into the log");
    assert!(done(&again).contains("Visit 3"));
}

/// Opens a treatment from the plan and drives a little of it.
fn drive(window: &mut Window, button: &str) {
    press(window, button);
    let title = session(window)
        .shown
        .as_ref()
        .expect("a run")
        .scenario
        .title
        .clone();
    assert!(title.starts_with("KV-12, "), "{title}");
    let script = window.state_mut().session.start_scripted_drive();
    window.key_down(Key::ArrowUp);
    window.step();
    assert!(script.go_on(2.0));
    window.key_up(Key::ArrowUp);
    window.step();
    assert!(script.go_on(3.0));
    window.step();
    window.get_by_label_contains("The head is still");
    window.key_press(Key::F6);
    for _ in 0..400 {
        window.step();
        if session(window).drive.is_none() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    settle(window);
    assert!(session(window).drive.is_none());
    window.get_by_label("Debrief of the drive");
    to_the_visit(window);
}

/// Logs a patient; with a canal that was found and what was done there.
fn log(window: &mut Window, code: &str, seen: &str, done_for: Option<(&str, &str)>) {
    choose(window, "Logged patient", code);
    type_into(window, "What was seen", seen, Key::Tab);
    if let Some((canal, manoeuvre)) = done_for {
        choose(window, "Found canal", canal);
        type_into(window, "Manoeuvre that was done", manoeuvre, Key::Tab);
        choose(window, "Outcome of the manoeuvre", "not cleared");
    }
    press(window, "Write into the log");
    assert!(done(window).contains(code), "{}", done(window));
}

#[test]
fn several_canals_of_both_ears_are_planned_as_one_course() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = open(folder.path());
    type_into(&mut window, "Patient's code", "KV-21", Key::Tab);
    choose(&mut window, "Suspected canal", "right posterior canal");
    choose(&mut window, "Second suspected canal", "left lateral canal");
    // The same canal twice is one.
    choose(&mut window, "Third suspected canal", "left lateral canal");
    choose(
        &mut window,
        "Place in the left lateral canal",
        "non-ampullary arm",
    );
    assert_eq!(session(&window).visit.form.suspected.len(), 2);
    press(&mut window, "Plan for this patient");
    window.get_by_label("Several canals, in this order");
    press(&mut window, "Open the whole course for KV-21");
    let shown = session(&window).shown.clone().expect("a run");
    assert_eq!(shown.affected().len(), 2, "both courses are drawn");
    let ears: Vec<Ear> = shown.affected().iter().map(|a| a.0).collect();
    assert!(ears.contains(&Ear::Right) && ears.contains(&Ear::Left));
}

/// A visit that was kept is planned aside: what is typed before that is back must not take its file away.
#[test]
fn a_kept_visit_outlives_a_change_of_the_day_while_it_is_taken_up() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = open(folder.path());
    plan_two(&mut window);
    let kept = folder.path().join("visit.ron");
    assert!(kept.exists());
    drop(window);
    let mut window = open_tall(Origin::Shipped, 7200.0, Key::F4);
    let visit = |window: &mut Window, command: VisitCommand| {
        window.state_mut().ask(Command::Visit(command));
        window.step();
    };
    visit(&mut window, VisitCommand::KeepIn(folder.path().to_owned()));
    visit(&mut window, VisitCommand::TakeUp);
    let mut day = session(&window).visit.day.clone();
    day.date = "2026-06-02".to_owned();
    visit(&mut window, VisitCommand::SetDay(day));
    assert!(kept.exists(), "the file of the visit is gone");
    settle(&mut window);
    assert_eq!(session(&window).visit.planned.len(), 2);
    let text = std::fs::read_to_string(&kept).expect("the visit");
    assert!(
        text.contains("2026-06-02") && text.contains("KV-12"),
        "{text}"
    );
}

/// What is missing is told beside the button, and no outcome is taken for granted.
#[test]
fn what_the_log_misses_is_told_beside_its_button() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = open(folder.path());
    type_into(&mut window, "Patient's code", "KV-30", Key::Tab);
    choose(&mut window, "Suspected canal", "right lateral canal");
    press(&mut window, "Plan for this patient");
    press(&mut window, "Write into the log");
    let words = "Not written. seen.words: found a text of 0 signs";
    window.get_by_label_contains(words);
    type_into(&mut window, "What was seen", "nothing", Key::Tab);
    assert!(window.query_by_label_contains(words).is_none());
    type_into(&mut window, "Manoeuvre that was done", "Roll", Key::Tab);
    press(&mut window, "Write into the log");
    window.get_by_label_contains("Not written. outcome of Roll: found none");
    choose(&mut window, "Outcome of the manoeuvre", "cleared");
    press(&mut window, "Write into the log");
    assert!(done(&window).contains("Visit 1 is in the log: KV-30"));
    assert!(window.query_by_label_contains("Not written.").is_none());
}
