//! Simple pictures on paper: arrays of dots, curves with bands, a map of numbers; all in black and greys.

use super::content::{Curves, DotArray, DotShape, Map, PaperCurve};
use crate::sheet::{Ink, MARGIN_PT, Page, SMALL, Setting, TEXT, Type, settable, short, width_pt};

/// From dot to dot.
const PITCH_PT: f64 = 10.0;
/// Dots in a row.
const IN_ROW: usize = 10;
/// Height of curves.
const CURVES_PT: f64 = 150.0;
/// Most height of one row of a map.
const MAP_ROW_PT: f64 = 18.0;

/// Arrays beside each other, two in a row.
pub(super) fn dots(setting: &mut Setting, arrays: &[DotArray]) {
    for pair in arrays.chunks(2) {
        let high = pair.iter().map(height).fold(0.0, f64::max);
        setting.fit(high);
        let (top, wide) = (setting.y, setting.width_pt());
        for (i, array) in pair.iter().enumerate() {
            let left = MARGIN_PT + 0.5 * wide * i as f64;
            let room = if pair.len() == 1 { wide } else { 0.48 * wide };
            draw_array(setting.page(), array, [left, top], room);
        }
        setting.y += high;
    }
}

fn height(array: &DotArray) -> f64 {
    let dots: usize = array.groups.iter().map(|g| g.dots).sum();
    let legend = array.groups.len() as f64 * 12.0;
    (dots.div_ceil(IN_ROW) as f64 * PITCH_PT).max(legend) + 26.0
}

fn draw_array(page: &mut Page, array: &DotArray, [left, top]: [f64; 2], room: f64) {
    let title = short(&settable(&array.title), Type::bold(9.0), room);
    page.text([left, top + 10.0], Type::bold(9.0), &title, room);
    let top = top + 18.0;
    let mut place = 0;
    for (i, group) in array.groups.iter().enumerate() {
        for _ in 0..group.dots {
            let (column, row) = (place % IN_ROW, place / IN_ROW);
            place += 1;
            let at = [
                left + (column as f64 + 0.5) * PITCH_PT,
                top + (row as f64 + 0.5) * PITCH_PT,
            ];
            dot(page, at, group.shape);
        }
        let x = left + IN_ROW as f64 * PITCH_PT + 12.0;
        let y = top + (i as f64 + 0.5) * 12.0;
        dot(page, [x + 5.0, y], group.shape);
        let room = room - (x + 14.0 - left);
        let words = short(&settable(&group.words), TEXT, room);
        page.text([x + 14.0, y + 3.2], TEXT, &words, room);
    }
}

fn dot(page: &mut Page, c: [f64; 2], shape: DotShape) {
    const R: f64 = 3.4;
    let at = |x: f64, y: f64| [c[0] + x, c[1] + y];
    let ring = |page: &mut Page| page.circle(c, R - 0.5, 1.0, Ink::Black);
    let triangle = vec![
        at(0.0, -1.1 * R),
        at(1.05 * R, 0.85 * R),
        at(-1.05 * R, 0.85 * R),
    ];
    match shape {
        DotShape::Full => page.disc(c, R, Ink::Black),
        DotShape::Half => {
            ring(page);
            let half = (0..=12).map(|i| {
                let a = std::f64::consts::PI * (0.5 + f64::from(i) / 12.0);
                at((R - 0.5) * a.cos(), (R - 0.5) * a.sin())
            });
            page.area(half.collect(), Ink::Black);
        }
        DotShape::Ring => ring(page),
        DotShape::Bar => {
            ring(page);
            page.line(vec![at(-1.6, 0.0), at(1.6, 0.0)], 1.2, Ink::Black);
        }
        DotShape::Point => {
            ring(page);
            page.disc(c, 1.2, Ink::Black);
        }
        DotShape::Triangle => page.area(triangle, Ink::Black),
        DotShape::OpenTriangle => {
            let closed = [triangle.as_slice(), &triangle[..1]].concat();
            page.line(closed, 1.0, Ink::Black);
        }
        DotShape::Cross => {
            let d = 2.6;
            page.line(vec![at(-d, -d), at(d, d)], 1.2, Ink::Black);
            page.line(vec![at(-d, d), at(d, -d)], 1.2, Ink::Black);
        }
    }
}

