//! What the settling engine remembers of one body from step to step.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};
use nalgebra::Vector3;

use crate::law::forces::Action;

/// What one body's last steps tell about the next.
#[derive(Clone, Copy, Debug, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is independent of the others"
)]
pub(crate) struct BodyMemory {
    /// What acts on it where it is, if that is known.
    pub(super) action: Action,
    pub(super) known: bool,
    /// Its mean velocity over the last step, mm/s.
    pub(super) last: Option<Vec3>,
    /// How that changes per second, mm/s².
    pub(super) bend: Option<Vec3>,
    /// Nothing moves it until the head or the fluid moves; its pressure on the loops till then, mPa.
    pub(super) asleep: bool,
    pub(super) pressure_mpa: Vector3<f64>,
    /// A step is under way, in which others push it.
    pub(super) under_way: bool,
    pub(super) pushed: bool,
    /// Where the last one was predicted to lead.
    pub(super) predicted: Option<Predicted>,
}

/// The predicted end of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Predicted {
    pub(super) at: Vec3,
    pub(super) hint: Hint,
    pub(super) wall: WallSample,
    pub(super) action: Action,
    /// Whether it has been pressed on the wall and the cupula all the way.
    pub(super) pressed: [bool; 2],
    /// By what it has to be corrected, mm.
    pub(super) correction_mm: Vec3,
}

/// A body that others push off its wall by more than this leaves it, mm.
const LIFTED_MM: f64 = 1e-5;

impl BodyMemory {
    /// Where the step under way ends as it has been corrected, and what it touches there.
    pub(super) fn end(&self) -> Option<(Vec3, [Option<Vec3>; 2])> {
        let end = self.predicted.as_ref().filter(|_| self.under_way)?;
        Some((end.at + end.correction_mm, end.action.walls))
    }

    /// Lets it end elsewhere, pushed there by others.
    pub(super) fn ends_at(&mut self, at: Vec3) {
        let Some(end) = self.predicted.as_mut().filter(|_| self.under_way) else {
            return;
        };
        let by_mm = at - end.at - end.correction_mm;
        for (wall, pressed) in end.action.walls.into_iter().zip(&mut end.pressed) {
            // What lies on others is not pressed on the wall.
            *pressed &= wall.is_none_or(|away| by_mm.dot(&away) < LIFTED_MM);
        }
        end.correction_mm += by_mm;
        self.pushed = true;
    }
}
