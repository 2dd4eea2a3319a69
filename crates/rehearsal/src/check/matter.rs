//! Ranges of what a debris entry says of its bodies, and of the cupulae.

use super::range::within;
use crate::error::FieldError;
use crate::scenario::{CupulaEntry, DebrisEntry, ShapeEntry};

/// Ranges; `field` makes the path of a field of the entry. Bounds are there to stop slips of the pen.
pub(crate) fn check_matter(
    entry: &DebrisEntry,
    field: &dyn Fn(&str) -> String,
) -> Result<(), FieldError> {
    let ranged = |name: &str, value: f64, least: f64, most: f64, unit: &str| {
        within(&field(name), value, least, most, unit)
    };
    if let Some(ShapeEntry::Rod { aspect } | ShapeEntry::Disc { aspect }) = entry.shape {
        ranged("shape.aspect", aspect, 1.0, 4.0, "times")?;
    }
    if let Some(resistance) = entry.rolling_resistance {
        ranged("rolling_resistance", resistance, 0.0, 0.35, "times")?;
    }
    if let Some(gap) = entry.rolling_gap {
        ranged("rolling_gap", gap, 0.001, 0.2, "radii")?;
    }
    if let Some(a) = entry.adhesion {
        ranged("adhesion.wall_g", a.wall_g, 0.0, 100.0, "g")?;
        ranged("adhesion.neighbour_g", a.neighbour_g, 0.0, 100.0, "g")?;
        ranged("adhesion.growth_s", a.growth_s, 0.0, 1e6, "s")?;
        if let Some(wear_s) = a.wear_s {
            ranged("adhesion.wear_s", wear_s, 1.0, 1e6, "s")?;
        }
    }
    if let Some(hold) = entry.attachment_g {
        ranged("attachment_g", hold, 0.0, 100.0, "g")?;
    }
    if let Some(d) = entry.dispersal {
        ranged("dispersal.pieces", d.pieces, 1.0, 1e6, "pieces")?;
        ranged("dispersal.over_mm", d.over_mm, 0.01, 100.0, "mm")?;
        ranged("dispersal.gather_s", d.gather_s, 1.0, 1e6, "s")?;
    }
    if let Some(v) = entry.vestibule_hold {
        ranged("vestibule_hold.hold_g", v.hold_g, 0.0, 100.0, "g")?;
        ranged("vestibule_hold.sets_s", v.sets_s, 1.0, 1e6, "s")?;
    }
    Ok(())
}

/// Ranges of the cupulae's densities.
pub(crate) fn check_cupulae(cupulae: &[CupulaEntry]) -> Result<(), FieldError> {
    for (i, cupula) in cupulae.iter().enumerate() {
        let field = format!("cupulae[{}].excess_kg_m3", i + 1);
        within(&field, cupula.excess_kg_m3, -20.0, 20.0, "kg/m³")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use crate::check;
    use crate::scenario::{Scenario, scenario_from_ron};

    fn scenario(more: &str, cupulae: &str) -> Scenario {
        let text = format!(
            "(format: 1, title: \"T\", {cupulae} debris: [(ear: Right, canal: Posterior, \
             at: AmpullaryArm, count: 2, diameter_um: 50.0, {more})], \
             steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    #[test]
    fn bad_values_are_told_with_their_field() {
        for (more, cupulae, start) in [
            (
                "shape: Disc(aspect: 0.5)",
                "",
                "debris[1].shape.aspect: found 0.5",
            ),
            (
                "adhesion: (wall_g: -1.0)",
                "",
                "debris[1].adhesion.wall_g: found -1",
            ),
            (
                "adhesion: (wear_s: 0.0)",
                "",
                "debris[1].adhesion.wear_s: found 0",
            ),
            ("attachment_g: -1.0", "", "debris[1].attachment_g: found -1"),
            (
                "rolling_resistance: 0.4",
                "",
                "debris[1].rolling_resistance: found 0.4",
            ),
            ("rolling_gap: 0.0", "", "debris[1].rolling_gap: found 0"),
            (
                "vestibule_hold: (sets_s: 0.0)",
                "",
                "debris[1].vestibule_hold.sets_s: found 0",
            ),
            (
                "dispersal: (pieces: 0.0)",
                "",
                "debris[1].dispersal.pieces: found 0",
            ),
            (
                "",
                "cupulae: [(ear: Left, canal: Lateral, excess_kg_m3: 100.0)],",
                "cupulae[1].excess_kg_m3: found 100",
            ),
        ] {
            let error = check(&scenario(more, cupulae)).unwrap_err();
            assert!(error.to_string().contains(start), "{error}");
        }
    }
}