/// Where values of a picture lie on the page.
struct Frame {
    left: f64,
    top: f64,
    wide: f64,
    high: f64,
    x: [f64; 2],
    y: [f64; 2],
    logarithmic: bool,
}

impl Frame {
    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let along = |v: f64, [from, to]: [f64; 2]| {
            let span = to - from;
            if span.abs() < 1e-12 {
                0.5
            } else {
                (v - from) / span
            }
        };
        let x = self.scaled(x);
        [
            self.left + self.wide * along(x, self.x).clamp(0.0, 1.0),
            self.top + self.high * (1.0 - along(y, self.y).clamp(0.0, 1.0)),
        ]
    }

    fn scaled(&self, x: f64) -> f64 {
        if self.logarithmic {
            x.max(1e-12).log10()
        } else {
            x
        }
    }
}

/// Curves in one picture.
pub(super) fn curves(setting: &mut Setting, of: &Curves) {
    let points = || of.curves.iter().flat_map(|c| &c.points);
    if points().next().is_none() {
        return;
    }
    setting.fit(CURVES_PT);
    let mut frame = Frame {
        left: MARGIN_PT + 36.0,
        top: setting.y + 16.0,
        wide: setting.width_pt() - 76.0,
        high: CURVES_PT - 46.0,
        x: [0.0, 1.0],
        y: of.y_range,
        logarithmic: of.x_is_logarithmic,
    };
    let scaled = || points().map(|p| frame.scaled(p[0]));
    let ends = [
        scaled().fold(f64::INFINITY, f64::min),
        scaled().fold(f64::NEG_INFINITY, f64::max),
    ];
    frame.x = ends;
    let page = setting.page();
    axes(page, of, &frame);
    for (i, curve) in of.curves.iter().enumerate() {
        draw_curve(page, &frame, curve, i);
    }
    setting.y += CURVES_PT;
}

fn axes(page: &mut Page, of: &Curves, frame: &Frame) {
    let (right, bottom) = (frame.left + frame.wide, frame.top + frame.high);
    let corner = vec![
        [frame.left, frame.top],
        [frame.left, bottom],
        [right, bottom],
    ];
    page.line(corner, 0.6, Ink::Grey);
    page.text(
        [frame.left - 34.0, frame.top - 7.0],
        SMALL,
        &of.y_label,
        200.0,
    );
    let [low, high] = frame.y;
    for i in 0..=4 {
        let value = low + (high - low) * f64::from(i) / 4.0;
        let y = frame.top + frame.high * (1.0 - f64::from(i) / 4.0);
        page.line(vec![[frame.left, y], [right, y]], 0.3, Ink::Pale);
        page.text_to([frame.left - 5.0, y + 2.8], SMALL, &plain(value), 30.0);
    }
    let y = bottom + 10.0;
    let mut last = f64::NEG_INFINITY;
    for value in marks(frame) {
        let [x, _] = frame.at([value, low]);
        let text = plain(value);
        // Numbers that would touch are left out.
        if x - width_pt(&text, SMALL) < last + 4.0 {
            continue;
        }
        last = x + 0.5 * width_pt(&text, SMALL);
        page.line(vec![[x, bottom], [x, bottom + 3.0]], 0.5, Ink::Grey);
        page.text_around([x, y], SMALL, &text, 40.0);
    }
    let middle = frame.left + 0.5 * frame.wide;
    page.text_around([middle, y + 11.0], SMALL, &of.x_label, 240.0);
}

/// Values that are marked below the picture.
fn marks(frame: &Frame) -> Vec<f64> {
    let [from, to] = frame.x;
    if frame.logarithmic {
        let decades = (from.floor() as i32)..=(to.ceil() as i32);
        let all = decades.flat_map(|d| [1.0, 2.0, 5.0].map(|m| m * 10_f64.powi(d)));
        let round: Vec<f64> = all
            .filter(|v| (from - 1e-9..=to + 1e-9).contains(&v.log10()))
            .collect();
        // A short axis is marked at its ends.
        return if round.len() > 1 {
            round
        } else {
            vec![10_f64.powf(from), 10_f64.powf(to)]
        };
    }
    (0..=6)
        .map(|i| from + (to - from) * f64::from(i) / 6.0)
        .collect()
}

