//! A chair's manoeuvre on a bed: the same directions of the head, as far as a neck goes.

use lithodrome_chair::down_in_head;

use super::body::{Carrier, NeckLimits};
use super::entries::{Scenario, StartAngles};
use crate::units::{chair_angles, tidy};

/// A neck that has grown stiff, as far as it goes each way (assumed).
pub const STIFF_NECK: NeckLimits = NeckLimits {
    rotation_deg: 30.0,
    extension_deg: 10.0,
    flexion_deg: 20.0,
    lateral_deg: 10.0,
};

/// Trunk and head are moved no faster than this on a bed, s a move (assumed).
const LEAST_MOVE_S: f64 = 1.0;

impl Scenario {
    /// The same directions of gravity in the head on a bed, by trunk and neck; what a chair alone does, as
    /// throwing or shaking an axis, is left out. Where the neck does not reach, the compiled scenario's
    /// shortfalls say by how much.
    #[must_use]
    pub fn at_bedside(&self, neck: NeckLimits) -> Scenario {
        let mut on_bed = self.clone();
        on_bed.body = Some(Carrier::Bedside { neck });
        on_bed.chair = StartAngles::default();
        let mut headrest_deg = self.chair.headrest_flexion_deg;
        for (step, [yaw_deg, track_deg]) in on_bed.steps.iter_mut().zip(self.angles_deg()) {
            headrest_deg = step.headrest_flexion_deg.unwrap_or(headrest_deg);
            let down = down_in_head(chair_angles(yaw_deg, track_deg, headrest_deg));
            step.down_in_head = Some([tidy(down.x), tidy(down.y), tidy(down.z)]);
            step.yaw_deg = None;
            step.track_deg = None;
            step.headrest_flexion_deg = None;
            step.movement = None;
            step.move_s = step.move_s.max(LEAST_MOVE_S);
        }
        on_bed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{compile, library_entry};

    #[test]
    fn a_healthy_neck_reaches_an_epley_and_a_stiff_one_falls_short() {
        let entry = library_entry("right-posterior-epley-bedside").unwrap();
        let written = entry.unwrap().scenario;
        let short_deg = |neck| {
            let compiled = compile(&written.at_bedside(neck), "".as_ref()).unwrap();
            let apart = compiled.shortfalls.iter().map(|s| s.apart_deg);
            apart.fold(0.0, f64::max)
        };
        // Gravity is the chair's where the neck reaches; bending back by 10° instead of 20° is 10° short.
        assert!(short_deg(NeckLimits::default()) < 1.0);
        assert!(short_deg(STIFF_NECK) > 5.0);
    }
}
