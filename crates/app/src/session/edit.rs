//! Edits of a scenario: what can be changed, and how each changes it.

use lithodrome_debris::Engine;
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{
    Body, CupulaEntry, DebrisEntry, EyesEntry, Limits, NeckLimits, Scenario, StartAngles,
    StepEntry, Whose,
};

/// Time of a new step's move and hold, s: common practice for a wait without nystagmus.
const NEW_STEP_S: [f64; 2] = [3.0, 30.0];

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// What people call the scenario.
    Title(String),
    /// Another step in place of one.
    SetStep(usize, StepEntry),
    /// A new step after one: a wait where the chair is.
    InsertStep(usize),
    /// The same step again.
    DuplicateStep(usize),
    /// One step less.
    DeleteStep(usize),
    /// A step earlier (−1) or later (1).
    MoveStep(usize, isize),
    /// The whole scenario for the other ear.
    Mirror,
    /// The manoeuvre of another scenario: body, start angles and steps; the case stays.
    Manoeuvre(Box<Scenario>),
    /// The chair at the start.
    Start(StartAngles),
    /// Another group of debris in place of one.
    SetDebris(usize, DebrisEntry),
    /// One more group.
    AddDebris(DebrisEntry),
    /// One group less.
    RemoveDebris(usize),
    /// Name or path of the anatomy.
    Anatomy(String),
    /// What the patient or the chair allows.
    Limits(Whose, Limits),
    /// How the eyes are watched.
    Eyes(EyesEntry),
    /// Slow-phase velocity from which nystagmus is seen, deg/s; the usual one if left out.
    VisibleSpv(Option<f64>),
    /// Which engine computes.
    Engine(Engine),
    /// Seed of what is drawn by chance.
    Seed(Option<u64>),
    /// How far the neck goes at the bedside; nothing changes in a chair.
    Neck(NeckLimits),
    /// How much denser than endolymph a cupula is, kg/m³.
    Cupula(CanalId, Option<f64>),
    /// Free text.
    Notes(String),
}

impl Edit {
    /// The scenario after the edit, and the step that should be chosen then.
    pub fn on(&self, scenario: &Scenario, chosen: usize) -> (Scenario, usize) {
        let mut next = scenario.clone();
        let steps = &mut next.steps;
        let chosen = match self {
            Edit::SetStep(i, step) => {
                if let Some(old) = steps.get_mut(*i) {
                    old.clone_from(step);
                }
                chosen
            }
            Edit::InsertStep(after) => {
                let at = (after + 1).min(steps.len());
                steps.insert(at, wait());
                at
            }
            Edit::DuplicateStep(i) => match steps.get(*i).cloned() {
                Some(step) => {
                    steps.insert(i + 1, step);
                    i + 1
                }
                None => chosen,
            },
            Edit::DeleteStep(i) => {
                if *i < steps.len() && steps.len() > 1 {
                    steps.remove(*i);
                }
                (*i).min(steps.len() - 1)
            }
            Edit::MoveStep(i, by) => move_step(&mut next, *i, *by),
            Edit::Mirror => {
                next = next.mirrored();
                chosen
            }
            Edit::Manoeuvre(from) => {
                next.body = from.body;
                next.chair = from.chair;
                next.steps.clone_from(&from.steps);
                0
            }
            _ => {
                self.on_case(&mut next);
                chosen
            }
        };
        if !matches!(self, Edit::Mirror) && !moves_alike(scenario, &next) {
            // What moves by other steps is not what was recorded.
            next.recorded.clear();
        }
        (next, chosen)
    }

