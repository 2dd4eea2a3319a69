//! How somebody watches the eyes: where the patient looks and whether he can fixate.

use lithodrome_labyrinth::Vec3;
use serde::{Deserialize, Serialize};

/// What covers the eyes of the patient.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Cover {
    /// Infrared video goggles in the dark: nothing to fixate.
    #[default]
    InfraredVideo,
    /// Lit goggles with strong lenses: the world is blurred, fixation nearly useless.
    Frenzel,
    /// Open light: the patient fixates.
    OpenLight,
}

impl Cover {
    /// In words, after "seen" or "not seen".
    pub const fn words(self) -> &'static str {
        match self {
            Cover::InfraredVideo => "under infrared video goggles",
            Cover::Frenzel => "under Frenzel goggles",
            Cover::OpenLight => "in open light",
        }
    }

    /// Share of the slow phase across the line of sight that pursuit takes away, and the speed above
    /// which it takes no more, rad/s.
    ///
    /// # Source
    /// From memory: with normal fixation about a third of a caloric nystagmus is left, pursuit follows
    /// to some 40 deg/s, and nothing is pursued about the line of sight. Frenzel goggles leave a little
    /// of fixation; 0.2 is assumed.
    const fn pursuit(self) -> (f64, f64) {
        const MOST_RAD_S: f64 = 40.0 * std::f64::consts::PI / 180.0;
        match self {
            Cover::InfraredVideo => (0.0, 0.0),
            Cover::Frenzel => (0.2, MOST_RAD_S),
            Cover::OpenLight => (0.7, MOST_RAD_S),
        }
    }
}

/// Cover and direction of gaze.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Watching {
    /// What covers the eyes.
    pub cover: Cover,
    /// Where the patient looks, to his right, rad.
    pub gaze_right_rad: f64,
    /// The same, up.
    pub gaze_up_rad: f64,
}

impl Watching {
    /// Line of sight and the eye's own upper and left axes in eye axes of the head.
    fn eye_axes(&self) -> [Vec3; 3] {
        let (sin_r, cos_r) = self.gaze_right_rad.sin_cos();
        let (sin_u, cos_u) = self.gaze_up_rad.sin_cos();
        let ahead = Vec3::new(cos_u * cos_r, -cos_u * sin_r, sin_u);
        let left = Vec3::new(sin_r, cos_r, 0.0);
        [ahead, left, ahead.cross(&left)]
    }

    /// What fixation leaves of a slow phase in the dark, rad/s: pursuit takes from what runs across the
    /// line of sight, nothing from what turns about it.
    pub fn left_by_fixation(&self, slow_phase_rad_s: Vec3) -> Vec3 {
        let (share, most_rad_s) = self.cover.pursuit();
        let ahead = self.eye_axes()[0];
        let across = slow_phase_rad_s - ahead * slow_phase_rad_s.dot(&ahead);
        let speed = across.norm();
        if speed <= 0.0 {
            return slow_phase_rad_s;
        }
        let taken = (share * speed).min(share * most_rad_s);
        slow_phase_rad_s - across * (taken / speed)
    }

    /// The slow phase as an onlooker takes it apart: about the line of sight, about the eye's left axis
    /// (down) and about its upper axis (left), rad/s. Straight ahead this changes nothing; looking toward
    /// the lower ear in a Dix-Hallpike turns the line of sight toward the canal's axis, so that more is
    /// torsion, and looking away makes more of it vertical.
    pub fn in_eye(&self, slow_phase_rad_s: Vec3) -> Vec3 {
        Vec3::from(self.eye_axes().map(|axis| slow_phase_rad_s.dot(&axis)))
    }
}
