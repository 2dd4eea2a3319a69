//! The window without a screen: found and driven by the names that assistive technology sees.

use std::path::PathBuf;

use egui::{Key, Modifiers, Theme};
use egui_kittest::{
    Harness, HarnessBuilder, SnapshotOptions, SnapshotResults, kittest::Queryable as _,
};
use lithodrome_app::{
    session::Preferences,
    session::command::{Command, EarFrame, EarShown, FileCommand, PlayCommand, ViewCommand},
    shell::app::App,
    stages::render::StageId,
    work::stage_data::Origin,
};

fn read() -> Preferences {
    Preferences {
        notice_read: true,
        ..Preferences::default()
    }
}

fn open_with(
    builder: HarnessBuilder<App>,
    first: Origin,
    preferences: Preferences,
) -> Harness<'static, App> {
    let mut harness = builder
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, first, preferences));
    settle(&mut harness);
    harness
}

/// Waits for the worker, then for the window to come to rest.
fn settle(harness: &mut Harness<'_, App>) {
    let patience = std::time::Instant::now();
    while harness.state().session.worker.share().is_some() {
        assert!(
            patience.elapsed().as_secs() < 120,
            "the worker does not come back"
        );
        std::thread::sleep(std::time::Duration::from_millis(10));
        harness.step();
    }
    harness.run();
}

fn open() -> Harness<'static, App> {
    open_with(
        Harness::builder().with_size([1440.0, 900.0]),
        Origin::Shipped,
        read(),
    )
}

fn time_s(harness: &Harness<'_, App>) -> f64 {
    harness.state().session.playback.time_s
}

fn apply(harness: &mut Harness<'_, App>, command: Command) {
    harness.state_mut().session.apply(command);
    harness.run();
}

#[test]
fn everything_has_a_name() {
    let harness = open();
    harness.get_by_label("Play");
    harness.get_by_label("Ear stage: right ear");
    harness.get_by_label("Room stage: chair at yaw 0°, track 0°");
    harness.get_by_label("Time in the score");
    harness.get_by_label("Step 2: Right Dix-Hallpike");
    harness.get_by_label_contains("Gravity globe: down is toward the feet");
    harness.get_by_label_contains("Both eyes.");
}

#[test]
fn slow_drawing_is_said_until_it_is_dismissed() {
    let mut harness = open();
    assert!(harness.query_by_label_contains("Drawing is slow").is_none());
    let words = lithodrome_app::kit::drawing::slow_words(true, 5.0);
    harness.state_mut().session.drawing.words = words;
    harness.run();
    harness.get_by_label_contains("Drawing is slow here, about 5 pictures a second");
    harness.get_by_label("Dismiss the word on drawing").click();
    harness.run();
    assert!(harness.query_by_label_contains("Drawing is slow").is_none());
}

#[test]
fn play_and_pause() {
    let mut harness = open();
    harness.get_by_label("Play").click();
    harness.run_steps(3);
    assert!(harness.state().session.playback.playing);
    assert!(time_s(&harness) > 0.0, "time passes");
    harness.get_by_label("Pause").click();
    harness.run();
    let there = time_s(&harness);
    harness.run_steps(3);
    assert!((time_s(&harness) - there).abs() < 1e-12, "time stands");
    harness.key_press(Key::Space);
    harness.run_steps(2);
    assert!(harness.state().session.playback.playing);
}

#[test]
fn keys_move_the_cursor() {
    let mut harness = open();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!((time_s(&harness) - 0.1).abs() < 1e-9);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    harness.run();
    let second = harness.state().session.shown.as_ref().unwrap().step_times[1].start_s;
    assert!((time_s(&harness) - second).abs() < 1e-9);
    harness.key_press(Key::End);
    harness.run();
    let end = harness.state().session.playback.duration_s;
    assert!(end > 100.0 && (time_s(&harness) - end).abs() < 1e-9);
    harness.key_press(Key::Home);
    harness.run();
    assert!(time_s(&harness).abs() < 1e-12);
}

#[test]
fn a_step_is_a_click_away() {
    let mut harness = open();
    harness.get_by_label("Step 2: Right Dix-Hallpike").click();
    harness.run();
    let hold = harness.state().session.shown.as_ref().unwrap().step_times[1].hold_from_s;
    assert!((time_s(&harness) - hold).abs() < 1e-9);
}

#[test]
fn a_click_in_the_score_puts_the_cursor_there() {
    let mut harness = open();
    let rect = harness.get_by_label("Time in the score").rect();
    harness.drag_at(rect.center());
    harness.run();
    harness.drop_at(rect.center());
    harness.run();
    let share = time_s(&harness) / harness.state().session.playback.duration_s;
    assert!((share - 0.5).abs() < 0.02, "{share}");
}

