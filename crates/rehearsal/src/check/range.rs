//! One number and its range.

use crate::error::FieldError;

/// The most bodies of debris in all.
pub(crate) const MAX_BODIES: u64 = 200;
/// The longest run, s.
pub(crate) const MAX_DURATION_S: f64 = 24.0 * 3600.0;
/// The longest a patient has sat before a run, s.
pub(crate) const MAX_SAT_S: f64 = 3600.0;
/// The shortest time that is one, s: engines divide by it.
pub(crate) const MIN_DURATION_S: f64 = 1e-6;
/// A hundred turns.
pub(crate) const MAX_ANGLE_DEG: f64 = 36_000.0;

pub(crate) fn angle(field: &str, found_deg: f64, most_deg: f64) -> Result<(), FieldError> {
    within(field, found_deg, -most_deg, most_deg, "deg")
}

/// The time of a move or a hold: none, or long enough to be one.
pub(crate) fn duration(field: &str, found_s: f64) -> Result<(), FieldError> {
    within(field, found_s, 0.0, MAX_DURATION_S, "s")?;
    if found_s > 0.0 && found_s < MIN_DURATION_S {
        let allowed = format!("0, or {MIN_DURATION_S} to {MAX_DURATION_S} s");
        return Err(FieldError::new(field, &found_s, allowed));
    }
    Ok(())
}

/// NaN and infinity are outside every range.
pub(crate) fn within(
    field: &str,
    found: f64,
    least: f64,
    most: f64,
    unit: &str,
) -> Result<(), FieldError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    let allowed = format!("{least} to {most} {unit}");
    Err(FieldError::new(field, &found, allowed))
}
