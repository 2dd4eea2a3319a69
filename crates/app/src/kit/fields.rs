//! Fields of the editors: numbers with units, lines of text, and faults shown where they are.

use egui::{
    Align, Align2, Atom, CornerRadius, DragValue, Key, Layout, Response, RichText, Sense, Shape,
    Stroke, StrokeKind, TextEdit, Ui, UiBuilder, vec2,
};

use crate::{
    kit::theme::{self, Palette},
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::Edit,
};

/// Height of a field, points.
pub const HEIGHT: f32 = 24.0;

/// A field with a number.
#[derive(Clone, Copy, Debug)]
pub struct Number<'a> {
    /// What assistive technology calls it.
    pub name: &'a str,
    /// What the term means.
    pub tip: &'a str,
    /// The number; infinite if there is none, where that is allowed.
    pub value: f64,
    /// Shown after the number: "°", " s".
    pub unit: &'a str,
    /// What an empty field says, where a number may be left out.
    pub empty: Option<&'a str>,
    /// Width, points.
    pub width: f32,
    /// Change per point of a drag, in its unit.
    pub per_point: f64,
    /// It is not the file's own but follows from another place.
    pub weak: bool,
    /// It is what is wrong with the draft.
    pub wrong: bool,
}

impl<'a> Number<'a> {
    /// A field that must have a number, as wide as an angle needs.
    pub fn new(name: &'a str, tip: &'a str, value: f64, unit: &'a str) -> Self {
        Self {
            name,
            tip,
            value,
            unit,
            empty: None,
            width: 56.0,
            per_point: 0.5,
            weak: false,
            wrong: false,
        }
    }
}

/// Shows a number that can be typed (Enter, Tab), dragged, or stepped (Up, Down); asks for the edit. An
/// emptied field gives an infinite number where it may be empty.
pub fn number(
    ui: &mut Ui,
    field: Number<'_>,
    commands: &mut Vec<Command>,
    edit: impl Fn(f64) -> Edit,
) -> Response {
    let palette = Palette::of(ui);
    let mut value = field.value;
    let empty = field.empty;
    // The space before the number pushes it to the right.
    let widget = DragValue::new(&mut value)
        .prefix(Atom::grow())
        .speed(field.per_point)
        .update_while_editing(false)
        .custom_formatter(move |value, _| match empty {
            Some(words) if value.is_infinite() => words.to_owned(),
            _ => plain(value),
        })
        .custom_parser(move |text| parse(text, empty))
        .suffix(if field.value.is_infinite() {
            ""
        } else {
            field.unit
        });
    let size = vec2(field.width, HEIGHT);
    let layout = Layout::right_to_left(Align::Center).with_main_justify(true);
    let (_, rect) = ui.allocate_space(size);
    let place = UiBuilder::new().max_rect(rect).layout(layout);
    let response = ui
        .scope_builder(place, |ui| {
            ui.spacing_mut().button_padding = vec2(6.0, 0.0);
            if field.weak {
                ui.visuals_mut().widgets.inactive.fg_stroke.color = palette.weak;
            }
            ui.add(widget)
        })
        .inner;
    name(&response, field.name);
    if field.wrong {
        outline(ui, &response);
    }
    if response.drag_started() {
        commands.push(Command::Edit(EditCommand::EndDrag));
    }
    if value.to_bits() != field.value.to_bits() {
        commands.push(if response.dragged() {
            Command::Edit(EditCommand::Drag(edit(value)))
        } else {
            Command::Edit(EditCommand::Change(edit(value)))
        });
    }
    if response.drag_stopped() {
        commands.push(Command::Edit(EditCommand::EndDrag));
    }
    response
        .on_hover_text(field.tip)
        .on_disabled_hover_text(field.tip)
}

/// A row with a label, and a field at its right end.
pub fn row(ui: &mut Ui, label: &str, tip: &str, field: impl FnOnce(&mut Ui)) {
    let ink = Palette::of(ui).text;
    ui.horizontal(|ui| {
        let width = (ui.available_width() - 112.0).max(120.0);
        let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover());
        response.on_hover_text(tip);
        let (at, align) = (rect.left_center(), Align2::LEFT_CENTER);
        ui.painter().text(at, align, label, theme::body(), ink);
        field(ui);
    });
}

/// A line of text; asks for the edit when the field is left (Enter, Tab), not at every letter.
pub fn text(
    ui: &mut Ui,
    called: &str,
    tip: &str,
    value: &str,
    width: f32,
    wrong: bool,
) -> (Response, Option<String>) {
    let line = |id, text: &mut String, ui: &mut Ui| {
        let edit = TextEdit::singleline(text).id(id).desired_width(width - 8.0);
        ui.add_sized(vec2(width, HEIGHT), edit)
    };
    let (response, changed) = typed(ui, called, value, line);
    if wrong {
        outline(ui, &response);
    }
    (response.on_hover_text(tip), changed)
}

