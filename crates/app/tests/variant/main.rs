//! A question about many ears by accessible names: asked, compared, taken out, stopped; pictures of its views.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test")]

#[path = "../hands/mod.rs"]
mod hands;
mod kept;

use std::{
    path::{Path, PathBuf},
    process,
    sync::{Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};

use egui::{Key, Theme, Vec2, vec2};
use egui_kittest::{Harness, SnapshotOptions, kittest::Queryable as _};
use hands::{Window, press, session, settle, type_into};
use lithodrome_app::{
    export::{Export, Saved},
    session::{
        Preferences,
        command::{Command, ExportCommand, Use, VariantCommand},
    },
    shell::app::App,
    variant::{
        form::{Asked, Form, Varied, VaryForm},
        state::Part,
        taken_out::{StudyExport, StudyPicture, TableAs},
    },
    work::stage_data::Origin,
};
use lithodrome_study::{StudyFile, SummaryTable};

const SMALL: Vec2 = vec2(1024.0, 700.0);
const USUAL: Vec2 = vec2(1440.0, 900.0);
/// Near the top of the list, so that it need not be scrolled to.
const EXERCISE: &str = "Right posterior canal, Brandt-Daroff exercise";
const SEMONT: &str = "Right posterior canal, Semont with the whole body";

/// One window at a time: several would share the processors with each other's ears.
fn alone() -> MutexGuard<'static, ()> {
    static ONE: Mutex<()> = Mutex::new(());
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

fn open(size: Vec2, theme: Theme, drawn: bool) -> Window {
    let preferences = Preferences {
        notice_read: true,
        used_for: Use::Variant,
        ..Preferences::default()
    };
    let builder = Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(64);
    let builder = if drawn { builder.wgpu() } else { builder };
    let mut window =
        builder.build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    if drawn {
        let patience = Instant::now();
        while !window.state().is_ready() {
            assert!(patience.elapsed().as_secs() < 120, "it does not get ready");
            std::thread::sleep(Duration::from_millis(20));
            window.step();
        }
        window.run();
    }
    window
}

/// Waits for the answer.
fn answered(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    while session(window).variant.desk.is_busy() {
        assert!(patience.elapsed().as_secs() < 120, "no answer comes");
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    window.run();
    assert_eq!(session(window).variant.told, None);
}

fn choose(window: &mut Window, list: &str, entry: &str) {
    window.get_by_label(list).click();
    window.run();
    window.get_by_label(entry).click();
    window.run();
}

/// Takes something out and waits for the file.
fn save(window: &mut Window, what: StudyExport, path: &Path) {
    let command = ExportCommand::To(Export::Study(what), path.to_owned());
    window.state_mut().ask(Command::Export(command));
    window.step();
    let patience = Instant::now();
    while session(window).export.under_way().is_some() {
        assert!(patience.elapsed().as_secs() < 60, "it is not saved");
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    let saved = session(window).export.saved.clone();
    assert_eq!(saved, Some(Saved::Done(path.to_owned())));
    assert!(path.exists());
}

/// The words of a printed report, one space between them.
fn text_of(path: &Path) -> String {
    let read = process::Command::new("pdftotext")
        .args(["-layout", path.to_str().unwrap(), "-"])
        .output()
        .expect("pdftotext (package poppler-utils)");
    let text = String::from_utf8(read.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn one_whole_session_by_accessible_names() {
    let _alone = alone();
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(vec2(1440.0, 2600.0), Theme::Light, false);
    window
        .state_mut()
        .ask(Command::Variant(VariantCommand::KeepIn(
            folder.path().to_owned(),
        )));
    window.get_by_label("Nothing has been asked yet.");
    type_into(&mut window, "Ears", "12", Key::Enter);
    press(&mut window, "Start");
    answered(&mut window);
    let found = session(&window).variant.found.clone().unwrap();
    assert_eq!((found.done(), found.rows.len()), (12, 12));
    window.get_by_label_contains("of 12 ears, which means ");
    window.get_by_label_contains("12 dots for Open: ");

    press(&mut window, "Which one is gentler?");
    choose(&mut window, "Sequence beside it", EXERCISE);
    press(&mut window, "Start");
    answered(&mut window);
    press(&mut window, "Result: Beside");
    window.get_by_label_contains("B beside A. ");
    window.get_by_label("Lowest head");
    let found = session(&window).variant.found.clone().unwrap();
    assert_eq!(found.report.compared.len(), 1);
    // The same ears as before, with the same errors.
    let (first, second) = (&found.report.strain[0], &found.report.strain[1]);
    assert!((first.lowest_head_deg - 30.0).abs() < 0.1 && second.lowest_head_deg < 30.0);
    press(&mut window, "Result: Curve");
    press(&mut window, "Result: Inputs");

    let path = folder.path().join("report.pdf");
    save(&mut window, StudyExport::Report, &path);
    let flat = text_of(&path);
    for words in [
        "Which one is gentler? 12 ears, seed 1",
        "Brandt-Daroff exercise",
        "not a medical device",
        "page 2 of 2",
        "turning, °",
        "How the share settles",
    ] {
        assert!(flat.contains(words), "{words} is not in {flat}");
    }

    save(
        &mut window,
        StudyExport::Ears(TableAs::Csv),
        &folder.path().join("a.csv"),
    );
    save(
        &mut window,
        StudyExport::Summary(SummaryTable::Sequences, TableAs::Parquet),
        &folder.path().join("a.parquet"),
    );
    save(
        &mut window,
        StudyExport::Drawing(StudyPicture::Curve),
        &folder.path().join("a.svg"),
    );
    let text = std::fs::read_to_string(folder.path().join("a.svg")).unwrap();
    assert!(text.contains("cleared, in 100") && text.contains("rotate(-90"));
    assert!(text.contains("not a medical device"));
    let study = folder.path().join("question.ron");
    save(&mut window, StudyExport::StudyFile, &study);
    let read = StudyFile::read(&study).unwrap();
    assert_eq!(read.sequences[0], "question-sequence.ron");
    assert!(read.resolve(folder.path()).is_ok());

    // The worst ear opens as a run of its own, after what is not saved was asked about.
    press(&mut window, "Result: Ears");
    let worst = &found.report.sequences[0].worst;
    if let Some(worst) = worst.first() {
        press(&mut window, &format!("Open ear {}", worst.index));
        let opened = hands::draft(&window);
        assert!(opened.title.ends_with(&format!("ear {}", worst.index)));
        assert_eq!(hands::fault(&window), None);
        assert_eq!(
            *session(&window).shown.as_ref().unwrap().scenario.anatomy,
            opened.anatomy
        );
        window.get_by_label("The open scenario has changed since; this is of what it was.");
    }
}

#[test]
fn what_is_done_stays_when_it_is_stopped() {
    let _alone = alone();
    let mut window = open(vec2(1440.0, 2000.0), Theme::Dark, false);
    type_into(&mut window, "Ears", "20000", Key::Enter);
    window.get_by_label("Start").click();
    window.step();
    let patience = Instant::now();
    while session(&window).variant.found.is_none() {
        assert!(patience.elapsed().as_secs() < 60, "nothing comes");
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    window.get_by_label("Cancel").click();
    window.step();
    window.step();
    assert!(!session(&window).variant.desk.is_busy());
    window.get_by_label_contains("Stopped after ");
    window.get_by_label("Start");
    // A form that cannot be asked is told, and the result stays.
    let form = Form {
        mixture: "no-such-mixture.ron".to_owned(),
        ..Form::default()
    };
    window
        .state_mut()
        .ask(Command::Variant(VariantCommand::Write(Box::new(form))));
    window.step();
    window.get_by_label("Start").click();
    window.step();
    let patience = Instant::now();
    while session(&window).variant.desk.is_busy() {
        assert!(patience.elapsed().as_secs() < 60);
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    window.step();
    window.get_by_label_contains("no-such-mixture.ron: cannot be read");
    assert!(session(&window).variant.found.is_some());
}

#[test]
fn a_study_file_is_computed_as_it_stands() {
    let _alone = alone();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("two.ron");
    let text = "(format: 1, title: \"Two beside each other\", case: (ear: Left, canal: Posterior), n: 64, seed: 3, \
                sequences: [\"left-posterior-epley-whole-body\", \"left-posterior-semont-whole-body\"])";
    std::fs::write(&path, text.replace("canal: Posterior", "canal: Horizontal")).unwrap();
    let mut window = open(USUAL, Theme::Light, false);
    window.get_by_label("Path of a study file").focus();
    window.run();
    let typed = path.display().to_string();
    window
        .get_by_label("Path of a study file")
        .type_text(&typed);
    window.run();
    window.get_by_label("Compute it").click();
    window.run();
    window.get_by_label_contains("did you mean Lateral?");
    assert!(window.state().session.variant.found.is_none());
    std::fs::write(&path, text).unwrap();
    window.get_by_label("Compute it").click();
    answered(&mut window);
    let found = window.state().session.variant.found.clone().unwrap();
    assert_eq!((found.done(), found.of), (64, 64));
    assert_eq!(found.report.sequences.len(), 2);
    assert_eq!(found.study.canal().name(), "left posterior canal");
    // The form is as it was.
    assert_eq!(window.state().session.variant.form, Form::default());
}

fn ask(window: &mut Window, form: Form) {
    let write = VariantCommand::Write(Box::new(form));
    window.state_mut().session.apply(Command::Variant(write));
    let start = Command::Variant(VariantCommand::Start);
    window.state_mut().session.apply(start);
    answered(window);
}

fn show(window: &mut Window, part: Part) {
    let show = Command::Variant(VariantCommand::Show(part));
    window.state_mut().session.apply(show);
    window.run();
}

/// Takes the picture; how long it took is another time each time. `VARIANT_LOOKS=FOLDER` keeps it in both themes, small,
/// usual and so tall that the whole column is seen.
fn picture(window: &mut Window, name: &str) {
    let variant = &mut window.state_mut().session.variant;
    if let Some(found) = &variant.found {
        let mut found = (**found).clone();
        found.seconds = 1.0;
        variant.found = Some(std::sync::Arc::new(found));
    }
    window.run();
    if let Some(folder) = std::env::var_os("VARIANT_LOOKS").map(PathBuf::from) {
        std::fs::create_dir_all(&folder).unwrap();
        let was = (window.ctx.content_rect().size(), window.ctx.theme());
        for size in [SMALL, USUAL, vec2(1440.0, 2000.0)] {
            for theme in [Theme::Light, Theme::Dark] {
                window.set_size(size);
                window.ctx.set_theme(theme);
                window.run();
                let path = folder.join(format!("{name}-{}-{theme:?}.png", size.y as u32));
                window.render().unwrap().save(path).unwrap();
            }
        }
        window.set_size(was.0);
        window.ctx.set_theme(was.1);
        window.run();
    }
    let options = SnapshotOptions::new().max_failed_pixels(200);
    window.snapshot_options(name, &options);
}

fn swept() -> Form {
    let axis = |what: Varied, points| {
        let (from, to) = what.range();
        VaryForm {
            what: Some(what),
            from,
            to,
            points,
        }
    };
    Form {
        ears: 24,
        vary: [axis(Varied::Hold, 4), axis(Varied::BelowHorizontal, 3)],
        ..Form::default()
    }
}

#[test]
fn share_and_map() {
    let _alone = alone();
    let mut window = open(USUAL, Theme::Light, true);
    picture(&mut window, "variant_empty_light");
    ask(&mut window, swept());
    show(&mut window, Part::Share);
    picture(&mut window, "variant_share_light");
    show(&mut window, Part::Heat);
    picture(&mut window, "variant_map_light");
}

#[test]
fn sequences_side_by_side() {
    let _alone = alone();
    let mut window = open(SMALL, Theme::Dark, true);
    let semont = lithodrome_app::work::library::library()
        .iter()
        .position(|e| e.title == SEMONT)
        .unwrap();
    ask(
        &mut window,
        Form {
            asked: Asked::Gentler,
            others: vec![lithodrome_app::variant::form::Source::Library(semont)],
            ears: 160,
            ..Form::default()
        },
    );
    picture(&mut window, "variant_share_dark");
    show(&mut window, Part::Beside);
    picture(&mut window, "variant_beside_dark");
    show(&mut window, Part::Curve);
    picture(&mut window, "variant_curve_dark");
}

#[test]
fn one_within_limits_is_searched_for_and_opened() {
    let _alone = alone();
    let mut window = open(USUAL, Theme::Dark, true);
    let limits = lithodrome_app::variant::form::Limits {
        lowest_head_deg: 15.0,
        ..Default::default()
    };
    ask(
        &mut window,
        Form {
            asked: Asked::WithinLimits,
            ears: 16,
            grid_deg: 30.0,
            limits,
            ..Form::default()
        },
    );
    searched(&mut window);
    let searched_before = session(&window).variant.searching.searched.clone().unwrap();
    assert!((searched_before.report.limits.lowest_deg() - 15.0).abs() < 1e-9);
    // Another limit is answered from the tables first, then checked.
    window.get_by_label("Lowest head that is allowed").focus();
    window.run();
    window.key_press(Key::ArrowRight);
    window.step();
    window.step();
    assert!(!session(&window).variant.searching.is_checked());
    searched(&mut window);
    let variant = &mut window.state_mut().session.variant;
    assert!((variant.form.limits.lowest_head_deg - 16.0).abs() < 1e-9);
    assert!(variant.searching.is_checked());
    let coarse = variant.searching.coarse.as_ref().unwrap();
    println!("coarse answer in {:.3} s", coarse.seconds);
    picture(&mut window, "variant_limits_dark");
    let found = session(&window).variant.searching.searched.clone().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("searched.pdf");
    save(&mut window, StudyExport::Report, &path);
    let text = text_of(&path);
    for words in ["A new sequence", "Searched for the right posterior canal"] {
        assert!(text.contains(words), "{words} is not in {text}");
    }
    if let Some(scenario) = &found.found {
        assert!(
            text.contains("Beside Right posterior canal, Epley"),
            "{text}"
        );
        window.get_by_label("Open the found one").click();
        settle(&mut window);
        assert_eq!(hands::draft(&window).steps, scenario.steps);
    } else {
        window.get_by_label("None was found.");
    }
}

#[test]
fn a_canal_that_nobody_knows_is_searched_for() {
    let _alone = alone();
    let mut window = open(vec2(1440.0, 2600.0), Theme::Light, false);
    press(&mut window, "Is there one without inversion?");
    choose(
        &mut window,
        "Where debris is searched for",
        "this ear, canal unknown",
    );
    type_into(&mut window, "Ears", "16", Key::Enter);
    let form = &mut window.state_mut().session.variant.form;
    form.grid_deg = 30.0;
    press(&mut window, "Start");
    searched(&mut window);
    let found = session(&window).variant.searching.searched.clone().unwrap();
    assert!(
        found.report.canal.contains("unknown"),
        "{}",
        found.report.canal
    );
}

/// Waits for the search.
fn searched(window: &mut Window) {
    let patience = Instant::now();
    loop {
        window.step();
        let searching = &session(window).variant.searching;
        if searching.is_checked() && !searching.is_busy() {
            break;
        }
        assert_eq!(searching.fault, None);
        assert!(
            patience.elapsed().as_secs() < 300,
            "the search does not end"
        );
        std::thread::sleep(Duration::from_millis(20));
    }
    window.run();
}
