//! A recorded drive: a smooth curve through samples of the two angles.

use crate::pose::Jet;
use crate::{ChairAngles, MotionError, Step};

/// The chair's angles at one time of a recorded drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AngleSample {
    /// When, s.
    pub time_s: f64,
    /// Yaw, accumulated past ±π.
    pub yaw_rad: f64,
    /// Track, accumulated past ±π.
    pub track_rad: f64,
}

/// Largest turn between two samples that still counts as resting, rad/s: 1 deg/s, above the sway of a
/// chair held by hand (assumed).
const REST_RAD_S: f64 = std::f64::consts::PI / 180.0;
/// Shortest rest that ends a step, s (assumed: shorter ones are pauses within a turn).
const REST_S: f64 = 2.0;

/// A curve through samples that is continuous up to its second derivative.
///
/// # Equation
/// Quintic Hermite pieces. Rate and acceleration at a sample are those of the parabola through it and
/// its two neighbours; at the first and the last sample both are 0, so that the drive begins and ends
/// at rest. The curve is local: between samples that do not change it stands exactly still.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Recording {
    knots: Vec<Knot>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    time_s: f64,
    yaw: Jet,
    track: Jet,
}

impl Recording {
    pub(crate) fn new(samples: &[AngleSample]) -> Result<Recording, MotionError> {
        check(samples)?;
        let start_s = samples[0].time_s;
        let knots = (0..samples.len())
            .map(|i| Knot {
                time_s: samples[i].time_s - start_s,
                yaw: jet_at(samples, i, |s| s.yaw_rad),
                track: jet_at(samples, i, |s| s.track_rad),
            })
            .collect();
        Ok(Recording { knots })
    }

    pub(crate) fn duration_s(&self) -> f64 {
        self.knots.last().map_or(0.0, |k| k.time_s)
    }

    /// Yaw and track at a time; at rest before the first and after the last sample.
    pub(crate) fn at(&self, time_s: f64) -> (Jet, Jet) {
        let after = self.knots.partition_point(|k| k.time_s <= time_s);
        let Some(left) = after.checked_sub(1) else {
            return (self.knots[0].yaw, self.knots[0].track);
        };
        let Some(b) = self.knots.get(after) else {
            return (self.knots[left].yaw, self.knots[left].track);
        };
        let a = self.knots[left];
        let (length_s, since_s) = (b.time_s - a.time_s, time_s - a.time_s);
        (
            quintic(a.yaw, b.yaw, length_s, since_s),
            quintic(a.track, b.track, length_s, since_s),
        )
    }

    /// The recording as steps: each ends with a rest of 2 s or more, the last with the recording.
    pub(crate) fn steps(&self, headrest_flexion_rad: f64) -> Vec<Step> {
        let mut steps: Vec<Step> = Vec::new();
        let mut from_s = 0.0;
        let mut push = |hold_from: &Knot, end_s: f64| {
            steps.push(Step {
                name: format!("Recorded move {}", steps.len() + 1),
                to: ChairAngles {
                    yaw_rad: hold_from.yaw.value,
                    track_rad: hold_from.track.value,
                    headrest_flexion_rad,
                },
                move_s: hold_from.time_s - from_s,
                hold_s: end_s - hold_from.time_s,
            });
            from_s = end_s;
        };
        let last = self.knots.len() - 1;
        let mut i = 0;
        while i <= last {
            let mut j = i;
            while j < last && rests(&self.knots[j], &self.knots[j + 1]) {
                j += 1;
            }
            let long = self.knots[j].time_s - self.knots[i].time_s >= REST_S;
            if long || j == last {
                push(&self.knots[i], self.knots[j].time_s);
            }
            i = j + 1;
        }
        steps
    }
}

fn check(samples: &[AngleSample]) -> Result<(), MotionError> {
    if samples.len() < 2 {
        return Err(MotionError::TooFewSamples {
            found: samples.len(),
        });
    }
    for (i, s) in samples.iter().enumerate() {
        for (what, found) in [
            ("time", s.time_s),
            ("yaw", s.yaw_rad),
            ("track", s.track_rad),
        ] {
            if !found.is_finite() {
                let place = format!("recorded sample {}: {what}", i + 1);
                return Err(MotionError::NotFinite { place, found });
            }
        }
    }
    for (i, pair) in samples.windows(2).enumerate() {
        let (before_s, found_s) = (pair[0].time_s, pair[1].time_s);
        if found_s <= before_s {
            return Err(MotionError::SampleOrder {
                sample: i + 2,
                found_s,
                before_s,
            });
        }
    }
    Ok(())
}

fn jet_at(samples: &[AngleSample], i: usize, angle: impl Fn(&AngleSample) -> f64) -> Jet {
    let here = &samples[i];
    if i == 0 || i + 1 == samples.len() {
        return Jet::at_rest(angle(here));
    }
    let (before, after) = (&samples[i - 1], &samples[i + 1]);
    let (h0, h1) = (here.time_s - before.time_s, after.time_s - here.time_s);
    let (slope0, slope1) = (
        (angle(here) - angle(before)) / h0,
        (angle(after) - angle(here)) / h1,
    );
    Jet {
        value: angle(here),
        rate: (slope0 * h1 + slope1 * h0) / (h0 + h1),
        acceleration: 2.0 * (slope1 - slope0) / (h0 + h1),
    }
}

fn rests(a: &Knot, b: &Knot) -> bool {
    let allowed = REST_RAD_S * (b.time_s - a.time_s);
    (b.yaw.value - a.yaw.value).abs() <= allowed && (b.track.value - a.track.value).abs() <= allowed
}

/// The polynomial of degree five that meets value, rate and acceleration at both ends.
fn quintic(a: Jet, b: Jet, length_s: f64, since_s: f64) -> Jet {
    let (h, u) = (length_s, since_s / length_s);
    let (v0, v1) = (a.rate * h, b.rate * h);
    let (w0, w1) = (a.acceleration * h * h, b.acceleration * h * h);
    // What is left at the end after the start's parabola.
    let d = b.value - a.value - v0 - 0.5 * w0;
    let e = v1 - v0 - w0;
    let f = w1 - w0;
    let c3 = 10.0 * d - 4.0 * e + 0.5 * f;
    let c4 = -15.0 * d + 7.0 * e - f;
    let c5 = 6.0 * d - 3.0 * e + 0.5 * f;
    Jet {
        value: a.value + u * (v0 + u * (0.5 * w0 + u * (c3 + u * (c4 + u * c5)))),
        rate: (v0 + u * (w0 + u * (3.0 * c3 + u * (4.0 * c4 + u * 5.0 * c5)))) / h,
        acceleration: (w0 + u * (6.0 * c3 + u * (12.0 * c4 + u * 20.0 * c5))) / (h * h),
    }
}
