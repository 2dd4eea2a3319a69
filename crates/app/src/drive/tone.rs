//! What is heard while driving, as samples: beats that tell how far the chair is from the plan, and a double
//! tone at "go on". A pure function of what is told; no sound device.

use std::f32::consts::TAU;

/// Pitch of the beats, Hz (assumed: low and soft, apart from alarms of a treatment room).
const BEAT_HZ: f32 = 330.0;
/// Beats per second at the tolerance and at [`FAR_RAD`].
const BEATS: [f32; 2] = [1.0, 6.0];
/// Loudness of the beats there, of 1.
const LOUD: [f32; 2] = [0.04, 0.16];
/// Farther off it beats no faster, rad (90°).
const FAR_RAD: f32 = 1.571;
/// Share of its time that a beat sounds.
const SHARE: f32 = 0.4;
/// Pitches of the double tone, Hz.
const CHIME_HZ: [f32; 2] = [660.0, 880.0];
/// Length of each of its tones and of the rest between them, s.
const CHIME_S: [f32; 2] = [0.12, 0.06];
/// Loudness of the double tone, of 1.
const CHIME_LOUD: f32 = 0.2;
/// Loudness goes so much of the way to where it should be in 1 s; slow enough not to click.
const SMOOTH_PER_S: f32 = 250.0;

/// What is to be heard now.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Heard {
    /// How far the chair is from the plan beyond the tolerance that counts as there, rad; silence if it is there
    /// or there is no plan.
    pub beyond_rad: Option<f32>,
    /// How many times it has been "go on" so far; each rings the double tone once.
    pub go_ons: u32,
}

/// Makes the samples, one after the other.
#[derive(Clone, Debug)]
pub struct Voice {
    rate_hz: f32,
    /// Shares of a turn.
    pitch: f32,
    beat: f32,
    loud: f32,
    chime_pitch: f32,
    /// Time since the double tone began, s.
    chimed_s: f32,
    chime_loud: f32,
    go_ons: u32,
}

impl Voice {
    /// Starts in silence, with so many samples per second.
    pub fn new(rate_hz: u32, heard: Heard) -> Self {
        Self {
            rate_hz: rate_hz as f32,
            pitch: 0.0,
            beat: 0.0,
            loud: 0.0,
            chime_pitch: 0.0,
            chimed_s: f32::INFINITY,
            chime_loud: 0.0,
            go_ons: heard.go_ons,
        }
    }

    /// The next sample, −1 to 1.
    pub fn sample(&mut self, heard: Heard) -> f32 {
        let dt_s = 1.0 / self.rate_hz;
        if heard.go_ons != self.go_ons {
            (self.go_ons, self.chimed_s) = (heard.go_ons, 0.0);
        }
        let smooth = |now: f32, to: f32| now + (to - now) * (SMOOTH_PER_S * dt_s).min(1.0);
        let (beats, loud) = beats(heard.beyond_rad);
        // Each stretch of silence is followed by a whole beat.
        self.beat = if loud > 0.0 {
            (self.beat + beats * dt_s).fract()
        } else {
            0.0
        };
        let sounds = loud > 0.0 && self.beat < SHARE;
        self.loud = smooth(self.loud, if sounds { loud } else { 0.0 });
        self.pitch = (self.pitch + BEAT_HZ * dt_s).fract();
        let chime_hz = chime_at(self.chimed_s);
        self.chimed_s += dt_s;
        self.chime_loud = smooth(self.chime_loud, chime_hz.map_or(0.0, |_| CHIME_LOUD));
        self.chime_pitch = (self.chime_pitch + chime_hz.unwrap_or(CHIME_HZ[1]) * dt_s).fract();
        self.loud * (TAU * self.pitch).sin() + self.chime_loud * (TAU * self.chime_pitch).sin()
    }
}

/// Beats per second and their loudness.
fn beats(beyond_rad: Option<f32>) -> (f32, f32) {
    let Some(beyond_rad) = beyond_rad.filter(|b| *b > 0.0) else {
        return (0.0, 0.0);
    };
    let share = (beyond_rad / FAR_RAD).min(1.0);
    let between = |[near, far]: [f32; 2]| near + (far - near) * share;
    (between(BEATS), between(LOUD))
}

