//! What the window saves is read back: pictures, table, diagrams, moving pictures.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::{fs, path::Path};

use egui_kittest::{Harness, kittest::Queryable as _};
use image::{AnimationDecoder as _, RgbaImage};
use lithodrome_app::{
    export::{Export, Pictured, Saved, caption},
    session::Preferences,
    session::command::{Command, ExportCommand},
    shell::app::App,
    work::stage_data::Origin,
};

/// Ten seconds with two pieces of debris, so that films are short.
const SHORT: &str = r#"(
    format: 1, title: "Short <turn> & stop",
    debris: [( ear: Right, canal: Posterior, at: AmpullaryArm, count: 2, diameter_um: 60.0 )],
    steps: [
        ( name: "Turn", yaw_deg: 45.0, move_s: 2.0, hold_s: 1.0 ),
        ( name: "Lie back", track_deg: 120.0, move_s: 2.0, hold_s: 5.0 ),
    ],
)"#;

fn open(folder: &Path, speed: f64) -> Harness<'static, App> {
    let file = folder.join("short.ron");
    fs::write(&file, SHORT).unwrap();
    let preferences = Preferences {
        notice_read: true,
        speed,
        ..Preferences::default()
    };
    let mut harness = Harness::builder()
        .with_size([1440.0, 900.0])
        .with_max_steps(64)
        .wgpu()
        .build_eframe(|cc| App::with_preferences(cc, Origin::File(file), preferences));
    while !harness.state().is_ready() {
        std::thread::sleep(std::time::Duration::from_millis(20));
        harness.step();
    }
    harness.run();
    harness
}

fn save(harness: &mut Harness<'static, App>, export: Export, path: &Path) -> Saved {
    harness
        .state_mut()
        .ask(Command::Export(ExportCommand::To(export, path.to_owned())));
    let patience = std::time::Instant::now();
    loop {
        harness.step();
        let session = &harness.state().session;
        if let Some(saved) = &session.export.saved {
            return saved.clone();
        }
        assert!(
            patience.elapsed().as_secs() < 300,
            "the export does not end"
        );
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
}

fn picture(path: &Path) -> RgbaImage {
    image::open(path).unwrap().into_rgba8()
}

fn colours(picture: &RgbaImage) -> usize {
    let all: std::collections::HashSet<_> = picture.pixels().map(|p| p.0).collect();
    all.len()
}

#[test]
fn pictures_have_their_size_and_are_not_empty() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = open(folder.path(), 4.0);
    for (pictured, size) in [
        (Pictured::Ear, (1600, 1248)),
        (Pictured::Room, (1600, 1248)),
        (Pictured::Window, (2880, 1848)),
    ] {
        // The extension is left out and added.
        let path = folder.path().join(pictured.name());
        let saved = save(&mut harness, Export::Picture(pictured), &path);
        let Saved::Done(path) = saved else {
            panic!("{saved:?}");
        };
        let picture = picture(&path);
        assert_eq!(picture.dimensions(), size);
        assert!(
            colours(&picture) > 500,
            "{} {}",
            pictured.name(),
            colours(&picture)
        );
        harness.get_by_label_contains("Saved to");
    }
}

#[test]
fn the_table_has_a_row_for_every_sample() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = open(folder.path(), 4.0);
    let path = folder.path().join("run.csv");
    let saved = save(&mut harness, Export::Table, &path);
    assert_eq!(saved, Saved::Done(path.clone()));
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("# Scenario: Short <turn> & stop"));
    let mut lines = text.lines().skip_while(|line| line.starts_with('#'));
    let head: Vec<_> = lines.next().unwrap().split(',').collect();
    let loaded = harness.state().session.shown.clone().unwrap();
    assert_eq!(lines.count(), loaded.run.time_s.len());
    let track = head.iter().position(|&name| name == "track_deg").unwrap();
    let last: Vec<_> = text.lines().last().unwrap().split(',').collect();
    // The scenario ends at track 120°, after 10 s.
    assert!((last[track].parse::<f64>().unwrap() - 120.0).abs() < 1e-6);
    assert!((last[0].parse::<f64>().unwrap() - 10.0).abs() < 1e-6);
}

