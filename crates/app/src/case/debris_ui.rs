//! The patient tab: debris and anatomy, to edit; below them the other sections.

use egui::{ComboBox, RichText, Role, ScrollArea, Ui, WidgetInfo, vec2};
use lithodrome_debris::CupulaFace;
use lithodrome_labyrinth::{Anatomy, Canal, Ear};
use lithodrome_rehearsal::{At, DebrisEntry, Kind, Scenario, StartAngles, Whose, form_words};

use crate::{
    case::cupulae_ui,
    case::limits_ui,
    case::matter_ui,
    case::neck_ui,
    case::watch_ui,
    kit::controls,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::{CaseEdit, Edit, StepsEdit},
};

const AT: &str = "Where the debris lies at the start. The ampullary arm is between cupula and apex, the \
    non-ampullary arm beyond the apex, the short arm on the utricular side of the cupula.";
const COUNT: &str = "How many pieces; at most 200 in all groups together";
const DIAMETER: &str = "Diameter of each piece. Single otoconia are about 10 µm, clumps 30 to 100 µm; \
    larger ones fall faster.";
const DENSITY: &str = "Density of each piece. Empty: that of its kind.";
const HEADREST: &str = "How far the headrest bends the head forward, all along: it turns all canals against \
    the chair.";
const ANATOMY: &str = "The ear that is computed: a shipped one, or a file. All canals take their planes, \
    widths and lengths from it.";

/// Shows debris, anatomy and limits.
pub fn patient_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let Some(draft) = &session.draft else { return };
    let (scenario, fault) = (draft.scenario(), draft.fault.as_ref());
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
            controls::section(ui, "Debris");
            debris_ui(ui, scenario, fault, commands);
            ui.add_space(12.0);
            controls::section(ui, "Anatomy and headrest");
            anatomy_ui(ui, scenario, fault, commands);
            headrest_ui(ui, scenario, fault, commands);
            cupulae_ui::cupulae_ui(ui, scenario, fault, commands);
            ui.add_space(12.0);
            controls::section(ui, "How the eyes are watched");
            watch_ui::eyes_ui(ui, scenario, fault, commands);
            ui.add_space(12.0);
            controls::section(ui, "How far this neck goes");
            neck_ui::neck_ui(ui, scenario, fault, commands);
            ui.add_space(12.0);
            for (whose, title) in [
                (Whose::Patient, "What this patient allows"),
                (Whose::Chair, "What this chair allows"),
            ] {
                controls::section(ui, title);
                limits_ui::limits_ui(ui, session, whose, fault, commands);
                ui.add_space(12.0);
            }
            controls::section(ui, "Engine and chance");
            watch_ui::engine_ui(ui, scenario, commands);
            ui.add_space(12.0);
            controls::section(ui, "Notes");
            watch_ui::notes_ui(ui, scenario, commands);
            ui.add_space(16.0);
        });
}

fn debris_ui(ui: &mut Ui, scenario: &Scenario, fault: Option<&Fault>, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if scenario.debris.is_empty() {
        let words = "No debris: the canals of this patient are clear.";
        controls::line(ui, words, theme::body(), palette.weak);
    }
    for (i, entry) in scenario.debris.iter().enumerate() {
        group_ui(ui, i, entry, fault, commands);
        ui.add_space(8.0);
    }
    fields::fault_ui(ui, fault, &["debris".to_owned()]);
    let more = ui.button("Add debris");
    if more.on_hover_text("One more group of pieces").clicked() {
        let entry = scenario.debris.last().cloned().unwrap_or_else(common_case);
        commands.push(Command::Edit(EditCommand::Change(Edit::Case(
            CaseEdit::AddDebris(entry),
        ))));
    }
}

/// Right posterior, free: the commonest case.
fn common_case() -> DebrisEntry {
    DebrisEntry::new(Ear::Right, Canal::Posterior, At::AmpullaryArm, 8, 50.0)
}

