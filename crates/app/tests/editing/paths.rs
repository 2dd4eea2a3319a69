//! Paths that are typed, and what stays in sight of a small window.

use super::*;

fn show(window: &mut Window, dialog: Dialog) {
    apply(window, Command::View(ViewCommand::Show(dialog)));
}

#[test]
fn enter_saves_and_what_is_there_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let typed = path.display().to_string();
    let mut window = open(Origin::Shipped);
    show(&mut window, Dialog::SavePath(typed.clone()));
    window.get_by_label_contains("In the folder ");
    window.key_press(Key::Enter);
    settle(&mut window);
    assert!(path.exists() && session(&window).dialog.is_none());

    show(&mut window, Dialog::SavePath(typed));
    window.get_by_label_contains("mine.ron is there already and would be replaced");
    window.key_press(Key::Enter);
    settle(&mut window);
    assert!(session(&window).dialog.is_some(), "Enter replaces nothing");
    // A click beside the dialog loses nothing.
    let beside = egui::pos2(8.0, 300.0);
    window.hover_at(beside);
    window.drag_at(beside);
    window.run();
    window.drop_at(beside);
    window.run();
    assert!(session(&window).dialog.is_some(), "it stays");
    hands::press(&mut window, "Replace it");
    assert!(session(&window).dialog.is_none());

    show(&mut window, Dialog::Path(path.display().to_string()));
    window.key_press(Key::Enter);
    settle(&mut window);
    let origin = session(&window).draft.as_ref().map(|d| d.origin.clone());
    assert_eq!(origin, Some(Origin::File(path)));
}

#[test]
fn in_a_small_window_the_eyes_stay_in_sight_of_every_tab() {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut window = Harness::builder()
        .with_size([1024.0, 700.0])
        .with_max_steps(64)
        .build_eframe(|cc| App::with_preferences(cc, Origin::Shipped, preferences));
    settle(&mut window);
    for tab in [Key::F2, Key::F3, Key::F4, Key::F5] {
        window.key_press(tab);
        window.run();
        let eyes = window.get_by_label_contains("Both eyes").rect();
        assert!(
            eyes.height() > 100.0 && eyes.bottom() < 700.0,
            "{tab:?}: {eyes}"
        );
    }
}
