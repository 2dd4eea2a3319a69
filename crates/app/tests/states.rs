//! Pictures of the states that the window can be in; `UPDATE_SNAPSHOTS=1` draws them anew.

mod hands;

use std::{
    path::Path,
    sync::{Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};

use egui::{Key, Theme, Vec2, vec2};
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults, kittest::Queryable as _};
use hands::hold_key;
use lithodrome_app::{
    drive::pad::{PadEvent, PadSeat},
    session::Preferences,
    session::command::{CaseTab, Command, EditCommand, FileCommand, PlayCommand, ViewCommand},
    session::edit::{CaseEdit, Edit, SettingEdit, StepsEdit},
    shell::app::App,
    work::stage_data::Origin,
};
use lithodrome_chair::ShakeAxis;
use lithodrome_debris::Engine;
use lithodrome_labyrinth::Ear;
use lithodrome_rehearsal::{DispersalEntry, MoveEntry, ShapeEntry, SkullPlace};

type Window = Harness<'static, App>;

const SMALL: Vec2 = vec2(1024.0, 700.0);
const USUAL: Vec2 = vec2(1440.0, 900.0);

/// One window at a time: a software driver that draws several at once is too slow for each of them.
fn alone() -> MutexGuard<'static, ()> {
    static ONE: Mutex<()> = Mutex::new(());
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

fn open(first: Origin, size: Vec2, theme: Theme, notice_read: bool) -> Window {
    let preferences = Preferences {
        notice_read,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(64)
        .wgpu()
        .build_eframe(|cc| App::with_preferences(cc, first, preferences));
    settle(&mut window);
    window
}

fn shipped(size: Vec2, theme: Theme) -> Window {
    open(Origin::Shipped, size, theme, true)
}

/// Waits for the worker and for what is drawn for the first time, then for the window to come to rest.
fn settle(window: &mut Window) {
    let patience = Instant::now();
    window.step();
    while !window.state().is_ready() {
        assert!(patience.elapsed().as_secs() < 120, "it does not get ready");
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.run();
}

fn apply(window: &mut Window, command: Command) {
    window.state_mut().session.apply(command);
    settle(window);
}

/// Takes the picture and keeps what differs from the one kept.
fn picture(window: &mut Window, name: &str) {
    let options = SnapshotOptions::new().max_failed_pixels(200);
    window.snapshot_options(name, &options);
    let mut results = SnapshotResults::new();
    results.extend_harness(window);
}

#[test]
fn empty() {
    let _alone = alone();
    let missing = Origin::File("no-such-scenario.ron".into());
    let mut window = open(missing, SMALL, Theme::Light, true);
    apply(&mut window, Command::View(ViewCommand::DismissBanner));
    assert!(window.state().session.shown.is_none());
    window.get_by_label("No scenario is open");
    picture(&mut window, "state_empty");
}

#[test]
fn without_debris() {
    let _alone = alone();
    let mut window = shipped(SMALL, Theme::Dark);
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Case(CaseEdit::RemoveDebris(0)))),
    );
    apply(&mut window, Command::Play(PlayCommand::Seek(20.0)));
    window.get_by_label("There is no debris in this case.");
    picture(&mut window, "state_without_debris");
}

#[test]
fn computing() {
    let _alone = alone();
    let mut window = shipped(USUAL, Theme::Light);
    let Some(draft) = &window.state().session.draft else {
        panic!("nothing to edit");
    };
    let mut many = draft.scenario().debris[0].clone();
    (many.count, many.diameter_um) = (200, 20.0);
    // 200 bodies that push each other take seconds at least: long enough to be told of.
    let session = &mut window.state_mut().session;
    session.apply(Command::Edit(EditCommand::Change(Edit::Setting(
        SettingEdit::Engine(Engine::Rigid),
    ))));
    session.apply(Command::Edit(EditCommand::Change(Edit::Case(
        CaseEdit::SetDebris(0, many),
    ))));
    let patience = Instant::now();
    while !window.state().session.computing_shows() {
        assert!(patience.elapsed().as_secs() < 20);
        std::thread::sleep(Duration::from_millis(20));
        window.step();
    }
    window.step();
    let session = &window.state().session;
    assert!(session.worker.share().is_some() && session.shown.is_some());
    window.get_by_label("Cancel");
    // How far it has come is another thing each time.
    let bars = window.get_all_by_label("Computing the run");
    let bar = bars.map(|bar| bar.rect()).find(|r| r.width() > 300.0);
    window.mask(bar.expect("a bar of progress"));
    picture(&mut window, "state_computing");
    window
        .state_mut()
        .session
        .apply(Command::Edit(EditCommand::CancelWork));
}

#[test]
fn cleared() {
    let _alone = alone();
    let mut window = shipped(USUAL, Theme::Light);
    apply(&mut window, Command::Play(PlayCommand::Seek(f64::INFINITY)));
    window.get_by_label("All 5 pieces have left the right posterior canal and are in the utricle.");
    picture(&mut window, "state_cleared");
}

#[test]
fn switched() {
    let _alone = alone();
    // Its waits are too long: clumps that reach the crus run over the top of the anterior canal.
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../scenarios/right-posterior-backward-turn-long-waits.ron");
    let mut window = open(Origin::File(path), USUAL, Theme::Dark, true);
    apply(&mut window, Command::Play(PlayCommand::Seek(f64::INFINITY)));
    assert!(
        window
            .query_all_by_label_contains("in the right anterior canal")
            .count()
            > 0
    );
    picture(&mut window, "state_switched");
}