/// Several lines of text; asks for the edit when the field is left.
pub fn lines(ui: &mut Ui, called: &str, tip: &str, value: &str, rows: usize) -> Option<String> {
    let field = |id, text: &mut String, ui: &mut Ui| {
        let edit = TextEdit::multiline(text)
            .id(id)
            .desired_rows(rows)
            .desired_width(f32::INFINITY);
        ui.add(edit)
    };
    let (response, changed) = typed(ui, called, value, field);
    response.on_hover_text(tip);
    changed
}

/// Keeps what is being typed; tells it once the field is left, unless by Escape.
fn typed(
    ui: &mut Ui,
    called: &str,
    value: &str,
    show: impl FnOnce(egui::Id, &mut String, &mut Ui) -> Response,
) -> (Response, Option<String>) {
    let id = ui.scope_id().with(("text field", called));
    let mut text: String = ui
        .data(|d| d.get_temp(id))
        .unwrap_or_else(|| value.to_owned());
    let response = show(id, &mut text, ui);
    name(&response, called);
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(id, text));
        return (response, None);
    }
    ui.data_mut(|d| d.remove_temp::<String>(id));
    let left = response.lost_focus() && !ui.input(|i| i.key_pressed(Key::Escape));
    let changed = (left && text != value).then_some(text);
    (response, changed)
}

/// The fault, if it is at one of these fields, under them.
pub fn fault_ui(ui: &mut Ui, fault: Option<&Fault>, fields: &[String]) {
    let Some(fault) = fault.filter(|f| fields.iter().any(|field| f.is_at(field))) else {
        return;
    };
    warning(ui, &fault.words);
}

/// A sentence with the sign of a warning before it.
pub fn warning(ui: &mut Ui, words: &str) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 16.0), Sense::hover());
        warning_sign(ui, rect.center());
        ui.add(
            egui::Label::new(
                RichText::new(words)
                    .font(theme::small())
                    .color(palette.text),
            )
            .wrap(),
        );
    });
}

/// A small triangle with a stroke inside.
pub fn warning_sign(ui: &Ui, c: egui::Pos2) {
    let ink = Palette::of(ui).text;
    let corners = vec![c + vec2(0.0, -6.0), c + vec2(6.5, 5.0), c + vec2(-6.5, 5.0)];
    ui.painter()
        .add(Shape::closed_line(corners, Stroke::new(1.2, ink)));
    ui.painter().line_segment(
        [c + vec2(0.0, -2.5), c + vec2(0.0, 1.5)],
        Stroke::new(1.2, ink),
    );
    ui.painter().circle_filled(c + vec2(0.0, 3.2), 0.8, ink);
}

/// Gives a widget its name, whatever it called itself.
pub fn name(response: &Response, name: &str) {
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_label(name.to_owned());
    });
}

fn outline(ui: &Ui, response: &Response) {
    let ink = Palette::of(ui).text;
    ui.painter().rect_stroke(
        response.rect,
        CornerRadius::same(4),
        Stroke::new(1.5, ink),
        StrokeKind::Inside,
    );
}

/// At most two decimals, no more than there are.
fn plain(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0 + 0.0;
    format!("{rounded}").replace('-', "−")
}

/// A number, with its unit or without; an infinite one for an empty field that may be empty.
fn parse(text: &str, empty: Option<&str>) -> Option<f64> {
    let text = text.trim();
    if let Some(words) = empty
        && (text.is_empty() || text == words)
    {
        return Some(f64::INFINITY);
    }
    let number: String = text
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| match c {
            '−' => '-',
            ',' => '.',
            c => c,
        })
        .take_while(|c| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'))
        .collect();
    number.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_write_them() {
        let close = |text, value: f64| {
            let read = parse(text, None).unwrap();
            assert!((read - value).abs() < 1e-12, "{text}: {read}");
        };
        close("120", 120.0);
        close(" −45 ° ", -45.0);
        close("2,5 s", 2.5);
        assert_eq!(parse("", None), None);
        assert_eq!(parse("fast", None), None);
        assert_eq!(parse("fast", Some("stays")), None);
        assert_eq!(parse("", Some("stays")), Some(f64::INFINITY));
        assert_eq!(parse("stays", Some("stays")), Some(f64::INFINITY));
    }

    #[test]
    fn numbers_have_no_more_digits_than_they_need() {
        assert_eq!(plain(120.0), "120");
        assert_eq!(plain(-22.5), "−22.5");
        assert_eq!(plain(-0.001), "0");
        assert_eq!(plain(1.0 / 3.0), "0.33");
    }
}
