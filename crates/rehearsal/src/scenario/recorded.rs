//! A motion as it was recorded, which the steps then only read.

use lithodrome_chair::AngleSample;
use serde::{Deserialize, Serialize};

use crate::units::rad;

/// Where the chair was at one time of a recorded motion.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedEntry {
    /// Time since the start, s.
    pub at_s: f64,
    /// Yaw, degrees, accumulated.
    pub yaw_deg: f64,
    /// Track, degrees, accumulated.
    pub track_deg: f64,
}

impl RecordedEntry {
    /// In the chair's units.
    pub fn sample(&self) -> AngleSample {
        AngleSample {
            time_s: self.at_s,
            yaw_rad: rad(self.yaw_deg),
            track_rad: rad(self.track_deg),
        }
    }
}

/// A recording with as few samples as make the same curve: all where the chair turns, and of a rest its first two
/// and last two, between which the curve stands exactly still. Times to 0.1 ms, angles to 1e-5 degrees.
pub fn recorded_entries(samples: &[AngleSample]) -> Vec<RecordedEntry> {
    let rounded = |value: f64, per: f64| (value * per).round() / per;
    let all: Vec<RecordedEntry> = samples
        .iter()
        .map(|s| RecordedEntry {
            at_s: rounded(s.time_s, 1e4),
            yaw_deg: rounded(s.yaw_rad.to_degrees(), 1e5),
            track_deg: rounded(s.track_rad.to_degrees(), 1e5),
        })
        .collect();
    // Rounded alike, so the very same number.
    let place = |i: usize| {
        let sample = all.get(i)?;
        Some([sample.yaw_deg, sample.track_deg].map(f64::to_bits))
    };
    let same = |i: usize, j: usize| place(i).is_some() && place(i) == place(j);
    let within_rest =
        |i: usize| i >= 2 && same(i - 2, i) && same(i - 1, i) && same(i, i + 1) && same(i, i + 2);
    (0..all.len())
        .filter(|&i| !within_rest(i))
        .map(|i| all[i])
        .collect()
}

#[cfg(test)]
mod tests {
    use lithodrome_chair::{HeadMotion, Lever};

    use super::*;

    /// Rest 5 s, a turn of 90 degrees in 2 s by a cosine, rest 60 s; at 60 Hz.
    fn samples() -> Vec<AngleSample> {
        (0..=(67 * 60))
            .map(|i| f64::from(i) / 60.0)
            .map(|time_s| {
                let share = ((time_s - 5.0) / 2.0).clamp(0.0, 1.0);
                let turned = 0.5 - 0.5 * (std::f64::consts::PI * share).cos();
                AngleSample {
                    time_s,
                    yaw_rad: rad(90.0) * turned,
                    track_rad: rad(-198.0) * turned,
                }
            })
            .collect()
    }

    #[test]
    fn rests_are_left_out_and_the_curve_stays_the_same() {
        let samples = samples();
        let entries = recorded_entries(&samples);
        // Two seconds at 60 Hz, and two samples to either side of each of the two rests.
        assert!((120..=132).contains(&entries.len()), "{}", entries.len());
        let kept: Vec<_> = entries.iter().map(RecordedEntry::sample).collect();
        let whole = HeadMotion::from_samples(&samples, 0.1, Lever::default()).unwrap();
        let thin = HeadMotion::from_samples(&kept, 0.1, Lever::default()).unwrap();
        for i in 0..=670 {
            let (a, b) = (
                whole.angles_at(f64::from(i) * 0.1),
                thin.angles_at(f64::from(i) * 0.1),
            );
            assert!((a.track_rad - b.track_rad).abs() < rad(1e-3));
            assert!((a.yaw_rad - b.yaw_rad).abs() < rad(1e-3));
        }
    }
}
