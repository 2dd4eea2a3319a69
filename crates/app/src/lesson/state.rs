//! What the window knows of a hidden case.

use std::{path::PathBuf, sync::Arc};

use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{
    Debrief, Diagnosis, Difficulty, EyeWord, Learner, Lesion, LesionKind, Look, Part, Patient,
    Recording, Seen, SessionRecord,
};

use super::{class::state::ClassState, clears::state::ClearsState, desk::Desk};
use crate::work::stage_data::Loaded;

/// Parts of the column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LessonTab {
    /// Which manoeuvre clears what.
    Clears,
    /// A hidden case.
    #[default]
    Case,
    /// Reading eyes.
    Reading,
    /// What improves.
    Progress,
}

/// How the eyes are watched in the next act.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LookWay {
    /// Dark goggles.
    #[default]
    Goggles,
    /// Something to fixate.
    Light,
    /// Nobody looks.
    Away,
}

/// How the next act is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// What for.
    pub part: Part,
    /// How the eyes are watched.
    pub look: LookWay,
    /// Time at rest, s.
    pub hold_s: f64,
    /// Yaw by feel, degrees.
    pub yaw_deg: f64,
    /// Track by feel, degrees.
    pub track_deg: f64,
}

impl Default for Way {
    fn default() -> Self {
        Way {
            part: Part::Test,
            look: LookWay::default(),
            hold_s: 30.0,
            yaw_deg: 45.0,
            track_deg: 120.0,
        }
    }
}

impl Way {
    /// For the domain.
    pub fn look(self) -> Look {
        match self.look {
            LookWay::Goggles => Look::default(),
            LookWay::Light => Look {
                fixation: true,
                ..Look::default()
            },
            LookWay::Away => Look::AWAY,
        }
    }
}

/// A position that a button leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Position {
    /// Sitting upright.
    Upright,
    /// Dix-Hallpike.
    RightDixHallpike,
    /// The same on the left.
    LeftDixHallpike,
    /// On the back, head below the horizontal.
    HeadHanging,
    /// On the back, head up.
    Supine,
    /// On the right side.
    RightEarDown,
    /// On the left side.
    LeftEarDown,
    /// Bowed to the front.
    Bow,
    /// The angles that were set by hand.
    ByFeel,
}

/// A case that is being worked on.
#[derive(Clone)]
pub struct OpenCase {
    /// The case with its ears.
    pub patient: Arc<Patient>,
    /// What was done and named.
    pub record: SessionRecord,
    /// What could be seen, `[act]`.
    pub seen: Vec<Seen>,
    /// The run for the stages.
    pub loaded: Arc<Loaded>,
    /// The same before the answer: without anything that tells of debris.
    pub blind: Arc<Loaded>,
    /// The debrief, once it was asked for.
    pub debrief: Option<Arc<Debrief>>,
    /// A good run for the stages.
    pub good: Option<Arc<Loaded>>,
    /// What can be seen in it, `[act]`.
    pub good_seen: Vec<Seen>,
    /// The good run is on the stages.
    pub good_shown: bool,
    /// The result has been taken into the learner's file.
    pub counted: bool,
}

impl OpenCase {
    /// What to call it without telling anything.
    pub fn title(&self) -> String {
        let (seed, difficulty) = (self.record.seed, self.record.difficulty);
        format!("Hidden case {seed}, {}", difficulty.name())
    }

    /// What the stages show: nothing of the debris before the answer, or the debrief of who gives none.
    pub fn on_stage(&self) -> Arc<Loaded> {
        match &self.good {
            Some(good) if self.good_shown => good.clone(),
            _ if self.record.answer.is_none() && self.debrief.is_none() => self.blind.clone(),
            _ => self.loaded.clone(),
        }
    }
}

/// Reading of eyes.
#[derive(Default)]
pub struct Reading {
    /// The recording and when it began to be shown, window time is not needed: it is looped.
    pub recording: Option<Arc<Recording>>,
    /// What was answered.
    pub answered: Option<EyeWord>,
    /// All answers with what was right.
    pub pairs: Vec<(EyeWord, EyeWord)>,
    /// Seed of the next one.
    pub next: u64,
}

/// All of it.
#[derive(Default)]
pub struct LessonState {
    /// Part of the column.
    pub tab: LessonTab,
    /// Seed of the next case.
    pub seed: u64,
    /// Its difficulty.
    pub difficulty: Option<Difficulty>,
    /// The case under way.
    pub open: Option<OpenCase>,
    /// How the next act is done.
    pub way: Way,
    /// The answer sheet, `[canal of CanalId::ALL]`.
    pub sheet: [Option<LesionKind>; 6],
    /// Reading.
    pub reading: Reading,
    /// The learner, if progress is kept.
    pub learner: Option<Learner>,
    /// The code as typed.
    pub code: String,
    /// Where learners' files are; nowhere in pictures and tests.
    pub folder: Option<PathBuf>,
    /// What went wrong last, or what was done, in words.
    pub words: Option<String>,
    /// The class.
    pub class: ClassState,
    /// What clears a case.
    pub clears: ClearsState,
    /// Computes.
    pub desk: Desk,
    /// What was on the stages before.
    pub(crate) aside: Option<Arc<Loaded>>,
}

impl LessonState {
    /// What the answer sheet says.
    pub fn diagnosis(&self) -> Diagnosis {
        let pairs = CanalId::ALL.into_iter().zip(self.sheet);
        let lesions = pairs.filter_map(|(canal, kind)| Some(Lesion::new(canal, kind?)));
        Diagnosis::new(lesions.collect())
    }
}
