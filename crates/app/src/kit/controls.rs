//! Small controls of our own: drawn icons, choices in a row, a mark for an ear, section titles.

use egui::{
    Align2, Color32, CornerRadius, FontSelection, Frame, Margin, Painter, Pos2, Rect, Response,
    Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use lithodrome_labyrinth::Ear;

use crate::kit::theme::{self, Palette};

/// Where the widget is kept that uses Left and Right itself.
const ARROWS: &str = "uses Left and Right";

/// While this has the focus, Left and Right are its own and not the cursor's in time.
pub fn takes_arrows(response: &Response) {
    if response.has_focus() {
        let id = response.id;
        response
            .ctx
            .data_mut(|data| data.insert_temp(egui::Id::unique(ARROWS), id));
    }
}

/// The focus is on something that uses Left and Right itself.
pub fn arrows_are_taken(ctx: &egui::Context) -> bool {
    let user = ctx.data(|data| data.get_temp::<egui::Id>(egui::Id::unique(ARROWS)));
    user.is_some() && user == ctx.memory(egui::Memory::focused)
}

/// Icons drawn with the painter, so that no font is needed for them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// Triangle.
    Play,
    /// Two bars.
    Pause,
    /// To the very start.
    Start,
    /// To the very end.
    End,
    /// A step back.
    Back,
    /// A step on.
    On,
    /// Fold to the left.
    Fold,
    /// Unfold to the right.
    Unfold,
    /// Cross.
    Close,
}

impl Icon {
    /// Draws the icon 14 points high.
    pub fn paint(self, painter: &Painter, centre: Pos2, ink: Color32) {
        let at = |x: f32, y: f32| centre + vec2(x, y);
        let stroke = Stroke::new(1.6, ink);
        let triangle = |x0: f32, x1: f32| {
            let points = vec![at(x0, -6.0), at(x1, 0.0), at(x0, 6.0)];
            painter.add(Shape::convex_polygon(points, ink, Stroke::NONE));
        };
        let bar = |x: f32| {
            let rect = Rect::from_center_size(at(x, 0.0), vec2(3.0, 12.0));
            painter.rect_filled(rect, CornerRadius::same(1), ink);
        };
        let chevron = |x: f32, way: f32| {
            let points = vec![
                at(x - 2.5 * way, -5.0),
                at(x + 2.5 * way, 0.0),
                at(x - 2.5 * way, 5.0),
            ];
            painter.add(Shape::line(points, stroke));
        };
        match self {
            Icon::Play => triangle(-4.0, 6.5),
            Icon::Pause => {
                bar(-3.5);
                bar(3.5);
            }
            Icon::Start => {
                bar(-5.0);
                triangle(6.0, -3.0);
            }
            Icon::End => {
                triangle(-6.0, 3.0);
                bar(5.0);
            }
            Icon::Back => chevron(0.0, -1.0),
            Icon::On => chevron(0.0, 1.0),
            Icon::Fold => {
                chevron(-3.0, -1.0);
                chevron(3.0, -1.0);
            }
            Icon::Unfold => {
                chevron(-3.0, 1.0);
                chevron(3.0, 1.0);
            }
            Icon::Close => {
                painter.line_segment([at(-4.5, -4.5), at(4.5, 4.5)], stroke);
                painter.line_segment([at(-4.5, 4.5), at(4.5, -4.5)], stroke);
            }
        }
    }
}

/// A square button with an icon; `name` is what it is called, `tip` says more.
pub fn icon_button(ui: &mut Ui, icon: Icon, size: f32, name: &str, tip: &str) -> Response {
    let enabled = ui.is_enabled();
    let (rect, response) = ui.allocate_exact_size(vec2(size, size), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    let palette = Palette::of(ui);
    if response.hovered() || response.has_focus() {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(4), palette.block_strong);
    }
    let ink = if enabled { palette.text } else { palette.faint };
    icon.paint(ui.painter(), rect.center(), ink);
    response.on_hover_text(tip)
}

/// One of several, in a row: value, label, tooltip. Returns what was chosen just now.
pub fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    what: &str,
    current: T,
    options: &[(T, &str, &str)],
) -> Option<T> {
    choice_within(ui, what, current, options, f32::INFINITY)
}

