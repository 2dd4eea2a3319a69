//! The cursor in time: playing, scrubbing, speed.

/// Speeds offered, times real time.
pub const SPEEDS: [f64; 7] = [0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0];

/// Where the cursor is and whether it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Playback {
    /// The cursor, s from the start of the run.
    pub time_s: f64,
    /// Length of the run, s.
    pub duration_s: f64,
    /// The cursor runs.
    pub playing: bool,
    /// Times real time.
    pub speed: f64,
}

impl Default for Playback {
    fn default() -> Self {
        Self {
            time_s: 0.0,
            duration_s: 0.0,
            playing: false,
            speed: 4.0,
        }
    }
}

impl Playback {
    /// Another run is shown: from its start, at rest.
    pub fn restart(&mut self, duration_s: f64) {
        *self = Self {
            time_s: 0.0,
            duration_s,
            playing: false,
            speed: self.speed,
        };
    }

    /// Starts or stops; at the end it starts over.
    pub fn toggle(&mut self) {
        if !self.playing && self.time_s >= self.duration_s {
            self.time_s = 0.0;
        }
        self.playing = !self.playing && self.duration_s > 0.0;
    }

    /// Puts the cursor at a time, within the run.
    pub fn seek(&mut self, time_s: f64) {
        self.time_s = time_s.clamp(0.0, self.duration_s);
    }

    /// Lets real time pass; stops at the end.
    pub fn advance(&mut self, real_s: f64) {
        if self.playing {
            self.seek(self.time_s + real_s * self.speed);
            self.playing = self.time_s < self.duration_s;
        }
    }

    /// The next speed up (`by` 1) or down (−1).
    pub fn change_speed(&mut self, by: isize) {
        let here = SPEEDS
            .iter()
            .position(|&s| s >= self.speed)
            .unwrap_or(SPEEDS.len() - 1);
        self.speed = SPEEDS[here.saturating_add_signed(by).min(SPEEDS.len() - 1)];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ten_seconds() -> Playback {
        Playback {
            duration_s: 10.0,
            speed: 2.0,
            ..Playback::default()
        }
    }

    #[test]
    fn plays_at_its_speed_and_stops_at_the_end() {
        let mut playback = ten_seconds();
        playback.toggle();
        playback.advance(1.5);
        assert!((playback.time_s - 3.0).abs() < 1e-12);
        playback.advance(60.0);
        assert!(!playback.playing);
        assert!((playback.time_s - 10.0).abs() < 1e-12);
        playback.toggle();
        assert!(
            playback.playing && playback.time_s.abs() < 1e-12,
            "starts over"
        );
    }

    #[test]
    fn at_rest_no_time_passes() {
        let mut playback = ten_seconds();
        playback.advance(5.0);
        assert!(playback.time_s.abs() < 1e-12);
    }

    #[test]
    fn nothing_to_play_does_not_play() {
        let mut playback = Playback::default();
        playback.toggle();
        assert!(!playback.playing);
    }

    #[test]
    fn speed_stays_in_the_list() {
        let mut playback = ten_seconds();
        for _ in 0..20 {
            playback.change_speed(1);
        }
        assert!((playback.speed - 16.0).abs() < 1e-12);
        for _ in 0..20 {
            playback.change_speed(-1);
        }
        assert!((playback.speed - 0.25).abs() < 1e-12);
    }
}
