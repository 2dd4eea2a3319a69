//! What the pieces of a group are besides number and size, to edit: shape, what holds them, how they fall
//! apart.

use egui::{CollapsingHeader, RichText, Ui};
use lithodrome_rehearsal::{AdhesionEntry, At, DebrisEntry, DispersalEntry, ShapeEntry};

use crate::{
    kit::controls,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::{CaseEdit, Edit},
};

const MORE: &str = "What these pieces are besides number and size. Nobody has measured what holds debris or \
    how it falls apart: all of it is assumed and off until a number stands here.";
const ASPECT_ROD: &str = "How many times longer than wide the rods are, 1 to 4. The diameter is that of a \
    ball of the same volume; longer ones sink a little slower.";
const ASPECT_DISC: &str = "How many times wider than thick the discs are, 1 to 4. The diameter is that of a \
    ball of the same volume; flatter ones sink a little slower.";
const WALL: &str = "Adhesion: pull that the wall resists before a resting piece comes off, in multiples of \
    the piece's weight. 0.5 holds it on a slope of 30°, more than 1 against gravity alone.";
const NEIGHBOUR: &str = "Further hold on a piece that touches another resting one, in multiples of its \
    weight";
const GROWTH: &str = "Time in which the hold grows back while a piece rests; 0 is at once. A run begins \
    with the full hold.";
const WEAR: &str = "Time in which a load as large as its weight wears off a hold of the same size. Empty: a \
    load below the hold never frees a piece. Has no effect where the hold grows at once.";
const ATTACHMENT: &str = "Pull along or away from the cupula at which a piece that is fixed to it lets go, in \
    multiples of its weight. Empty: never.";
const DISPERSAL: &str = "Dispersal: a clump falls apart while it moves, and gathers while it rests. It is one \
    reason why nystagmus grows weaker when a test is repeated.";
const PIECES: &str = "Into how many even pieces a clump falls apart";
const OVER: &str = "Way on which most of a clump (63 %) has fallen apart";
const GATHER: &str = "Time of rest in which most of it (63 %) has gathered again";

/// Of what shape the pieces are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Ball,
    Rod,
    Disc,
}

const FORMS: [(Form, &str, &str); 3] = [
    (Form::Ball, "balls", "Round pieces, the usual ones"),
    (
        Form::Rod,
        "rods",
        "Rods with round ends, longer than they are wide",
    ),
    (
        Form::Disc,
        "discs",
        "Round plates, wider than they are thick",
    ),
];

/// A new rod or disc is so many times longer or wider (assumed, as drawn otoconia look).
const USUAL_ASPECT: f64 = 2.0;

/// Name, tooltip, field within the entry, unit, change per point, what an empty field says, value.
type Row<'a> = (
    &'a str,
    &'a str,
    &'a str,
    &'a str,
    f64,
    Option<&'a str>,
    f64,
);

/// A row and how it is set in an entry's part.
type Part<'a, P> = (Row<'a>, fn(&mut P, f64));

/// Shows the part of a group that opens: shape, hold, dispersal.
pub fn matter_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let title = RichText::new(format!("Shape and hold of debris {}", i + 1)).font(theme::small());
    let open = fault.is_some_and(|f| MATTER.iter().any(|field| f.is_at(&path(i, field))));
    let header = CollapsingHeader::new(title)
        .id_salt(("matter", i))
        .open(open.then_some(true))
        .show(ui, |ui| {
            shape_ui(ui, i, entry, fault, commands);
            hold_ui(ui, i, entry, fault, commands);
            dispersal_ui(ui, i, entry, fault, commands);
        });
    header.header_response.on_hover_text(MORE);
}

/// Fields of an entry that this part shows.
const MATTER: [&str; 9] = [
    "shape.aspect",
    "adhesion.wall_g",
    "adhesion.neighbour_g",
    "adhesion.growth_s",
    "adhesion.wear_s",
    "attachment_g",
    "dispersal.pieces",
    "dispersal.over_mm",
    "dispersal.gather_s",
];

fn path(i: usize, field: &str) -> String {
    format!("debris[{}].{field}", i + 1)
}

/// One row with a number; `set` puts it into the entry.
fn row(
    ui: &mut Ui,
    (i, entry): (usize, &DebrisEntry),
    row: Row<'_>,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
    set: impl Fn(&mut DebrisEntry, f64),
) {
    let (label, tip, field, unit, per_point, empty, value) = row;
    let field = path(i, field);
    let name = format!("{label}, debris {}", i + 1);
    let number = Number {
        empty,
        width: 88.0,
        per_point,
        weak: value.is_infinite(),
        wrong: fault.is_some_and(|f| f.is_at(&field)),
        ..Number::new(&name, tip, value, unit)
    };
    fields::row(ui, label, tip, |ui| {
        fields::number(ui, number, commands, |v| {
            let mut next = entry.clone();
            set(&mut next, v);
            Edit::Case(CaseEdit::SetDebris(i, next))
        });
    });
    fields::fault_ui(ui, fault, &[field]);
}

