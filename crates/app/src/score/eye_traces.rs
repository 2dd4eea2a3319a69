//! What the eyes do over time: slow-phase velocity or eye position; vertical, torsional, horizontal.

use egui::{Align2, Color32, Painter, Rect, Shape, Stroke, pos2};
use lithodrome_labyrinth::Vec3;

use super::{Lane, curve, kept::kept, story};
use crate::{
    kit::theme,
    session::command::{EyeSign, EyeTraces},
    work::stage_data::Loaded,
};

/// One part of the eyes' movement: index into an eye vector (+x upper poles toward the right ear, +y down,
/// +z left) and the words for its positive and its negative end.
const PARTS: [(usize, &str, &str); 3] = [
    (1, "down", "up"),
    (0, "pole right", "pole left"),
    (2, "left", "right"),
];

/// What is drawn and which way is up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Traces {
    /// Velocity or position.
    pub of: EyeTraces,
    /// Which sign is up.
    pub sign: EyeSign,
}

impl Traces {
    /// The factor that turns an eye vector's part into height on the screen, and the words above and below.
    fn upward(self, part: (usize, &'static str, &'static str)) -> (f32, String, String) {
        let (_, plus, minus) = part;
        match self.sign {
            // Up, right and the upper pole toward the left ear are up on the screen.
            EyeSign::Clinical => (-1.0, minus.to_owned(), plus.to_owned()),
            EyeSign::RightHand => (1.0, format!("+ {plus}"), format!("− {minus}")),
        }
    }

    fn name(self) -> [&'static str; 2] {
        match self.of {
            EyeTraces::SlowPhase => ["Slow", "phase"],
            EyeTraces::Position => ["Eye", "position"],
        }
    }
}

/// A part that is lower than this has room for one line of words, points.
const LOW: f32 = 18.0;
/// A part that is lower than a line of words, points: the lane's name then stands in the first label.
const LOWEST: f32 = 11.0;

/// Draws the three parts on one scale: of velocity, debris solid and all else thin.
pub fn draw(painter: &Painter, lane: &Lane, loaded: &Loaded, traces: Traces) {
    let palette = &lane.palette;
    let eyes = &loaded.eyes;
    let (main, thin, unit, least) = match traces.of {
        EyeTraces::SlowPhase => (
            &eyes.debris_slow_phase_rad_s,
            Some(&eyes.slow_phase_rad_s),
            "°/s",
            10f32,
        ),
        EyeTraces::Position => (&eyes.position_rad, None, "°", 5f32),
    };
    let what = (traces.of as u8, traces.sign as u8);
    let peak = *kept(painter, lane, loaded, ("eyes' peak", what), || {
        main.iter().map(Vec3::amax).fold(0.0, f64::max) as f32
    });
    let full = peak.max(least.to_radians()) * 1.08;
    // The brackets of seen nystagmus stand above the traces.
    let head = if traces.of == EyeTraces::SlowPhase {
        14.0
    } else {
        0.0
    };
    let height = (lane.rect.height() - head) / 3.0;
    let is_low = height < LOW;
    let is_lowest = height < LOWEST;
    let [first, second] = traces.name();
    if is_lowest {
        // Named by the first label.
    } else if is_low {
        // Beside it stands nothing; below it the first label.
        lane.name(painter, &format!("{first} {second}"));
    } else {
        lane.name(painter, first);
        let at = pos2(lane.all.left() + 12.0, lane.rect.top() + 15.0);
        let strong = theme::small_strong();
        painter.text(at, Align2::LEFT_TOP, second, strong, palette.weak);
    }
    let now = loaded.between(lane.time_s).of_vectors(main);
    for (i, part) in PARTS.into_iter().enumerate() {
        let (sign, up, down) = traces.upward(part);
        let top = lane.rect.top() + head + height * i as f32;
        let rect = Rect::from_x_y_ranges(lane.rect.x_range(), top + 1.0..=top + height - 1.0);
        let middle = rect.center().y.round() + 0.5;
        painter.hline(rect.x_range(), middle, palette.hair());
        // Words keep a line's height, also where parts are lower than that.
        let words_y = if is_lowest {
            lane.rect.top() + lane.rect.height() * (i as f32 + 0.5) / 3.0
        } else {
            middle
        };
        if is_lowest && i == 0 {
            lane.label(painter, words_y, &format!("{first} {up} ↑"), palette.weak);
        } else if height >= 26.0 {
            lane.label(painter, middle - 6.5, &up, palette.weak);
            lane.label(painter, middle + 6.5, &down, palette.weak);
        } else {
            lane.label(painter, words_y, &format!("{up} ↑"), palette.weak);
        }
        let y = |v: f32| {
            (middle - v * sign / full * rect.height() / 2.0).clamp(rect.top(), rect.bottom())
        };
        let inside = painter.with_clip_rect(rect);
        let trace = |name: &str, column: &[Vec3], stroke: Stroke| {
            let value = |k: usize| column.get(k).map_or(f32::NAN, |v| v[part.0] as f32);
            let lines = kept(painter, lane, loaded, (name, what, i), || {
                curve::polylines(&lane.axis, &loaded.run.time_s, value, y)
            });
            inside.extend(lines.iter().map(|l| Shape::line(l.clone(), stroke)));
        };
        if let Some(thin) = thin {
            trace("all", thin, Stroke::new(1.0, palette.block_strong));
        }
        trace("debris", main, Stroke::new(1.5, palette.text));
        let value = now[part.0].to_degrees() as f32 * sign;
        let (text, ink): (String, Color32) = if value.abs() < 0.5 {
            (format!("0{unit}"), palette.weak)
        } else if is_low {
            // The label says which way is positive.
            let sign = if value > 0.0 { '+' } else { '−' };
            (format!("{sign}{:.0}{unit}", value.abs()), palette.text)
        } else {
            let word = if value > 0.0 { &up } else { &down };
            (format!("{word} {:.0}{unit}", value.abs()), palette.text)
        };
        lane.value(painter, words_y, &text, ink);
    }
    scale(painter, lane, (head, height), full.to_degrees(), unit);
    if traces.of == EyeTraces::SlowPhase {
        story::nystagmus(painter, lane, loaded);
    }
}

