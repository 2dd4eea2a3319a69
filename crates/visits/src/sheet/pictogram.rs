//! A small figure of the patient, turned as the model has him at the start of a hold.
//!
//! Metres; x forward, y left, z up from the middle of the track. The chair is seen along the track's
//! axis, from where the patient looks at yaw 0; a bed from the patient's right.

use nalgebra::Vector3;

use lithodrome_rehearsal::Carrier;

use super::content::Figure;
use super::mark::{Ink, Page};

/// Half of what is drawn, m.
const REACH_M: f64 = 0.86;
const NECK_M: [f64; 3] = [0.0, 0.0, 0.40];
/// Middle of the head above the root of the neck, in head axes.
const HEAD_M: [f64; 3] = [0.015, 0.0, 0.21];
const HEAD_RADIUS_M: f64 = 0.125;

/// A limb: from, to, width.
type Limb = ([f64; 3], [f64; 3], f64);

/// Right-hand limbs of a seated figure; the left ones are their mirror image.
const SEATED: [Limb; 5] = [
    ([0.0, -0.08, -0.12], [0.42, -0.11, -0.12], 0.145),
    ([0.42, -0.11, -0.12], [0.46, -0.11, -0.52], 0.11),
    ([0.46, -0.11, -0.54], [0.58, -0.12, -0.55], 0.08),
    ([0.0, -0.18, 0.33], [0.06, -0.24, 0.08], 0.09),
    ([0.06, -0.24, 0.08], [0.28, -0.19, 0.0], 0.08),
];
/// The same of a figure that lies.
const LYING: [Limb; 5] = [
    ([0.0, -0.08, -0.12], [0.02, -0.11, -0.46], 0.145),
    ([0.02, -0.11, -0.46], [0.0, -0.11, -0.80], 0.11),
    ([0.0, -0.11, -0.82], [0.11, -0.13, -0.84], 0.08),
    ([0.0, -0.18, 0.33], [0.02, -0.25, 0.08], 0.09),
    ([0.02, -0.25, 0.08], [0.10, -0.20, -0.12], 0.08),
];
const TORSO: [Limb; 2] = [
    ([0.0, 0.07, -0.06], [0.0, 0.10, 0.31], 0.21),
    ([0.0, -0.07, -0.06], [0.0, -0.10, 0.31], 0.21),
];

/// One stroke of the figure with its depth toward the viewer.
struct Stroke {
    points: Vec<[f64; 2]>,
    width_m: f64,
    depth_m: f64,
    ink: Ink,
}

/// The way one looks at the figure.
#[derive(Clone, Copy)]
struct View {
    from_right: bool,
    centre: [f64; 2],
    pt_per_m: f64,
}

impl View {
    /// Place on the page.
    fn at(&self, v: Vector3<f64>) -> [f64; 2] {
        let across = if self.from_right { v.x } else { v.y };
        [
            self.centre[0] + self.pt_per_m * across,
            self.centre[1] - self.pt_per_m * v.z,
        ]
    }

    /// Toward the viewer.
    fn depth_m(&self, v: Vector3<f64>) -> f64 {
        if self.from_right { -v.y } else { v.x }
    }
}

/// Draws the figure within a circle of this radius.
pub(super) fn draw(page: &mut Page, figure: &Figure, centre: [f64; 2], radius_pt: f64) {
    let view = View {
        from_right: figure.carrier.is_bed(),
        centre,
        pt_per_m: radius_pt / REACH_M,
    };
    match figure.carrier {
        Carrier::Chair => page.circle(centre, radius_pt, 0.8, Ink::Grey),
        Carrier::Bedside { .. } => {
            let y = centre[1] + 0.28 * view.pt_per_m;
            let half = 1.02 * radius_pt;
            page.line(
                vec![[centre[0] - half, y], [centre[0] + half, y]],
                1.6,
                Ink::Grey,
            );
        }
        Carrier::ThreeAxes => {}
    }
    let mut strokes = trunk_strokes(figure, view);
    let neck = figure
        .room_from_trunk
        .map_or_else(Vector3::zeros, |r| r * Vector3::from(NECK_M));
    strokes.push(Stroke {
        points: vec![view.at(neck), view.at(head_at(figure, neck, [0.0; 3]))],
        width_m: 0.09,
        depth_m: view.depth_m(neck),
        ink: Ink::White,
    });
    strokes.sort_by(|a, b| a.depth_m.total_cmp(&b.depth_m));
    for stroke in strokes {
        let width_pt = stroke.width_m * view.pt_per_m;
        page.line(stroke.points.clone(), width_pt + 1.1, Ink::Black);
        page.line(stroke.points, (width_pt - 0.5).max(0.4), stroke.ink);
    }
    draw_head(page, figure, neck, view);
}

