//! What eyes do when debris runs on, runs back or is in another canal.

use std::sync::Arc;

use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth};
use lithodrome_nystagmus::{Beat, Judging, beat_of, beat_words, fast_phase_components};
use lithodrome_rehearsal::{
    Case, Mechanism, RehearsalError, Scenario, StepReport, expected, library_entry,
};

/// Beats of debris that moves along its canal, by the canal's own axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Beats {
    /// On toward the utricle.
    pub(super) onward: Beat,
    /// Back toward the cupula.
    pub(super) back: Beat,
}

/// The beats of free debris in a canal's duct.
///
/// # Equation
/// Flow away from the ampulla excites the vertical canals, flow toward it the lateral one; the fast phase
/// of an excited canal turns about its axis of excitation, that of an inhibited one against it.
pub(super) fn beats(labyrinth: &Labyrinth, id: CanalId, judging: &Judging) -> Beats {
    let n_exc = labyrinth.canal(id).n_exc_in_reid;
    // Any speed that is seen names the same components.
    let speed_rad_s = 10.0 * judging.visible_rad_s;
    let beat = |way: f64| {
        let slow_phase = -way * id.canal.excited_by_ampullofugal() * speed_rad_s * n_exc;
        beat_of(fast_phase_components(slow_phase), judging)
    };
    Beats {
        onward: beat(1.0),
        back: beat(-1.0),
    }
}

/// A beat in words that go on in a sentence.
pub(super) fn words_within(beat: Beat) -> String {
    let words = beat_words(beat);
    let mut signs = words.chars();
    signs
        .next()
        .map(|c| c.to_lowercase().chain(signs).collect())
        .unwrap_or_default()
}

/// The shipped test that shows debris of this canal.
pub(super) fn test_of(canal: CanalId) -> Option<Result<Scenario, RehearsalError>> {
    let side = match canal.ear {
        Ear::Right => "right",
        Ear::Left => "left",
    };
    let name = match canal.canal {
        Canal::Posterior => format!("{side}-dix-hallpike"),
        Canal::Lateral => format!("{side}-supine-roll"),
        Canal::Anterior => "straight-head-hanging".to_owned(),
    };
    library_entry(&name).map(|entry| entry.map(|e| e.scenario))
}

/// What a test shows of a case, one line a posture in whose first hold something is seen; the test is run.
pub(super) fn seen_in_test(
    labyrinth: &Arc<Labyrinth>,
    canal: CanalId,
    mechanism: Mechanism,
    test: &Scenario,
) -> Result<Vec<String>, RehearsalError> {
    let steps = expected(labyrinth, &Case::new(canal, mechanism), test)?;
    let first = |i: usize| !steps[..i].iter().any(|s| same_posture(s, &steps[i]));
    let firsts = (0..steps.len()).filter(|&i| first(i));
    Ok(firsts.filter_map(|i| seen_line(&steps[i])).collect())
}

/// Gravity points the same way in the head, within 2°.
fn same_posture(a: &StepReport, b: &StepReport) -> bool {
    let along: f64 = a
        .down_in_head
        .iter()
        .zip(b.down_in_head)
        .map(|(x, y)| x * y)
        .sum();
    // cos 2°.
    along > 0.999_39
}

fn seen_line(step: &StepReport) -> Option<String> {
    step.nystagmus
        .seen
        .then(|| format!("{}: {}", step.name, step.sentence))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_rehearsal::load_labyrinth;

    /// Onward and back in words, from the rule of excitation and the canal normals of Della Santina 2005
    /// (JARO 6:191): posterior canals beat up with the upper pole toward their own ear when excited,
    /// anterior ones down, lateral ones toward their own ear.
    #[test]
    fn beats_follow_the_axis_of_the_canal() {
        let ears = load_labyrinth("mean-adult", std::path::Path::new("")).unwrap();
        let words = |ear, canal| {
            let both = beats(&ears, CanalId { ear, canal }, &Judging::default());
            (words_within(both.onward), words_within(both.back))
        };
        let (on, back) = words(Ear::Right, Canal::Posterior);
        assert_eq!(on, "upbeating-torsional, upper pole toward the right ear");
        assert_eq!(
            back,
            "downbeating-torsional, upper pole toward the left ear"
        );
        let (on, back) = words(Ear::Left, Canal::Anterior);
        assert_eq!(on, "downbeating-torsional, upper pole toward the left ear");
        assert_eq!(back, "upbeating-torsional, upper pole toward the right ear");
        let (on, back) = words(Ear::Right, Canal::Lateral);
        assert_eq!(
            (on.as_str(), back.as_str()),
            ("left-beating", "right-beating")
        );
    }
}
