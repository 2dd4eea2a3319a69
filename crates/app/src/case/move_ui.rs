//! How a step moves, to edit: by hand, by a motor, thrown, shaken or vibrated, with the numbers of each.

use egui::{CornerRadius, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use lithodrome_chair::{HandPace, ShakeAxis};
use lithodrome_labyrinth::Ear;
use lithodrome_rehearsal::{Carrier, MoveEntry, SkullPlace, StepEntry};

use crate::{
    case::move_mark::{self, Mover},
    kit::controls,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::{Edit, StepsEdit},
};

/// Width of the button that shows how a step moves, points.
pub const WIDTH: f32 = 24.0;

/// What opens the part.
pub const HOW: &str = "How this step moves: by hand, by a motor, thrown, shaken or vibrated. The mark is its \
    speed over time. Press to change it.";

const PACE: &str = "Pace: how briskly a hand turns where the time of the move is left empty";
const SPEED: &str = "Highest angular speed of the motor, the same for every axis";
const ACCELERATION: &str = "Highest angular acceleration of the motor, the same for every axis: how fast it \
    gathers speed and brakes";
const STOP: &str = "Time in which the thrown body comes to a stop; the shorter it is, the harder debris is \
    flung on. It must be shorter than the move.";
const SWING: &str = "Amplitude: the largest turn to either side of where the step leads, up to 90°";
const FREQUENCY: &str = "Frequency: how many times a second it goes to and fro";
const WAY: &str = "Amplitude: how far the head is moved to either side, up to 10 mm; vibrators move it by \
    tenths of a millimetre";

const MOVERS: [(Mover, &str, &str); 5] = [
    (
        Mover::Hand,
        "by hand",
        "Gathers speed and slows down as smoothly as can be (minimum jerk), as a hand does",
    ),
    (
        Mover::Motor,
        "by motor",
        "Even ramps and an even speed between them, within the limits of a motor",
    ),
    (
        Mover::Throw,
        "thrown",
        "Ever faster, then an abrupt stop, as in Semont's manoeuvre; a patient may not allow it",
    ),
    (
        Mover::Shaking,
        "shaken",
        "To and fro about an axis for the time of the move, to loosen debris",
    ),
    (
        Mover::Vibration,
        "vibrated",
        "A vibrator is held to the skull for the time of the move, to loosen debris",
    ),
];

const PACES: [(HandPace, &str, &str); 2] = [
    (
        HandPace::Typical,
        "gently",
        "40°/s on average, half a second at least (assumed)",
    ),
    (
        HandPace::Fast,
        "briskly",
        "110° in 1.8 s, as experienced examiners lay patients back",
    ),
];

const AXES: [(ShakeAxis, &str, &str); 3] = [
    (
        ShakeAxis::Yaw,
        "side to side",
        "About the long axis, as in saying no: the chair's yaw, at the bedside the neck",
    ),
    (
        ShakeAxis::Nod,
        "up and down",
        "About the axis through both ears, as in saying yes: the headrest, at the bedside the neck",
    ),
    (
        ShakeAxis::Track,
        "track",
        "The chair's track; nothing else has it",
    ),
];

const PLACES: [(SkullPlace, &str, &str); 4] = [
    (
        SkullPlace::Mastoid(Ear::Right),
        "right mastoid",
        "The bone behind the right ear: the head moves sideways",
    ),
    (
        SkullPlace::Mastoid(Ear::Left),
        "left mastoid",
        "The bone behind the left ear: the head moves sideways",
    ),
    (
        SkullPlace::Forehead,
        "forehead",
        "The head moves to and from the nose",
    ),
    (
        SkullPlace::Crown,
        "crown",
        "The top of the head: it moves along the long axis",
    ),
];

/// A motor that turns 120° in 2.5 s (assumed).
const USUAL_MOTOR: MoveEntry = MoveEntry::Motor {
    speed_deg_s: 60.0,
    acceleration_deg_s2: 120.0,
};
/// Stop of a throw, s (assumed, as in the scenario format).
const USUAL_STOP_S: f64 = 0.1;
/// As in the library: by head-shaking (from memory) and by vibrators (assumed).
const USUAL_SHAKING: MoveEntry = MoveEntry::Shaking {
    axis: ShakeAxis::Yaw,
    amplitude_deg: 15.0,
    frequency_hz: 2.5,
};
const USUAL_VIBRATION: MoveEntry = MoveEntry::Vibration {
    at: SkullPlace::Mastoid(Ear::Right),
    amplitude_mm: 0.1,
    frequency_hz: 100.0,
};
/// Time of either, s.
const USUAL_SWINGING_S: f64 = 15.0;

/// Fields of a step that this part shows.
const FIELDS: [&str; 6] = [
    "move.speed_deg_s",
    "move.acceleration_deg_s2",
    "move.stop_s",
    "move.axis",
    "move.amplitude_deg",
    "move.amplitude_mm",
];
const FREQUENCY_FIELD: &str = "move.frequency_hz";

/// The time of a move follows from the turn and from what moves, where none is written.
pub fn has_own_time(step: &StepEntry) -> bool {
    step.move_s == 0.0
        && matches!(
            step.movement,
            Some(MoveEntry::Hand { .. } | MoveEntry::Motor { .. } | MoveEntry::Throw { .. })
        )
}

/// The time may be left out: what moves has one of its own.
pub fn may_have_own_time(step: &StepEntry) -> bool {
    !matches!(Mover::of(step), Mover::Shaking | Mover::Vibration)
}

/// The step with that time of the move, or with its mover's own.
pub fn with_time(step: &StepEntry, move_s: Option<f64>) -> StepEntry {
    let mut next = step.clone();
    next.move_s = move_s.unwrap_or(0.0);
    if move_s.is_none() && next.movement.is_none() {
        let pace = HandPace::default();
        next.movement = Some(MoveEntry::Hand { pace });
    }
    next
}

/// The step moved by something else, with numbers that are usual for it.
fn moved_by(step: &StepEntry, mover: Mover) -> StepEntry {
    let mut next = step.clone();
    next.movement = match mover {
        Mover::Hand => by_hand(HandPace::default(), step.move_s),
        Mover::Motor => Some(USUAL_MOTOR),
        Mover::Throw => Some(MoveEntry::Throw {
            stop_s: USUAL_STOP_S,
        }),
        Mover::Shaking => Some(USUAL_SHAKING),
        Mover::Vibration => Some(USUAL_VIBRATION),
    };
    match mover {
        // What a hand takes is too short for a motor and too long for a throw.
        Mover::Motor | Mover::Throw => next.move_s = 0.0,
        Mover::Shaking | Mover::Vibration if step.move_s == 0.0 => next.move_s = USUAL_SWINGING_S,
        Mover::Hand | Mover::Shaking | Mover::Vibration => {}
    }
    next
}

/// What is as usual is left out of the file.
fn by_hand(pace: HandPace, move_s: f64) -> Option<MoveEntry> {
    let usual = pace == HandPace::default() && move_s != 0.0;
    (!usual).then_some(MoveEntry::Hand { pace })
}

/// Whether the part of a step is open; it opens where something is wrong in it.
pub fn is_open(ui: &Ui, i: usize, fault: Option<&Fault>) -> bool {
    let wrong = |field: &str| fault.is_some_and(|f| f.is_at(&path(i, field)));
    FIELDS.into_iter().chain([FREQUENCY_FIELD]).any(wrong)
        || ui.data(|d| d.get_temp(open_id(i)).unwrap_or(false))
}

fn open_id(i: usize) -> egui::Id {
    egui::Id::unique(("how a step moves", i))
}

fn path(i: usize, field: &str) -> String {
    format!("steps[{}].{field}", i + 1)
}

/// The mark of how a step moves; opens and closes the part below.
pub fn mark_ui(ui: &mut Ui, i: usize, step: &StepEntry, open: bool) -> egui::Response {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(WIDTH, fields::HEIGHT), Sense::click());
    let mover = Mover::of(step);
    let name = format!("How step {} moves: {}", i + 1, label(mover));
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, open, &name));
    if open || response.hovered() || response.has_focus() {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(4), palette.block_strong);
    }
    let ink = if mover == Mover::Hand && !open {
        palette.weak
    } else {
        palette.text
    };
    move_mark::paint(ui.painter(), rect.center(), mover, ink);
    if response.clicked() {
        ui.data_mut(|d| d.insert_temp(open_id(i), !open));
    }
    response.on_hover_text(HOW)
}

