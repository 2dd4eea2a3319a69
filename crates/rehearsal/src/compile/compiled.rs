//! From people's units to the constant model and the head's motion. The only place for the way in.

use std::path::Path;
use std::sync::Arc;

use lithodrome_chair::{HeadMotion, HeadPose};
use lithodrome_debris::{
    DebrisGroup, Engine, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Start, rests_at,
};
use lithodrome_labyrinth::{CanalId, Labyrinth, WallSurface, frame};
use lithodrome_nystagmus::{Judging, Watching};

use super::ears::EarsCache;
use super::matter::matter_of;
use super::motion::motion_of;
use crate::check::check;
use crate::error::{FieldError, RehearsalError};
use crate::scenario::{At, DebrisEntry, Kind, Scenario, Shortfall};
use crate::scenario_file::read_scenario;
use crate::units::{self, rad};

/// A scenario ready to run.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// What was compiled.
    pub scenario: Arc<Scenario>,
    /// Both ears at rest.
    pub labyrinth: Arc<Labyrinth>,
    /// Debris at the start, fluid and forces.
    pub model: Model,
    /// The head's motion.
    pub motion: HeadMotion,
    /// Head directions that the patient's neck does not reach; empty in a chair.
    pub shortfalls: Vec<Shortfall>,
    /// The engine to use.
    pub engine: Engine,
    /// From when nystagmus is seen and named.
    pub judging: Judging,
    /// How long the patient has sat when the run begins, s.
    pub sat_s: f64,
}

/// How long a patient has sat with his debris when a run begins, s (assumed: long enough for it to come to
/// rest and for the cupulae to settle).
const SAT_S: f64 = 120.0;

/// Compiles a scenario in ears that are kept for the next one; relative anatomy paths start from `base_dir`.
/// Window and terminal both come in here.
pub fn compile_with(
    scenario: &Scenario,
    base_dir: &Path,
    ears: &EarsCache,
) -> Result<Compiled, RehearsalError> {
    check(scenario)?;
    build(scenario, ears.labyrinth(&scenario.anatomy, base_dir)?)
}

/// The same in ears that are built anew.
pub fn compile(scenario: &Scenario, base_dir: &Path) -> Result<Compiled, RehearsalError> {
    compile_with(scenario, base_dir, &EarsCache::default())
}

/// Compiles a scenario for a labyrinth that is already built; its `anatomy` is not looked at.
pub fn compile_in(
    scenario: &Scenario,
    labyrinth: Arc<Labyrinth>,
) -> Result<Compiled, RehearsalError> {
    check(scenario)?;
    build(scenario, labyrinth)
}

/// The same for a scenario that has been checked, or one with more steps.
pub(crate) fn build(
    scenario: &Scenario,
    labyrinth: Arc<Labyrinth>,
) -> Result<Compiled, RehearsalError> {
    let mut groups = Vec::with_capacity(scenario.debris.len());
    for (i, entry) in scenario.debris.iter().enumerate() {
        check_fits(i, entry, &labyrinth)?;
        groups.push(group(entry, labyrinth.wall_surface));
    }
    let (motion, shortfalls) = motion_of(scenario)?;
    let start = motion.at(0.0);
    let model = Model::new(Arc::clone(&labyrinth), &groups, physics(scenario), &start)
        .map_err(FieldError::from)?;
    let sat_s = sat_s(scenario, &groups, &labyrinth, &start);
    let model = model.after_sitting(&start, sat_s)?;
    Ok(Compiled {
        sat_s,
        engine: scenario.engine.unwrap_or_default(),
        judging: judging(scenario),
        scenario: Arc::new(scenario.clone()),
        labyrinth,
        model,
        motion,
        shortfalls,
    })
}

/// Reads, checks and compiles a file.
pub fn compile_file(path: &Path) -> Result<Compiled, RehearsalError> {
    let scenario = read_scenario(path)?;
    compile(&scenario, folder_of(path)).map_err(|e| e.in_file(path))
}

