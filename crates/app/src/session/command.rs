//! Everything a person can ask of the window; the panels only read and ask.

use std::path::PathBuf;

use glam::Vec2;
use lithodrome_labyrinth::CanalId;

use crate::{drive::ChairAxis, export::Export, session::edit::Edit, stages::render::StageId};

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

/// One wish.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Open a scenario file.
    Open(PathBuf),
    /// Open the scenario that comes with the program.
    OpenShipped,
    /// Read the file again.
    Reload,
    /// Ask the desktop for a file.
    PickFile,
    /// Stop the computation under way.
    CancelWork,
    /// Play or pause.
    TogglePlay,
    /// Put the cursor at a time, s.
    Seek(f64),
    /// Move the cursor by, s.
    Nudge(f64),
    /// Put the cursor at the start of a step's hold.
    ToStep(usize),
    /// To the next (1) or previous (−1) start of a step.
    StepBy(isize),
    /// Set the speed, times real time.
    Speed(f64),
    /// Next speed up (1) or down (−1).
    ChangeSpeed(isize),
    /// Turn a stage's camera by a drag, points.
    Orbit(StageId, Vec2),
    /// Move a stage's camera by a drag, points, in a picture of this height.
    Pan(StageId, Vec2, f32),
    /// Bring a stage nearer.
    Zoom(StageId, f32),
    /// Put a stage's camera back.
    Fit(StageId),
    /// Choose the ears shown.
    ShowEar(EarShown),
    /// Choose what the ear's picture is fixed to.
    FixEarTo(EarFrame),
    /// Choose who looks at the eyes.
    SeeEyesAs(EyesSeenBy),
    /// Choose the stage where there is room for one only.
    ShowStage(StageId),
    /// Fold or unfold the case column.
    FoldCase(bool),
    /// Open a dialog.
    Show(Dialog),
    /// Close the dialog.
    CloseDialog,
    /// Take the banner away.
    DismissBanner,
    /// Take the word about slow drawing away.
    DismissSlow,
    /// Choose the theme.
    Theme(egui::ThemePreference),
    /// Close the program.
    Quit,

    // Editing and files.
    /// Change the draft.
    Edit(Edit),
    /// Change the draft in the middle of a drag; the whole drag counts as one change.
    EditOn(Edit),
    /// The drag is over.
    EndEdit,
    /// Take the last change back.
    Undo,
    /// Make it again.
    Redo,
    /// Compute the draft, after it was cancelled.
    Compute,
    /// Choose the step that the table's buttons act on.
    ChooseStep(usize),
    /// Show a part of the case column, unfolded.
    ShowTab(CaseTab),
    /// Search the library for words.
    SearchLibrary(String),
    /// A new scenario.
    New,
    /// Open an entry of the library as a new scenario.
    OpenFromLibrary(usize),
    /// Take the manoeuvre of an entry of the library, for this case.
    TakeManoeuvre(usize),
    /// Save to the file that it came from.
    Save,
    /// Ask for a file to save to.
    SaveAs,
    /// Save to this file.
    SaveTo(PathBuf),
    /// Forget unsaved changes, then do what was asked for.
    DiscardChanges,
    /// Take up the draft that was not saved before a crash.
    Recover,
    /// Throw that draft away.
    DiscardRecovered,
    // Seeing.
    /// Look at the ear from somewhere else.
    Look(LookFrom),
    /// Show or hide the planes of the canals.
    ShowPlanes(bool),
    /// Show or hide the flow of endolymph.
    ShowFlow(bool),
    /// Choose what of the eyes the score draws.
    Trace(EyeTraces),
    /// Choose the sign of the eyes' traces.
    SignEyes(EyeSign),
    /// Turn the gravity globe by a drag, points, over a globe of this radius.
    TurnGlobe(egui::Vec2, f32),
    /// Turn the globe back.
    TurnGlobeBack,
    /// Choose the canal that the globe and the planes are about.
    ChooseCanal(CanalId),

    // Taking things out.
    /// Ask the desktop where to save.
    PickExport(Export),
    /// Save there.
    ExportTo(Export, PathBuf),
    /// Stop saving.
    CancelExport,
    /// Take the word about the last export away.
    DismissSaved,

    // Driving.
    /// Drive the chair by hand, from the start of the plan.
    StartDrive,
    /// Ask an axis for a speed, rad/s, in this picture; not asked for again, the chair brakes.
    Push(ChairAxis, f64),
    /// Hold an axis in this picture and pull it on by an angle, rad.
    Pull(ChairAxis, f64),
    /// Let the chair stop, whatever the hand does.
    StopChair,
    /// Hear how far off the plan it is, or not.
    Sound(DriveSound),
    /// Aim at a step of the plan.
    AimAt(usize),
    /// End the drive and keep it as the draft.
    EndDrive,
    /// End the drive and go back to the plan.
    ThrowDriveAway,
}

impl Command {
    /// Afterwards another scenario is open, or none: what is not saved would be lost.
    pub(crate) const fn leaves_the_scenario(&self) -> bool {
        matches!(
            self,
            Command::Open(_)
                | Command::OpenShipped
                | Command::Reload
                | Command::New
                | Command::OpenFromLibrary(_)
                | Command::Recover
                | Command::Quit
        )
    }
}
