//! The mirror image of a scenario: the same for the other ear.

use super::body::{MoveEntry, SkullPlace};
use super::entries::Scenario;

impl Scenario {
    /// The exact mirror image: a chair motion negates yaw and track, everything changes its ear, and so do the
    /// words of title and steps.
    #[must_use]
    pub fn mirrored(&self) -> Scenario {
        let mut mirror = self.clone();
        mirror_in_place(&mut mirror);
        mirror
    }
}

fn mirror_in_place(scenario: &mut Scenario) {
    // Without the sum, 0 would become a negative zero and be shown and written so.
    let negated = |angle_deg: f64| 0.0 - angle_deg;
    scenario.chair.yaw_deg = negated(scenario.chair.yaw_deg);
    scenario.chair.track_deg = negated(scenario.chair.track_deg);
    for sample in &mut scenario.recorded {
        sample.yaw_deg = negated(sample.yaw_deg);
        sample.track_deg = negated(sample.track_deg);
    }
    for step in &mut scenario.steps {
        step.yaw_deg = step.yaw_deg.map(negated);
        step.track_deg = step.track_deg.map(negated);
        if let Some(down) = &mut step.down_in_head {
            down[1] = negated(down[1]);
        }
        if let Some(trunk) = &mut step.trunk {
            trunk.fall_left_deg = trunk.fall_left_deg.map(negated);
            trunk.roll_left_deg = trunk.roll_left_deg.map(negated);
        }
        if let Some(neck) = &mut step.neck {
            neck.turn_left_deg = neck.turn_left_deg.map(negated);
            neck.tilt_left_deg = neck.tilt_left_deg.map(negated);
        }
        if let Some(MoveEntry::Vibration { at, .. }) = &mut step.movement
            && let SkullPlace::Mastoid(ear) = at
        {
            *ear = ear.other();
        }
        step.name = other_side(&step.name);
    }
    for entry in &mut scenario.debris {
        entry.ear = entry.ear.other();
    }
    for cupula in &mut scenario.cupulae {
        cupula.ear = cupula.ear.other();
    }
    for target in scenario.about.iter_mut().flat_map(|a| &mut a.targets) {
        target.ear = target.ear.other();
    }
    scenario.title = other_side(&scenario.title);
}

/// The same words with left and right exchanged.
fn other_side(text: &str) -> String {
    const PAIRS: [(&str, &str); 3] = [("right", "left"), ("Right", "Left"), ("RIGHT", "LEFT")];
    let exchanged = |word: &str| {
        PAIRS.iter().find_map(|&(a, b)| match word {
            w if w == a => Some(b),
            w if w == b => Some(a),
            _ => None,
        })
    };
    let mut out = String::with_capacity(text.len());
    let mut word = String::new();
    for c in text.chars().map(Some).chain([None]) {
        if let Some(c) = c.filter(|c| c.is_alphabetic()) {
            word.push(c);
            continue;
        }
        out.push_str(exchanged(&word).unwrap_or(&word));
        word.clear();
        out.extend(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::library;

    /// Every manoeuvre of the library is its own mirror image twice over, and the mirror image of one side's
    /// file has the angles of the other's.
    #[test]
    fn the_mirror_image_of_the_mirror_image_is_the_same() {
        for entry in library().unwrap() {
            let there = entry.scenario.mirrored();
            assert_eq!(there.mirrored(), entry.scenario, "{}", entry.name);
            let angles = entry.scenario.angles_deg();
            for (a, b) in angles.iter().zip(there.angles_deg()) {
                assert!((a[1] + b[1]).abs() < 1e-6, "{}", entry.name);
            }
        }
    }

    #[test]
    fn only_whole_words_change_sides() {
        assert_eq!(other_side("Left, right; LEFT"), "Right, left; RIGHT");
        assert_eq!(other_side("upright, bright"), "upright, bright");
    }
}
