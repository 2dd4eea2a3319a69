//! The whole map painted: a disc whose area is the share of ears that is cleared, a triangle whose area is
//! the share that switched. In the window, as a picture and as a drawing.

use egui::{
    Align2, CornerRadius, Painter, Pos2, Rect, Stroke, StrokeKind, Ui, Vec2, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};
use lithodrome_labyrinth::Canal;
use lithodrome_rehearsal::{CAUTION, Mechanism};

use super::{
    state::{ClearsState, MapPlace},
    whole::CellShare,
};
use crate::{
    export::svg_of_shapes,
    kit::ear_dots,
    kit::style,
    kit::theme::{self, Palette},
};

/// Width of a cell and height of a row, points.
const CELL: Vec2 = vec2(27.0, 19.0);
/// Least room for the names of manoeuvres.
const NAMES: f32 = 212.0;
/// Most room for them.
const MOST_NAMES: f32 = 480.0;
/// Room for a letter of a name, on the safe side, and for the bar before it and the gap behind it.
const LETTER: f32 = 6.5;
const BESIDE_NAME: f32 = 16.0;
/// Canals and letters of places.
const HEAD: f32 = 44.0;
/// Between two canals, and between two groups of manoeuvres.
const GAP: f32 = 8.0;
/// Lines below the cells.
const LINE: f32 = 17.0;
/// Largest disc, points.
const DISC: f32 = 7.5;

/// Room that all cells take beside the names.
const CELLS: f32 = 15.0 * CELL.x + 2.0 * GAP + 8.0;

/// Where things are: the map on a ground of its own width.
#[derive(Clone, Copy)]
pub(super) struct Laid<'a> {
    clears: &'a ClearsState,
    /// Room for names, points.
    names: f32,
}

/// The map within so much width, if it can be: names are cut before they take more.
pub(super) fn laid(clears: &ClearsState, width: f32) -> Laid<'_> {
    let letters = clears.rows.iter().map(|row| row.short.chars().count());
    let wanted = letters.max().unwrap_or(0) as f32 * LETTER + BESIDE_NAME;
    let most = (width - CELLS).clamp(NAMES, MOST_NAMES);
    Laid {
        clears,
        names: wanted.clamp(NAMES, most),
    }
}

impl Laid<'_> {
    /// Room that it takes, points.
    pub(super) fn size(self) -> Vec2 {
        let rows = self.clears.rows.len() as f32;
        vec2(self.names + CELLS, HEAD + rows * CELL.y + 2.0 * GAP + 16.0)
    }

    /// Where a name is.
    pub(super) fn name_of(self, origin: Pos2, row: usize) -> Rect {
        let first = self.place_of(origin, row, 0);
        Rect::from_x_y_ranges(origin.x + 8.0..=first.left() - 6.0, first.y_range())
    }

    /// Where a cell is.
    pub(super) fn place_of(self, origin: Pos2, row: usize, column: usize) -> Rect {
        place_of(self.clears, self.names, origin, row, column)
    }
}

fn place_of(clears: &ClearsState, names: f32, origin: Pos2, row: usize, column: usize) -> Rect {
    let groups = clears.rows[..=row]
        .windows(2)
        .filter(|pair| pair[0].canal != pair[1].canal)
        .count();
    let left = names + column as f32 * CELL.x + (column / 5) as f32 * GAP;
    let top = HEAD + row as f32 * CELL.y + groups as f32 * GAP;
    Rect::from_min_size(origin + vec2(left, top), CELL)
}

/// Canal and place of a column.
pub(super) fn case_of(column: usize) -> (Canal, Mechanism) {
    (Canal::ALL[column / 5], Mechanism::ALL[column % 5])
}

/// Paints heads, names and cells from a corner on.
pub(super) fn paint(painter: &Painter, origin: Pos2, laid: Laid<'_>, palette: &Palette) {
    let clears = laid.clears;
    if clears.rows.is_empty() {
        return;
    }
    heads(painter, origin, laid, palette);
    for (i, row) in clears.rows.iter().enumerate() {
        let first = laid.place_of(origin, i, 0);
        let bar = Rect::from_min_size(
            pos2(origin.x, first.top() + 2.0),
            vec2(3.0, first.height() - 4.0),
        );
        painter.rect_filled(bar, 1.0, theme::canal_colour(row.canal));
        name(painter, laid.name_of(origin, i), &row.short, palette);
        for column in 0..15 {
            let place = laid.place_of(origin, i, column);
            if let Some(share) = row.cells[column / 5][column % 5] {
                cell(painter, place, share, palette);
            }
        }
    }
}

/// A name that is too long ends in "…".
fn name(painter: &Painter, room: Rect, name: &str, palette: &Palette) {
    let mut job = LayoutJob::simple_singleline(name.to_owned(), theme::small(), palette.text);
    job.wrap = TextWrapping::truncate_at_width(room.width());
    let galley = painter.layout_job(job);
    let at = room.left_center() - vec2(0.0, galley.size().y / 2.0);
    painter.galley(at, galley, palette.text);
}