#[test]
fn the_diagrams_are_well_formed_and_keep_their_words() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = open(folder.path(), 4.0);
    let path = folder.path().join("run.svg");
    let saved = save(&mut harness, Export::Diagrams, &path);
    assert_eq!(saved, Saved::Done(path.clone()));
    let text = fs::read_to_string(&path).unwrap();
    let drawing = roxmltree::Document::parse(&text).unwrap();
    let root = drawing.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    let words: Vec<_> = root
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    for word in ["Lie back", "Course", "cupula", "utricle"] {
        assert!(words.contains(&word), "{word} is not in {words:?}");
    }
    assert!(words.contains(&caption("Short <turn> & stop").as_str()));
    // Time, step and ear of the moment under the cursor, and a scale for the slow phase.
    let moment = "0:00.0 of 0:10.0 · step 1 of 2: Turn, moving · right ear";
    assert!(words.contains(&moment), "{words:?}");
    let is_scale = |w: &&str| {
        w.strip_suffix("°/s")
            .is_some_and(|n| n.parse::<f32>().is_ok())
    };
    assert!(words.iter().any(is_scale), "{words:?}");
    let paths = root
        .descendants()
        .filter(|n| n.has_tag_name("path"))
        .count();
    // At least yaw, track, two courses and three traces of the eyes.
    assert!(paths >= 7, "{paths}");
}

#[test]
fn films_have_every_picture() {
    let folder = tempfile::tempdir().unwrap();
    // 10 s at 16 times real time: 0.625 s, at ten pictures a second 7 and the first.
    let mut harness = open(folder.path(), 16.0);
    let path = folder.path().join("run.gif");
    let saved = save(&mut harness, Export::Animation(Pictured::Ear), &path);
    assert_eq!(saved, Saved::Done(path.clone()));
    let file = std::io::BufReader::new(fs::File::open(&path).unwrap());
    let frames = image::codecs::gif::GifDecoder::new(file).unwrap();
    let frames: Vec<_> = frames.into_frames().map(Result::unwrap).collect();
    assert_eq!(frames.len(), 8);
    let (first, last) = (frames[0].buffer(), frames[7].buffer());
    assert_eq!(first.dimensions(), (800, 624));
    let differ = first.pixels().zip(last.pixels()).filter(|(a, b)| a != b);
    assert!(differ.count() > 500, "gravity turned by 120°");
    let delay = |i: usize| std::time::Duration::from(frames[i].delay()).as_millis();
    assert_eq!((delay(0), delay(7)), (100, 2000));

    let path = folder.path().join("run");
    let saved = save(&mut harness, Export::Sequence(Pictured::Room), &path);
    assert_eq!(saved, Saved::Done(path.clone()));
    let mut names: Vec<_> = fs::read_dir(&path)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names.len(), 8);
    assert_eq!(
        (names[0].as_str(), names[7].as_str()),
        ("0001.png", "0008.png")
    );
    assert_eq!(picture(&path.join("0008.png")).dimensions(), (800, 624));
}

#[test]
fn a_film_can_be_stopped_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = open(folder.path(), 0.25);
    let path = folder.path().join("run.gif");
    let export = Export::Animation(Pictured::Ear);
    harness
        .state_mut()
        .ask(Command::Export(ExportCommand::To(export, path.clone())));
    harness.step();
    harness.get_by_label("Stop export").click();
    harness.run_steps(2);
    let patience = std::time::Instant::now();
    // What became of it is told by the work itself, which looks after each picture.
    while harness.state().session.export.under_way().is_some() {
        assert!(harness.state().session.export.is_stopping());
        assert!(patience.elapsed().as_secs() < 60, "it does not stop");
        std::thread::sleep(std::time::Duration::from_millis(50));
        harness.step();
    }
    let saved = harness.state().session.export.saved.clone();
    assert_eq!(saved, Some(Saved::Stopped));
    // The scenario alone remains.
    while fs::read_dir(folder.path()).unwrap().count() > 1 {
        assert!(patience.elapsed().as_secs() < 60, "something is left");
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
}

#[test]
fn a_place_that_is_not_there_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = open(folder.path(), 4.0);
    let path = folder.path().join("nowhere").join("run.svg");
    let saved = save(&mut harness, Export::Diagrams, &path);
    let Saved::Failed(words) = &saved else {
        panic!("{saved:?}");
    };
    assert!(words.contains("no such file or folder"), "{words}");
    assert!(words.starts_with(path.to_str().unwrap()), "{words}");
    harness.get_by_label_contains("Not saved");
    harness.get_by_label("Good").click();
    harness.run();
    assert!(harness.query_by_label_contains("Not saved").is_none());
}