fn shape_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let (form, aspect) = match entry.shape {
        None | Some(ShapeEntry::Ball) => (Form::Ball, USUAL_ASPECT),
        Some(ShapeEntry::Rod { aspect }) => (Form::Rod, aspect),
        Some(ShapeEntry::Disc { aspect }) => (Form::Disc, aspect),
    };
    let shaped = |form, aspect| match form {
        Form::Ball => None,
        Form::Rod => Some(ShapeEntry::Rod { aspect }),
        Form::Disc => Some(ShapeEntry::Disc { aspect }),
    };
    let what = format!("Shape of debris {}", i + 1);
    if let Some(form) = controls::choice(ui, &what, form, &FORMS) {
        let shape = shaped(form, aspect);
        let entry = DebrisEntry {
            shape,
            ..entry.clone()
        };
        commands.push(Command::Edit(EditCommand::Change(Edit::Case(
            CaseEdit::SetDebris(i, entry),
        ))));
    }
    let (label, tip) = match form {
        Form::Ball => return,
        Form::Rod => ("Length over width", ASPECT_ROD),
        Form::Disc => ("Width over thickness", ASPECT_DISC),
    };
    let aspect_row = (label, tip, "shape.aspect", "", 0.01, None, aspect);
    row(ui, (i, entry), aspect_row, fault, commands, |e, v| {
        e.shape = shaped(form, v);
    });
}

fn hold_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let hold = entry.adhesion.unwrap_or_default();
    let wear_s = hold.wear_s.unwrap_or(f64::INFINITY);
    let rows: [Part<'_, AdhesionEntry>; 4] = [
        (
            (
                "Hold of the wall",
                WALL,
                "adhesion.wall_g",
                "×",
                0.01,
                None,
                hold.wall_g,
            ),
            |a, v| a.wall_g = v,
        ),
        (
            (
                "Hold of neighbours",
                NEIGHBOUR,
                "adhesion.neighbour_g",
                "×",
                0.01,
                None,
                hold.neighbour_g,
            ),
            |a, v| a.neighbour_g = v,
        ),
        (
            (
                "Hold grows back in",
                GROWTH,
                "adhesion.growth_s",
                " s",
                1.0,
                None,
                hold.growth_s,
            ),
            |a, v| a.growth_s = v,
        ),
        (
            (
                "Load wears it off in",
                WEAR,
                "adhesion.wear_s",
                " s",
                1.0,
                Some("never"),
                wear_s,
            ),
            |a, v| a.wear_s = v.is_finite().then_some(v),
        ),
    ];
    for (fields, set) in rows {
        row(ui, (i, entry), fields, fault, commands, |e, v| {
            let mut next = hold;
            set(&mut next, v);
            e.adhesion = (next != AdhesionEntry::default()).then_some(next);
        });
    }
    if matches!(entry.at, At::OnCupula { .. }) {
        let pull = entry.attachment_g.unwrap_or(f64::INFINITY);
        let label = "Lets go of the cupula at";
        let fields = (
            label,
            ATTACHMENT,
            "attachment_g",
            "×",
            0.01,
            Some("never"),
            pull,
        );
        row(ui, (i, entry), fields, fault, commands, |e, v| {
            e.attachment_g = v.is_finite().then_some(v);
        });
    }
}

fn dispersal_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let label = "Falls apart on its way";
    fields::row(ui, label, DISPERSAL, |ui| {
        let mut on = entry.dispersal.is_some();
        let box_ = ui.checkbox(&mut on, "");
        fields::name(&box_, &format!("{label}, debris {}", i + 1));
        if box_.on_hover_text(DISPERSAL).changed() {
            let dispersal = on.then(DispersalEntry::default);
            let entry = DebrisEntry {
                dispersal,
                ..entry.clone()
            };
            commands.push(Command::Edit(EditCommand::Change(Edit::Case(
                CaseEdit::SetDebris(i, entry),
            ))));
        }
    });
    let Some(now) = entry.dispersal else { return };
    let rows: [Part<'_, DispersalEntry>; 3] = [
        (
            (
                "Into pieces",
                PIECES,
                "dispersal.pieces",
                "",
                0.1,
                None,
                now.pieces,
            ),
            |d, v| d.pieces = v,
        ),
        (
            (
                "Over a way of",
                OVER,
                "dispersal.over_mm",
                " mm",
                0.01,
                None,
                now.over_mm,
            ),
            |d, v| d.over_mm = v,
        ),
        (
            (
                "Gathers in",
                GATHER,
                "dispersal.gather_s",
                " s",
                1.0,
                None,
                now.gather_s,
            ),
            |d, v| d.gather_s = v,
        ),
    ];
    for (fields, set) in rows {
        row(ui, (i, entry), fields, fault, commands, |e, v| {
            let mut next = now;
            set(&mut next, v);
            e.dispersal = Some(next);
        });
    }
}

/// What a group is besides number and size, in a few words; nothing if it is as usual.
pub fn words(entry: &DebrisEntry) -> Option<String> {
    let shape = match entry.shape {
        None | Some(ShapeEntry::Ball) => None,
        Some(ShapeEntry::Rod { aspect }) => Some(format!("rods {aspect}:1")),
        Some(ShapeEntry::Disc { aspect }) => Some(format!("discs {aspect}:1")),
    };
    let held = entry.adhesion.map(|_| "sticks".to_owned());
    let apart = entry.dispersal.map(|_| "falls apart".to_owned());
    let words: Vec<String> = [shape, held, apart].into_iter().flatten().collect();
    (!words.is_empty()).then(|| words.join(", "))
}

/// A line under a closed part that says what is not as usual in it.
pub fn words_ui(ui: &mut Ui, entry: &DebrisEntry) {
    if let Some(words) = words(entry) {
        controls::line(ui, words, theme::small(), Palette::of(ui).weak);
    }
}