    fn on_case(&self, next: &mut Scenario) {
        match self {
            Edit::Title(title) => next.title.clone_from(title),
            Edit::Start(start) => next.chair = *start,
            Edit::SetDebris(i, entry) => {
                if let Some(old) = next.debris.get_mut(*i) {
                    old.clone_from(entry);
                }
            }
            Edit::AddDebris(entry) => next.debris.push(entry.clone()),
            Edit::RemoveDebris(i) if *i < next.debris.len() => {
                next.debris.remove(*i);
            }
            Edit::Anatomy(name) => next.anatomy.clone_from(name),
            Edit::Limits(whose, limits) => {
                let limits = given(*limits);
                match whose {
                    Whose::Patient => next.limits = limits,
                    Whose::Chair => next.chair_limits = limits,
                }
            }
            Edit::Eyes(eyes) => next.eyes = given(*eyes),
            Edit::VisibleSpv(from_deg_s) => next.visible_spv_deg_s = *from_deg_s,
            Edit::Engine(engine) => next.engine = given(*engine),
            Edit::Seed(seed) => next.seed = *seed,
            Edit::Neck(limits) => {
                if let Some(Body::Bedside { neck }) = &mut next.body {
                    *neck = *limits;
                }
            }
            Edit::Cupula(id, excess) => set_cupula(&mut next.cupulae, *id, *excess),
            Edit::Notes(notes) => next.notes = given(notes.trim().to_owned()),
            _ => {}
        }
    }
}

/// The others keep their places, so that errors still name the same ones.
fn set_cupula(cupulae: &mut Vec<CupulaEntry>, id: CanalId, excess_kg_m3: Option<f64>) {
    let is_it = |c: &CupulaEntry| (c.ear, c.canal) == (id.ear, id.canal);
    match (excess_kg_m3, cupulae.iter_mut().find(|c| is_it(c))) {
        (Some(excess), Some(cupula)) => cupula.excess_kg_m3 = excess,
        (Some(excess_kg_m3), None) => cupulae.push(CupulaEntry {
            ear: id.ear,
            canal: id.canal,
            excess_kg_m3,
        }),
        (None, _) => cupulae.retain(|c| !is_it(c)),
    }
}

/// What is as usual is left out of the file.
fn given<T: Default + PartialEq>(value: T) -> Option<T> {
    (value != T::default()).then_some(value)
}

fn wait() -> StepEntry {
    let [move_s, hold_s] = NEW_STEP_S;
    StepEntry {
        name: "Wait".to_owned(),
        move_s,
        hold_s,
        ..StepEntry::default()
    }
}

/// Where the step is afterwards. In a chair the steps keep the angles that they ended at, also where an
/// axis stayed.
fn move_step(scenario: &mut Scenario, i: usize, by: isize) -> usize {
    let Some(to) = i
        .checked_add_signed(by)
        .filter(|&to| to < scenario.steps.len())
    else {
        return i;
    };
    if matches!(scenario.body, Some(Body::Bedside { .. })) {
        scenario.steps.swap(i, to);
        return to;
    }
    let angles = scenario.angles_deg();
    for k in [i, to, i.max(to) + 1] {
        if let Some(step) = scenario
            .steps
            .get_mut(k)
            .filter(|s| s.down_in_head.is_none())
        {
            step.yaw_deg = Some(angles[k][0]);
            step.track_deg = Some(angles[k][1]);
        }
    }
    scenario.steps.swap(i, to);
    to
}

