//! What carries the head from step to step: the two-axis chair, a bed, or a chair with three axes.

use lithodrome_labyrinth::Vec3;
use nalgebra::{Rotation3, Unit};

use crate::bed::{BedPosture, BodyLengths, on_the_way};
use crate::pose::Carried;
use crate::pose::Jet;
use crate::pose::Seat;
use crate::pose::Swinging;
use crate::{ChairAngles, HeadPose, Lever, nearest_equivalent, route};

/// A body and where it is at the start and at the end of every step, `[0]` the start.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Carrier {
    /// Yaw, track and headrest.
    Chair {
        ends: Vec<ChairAngles>,
        lever: Lever,
    },
    /// Trunk and neck.
    Bed {
        ends: Vec<BedPosture>,
        lengths: BodyLengths,
    },
    /// Any axis at any time.
    ThreeAxes {
        legs: Vec<Leg>,
        ends: Vec<Rotation3<f64>>,
        lever: Lever,
    },
}

/// A turn about one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Leg {
    axis_in_frame: Unit<Vec3>,
    turn_rad: f64,
}

/// The axis of a leg that turns nothing is without meaning.
pub(crate) fn leg(from: &Rotation3<f64>, to: &Rotation3<f64>) -> Leg {
    let (axis_in_frame, turn_rad) = (from.inverse() * to)
        .axis_angle()
        .unwrap_or((Vec3::z_axis(), 0.0));
    Leg {
        axis_in_frame,
        turn_rad,
    }
}

impl Carrier {
    pub(crate) fn three_axes(ends: Vec<Rotation3<f64>>, lever: Lever) -> Carrier {
        let legs = ends.windows(2).map(|e| leg(&e[0], &e[1])).collect();
        Carrier::ThreeAxes { legs, ends, lever }
    }

    /// The chair's angles at the start and after each step, or those with the same gravity.
    pub(crate) fn chair_angles(&self) -> Vec<ChairAngles> {
        match self {
            Carrier::Chair { ends, .. } => ends.clone(),
            Carrier::Bed { ends, .. } => {
                let downs: Vec<_> = ends.iter().map(BedPosture::down_in_head).collect();
                route(ChairAngles::default(), &downs)
            }
            Carrier::ThreeAxes { ends, .. } => {
                let downs: Vec<_> = ends.iter().map(|e| e.inverse() * -Vec3::z()).collect();
                route(ChairAngles::default(), &downs)
            }
        }
    }

    /// The largest turn of one axis in each step, rad.
    pub(crate) fn turns_rad(&self) -> Vec<f64> {
        match self {
            Carrier::Chair { ends, .. } => ends
                .windows(2)
                .map(|e| {
                    let yaw = (e[1].yaw_rad - e[0].yaw_rad).abs();
                    let track = (e[1].track_rad - e[0].track_rad).abs();
                    let nod = (e[1].headrest_flexion_rad - e[0].headrest_flexion_rad).abs();
                    yaw.max(track).max(nod)
                })
                .collect(),
            Carrier::Bed { ends, .. } => ends.windows(2).map(|e| e[0].turn_to(&e[1])).collect(),
            Carrier::ThreeAxes { legs, .. } => legs.iter().map(|l| l.turn_rad).collect(),
        }
    }

    /// The pose at rest at the start (0) or at the end of a step (counted from 1).
    pub(crate) fn rest(&self, end: usize, angles: ChairAngles) -> HeadPose {
        let still = match self {
            Carrier::Chair { lever, .. } => {
                let [yaw, track] = [angles.yaw_rad, angles.track_rad].map(Jet::at_rest);
                return Seat::new(angles.headrest_flexion_rad, *lever).pose(0.0, yaw, track);
            }
            Carrier::Bed { ends, .. } => ends[end].room_from_head(),
            Carrier::ThreeAxes { ends, .. } => ends[end],
        };
        HeadPose::carried(0.0, angles, Carried::still(still))
    }

    /// The pose in a step, `share` of the way done; `near` are the chair's angles at the step's start.
    pub(crate) fn pose(
        &self,
        step: usize,
        time_s: f64,
        share: Jet,
        swing: Swinging,
        near: ChairAngles,
    ) -> HeadPose {
        match self {
            Carrier::Chair { ends, lever } => {
                let [from, to] = [step, step + 1].map(|i| ends[i.min(ends.len() - 1)]);
                let on_way = |from: f64, to: f64| Jet::at_rest(from).plus(share.times(to - from));
                let yaw = on_way(from.yaw_rad, to.yaw_rad).plus(swing.yaw);
                let track = on_way(from.track_rad, to.track_rad).plus(swing.track);
                let nod =
                    on_way(from.headrest_flexion_rad, to.headrest_flexion_rad).plus(swing.nod);
                if nod == Jet::at_rest(nod.value) && swing.shift.is_none() {
                    return Seat::new(nod.value, *lever).pose(time_s, yaw, track);
                }
                let head = Carried::still(Rotation3::identity())
                    .turned(Vec3::x_axis(), track)
                    .turned(Vec3::z_axis(), yaw)
                    .set_off(above(*lever))
                    .turned(Vec3::y_axis(), nod);
                let angles = ChairAngles {
                    yaw_rad: yaw.value,
                    track_rad: track.value,
                    headrest_flexion_rad: nod.value,
                };
                HeadPose::carried(time_s, angles, shaken(head, swing))
            }
            Carrier::Bed { ends, lengths } => {
                let [from, to] = [step, step + 1].map(|i| &ends[i.min(ends.len() - 1)]);
                elsewhere(time_s, near, on_the_way(from, to, share, swing, *lengths))
            }
            Carrier::ThreeAxes { legs, ends, lever } => {
                let mut frame = Carried::still(ends[step.min(ends.len() - 1)]);
                if let Some(leg) = legs.get(step) {
                    frame = frame.turned(leg.axis_in_frame, share.times(leg.turn_rad));
                }
                let head = frame
                    .turned(Vec3::z_axis(), swing.yaw)
                    .set_off(above(*lever))
                    .turned(Vec3::y_axis(), swing.nod);
                elsewhere(time_s, near, shaken(head, swing))
            }
        }
    }
}

fn above(lever: Lever) -> Vec3 {
    Vec3::new(0.0, 0.0, lever.head_above_track_axis_mm)
}

fn shaken(head: Carried, swing: Swinging) -> Carried {
    match swing.shift {
        Some((along, way)) => head.slid(along, way),
        None => head,
    }
}

/// The pose of a body that is no two-axis chair: the angles are those of a chair with the same gravity.
fn elsewhere(time_s: f64, near: ChairAngles, head: Carried) -> HeadPose {
    let down = head.room_from_frame.inverse() * -Vec3::z();
    HeadPose::carried(time_s, nearest_equivalent(near, down), head)
}
