//! What a debris entry may say of its bodies besides number and size, in people's units.

use lithodrome_debris::{
    Adhesion, CLUMP_DENSITY_MG_MM3, Dispersal, GEL_DENSITY_MG_MM3, Matter, OTOCONIA_DENSITY_MG_MM3,
    Shape,
};
use lithodrome_labyrinth::{Canal, Ear};
use serde::{Deserialize, Serialize};

use crate::check::within;
use crate::{DebrisEntry, FieldError};

/// What the bodies are; it decides the density if that is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Kind {
    /// Single otoconia of calcite, 2.7 g/cm³.
    Crystal,
    /// Otoconia with fluid between them, 2.1 g/cm³.
    Clump,
    /// Gel of the otolithic membrane with otoconia in it, 1.5 g/cm³.
    Gel,
}

impl Kind {
    /// Its density, g/cm³.
    pub(crate) const fn density_g_cm3(self) -> f64 {
        match self {
            Kind::Crystal => OTOCONIA_DENSITY_MG_MM3,
            Kind::Clump => CLUMP_DENSITY_MG_MM3,
            Kind::Gel => GEL_DENSITY_MG_MM3,
        }
    }
}

/// Shape of a body; its diameter is that of the ball of the same volume.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum ShapeEntry {
    /// A ball.
    Ball,
    /// A rod with round ends.
    Rod {
        /// Length over width.
        aspect: f64,
    },
    /// A round plate.
    Disc {
        /// Width over thickness.
        aspect: f64,
    },
}

/// What holds a resting body, in multiples of its own weight; 0 if left out.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AdhesionEntry {
    /// Hold of the wall after a long rest.
    pub wall_g: f64,
    /// Further hold on a body that touches another.
    pub neighbour_g: f64,
    /// Time in which the hold grows back at rest, s; 0 is at once.
    pub growth_s: f64,
    /// Time in which a load of its weight wears off a hold of the same size, s; left out does not wear.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wear_s: Option<f64>,
}

/// How a clump falls apart while it moves and gathers at rest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct DispersalEntry {
    /// How many pieces it falls into; 27 if left out.
    pub pieces: f64,
    /// Way on which most of it falls apart, mm; 2 if left out.
    pub over_mm: f64,
    /// Time in which most of it gathers again, s; 600 if left out.
    pub gather_s: f64,
}

impl Default for DispersalEntry {
    fn default() -> DispersalEntry {
        let Dispersal {
            pieces,
            over_mm,
            gather_s,
        } = Dispersal::default();
        DispersalEntry {
            pieces,
            over_mm,
            gather_s,
        }
    }
}

/// A cupula that is lighter or heavier than endolymph.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CupulaEntry {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Density less that of endolymph, kg/m³; below 0 is a light cupula.
    pub excess_kg_m3: f64,
}

/// The properties of an entry's bodies, for the engines.
pub(crate) fn matter_of(entry: &DebrisEntry) -> Matter {
    Matter {
        shape: match entry.shape {
            None | Some(ShapeEntry::Ball) => Shape::Ball,
            Some(ShapeEntry::Rod { aspect }) => Shape::Rod { aspect },
            Some(ShapeEntry::Disc { aspect }) => Shape::Disc { aspect },
        },
        adhesion: entry.adhesion.map_or_else(Adhesion::default, |a| Adhesion {
            wall_g: a.wall_g,
            neighbour_g: a.neighbour_g,
            growth_s: a.growth_s,
            wear_s: a.wear_s,
        }),
        attachment_g: entry.attachment_g,
        dispersal: entry.dispersal.map(|d| Dispersal {
            pieces: d.pieces,
            over_mm: d.over_mm,
            gather_s: d.gather_s,
        }),
    }
}

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

    use lithodrome_labyrinth::CanalId;

    use crate::scenario_file::{scenario_from_ron, scenario_to_ron};
    use crate::{FieldError, Scenario, compile};

    fn scenario(more: &str, cupulae: &str) -> Scenario {
        let text = format!(
            "(format: 1, title: \"T\", {cupulae} debris: [(ear: Right, canal: Posterior, \
             at: AmpullaryArm, count: 2, diameter_um: 50.0, {more})], \
             steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    const ALL: &str = "kind: Gel, shape: Rod(aspect: 2.0), adhesion: (wall_g: 0.5, growth_s: 60.0), \
                       attachment_g: 1.5, dispersal: (pieces: 8.0)";
    const LIGHT: &str = "cupulae: [(ear: Left, canal: Lateral, excess_kg_m3: -1.0)],";

    #[test]
    fn everything_written_reaches_the_model() {
        let scenario = scenario(ALL, LIGHT);
        let again = scenario_to_ron(&scenario).unwrap();
        assert_eq!(
            scenario_from_ron(&again, Path::new("t.ron")).unwrap(),
            scenario
        );
        let model = compile(&scenario, Path::new("")).unwrap().model;
        let body = model.bodies[0];
        // A third of calcite: 1.5 less 1.0 g/cm³ of a ball of 50 µm.
        let volume = std::f64::consts::PI / 6.0 * 0.05_f64.powi(3);
        assert!((body.buoyant_mass_mg / (volume * 0.5) - 1.0).abs() < 1e-12);
        let matter = body.matter;
        assert!((matter.adhesion.wall_g - 0.5).abs() < 1e-15);
        assert_eq!(matter.attachment_g, Some(1.5));
        let dispersal = matter.dispersal.unwrap();
        assert!(
            (dispersal.pieces - 8.0).abs() < 1e-15 && (dispersal.gather_s - 600.0).abs() < 1e-9
        );
        // Perrin 1936: a spheroid twice as long as wide has 1.044 times the drag.
        let ball = 6.0 * std::f64::consts::PI * 0.025;
        assert!((body.resistance_mg_s / ball - 1.044).abs() < 1e-3);
        let cupula = CanalId {
            ear: lithodrome_labyrinth::Ear::Left,
            canal: lithodrome_labyrinth::Canal::Lateral,
        };
        let excess = model.physics.cupula_excess_mg_mm3;
        assert!((excess[cupula.index()] + 1e-3).abs() < 1e-15);
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
            let error: FieldError = crate::check::check(&scenario(more, cupulae)).unwrap_err();
            assert!(error.to_string().starts_with(start), "{error}");
        }
    }
}