fn group_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let n = i + 1;
    let here = |field: &str| format!("debris[{n}].{field}");
    let wrong = |field: &str| fault.is_some_and(|f| f.is_at(&here(field)));
    let edit = |change: &dyn Fn(&mut DebrisEntry)| changed(i, entry, change);
    let set = |change: &dyn Fn(&mut DebrisEntry)| Command::Edit(EditCommand::Change(edit(change)));
    ui.horizontal(|ui| {
        controls::ear_mark(ui, entry.ear);
        let ears = [
            (Ear::Right, "right", "The right ear"),
            (Ear::Left, "left", "The left ear"),
        ];
        let what = format!("Ear of debris {n}");
        if let Some(ear) = controls::choice(ui, &what, entry.ear, &ears) {
            commands.push(set(&|e| e.ear = ear));
        }
        let canals = Canal::ALL.map(|c| (c, c.name()));
        let what = format!("Canal of debris {n}");
        let tip = "The semicircular canal that the pieces lie in";
        if let Some(canal) = pick(ui, &what, tip, entry.canal, &canals, 96.0) {
            commands.push(set(&|e| e.canal = canal));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            // In words: a cross is the mark of the left ear.
            let (name, tip) = (format!("Remove debris {n}"), "Take this group out");
            let remove = ui.button(RichText::new("Remove").font(theme::small()));
            fields::name(&remove, &name);
            if remove.on_hover_text(tip).clicked() {
                commands.push(Command::Edit(EditCommand::Change(Edit::Case(
                    CaseEdit::RemoveDebris(i),
                ))));
            }
        });
    });
    ui.horizontal(|ui| {
        ui.add_space(16.0);
        let what = format!("Place of debris {n}");
        if let Some(place) = pick(ui, &what, AT, Place::of(entry.at), &PLACES, 200.0) {
            commands.push(set(&|e| e.at = place.at()));
        }
        if let At::Arc { mm } = entry.at {
            let name = format!("Distance from the cupula of debris {n}");
            let tip = "Arc length from the cupula; below 0 in the short arm";
            let field = Number {
                width: 72.0,
                per_point: 0.05,
                wrong: wrong("at.mm"),
                ..Number::new(&name, tip, mm, " mm")
            };
            fields::number(ui, field, commands, |v| edit(&|e| e.at = At::Arc { mm: v }));
        }
    });
    if let Some(form) = form_words(entry.canal, entry.at) {
        ui.horizontal(|ui| {
            ui.add_space(16.0);
            let words = RichText::new(format!("Gives {form}.")).font(theme::small());
            ui.add(egui::Label::new(words.color(Palette::of(ui).weak)).wrap());
        });
    }
    pieces_ui(ui, i, entry, fault, commands);
    let here = ["count", "diameter_um", "density_g_cm3", "at.mm"].map(here);
    fields::fault_ui(ui, fault, &here);
    ui.horizontal(|ui| {
        ui.add_space(16.0);
        ui.vertical(|ui| matter_ui::matter_ui(ui, i, entry, fault, commands));
    });
}

/// How many of what size, kind and density.
fn pieces_ui(
    ui: &mut Ui,
    i: usize,
    entry: &DebrisEntry,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let n = i + 1;
    let palette = Palette::of(ui);
    let wrong = |field: &str| fault.is_some_and(|f| f.is_at(&format!("debris[{n}].{field}")));
    let edit = |change: &dyn Fn(&mut DebrisEntry)| changed(i, entry, change);
    let called = |what: &str| format!("{what} of debris {n}");
    let word = |ui: &mut Ui, text: &str| {
        ui.label(RichText::new(text).font(theme::small()).color(palette.weak));
    };
    ui.horizontal(|ui| {
        ui.add_space(16.0);
        let name = called("Count");
        let count = Number {
            width: 40.0,
            per_point: 0.1,
            wrong: wrong("count"),
            ..Number::new(&name, COUNT, f64::from(entry.count), "")
        };
        fields::number(ui, count, commands, |v| {
            edit(&|e| e.count = v.round().clamp(0.0, 1e6) as u32)
        });
        word(
            ui,
            if entry.count == 1 {
                "piece of"
            } else {
                "pieces of"
            },
        );
        let name = called("Diameter");
        let diameter = Number {
            width: 68.0,
            wrong: wrong("diameter_um"),
            ..Number::new(&name, DIAMETER, entry.diameter_um, " µm")
        };
        fields::number(ui, diameter, commands, |v| edit(&|e| e.diameter_um = v));
    });
    ui.horizontal(|ui| {
        ui.add_space(16.0);
        let kind = entry.kind.unwrap_or(Kind::Crystal);
        if let Some(kind) = controls::choice(ui, &called("Kind"), kind, &KINDS) {
            commands.push(Command::Edit(EditCommand::Change(edit(&|e| {
                e.kind = Some(kind);
            }))));
        }
        word(ui, "density");
        let name = called("Density");
        let value = entry.density_g_cm3.unwrap_or(f64::INFINITY);
        let density = Number {
            width: 92.0,
            per_point: 0.01,
            empty: Some("by kind"),
            weak: entry.density_g_cm3.is_none(),
            wrong: wrong("density_g_cm3"),
            ..Number::new(&name, DENSITY, value, " g/cm³")
        };
        fields::number(ui, density, commands, |v| {
            edit(&|e| e.density_g_cm3 = v.is_finite().then_some(v))
        });
    });
}