fn trunk_strokes(figure: &Figure, view: View) -> Vec<Stroke> {
    let Some(turn) = figure.room_from_trunk else {
        return Vec::new();
    };
    let lies = figure.carrier.is_bed() && (turn * Vector3::z()).z < 0.8;
    let half = if lies { LYING } else { SEATED };
    let mirrored = half.map(|([a, b, c], [d, e, f], w)| ([a, -b, c], [d, -e, f], w));
    let limbs = half.into_iter().chain(mirrored).map(|l| (l, Ink::White));
    let torso = TORSO.into_iter().map(|l| (l, Ink::Pale));
    limbs
        .chain(torso)
        .map(|((from, to, width_m), ink)| {
            let (from, to) = (turn * Vector3::from(from), turn * Vector3::from(to));
            Stroke {
                points: vec![view.at(from), view.at(to)],
                width_m,
                depth_m: view.depth_m(0.5 * (from + to)),
                ink,
            }
        })
        .collect()
}

/// A point of the head, given in head axes from its middle, m.
fn head_at(figure: &Figure, neck: Vector3<f64>, point: [f64; 3]) -> Vector3<f64> {
    neck + figure.room_from_head * (Vector3::from(HEAD_M) + Vector3::from(point))
}

/// The head over the trunk: nose, eyes, a ring on the right ear, a cross on the left one; what is on the
/// far side is hidden by the head.
fn draw_head(page: &mut Page, figure: &Figure, neck: Vector3<f64>, view: View) {
    let spot = |p: [f64; 3]| {
        let at = head_at(figure, neck, p);
        (view.at(at), view.depth_m(at))
    };
    let (middle, depth_m) = spot([0.0; 3]);
    let scale = view.pt_per_m;
    let nose = |page: &mut Page| {
        let (from, to) = (spot([0.10, 0.0, 0.0]).0, spot([0.175, 0.0, -0.03]).0);
        page.line(vec![from, to], 0.055 * scale, Ink::Black);
    };
    let nose_in_front = spot([0.15, 0.0, 0.0]).1 > depth_m;
    if !nose_in_front {
        nose(page);
    }
    page.disc(middle, HEAD_RADIUS_M * scale + 0.6, Ink::Black);
    page.disc(middle, HEAD_RADIUS_M * scale - 0.4, Ink::White);
    for side in [-1.0, 1.0] {
        let (eye, eye_depth_m) = spot([0.108, 0.05 * side, 0.03]);
        if eye_depth_m > depth_m + 0.01 {
            page.disc(eye, 0.022 * scale, Ink::Black);
        }
    }
    if nose_in_front {
        nose(page);
    }
    let (right, right_depth_m) = spot([0.0, -0.125, 0.0]);
    if right_depth_m > depth_m - 0.03 {
        page.disc(right, 0.055 * scale, Ink::White);
        page.circle(right, 0.05 * scale, 1.0, Ink::Right);
    }
    let (left, left_depth_m) = spot([0.0, 0.125, 0.0]);
    if left_depth_m > depth_m - 0.03 {
        let arm = 0.045 * scale;
        let [x, y] = left;
        page.disc(left, 0.055 * scale, Ink::White);
        page.line(vec![[x - arm, y - arm], [x + arm, y + arm]], 1.0, Ink::Left);
        page.line(vec![[x - arm, y + arm], [x + arm, y - arm]], 1.0, Ink::Left);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Rotation3;

    use crate::sheet::mark::{Mark, Paper};

    /// Middle of the head on a page whose middle is (0, 0), radius 86 pt: 100 pt a metre.
    fn head_of(track_deg: f64, yaw_deg: f64) -> [f64; 2] {
        let turn = Rotation3::new(Vector3::x() * f64::to_radians(track_deg))
            * Rotation3::new(Vector3::z() * f64::to_radians(yaw_deg));
        let figure = Figure {
            carrier: Carrier::Chair,
            room_from_head: turn,
            room_from_trunk: Some(turn),
        };
        let mut page = Page::new(Paper::A4);
        draw(&mut page, &figure, [0.0, 0.0], 86.0);
        let discs: Vec<_> = page
            .marks
            .iter()
            .filter_map(|m| match m {
                Mark::Area {
                    points,
                    ink: Ink::Black,
                } if points[0][0] - points[18][0] > 20.0 => Some(points),
                _ => None,
            })
            .collect();
        let head = discs[0];
        [
            0.5 * (head[0][0] + head[18][0]),
            0.5 * (head[9][1] + head[27][1]),
        ]
    }

    /// By hand: the head is 0.61 m above the middle. Track 120° to the right side at yaw 0 brings it to
    /// y = −sin 120° · 0.61 m and z = cos 120° · 0.61 m; on paper that is right of nothing: left and low.
    #[test]
    fn the_head_is_where_the_track_takes_it() {
        let upright = head_of(0.0, 90.0);
        assert!(
            upright[0].abs() < 2.0 && (upright[1] + 61.0).abs() < 2.0,
            "{upright:?}"
        );
        let tilted = head_of(120.0, 0.0);
        assert!((tilted[0] + 52.8).abs() < 2.0, "{tilted:?}");
        assert!((tilted[1] - 30.5).abs() < 2.0, "{tilted:?}");
    }
}
