//! What can be chosen about what is shown, and the dialogs that can be open.

use crate::export::Export;

/// Which ears stand on the ear stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum EarShown {
    /// The right one.
    Right,
    /// The left one.
    Left,
    /// Both, moved together.
    Both,
}

/// What the picture of the ear is fixed to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum EarFrame {
    /// The head stands still, gravity turns.
    Head,
    /// Gravity stands still, the head turns.
    Room,
    /// The plane of the chosen canal is the plane of the picture, gravity turns.
    Canal,
}

/// From where the ear is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LookFrom {
    /// From the ear's own side.
    Side,
    /// From in front.
    Front,
    /// From above.
    Top,
    /// Square to the plane of the chosen canal.
    Canal,
}

/// Who looks at the eyes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum EyesSeenBy {
    /// From in front: the right eye is on the left.
    Examiner,
    /// From behind: the right eye is on the right.
    Patient,
}

/// What the window is used for; stages and score stay, the column at the side changes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Use {
    /// A resident tests and treats a hidden case.
    Lesson,
    /// An operator plans and drives.
    #[default]
    Rehearsal,
    /// A clinician invents a sequence and sees it in many ears.
    Variant,
}

impl Use {
    /// In the order of the switch.
    pub const ALL: [Use; 3] = [Use::Lesson, Use::Rehearsal, Use::Variant];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Use::Lesson => "Lesson",
            Use::Rehearsal => "Rehearsal",
            Use::Variant => "Variant",
        }
    }

    /// What it is for.
    pub const fn tip(self) -> &'static str {
        match self {
            Use::Lesson => "Test, name and treat a hidden case",
            Use::Rehearsal => "Plan a sequence for a patient, drive it, take a run sheet along",
            Use::Variant => "Change or invent a sequence and see it in many ears",
        }
    }
}

/// What the case column shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CaseTab {
    /// Debris, steps and what is seen in each, to read.
    #[default]
    Case,
    /// The table of steps.
    Steps,
    /// Debris, anatomy and limits.
    Patient,
    /// Manoeuvres to choose from.
    Library,
    /// Patients of a visit, run sheets and the log.
    Visit,
}

/// What of the eyes the score draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum EyeTraces {
    /// Slow-phase velocity.
    SlowPhase,
    /// Eye position with its beats.
    Position,
}

/// Whether driving is heard.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum DriveSound {
    /// Silence.
    #[default]
    Off,
    /// Beats and the double tone.
    On,
}

/// Which sign of an eye movement is up in the score.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum EyeSign {
    /// Up and right are up.
    Clinical,
    /// Positive about the eye's axes by the right hand is up.
    RightHand,
}

/// A window over the window.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Dialog {
    /// What this is and is not, and cautions.
    Notice,
    /// Keys.
    Shortcuts,
    /// A path to type.
    Path(String),
    /// A path to save to, to type.
    SavePath(String),
    /// What to do with unsaved changes.
    Unsaved,
    /// A draft that was not saved before a crash.
    Recover,
    /// A path to type for what is exported.
    ExportPath(Export, String),
}