fn label(mover: Mover) -> &'static str {
    MOVERS.iter().find(|m| m.0 == mover).map_or("", |m| m.1)
}

/// Shows the part of a step that opens: what moves it, and its numbers.
pub fn move_ui(
    ui: &mut Ui,
    i: usize,
    step: &StepEntry,
    body: Carrier,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let of_step = |what: &str| format!("{what} of step {}", i + 1);
    let mover = Mover::of(step);
    if let Some(mover) = controls::choice(ui, &of_step("Mover"), mover, &MOVERS) {
        let next = moved_by(step, mover);
        commands.push(Command::Edit(EditCommand::Change(Edit::Steps(
            StepsEdit::Set(i, next),
        ))));
    }
    let mut set = |movement: Option<MoveEntry>| {
        let next = StepEntry {
            movement,
            ..step.clone()
        };
        commands.push(Command::Edit(EditCommand::Change(Edit::Steps(
            StepsEdit::Set(i, next),
        ))));
    };
    match step.movement {
        None | Some(MoveEntry::Hand { .. }) => {
            let pace = match step.movement {
                Some(MoveEntry::Hand { pace }) => pace,
                _ => HandPace::default(),
            };
            ui.horizontal(|ui| {
                let words = RichText::new("Where the time is left empty:");
                let weak = words.font(theme::small()).color(Palette::of(ui).weak);
                ui.label(weak).on_hover_text(PACE);
                if let Some(pace) = controls::choice(ui, &of_step("Pace"), pace, &PACES) {
                    set(by_hand(pace, step.move_s));
                }
            });
        }
        Some(MoveEntry::Shaking {
            axis,
            amplitude_deg,
            frequency_hz,
        }) => {
            // What the body lacks is not offered, but shown if it is written.
            let offered =
                AXES.len() - usize::from(body != Carrier::Chair && axis != ShakeAxis::Track);
            let axes = &AXES[..offered];
            if let Some(axis) = controls::choice(ui, &of_step("Shaken axis"), axis, axes) {
                set(Some(MoveEntry::Shaking {
                    axis,
                    amplitude_deg,
                    frequency_hz,
                }));
            }
            fields::fault_ui(ui, fault, &[path(i, "move.axis")]);
        }
        Some(MoveEntry::Vibration {
            at,
            amplitude_mm,
            frequency_hz,
        }) => {
            if let Some(at) = controls::choice(ui, &of_step("Place of the vibrator"), at, &PLACES) {
                set(Some(MoveEntry::Vibration {
                    at,
                    amplitude_mm,
                    frequency_hz,
                }));
            }
        }
        Some(MoveEntry::Motor { .. } | MoveEntry::Throw { .. }) => {}
    }
    for row in rows(step.movement) {
        number_ui(ui, (i, step), &row, fault, commands);
    }
}

