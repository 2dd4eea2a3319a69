//! The form: sequences, case, number of ears, what is varied, limits.

use egui::{CollapsingHeader, ComboBox, DragValue, TextEdit, Ui, vec2};
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{Mechanism, Purpose, Scenario};
use lithodrome_study::MOST_EARS;

use super::{
    ask::push,
    asked::name_of,
    command::VariantCommand,
    form::{Asked, Form, Source, Varied, VaryForm, Whereabouts},
};
use crate::{
    kit::theme::{self, Palette},
    kit::{controls, fields},
    session::command::Command,
    work::library::{Entry, library},
};

/// Range of the lowest-head limit, degrees below the horizontal.
pub(super) const HEAD_DEG: std::ops::RangeInclusive<f64> = -60.0..=90.0;

/// Most sequences beside the first.
const MOST_BESIDE: usize = 5;

/// Shows the form and takes what is changed in it.
pub(super) fn form_ui(ui: &mut Ui, form: &mut Form, draft: Option<&Scenario>) {
    let canal = form.canal_of(draft);
    if form.asked != Asked::WithinLimits {
        let names = ("Sequence", "Sequence that is asked about");
        source_ui(ui, names, &mut form.first, draft, canal);
    }
    if form.asked == Asked::Gentler {
        beside_ui(ui, form, draft, canal);
    }
    canal_ui(ui, form, canal);
    place_ui(ui, form);
    let tip = "How many ears: each ten times as many makes the interval a third as wide";
    whole(ui, "Ears", tip, " ears", 1..=MOST_EARS, &mut form.ears);
    match form.asked {
        Asked::MostEars => vary_ui(ui, form),
        Asked::Gentler => {}
        Asked::WithinLimits => limits_ui(ui, form),
    }
    more_ui(ui, form);
}

/// The form in a line, and a button that unfolds it.
pub(super) fn folded_ui(
    ui: &mut Ui,
    form: &Form,
    draft: Option<&Scenario>,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let mut words = format!("{} ears, {}", form.ears, form.canal_of(draft).name());
    if form.asked != Asked::WithinLimits {
        words = format!("{}; {words}", name_of(form.first, draft));
    }
    controls::line(ui, words, theme::small(), palette.weak);
    let button = ui.small_button("Change the question");
    let tip = "Sequences, canal, number of ears and all else";
    if button.on_hover_text(tip).clicked() {
        push(commands, VariantCommand::Fold(false));
    }
}

/// A row with a label of its own width and a list that takes the rest.
fn list_row(
    ui: &mut Ui,
    label: &str,
    called: &str,
    tip: &str,
    chosen: &str,
    entries: impl FnOnce(&mut Ui),
) {
    ui.horizontal(|ui| {
        let size = vec2(104.0, fields::HEIGHT);
        let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
        response.on_hover_text(tip);
        let (at, ink) = (rect.left_center(), Palette::of(ui).text);
        let align = egui::Align2::LEFT_CENTER;
        ui.painter().text(at, align, label, theme::body(), ink);
        let shown = ComboBox::from_id_salt(("list", called))
            .width(ui.available_width() - 8.0)
            .truncate()
            .height(400.0)
            .selected_text(chosen)
            .show_ui(ui, entries);
        fields::name(&shown.response, called);
        shown.response.on_hover_text(tip);
    });
}

fn beside_ui(ui: &mut Ui, form: &mut Form, draft: Option<&Scenario>, canal: CanalId) {
    // A sequence beside itself tells nothing.
    if form.others == [form.first] {
        form.others = vec![another(form, draft, canal)];
    }
    let mut gone = None;
    let several = form.others.len() > 1;
    for (i, other) in form.others.iter_mut().enumerate() {
        let number = if several {
            format!(" {}", i + 1)
        } else {
            String::new()
        };
        let label = format!("Beside{number}");
        let called = format!("Sequence{number} beside it");
        source_ui(ui, (&label, &called), other, draft, canal);
        if several {
            let button = ui.small_button("Leave it out");
            fields::name(&button, &format!("Leave out sequence {}", i + 2));
            let button = button.on_hover_text("Compare without this sequence");
            if button.clicked() {
                gone = Some(i);
            }
        }
    }
    if let Some(i) = gone {
        form.others.remove(i);
    }
    if form.others.len() < MOST_BESIDE {
        let add = ui.small_button("Another sequence");
        let tip = "Compare with one more, in the same ears";
        if add.on_hover_text(tip).clicked() {
            form.others.push(another(form, draft, canal));
        }
    }
}

/// A treatment of the library for this canal that is not compared yet, and is not the open one.
fn another(form: &Form, draft: Option<&Scenario>, canal: CanalId) -> Source {
    let is_new = |(i, entry): &(usize, &Entry)| {
        let there = |source: &Source| *source == Source::Library(*i);
        entry.about.kind == Purpose::Treatment
            && is_for(entry, canal)
            && !there(&form.first)
            && !form.others.iter().any(there)
            && draft.is_none_or(|draft| draft.title != entry.title)
    };
    let found = library().iter().enumerate().find(is_new);
    found.map_or(Source::Draft, |(i, _)| Source::Library(i))
}

