//! Names on the ear stage: of canals and ears, and how many pieces a heap has. None covers another, and a
//! name keeps off the glass where there is room.

use egui::{Align2, Painter, Pos2, Rect, Stroke, Vec2, emath::Rot2, pos2, vec2};
use glam::Vec3;
use lithodrome_labyrinth::{Canal, Ear};

use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::command::EarShown,
    stages::camera::View,
    stages::scene::{
        ear_marks,
        ear_scene::{EarScene, Moment},
    },
    stages::stage_ui,
    work::stage_data::EarShape,
};

/// Points of the glass that names keep off, per ear.
const GLASS_POINTS: usize = 900;
/// Side of the square around each of them, points.
const GLASS: f32 = 12.0;
/// How far from its canal a name may stand, points.
const DISTANCES: [f32; 5] = [30.0, 44.0, 60.0, 80.0, 104.0];
/// Outward first, then more and more aside, rad.
const TURNS: [f32; 8] = [0.0, 0.8, -0.8, 1.6, -1.6, 2.4, -2.4, 3.1];
/// Where else on its duct a name may point to, shares of the way from the cupula to the duct's end.
const ELSEWHERE: [f64; 4] = [0.3, 0.45, 0.6, 0.8];

/// Writes each canal's name beside its arc, and each ear's mark below it where both are shown.
pub fn canals(
    painter: &Painter,
    rect: Rect,
    mut taken: Vec<Rect>,
    view: &View,
    scene: &EarScene,
    moment: Moment<'_>,
    palette: &Palette,
) {
    let stage = painter.clip_rect();
    let ears = EarScene::ears(moment.shown);
    let glass_of = |ear: &Ear| glass_on_screen(*ear, view, scene, moment, stage);
    let glasses: Vec<Vec<Pos2>> = ears.iter().map(glass_of).collect();
    let glass = glasses.concat();
    for (&ear, glass_here) in ears.iter().zip(&glasses) {
        let stage_from_reid = scene.stage_from_reid(moment, ear);
        if moment.shown == EarShown::Both && !glass_here.is_empty() {
            let glasses = [glass_here.as_slice(), &glass];
            taken.push(ear_name(painter, rect, &taken, ear, glasses, palette));
        }
        let (upright, _) = ear_marks::nearest_vertical(moment.loaded, ear, &moment.down_in_reid());
        let shape = &moment.loaded.ears[ear.index()];
        let on_screen = |p: lithodrome_labyrinth::Vec3| {
            let p = Vec3::new(p.x as f32, p.y as f32, p.z as f32);
            let at = view.on_screen(stage_from_reid.transform_point3(p));
            stage.min + vec2(at.x, at.y)
        };
        for canal in Canal::ALL {
            let mut name = canal.name().to_owned();
            if canal == upright {
                name.push_str("\nmost upright");
            }
            let letters = painter.layout_no_wrap(name.clone(), theme::small(), palette.text);
            let centre = on_screen(shape.arcs[canal.index()].0);
            let points = points_of(shape, canal).map(on_screen);
            let Some(name_at) = place(points, centre, letters.size(), rect, &taken, &glass) else {
                continue;
            };
            let stroke = Stroke::new(1.5, theme::canal_colour(canal));
            painter.line_segment(
                [name_at.point(14.0), name_at.point(name_at.far - 4.0)],
                stroke,
            );
            taken.push(stage_ui::label(
                painter,
                rect,
                name_at.point(name_at.far),
                beside(name_at.way),
                &name,
                palette.text,
                palette,
            ));
        }
    }
}

/// Writes an ear's name with its mark beside its own glass, off all glass and other things if it can be;
/// returns its place.
fn ear_name(
    painter: &Painter,
    rect: Rect,
    taken: &[Rect],
    ear: Ear,
    glasses: [&[Pos2]; 2],
    palette: &Palette,
) -> Rect {
    let (mark, off) = (vec2(20.0, 0.0), 18.0);
    let name = format!("{} ear", ear.name());
    let letters = painter.layout_no_wrap(name.clone(), theme::small(), palette.text);
    let size = letters.size() + mark;
    let [here, all] = glasses;
    let place = ear_name_place(Rect::from_points(here), size, off, rect, taken, all);
    let (ink, left) = (palette.text, Align2::LEFT_CENTER);
    let at = place.left_center() + mark;
    stage_ui::label(painter, rect, at, left, &name, ink, palette);
    let middle = place.left_center() + mark / 2.0 - vec2(2.0, 0.0);
    controls::paint_ear_mark(painter, middle, ear);
    place
}

