//! A step in half the width: number, pictogram, words, small dials and hold, and below them what the eyes do.

use lithodrome_rehearsal::Carrier;

use super::content::Figure;
use super::dial::{self, Axis};
use super::font::{Type, lines, width_pt};
use super::group::Group;
use super::mark::{Ink, Page};
use super::pictogram;
use super::rows::seconds;

const NUMBER: Type = Type::bold(11.0);
const NAME: Type = Type::bold(9.5);
const TEXT: Type = Type::regular(8.0);
const STRONG: Type = Type::bold(8.0);
/// Nothing on the sheet is larger than the hold.
const HOLD: Type = Type::bold(19.0);

const PICTOGRAM_RADIUS_PT: f64 = 17.0;
const DIAL_RADIUS_PT: f64 = 8.0;
const NUMBER_PT: f64 = 20.0;
const PICTOGRAM_PT: f64 = 2.0 * PICTOGRAM_RADIUS_PT + 2.0;
const DIAL_PT: f64 = 30.0;
const HOLD_PT: f64 = 46.0;
const GUTTER_PT: f64 = 5.0;
const PADDING_PT: f64 = 3.0;

/// A step, broken into lines.
pub(super) struct TightRow {
    number: String,
    figure: Figure,
    words: Vec<(Type, String)>,
    angles_deg: [[f64; 2]; 2],
    hold: String,
    moved: String,
    below: Vec<(Type, String)>,
    width_pt: f64,
    head_pt: f64,
    /// Height on the page.
    pub(super) height_pt: f64,
}

fn words_pt(width_pt: f64) -> f64 {
    width_pt - NUMBER_PT - PICTOGRAM_PT - 2.0 * DIAL_PT - HOLD_PT - 4.0 * GUTTER_PT
}

/// The row of a step and of those that do the same again.
pub(super) fn row_of(group: &Group<'_>, width_pt: f64) -> TightRow {
    let step = group.step;
    let set = |kind: Type, text: &str, room: f64| -> Vec<(Type, String)> {
        lines(text, kind, room)
            .into_iter()
            .map(|l| (kind, l))
            .collect()
    };
    let room = words_pt(width_pt);
    let mut words = set(NAME, &step.name, room);
    words.extend(set(TEXT, &step.posture, room));
    let mut below = set(STRONG, &step.eyes, width_pt);
    let mut rest = step.go_on.clone();
    if let Some(back) = &step.running_back {
        rest = format!("{rest} {back}");
    }
    below.extend(set(TEXT, &rest, width_pt));
    for (number, again) in &group.again {
        let eyes = if again.eyes == step.eyes {
            "the same again.".to_owned()
        } else {
            again.eyes.clone()
        };
        let text = format!("{number} {}: {eyes}", again.name);
        below.extend(set(STRONG, &text, width_pt));
    }
    let high = |all: &[(Type, String)]| all.iter().map(|(k, _)| k.leading_pt()).sum::<f64>();
    let head_pt = [
        2.0 * PICTOGRAM_RADIUS_PT,
        dial::SMALL_HEIGHT_RADII * DIAL_RADIUS_PT,
        high(&words),
    ]
    .into_iter()
    .fold(0.0, f64::max);
    let [yaw, track] = [0, 1].map(|k| [step.from_deg[k], step.to_deg[k]]);
    let numbers = group.again.iter().map(|(n, _)| n.to_string());
    let numbers: Vec<String> = [group.number.to_string()]
        .into_iter()
        .chain(numbers)
        .collect();
    TightRow {
        number: numbers.join(", "),
        figure: step.figure,
        words,
        angles_deg: [yaw, track],
        hold: if step.hold_s > 0.0 {
            format!("{} s", seconds(step.hold_s))
        } else {
            "none".to_owned()
        },
        moved: if step.move_s > 0.0 {
            format!("in {} s, hold", seconds(step.move_s))
        } else {
            "hold".to_owned()
        },
        height_pt: head_pt + high(&below) + 3.0 * PADDING_PT,
        below,
        width_pt,
        head_pt,
    }
}

/// Draws a row with its upper left corner at a place.
pub(super) fn draw(page: &mut Page, row: &TightRow, left: f64, top: f64) {
    page.line(
        vec![[left, top], [left + row.width_pt, top]],
        0.8,
        Ink::Black,
    );
    let inner = top + PADDING_PT;
    let mut kind = NUMBER;
    while width_pt(&row.number, kind) > NUMBER_PT {
        kind.size_pt -= 0.5;
    }
    page.text([left, inner + NUMBER.size_pt], kind, &row.number, NUMBER_PT);
    let mut x = left + NUMBER_PT;
    let centre = [x + PICTOGRAM_RADIUS_PT, inner + PICTOGRAM_RADIUS_PT];
    pictogram::draw(page, &row.figure, centre, PICTOGRAM_RADIUS_PT);
    x += PICTOGRAM_PT + GUTTER_PT;
    let room = words_pt(row.width_pt);
    stack(page, &row.words, [x, inner], room);
    x += room + GUTTER_PT;
    // A bed has no angles of a chair.
    if !matches!(row.figure.carrier, Carrier::Bedside { .. }) {
        for (k, axis) in [Axis::Yaw, Axis::Track].into_iter().enumerate() {
            let at = [x + DIAL_PT * (k as f64 + 0.5), inner];
            dial::draw_small(page, axis, row.angles_deg[k], at, DIAL_RADIUS_PT);
        }
    }
    x += 2.0 * DIAL_PT + GUTTER_PT;
    page.text([x, inner + TEXT.size_pt], TEXT, &row.moved, HOLD_PT);
    let mut kind = HOLD;
    while width_pt(&row.hold, kind) > HOLD_PT {
        kind.size_pt -= 1.0;
    }
    page.text([x, inner + 29.0], kind, &row.hold, HOLD_PT);
    let below = [left, inner + row.head_pt + PADDING_PT];
    stack(page, &row.below, below, row.width_pt);
}

fn stack(page: &mut Page, lines: &[(Type, String)], [x, mut y]: [f64; 2], room_pt: f64) {
    for (kind, line) in lines {
        page.text([x, y + kind.size_pt], *kind, line, room_pt);
        y += kind.leading_pt();
    }
}
