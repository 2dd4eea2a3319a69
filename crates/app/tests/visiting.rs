//! A whole visit by accessible names: two patients planned, both sheets printed, both
//! logged, the figures read, the window opened again.

mod hands;

use egui::Key;
use egui_kittest::kittest::Queryable as _;
use hands::{Window, open_tall, press, session, type_into};
use lithodrome_app::{
    session::command::{CaseTab, Command, ViewCommand, VisitCommand},
    visit::state::Told,
    work::stage_data::Origin,
};

fn open(folder: &std::path::Path) -> Window {
    let mut window = open_tall(Origin::Shipped, 3600.0, Key::F4);
    let ask = Command::Visit(VisitCommand::KeepIn(folder.to_owned()));
    window.state_mut().ask(ask);
    window
        .state_mut()
        .ask(Command::View(ViewCommand::ShowTab(CaseTab::Visit)));
    hands::settle(&mut window);
    window
}

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

#[test]
fn a_whole_visit_is_done_by_accessible_names() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = open(folder.path());
    // A name is refused with the reason.
    type_into(&mut window, "Patient's code", "Maria Example", Key::Tab);
    press(&mut window, "Plan for this patient");
    window.get_by_label_contains("looks like a name");
    type_into(&mut window, "Patient's code", "KV-07", Key::Tab);
    press(&mut window, "glaucoma or diseased retina");
    choose(&mut window, "Suspected canal", "right posterior canal");
    press(&mut window, "Plan for this patient");
    assert_eq!(session(&window).visit.form_fault, None);
    window.get_by_label("Does not fit: Right posterior canal, Epley with the whole body");
    type_into(&mut window, "Patient's code", "KV-12", Key::Tab);
    choose(&mut window, "Suspected canal", "left posterior canal");
    press(&mut window, "Plan for this patient");
    assert_eq!(session(&window).visit.planned.len(), 2);
    let printed = [
        "Print sheet for KV-07: Right posterior canal, Brandt-Daroff",
        "Print sheet for KV-12: Left posterior canal, Epley with the whole body",
    ];
    for name in printed {
        window.get_by_label_contains(name).click();
        window.run();
        assert!(
            matches!(told(&window), Told::Done(_)),
            "{:?}",
            told(&window)
        );
    }
    let sheets = std::fs::read_dir(folder.path().join("sheets")).expect("sheets");
    assert_eq!(sheets.count(), 2);
    type_into(&mut window, "Date of the visit", "2026-05-12", Key::Tab);
    type_into(&mut window, "Home's code", "H-3", Key::Tab);
    type_into(&mut window, "What was seen", "No nystagmus seen", Key::Tab);
    press(&mut window, "Write into the log");
    assert_eq!(
        told(&window),
        Told::Done("Visit 1 is in the log: KV-07".to_owned())
    );
    choose(&mut window, "Logged patient", "KV-12");
    choose(&mut window, "Found canal", "left posterior canal");
    type_into(
        &mut window,
        "What was seen",
        "Upbeating, upper pole toward the left ear",
        Key::Tab,
    );
    type_into(&mut window, "Manoeuvre that was done", "Epley", Key::Tab);
    press(&mut window, "Write into the log");
    assert_eq!(
        told(&window),
        Told::Done("Visit 2 is in the log: KV-12".to_owned())
    );
    press(&mut window, "Read the figures");
    window.get_by_label_contains("H-3: 1 of 2, 50.0 %");
    window.get_by_label_contains("Cleared per treated visit: 1 of 1");
    drop(window);
    // Opened again, another patient planned so that the log shows: everything is still there.
    let mut window = open(folder.path());
    type_into(&mut window, "Patient's code", "KV-15", Key::Tab);
    press(&mut window, "Plan for this patient");
    press(&mut window, "Read the figures");
    window.get_by_label_contains("H-3: 1 of 2, 50.0 %");
}