/// Drives by held keys, in time that a script lets pass, so that it is the same each time.
fn driven(size: Vec2, theme: Theme, name: &str) {
    let _alone = alone();
    let mut window = shipped(size, theme);
    let (seat, feed) = PadSeat::new(std::sync::Arc::new(|| {}));
    feed.put(PadEvent::Came("Two sticks".to_owned(), true));
    window.state_mut().session.pad = Some(seat);
    let script = window.state_mut().session.start_scripted_drive();
    hold_key(&mut window, &script, None, 1.0);
    hold_key(&mut window, &script, Some(Key::ArrowLeft), 1.5);
    hold_key(&mut window, &script, None, 2.5);
    window.get_by_label("reached");
    hold_key(&mut window, &script, Some(Key::ArrowUp), 4.0);
    window.get_by_label_contains("Turning: ");
    hold_key(&mut window, &script, None, 6.0);
    window.get_by_label("Wait");
    window.get_by_label("Step 2 of 5");
    window.get_by_label("Gamepad: Two sticks; hold a shoulder button to turn");
    window.step();
    picture(&mut window, name);
}

#[test]
fn driving_in_the_dark_theme() {
    driven(USUAL, Theme::Dark, "state_driving_dark");
}

#[test]
fn driving_in_the_light_theme() {
    driven(SMALL, Theme::Light, "state_driving_light");
}

#[test]
fn a_bad_file() {
    let _alone = alone();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.ron");
    std::fs::write(&path, "( format: 1, title: \"Bad\", stps: [] )").unwrap();
    let mut window = shipped(SMALL, Theme::Light);
    apply(&mut window, Command::File(FileCommand::Open(path)));
    let words = window.state().session.banner.clone();
    // The folder's name is another one each time.
    let short = words.map(|w| w[w.find("bad.ron").unwrap_or(0)..].to_owned());
    assert!(short.as_ref().is_some_and(|w| w.contains("stps")));
    window.state_mut().session.banner = short;
    window.run();
    picture(&mut window, "state_bad_file");
}

#[test]
fn a_faulty_draft() {
    let _alone = alone();
    let mut window = shipped(USUAL, Theme::Dark);
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Steps)),
    );
    let Some(draft) = &window.state().session.draft else {
        panic!("nothing to edit");
    };
    let mut step = draft.scenario().steps[1].clone();
    step.hold_s = -5.0;
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Set(1, step)))),
    );
    picture(&mut window, "state_faulty_draft");
}

/// As narrow as editors and eyes fit beside each other, with three kinds of move opened.
#[test]
fn moves_opened() {
    let _alone = alone();
    let mut window = shipped(vec2(1180.0, 900.0), Theme::Light);
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Steps)),
    );
    let motor = MoveEntry::Motor {
        speed_deg_s: 60.0,
        acceleration_deg_s2: 120.0,
    };
    let shaking = MoveEntry::Shaking {
        axis: ShakeAxis::Nod,
        amplitude_deg: 10.0,
        frequency_hz: 2.0,
    };
    let vibration = MoveEntry::Vibration {
        at: SkullPlace::Mastoid(Ear::Right),
        amplitude_mm: 0.1,
        frequency_hz: 60.0,
    };
    for (i, movement, move_s) in [(1, motor, 0.0), (2, shaking, 5.0), (3, vibration, 5.0)] {
        let Some(draft) = &window.state().session.draft else {
            panic!("nothing to edit");
        };
        let mut step = draft.scenario().steps[i].clone();
        (step.movement, step.move_s) = (Some(movement), move_s);
        apply(
            &mut window,
            Command::Edit(EditCommand::Change(Edit::Steps(StepsEdit::Set(i, step)))),
        );
    }
    for (n, mover) in [(2, "by motor"), (3, "shaken"), (4, "vibrated")] {
        let mark = format!("How step {n} moves: {mover}");
        window.get_by_label(&mark).click();
        settle(&mut window);
    }
    picture(&mut window, "state_moves_opened");
}

#[test]
fn first_start() {
    let _alone = alone();
    let mut window = open(Origin::Shipped, SMALL, Theme::Dark, false);
    window.get_by_label("I have read this");
    picture(&mut window, "state_first_start");
}

#[test]
fn patient_tab() {
    let _alone = alone();
    let mut window = shipped(USUAL, Theme::Light);
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Patient)),
    );
    picture(&mut window, "state_patient");
}

/// Taller, with what opens opened.
#[test]
fn patient_tab_opened() {
    let _alone = alone();
    let mut window = shipped(USUAL, Theme::Light);
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Patient)),
    );
    window.set_size(vec2(1440.0, 1500.0));
    window.run();
    let Some(draft) = &window.state().session.draft else {
        panic!("nothing to edit");
    };
    let mut rods = draft.scenario().debris[0].clone();
    rods.shape = Some(ShapeEntry::Rod { aspect: 2.0 });
    rods.dispersal = Some(DispersalEntry::default());
    apply(
        &mut window,
        Command::Edit(EditCommand::Change(Edit::Case(CaseEdit::SetDebris(
            0, rods,
        )))),
    );
    for part in ["Shape and hold of debris 1", "Light and heavy cupulae"] {
        window.get_by_label(part).click();
        settle(&mut window);
    }
    picture(&mut window, "state_patient_opened");
}

#[test]
fn library_tab() {
    let _alone = alone();
    let mut window = shipped(SMALL, Theme::Dark);
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Library)),
    );
    picture(&mut window, "state_library");
}