fn heads(painter: &Painter, origin: Pos2, laid: Laid<'_>, palette: &Palette) {
    let clears = laid.clears;
    for canal in Canal::ALL {
        let first = laid.place_of(origin, 0, 5 * canal.index());
        let last = laid.place_of(origin, 0, 5 * canal.index() + 4);
        let top = origin.y + 4.0;
        let bar = Rect::from_x_y_ranges(first.left()..=last.right(), top + 16.0..=top + 19.0);
        painter.rect_filled(bar, 1.0, theme::canal_colour(canal));
        let at = pos2(bar.center().x, top + 7.0);
        let name = format!("{} {} canal", clears.asked.canal.ear.name(), canal.name());
        painter.text(
            at,
            Align2::CENTER_CENTER,
            name,
            theme::small_strong(),
            palette.text,
        );
        for (k, letter) in LETTERS.into_iter().enumerate() {
            let column = laid.place_of(origin, 0, 5 * canal.index() + k);
            let at = pos2(column.center().x, top + 29.0);
            painter.text(
                at,
                Align2::CENTER_CENTER,
                letter,
                theme::small(),
                palette.weak,
            );
        }
    }
}

/// Letters of places, in the order of [`Mechanism::ALL`].
const LETTERS: [&str; 5] = ["A", "B", "C", "D", "E"];

fn cell(painter: &Painter, place: Rect, share: CellShare, palette: &Palette) {
    if share.is_meant {
        let inside = place.shrink(1.0);
        let line = Stroke::new(1.0, palette.faint);
        painter.rect_stroke(inside, CornerRadius::same(3), line, StrokeKind::Inside);
    }
    let c = place.left_center() + vec2(10.0, 0.0);
    painter.circle_stroke(c, DISC, Stroke::new(0.75, palette.hairline));
    if share.out > 0.0 {
        painter.circle_filled(c, DISC * share.out.sqrt(), palette.text);
    }
    if share.switched > 0.0 {
        let c = place.right_center() - vec2(6.0, 0.0);
        let radius = (DISC * share.switched.sqrt()).max(1.5);
        ear_dots::triangle(painter, c, radius, palette.weak);
    }
}

/// What the letters and shapes mean.
pub(super) fn legend() -> Vec<String> {
    let places: Vec<String> = LETTERS
        .iter()
        .zip(Mechanism::ALL)
        .map(|(letter, place)| format!("{letter} {}", place.name()))
        .collect();
    vec![
        places.join(" · "),
        "Disc: its area is the share of ears in which the debris is out of where it began; the ring is all ears. \
         Triangle: the share that switched."
            .to_owned(),
        "Frame: the manoeuvre is meant for this canal and place.".to_owned(),
    ]
}

/// What the map is of, in one line.
pub(super) fn title(clears: &ClearsState) -> String {
    let (from_um, to_um) = clears.asked.size_um();
    let ears = clears
        .known
        .as_ref()
        .map_or(0, |known| known.map.provenance.ears);
    let side = if clears.other_side {
        ", manoeuvres of the other side"
    } else {
        ""
    };
    format!(
        "What clears the {} ear{side}: debris of {from_um:.0} to {to_um:.0} µm, {ears} ears in each cell",
        clears.asked.canal.ear.name()
    )
}

/// The map with its words, for a picture or a drawing.
pub fn picture_ui(ui: &mut Ui, clears: &ClearsState) {
    let palette = Palette::of(ui);
    let all = ui.max_rect();
    let painter = ui.painter();
    painter.rect_filled(all, 0.0, palette.score);
    let origin = all.min + vec2(16.0, 12.0);
    painter.text(
        origin,
        Align2::LEFT_TOP,
        title(clears),
        theme::body_strong(),
        palette.text,
    );
    let cells = origin + vec2(0.0, 26.0);
    let laid = laid(clears, f32::INFINITY);
    paint(painter, cells, laid, &palette);
    let mut lines = legend();
    if let Some((place, why)) = clears
        .why
        .as_ref()
        .and_then(|w| Some((w, clears.whys.get(w)?)))
    {
        lines.push(format!("{}: {why}", cell_name(clears, place)));
    }
    lines.push(CAUTION.to_owned());
    let mut at = cells + vec2(0.0, laid.size().y);
    for line in lines {
        let galley = painter.layout(
            line,
            theme::small(),
            palette.weak,
            all.right() - at.x - 16.0,
        );
        let high = galley.size().y;
        painter.galley(at, galley, palette.weak);
        at.y += high + 3.0;
    }
}

/// Room that the picture takes, points.
pub(crate) fn picture_size(clears: &ClearsState) -> Vec2 {
    laid(clears, f32::INFINITY).size() + vec2(32.0, 12.0 + 26.0 + 10.0 * LINE)
}

/// A cell in words.
pub(super) fn cell_name(clears: &ClearsState, place: &MapPlace) -> String {
    let row = clears.rows.iter().find(|row| row.name == place.name);
    format!(
        "{}, {} canal, {}",
        row.map_or(place.name.as_str(), |row| row.short.as_str()),
        place.canal.name(),
        place.place.name()
    )
}

/// The map as an SVG drawing in light colours.
pub fn map_svg(clears: &ClearsState) -> String {
    let size = picture_size(clears);
    let ctx = egui::Context::default();
    style::install(&ctx);
    ctx.set_theme(egui::Theme::Light);
    let mut shapes = Vec::new();
    // The fonts are there from the second pass on.
    for _ in 0..2 {
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, size)),
            ..egui::RawInput::default()
        };
        let mut output = ctx.run_ui(input, |ui| picture_ui(ui, clears));
        shapes = std::mem::take(&mut output.shapes);
        output.drop_without_applying_deltas();
    }
    svg_of_shapes(&shapes, size)
}