/// Where the paths in a file start from.
pub fn folder_of(path: &Path) -> &Path {
    path.parent().unwrap_or(Path::new(""))
}

/// As written, or the usual time; none where it would undo what is posed.
fn sat_s(
    scenario: &Scenario,
    groups: &[DebrisGroup],
    labyrinth: &Labyrinth,
    start: &HeadPose,
) -> f64 {
    let reid_from_head = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse();
    let down = reid_from_head * start.down_in_head;
    let rests = groups
        .iter()
        .all(|g| rests_at(labyrinth.ear(g.ear), g.canal, g.start, down));
    scenario.sat_s.unwrap_or(if rests { SAT_S } else { 0.0 })
}

/// kg/m³ to mg/mm³; the rest as it is by default.
fn physics(scenario: &Scenario) -> Physics {
    let mut physics = Physics::default();
    for cupula in &scenario.cupulae {
        let id = CanalId {
            ear: cupula.ear,
            canal: cupula.canal,
        };
        physics.cupula_excess_mg_mm3[id.index()] = cupula.excess_kg_m3 / 1000.0;
    }
    physics
}

/// From when nystagmus is seen, and how it is watched.
fn judging(scenario: &Scenario) -> Judging {
    let usual = Judging::default();
    let eyes = scenario.eyes.unwrap_or_default();
    Judging {
        visible_rad_s: scenario.visible_spv_deg_s.map_or(usual.visible_rad_s, rad),
        watching: Watching {
            cover: eyes.cover,
            gaze_right_rad: rad(eyes.gaze_right_deg),
            gaze_up_rad: rad(eyes.gaze_up_deg),
        },
        torsion_has_sense: eyes.torsion_has_sense,
        ..usual
    }
}

/// µm to mm; g/cm³ and mg/mm³ are the same number.
fn group(entry: &DebrisEntry, surface: Option<WallSurface>) -> DebrisGroup {
    DebrisGroup {
        ear: entry.ear,
        canal: entry.canal,
        start: match entry.at {
            At::AmpullaryArm => Start::AmpullaryArm,
            At::NonAmpullaryArm => Start::NonAmpullaryArm,
            At::ShortArm => Start::ShortArm,
            At::Utricle => Start::Utricle,
            At::Arc { mm } => Start::Arc { mm },
            At::OnCupula { side } => Start::OnCupula { face: side },
        },
        count: entry.count,
        diameter_mm: entry.diameter_um / 1000.0,
        density_mg_mm3: entry.density_g_cm3.unwrap_or_else(|| {
            entry
                .kind
                .map_or(OTOCONIA_DENSITY_MG_MM3, Kind::density_g_cm3)
        }),
        matter: matter_of(entry, surface),
    }
}

/// No body is wider than the narrowest place of its duct.
fn check_fits(index: usize, entry: &DebrisEntry, labyrinth: &Labyrinth) -> Result<(), FieldError> {
    let id = CanalId {
        ear: entry.ear,
        canal: entry.canal,
    };
    let field = |name: &str| format!("debris[{}].{name}", index + 1);
    let ear = labyrinth.ear(entry.ear);
    let end_mm = ear.canal(entry.canal).landmarks.duct_end_mm;
    let narrowest_mm = ear.tube(entry.canal).narrowest_mm(0.0, end_mm);
    let width_um = units::tidy(units::um(2.0 * narrowest_mm));
    if entry.diameter_um > width_um {
        return Err(FieldError::new(
            field("diameter_um"),
            &entry.diameter_um,
            format!(
                "0.1 to {width_um:.1} µm, the width of the {}",
                duct_name(id)
            ),
        ));
    }
    Ok(())
}