fn is_for(entry: &Entry, canal: CanalId) -> bool {
    let mut targets = entry.about.targets.iter();
    targets.any(|t| (t.ear, t.canal) == (canal.ear, canal.canal))
}

/// The open scenario or an entry of the library, those for the canal first.
fn source_ui(
    ui: &mut Ui,
    (label, called): (&str, &str),
    source: &mut Source,
    draft: Option<&Scenario>,
    canal: CanalId,
) {
    let weak = Palette::of(ui).weak;
    ui.label(egui::RichText::new(label).font(theme::small()).color(weak));
    let shown = ComboBox::from_id_salt(("sequence", called))
        .width(ui.available_width() - 8.0)
        .height(400.0)
        .truncate()
        .selected_text(name_of(*source, draft))
        .show_ui(ui, |ui| {
            ui.selectable_value(source, Source::Draft, name_of(Source::Draft, draft));
            for fits in [true, false] {
                ui.separator();
                for (i, entry) in library().iter().enumerate() {
                    if is_for(entry, canal) == fits {
                        ui.selectable_value(source, Source::Library(i), &entry.title);
                    }
                }
            }
        });
    fields::name(&shown.response, called);
    let tip = "The open scenario as it is now, or a manoeuvre of the library";
    shown.response.on_hover_text(tip);
}

fn canal_ui(ui: &mut Ui, form: &mut Form, canal: CanalId) {
    let tip = "The canal that has debris; that of the open scenario unless chosen";
    let chosen = canal.name();
    list_row(ui, "Canal", "Canal with debris", tip, &chosen, |ui| {
        ui.selectable_value(&mut form.canal, None, "as in the open scenario");
        for id in CanalId::ALL {
            ui.selectable_value(&mut form.canal, Some(id), id.name());
        }
    });
}

fn place_ui(ui: &mut Ui, form: &mut Form) {
    let tip = "Where the debris starts; the usual mixture has it anywhere between cupula and apex";
    let chosen = form.place.map_or("as in the mixture", Mechanism::name);
    list_row(
        ui,
        "Debris starts",
        "Where debris starts",
        tip,
        chosen,
        |ui| {
            ui.selectable_value(&mut form.place, None, "as in the mixture");
            for place in Mechanism::ALL {
                ui.selectable_value(&mut form.place, Some(place), place.name());
            }
        },
    );
}

fn vary_ui(ui: &mut Ui, form: &mut Form) {
    let header = CollapsingHeader::new("Vary one or two things").id_salt("vary");
    let opened = header.show(ui, |ui| {
        for (i, axis) in form.vary.iter_mut().enumerate() {
            axis_ui(ui, if i == 0 { "First" } else { "Second" }, axis);
        }
        let tip = "Numbers of the steps, such as 2, 3; those in which the patient lies if empty";
        fields::row(ui, "In steps", tip, |ui| {
            let edit = TextEdit::singleline(&mut form.steps)
                .hint_text("lying ones")
                .desired_width(96.0)
                .char_limit(80);
            let response = ui.add(edit);
            fields::name(&response, "Steps that are varied");
            response.on_hover_text(tip);
        });
        let tip = "The line in the map runs where so many of 100 ears are cleared";
        number(ui, "Line at", tip, " in 100", 1.0..=99.0, &mut form.wanted);
    });
    let tip = "Compute the sequence over a grid of holds, angles, speeds or sizes, as a map";
    opened.header_response.on_hover_text(tip);
}

fn axis_ui(ui: &mut Ui, name: &str, axis: &mut VaryForm) {
    let before = axis.what;
    let tip = "What is varied over the grid";
    let called = format!("{name} thing that is varied");
    let chosen = axis.what.map_or("nothing", Varied::name);
    list_row(ui, name, &called, tip, chosen, |ui| {
        ui.selectable_value(&mut axis.what, None, "nothing");
        for what in Varied::ALL {
            ui.selectable_value(&mut axis.what, Some(what), what.name());
        }
    });
    let Some(what) = axis.what else { return };
    if before != Some(what) {
        (axis.from, axis.to) = what.range();
    }
    ui.horizontal(|ui| {
        let mut field = |value: &mut f64, called: &str, word: &str| {
            ui.label(word);
            let response = ui.add(
                DragValue::new(value)
                    .suffix(what.unit())
                    .range(-90.0..=1000.0)
                    .max_decimals(1),
            );
            fields::name(&response, &format!("{name}, {called}"));
            response.on_hover_text(format!("{called} of the {}", what.name()));
        };
        field(&mut axis.from, "least value", "from");
        field(&mut axis.to, "largest value", "to");
        ui.label("in");
        let response = ui.add(DragValue::new(&mut axis.points).range(2..=16));
        fields::name(&response, &format!("{name}, number of values"));
        response.on_hover_text("How many values; every one is a computation of its own");
    });
}

