//! One row a step: number, pictogram, words, dials, hold, eyes.

use super::content::{Figure, Sheet, SheetStep};
use super::dial::{self, Axis};
use super::font::TEXT;
use super::font::Type;
use super::font::{lines, width_pt};
use super::mark::{Ink, Page};
use super::pictogram;

const NUMBER: Type = Type::bold(15.0);
const NAME: Type = Type::bold(10.5);
const STRONG: Type = Type::bold(9.5);
/// Nothing on the sheet is larger than the hold.
const HOLD: Type = Type::bold(26.0);

const PICTOGRAM_RADIUS_PT: f64 = 35.0;
const DIAL_RADIUS_PT: f64 = 17.0;
/// Widths of the columns before the eyes, which have the rest.
const PICTOGRAM_PT: f64 = 88.0;
const WORDS_PT: f64 = 112.0;
const DIALS_PT: f64 = 92.0;
const HOLD_PT: f64 = 72.0;
const GUTTER_PT: f64 = 7.0;
/// White above and below a row's contents.
const PADDING_PT: f64 = 5.0;

/// A step, broken into lines.
pub(super) struct Row {
    number: usize,
    figure: Figure,
    name: Vec<String>,
    posture: Vec<String>,
    angles_deg: [[f64; 2]; 2],
    hold: String,
    moved: String,
    eyes: Vec<(Type, String)>,
    width_pt: f64,
    /// Height on the page.
    pub(super) height_pt: f64,
}

/// The rows of a sheet that is so wide.
pub(super) fn rows_of(sheet: &Sheet, width_pt: f64) -> Vec<Row> {
    let numbered = sheet.steps.iter().enumerate();
    numbered.map(|(i, s)| row_of(i + 1, s, width_pt)).collect()
}

fn eyes_room_pt(width_pt: f64) -> f64 {
    width_pt - PICTOGRAM_PT - WORDS_PT - DIALS_PT - HOLD_PT - 3.0 * GUTTER_PT
}

fn row_of(number: usize, step: &SheetStep, width_pt: f64) -> Row {
    let room = eyes_room_pt(width_pt);
    let mut eyes: Vec<(Type, String)> = Vec::new();
    let mut add = |kind: Type, text: &str| {
        eyes.extend(lines(text, kind, room).into_iter().map(|l| (kind, l)));
    };
    add(STRONG, &step.eyes);
    add(TEXT, &step.go_on);
    if let Some(back) = &step.running_back {
        add(TEXT, back);
    }
    let name = lines(&step.name, NAME, WORDS_PT);
    let posture = lines(&step.posture, TEXT, WORDS_PT);
    let words_pt = name.len() as f64 * NAME.leading_pt() + posture.len() as f64 * TEXT.leading_pt();
    let eyes_pt: f64 = eyes.iter().map(|(kind, _)| kind.leading_pt()).sum();
    let least = [
        2.0 * PICTOGRAM_RADIUS_PT,
        dial::HEIGHT_RADII * DIAL_RADIUS_PT,
        words_pt,
        eyes_pt,
    ];
    let height = least.into_iter().fold(0.0, f64::max);
    let [yaw, track] = [0, 1].map(|k| [step.from_deg[k], step.to_deg[k]]);
    Row {
        number,
        figure: step.figure,
        name,
        posture,
        angles_deg: [yaw, track],
        hold: if step.hold_s > 0.0 {
            format!("{} s", seconds(step.hold_s))
        } else {
            "none".to_owned()
        },
        moved: if step.move_s > 0.0 {
            format!("move in {} s", seconds(step.move_s))
        } else {
            "no move".to_owned()
        },
        eyes,
        width_pt,
        height_pt: height + 2.0 * PADDING_PT,
    }
}

/// Whole seconds without a fraction, others with tenths.
pub(super) fn seconds(s: f64) -> String {
    if (s - s.round()).abs() < 0.05 {
        format!("{s:.0}")
    } else {
        format!("{s:.1}")
    }
}

/// Draws a row with its upper left corner at a place.
pub(super) fn draw(page: &mut Page, row: &Row, left: f64, top: f64) {
    let right = left + row.width_pt;
    page.line(vec![[left, top], [right, top]], 0.8, Ink::Black);
    let inner = top + PADDING_PT;
    let number = row.number.to_string();
    page.text([left, inner + NUMBER.size_pt], NUMBER, &number, 24.0);
    let radius = PICTOGRAM_RADIUS_PT;
    let centre = [left + PICTOGRAM_PT - radius - 1.0, inner + radius];
    pictogram::draw(page, &row.figure, centre, radius);
    let mut x = left + PICTOGRAM_PT + GUTTER_PT;
    let mut y = inner;
    for line in &row.name {
        page.text([x, y + NAME.size_pt], NAME, line, WORDS_PT);
        y += NAME.leading_pt();
    }
    for line in &row.posture {
        page.text([x, y + TEXT.size_pt], TEXT, line, WORDS_PT);
        y += TEXT.leading_pt();
    }
    x += WORDS_PT;
    // A bed has no angles of a chair.
    if !row.figure.carrier.is_bed() {
        let [yaw, track] = row.angles_deg;
        let at = |share: f64| [x + share * DIALS_PT, inner];
        dial::draw(page, Axis::Yaw, yaw, at(0.27), DIAL_RADIUS_PT);
        dial::draw(page, Axis::Track, track, at(0.78), DIAL_RADIUS_PT);
    }
    x += DIALS_PT + GUTTER_PT;
    hold(page, row, x, inner);
    x += HOLD_PT + GUTTER_PT;
    let mut y = inner;
    for (kind, line) in &row.eyes {
        page.text(
            [x, y + kind.size_pt],
            *kind,
            line,
            eyes_room_pt(row.width_pt),
        );
        y += kind.leading_pt();
    }
}

fn hold(page: &mut Page, row: &Row, x: f64, top: f64) {
    page.text([x, top + 9.0], TEXT, &row.moved, HOLD_PT);
    page.text([x, top + 27.0], TEXT, "then hold", HOLD_PT);
    let mut kind = HOLD;
    while width_pt(&row.hold, kind) > HOLD_PT {
        kind.size_pt -= 1.0;
    }
    page.text([x, top + 52.0], kind, &row.hold, HOLD_PT);
}
