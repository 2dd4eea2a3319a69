//! From a list of head directions to the chair angles of a whole manoeuvre, and what a drive leaves over.

use lithodrome_labyrinth::Vec3;

use crate::{ChairAngles, angles_for_down_with_headrest, down_in_head, nearest_equivalent};

/// The angles for a list of head directions, each the shortest drive from the one before; nothing
/// unwinds.
///
/// Where a direction leaves yaw free (upright, inverted) the yaw that the next direction needs is set
/// there, so that the drive out of it is one of the track alone: yaw then turns no gravity in the head.
/// If no later direction needs a yaw, it stays. The headrest stays as in `from`.
pub fn route(from: ChairAngles, downs_in_head: &[Vec3]) -> Vec<ChairAngles> {
    let is_free =
        |down: &Vec3| angles_for_down_with_headrest(*down, from.headrest_flexion_rad).yaw_free;
    let mut now = from;
    let mut angles = Vec::with_capacity(downs_in_head.len());
    for (i, down) in downs_in_head.iter().enumerate() {
        now = nearest_equivalent(now, *down);
        if is_free(down)
            && let Some(next) = downs_in_head[i + 1..].iter().find(|d| !is_free(d))
        {
            now.yaw_rad = nearest_equivalent(now, *next).yaw_rad;
        }
        angles.push(now);
    }
    angles
}

/// Angle between a canal's plane and the vertical, 0 to π/2, from its axis and gravity in head axes.
///
/// Only the part of gravity in the plane drives the canal's debris along: cos of this angle.
pub fn plane_tilt_to_vertical_rad(n_in_head: Vec3, down_in_head: Vec3) -> f64 {
    let across = n_in_head.dot(&down_in_head).abs();
    across.atan2(n_in_head.cross(&down_in_head).norm())
}

/// What a drive of both axes at once does to gravity, beside the straight way between the same ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathDifference {
    /// Way of gravity in the head on the drive, rad.
    pub driven_rad: f64,
    /// The straight way, along a great circle, rad.
    pub straight_rad: f64,
    /// Farthest that gravity is from that great circle's arc on the drive, rad.
    pub apart_rad: f64,
}

/// The difference for a drive from angles to angles, both axes at the same share of their way.
///
/// A bedside move that swings the head about one fixed axis goes straight; so does a drive of the track
/// alone, and one of yaw alone at track π/2. Between opposite directions every great circle is straight
/// and the one nearest to the drive's middle is taken.
pub fn path_difference(from: ChairAngles, to: ChairAngles) -> PathDifference {
    const SAMPLES: u32 = 720;
    let on_way = |share: f64| {
        let between = |a: f64, b: f64| a + share * (b - a);
        down_in_head(ChairAngles {
            yaw_rad: between(from.yaw_rad, to.yaw_rad),
            track_rad: between(from.track_rad, to.track_rad),
            headrest_flexion_rad: between(from.headrest_flexion_rad, to.headrest_flexion_rad),
        })
    };
    let (start, end, middle) = (on_way(0.0), on_way(1.0), on_way(0.5));
    let straight_rad = angle(start, end);
    let normal = if start.cross(&end).norm() > 1e-9 {
        start.cross(&end).normalize()
    } else {
        start
            .cross(&middle)
            .try_normalize(1e-9)
            .unwrap_or_else(Vec3::zeros)
    };
    let mut difference = PathDifference {
        driven_rad: 0.0,
        straight_rad,
        apart_rad: 0.0,
    };
    let mut before = start;
    for i in 1..=SAMPLES {
        let here = on_way(f64::from(i) / f64::from(SAMPLES));
        difference.driven_rad += angle(before, here);
        difference.apart_rad =
            difference
                .apart_rad
                .max(to_arc(here, start, end, normal, straight_rad));
        before = here;
    }
    difference
}

/// Angle from a direction to the nearest point of an arc.
fn to_arc(here: Vec3, start: Vec3, end: Vec3, normal: Vec3, length_rad: f64) -> f64 {
    let foot = here - normal * normal.dot(&here);
    if normal == Vec3::zeros() || foot.norm() < 1e-12 {
        return angle(here, start).min(angle(here, end));
    }
    let along = normal.cross(&start).dot(&foot).atan2(start.dot(&foot));
    if (0.0..=length_rad).contains(&along) {
        angle(here, foot)
    } else {
        angle(here, start).min(angle(here, end))
    }
}

/// Angle between two directions, exact also for small ones.
pub(crate) fn angle(a: Vec3, b: Vec3) -> f64 {
    a.cross(&b).norm().atan2(a.dot(&b))
}