#[test]
fn a_broken_file_leaves_all_as_it_was() {
    let folder = std::env::temp_dir().join(format!("lithodrome-window-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path: PathBuf = folder.join("broken.ron");
    std::fs::write(&path, "( format: 1, title: \"Broken\", stps: [] )").unwrap();
    let mut harness = open();
    let before = harness.state().session.shown.clone().unwrap();
    apply(&mut harness, Command::Play(PlayCommand::Seek(30.0)));
    harness
        .state_mut()
        .session
        .apply(Command::File(FileCommand::Open(path.clone())));
    settle(&mut harness);
    let words = harness.state().session.banner.clone().expect("a banner");
    assert!(words.contains("broken.ron"), "{words}");
    harness.get_by_label(&words);
    let after = harness.state().session.shown.clone().unwrap();
    assert!(std::sync::Arc::ptr_eq(&before, &after));
    assert!((time_s(&harness) - 30.0).abs() < 1e-9, "the cursor stays");
    harness.get_by_label("Dismiss").click();
    harness.run();
    assert!(harness.query_by_label(&words).is_none());
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn the_notice_comes_once() {
    let builder = Harness::builder().with_size([1440.0, 900.0]);
    let mut harness = open_with(builder, Origin::Shipped, Preferences::default());
    harness.get_by_label_contains("not a medical device");
    // Its button has the keyboard, so that Enter is enough.
    harness.key_press(egui::Key::Enter);
    harness.run();
    assert!(harness.query_by_label("I have read this").is_none());
    let kept = harness.state().session.preferences.clone();
    let builder = Harness::builder().with_size([1440.0, 900.0]);
    let mut again = open_with(builder, Origin::Shipped, kept);
    assert!(again.query_by_label("I have read this").is_none());
    again.get_by_label("Help").click();
    again.run();
    again.get_by_label("About and cautions").click();
    again.run();
    again.get_by_label("I have read this");
}

#[test]
fn a_drag_turns_the_ear() {
    let mut harness = open();
    let before = harness.state().session.ear_camera;
    let middle = harness.get_by_label("Ear stage: right ear").rect().center();
    harness.drag_at(middle);
    harness.run();
    harness.hover_at(middle + egui::vec2(60.0, 0.0));
    harness.run();
    harness.drop_at(middle + egui::vec2(60.0, 0.0));
    harness.run();
    let after = harness.state().session.ear_camera;
    assert!((after.turn_rad - before.turn_rad).abs() > 0.1);
    assert!((after.distance - before.distance).abs() < 1e-6);
}

/// Pictures of the whole window; `UPDATE_SNAPSHOTS=1` draws them anew.
#[test]
fn pictures() {
    let moments: [(&str, [f32; 2], Theme, &[Command]); 4] = [
        (
            "dark_1440x900",
            [1440.0, 900.0],
            Theme::Dark,
            &[Command::Play(PlayCommand::Seek(16.0))],
        ),
        (
            "light_1440x900",
            [1440.0, 900.0],
            Theme::Light,
            &[
                Command::View(ViewCommand::ShowEar(EarShown::Both)),
                Command::View(ViewCommand::FixEarTo(EarFrame::Room)),
                Command::Play(PlayCommand::Seek(55.0)),
            ],
        ),
        (
            "dark_1024x700",
            [1024.0, 700.0],
            Theme::Dark,
            &[Command::Play(PlayCommand::Seek(62.0))],
        ),
        (
            "light_1024x700",
            [1024.0, 700.0],
            Theme::Light,
            &[
                Command::View(ViewCommand::ShowStage(StageId::Room)),
                Command::Play(PlayCommand::Seek(84.0)),
            ],
        ),
    ];
    let mut results = SnapshotResults::new();
    let options = SnapshotOptions::new().max_failed_pixels(200);
    for (name, size, theme, commands) in moments {
        let builder = Harness::builder().with_size(size).with_theme(theme).wgpu();
        let opened = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            open_with(builder, Origin::Shipped, read())
        }));
        let Ok(mut harness) = opened else {
            panic!(
                "pictures need a graphics driver; on Debian 12 the software one is \
                 `apt-get install libvulkan1 mesa-vulkan-drivers`"
            );
        };
        while !harness.state().is_ready() {
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        for command in commands {
            apply(&mut harness, command.clone());
        }
        harness.snapshot_options(name, &options);
        results.extend_harness(&mut harness);
    }
}
