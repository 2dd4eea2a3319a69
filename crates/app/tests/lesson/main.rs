//! A hidden case from its number to the debrief, by accessible names and the keyboard alone.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test")]

mod driven;
#[path = "../hands/mod.rs"]
mod hands;

use std::time::{Duration, Instant};

use egui::Key;
use egui_kittest::{Harness, kittest::Queryable as _};
use hands::Window;
use lithodrome_app::{
    lesson::class::{command::ClassCommand, state::SetForm},
    session::{
        Preferences,
        command::{Command, LessonCommand, PlayCommand, Use},
    },
    shell::app::App,
    work::stage_data::{EYES_TOLD_LATER, Origin},
};
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{
    Difficulty, EyeWord, Learner, Part, Purpose, ResultKind, ResultRow, read_learner, write_learner,
};

fn open() -> Window {
    let preferences = Preferences {
        notice_read: true,
        used_for: Use::Lesson,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size([1440.0, 2400.0])
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    hands::settle(&mut window);
    window
}

/// Waits for the desk; the cursor that then plays is stopped.
fn wait(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    while window.state().session.lesson.desk.is_busy() {
        assert!(
            patience.elapsed().as_secs() < 300,
            "the desk does not come back"
        );
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.step();
    if window.state().session.playback.playing {
        window.key_press(Key::Space);
        window.step();
    }
    assert!(!window.state().session.playback.playing);
    window.run();
}

/// Goes to a widget by its name and presses Enter.
fn enter(window: &mut Window, name: &str) {
    window.get_by_label(name).focus();
    window.step();
    window.key_press(Key::Enter);
    window.step();
    wait(window);
}

/// The same where a recording runs afterwards, which never comes to rest.
fn press(window: &mut Window, name: &str) {
    window.get_by_label(name).focus();
    window.step();
    window.key_press(Key::Enter);
    window.step();
    let patience = Instant::now();
    while window.state().session.lesson.desk.is_busy() {
        assert!(patience.elapsed().as_secs() < 120);
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.step();
}

#[test]
fn one_whole_case_by_names_and_keyboard() {
    let mut window = open();
    // The case with the first number is common with this difficulty: see what is named below.
    enter(&mut window, "Difficulty: common");
    enter(&mut window, "Begin the case");
    window.get_by_label("Ear stage: hidden until you name it");
    let shown = window.state().session.shown.clone().unwrap();
    assert!(shown.hidden && shown.run.tracks.is_empty() && shown.scenario.debris.is_empty());
    enter(&mut window, "Right Dix-Hallpike");
    enter(&mut window, "Wait 60 s more");
    enter(&mut window, "Upright");
    assert!(window.state().session.shown.as_ref().unwrap().hidden);
    let open = window.state().session.lesson.open.as_ref().unwrap();
    assert_eq!(open.seen.len(), open.record.acts.len());
    let truth = open.patient.case.truth.clone();
    let canal = truth.lesions[0].canal_id().name();
    enter(&mut window, &canal);
    enter(&mut window, "Name it");
    assert!(!window.state().session.shown.as_ref().unwrap().hidden);
    // An Epley of the library for that canal, a wait, and the test once more.
    let id = truth.lesions[0].canal_id();
    let library = lithodrome_rehearsal::library().unwrap();
    let treatment = library.iter().find(|entry| {
        let debris = entry.scenario.debris.first();
        entry.about.kind == Purpose::Treatment
            && entry.scenario.title.contains("Epley")
            && entry.scenario.body.is_none()
            && debris.is_some_and(|d| (d.ear, d.canal) == (id.ear, id.canal))
    });
    enter(&mut window, "Manoeuvres of the library");
    enter(&mut window, &treatment.unwrap().scenario.title);
    enter(&mut window, "Done as: treatment");
    enter(&mut window, "Wait 60 s more");
    enter(&mut window, "Done as: control");
    enter(&mut window, "Right Dix-Hallpike");
    enter(&mut window, "Debrief");
    let open = window.state().session.lesson.open.as_ref().unwrap();
    let parts = open.record.acts.iter().map(|act| act.part);
    let mut parts: Vec<Part> = parts.collect();
    parts.dedup();
    assert_eq!(parts, [Part::Test, Part::Treatment, Part::Control]);
    assert!(open.record.has_control());
    let debrief = open.debrief.clone().unwrap();
    assert!(debrief.marks.unwrap().canal);
    assert!(debrief.still_in.is_empty(), "an Epley clears this one");
    // The clock of the case went on: the control test is its last hold.
    let end_s = open.seen.last().unwrap().end_s;
    assert!((open.loaded.duration_s() - end_s).abs() < 1e-6);
    assert!(open.good.is_some(), "something clears a common case");
    // A phrase that has a moment leads to it.
    let phrase = debrief
        .paragraph
        .iter()
        .find(|p| p.time_s.is_some())
        .unwrap();
    enter(&mut window, &format!("{}.", phrase.text));
    let time_s = window.state().session.playback.time_s;
    assert!((time_s - phrase.time_s.unwrap()).abs() < 1e-6);
    enter(&mut window, "Show a good run");
    enter(&mut window, "Show your own run again");
    enter(&mut window, "Close case");
    // What was shown before is back.
    assert!(window.state().session.lesson.open.is_none());
    assert_eq!(
        window.state().session.shown.as_ref().unwrap().origin,
        Origin::Shipped
    );
}

#[test]
fn before_the_answer_the_eyes_alone_tell_what_they_do() {
    let mut window = open();
    enter(&mut window, "Difficulty: common");
    enter(&mut window, "Begin the case");
    enter(&mut window, "Right Dix-Hallpike");
    enter(&mut window, "Eyes: light");
    enter(&mut window, "Left Dix-Hallpike");
    let sentences: Vec<String> = {
        let open = window.state().session.lesson.open.as_ref().unwrap();
        let held = open.seen.iter().filter(|seen| seen.name != "Turn");
        held.map(|seen| sentence(&seen.finding)).collect()
    };
    let found = |window: &Window, words: &str| window.query_all_by_label_contains(words).count();
    let moments: Vec<f64> = {
        let shown = window.state().session.shown.clone().unwrap();
        assert!(shown.findings.iter().all(|words| words == EYES_TOLD_LATER));
        let step_times = shown.step_times.iter();
        step_times.map(|step| step.hold_from_s + 1.5).collect()
    };
    let mut beats = 0;
    for time_s in &moments {
        let seek = Command::Play(PlayCommand::Seek(*time_s));
        window.state_mut().session.apply(seek);
        window.run();
        assert!(found(&window, &format!("Both eyes. {EYES_TOLD_LATER}")) > 0);
        for words in sentences
            .iter()
            .map(String::as_str)
            .chain(["beat", "slow phase"])
        {
            assert_eq!(found(&window, words), 0, "{words} at {time_s} s");
        }
    }
    window.get_by_label_contains("Held 30 s, watched under dark goggles.");
    window.get_by_label_contains("Held 30 s, watched in the light.");
    // Once it is named, all of it is there.
    enter(&mut window, "Name it");
    for words in &sentences {
        assert!(found(&window, words) > 0, "{words}");
    }
    for time_s in &moments {
        let seek = Command::Play(PlayCommand::Seek(*time_s));
        window.state_mut().session.apply(seek);
        window.run();
        beats += found(&window, "beat");
    }
    assert!(beats > 0, "nothing was there to be told");
}

#[test]
fn leaving_the_lesson_puts_the_scenario_back_and_coming_back_the_case() {
    let mut window = open();
    enter(&mut window, "Begin the case");
    enter(&mut window, "Use: Rehearsal");
    assert!(!window.state().session.shown.as_ref().unwrap().hidden);
    enter(&mut window, "Use: Lesson");
    assert!(window.state().session.shown.as_ref().unwrap().hidden);
}

#[test]
fn eyes_are_read_by_words() {
    let mut window = open();
    enter(&mut window, "Lesson: Reading");
    press(&mut window, "Next recording");
    let word = window
        .state()
        .session
        .lesson
        .reading
        .recording
        .as_ref()
        .unwrap()
        .word;
    window.get_by_label(word.name()).click();
    window.step();
    window.step();
    let reading = &window.state().session.lesson.reading;
    assert_eq!(reading.pairs, [(word, word)]);
}

#[test]
fn practice_goes_on_from_the_learners_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("KV-07.json");
    let mut learner = Learner::new("KV-07").unwrap();
    let row = |kind, seed, truth: &str, named: &str| ResultRow {
        learner: "KV-07".to_owned(),
        at_unix_s: 1_700_000_000,
        kind,
        seed,
        difficulty: (kind == ResultKind::Case).then_some(Difficulty::Common),
        truth: truth.to_owned(),
        named: named.to_owned(),
        points: 0,
        of: 1,
    };
    let words = [EyeWord::Upbeating, EyeWord::Nothing].map(EyeWord::name);
    for seed in 0..12 {
        // The first is read wrong, all others right: kappa ends at 1.
        let truth = words[(seed % 2) as usize];
        let named = if seed == 0 { words[1] } else { truth };
        learner.add(row(ResultKind::Reading, seed, truth, named));
    }
    learner.add(row(ResultKind::Case, 3, "what case 3 is", "something else"));
    write_learner(&path, &learner).unwrap();
    let mut window = open();
    window.state_mut().session.lesson.folder = Some(folder.path().to_owned());
    let code = Command::Lesson(LessonCommand::Code("KV-07".to_owned()));
    window.state_mut().session.apply(code);
    enter(&mut window, "Lesson: Progress");
    enter(&mut window, "Keep progress");
    window.get_by_label("Kappa over recordings read, 1.00 at the end");
    // The answer stands nowhere.
    assert_eq!(
        window.query_all_by_label_contains("what case 3 is").count(),
        0
    );
    for name in ["Repeat recording 10", "Repeat recording 11"] {
        window.get_by_label(name);
    }
    enter(&mut window, "Repeat case 3, common");
    let open = window.state().session.lesson.open.as_ref().unwrap();
    assert_eq!(
        (open.record.seed, open.record.difficulty),
        (3, Difficulty::Common)
    );
    enter(&mut window, "Lesson: Progress");
    let read = |window: &mut Window, seed: u64| {
        let recording = window.state().session.lesson.reading.recording.clone();
        let recording = recording.unwrap();
        assert_eq!(recording.seed, seed);
        // What is shown runs on: there is no picture to wait for.
        let word = Command::Lesson(LessonCommand::Read(recording.word));
        window.state_mut().session.apply(word);
        window.run();
    };
    press(&mut window, "Repeat recording 11");
    read(&mut window, 11);
    // New ones come after those of the file.
    press(&mut window, "Next recording");
    read(&mut window, 12);
    let kept = read_learner(&path).unwrap().results;
    let seeds: Vec<u64> = kept.iter().rev().take(2).map(|row| row.seed).collect();
    assert_eq!(seeds, [12, 11]);
    enter(&mut window, "Lesson: Progress");
    window.get_by_label_contains("The next one is due in");
}

#[test]
fn a_class_set_is_made_opened_begun_and_its_results_written() {
    let folder = tempfile::tempdir().unwrap();
    let set = folder.path().join("week.ron");
    let results = folder.path().join("results.csv");
    let mut window = open();
    enter(&mut window, "Lesson: Progress");
    let ask = |window: &mut Window, command| {
        let command = Command::Lesson(LessonCommand::Class(command));
        window.state_mut().session.apply(command);
        window.step();
        window.run();
    };
    ask(
        &mut window,
        ClassCommand::SetPath(set.display().to_string()),
    );
    ask(
        &mut window,
        ClassCommand::Form(SetForm {
            title: "Kestrel Valley, week 1".to_owned(),
            first: 3,
            count: 2,
            difficulty: Some(Difficulty::Common),
        }),
    );
    ask(&mut window, ClassCommand::WriteSet);
    assert!(set.exists());
    // What is there is not written over.
    ask(&mut window, ClassCommand::WriteSet);
    window.get_by_label_contains("is there already");
    enter(&mut window, "Open the set");
    window.get_by_label_contains("Kestrel Valley, week 1: 0 of 2 done");
    enter(&mut window, "Begin case 1 of the set");
    let open = window.state().session.lesson.open.as_ref().unwrap();
    assert_eq!(
        (open.record.seed, open.record.difficulty),
        (3, Difficulty::Common)
    );
    enter(&mut window, "Debrief");
    // Whoever names nothing is told all the same.
    assert!(!window.state().session.shown.as_ref().unwrap().hidden);
    enter(&mut window, "Lesson: Progress");
    window.get_by_label_contains("1 of 2 done");
    ask(
        &mut window,
        ClassCommand::ResultsPath(results.display().to_string()),
    );
    enter(&mut window, "Write results there");
    enter(&mut window, "Read results");
    let sums = &window.state().session.lesson.class.sums;
    assert_eq!((sums.len(), sums[0].cases), (1, 1));
}