/// The same no wider than `room`, as far as its words go.
pub fn choice_within<T: Copy + PartialEq>(
    ui: &mut Ui,
    what: &str,
    current: T,
    options: &[(T, &str, &str)],
    room: f32,
) -> Option<T> {
    let palette = Palette::of(ui);
    let mut chosen = None;
    let font = theme::small();
    let words: Vec<f32> = options
        .iter()
        .map(|(_, label, _)| {
            let label = (*label).to_owned();
            let galley = ui
                .painter()
                .layout_no_wrap(label, font.clone(), palette.text);
            galley.size().x
        })
        .collect();
    let spare = (room - words.iter().sum::<f32>()) / words.len().max(1) as f32 - 1.0;
    let widths = words
        .iter()
        .map(|word| (word + spare.clamp(4.0, 16.0)).ceil());
    let widths: Vec<f32> = widths.collect();
    let (all, _) = ui.allocate_exact_size(vec2(widths.iter().sum(), 24.0), Sense::hover());
    ui.painter()
        .rect_filled(all, CornerRadius::same(4), palette.block);
    let mut left = all.left();
    for (&(value, label, tip), width) in options.iter().zip(widths) {
        let rect = Rect::from_min_size(pos2(left, all.top()), vec2(width, all.height()));
        left += width;
        let id = ui.scope_id().with((what, label));
        let response = ui.interact(rect, id, Sense::click());
        let (on, enabled) = (value == current, ui.is_enabled());
        response.widget_info(|| {
            WidgetInfo::selected(Role::RadioButton, enabled, on, format!("{what}: {label}"))
        });
        if on {
            ui.painter()
                .rect_filled(rect, CornerRadius::same(4), palette.block_strong);
        }
        if response.has_focus() {
            let line = Stroke::new(1.0, palette.weak);
            let inside = egui::StrokeKind::Inside;
            ui.painter()
                .rect_stroke(rect, CornerRadius::same(4), line, inside);
        }
        let ink = if on || response.hovered() {
            palette.text
        } else {
            palette.weak
        };
        ui.painter().text(
            rect.center(),
            Align2::CENTER_CENTER,
            label,
            font.clone(),
            ink,
        );
        if response.on_hover_text(tip).clicked() {
            chosen = Some(value);
        }
    }
    chosen
}

/// A word that is on or off; true if it was clicked.
pub fn toggle(ui: &mut Ui, name: &str, on: bool, tip: &str) -> bool {
    let palette = Palette::of(ui);
    let ink = if on { palette.text } else { palette.weak };
    let galley = ui
        .painter()
        .layout_no_wrap(name.to_owned(), theme::small(), ink);
    let size = vec2(galley.size().x + 16.0, 24.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, enabled, on, name));
    let fill = if on {
        palette.block_strong
    } else {
        palette.block
    };
    ui.painter().rect_filled(rect, CornerRadius::same(4), fill);
    if response.has_focus() || response.hovered() {
        let (line, inside) = (Stroke::new(1.0, palette.weak), egui::StrokeKind::Inside);
        ui.painter()
            .rect_stroke(rect, CornerRadius::same(4), line, inside);
    }
    ui.painter()
        .galley(rect.center() - galley.size() / 2.0, galley, ink);
    response.on_hover_text(tip).clicked()
}

/// Draws ○ for the right ear and × for the left one.
pub fn paint_ear_mark(painter: &Painter, centre: Pos2, ear: Ear) {
    let stroke = Stroke::new(2.0, theme::ear_colour(ear));
    match ear {
        Ear::Right => {
            painter.circle_stroke(centre, 4.5, stroke);
        }
        Ear::Left => {
            let d = 4.0;
            painter.line_segment([centre + vec2(-d, -d), centre + vec2(d, d)], stroke);
            painter.line_segment([centre + vec2(-d, d), centre + vec2(d, -d)], stroke);
        }
    }
}

/// The mark of an ear as a widget.
pub fn ear_mark(ui: &mut Ui, ear: Ear) {
    let (rect, response) = ui.allocate_exact_size(vec2(12.0, 16.0), Sense::hover());
    let name = format!("Mark of the {} ear", ear.name());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    paint_ear_mark(ui.painter(), rect.center(), ear);
}

/// A section's title in small, weak type.
pub fn section(ui: &mut Ui, title: &str) {
    let colour = Palette::of(ui).weak;
    ui.label(
        egui::RichText::new(title)
            .font(theme::small_strong())
            .color(colour),
    );
}

/// A line of text that wraps.
pub fn line(ui: &mut Ui, text: impl Into<String>, font: impl Into<FontSelection>, ink: Color32) {
    let text = egui::RichText::new(text).color(ink);
    let job =
        egui::WidgetText::from(text).into_layout_job(ui.style(), font.into(), egui::Align::Center);
    ui.add(egui::Label::new(job).wrap());
}

/// A triangle with a bar and a dot: something is wrong.
pub fn warning_sign(ui: &mut Ui, palette: &Palette) {
    let (rect, _) = ui.allocate_exact_size(vec2(20.0, 20.0), Sense::hover());
    let c = rect.center();
    let corners = vec![c + vec2(0.0, -8.0), c + vec2(9.0, 7.0), c + vec2(-9.0, 7.0)];
    let stroke = Stroke::new(1.5, palette.text);
    ui.painter().add(Shape::closed_line(corners, stroke));
    ui.painter()
        .line_segment([c + vec2(0.0, -3.0), c + vec2(0.0, 2.0)], stroke);
    ui.painter()
        .circle_filled(pos2(c.x, c.y + 4.5), 1.0, palette.text);
}

/// The frame of a strip below the top bar.
pub fn strip(palette: &Palette) -> Frame {
    Frame::new()
        .fill(palette.block)
        .inner_margin(Margin::symmetric(16, 8))
}

/// The same with a capital at its start.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
