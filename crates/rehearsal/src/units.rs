//! From the units inside (rad, rad/s, mm) to those that people read, and the angles back.

use lithodrome_chair::ChairAngles;

/// Degrees of an angle in radians; also deg/s of rad/s and deg/s² of rad/s².
pub fn deg(rad: f64) -> f64 {
    rad.to_degrees()
}

/// Micrometres of a length in mm.
pub fn um(mm: f64) -> f64 {
    mm * 1000.0
}

/// Radians of an angle in degrees; also rad/s of deg/s.
pub(crate) fn rad(deg: f64) -> f64 {
    deg.to_radians()
}

/// The pose of angles in degrees.
pub(crate) fn chair_angles(yaw_deg: f64, track_deg: f64, headrest_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: rad(yaw_deg),
        track_rad: rad(track_deg),
        headrest_flexion_rad: rad(headrest_deg),
    }
}

/// Rounded to nine decimals, without a negative zero: hides the last bits of a conversion, nothing else.
pub fn tidy(value: f64) -> f64 {
    let rounded = (value * 1e9).round() / 1e9;
    if rounded.is_finite() {
        rounded + 0.0
    } else {
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tidy_hides_rounding_and_negative_zero() {
        let cases = [(119.99999999999999, 120.0), (-1e-17, 0.0), (1e300, 1e300)];
        for (noisy, clean) in cases {
            assert_eq!(tidy(noisy).to_bits(), f64::to_bits(clean));
        }
    }
}
