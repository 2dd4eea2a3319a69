//! The editors of the case without a screen: what pieces are, cupulae, the neck, the seed; by accessible names.

mod hands;

use egui::Key;
use egui_kittest::kittest::Queryable as _;
use hands::{Window, draft, fault, open_tall, press, session, type_into, undo};
use lithodrome_app::{
    session::command::{Command, EditCommand},
    work::stage_data::Origin,
};
use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{Carrier, CupulaEntry, NeckLimits, Scenario, ShapeEntry};

fn open(first: Origin) -> Window {
    open_tall(first, 2000.0, Key::F4)
}

#[test]
fn shape_hold_and_dispersal_are_edited_and_undone() {
    let mut window = open(Origin::Shipped);
    let plan = draft(&window);
    assert!(
        window
            .query_by_label("Hold of the wall, debris 1")
            .is_none()
    );
    // By keyboard: the header has the focus and is opened by Enter.
    window.get_by_label("Shape and hold of debris 1").focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    press(&mut window, "Shape of debris 1: rods");
    type_into(&mut window, "Length over width, debris 1", "3", Key::Enter);
    type_into(&mut window, "Hold of the wall, debris 1", "0.5", Key::Enter);
    type_into(
        &mut window,
        "Hold grows back in, debris 1",
        "60 s",
        Key::Tab,
    );
    type_into(
        &mut window,
        "Load wears it off in, debris 1",
        "120",
        Key::Enter,
    );
    press(&mut window, "Falls apart on its way, debris 1");
    type_into(&mut window, "Into pieces, debris 1", "8", Key::Enter);
    let entry = draft(&window).debris[0].clone();
    assert_eq!(entry.shape, Some(ShapeEntry::Rod { aspect: 3.0 }));
    let hold = entry.adhesion.unwrap();
    assert_eq!(
        (hold.wall_g, hold.growth_s, hold.wear_s),
        (0.5, 60.0, Some(120.0))
    );
    let dispersal = entry.dispersal.unwrap();
    // The others as in the format: 2 mm, 600 s.
    assert_eq!(
        (dispersal.pieces, dispersal.over_mm, dispersal.gather_s),
        (8.0, 2.0, 600.0)
    );
    assert_eq!(fault(&window), None);
    assert!(!session(&window).is_stale(), "it is computed");
    for _ in 0..7 {
        undo(&mut window);
    }
    assert_eq!(draft(&window), plan);
}

#[test]
fn what_is_out_of_range_is_told_where_it_stands() {
    let mut window = open(Origin::Shipped);
    press(&mut window, "Shape and hold of debris 1");
    press(&mut window, "Shape of debris 1: discs");
    type_into(
        &mut window,
        "Width over thickness, debris 1",
        "9",
        Key::Enter,
    );
    let words = fault(&window).unwrap();
    assert!(words.contains("debris 1, shape, aspect"), "{words}");
    // At the field, and in the strip that stays.
    assert!(
        window
            .get_all_by_label_contains("debris 1, shape, aspect")
            .count()
            >= 1
    );
    undo(&mut window);
    assert_eq!(fault(&window), None);
}

#[test]
fn a_light_cupula_is_written_and_as_usual_again() {
    let mut window = open(Origin::Shipped);
    press(&mut window, "Light and heavy cupulae");
    let name = "Density of the cupula less endolymph, left lateral canal";
    type_into(&mut window, name, "−1", Key::Enter);
    let light = CupulaEntry {
        ear: Ear::Left,
        canal: Canal::Lateral,
        excess_kg_m3: -1.0,
    };
    assert_eq!(draft(&window).cupulae, [light]);
    assert_eq!(fault(&window), None);
    type_into(&mut window, name, "", Key::Enter);
    assert!(draft(&window).cupulae.is_empty());
}

#[test]
fn a_seed_is_written_and_taken_back() {
    let mut window = open(Origin::Shipped);
    type_into(&mut window, "Random seed", "41", Key::Enter);
    assert_eq!(draft(&window).seed, Some(41));
    type_into(&mut window, "Random seed", "", Key::Enter);
    assert_eq!(draft(&window).seed, None);
}

#[test]
fn the_neck_is_limited_at_the_bedside_and_not_in_a_chair() {
    let window = open(Origin::Shipped);
    window.get_by_label_contains("this neck is not bent");
    assert!(
        window
            .query_by_label_contains("Limit of the neck")
            .is_none()
    );
    let bedside = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/right-posterior-epley-bedside.ron"
    );
    let mut window = open(Origin::File(bedside.into()));
    let neck = |scenario: &Scenario| match scenario.body {
        Some(Carrier::Bedside { neck }) => Some(neck),
        _ => None,
    };
    let before = draft(&window);
    type_into(
        &mut window,
        "Limit of the neck: turn to either side",
        "30",
        Key::Enter,
    );
    type_into(
        &mut window,
        "Limit of the neck: bend back",
        "10",
        Key::Enter,
    );
    let stiff = NeckLimits {
        rotation_deg: 30.0,
        extension_deg: 10.0,
        ..neck(&before).unwrap()
    };
    assert_eq!(neck(&draft(&window)), Some(stiff));
    assert!(
        !session(&window).is_stale(),
        "it is computed: {:?}",
        fault(&window)
    );
    type_into(
        &mut window,
        "Limit of the neck: bend back",
        "200",
        Key::Enter,
    );
    assert!(fault(&window).unwrap().contains("carrier, neck, extension"));
    for _ in 0..3 {
        undo(&mut window);
    }
    assert_eq!(draft(&window), before);
    window
        .state_mut()
        .session
        .apply(Command::Edit(EditCommand::CancelWork));
}
