//! Edits of a scenario: what can be changed, each list matched whole where it acts.

mod case;
mod setting;
mod steps;

use lithodrome_rehearsal::Scenario;

pub use case::CaseEdit;
pub use setting::SettingEdit;
pub use steps::StepsEdit;

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Of the steps.
    Steps(StepsEdit),
    /// Of the ear and its debris.
    Case(CaseEdit),
    /// Of what stands beside them.
    Setting(SettingEdit),
    /// The whole scenario for the other ear.
    Mirror,
    /// The manoeuvre of another scenario: body, start angles and steps; the case stays.
    Manoeuvre(Box<Scenario>),
}

impl Edit {
    /// The scenario after the edit, and the step that should be chosen then.
    pub fn on(&self, scenario: &Scenario, chosen: usize) -> (Scenario, usize) {
        let mut next = scenario.clone();
        let chosen = match self {
            Edit::Steps(edit) => edit.on(&mut next, chosen),
            Edit::Case(edit) => {
                edit.on(&mut next);
                chosen
            }
            Edit::Setting(edit) => {
                edit.on(&mut next);
                chosen
            }
            Edit::Mirror => {
                // What was recorded is mirrored with it.
                return (next.mirrored(), chosen);
            }
            Edit::Manoeuvre(from) => {
                next.body = from.body;
                next.chair = from.chair;
                next.steps.clone_from(&from.steps);
                // What it is for, its source and its cautions come with the steps.
                next.about.clone_from(&from.about);
                0
            }
        };
        if !moves_alike(scenario, &next) {
            // What moves by other steps is not what was recorded.
            next.recorded.clear();
        }
        (next, chosen)
    }
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
    use lithodrome_debris::Engine;
    use lithodrome_labyrinth::{Canal, CanalId, Ear};
    use lithodrome_rehearsal::{
        At, Carrier, DebrisEntry, EyesEntry, Limits, NeckLimits, StartAngles, StepEntry, Whose,
    };

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
            anatomy: "typical-adult".to_owned(),
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
        let (with, chosen) = Edit::Steps(StepsEdit::Insert(0)).on(&three(), 0);
        assert_eq!(
            names(&with),
            ["Turn", "Wait", "Lie back to the right", "On"]
        );
        assert_eq!(chosen, 1);
        let angles = with.angles_deg();
        let turned = (angles[1][0] - 45.0).abs() + angles[1][1].abs();
        assert!(turned < 1e-12, "the chair stays: {angles:?}");
        let (twice, chosen) = Edit::Steps(StepsEdit::Duplicate(2)).on(&three(), 2);
        assert_eq!(names(&twice)[2..], ["On", "On"]);
        assert_eq!(chosen, 3);
        let (without, chosen) = Edit::Steps(StepsEdit::Delete(2)).on(&three(), 2);
        assert_eq!(names(&without), ["Turn", "Lie back to the right"]);
        assert_eq!(chosen, 1);
    }

    #[test]
    fn the_last_step_stays() {
        let mut one = three();
        one.steps.truncate(1);
        assert_eq!(Edit::Steps(StepsEdit::Delete(0)).on(&one, 0).0, one);
    }

    #[test]
    fn a_moved_step_takes_its_angles_along() {
        let (moved, chosen) = Edit::Steps(StepsEdit::Move(1, -1)).on(&three(), 1);
        assert_eq!(names(&moved), ["Lie back to the right", "Turn", "On"]);
        assert_eq!(chosen, 0);
        // By hand: each step still ends where it ended.
        assert_eq!(
            moved.angles_deg(),
            [[45.0, 120.0], [45.0, 0.0], [135.0, 120.0]]
        );
        assert_eq!(
            Edit::Steps(StepsEdit::Move(0, -1)).on(&three(), 0).0,
            three(),
            "at the top"
        );
        assert_eq!(
            Edit::Steps(StepsEdit::Move(2, 1)).on(&three(), 2).0,
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
            "../../../../../scenarios/library/right-lateral-cupula-repositioning.ron"
        ));
        let left = read(include_str!(
            "../../../../../scenarios/library/left-lateral-cupula-repositioning.ron"
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
        let (with, _) = Edit::Setting(SettingEdit::Limits(Whose::Patient, limits)).on(&three(), 0);
        assert_eq!(with.limits, Some(limits));
        let none = Edit::Setting(SettingEdit::Limits(Whose::Patient, Limits::default()));
        assert_eq!(none.on(&with, 0).0.limits, None);
    }

    #[test]
    fn a_cupula_is_set_changed_and_as_usual_again() {
        let id = CanalId {
            ear: Ear::Left,
            canal: Canal::Lateral,
        };
        let light = Edit::Case(CaseEdit::Cupula(id, Some(-1.0)))
            .on(&three(), 0)
            .0;
        let heavy = Edit::Case(CaseEdit::Cupula(id, Some(2.0))).on(&light, 0).0;
        assert_eq!(heavy.cupulae.len(), 1);
        assert!((heavy.cupulae[0].excess_kg_m3 - 2.0).abs() < 1e-12);
        assert_eq!(
            Edit::Case(CaseEdit::Cupula(id, None)).on(&heavy, 0).0,
            three()
        );
    }

    #[test]
    fn the_neck_is_limited_at_the_bedside_only() {
        let stiff = NeckLimits {
            rotation_deg: 30.0,
            ..NeckLimits::default()
        };
        assert_eq!(
            Edit::Setting(SettingEdit::Neck(stiff)).on(&three(), 0).0,
            three()
        );
        let mut bedside = three();
        bedside.body = Some(Carrier::Bedside {
            neck: NeckLimits::default(),
        });
        let next = Edit::Setting(SettingEdit::Neck(stiff)).on(&bedside, 0).0;
        assert_eq!(next.body, Some(Carrier::Bedside { neck: stiff }));
    }

    #[test]
    fn what_is_as_usual_is_left_out_of_the_file() {
        let eyes = EyesEntry {
            gaze_up_deg: 10.0,
            ..EyesEntry::default()
        };
        let mut next = three();
        for edit in [
            Edit::Setting(SettingEdit::Eyes(eyes)),
            Edit::Setting(SettingEdit::Engine(Engine::Rigid)),
            Edit::Setting(SettingEdit::VisibleSpv(Some(5.0))),
            Edit::Setting(SettingEdit::Notes(" Rests a minute. ".to_owned())),
        ] {
            next = edit.on(&next, 0).0;
        }
        assert_eq!(next.eyes, Some(eyes));
        assert_eq!(next.engine, Some(Engine::Rigid));
        assert_eq!(next.visible_spv_deg_s, Some(5.0));
        assert_eq!(next.notes.as_deref(), Some("Rests a minute."));
        for edit in [
            Edit::Setting(SettingEdit::Eyes(EyesEntry::default())),
            Edit::Setting(SettingEdit::Engine(Engine::Settling)),
            Edit::Setting(SettingEdit::VisibleSpv(None)),
            Edit::Setting(SettingEdit::Notes(" ".to_owned())),
        ] {
            next = edit.on(&next, 0).0;
        }
        assert_eq!(next, three());
    }
}
