//! The motions of all tests and manoeuvres: worked out once, the same in every member.

use std::collections::BTreeMap;
use std::sync::Arc;

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::{Anatomy, Labyrinth};
use lithodrome_rehearsal::{Scenario, StepEntry, library_entry};

use crate::StudyError;
use crate::members::motion_of;
use crate::population::{CaseMixture, OperatorNoise, UnitPoint};

/// How long a patient has sat before a test, s.
const SAT_S: f64 = 120.0;

/// How long a patient has sat before a manoeuvre, s.
const SAT_BEFORE_TREATMENT_S: f64 = 60.0;

/// How long every step of a test is watched, s.
const WATCHED_S: f64 = 60.0;

/// How long a patient sits after a manoeuvre before it is judged, s.
const SITS_AFTER_S: f64 = 60.0;

/// How long is waited after a throw, s.
pub(crate) const THROW_WAIT_S: f64 = 240.0;

/// The step of a throw.
pub(crate) const THROW_STEP: usize = 2;

/// Names of motions that are made here from others.
pub(crate) mod made {
    pub(crate) const EPLEY_15: &str = "epley 15 s";
    pub(crate) const EPLEY_60: &str = "epley 60 s";
    pub(crate) const EPLEY_120: &str = "epley 120 s";
    pub(crate) const CONTROL_AT_ONCE: &str = "control at once";
    pub(crate) const CONTROL_LATER: &str = "control after 15 min";
    pub(crate) const THREE_TESTS: &str = "three tests";
    pub(crate) const BATTERY_BEGUN: &str = "battery begun";
}

/// The manoeuvres that textbooks have, and how their outcomes are called.
pub(crate) const TEXTBOOK: [(&str, &str); 14] = [
    ("right-posterior-epley-bedside", "epley_bedside_out"),
    ("right-posterior-epley-whole-body", "epley_chair_out"),
    ("right-posterior-semont", "semont_out"),
    ("right-posterior-semont-60-beyond", "semont_60_beyond_out"),
    ("right-posterior-semont-whole-body", "semont_chair_out"),
    ("right-posterior-half-somersault", "half_somersault_out"),
    ("right-posterior-backward-turn", "backward_turn_out"),
    (
        "right-posterior-backward-turn-in-steps",
        "backward_turn_in_steps_out",
    ),
    ("right-anterior-head-hanging", "head_hanging_out"),
    (
        "right-anterior-short-repositioning",
        "short_repositioning_out",
    ),
    ("right-anterior-forward-turn-in-steps", "forward_turn_out"),
    ("right-lateral-roll-360", "roll_360_out"),
    ("right-lateral-roll-in-steps", "roll_in_steps_out"),
    ("right-lateral-gufoni-geotropic", "gufoni_out"),
];

/// Tests of the library that positional findings are seen in.
const TESTS: [&str; 10] = [
    "right-dix-hallpike",
    "left-dix-hallpike",
    "straight-head-hanging",
    "right-side-lying",
    "bow-and-lean",
    "right-supine-roll",
    "left-supine-roll",
    "lying-down",
    "head-pitch",
    "upright-at-rest",
];

/// All motions. Their first step is the sitting before.
#[derive(Clone, Debug)]
pub struct Courses {
    /// Tests, exactly as written.
    tests: BTreeMap<&'static str, Arc<HeadMotion>>,
    /// Throws as in glass models, by turn of the head, angle past the horizontal and speed.
    throws: BTreeMap<Throw, Arc<HeadMotion>>,
    /// Manoeuvres as an operator does them, `[ear]`.
    treatments: Vec<BTreeMap<&'static str, Arc<HeadMotion>>>,
}

/// A throw from the affected side to the other one, as in a Semont.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Throw {
    /// Turn of the head away from the affected ear, tenths of a degree.
    pub(crate) turn_tenths: i32,
    /// How far past the horizontal on both sides, degrees.
    pub(crate) beyond_deg: i32,
    /// Mean speed of the swing.
    pub(crate) speed_deg_s: i32,
}

impl Throw {
    /// With the head turned by 45° at the middle of the published speeds.
    pub(crate) const fn beyond(beyond_deg: i32) -> Throw {
        Throw {
            turn_tenths: 450,
            beyond_deg,
            speed_deg_s: 135,
        }
    }

    /// 20° past the horizontal with the head turned otherwise.
    pub(crate) const fn turned(turn_tenths: i32) -> Throw {
        Throw {
            turn_tenths,
            ..Throw::beyond(20)
        }
    }

    fn steps(self) -> Vec<StepEntry> {
        let turn_deg = f64::from(self.turn_tenths) / 10.0;
        let side_deg = 90.0 + f64::from(self.beyond_deg);
        let step = |name: &str, track_deg: f64, move_s: f64, hold_s: f64| StepEntry {
            name: name.to_owned(),
            yaw_deg: Some(turn_deg),
            track_deg: Some(track_deg),
            move_s,
            hold_s,
            ..StepEntry::default()
        };
        vec![
            step("Sit", 0.0, 3.0, SAT_BEFORE_TREATMENT_S),
            step("Side", side_deg, 1.5, 60.0),
            step(
                "Throw",
                -side_deg,
                2.0 * side_deg / f64::from(self.speed_deg_s),
                THROW_WAIT_S,
            ),
            step("Sit up", 0.0, 3.0, SITS_AFTER_S),
        ]
    }
}

/// Turns of the head that are tried, tenths of a degree.
pub(crate) fn turns_tenths() -> impl Iterator<Item = i32> {
    (0..=12).map(|k| 75 * k)
}