fn duct_name(id: CanalId) -> String {
    format!("{} {} duct", id.ear.name(), id.canal.name())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::scenario_from_ron;

    fn scenario(debris: &str, steps: &str) -> Scenario {
        let text = format!(
            "(format: 1, title: \"T\", debris: [{debris}], chair: (yaw_deg: 10.0), steps: [{steps}])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    const WAIT: &str = "(name: \"Wait\", move_s: 0.0, hold_s: 1.0)";

    #[test]
    fn an_axis_left_out_stays_and_degrees_become_radians() {
        let steps = "(name: \"A\", track_deg: 120.0, move_s: 3.0, hold_s: 5.0), \
                     (name: \"B\", yaw_deg: -90.0, move_s: 2.0, hold_s: 0.0)";
        let compiled = compile(&scenario("", steps), Path::new("")).unwrap();
        let ends: Vec<_> = compiled.motion.steps.iter().map(|s| s.to).collect();
        let third = std::f64::consts::PI * 2.0 / 3.0;
        assert!((ends[0].yaw_rad - std::f64::consts::PI / 18.0).abs() < 1e-15);
        assert!((ends[0].track_rad - third).abs() < 1e-15);
        assert!((ends[1].yaw_rad + std::f64::consts::FRAC_PI_2).abs() < 1e-15);
        assert!((ends[1].track_rad - third).abs() < 1e-15);
        assert!((compiled.motion.duration_s() - 10.0).abs() < 1e-12);
        assert_eq!(compiled.engine, Engine::Settling);
    }

    #[test]
    fn debris_is_in_mm_and_mg() {
        let entry = "(ear: Left, canal: Lateral, at: NonAmpullaryArm, count: 3, diameter_um: 50.0)";
        let group = group(&scenario(entry, WAIT).debris[0], None);
        assert!((group.diameter_mm - 0.05).abs() < 1e-15);
        assert!((group.density_mg_mm3 - 2.7).abs() < 1e-15);
        assert_eq!(group.start, Start::NonAmpullaryArm);
    }

    #[test]
    fn debris_wider_than_the_duct_is_refused() {
        // The ducts of the mean adult are 2 * 0.16 mm wide.
        let entry = |um: f64| {
            format!(
                "(ear: Right, canal: Posterior, at: AmpullaryArm, count: 1, diameter_um: {um:?})"
            )
        };
        let error = compile(&scenario(&entry(321.0), WAIT), Path::new("")).unwrap_err();
        let message = error.to_string();
        assert!(
            message.contains("debris[1].diameter_um: found 321, allowed is 0.1 to 3")
                && message.ends_with(" µm, the width of the right posterior duct"),
            "{message}"
        );
        assert!(compile(&scenario(&entry(50.0), WAIT), Path::new("")).is_ok());
    }

    #[test]
    fn an_arc_beyond_the_course_is_refused() {
        let entry =
            "(ear: Right, canal: Posterior, at: Arc(mm: 40.0), count: 1, diameter_um: 50.0)";
        let message = compile(&scenario(entry, WAIT), Path::new(""))
            .unwrap_err()
            .to_string();
        assert!(message.contains("debris[1].at.mm: found 40"), "{message}");
    }

    #[test]
    fn an_unknown_anatomy_is_told_with_the_known_ones() {
        let mut unknown = scenario("", WAIT);
        unknown.anatomy = "mean-adlut".to_owned();
        let message = compile(&unknown, Path::new("")).unwrap_err().to_string();
        assert!(
            message.starts_with("anatomy: found \"mean-adlut\"") && message.contains("mean-adult"),
            "{message}"
        );
        unknown.anatomy = "ears/none.ron".to_owned();
        let message = compile(&unknown, Path::new("base"))
            .unwrap_err()
            .to_string();
        assert!(message.contains("ears/none.ron"), "{message}");
        unknown.anatomy = "ears/none.csv".to_owned();
        let message = compile(&unknown, Path::new("base"))
            .unwrap_err()
            .to_string();
        assert!(message.contains("ears/none.csv"), "{message}");
    }
}
