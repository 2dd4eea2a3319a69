//! Pictures of a lesson's states: nothing begun, named wrong, cut short, cleared; and of what clears a case.
//! `UPDATE_SNAPSHOTS=1` draws the kept ones anew; `LESSON_LOOKS=FOLDER` keeps every size and theme there.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test")]

mod hands;

use std::{
    ops::ControlFlow,
    path::PathBuf,
    sync::{Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};

use egui::{Key, Theme, Vec2, vec2};
use egui_kittest::{Harness, SnapshotOptions};
use hands::hold_key;
use lithodrome_app::{
    export::{Export, Pictured, Saved},
    lesson::{
        clears::{
            command::ClearsCommand,
            state::{ClearsView, MapPlace, MapSource},
        },
        state::{LessonTab, Position, Way},
    },
    session::{
        Preferences,
        command::{Command, DriveCommand, ExportCommand, LessonCommand, Use},
    },
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{
    Difficulty, EyeWord, Learner, LesionKind, Mechanism, Part, ResultKind, ResultRow,
};
use lithodrome_study::{CaseMixture, MapQuestion, outcome_map, treatments, write_map};

type Window = Harness<'static, App>;

const SMALL: Vec2 = vec2(1024.0, 700.0);
const USUAL: Vec2 = vec2(1440.0, 900.0);

/// One window at a time: a software driver that draws several at once is too slow for each of them.
fn alone() -> MutexGuard<'static, ()> {
    static ONE: Mutex<()> = Mutex::new(());
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

fn open(size: Vec2, theme: Theme) -> Window {
    let preferences = Preferences {
        notice_read: true,
        used_for: Use::Lesson,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(64)
        .wgpu()
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    window
}

fn settle(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    loop {
        let lesson = &window.state().session.lesson;
        if window.state().is_ready() && !lesson.desk.is_busy() && !lesson.clears.is_busy() {
            break;
        }
        assert!(patience.elapsed().as_secs() < 300, "it does not get ready");
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.state_mut().session.playback.playing = false;
    window.run();
}

fn ask(window: &mut Window, command: LessonCommand) {
    window.state_mut().session.apply(Command::Lesson(command));
    settle(window);
}

/// Keeps the picture in this size and theme; all four, where somebody wants to look at them.
fn picture(window: &mut Window, name: &str, size: Vec2, theme: Theme) {
    if let Some(folder) = std::env::var_os("LESSON_LOOKS").map(PathBuf::from) {
        std::fs::create_dir_all(&folder).unwrap();
        for size in [SMALL, USUAL] {
            for theme in [Theme::Light, Theme::Dark] {
                look(window, size, theme);
                let wide = size.x as u32;
                let path = folder.join(format!("{name}-{wide}-{theme:?}.png"));
                window.render().unwrap().save(path).unwrap();
            }
        }
    }
    look(window, size, theme);
    let options = SnapshotOptions::new().max_failed_pixels(200);
    window.snapshot_options(name, &options);
}

fn look(window: &mut Window, size: Vec2, theme: Theme) {
    window.set_size(size);
    window.ctx.set_theme(theme);
    settle(window);
}

/// The first common case with a right posterior canal, that nothing holds.
fn begin(window: &mut Window) {
    ask(window, LessonCommand::Difficulty(Some(Difficulty::Common)));
    let seed = (0..200).find(|seed| {
        let case = lithodrome_rehearsal::HiddenCase::drawn(*seed, Difficulty::Common);
        let id = case.truth.lesions[0].canal_id();
        id == RIGHT_POSTERIOR
            && case.debris[0].adhesion.is_none()
            && case.debris[0].dispersal.is_none()
    });
    ask(window, LessonCommand::Seed(seed.unwrap()));
    ask(window, LessonCommand::Begin);
}

const RIGHT_POSTERIOR: CanalId = CanalId {
    ear: lithodrome_labyrinth::Ear::Right,
    canal: Canal::Posterior,
};

fn name(window: &mut Window, canal: Canal) {
    let id = CanalId {
        canal,
        ..RIGHT_POSTERIOR
    };
    let command = LessonCommand::Mark(id.index(), Some(LesionKind::AmpullaryArm));
    ask(window, command);
    ask(window, LessonCommand::Name);
}

/// The bytes of what is saved there.
fn save(window: &mut Window, export: Export, path: &std::path::Path) -> Vec<u8> {
    window.state_mut().session.export.saved = None;
    let command = ExportCommand::To(export, path.to_owned());
    window.state_mut().ask(Command::Export(command));
    let patience = Instant::now();
    while window.state().session.export.saved.is_none() {
        assert!(patience.elapsed().as_secs() < 600);
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    let saved = window.state_mut().session.export.saved.take();
    assert_eq!(saved, Some(Saved::Done(path.to_owned())));
    std::fs::read(path).unwrap()
}

#[test]
fn nothing_begun() {
    let _alone = alone();
    let mut window = open(SMALL, Theme::Light);
    ask(&mut window, LessonCommand::Show(LessonTab::Case));
    picture(&mut window, "lesson_empty", SMALL, Theme::Light);
}

#[test]
fn named_wrong() {
    let _alone = alone();
    let mut window = open(USUAL, Theme::Dark);
    begin(&mut window);
    ask(&mut window, LessonCommand::Do(Position::RightDixHallpike));
    picture(&mut window, "lesson_hidden", USUAL, Theme::Dark);
    name(&mut window, Canal::Lateral);
    ask(&mut window, LessonCommand::Debrief);
    picture(&mut window, "lesson_wrong", USUAL, Theme::Dark);
}

#[test]
fn driven_by_hand() {
    let _alone = alone();
    let mut window = open(USUAL, Theme::Light);
    begin(&mut window);
    ask(&mut window, LessonCommand::Do(Position::RightDixHallpike));
    let script = window.state_mut().session.start_scripted_drive();
    hold_key(&mut window, &script, Some(Key::ArrowDown), 2.0);
    hold_key(&mut window, &script, None, 6.0);
    picture(&mut window, "lesson_driven", USUAL, Theme::Light);
    let end = Command::Drive(DriveCommand::End);
    window.state_mut().session.apply(end);
    drop(script);
    while window.state().session.drive.is_some() {
        std::thread::sleep(Duration::from_millis(5));
        window.step();
    }
    settle(&mut window);
    let open = window.state().session.lesson.open.as_ref().unwrap();
    assert!(open.record.acts.iter().any(|act| !act.driven.is_empty()));
}

#[test]
fn cut_short() {
    let _alone = alone();
    let mut window = open(SMALL, Theme::Dark);
    begin(&mut window);
    let short = Way {
        hold_s: 4.0,
        ..Way::default()
    };
    ask(&mut window, LessonCommand::Way(short));
    ask(&mut window, LessonCommand::Do(Position::RightDixHallpike));
    name(&mut window, Canal::Posterior);
    ask(&mut window, LessonCommand::Debrief);
    let open = window.state().session.lesson.open.as_ref().unwrap();
    let debrief = open.debrief.as_ref().unwrap();
    assert!(debrief.missed.iter().any(Option::is_some));
    picture(&mut window, "lesson_cut_short", SMALL, Theme::Dark);
}

#[test]
fn cleared() {
    let _alone = alone();
    let mut window = open(USUAL, Theme::Light);
    begin(&mut window);
    ask(&mut window, LessonCommand::Do(Position::RightDixHallpike));
    name(&mut window, Canal::Posterior);
    let title = "Right posterior canal, Epley with the whole body";
    let library = lithodrome_rehearsal::library().unwrap();
    let entry = library
        .iter()
        .position(|entry| entry.scenario.title == title);
    ask(&mut window, LessonCommand::Treat(entry.unwrap()));
    ask(&mut window, LessonCommand::Wait(60.0));
    let control = Way {
        part: Part::Control,
        ..Way::default()
    };
    ask(&mut window, LessonCommand::Way(control));
    ask(&mut window, LessonCommand::Do(Position::RightDixHallpike));
    ask(&mut window, LessonCommand::Debrief);
    let open = window.state().session.lesson.open.as_ref().unwrap();
    assert!(open.debrief.as_ref().unwrap().still_in.is_empty());
    picture(&mut window, "lesson_cleared", USUAL, Theme::Light);
    // The page and a picture of the clip are whole files.
    let temporary = tempfile::tempdir().unwrap();
    let kept = std::env::var_os("LESSON_LOOKS").map(PathBuf::from);
    let is_kept = kept.is_some();
    let folder = kept.unwrap_or_else(|| temporary.path().to_owned());
    let page = save(&mut window, Export::Debrief, &folder.join("page.pdf"));
    assert!(page.starts_with(b"%PDF"));
    window.state_mut().session.playback.seek(200.0);
    let clip = Export::Picture(Pictured::Words);
    let clip = save(&mut window, clip, &folder.join("clip.png"));
    assert!(clip.starts_with(b"\x89PNG"));
    // Whole ones take a while: by hand, with LESSON_LOOKS in the environment.
    if is_kept {
        let gif = Export::Animation(Pictured::Words);
        let gif = save(&mut window, gif, &folder.join("clip.gif"));
        assert!(gif.starts_with(b"GIF89a"));
        let whole = Export::Picture(Pictured::Window);
        save(&mut window, whole, &folder.join("debrief.png"));
    }
}

#[test]
fn what_improves() {
    let _alone = alone();
    let mut learner = Learner::new("KV-07").unwrap();
    let [up, nothing] = [EyeWord::Upbeating, EyeWord::Nothing].map(EyeWord::name);
    for seed in 0..24u64 {
        let truth = if seed % 2 == 0 { up } else { nothing };
        // Wrong more rarely from one to the next.
        let wrong = [0, 1, 3, 4, 7, 11, 16, 21].contains(&seed);
        learner.add(ResultRow {
            learner: "KV-07".to_owned(),
            at_unix_s: 1_700_000_000 + 3_600 * seed.cast_signed(),
            kind: ResultKind::Reading,
            seed,
            difficulty: None,
            truth: truth.to_owned(),
            named: if wrong { "downbeating" } else { truth }.to_owned(),
            points: u32::from(!wrong),
            of: 1,
        });
    }
    let mut window = open(USUAL, Theme::Light);
    window.state_mut().session.lesson.learner = Some(learner);
    ask(&mut window, LessonCommand::Show(LessonTab::Progress));
    picture(&mut window, "lesson_progress", USUAL, Theme::Light);
}

#[test]
fn what_clears_it() {
    let _alone = alone();
    let folder = tempfile::tempdir().unwrap();
    let mut some = treatments().unwrap();
    some.retain(|t| t.name.contains("epley") || t.name.contains("posterior-semont"));
    let mixture = CaseMixture::usual().unwrap();
    let map = outcome_map(&mixture, &some, 4, 1, None, &|_, _| {
        ControlFlow::Continue(())
    })
    .unwrap();
    let path = folder.path().join("map.csv");
    write_map(&map, &path).unwrap();
    let mut window = open(USUAL, Theme::Light);
    ask(&mut window, LessonCommand::Show(LessonTab::Clears));
    let clears = |window: &mut Window, command| ask(window, LessonCommand::Clears(command));
    clears(&mut window, ClearsCommand::Read(MapSource::File(path)));
    let names: Vec<String> = {
        let ranked = &window.state().session.lesson.clears.ranked;
        [0, ranked.len() - 1]
            .map(|i| ranked[i].name.clone())
            .to_vec()
    };
    picture(&mut window, "clears_ranking", USUAL, Theme::Light);
    for name in &names {
        clears(&mut window, ClearsCommand::Mark(name.clone(), true));
    }
    clears(&mut window, ClearsCommand::Beside);
    picture(&mut window, "clears_beside", USUAL, Theme::Dark);
    clears(&mut window, ClearsCommand::Look(ClearsView::Map));
    let cell = MapPlace {
        name: names[0].clone(),
        ear: Ear::Right,
        size: MapQuestion::default().size,
        canal: Canal::Posterior,
        place: Mechanism::AmpullaryArm,
    };
    clears(&mut window, ClearsCommand::Why(cell));
    picture(&mut window, "clears_map", SMALL, Theme::Light);
    // A few thousand bytes are an empty sheet; by hand with LESSON_LOOKS to look at.
    let kept = std::env::var_os("LESSON_LOOKS").map(PathBuf::from);
    let is_kept = kept.is_some();
    let folder = kept.unwrap_or_else(|| folder.path().to_owned());
    let picture = save(
        &mut window,
        Export::Picture(Pictured::Map),
        &folder.join("map.png"),
    );
    assert!(picture.starts_with(b"\x89PNG") && picture.len() > 10_000);
    let drawing = save(&mut window, Export::MapDrawing, &folder.join("map.svg"));
    assert!(String::from_utf8(drawing).unwrap().contains("<svg"));
    if is_kept {
        clears(&mut window, ClearsCommand::Look(ClearsView::Ranking));
        clears(&mut window, ClearsCommand::Read(MapSource::Shipped));
        let whole = Export::Picture(Pictured::Window);
        save(&mut window, whole, &folder.join("what-clears-it.png"));
    }
}
