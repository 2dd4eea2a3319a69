//! Shares as dots: one dot an ear, or one for every hundredth of many ears. Shape tells how the ear ended,
//! so that it can be read in grey.

use std::cmp::Reverse;
use std::f32::consts::PI;

use egui::{
    Color32, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2,
};
use lithodrome_labyrinth::Canal;
use lithodrome_study::{RunEnd, Share};

use super::theme::{self, Palette};

/// Dots in a row.
pub const PER_ROW: usize = 10;
/// Most dots.
const MOST: usize = 100;

/// "81 in 100 ears, 78 to 84".
pub fn in_hundred(share: &Share) -> String {
    let [share, low, high] = [share.share, share.low, share.high].map(|x| (100.0 * x).round());
    format!("{share} in 100 ears, {low} to {high}")
}

/// All ends that there can be, best first, a failed run last.
pub fn all_ends() -> impl Iterator<Item = Option<RunEnd>> {
    RunEnd::ALL.into_iter().map(Some).chain([None])
}

/// In words.
pub const fn end_name(end: Option<RunEnd>) -> &'static str {
    match end {
        Some(RunEnd::Inside) => "still inside",
        Some(end) => end.name(),
        None => "run failed",
    }
}

/// What the word means.
pub const fn end_tip(end: Option<RunEnd>) -> &'static str {
    match end {
        Some(RunEnd::Cleared) => {
            "Out of every long arm; what lies in a short arm shows nothing in the test after 15 min"
        }
        Some(RunEnd::BehindCupula) => {
            "Out of the long arm, but in a short one, and the test after 15 min shows it"
        }
        Some(RunEnd::Inside) => "Still in its own canal, or on its cupula",
        Some(RunEnd::Held) => "In its own canal, where friction alone keeps it",
        Some(RunEnd::Passing) => {
            "In the crus on its way through another canal, about to fall back when the patient sits"
        }
        Some(RunEnd::Switched) => "In another canal once the patient has sat for a minute",
        None => "The run has no end; counted as not cleared",
    }
}

/// Ears of each end, best first; ends that no ear has are left out.
pub fn counted(ends: &[Option<RunEnd>]) -> Vec<(Option<RunEnd>, usize)> {
    all_ends()
        .map(|end| (end, ends.iter().filter(|e| **e == end).count()))
        .filter(|(_, ears)| *ears > 0)
        .collect()
}

/// The dots, best first: as many as ears, or a hundred; what rounding leaves goes to the largest remainders.
pub fn dots(ends: &[Option<RunEnd>]) -> Vec<Option<RunEnd>> {
    let all = ends.len().min(MOST);
    let counted = counted(ends);
    let mut shown: Vec<usize> = counted
        .iter()
        .map(|(_, ears)| ears * all / ends.len().max(1))
        .collect();
    let mut order: Vec<usize> = (0..counted.len()).collect();
    order.sort_by_key(|i| Reverse(counted[*i].1 * all % ends.len().max(1)));
    let left = all - shown.iter().sum::<usize>();
    for i in order.into_iter().take(left) {
        shown[i] += 1;
    }
    let each = counted.iter().zip(shown);
    each.flat_map(|((end, _), n)| std::iter::repeat_n(*end, n))
        .collect()
}

/// Shows the dots, so far from each other.
pub fn dots_ui(
    ui: &mut Ui,
    ends: &[Option<RunEnd>],
    canal: Canal,
    pitch: f32,
    of: &str,
) -> Response {
    let palette = Palette::of(ui);
    let dots = dots(ends);
    let rows = dots.len().div_ceil(PER_ROW).max(1);
    let size = vec2(PER_ROW as f32, rows as f32) * pitch;
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let told: Vec<String> = counted(ends)
        .into_iter()
        .map(|(end, ears)| format!("{ears} {}", end_name(end)))
        .collect();
    let told = told.join(", ");
    response.widget_info(|| {
        let name = format!("Dots for {of}: of {} ears {told}", ends.len());
        WidgetInfo::labeled(Role::Image, true, name)
    });
    for (i, end) in dots.into_iter().enumerate() {
        let place = vec2((i % PER_ROW) as f32 + 0.5, (i / PER_ROW) as f32 + 0.5);
        let centre = rect.min + place * pitch;
        paint(ui.painter(), centre, 0.36 * pitch, end, canal, &palette);
    }
    let unit = if ends.len() > MOST {
        format!("\nOne dot for each hundredth of {} ears", ends.len())
    } else {
        String::new()
    };
    response.on_hover_text(format!("{told}{unit}"))
}

