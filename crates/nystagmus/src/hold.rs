//! The samples of one hold: when its nystagmus begins, peaks, ends and how it falls.

use lithodrome_labyrinth::Vec3;

use crate::EyeTrace;

/// The samples of one hold.
pub(crate) struct Hold<'a> {
    pub(crate) time_s: &'a [f64],
    /// Of debris.
    pub(crate) slow_phase_rad_s: &'a [Vec3],
    /// Of all, rad/s.
    all_slow_phase: &'a [Vec3],
}

/// A nystagmus grows if it takes at least this long from the first sight to the peak, s (assumed).
const GROWS_S: f64 = 1.0;

/// Sample times within this of the ends of a hold belong to it, s.
const SAME_TIME_S: f64 = 1e-9;

impl<'a> Hold<'a> {
    pub(crate) fn new(eyes: &'a EyeTrace, from_s: f64, to_s: f64) -> Hold<'a> {
        let end = eyes.time_s.partition_point(|&t| t <= to_s + SAME_TIME_S);
        let start = eyes
            .time_s
            .partition_point(|&t| t < from_s - SAME_TIME_S)
            .min(end);
        Hold {
            time_s: &eyes.time_s[start..end],
            slow_phase_rad_s: &eyes.debris_slow_phase_rad_s[start..end],
            all_slow_phase: &eyes.slow_phase_rad_s[start..end],
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.time_s.len()
    }

    pub(crate) fn peak_index(&self) -> Option<usize> {
        let speeds = self.slow_phase_rad_s.iter().map(Vec3::norm_squared);
        let mut best = None;
        for (i, speed) in speeds.enumerate() {
            if best.is_none_or(|(_, most)| speed > most) {
                best = Some((i, speed));
            }
        }
        best.map(|(i, _)| i)
    }

    /// Speed of a sample, negative where it runs against the peak.
    pub(crate) fn speed(&self, i: usize, peak: usize) -> f64 {
        let v = self.slow_phase_rad_s[i];
        if v.dot(&self.slow_phase_rad_s[peak]) < 0.0 {
            -v.norm()
        } else {
            v.norm()
        }
    }

    /// When the speed passes `level` between two neighbouring samples.
    fn crossing_s(&self, i: usize, peak: usize, level: f64) -> f64 {
        let (a, b) = (self.speed(i, peak), self.speed(i + 1, peak));
        let share = ((level - a) / (b - a)).clamp(0.0, 1.0);
        self.time_s[i] + share * (self.time_s[i + 1] - self.time_s[i])
    }

    pub(crate) fn seen_from_s(&self, peak: usize, visible: f64) -> f64 {
        let first = (0..=peak)
            .find(|&i| self.speed(i, peak) >= visible)
            .unwrap_or(peak);
        if first == 0 {
            self.time_s[0]
        } else {
            self.crossing_s(first - 1, peak, visible)
        }
    }

    /// Whether it is first seen well before and well below its peak.
    pub(crate) fn grows(&self, peak: usize, seen_from_s: f64, visible: f64) -> bool {
        let top = self.speed(peak, peak);
        let at_first = if seen_from_s > self.time_s[0] {
            visible
        } else {
            self.speed(0, peak)
        };
        self.time_s[peak] - seen_from_s >= GROWS_S && at_first <= 0.5 * top
    }

    /// Highest speed of what is not of debris.
    pub(crate) fn turning_peak_rad_s(&self) -> f64 {
        let parts = self.all_slow_phase.iter().zip(self.slow_phase_rad_s);
        parts
            .map(|(all, debris)| (all - debris).norm())
            .fold(0.0, f64::max)
    }

    /// When it is seen last, and whether that is the end of the hold.
    pub(crate) fn seen_to_s(&self, peak: usize, visible: f64) -> (f64, bool) {
        let n = self.len();
        let last = (peak..n)
            .rev()
            .find(|&i| self.speed(i, peak) >= visible)
            .unwrap_or(peak);
        if last + 1 == n {
            (self.time_s[last], true)
        } else {
            (self.crossing_s(last, peak, visible), false)
        }
    }

    /// Straight line through the logarithms of the speeds on the first fall from 0.9 of the peak (past
    /// the crest) to a tenth of it or the visible speed.
    pub(crate) fn decay_tau_s(&self, peak: usize, visible: f64) -> Option<f64> {
        let top = self.speed(peak, peak);
        let floor = visible.max(0.1 * top);
        let fall: Vec<(f64, f64)> = (peak..self.len())
            .map(|i| (self.time_s[i] - self.time_s[peak], self.speed(i, peak)))
            .take_while(|&(_, speed)| speed >= floor)
            .filter(|&(_, speed)| speed <= 0.9 * top)
            .map(|(t, speed)| (t, speed.ln()))
            .collect();
        let lowest = fall.last()?.1;
        if fall.len() < 3 || lowest > (0.5 * top).ln() {
            return None;
        }
        let n = fall.len() as f64;
        let mean_t = fall.iter().map(|p| p.0).sum::<f64>() / n;
        let mean_y = fall.iter().map(|p| p.1).sum::<f64>() / n;
        let tt: f64 = fall.iter().map(|p| (p.0 - mean_t).powi(2)).sum();
        let ty: f64 = fall.iter().map(|p| (p.0 - mean_t) * (p.1 - mean_y)).sum();
        (ty < 0.0).then_some(-tt / ty)
    }
}