/// Below an ear, above it with room for the names of canals, or at its sides: the first place that covers least
/// of the glass.
fn ear_name_place(
    around: Rect,
    size: Vec2,
    off: f32,
    rect: Rect,
    taken: &[Rect],
    glass: &[Pos2],
) -> Rect {
    let free = rect.shrink(6.0);
    let least = free.left() + size.x / 2.0;
    let x = around.center().x;
    let x = x.clamp(least, (free.right() - size.x / 2.0).max(least));
    let (y, aside) = (around.center().y, off + size.x / 2.0);
    let below = pos2(x, around.bottom() + off);
    let others = [
        pos2(x, around.top() - 3.0 * off),
        pos2(around.left() - aside, y),
        pos2(around.right() + aside, y),
    ];
    [below]
        .into_iter()
        .chain(others)
        .map(|at| Rect::from_center_size(at, size))
        .filter(|r| free.contains_rect(*r) && !taken.iter().any(|t| t.intersects(*r)))
        .min_by_key(|r| {
            glass
                .iter()
                .filter(|p| r.expand(GLASS / 2.0).contains(**p))
                .count()
        })
        .unwrap_or_else(|| Rect::from_center_size(below, size))
}

/// Where a name may point to on its duct, Reid axes, mm: its highest point first.
fn points_of(shape: &EarShape, canal: Canal) -> [lithodrome_labyrinth::Vec3; 5] {
    let i = canal.index();
    let (line, course) = (&shape.lines_in_reid_mm[i], shape.courses[i]);
    let duct = course.crus_mm.unwrap_or(course.utricle_mm) / course.utricle_mm;
    let highest = shape.labels_in_reid_mm[i];
    let mut points = [highest; 5];
    for (point, share) in points[1..].iter_mut().zip(ELSEWHERE) {
        let at = ((line.len() - 1) as f64 * duct * share).round() as usize;
        *point = line.get(at).copied().unwrap_or(highest);
    }
    points
}

/// Where a name stands: so `far` in the direction of `way` from the place that it is `of`.
#[derive(Clone, Copy, Debug)]
struct NameAt {
    of: Pos2,
    way: Vec2,
    far: f32,
}

impl NameAt {
    fn point(self, far: f32) -> Pos2 {
        self.of + self.way * far
    }

    fn rect(self, size: Vec2) -> Rect {
        beside(self.way).anchor_size(self.point(self.far), size)
    }
}

/// Where a name covers neither other words nor the glass, as near to its duct as can be; the least of the glass
/// if it must be. A name that would cover another one is left out, its canal keeps its tint.
fn place(
    points: [Pos2; 5],
    centre: Pos2,
    size: Vec2,
    rect: Rect,
    taken: &[Rect],
    glass: &[Pos2],
) -> Option<NameAt> {
    let around = |of: Pos2, far: f32| {
        let out = (of - centre).normalized();
        TURNS.map(|turn| NameAt {
            of,
            way: Rot2::from_angle(turn) * out,
            far,
        })
    };
    let tries = DISTANCES
        .into_iter()
        .flat_map(|far| points.into_iter().flat_map(move |of| around(of, far)));
    let covered = |at: &NameAt| {
        let near = at.rect(size).expand(GLASS / 2.0);
        glass.iter().filter(|p| near.contains(**p)).count()
    };
    let mut best: Option<(usize, NameAt)> = None;
    for at in tries {
        let place = at.rect(size);
        if !rect.contains_rect(place) || taken.iter().any(|other| other.intersects(place)) {
            continue;
        }
        let covers = covered(&at);
        if best.is_none_or(|(least, _)| covers < least) {
            best = Some((covers, at));
        }
        if covers == 0 {
            break;
        }
    }
    best.map(|(_, at)| at)
}

/// Places of an ear's glass on the screen, evenly thinned.
fn glass_on_screen(
    ear: Ear,
    view: &View,
    scene: &EarScene,
    moment: Moment<'_>,
    stage: Rect,
) -> Vec<Pos2> {
    let Some(mesh) = scene.lumen(ear) else {
        return Vec::new();
    };
    let stage_from_reid = scene.stage_from_reid(moment, ear);
    let step = (mesh.vertices.len() / GLASS_POINTS).max(1);
    let points = mesh.vertices.iter().step_by(step).map(|v| v.position);
    let on_screen = |p: [f32; 3]| {
        let at = view.on_screen(stage_from_reid.transform_point3(Vec3::from(p)));
        stage.min + vec2(at.x, at.y)
    };
    points.map(on_screen).collect()
}

