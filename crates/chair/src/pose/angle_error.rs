//! How far the chair is from where a step is meant to hold it.

use super::chair_angles::{ChairAngles, down_in_head};

/// The way left to a planned position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AngleError {
    /// Between the two directions of gravity in the head, rad: what debris feels of it.
    pub gravity_rad: f64,
    /// Yaw now less yaw planned, rad, the shorter way round.
    pub yaw_rad: f64,
    /// Track now less track planned, rad, the shorter way round.
    pub track_rad: f64,
}

/// From the planned angles to those now.
pub fn angle_error(plan: ChairAngles, now: ChairAngles) -> AngleError {
    let (a, b) = (down_in_head(plan), down_in_head(now));
    AngleError {
        gravity_rad: a.cross(&b).norm().atan2(a.dot(&b)),
        yaw_rad: shorter(now.yaw_rad - plan.yaw_rad),
        track_rad: shorter(now.track_rad - plan.track_rad),
    }
}

/// Whole turns taken off.
fn shorter(angle_rad: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    angle_rad - turn * (angle_rad / turn).round()
}

impl AngleError {
    /// "12° off (yaw −12°, track 0°)"; whole degrees, as no hand does better.
    pub fn words(self) -> String {
        let [gravity, yaw, track] =
            [self.gravity_rad, self.yaw_rad, self.track_rad].map(|a| a.to_degrees().round() + 0.0);
        if gravity < 0.5 && yaw.abs() < 0.5 && track.abs() < 0.5 {
            return "as planned".to_owned();
        }
        let signed = |v: f64| format!("{v:+}°").replace('-', "−").replace("+0°", "0°");
        format!(
            "gravity {gravity}° off (yaw {}, track {})",
            signed(yaw),
            signed(track)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chair(yaw_deg: f64, track_deg: f64) -> ChairAngles {
        let rad = |deg: f64| deg / 180.0 * std::f64::consts::PI;
        ChairAngles {
            yaw_rad: rad(yaw_deg),
            track_rad: rad(track_deg),
            headrest_flexion_rad: 0.0,
        }
    }

    fn words(plan: [f64; 2], now: [f64; 2]) -> String {
        angle_error(chair(plan[0], plan[1]), chair(now[0], now[1])).words()
    }

    #[test]
    fn upright_a_wrong_yaw_does_not_turn_gravity() {
        // The yaw axis is vertical there: turning about it leaves gravity where it is in the head.
        assert_eq!(
            words([45.0, 0.0], [25.0, 0.0]),
            "gravity 0° off (yaw −20°, track 0°)"
        );
    }

    #[test]
    fn with_the_axis_level_it_turns_gravity_by_as_much() {
        // Lying (track 90°) the yaw axis is level, so the angle between the directions is the yaw itself.
        assert_eq!(
            words([45.0, 90.0], [65.0, 90.0]),
            "gravity 20° off (yaw +20°, track 0°)"
        );
    }

    #[test]
    fn a_wrong_track_turns_gravity_by_as_much() {
        assert_eq!(
            words([45.0, 120.0], [45.0, 108.0]),
            "gravity 12° off (yaw 0°, track −12°)"
        );
    }

    #[test]
    fn whole_turns_do_not_count() {
        assert_eq!(words([45.0, 120.0], [405.0, 120.2]), "as planned");
    }
}
