//! The course diagram: where each piece of debris is between cupula and utricle, over time.

use egui::{Painter, Rect, Shape, Stroke, pos2, vec2};
use lithodrome_debris::Track;
use lithodrome_labyrinth::{Canal, Ear, Region};

use super::{Lane, curve, kept::kept};
use crate::{kit::controls, kit::theme, work::stage_data::Loaded};

/// Draws one diagram for each canal that debris started in, one below the other.
pub fn draw(painter: &Painter, lane: &Lane, loaded: &Loaded) {
    lane.name(painter, "Course");
    let affected = loaded.affected();
    if affected.is_empty() {
        lane.label(
            painter,
            lane.rect.center().y,
            "no debris",
            lane.palette.weak,
        );
        return;
    }
    let height = lane.rect.height() / affected.len() as f32;
    for (i, &(ear, canal)) in affected.iter().enumerate() {
        let top = lane.rect.top() + height * i as f32;
        let rect = Rect::from_x_y_ranges(lane.rect.x_range(), top + 4.0..=top + height - 6.0);
        one(painter, &Lane { rect, ..*lane }, loaded, ear, canal);
    }
}

fn one(painter: &Painter, lane: &Lane, loaded: &Loaded, ear: Ear, canal: Canal) {
    let palette = &lane.palette;
    let marks = loaded.ears[ear.index()].courses[canal.index()];
    let y = |mm: f32| lane.rect.bottom() - lane.rect.height() * mm / marks.utricle_mm as f32;
    let left = lane.all.left() + 18.0;
    let bar = Rect::from_x_y_ranges(
        left - 6.0..=left - 3.0,
        lane.rect.top() + 18.0..=lane.rect.bottom(),
    );
    painter.rect_filled(bar, 1.0, theme::canal_colour(canal));
    controls::paint_ear_mark(painter, pos2(left + 8.0, lane.rect.bottom() - 5.0), ear);

    let crus = marks.crus_mm.map(|mm| ("crus", mm));
    let places = [
        ("cupula", 0.0),
        ("utricle", marks.utricle_mm),
        ("apex", marks.apex_mm),
    ];
    let mut written: Vec<f32> = Vec::new();
    for (name, mm) in places.into_iter().chain(crus) {
        let at = y(mm as f32);
        painter.hline(lane.rect.x_range(), at.round() + 0.5, palette.hair());
        if written.iter().all(|w| (w - at).abs() >= 13.0) {
            lane.label(painter, at, name, palette.weak);
            written.push(at);
        }
    }
    let tracks: Vec<_> = loaded
        .run
        .tracks
        .iter()
        .filter(|t| t.ear == ear && t.canal == canal)
        .collect();
    let stroke = Stroke::new(1.25, palette.debris.gamma_multiply(0.8));
    let lines = kept(
        painter,
        lane,
        loaded,
        ("course", ear.index(), canal.index()),
        || {
            let mut lines = Vec::new();
            for track in &tracks {
                let value = |i: usize| track.course_mm.get(i).copied().unwrap_or(f32::NAN);
                lines.extend(curve::polylines(&lane.axis, &loaded.run.time_s, value, y));
            }
            lines
        },
    );
    painter.extend(lines.iter().map(|l| Shape::line(l.clone(), stroke)));
    let mut taken = super::story::spare(painter, lane, loaded, &lines);
    taken.extend(elsewhere(
        painter,
        lane,
        loaded,
        &tracks,
        y(marks.crus_mm.unwrap_or(marks.utricle_mm) as f32),
    ));
    super::story::happenings(painter, lane, loaded, (ear, canal), y, (taken, &lines));
    let at = loaded.between(lane.time_s);
    let now: Vec<f32> = tracks
        .iter()
        .map(|t| at.of_f32(&t.course_mm))
        .filter(|mm| mm.is_finite())
        .collect();
    for &mm in &now {
        let place = pos2(lane.axis.x_at(lane.time_s), y(mm));
        painter.circle(place, 3.0, palette.debris, Stroke::new(1.0, palette.score));
    }
    let other = tracks.len() - now.len();
    let text = match now.iter().copied().reduce(f32::max) {
        None => "other canal".to_owned(),
        Some(far) => {
            let near = now.iter().copied().fold(far, f32::min);
            if far - near < 0.1 {
                format!("{far:.1} mm")
            } else {
                format!("{near:.1}–{far:.1} mm")
            }
        }
    };
    lane.value(painter, lane.rect.center().y, &text, palette.text);
    if other > 0 && !now.is_empty() {
        let text = format!("{other} elsewhere");
        lane.value(painter, lane.rect.center().y + 16.0, &text, palette.weak);
    }
}

/// Where pieces are in another canal, off this course: dashes in that canal's tint, with its name.
fn elsewhere(
    painter: &Painter,
    lane: &Lane,
    loaded: &Loaded,
    tracks: &[&Track],
    y: f32,
) -> Vec<Rect> {
    let what = ("elsewhere", lane.rect.top() as i32);
    let stretches = kept(painter, lane, loaded, what, || {
        stretches(tracks, &loaded.run.time_s)
    });
    let mut taken = Vec::new();
    let mut named_until = f32::MIN;
    for &(canal, from_s, to_s) in stretches.iter() {
        let [left, right] = [from_s, to_s].map(|t| lane.axis.x_at(t));
        let stroke = Stroke::new(2.0, theme::canal_colour(canal));
        let ends = [pos2(left, y), pos2(right, y)];
        painter.extend(Shape::dashed_line(&ends, stroke, 6.0, 4.0));
        taken.push(Rect::from_two_pos(ends[0], ends[1]).expand2(vec2(0.0, 2.0)));
        let words = format!("in the {} canal", canal.name());
        let galley = painter.layout_no_wrap(words, theme::small(), lane.palette.weak);
        // Pieces cross one after the other: the words keep off the last one's curve.
        if left > named_until && galley.size().x + 22.0 < right - left {
            named_until = right;
            let at = pos2(left + 16.0, y + 2.0);
            taken.push(Rect::from_min_size(at, galley.size()));
            painter.galley(at, galley, lane.palette.weak);
        }
    }
    taken
}

/// From when to when any piece is in a canal that is not its own, s; in order of time.
fn stretches(tracks: &[&Track], time_s: &[f64]) -> Vec<(Canal, f64, f64)> {
    let mut found: Vec<(Canal, f64, f64)> = Vec::new();
    for track in tracks {
        let canal_at = |i: usize| match track.place.get(i).map(|p| p.region) {
            Some(Region::Duct(c) | Region::ShortArm(c)) if c != track.canal => Some(c),
            _ => None,
        };
        let n = track.place.len().min(time_s.len());
        let mut i = 0;
        while i < n {
            let Some(canal) = canal_at(i) else {
                i += 1;
                continue;
            };
            let from = i;
            while i < n && canal_at(i) == Some(canal) {
                i += 1;
            }
            found.push((canal, time_s[from], time_s[i - 1]));
        }
    }
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut joined: Vec<(Canal, f64, f64)> = Vec::new();
    for (canal, from_s, to_s) in found {
        match joined.iter_mut().rfind(|j| j.0 == canal) {
            Some(before) if from_s <= before.2 => before.2 = before.2.max(to_s),
            _ => joined.push((canal, from_s, to_s)),
        }
    }
    joined
}
