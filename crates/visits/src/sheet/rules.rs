//! Rules that stand on every sheet, and cautions that follow from how a manoeuvre moves.

use lithodrome_chair::{HeadMotion, MoveProfile};

/// When to stop. Common practice (from memory), but for the last: a beat that fits no tested canal was
/// seen in 97.5 % of central cases in Dix-Hallpike (Macdonald 2017, Front Neurol 8:141, 82 patients, read).
pub(super) const STOP_RULES: [&str; 7] = [
    "The patient asks for it.",
    "Trouble with speech, face, a limb, sight or feeling that was not there before.",
    "Chest pain, hard breathing, fainting or near it.",
    "Severe headache or eye pain; repeated vomiting.",
    "A strap slips or a neck or back hurts.",
    "Eye speed still rises after 60 s.",
    "Eyes beat in a way that the steps of this sheet do not expect, above all downbeat without torsion, upbeat or torsion alone where none is expected. Think of the brain and refer.",
];

/// How to stop (common practice, from memory).
pub(super) const STOPPING: &str = "To stop: bring the patient upright along the shorter way of the track, not faster than 30°/s, and keep the straps on for 2 min or more.";

/// What always follows.
pub(super) const AFTERWARDS: [&str; 2] = [
    "Hold the patient at the last sitting up: a late attack can throw him (15 %; 2018, Arq Neuropsiquiatr 76, read).",
    "Let him sit for 2 min before he stands (from memory); some stay unsteady for days (37 % of those over 65; Teggi 2011, read).",
];

/// What stands at the foot of every page.
pub(super) const NOTICE: &str = "A teaching and planning model, not a medical device. It diagnoses and treats nobody. Licensed practice and local rules decide.";

/// Below the horizontal.
const HEAD_DOWN: &str = "Head below the horizontal: the eye pressure rises, about twofold upside down (1985, JAMA 253:1755, read); not with glaucoma, diseased retina or eye surgery of late without the physician's word.";
/// More than 60° below the horizontal.
const UPSIDE_DOWN: &str = "Upside down: not with unstable angina, a failing heart, an aneurysm or surgery of late (from memory).";
/// Thrown.
const FAST: &str = "Fast swing: not with an unstable neck, brittle bones or a fresh fracture (from memory); see that every strap holds.";
/// On a bed.
const NECK: &str = "Neck turned and bent back: not with an unstable neck, rheumatoid or Down's laxity, or narrowed neck arteries (Humphriss 2003, Int J Audiol 42:166, abstract read; list partly from memory).";
/// Turns faster than this on average count as a fast swing, deg/s (assumed: the 110° in 1.8 s of
/// practised hands, 61 deg/s, do not).
const FAST_DEG_S: f64 = 90.0;

/// Cautions that the motion itself asks for, where its file has none.
pub(super) fn cautions_of(motion: &HeadMotion, bedside: bool) -> Vec<String> {
    let lowest_deg = motion
        .times()
        .iter()
        .flat_map(|t| {
            let move_s = t.hold_from_s - t.start_s;
            (0..=20).map(move |i| t.start_s + move_s * f64::from(i) / 20.0)
        })
        .map(|t| {
            motion
                .at(t)
                .down_in_head
                .z
                .clamp(-1.0, 1.0)
                .asin()
                .to_degrees()
        })
        .fold(-90.0, f64::max);
    let fast = motion.moves().iter().zip(motion.times()).any(|(m, t)| {
        let (from, to) = (motion.angles_at(t.start_s), motion.angles_at(t.hold_from_s));
        let turn_rad = (to.track_rad - from.track_rad)
            .abs()
            .max((to.yaw_rad - from.yaw_rad).abs());
        let move_s = t.hold_from_s - t.start_s;
        matches!(m.profile, MoveProfile::Throw { .. })
            || (move_s > 0.0 && turn_rad.to_degrees() / move_s > FAST_DEG_S)
    });
    usual_cautions(lowest_deg, fast, bedside)
}

/// Cautions for a head that goes so far below the horizontal (degrees), for a throw, and for a bed.
pub fn usual_cautions(lowest_deg: f64, fast: bool, bedside: bool) -> Vec<String> {
    [
        (lowest_deg > 1.0, HEAD_DOWN),
        (lowest_deg > 60.0, UPSIDE_DOWN),
        (fast, FAST),
        (bedside, NECK),
    ]
    .into_iter()
    .filter(|(holds, _)| *holds)
    .map(|(_, words)| words.to_owned())
    .collect()
}
