//! The properties of an entry's bodies, for the engines.

use lithodrome_debris::{Adhesion, Dispersal, Matter, Rolling, Shape, VestibuleHold};

use lithodrome_labyrinth::WallSurface;

use crate::scenario::{DebrisEntry, ShapeEntry};

/// The properties of an entry's bodies, for the engines; on a wall whose surface is known they roll as that
/// says, unless the entry says otherwise.
pub(crate) fn matter_of(entry: &DebrisEntry, surface: Option<WallSurface>) -> Matter {
    let gap = entry.rolling_gap.or(surface.map(|s| s.rolling_gap));
    let resistance = entry
        .rolling_resistance
        .or(surface.map(|s| s.rolling_resistance));
    Matter {
        shape: match entry.shape {
            None | Some(ShapeEntry::Ball) => Shape::Ball,
            Some(ShapeEntry::Rod { aspect }) => Shape::Rod { aspect },
            Some(ShapeEntry::Disc { aspect }) => Shape::Disc { aspect },
        },
        rolling: gap
            .map_or_else(Rolling::default, Rolling::at_gap)
            .resisting(resistance.unwrap_or(0.0)),
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
        vestibule_hold: entry.vestibule_hold.map(|v| VestibuleHold {
            hold_g: v.hold_g,
            sets_s: v.sets_s,
        }),
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use lithodrome_debris::Rolling;
    use lithodrome_labyrinth::CanalId;

    use crate::compile;
    use crate::scenario::{Scenario, scenario_from_ron, scenario_to_ron};

    fn scenario(more: &str, cupulae: &str) -> Scenario {
        let text = format!(
            "(format: 1, title: \"T\", {cupulae} debris: [(ear: Right, canal: Posterior, \
             at: AmpullaryArm, count: 2, diameter_um: 50.0, {more})], \
             steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    const ALL: &str = "kind: Gel, shape: Rod(aspect: 2.0), adhesion: (wall_g: 0.5, growth_s: 60.0), \
                       attachment_g: 1.5, dispersal: (pieces: 8.0), rolling_resistance: 0.22, \
                       rolling_gap: 0.035, vestibule_hold: (hold_g: 1.5)";
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
        assert_eq!(matter.rolling, Rolling::at_gap(0.035).resisting(0.22));
        let hold = matter.vestibule_hold.unwrap();
        assert!((hold.hold_g - 1.5).abs() < 1e-15 && (hold.sets_s - 600.0).abs() < 1e-9);
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
}