/// What the pieces are, with their densities.
const KINDS: [(Kind, &str, &str); 3] = [
    (
        Kind::Crystal,
        "crystals",
        "Single otoconia: calcite with its organic part, 2.7 g/cm³",
    ),
    (
        Kind::Clump,
        "clumps",
        "Otoconia stuck together with fluid between them, 2.1 g/cm³",
    ),
    (
        Kind::Gel,
        "gel",
        "Gel of the otolithic membrane with otoconia in it, 1.5 g/cm³: sinks slowest",
    ),
];

fn changed(i: usize, entry: &DebrisEntry, change: &dyn Fn(&mut DebrisEntry)) -> Edit {
    let mut next = entry.clone();
    change(&mut next);
    Edit::Case(CaseEdit::SetDebris(i, next))
}

/// Places without the numbers in them.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    AmpullaryArm,
    NonAmpullaryArm,
    ShortArm,
    Utricle,
    Arc,
    CanalFace,
    UtricleFace,
}

const PLACES: [(Place, &str); 7] = [
    (Place::AmpullaryArm, "ampullary arm"),
    (Place::NonAmpullaryArm, "non-ampullary arm"),
    (Place::ShortArm, "short arm"),
    (Place::Utricle, "utricle"),
    (Place::Arc, "at a distance"),
    (Place::CanalFace, "on the cupula, canal side"),
    (Place::UtricleFace, "on the cupula, utricle side"),
];

impl Place {
    fn of(at: At) -> Self {
        match at {
            At::AmpullaryArm => Place::AmpullaryArm,
            At::NonAmpullaryArm => Place::NonAmpullaryArm,
            At::ShortArm => Place::ShortArm,
            At::Utricle => Place::Utricle,
            At::Arc { .. } => Place::Arc,
            At::OnCupula {
                side: CupulaFace::Canal,
            } => Place::CanalFace,
            At::OnCupula {
                side: CupulaFace::Utricle,
            } => Place::UtricleFace,
        }
    }

    fn at(self) -> At {
        let on = |side| At::OnCupula { side };
        match self {
            Place::AmpullaryArm => At::AmpullaryArm,
            Place::NonAmpullaryArm => At::NonAmpullaryArm,
            Place::ShortArm => At::ShortArm,
            Place::Utricle => At::Utricle,
            Place::Arc => At::Arc { mm: 5.0 },
            Place::CanalFace => on(CupulaFace::Canal),
            Place::UtricleFace => on(CupulaFace::Utricle),
        }
    }
}

/// One of several in a list that opens. Returns what was chosen just now.
fn pick<T: Copy + PartialEq>(
    ui: &mut Ui,
    what: &str,
    tip: &str,
    current: T,
    options: &[(T, &str)],
    width: f32,
) -> Option<T> {
    let label = |value: T| options.iter().find(|o| o.0 == value).map_or("", |o| o.1);
    let mut chosen = None;
    let combo = ComboBox::from_id_salt(what)
        .width(width)
        .selected_text(label(current))
        .show_ui(ui, |ui| {
            for &(value, label) in options {
                if ui.selectable_label(value == current, label).clicked() {
                    chosen = Some(value);
                }
            }
        });
    let name = format!("{what}: {}", label(current));
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &name));
    combo.response.on_hover_text(tip);
    chosen.filter(|&value| value != current)
}

fn anatomy_ui(
    ui: &mut Ui,
    scenario: &Scenario,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let names: Vec<String> = Anatomy::names().map(str::to_owned).collect();
    let current = names.iter().position(|n| *n == scenario.anatomy);
    let words: Vec<String> = names.iter().map(|n| n.replace('-', " ")).collect();
    let mut options: Vec<(Option<usize>, &str)> = words
        .iter()
        .enumerate()
        .map(|(i, n)| (Some(i), n.as_str()))
        .collect();
    if current.is_none() {
        options.push((None, &scenario.anatomy));
    }
    let chosen = pick(ui, "Anatomy", ANATOMY, current, &options, 240.0);
    if let Some(Some(i)) = chosen {
        commands.push(Command::Edit(EditCommand::Change(Edit::Case(
            CaseEdit::Anatomy(names[i].clone()),
        ))));
    }
    fields::fault_ui(ui, fault, &["anatomy".to_owned()]);
}

fn headrest_ui(
    ui: &mut Ui,
    scenario: &Scenario,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let field = "chair.headrest_flexion_deg";
    let start = scenario.chair;
    let flexion = Number {
        width: 88.0,
        wrong: fault.is_some_and(|f| f.is_at(field)),
        ..Number::new(
            "Headrest flexion",
            HEADREST,
            start.headrest_flexion_deg,
            "°",
        )
    };
    fields::row(ui, "Headrest flexion", HEADREST, |ui| {
        fields::number(ui, flexion, commands, |v| {
            Edit::Steps(StepsEdit::Start(StartAngles {
                headrest_flexion_deg: v,
                ..start
            }))
        });
    });
    fields::fault_ui(ui, fault, &[field.to_owned()]);
}