/// Both move the chair alike, whatever their steps are called.
fn moves_alike(a: &Scenario, b: &Scenario) -> bool {
    let moves = |s: &Scenario| {
        let mut steps = s.steps.clone();
        for step in &mut steps {
            step.name.clear();
        }
        (steps, s.chair, s.body)
    };
    moves(a) == moves(b)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use lithodrome_labyrinth::{Canal, Ear};
    use lithodrome_rehearsal::At;

    fn step(name: &str, yaw_deg: Option<f64>, track_deg: Option<f64>) -> StepEntry {
        StepEntry {
            name: name.to_owned(),
            yaw_deg,
            track_deg,
            move_s: 3.0,
            hold_s: 10.0,
            ..StepEntry::default()
        }
    }

    fn entry(ear: Ear) -> DebrisEntry {
        DebrisEntry::new(ear, Canal::Posterior, At::AmpullaryArm, 3, 50.0)
    }

    fn three() -> Scenario {
        Scenario {
            format: 1,
            title: "Right posterior canal".to_owned(),
            about: None,
            anatomy: "mean-adult".to_owned(),
            debris: vec![entry(Ear::Right)],
            chair: StartAngles::default(),
            steps: vec![
                step("Turn", Some(45.0), None),
                step("Lie back to the right", None, Some(120.0)),
                step("On", Some(135.0), None),
            ],
            cupulae: Vec::new(),
            body: None,
            recorded: Vec::new(),
            limits: None,
            chair_limits: None,
            eyes: None,
            seed: None,
            engine: None,
            sat_s: None,
            visible_spv_deg_s: None,
            notes: None,
        }
    }

    fn names(scenario: &Scenario) -> Vec<&str> {
        scenario.steps.iter().map(|s| s.name.as_str()).collect()
    }

    #[test]
    fn steps_are_put_in_doubled_and_taken_out() {
        let (with, chosen) = Edit::InsertStep(0).on(&three(), 0);
        assert_eq!(
            names(&with),
            ["Turn", "Wait", "Lie back to the right", "On"]
        );
        assert_eq!(chosen, 1);
        let angles = with.angles_deg();
        let turned = (angles[1][0] - 45.0).abs() + angles[1][1].abs();
        assert!(turned < 1e-12, "the chair stays: {angles:?}");
        let (twice, chosen) = Edit::DuplicateStep(2).on(&three(), 2);
        assert_eq!(names(&twice)[2..], ["On", "On"]);
        assert_eq!(chosen, 3);
        let (without, chosen) = Edit::DeleteStep(2).on(&three(), 2);
        assert_eq!(names(&without), ["Turn", "Lie back to the right"]);
        assert_eq!(chosen, 1);
    }

    #[test]
    fn the_last_step_stays() {
        let mut one = three();
        one.steps.truncate(1);
        assert_eq!(Edit::DeleteStep(0).on(&one, 0).0, one);
    }

    #[test]
    fn a_moved_step_takes_its_angles_along() {
        let (moved, chosen) = Edit::MoveStep(1, -1).on(&three(), 1);
        assert_eq!(names(&moved), ["Lie back to the right", "Turn", "On"]);
        assert_eq!(chosen, 0);
        // By hand: each step still ends where it ended.
        assert_eq!(
            moved.angles_deg(),
            [[45.0, 120.0], [45.0, 0.0], [135.0, 120.0]]
        );
        assert_eq!(
            Edit::MoveStep(0, -1).on(&three(), 0).0,
            three(),
            "at the top"
        );
        assert_eq!(
            Edit::MoveStep(2, 1).on(&three(), 2).0,
            three(),
            "at the foot"
        );
    }

    #[test]
    fn the_mirror_image_negates_both_axes_and_changes_ears() {
        let (mirrored, _) = Edit::Mirror.on(&three(), 0);
        // Opposite angles at every step: the definition of the mirror image of a chair motion.
        assert_eq!(
            mirrored.angles_deg(),
            [[-45.0, 0.0], [-45.0, -120.0], [-135.0, -120.0]]
        );
        assert_eq!(mirrored.debris[0].ear, Ear::Left);
        assert_eq!(mirrored.title, "Left posterior canal");
        assert_eq!(mirrored.steps[1].name, "Lie back to the left");
        assert!(mirrored.chair.yaw_deg.is_sign_positive(), "no negative 0");
        assert_eq!(
            Edit::Mirror.on(&mirrored, 0).0,
            three(),
            "twice is not at all"
        );
    }

    #[test]
    fn the_mirror_image_vibrates_behind_the_other_ear() {
        // Both were written by hand, as the same treatment of either ear.
        let read = |text| lithodrome_rehearsal::scenario_from_ron(text, Path::new("")).unwrap();
        let right = read(include_str!(
            "../../../../scenarios/library/right-lateral-cupula-repositioning.ron"
        ));
        let left = read(include_str!(
            "../../../../scenarios/library/left-lateral-cupula-repositioning.ron"
        ));
        let mirrored = Edit::Mirror.on(&right, 0).0;
        assert_eq!(mirrored.steps, left.steps);
        assert_eq!(mirrored.debris, left.debris);
    }

    #[test]
    fn a_manoeuvre_leaves_the_case_alone() {
        let start = StartAngles {
            yaw_deg: 10.0,
            ..StartAngles::default()
        };
        let other = vec![step("Roll", Some(90.0), None)];
        let mut from = three();
        from.debris.clear();
        (from.chair, from.steps) = (start, other.clone());
        let (next, chosen) = Edit::Manoeuvre(Box::new(from)).on(&three(), 2);
        assert_eq!((next.steps, next.chair, chosen), (other, start, 0));
        assert_eq!(
            (next.debris, next.title),
            (three().debris, "Right posterior canal".into())
        );
    }

    #[test]
    fn no_limit_at_all_is_left_out_of_the_file() {
        let limits = Limits {
            head_down_deg: Some(20.0),
            ..Limits::default()
        };
        let (with, _) = Edit::Limits(Whose::Patient, limits).on(&three(), 0);
        assert_eq!(with.limits, Some(limits));
        let none = Edit::Limits(Whose::Patient, Limits::default());
        assert_eq!(none.on(&with, 0).0.limits, None);
    }

    #[test]
    fn a_cupula_is_set_changed_and_as_usual_again() {
        let id = CanalId {
            ear: Ear::Left,
            canal: Canal::Lateral,
        };
        let light = Edit::Cupula(id, Some(-1.0)).on(&three(), 0).0;
        let heavy = Edit::Cupula(id, Some(2.0)).on(&light, 0).0;
        assert_eq!(heavy.cupulae.len(), 1);
        assert!((heavy.cupulae[0].excess_kg_m3 - 2.0).abs() < 1e-12);
        assert_eq!(Edit::Cupula(id, None).on(&heavy, 0).0, three());
    }

    #[test]
    fn the_neck_is_limited_at_the_bedside_only() {
        let stiff = NeckLimits {
            rotation_deg: 30.0,
            ..NeckLimits::default()
        };
        assert_eq!(Edit::Neck(stiff).on(&three(), 0).0, three());
        let mut bedside = three();
        bedside.body = Some(Body::Bedside {
            neck: NeckLimits::default(),
        });
        let next = Edit::Neck(stiff).on(&bedside, 0).0;
        assert_eq!(next.body, Some(Body::Bedside { neck: stiff }));
    }

    #[test]
    fn what_is_as_usual_is_left_out_of_the_file() {
        let eyes = EyesEntry {
            gaze_up_deg: 10.0,
            ..EyesEntry::default()
        };
        let mut next = three();
        for edit in [
            Edit::Eyes(eyes),
            Edit::Engine(Engine::Rigid),
            Edit::VisibleSpv(Some(5.0)),
            Edit::Notes(" Rests a minute. ".to_owned()),
        ] {
            next = edit.on(&next, 0).0;
        }
        assert_eq!(next.eyes, Some(eyes));
        assert_eq!(next.engine, Some(Engine::Rigid));
        assert_eq!(next.visible_spv_deg_s, Some(5.0));
        assert_eq!(next.notes.as_deref(), Some("Rests a minute."));
        for edit in [
            Edit::Eyes(EyesEntry::default()),
            Edit::Engine(Engine::Settling),
            Edit::VisibleSpv(None),
            Edit::Notes(" ".to_owned()),
        ] {
            next = edit.on(&next, 0).0;
        }
        assert_eq!(next, three());
    }
}