/// All throws that are asked for.
fn throws() -> Vec<Throw> {
    let at_speed = |speed_deg_s| Throw {
        speed_deg_s,
        ..Throw::beyond(20)
    };
    let mut all = [0, 20, 30].map(Throw::beyond).to_vec();
    all.extend([90, 180].map(at_speed));
    all.extend(turns_tenths().map(Throw::turned));
    all
}

impl Courses {
    /// The motions for so many ears; `seed` draws what the operators do wrong.
    pub fn new(ears: u32, seed: u32) -> Result<Courses, StudyError> {
        let mean = Anatomy::named("mean-adult")
            .ok_or_else(|| StudyError::field("anatomy", &"none", &"mean-adult"))??;
        let any = Arc::new(Labyrinth::build(&mean)?);
        let noise = CaseMixture::usual()?.operator;
        let mut tests = BTreeMap::new();
        for name in TESTS {
            tests.insert(name, motion_of(&test(&scenario(name)?), &any)?);
        }
        let three = three_tests(&scenario("right-dix-hallpike")?);
        tests.insert(made::THREE_TESTS, motion_of(&three, &any)?);
        let begun = battery_begun(&scenario("right-first-battery")?);
        tests.insert(made::BATTERY_BEGUN, motion_of(&begun, &any)?);
        let mut thrown = BTreeMap::new();
        for throw in throws() {
            let mut scenario = scenario("right-posterior-semont")?;
            scenario.steps = throw.steps();
            thrown.insert(throw, motion_of(&scenario, &any)?);
        }
        let written = treatments()?;
        let mut treatments = Vec::new();
        for index in 0..ears {
            let point = UnitPoint { index, seed };
            let mut all = BTreeMap::new();
            for (name, scenario) in &written {
                all.insert(*name, motion_of(&done(scenario, &noise, point), &any)?);
            }
            treatments.push(all);
        }
        Ok(Courses {
            tests,
            throws: thrown,
            treatments,
        })
    }

    /// A test's motion.
    pub fn test(&self, name: &str) -> Option<&HeadMotion> {
        self.tests.get(name).map(AsRef::as_ref)
    }

    /// A manoeuvre's motion as it is done to the ear of an index.
    pub fn treatment(&self, name: &str, ear: u32) -> Option<&HeadMotion> {
        let all = self.treatments.get(ear as usize)?;
        all.get(name).map(AsRef::as_ref)
    }

    pub(crate) fn throw(&self, throw: Throw) -> Option<&HeadMotion> {
        self.throws.get(&throw).map(AsRef::as_ref)
    }

    /// Ears that there are motions for.
    pub fn ears(&self) -> u32 {
        self.treatments.len() as u32
    }
}

fn scenario(name: &str) -> Result<Scenario, StudyError> {
    let entry = library_entry(name)
        .ok_or_else(|| StudyError::field("library", &name, &"the name of a library entry"))??;
    Ok(entry.scenario)
}

/// A step of sitting upright, without a move.
fn sat(hold_s: f64) -> StepEntry {
    StepEntry {
        name: "Sat".to_owned(),
        hold_s,
        ..StepEntry::default()
    }
}

/// A test of a patient who has sat, with its steps watched for a minute at least.
fn test(written: &Scenario) -> Scenario {
    let mut test = written.clone();
    for step in &mut test.steps {
        step.hold_s = step.hold_s.max(WATCHED_S);
    }
    test.steps.insert(0, sat(SAT_S));
    test
}

/// Two Dix-Hallpikes, 30 min upright, a third.
fn three_tests(dix_hallpike: &Scenario) -> Scenario {
    let mut three = test(dix_hallpike);
    let again = three.steps[2].clone();
    if let Some(last) = three.steps.last_mut() {
        last.hold_s = 1800.0;
    }
    three.steps.push(again);
    three
}

/// The first Dix-Hallpike of the shipped battery and the same again.
fn battery_begun(battery: &Scenario) -> Scenario {
    let mut begun = battery.clone();
    begun.steps.truncate(4);
    begun.steps.insert(0, sat(SAT_S));
    begun
}

fn treatments() -> Result<Vec<(&'static str, Scenario)>, StudyError> {
    let mut all = TEXTBOOK
        .iter()
        .map(|(name, _)| Ok((*name, scenario(name)?)))
        .collect::<Result<Vec<_>, StudyError>>()?;
    let epley = scenario("right-posterior-epley-bedside")?;
    for (name, hold_s) in [
        (made::EPLEY_15, 15.0),
        (made::EPLEY_60, 60.0),
        (made::EPLEY_120, 120.0),
    ] {
        let mut held = epley.clone();
        for step in &mut held.steps[1..] {
            step.hold_s = hold_s;
        }
        all.push((name, held));
    }
    let control = scenario("right-dix-hallpike")?;
    for (name, upright_s) in [(made::CONTROL_AT_ONCE, 10.0), (made::CONTROL_LATER, 900.0)] {
        let mut both = epley.clone();
        both.steps.push(StepEntry {
            name: "Wait".to_owned(),
            yaw_deg: Some(control.chair.yaw_deg),
            track_deg: Some(0.0),
            move_s: 5.0,
            hold_s: upright_s,
            ..StepEntry::default()
        });
        both.steps.push(control.steps[1].clone());
        all.push((name, both));
    }
    Ok(all)
}

/// As an operator does it to a patient who has sat and, if it ends upright, sits on.
fn done(written: &Scenario, noise: &OperatorNoise, point: UnitPoint) -> Scenario {
    let mut done = noise.done(written, point);
    let ends_upright = written
        .angles_deg()
        .last()
        .is_some_and(|angles| angles[1].rem_euclid(360.0).abs() < 1e-9);
    if ends_upright && let Some(last) = done.steps.last_mut() {
        last.hold_s = last.hold_s.max(SITS_AFTER_S);
    }
    done.steps.insert(0, sat(SAT_BEFORE_TREATMENT_S));
    done
}
