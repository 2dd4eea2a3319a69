//! A visit by accessible names: a name refused, two patients planned, a sheet printed.

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
fn patients_are_planned_and_a_sheet_printed_by_accessible_names() {
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
    press(&mut window, "Plan for this patient");
    assert_eq!(session(&window).visit.planned.len(), 2);
    window
        .get_by_label_contains("Print sheet for KV-07: Right posterior canal, Brandt-Daroff")
        .click();
    window.run();
    assert!(
        matches!(told(&window), Told::Done(_)),
        "{:?}",
        told(&window)
    );
    let sheets = std::fs::read_dir(folder.path().join("sheets")).expect("sheets");
    assert_eq!(sheets.count(), 1);
}