/// How words lie to a point that they stand beside in this direction.
fn beside(way: Vec2) -> Align2 {
    match (way.x.abs() < 0.4, way.x > 0.0) {
        (true, _) if way.y < 0.0 => Align2::CENTER_BOTTOM,
        (true, _) => Align2::CENTER_TOP,
        (false, true) => Align2::LEFT_CENTER,
        (false, false) => Align2::RIGHT_CENTER,
    }
}

/// Rings pieces that lie close together on the screen and writes how many they are.
pub fn heaps(painter: &Painter, rect: Rect, pieces: impl Iterator<Item = Pos2>, palette: &Palette) {
    let mut heaps: Vec<Vec<Pos2>> = Vec::new();
    for at in pieces {
        let near = |heap: &&mut Vec<Pos2>| heap.iter().any(|p| p.distance(at) < 10.0);
        match heaps.iter_mut().find(near) {
            Some(heap) => heap.push(at),
            None => heaps.push(vec![at]),
        }
    }
    for heap in heaps.iter().filter(|heap| heap.len() > 1) {
        let sum = heap.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
        let middle = (sum / heap.len() as f32).to_pos2();
        let reach = heap.iter().map(|p| p.distance(middle)).fold(0.0, f32::max) + 9.0;
        painter.circle_stroke(middle, reach, Stroke::new(1.0, palette.weak));
        let (at, text) = (middle + vec2(reach + 4.0, 0.0), heap.len().to_string());
        stage_ui::label(
            painter,
            rect,
            at,
            Align2::LEFT_CENTER,
            &text,
            palette.text,
            palette,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ear_is_named_below_it_or_where_there_is_room() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(400.0, 300.0));
        let around = Rect::from_min_size(pos2(150.0, 100.0), vec2(100.0, 80.0));
        let size = vec2(60.0, 14.0);
        let named = |taken: &[Rect], glass: &[Pos2]| {
            ear_name_place(around, size, 18.0, rect, taken, glass).center()
        };
        assert_eq!(named(&[], &[]), pos2(200.0, 198.0));
        let below = Rect::from_min_max(pos2(0.0, 190.0), pos2(400.0, 300.0));
        assert_eq!(named(&[below], &[]), pos2(200.0, 46.0));
        // The other ear's glass lies below and above: at the left.
        let other = [pos2(205.0, 200.0), pos2(195.0, 46.0)];
        assert_eq!(named(&[], &other), pos2(102.0, 140.0));
    }

    #[test]
    fn a_name_keeps_off_the_glass_and_off_other_words_as_near_as_it_can() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(400.0, 300.0));
        let (centre, size) = (pos2(200.0, 150.0), vec2(60.0, 14.0));
        // A ring of glass; the name's own place is its top.
        let ring = |angle: f32| centre + Vec2::angled(angle) * 80.0;
        let glass: Vec<Pos2> = (0..200u16).map(|i| ring(f32::from(i) * 0.0314)).collect();
        let points = [-1.57f32, 0.0, 0.7, 1.57, 2.9].map(ring);
        let at = place(points, centre, size, rect, &[], &glass).unwrap();
        assert_eq!((at.of, at.far), (points[0], DISTANCES[0]));
        assert!(at.way.y < -0.99, "outward");
        // The room above is taken: it goes elsewhere, and covers nothing.
        let above = Rect::from_min_max(pos2(0.0, 0.0), pos2(400.0, 66.0));
        let at = place(points, centre, size, rect, &[above], &glass).unwrap();
        let there = at.rect(size);
        assert!(!there.intersects(above) && !glass.iter().any(|p| there.contains(*p)));
        // Glass everywhere: it stands on it rather than nowhere.
        let all: Vec<Pos2> = (0..1200u16)
            .map(|i| pos2(f32::from(i % 40) * 10.0, f32::from(i / 40) * 10.0))
            .collect();
        assert!(place(points, centre, size, rect, &[], &all).is_some());
        assert!(place(points, centre, size, rect, &[rect], &glass).is_none());
    }
}
