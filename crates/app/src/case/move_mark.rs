//! Marks of how a step moves: its speed over time, drawn small.

use egui::{Color32, Painter, Pos2, Shape, Stroke, vec2};
use lithodrome_rehearsal::{MoveEntry, StepEntry};

/// What moves a step, without its numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mover {
    /// A hand.
    Hand,
    /// A motor.
    Motor,
    /// A throw.
    Throw,
    /// An axis that is shaken.
    Shaking,
    /// A vibrator.
    Vibration,
}

impl Mover {
    /// What moves this step.
    pub fn of(step: &StepEntry) -> Self {
        match step.movement {
            None | Some(MoveEntry::Hand { .. }) => Mover::Hand,
            Some(MoveEntry::Motor { .. }) => Mover::Motor,
            Some(MoveEntry::Throw { .. }) => Mover::Throw,
            Some(MoveEntry::Shaking { .. }) => Mover::Shaking,
            Some(MoveEntry::Vibration { .. }) => Mover::Vibration,
        }
    }

    /// Speed at a share of the time, 1 at most.
    fn speed(self, u: f32) -> f32 {
        let wave = |times: f32| (std::f32::consts::TAU * times * u).sin();
        match self {
            // Minimum jerk: 30 u²(1 − u)², 1.875 at its height.
            Mover::Hand => 16.0 * u * u * (1.0 - u) * (1.0 - u),
            Mover::Motor => (u.min(1.0 - u) / 0.25).min(1.0),
            Mover::Throw => (u / 0.85).min((1.0 - u) / 0.15),
            Mover::Shaking => wave(2.0),
            Mover::Vibration => wave(5.0),
        }
    }
}

/// Draws the mark 16 points wide, 10 high.
pub fn paint(painter: &Painter, centre: Pos2, mover: Mover, ink: Color32) {
    const SAMPLES: u8 = 60;
    let swings = matches!(mover, Mover::Shaking | Mover::Vibration);
    let (foot, height) = if swings { (0.0, 5.0) } else { (4.5, 9.0) };
    let points = (0..=SAMPLES).map(|k| {
        let u = f32::from(k) / f32::from(SAMPLES);
        centre + vec2(16.0 * (u - 0.5), foot - height * mover.speed(u))
    });
    let line = Stroke::new(1.4, ink);
    painter.add(Shape::line(points.collect(), line));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_begin_and_end_at_rest_and_stay_in_their_height() {
        for mover in [
            Mover::Hand,
            Mover::Motor,
            Mover::Throw,
            Mover::Shaking,
            Mover::Vibration,
        ] {
            assert!(mover.speed(0.0).abs() < 1e-6 && mover.speed(1.0).abs() < 1e-5);
            let most = (0..=600)
                .map(|k| mover.speed(f32::from(k as u16) / 600.0).abs())
                .fold(0.0, f32::max);
            assert!((most - 1.0).abs() < 0.01, "{mover:?}: {most}");
        }
    }
}