fn draw_curve(page: &mut Page, frame: &Frame, curve: &PaperCurve, i: usize) {
    let pairs = curve.points.iter().zip(&curve.band);
    if i == 0 && curve.band.len() == curve.points.len() {
        let low = pairs.clone().map(|(p, band)| frame.at([p[0], band[0]]));
        let high = pairs.rev().map(|(p, band)| frame.at([p[0], band[1]]));
        page.area(low.chain(high).collect(), Ink::Pale);
    } else {
        for end in [0, 1] {
            let edge = pairs.clone().map(|(p, band)| frame.at([p[0], band[end]]));
            let edge: Vec<[f64; 2]> = edge.collect();
            if edge.len() > 1 {
                page.line(edge, 0.4, Ink::Grey);
            }
        }
    }
    let points: Vec<[f64; 2]> = curve.points.iter().map(|p| frame.at(*p)).collect();
    if i == 0 {
        page.line(points.clone(), 1.3, Ink::Black);
    } else {
        dashed(page, &points);
    }
    if let Some([x, y]) = points.last() {
        page.text([x + 5.0, y + 3.0], SMALL, &curve.name, 34.0);
    }
}

fn dashed(page: &mut Page, points: &[[f64; 2]]) {
    for pair in points.windows(2) {
        let ([ax, ay], [bx, by]) = (pair[0], pair[1]);
        let dashes = ((bx - ax).hypot(by - ay) / 7.0).ceil().max(1.0);
        for k in 0..dashes as usize {
            let along = |k: f64| [ax + (bx - ax) * k / dashes, ay + (by - ay) * k / dashes];
            let from = k as f64;
            page.line(vec![along(from), along(from + 0.6)], 1.0, Ink::Black);
        }
    }
}

/// At most one decimal.
fn plain(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0 + 0.0;
    format!("{rounded}")
}

/// A map: one cell for every number, the first row at the foot.
pub(super) fn map(setting: &mut Setting, of: &Map) {
    let (columns, rows) = (of.x_values.len(), of.numbers.len());
    if columns == 0 || rows == 0 {
        return;
    }
    let high = (MAP_ROW_PT * rows as f64).min(220.0);
    setting.fit(high + 46.0);
    let (left, top) = (MARGIN_PT + 44.0, setting.y + 14.0);
    let wide = (setting.width_pt() - 60.0).min(44.0 * columns as f64);
    let cell = [wide / columns as f64, high / rows as f64];
    let page = setting.page();
    page.text([MARGIN_PT, top - 4.0], SMALL, &of.y_label, 300.0);
    for (j, numbers) in of.numbers.iter().enumerate() {
        let y = top + high - cell[1] * (j + 1) as f64;
        let value = of.y_values.get(j).map_or("", String::as_str);
        page.text_to([left - 5.0, y + 0.5 * cell[1] + 2.8], SMALL, value, 40.0);
        for (i, number) in numbers.iter().take(columns).enumerate() {
            let x = left + cell[0] * i as f64;
            let corners = vec![
                [x, y],
                [x + cell[0], y],
                [x + cell[0], y + cell[1]],
                [x, y + cell[1]],
            ];
            page.area(corners, shade(*number, of.range));
            let middle = [x + 0.5 * cell[0], y + 0.5 * cell[1] + 2.8];
            page.text_around(middle, SMALL, &format!("{number:.0}"), cell[0]);
        }
    }
    for (i, value) in of.x_values.iter().enumerate() {
        let x = left + cell[0] * (i as f64 + 0.5);
        page.text_around([x, top + high + 10.0], SMALL, value, cell[0]);
    }
    let middle = left + 0.5 * wide;
    page.text_around([middle, top + high + 21.0], SMALL, &of.x_label, wide);
    setting.y += high + 42.0;
}

/// White to a grey on which black can be read.
fn shade(number: f64, [least, most]: [f64; 2]) -> Ink {
    let share = ((number - least) / (most - least).max(1e-12)).clamp(0.0, 1.0);
    Ink::Shade((255.0 - 105.0 * share) as u8)
}