/// Draws one: full is cleared, half full behind the cupula, a ring inside, a ring with a bar held, a ring
/// with a point passing, a triangle switched, a cross failed.
pub fn paint(
    painter: &Painter,
    c: Pos2,
    radius: f32,
    end: Option<RunEnd>,
    canal: Canal,
    palette: &Palette,
) {
    let own = tint(canal, palette);
    let thin = (0.3 * radius).max(1.0);
    let ring = |ink: Color32| painter.circle_stroke(c, radius - 0.5 * thin, Stroke::new(thin, ink));
    match end {
        Some(RunEnd::Cleared) => {
            painter.circle_filled(c, radius, palette.text);
        }
        Some(RunEnd::BehindCupula) => {
            ring(palette.text);
            let half = (0..=12_u8).map(|i| {
                let a = PI * (0.5 + f32::from(i) / 12.0);
                c + radius * vec2(a.cos(), a.sin())
            });
            let half = Shape::convex_polygon(half.collect(), palette.text, Stroke::NONE);
            painter.add(half);
        }
        Some(RunEnd::Inside) => {
            ring(own);
        }
        Some(RunEnd::Held) => {
            ring(own);
            let bar = Rect::from_center_size(c, vec2(1.2 * radius, thin));
            painter.rect_filled(bar, 0.0, own);
        }
        Some(RunEnd::Passing) => {
            ring(palette.weak);
            painter.circle_filled(c, 0.35 * radius, palette.weak);
        }
        Some(RunEnd::Switched) => triangle(painter, c, radius, palette.weak),
        None => {
            let (d, stroke) = (0.8 * radius, Stroke::new(thin, palette.text));
            painter.line_segment([c + vec2(-d, -d), c + vec2(d, d)], stroke);
            painter.line_segment([c + vec2(-d, d), c + vec2(d, -d)], stroke);
        }
    }
}

/// A full triangle with its point up.
pub fn triangle(painter: &Painter, c: Pos2, radius: f32, ink: Color32) {
    let r = 1.15 * radius;
    let corners = [
        vec2(0.0, -r),
        vec2(0.95 * r, 0.75 * r),
        vec2(-0.95 * r, 0.75 * r),
    ];
    let corners = corners.map(|corner| c + corner).to_vec();
    painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
}

/// A canal's tint that stands out from the ground of the theme.
fn tint(canal: Canal, palette: &Palette) -> Color32 {
    let colour = theme::canal_colour(canal);
    if palette.dark {
        colour
    } else {
        colour.lerp_to_gamma(Color32::BLACK, 0.25)
    }
}

/// How many of 100 ears: "7", "under 1".
pub(crate) fn of_hundred(ears: u64, of: u64) -> String {
    let share = (100.0 * ears as f64 / of.max(1) as f64).round();
    if ears > 0 && share < 1.0 {
        "under 1".to_owned()
    } else {
        format!("{share}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_ears_have_a_dot_each_and_many_a_hundred() {
        let ends = |cleared: usize, switched: usize, failed: usize| {
            let mut all = vec![Some(RunEnd::Switched); switched];
            all.extend(vec![None; failed]);
            all.extend(vec![Some(RunEnd::Cleared); cleared]);
            all
        };
        let few = dots(&ends(3, 2, 1));
        assert_eq!(few.len(), 6);
        assert_eq!(
            (few[2], few[3], few[5]),
            (Some(RunEnd::Cleared), Some(RunEnd::Switched), None)
        );
        // By hand: 133.4, 44.4 and 22.2 of 200 are 66.7, 22.2 and 11.1; the hundredth goes to .7.
        let many = dots(&ends(1334, 444, 222));
        let count = |end| many.iter().filter(|e| **e == end).count();
        assert_eq!(count(Some(RunEnd::Cleared)), 67);
        assert_eq!((count(Some(RunEnd::Switched)), count(None)), (22, 11));
        assert!(dots(&[]).is_empty());
    }
}