/// A number of a move: label, tooltip, its field, unit, change per point, value, the move with another.
type Row = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    f64,
    f64,
    Box<dyn Fn(f64) -> MoveEntry>,
);

/// The numbers that a move has.
fn rows(movement: Option<MoveEntry>) -> Vec<Row> {
    match movement {
        None | Some(MoveEntry::Hand { .. }) => Vec::new(),
        Some(MoveEntry::Motor {
            speed_deg_s,
            acceleration_deg_s2,
        }) => vec![
            (
                "Highest speed",
                SPEED,
                FIELDS[0],
                "°/s",
                0.5,
                speed_deg_s,
                Box::new(move |speed_deg_s| MoveEntry::Motor {
                    speed_deg_s,
                    acceleration_deg_s2,
                }),
            ),
            (
                "Highest acceleration",
                ACCELERATION,
                FIELDS[1],
                "°/s²",
                1.0,
                acceleration_deg_s2,
                Box::new(move |acceleration_deg_s2| MoveEntry::Motor {
                    speed_deg_s,
                    acceleration_deg_s2,
                }),
            ),
        ],
        Some(MoveEntry::Throw { stop_s }) => vec![(
            "Comes to a stop in",
            STOP,
            FIELDS[2],
            " s",
            0.005,
            stop_s,
            Box::new(|stop_s| MoveEntry::Throw { stop_s }),
        )],
        Some(MoveEntry::Shaking {
            axis,
            amplitude_deg,
            frequency_hz,
        }) => vec![
            (
                "Turn to either side",
                SWING,
                FIELDS[4],
                "°",
                0.1,
                amplitude_deg,
                Box::new(move |amplitude_deg| MoveEntry::Shaking {
                    axis,
                    amplitude_deg,
                    frequency_hz,
                }),
            ),
            frequency(0.02, frequency_hz, move |frequency_hz| MoveEntry::Shaking {
                axis,
                amplitude_deg,
                frequency_hz,
            }),
        ],
        Some(MoveEntry::Vibration {
            at,
            amplitude_mm,
            frequency_hz,
        }) => vec![
            (
                "Way to either side",
                WAY,
                FIELDS[5],
                " mm",
                0.005,
                amplitude_mm,
                Box::new(move |amplitude_mm| MoveEntry::Vibration {
                    at,
                    amplitude_mm,
                    frequency_hz,
                }),
            ),
            frequency(0.5, frequency_hz, move |frequency_hz| {
                MoveEntry::Vibration {
                    at,
                    amplitude_mm,
                    frequency_hz,
                }
            }),
        ],
    }
}

fn frequency(per_point: f64, hz: f64, with: impl Fn(f64) -> MoveEntry + 'static) -> Row {
    let label = "Times a second";
    let (field, with) = (FREQUENCY_FIELD, Box::new(with));
    (label, FREQUENCY, field, " Hz", per_point, hz, with)
}

fn number_ui(
    ui: &mut Ui,
    (i, step): (usize, &StepEntry),
    (label, tip, field, unit, per_point, value, with): &Row,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let field = path(i, field);
    let name = format!("{label}, step {}", i + 1);
    let number = Number {
        width: 88.0,
        per_point: *per_point,
        wrong: fault.is_some_and(|f| f.is_at(&field)),
        ..Number::new(&name, tip, *value, unit)
    };
    fields::row(ui, label, tip, |ui| {
        fields::number(ui, number, commands, |v| {
            let movement = Some(with(v));
            let next = StepEntry {
                movement,
                ..step.clone()
            };
            Edit::Steps(StepsEdit::Set(i, next))
        });
    });
    fields::fault_ui(ui, fault, &[field]);
}