/// A bar at the right end of the first part, as high as the round number that it stands for.
fn scale(painter: &Painter, lane: &Lane, (head, height): (f32, f32), full_deg: f32, unit: &str) {
    // Half of a part stands for `full_deg`.
    let points_per_deg = (height - 2.0) / 2.0 / full_deg;
    let Some(bar_deg) = round_number((height - 6.0) / points_per_deg) else {
        return;
    };
    let long = bar_deg * points_per_deg;
    let middle = lane.rect.top() + head + height / 2.0;
    let x = lane.rect.right() - 3.0;
    let (from, to) = (middle - long / 2.0, middle + long / 2.0);
    let stroke = Stroke::new(1.5, lane.palette.weak);
    painter.vline(x, from..=to, stroke);
    for y in [from, to] {
        painter.hline(x - 3.0..=x, y, stroke);
    }
    let words = format!("{bar_deg}{unit}");
    let at = pos2(x - 6.0, middle);
    let galley = painter.layout_no_wrap(words, theme::small(), lane.palette.text);
    // Readable where a trace passes behind it.
    let place = Align2::RIGHT_CENTER.anchor_size(at, galley.size());
    painter.rect_filled(
        place.expand(1.0),
        2.0,
        lane.palette.score.gamma_multiply(0.85),
    );
    painter.galley(place.min, galley, lane.palette.text);
}

/// The largest 1, 2 or 5 of any power of ten that is not above `most`.
fn round_number(most: f32) -> Option<f32> {
    if !(most.is_finite() && most > 0.0) {
        return None;
    }
    let power = 10_f32.powf(most.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|n| n * power)
        .find(|n| *n <= most * 1.000_1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_is_a_round_number_that_fits() {
        assert_eq!(round_number(21.6), Some(20.0));
        assert_eq!(round_number(10.0), Some(10.0));
        assert_eq!(round_number(7.3), Some(5.0));
        assert_eq!(round_number(0.0), None);
    }

    #[test]
    fn both_signs_say_which_way_is_up() {
        let with = |sign| Traces {
            of: EyeTraces::SlowPhase,
            sign,
        };
        // Eye axes: +y is down, so what is positive is below in the clinic and above by the right hand.
        let (factor, up, _) = with(EyeSign::Clinical).upward(PARTS[0]);
        assert!(factor < 0.0 && up == "up");
        let (factor, up, down) = with(EyeSign::RightHand).upward(PARTS[0]);
        assert!(factor > 0.0 && up == "+ down" && down == "− up");
        let (_, up, down) = with(EyeSign::Clinical).upward(PARTS[2]);
        assert_eq!((up.as_str(), down.as_str()), ("right", "left"));
    }
}
