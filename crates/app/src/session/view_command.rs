//! What can be asked about what is shown and how.

use glam::Vec2;
use lithodrome_labyrinth::CanalId;

use super::choices::{
    CaseTab, Dialog, EarFrame, EarShown, EyeSign, EyeTraces, EyesSeenBy, LookFrom, Use,
};
use crate::stages::render::StageId;

/// A wish about what is shown.
#[derive(Clone, Debug, PartialEq)]
pub enum ViewCommand {
    /// Use the window for a lesson, a rehearsal or a variant.
    UseFor(Use),
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
    /// Show a part of the case column, unfolded.
    ShowTab(CaseTab),
    /// Search the library for words.
    SearchLibrary(String),
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
}
