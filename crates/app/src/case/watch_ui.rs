//! What a scenario says beside the case and the steps, to edit: how the eyes are watched, which engine
//! computes, notes.

use egui::Ui;
use lithodrome_debris::Engine;
use lithodrome_nystagmus::Cover;
use lithodrome_rehearsal::{EyesEntry, Scenario};

use crate::{
    kit::controls,
    kit::fields::{self, Number},
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::{Edit, SettingEdit},
};

const COVERS: [(Cover, &str, &str); 3] = [
    (
        Cover::InfraredVideo,
        "infrared video",
        "Video goggles in the dark: nothing to look at, so nystagmus is seen whole",
    ),
    (
        Cover::Frenzel,
        "Frenzel",
        "Frenzel goggles blur the room: the patient holds nystagmus back a little",
    ),
    (
        Cover::OpenLight,
        "open light",
        "Nothing over the eyes: the patient looks at the room and holds much of the nystagmus back",
    ),
];

const ENGINES: [(Engine, &str, &str); 2] = [
    (
        Engine::Settling,
        "settling",
        "Pieces sink, roll and push each other where they touch: fast, the usual one",
    ),
    (
        Engine::Rigid,
        "rigid",
        "Pieces are solid bodies that collide: slower, for heaps and jams",
    ),
];

const SEEN_FROM: &str = "Slow phases slower than this are not seen by the examiner. Empty: 3°/s.";
const GAZE_RIGHT: &str = "Where the patient looks, to his right; below 0 to his left. What looks like torsion \
    with the eyes ahead looks more vertical with the eyes aside, and the other way round.";
const GAZE_UP: &str = "Where the patient looks, upward; below 0 downward";
const SEED: &str = "The number that everything drawn by chance starts from, so that it can be drawn again. It is \
    kept with the scenario and stands in its report; the run of a single scenario draws nothing by chance.";
const NOTES: &str =
    "Free text that is kept with the scenario: what it is for, its source, cautions";

/// Name, tooltip, path of the field, angle, and how to set it.
type Gaze = (
    &'static str,
    &'static str,
    &'static str,
    f64,
    fn(&mut EyesEntry, f64),
);

/// Cover, gaze, and from when nystagmus is seen.
pub fn eyes_ui(
    ui: &mut Ui,
    scenario: &Scenario,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let eyes = scenario.eyes.unwrap_or_default();
    let wrong = |field: &str| fault.is_some_and(|f| f.is_at(field));
    if let Some(cover) = controls::choice(ui, "Eyes watched by", eyes.cover, &COVERS) {
        commands.push(Command::Edit(EditCommand::Change(Edit::Setting(
            SettingEdit::Eyes(EyesEntry { cover, ..eyes }),
        ))));
    }
    let gazes: [Gaze; 2] = [
        (
            "Gaze to the right",
            GAZE_RIGHT,
            "eyes.gaze_right_deg",
            eyes.gaze_right_deg,
            |eyes, v| eyes.gaze_right_deg = v,
        ),
        (
            "Gaze upward",
            GAZE_UP,
            "eyes.gaze_up_deg",
            eyes.gaze_up_deg,
            |eyes, v| eyes.gaze_up_deg = v,
        ),
    ];
    for (name, tip, field, value, set) in gazes {
        let number = Number {
            width: 88.0,
            wrong: wrong(field),
            ..Number::new(name, tip, value, "°")
        };
        fields::row(ui, name, tip, |ui| {
            fields::number(ui, number, commands, |v| {
                let mut next = eyes;
                set(&mut next, v);
                Edit::Setting(SettingEdit::Eyes(next))
            });
        });
        fields::fault_ui(ui, fault, &[field.to_owned()]);
    }
    let field = "visible_spv_deg_s";
    let from = scenario.visible_spv_deg_s;
    let number = Number {
        width: 88.0,
        per_point: 0.1,
        empty: Some("3°/s"),
        weak: from.is_none(),
        wrong: wrong(field),
        ..Number::new(
            "Nystagmus seen from",
            SEEN_FROM,
            from.unwrap_or(f64::INFINITY),
            "°/s",
        )
    };
    fields::row(ui, "Nystagmus seen from", SEEN_FROM, |ui| {
        fields::number(ui, number, commands, |v| {
            Edit::Setting(SettingEdit::VisibleSpv(v.is_finite().then_some(v)))
        });
    });
    fields::fault_ui(ui, fault, &[field.to_owned()]);
}

/// Which engine computes, and the seed.
pub fn engine_ui(ui: &mut Ui, scenario: &Scenario, commands: &mut Vec<Command>) {
    let now = scenario.engine.unwrap_or_default();
    if let Some(engine) = controls::choice(ui, "Engine", now, &ENGINES) {
        commands.push(Command::Edit(EditCommand::Change(Edit::Setting(
            SettingEdit::Engine(engine),
        ))));
    }
    let seed = scenario.seed;
    let number = Number {
        width: 88.0,
        per_point: 0.1,
        empty: Some("none"),
        weak: seed.is_none(),
        ..Number::new(
            "Random seed",
            SEED,
            seed.map_or(f64::INFINITY, |seed| seed as f64),
            "",
        )
    };
    fields::row(ui, "Random seed", SEED, |ui| {
        fields::number(ui, number, commands, |v| {
            Edit::Setting(SettingEdit::Seed(whole(v)))
        });
    });
}

/// A number that can be a seed; those typed by hand are far below 2^53.
fn whole(value: f64) -> Option<u64> {
    value.is_finite().then(|| value.round().max(0.0) as u64)
}

/// Free text.
pub fn notes_ui(ui: &mut Ui, scenario: &Scenario, commands: &mut Vec<Command>) {
    let notes = scenario.notes.as_deref().unwrap_or_default();
    let changed = fields::lines(ui, "Notes of the scenario", NOTES, notes, 5);
    commands.extend(
        changed.map(|text| {
            Command::Edit(EditCommand::Change(Edit::Setting(SettingEdit::Notes(text))))
        }),
    );
}
