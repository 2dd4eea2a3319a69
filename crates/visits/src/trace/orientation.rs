//! From readings to the two angles of a chair.

use std::f64::consts::{PI, TAU};

use lithodrome_chair::AngleSample;
use nalgebra::{Rotation3, UnitQuaternion, Vector3};

use super::read::Reading;

/// Samples closer than this are averaged in bins of twice as much, s: a sensor's noise would else turn
/// the head at many degrees a second (assumed; what is quicker than 0.1 s is lost).
const DENSE_S: f64 = 0.05;

/// A recording as angles of a chair.
#[derive(Clone, Debug, PartialEq)]
pub struct Recorded {
    /// The angles, wound on past ±π.
    pub samples: Vec<AngleSample>,
    /// How far the head's long axis left the plane of the track at worst, rad; 0 for a chair's own angles.
    pub off_plane_rad: f64,
    /// When, s.
    pub off_plane_at_s: f64,
}

/// The chair angles of a reading; of the two ways to look at a track the one whose first yaw is nearer
/// to `near_yaw_rad`.
///
/// # Equation
/// The chair stands somehow in the sensor's room: R = Rz(h) Rx(θ) Rz(ψ). The long axis R z then lies in
/// one upright plane; h is the turn about the vertical that brings the sum of squares out of that plane
/// to its least (the smaller eigenvalue of a 2 × 2 matrix). With M = Rz(−h) R: θ = atan2(−M₁₂, M₂₂),
/// ψ = atan2(−M₀₁, M₀₀), out of the plane by asin |M₀₂|.
pub fn angles_of(reading: &Reading, near_yaw_rad: f64) -> Recorded {
    match reading {
        Reading::Angles(samples) => Recorded {
            samples: thinned(samples.clone()),
            off_plane_rad: 0.0,
            off_plane_at_s: 0.0,
        },
        Reading::Orientations(rows) => of_orientations(rows, near_yaw_rad),
    }
}

fn of_orientations(rows: &[(f64, UnitQuaternion<f64>)], near_yaw_rad: f64) -> Recorded {
    let heading_rad = heading_rad(rows);
    let first = rows.first().map_or(0.0, |(_, q)| angles(q, heading_rad)[1]);
    let distance = |yaw_rad: f64| wound(yaw_rad, near_yaw_rad) - near_yaw_rad;
    let heading_rad = if distance(first + PI).abs() < distance(first).abs() - 1e-9 {
        heading_rad + PI
    } else {
        heading_rad
    };
    let mut samples: Vec<AngleSample> = Vec::with_capacity(rows.len());
    let (mut off_plane_rad, mut off_plane_at_s) = (0.0, 0.0);
    let mut before = [0.0, near_yaw_rad];
    for (time_s, q) in rows {
        let [track, yaw, off] = angles(q, heading_rad);
        before = [wound(track, before[0]), wound(yaw, before[1])];
        if off > off_plane_rad {
            (off_plane_rad, off_plane_at_s) = (off, *time_s);
        }
        samples.push(AngleSample {
            time_s: *time_s,
            track_rad: before[0],
            yaw_rad: before[1],
        });
    }
    Recorded {
        samples: thinned(samples),
        off_plane_rad,
        off_plane_at_s,
    }
}

/// Track, yaw and how far out of the plane.
fn angles(q: &UnitQuaternion<f64>, heading_rad: f64) -> [f64; 3] {
    let back = Rotation3::from_axis_angle(&Vector3::z_axis(), -heading_rad);
    let m = back * q.to_rotation_matrix();
    [
        f64::atan2(-m[(1, 2)], m[(2, 2)]),
        f64::atan2(-m[(0, 1)], m[(0, 0)]),
        m[(0, 2)].clamp(-1.0, 1.0).asin().abs(),
    ]
}

/// The turn of the track's axis about the vertical, −π/2 to π/2; 0 where the patient only sat.
fn heading_rad(rows: &[(f64, UnitQuaternion<f64>)]) -> f64 {
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (_, q) in rows {
        let axis = q * Vector3::z();
        xx += axis.x * axis.x;
        xy += axis.x * axis.y;
        yy += axis.y * axis.y;
    }
    if xx + yy < 1e-4 * rows.len() as f64 {
        return 0.0;
    }
    // The long axis sweeps along (−sin h, cos h).
    let along_rad = 0.5 * f64::atan2(2.0 * xy, xx - yy);
    let heading_rad = along_rad - PI / 2.0;
    heading_rad - PI * (heading_rad / PI).round()
}

