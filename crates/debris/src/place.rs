//! Where a body is, as a run tells it: part of the labyrinth and arc length, and how a run ends for it.

use lithodrome_labyrinth::{Canal, EarShape, Region, Vec3, WallSample};

use crate::model::{Body, Model};

/// A place in the labyrinth of one ear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The part.
    pub region: Region,
    /// Arc length in that part, mm: in a duct and a short arm from the cupula (negative in the short
    /// arm); in the common crus from its top; 0 in the utricle.
    pub arc_mm: f64,
}

/// One body at the end of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FinalState {
    /// Where it is.
    pub place: Place,
    /// Its centre in Reid axes, mm.
    pub position_in_reid_mm: Vec3,
    /// When it left its canal for the utricle for the last time, s; `None` if it is not out.
    pub exit_s: Option<f64>,
}

/// Counts of work done, exact for a given file and version.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Work {
    /// Time steps of the engine.
    pub steps: u64,
    /// Bodies moved, summed over the time steps.
    pub body_steps: u64,
}

impl Place {
    /// The place of a body from where the wall is seen as `wall`.
    pub(crate) fn of(model: &Model, body: &Body, wall: &WallSample) -> Place {
        let arc_mm = match wall.region {
            Region::CommonCrus => {
                let anterior = model.ear_of(body).canal(Canal::Anterior);
                wall.arc_mm - anterior.landmarks.duct_end_mm
            }
            Region::Utricle => 0.0,
            Region::Duct(_) | Region::ShortArm(_) => wall.arc_mm,
        };
        Place {
            region: wall.region,
            arc_mm,
        }
    }

    /// Arc length along the tube.
    pub(crate) fn tube_arc_mm(self, ear: &EarShape) -> f64 {
        match self.region {
            Region::CommonCrus => self.arc_mm + ear.canal(Canal::Anterior).landmarks.duct_end_mm,
            _ => self.arc_mm,
        }
    }
}

/// At which share of a step a body passes from one part into another, from how far it was from the
/// border before and after.
pub(crate) fn passing([before_mm, after_mm]: [f64; 2]) -> f64 {
    let way_mm = before_mm + after_mm;
    // Two parts that do not touch, or a body that was set elsewhere.
    if way_mm > 0.0 && way_mm.is_finite() {
        before_mm / way_mm
    } else {
        0.5
    }
}

/// Free in the vestibule: in the utricle, or on the utricular side of a cupula.
pub(crate) fn is_out(region: Region) -> bool {
    matches!(region, Region::Utricle | Region::ShortArm(_))
}