fn limits_ui(ui: &mut Ui, form: &mut Form) {
    let limits = &mut form.limits;
    let tip = "Farthest that the crown of the head may be below the horizontal; 0 is lying flat, less is above";
    number(
        ui,
        "Head below horizontal",
        tip,
        "°",
        HEAD_DEG,
        &mut limits.lowest_head_deg,
    );
    let tip = "Longest time in one go with the crown below the horizontal";
    number(
        ui,
        "Head down at most",
        tip,
        " s",
        0.0..=3600.0,
        &mut limits.inverted_s,
    );
    let tip = "Most holds, sitting at the beginning and the end not counted";
    whole(ui, "Holds at most", tip, " holds", 1..=8, &mut limits.holds);
    let tip = "Where the debris is taken to be: a canal that nobody knows counts each of the ear's alike; in both ears both have to be cleared";
    let chosen = form.whereabouts.name();
    list_row(
        ui,
        "Debris in",
        "Where debris is searched for",
        tip,
        chosen,
        |ui| {
            for where_it_is in Whereabouts::ALL {
                ui.selectable_value(&mut form.whereabouts, where_it_is, where_it_is.name());
            }
        },
    );
}

/// Slowest and fastest mean speed of a move, deg/s, and how far a headrest bends, degrees.
const SPEEDS_DEG_S: std::ops::RangeInclusive<f64> = 1.0..=120.0;
const HEADREST_DEG: std::ops::RangeInclusive<f64> = -45.0..=45.0;

fn chair_ui(ui: &mut Ui, form: &mut Form) {
    let limits = &mut form.limits;
    let tip = "Mean speed of a move about the yaw axis";
    number(
        ui,
        "Yaw speed",
        tip,
        "°/s",
        SPEEDS_DEG_S,
        &mut limits.yaw_deg_s,
    );
    let tip = "Mean speed of a move about the track's axis";
    number(
        ui,
        "Track speed",
        tip,
        "°/s",
        SPEEDS_DEG_S,
        &mut limits.track_deg_s,
    );
    let tip = "How far the headrest bends the head forward; it stays through the sequence";
    number(
        ui,
        "Headrest",
        tip,
        "°",
        HEADREST_DEG,
        &mut form.headrest_deg,
    );
}

/// Spacings that a search can have, degrees.
const GRIDS_DEG: [f64; 3] = [15.0, 22.5, 30.0];

fn grid_ui(ui: &mut Ui, form: &mut Form) {
    let tip = "Spacing of the yaw and track angles that the search tries; a wider one is quicker and finds less";
    let chosen = format!("{}°", form.grid_deg);
    list_row(ui, "Angles every", "Grid of angles", tip, &chosen, |ui| {
        for deg in GRIDS_DEG {
            ui.selectable_value(&mut form.grid_deg, deg, format!("{deg}°"));
        }
    });
}

fn more_ui(ui: &mut Ui, form: &mut Form) {
    let header = CollapsingHeader::new("How it is computed").id_salt("more");
    let opened = header.show(ui, |ui| {
        let tip = "The usual mixture of ears, debris and operators, or the path of a mixture file";
        fields::row(ui, "Mixture", tip, |ui| {
            let edit = TextEdit::singleline(&mut form.mixture)
                .desired_width(96.0)
                .char_limit(400);
            let response = ui.add(edit);
            fields::name(&response, "Mixture of cases");
            response.on_hover_text(tip);
        });
        let tip = "The same seed gives the same ears";
        whole(ui, "Seed", tip, "", 0..=u32::MAX, &mut form.seed);
        if form.asked == Asked::WithinLimits {
            grid_ui(ui, form);
            chair_ui(ui, form);
        }
        let tip = "Follow every run through 15 min upright and the control test, as the window does; many times slower. Without, that is done only where debris has gone to a short arm; every other run is judged after a minute of sitting.";
        let ticked = ui.checkbox(&mut form.with_control, "Follow to the control test (slow)");
        ticked.on_hover_text(tip);
    });
    let tip = "Mixture, seed, and how far a run is followed";
    opened.header_response.on_hover_text(tip);
}

fn number(
    ui: &mut Ui,
    label: &str,
    tip: &str,
    unit: &str,
    range: std::ops::RangeInclusive<f64>,
    value: &mut f64,
) {
    fields::row(ui, label, tip, |ui| {
        let drag = DragValue::new(value).suffix(unit).range(range);
        let response = ui.add(drag.max_decimals(0));
        fields::name(&response, label);
        response.on_hover_text(tip);
    });
}

fn whole(
    ui: &mut Ui,
    label: &str,
    tip: &str,
    unit: &str,
    range: std::ops::RangeInclusive<u32>,
    value: &mut u32,
) {
    fields::row(ui, label, tip, |ui| {
        let drag = DragValue::new(value).suffix(unit).range(range);
        let response = ui.add(drag);
        fields::name(&response, label);
        response.on_hover_text(tip);
    });
}