/// The equal angle next to another one.
fn wound(angle_rad: f64, near_rad: f64) -> f64 {
    angle_rad + TAU * ((near_rad - angle_rad) / TAU).round()
}

/// Means over bins where samples are dense; the first time stays 0.
fn thinned(samples: Vec<AngleSample>) -> Vec<AngleSample> {
    let span_s = samples.last().map_or(0.0, |s| s.time_s);
    if samples.len() < 4 || span_s / (samples.len() as f64) >= DENSE_S {
        return samples;
    }
    let bin = |s: &AngleSample| (s.time_s / (2.0 * DENSE_S)) as usize;
    let mut thin: Vec<AngleSample> = samples
        .chunk_by(|a, b| bin(a) == bin(b))
        .map(|some| {
            let n = some.len() as f64;
            let mean = |part: fn(&AngleSample) -> f64| some.iter().map(part).sum::<f64>() / n;
            AngleSample {
                time_s: mean(|s| s.time_s),
                yaw_rad: mean(|s| s.yaw_rad),
                track_rad: mean(|s| s.track_rad),
            }
        })
        .collect();
    if let Some(first) = thin.first_mut() {
        first.time_s = 0.0;
    }
    thin
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_chair::{ChairAngles, room_from_head};

    /// A chair that stands turned in the room: the angles come back, past a whole turn too.
    #[test]
    fn angles_come_back_however_the_chair_stands() {
        for heading_deg in [0.0, 30.0, -75.0, 160.0] {
            let heading = Rotation3::new(Vector3::z() * f64::to_radians(heading_deg));
            let rows: Vec<_> = (0..=100)
                .map(|i| {
                    let share = f64::from(i) / 100.0;
                    let at = ChairAngles {
                        yaw_rad: 0.7 + 3.0 * share,
                        track_rad: 7.0 * share,
                        headrest_flexion_rad: 0.0,
                    };
                    let q = UnitQuaternion::from_rotation_matrix(&(heading * room_from_head(at)));
                    // The sign of a quaternion means nothing.
                    let q = if i % 3 == 0 {
                        UnitQuaternion::new_unchecked(-q.into_inner())
                    } else {
                        q
                    };
                    (f64::from(i), q)
                })
                .collect();
            let found = angles_of(&Reading::Orientations(rows), 0.7);
            let last = found.samples[100];
            assert!((last.yaw_rad - 3.7).abs() < 1e-9, "{heading_deg}: {last:?}");
            assert!(
                (last.track_rad - 7.0).abs() < 1e-9,
                "{heading_deg}: {last:?}"
            );
            assert!(found.off_plane_rad < 1e-9);
        }
    }

    /// A head that nods 20° in the headrest leaves the track's plane by 20° where the plane is across:
    /// at yaw 0 the nod turns the long axis about y, out of the y-z plane, by all of it.
    #[test]
    fn a_nod_in_the_headrest_shows_as_out_of_the_plane() {
        let nod = Rotation3::new(Vector3::y() * 20_f64.to_radians());
        let rows: Vec<_> = (0..=20)
            .map(|i| {
                let track = Rotation3::new(Vector3::x() * f64::from(i) * 0.1);
                let turn = if i == 10 { track * nod } else { track };
                (f64::from(i), UnitQuaternion::from_rotation_matrix(&turn))
            })
            .collect();
        let found = angles_of(&Reading::Orientations(rows), 0.0);
        let off_deg = found.off_plane_rad.to_degrees();
        assert!((15.0..21.0).contains(&off_deg), "{off_deg}");
        assert!((found.off_plane_at_s - 10.0).abs() < 1e-9);
    }

    #[test]
    fn dense_noise_is_averaged() {
        let samples: Vec<_> = (0..1000)
            .map(|i| AngleSample {
                time_s: f64::from(i) * 0.01,
                yaw_rad: 1.0 + if i % 2 == 0 { 0.002 } else { -0.002 },
                track_rad: 0.0,
            })
            .collect();
        let found = angles_of(&Reading::Angles(samples), 0.0).samples;
        assert_eq!(found.len(), 100);
        assert!(found.iter().all(|s| (s.yaw_rad - 1.0).abs() < 3e-4));
        assert!(found[0].time_s.abs() < 1e-12);
    }
}