/// Pitch of the double tone so long after it began, Hz.
fn chime_at(since_s: f32) -> Option<f32> {
    let [tone_s, rest_s] = CHIME_S;
    if since_s < tone_s {
        Some(CHIME_HZ[0])
    } else if (tone_s + rest_s..2.0 * tone_s + rest_s).contains(&since_s) {
        Some(CHIME_HZ[1])
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: u32 = 8000;

    fn samples(voice: &mut Voice, heard: Heard, seconds: f32) -> Vec<f32> {
        let count = (seconds * RATE as f32) as usize;
        (0..count).map(|_| voice.sample(heard)).collect()
    }

    fn off(beyond_deg: f32) -> Heard {
        Heard {
            beyond_rad: (beyond_deg > 0.0).then(|| beyond_deg.to_radians()),
            go_ons: 0,
        }
    }

    fn loudest(samples: &[f32]) -> f32 {
        samples.iter().fold(0.0, |most, s| most.max(s.abs()))
    }

    /// How often sound begins after at least 30 ms of near silence.
    fn beginnings(samples: &[f32]) -> usize {
        let (mut quiet, mut count) = (RATE as usize, 0);
        for s in samples {
            if s.abs() > 0.005 {
                count += usize::from(quiet > RATE as usize * 3 / 100);
                quiet = 0;
            } else {
                quiet += 1;
            }
        }
        count
    }

    #[test]
    fn beats_come_slower_and_softer_as_the_error_falls() {
        let heard = |deg| samples(&mut Voice::new(RATE, off(deg)), off(deg), 9.9);
        let [far, near] = [90.0, 9.0].map(heard);
        // 6 beats a second at 90°, 1 + 5 · 0.1 at 9°: in 9.9 s the 60th and the 15th have begun.
        assert_eq!([beginnings(&far), beginnings(&near)], [60, 15]);
        assert!(loudest(&far) > 2.0 * loudest(&near));
        assert!(loudest(&near) > 0.04 && loudest(&far) < 0.17);
        // Twice as far off is no louder.
        assert!((loudest(&heard(180.0)) - loudest(&far)).abs() < 1e-3);
    }

    #[test]
    fn within_the_tolerance_it_is_silent() {
        let mut voice = Voice::new(RATE, off(40.0));
        assert!(loudest(&samples(&mut voice, off(40.0), 1.0)) > 0.05);
        samples(&mut voice, off(0.0), 0.1);
        assert!(loudest(&samples(&mut voice, off(0.0), 5.0)) < 1e-4);
        assert!(loudest(&samples(&mut Voice::new(RATE, off(0.0)), off(0.0), 1.0)) < 1e-9);
    }

    #[test]
    fn go_on_rings_two_tones_once() {
        let mut voice = Voice::new(RATE, off(0.0));
        let again = Heard {
            go_ons: 1,
            ..off(0.0)
        };
        let rung = samples(&mut voice, again, 2.0);
        assert_eq!(beginnings(&rung), 2);
        // Both tones and the rest between them: 0.30 s, and a few ms to fade.
        let until = rung.iter().rposition(|s| s.abs() > 0.005).unwrap();
        assert!((0.29..0.35).contains(&(until as f32 / RATE as f32)));
        // Zero crossings upward in the middle of each tone: 660 and 880 Hz over 0.08 s.
        let ups = |from_s: f32| {
            let from = (from_s * RATE as f32) as usize;
            let part = &rung[from..from + RATE as usize * 8 / 100];
            part.windows(2)
                .filter(|w| w[0] < 0.0 && w[1] >= 0.0)
                .count() as f32
                / 0.08
        };
        assert!((ups(0.02) - 660.0).abs() < 15.0 && (ups(0.20) - 880.0).abs() < 15.0);
        assert!(
            loudest(&samples(&mut voice, again, 2.0)) < 1e-4,
            "only once"
        );
    }

    #[test]
    fn it_never_clicks() {
        let mut voice = Voice::new(RATE, off(90.0));
        let all = samples(&mut voice, off(90.0), 3.0);
        // The steepest that a sine of 330 Hz and 0.16 is: 2π · 330 · 0.16 / 8000 = 0.041; fading adds little.
        let steepest = all
            .windows(2)
            .fold(0.0f32, |most, w| most.max((w[1] - w[0]).abs()));
        assert!(steepest < 0.05, "{steepest}");
    }
}
