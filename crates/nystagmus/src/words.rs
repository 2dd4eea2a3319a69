//! Findings in plain words, as a clinician writes them.

use lithodrome_labyrinth::Vec3;

use crate::{
    Beat, Finding, Horizontal, Judging, Sense, Torsion, Vertical, beat_of, fast_phase_components,
};

/// The finding as one plain sentence, or two if it reversed.
///
/// Torsion is told by the ear that the upper poles beat toward, never by the hands of a clock, which
/// run one way for the examiner and the other for the patient.
pub fn sentence(finding: &Finding) -> String {
    let beat = finding.beat();
    if beat.is_none() {
        return "No nystagmus seen.".to_owned();
    }
    let onset = if finding.latency_s < 0.05 {
        "at once".to_owned()
    } else {
        format!("from {} s", seconds(finding.latency_s))
    };
    let end = if finding.seen_at_end {
        ", to the end of the hold"
    } else {
        ""
    };
    let sense = sense_words(finding.sense, beat);
    let reversed = if finding.reversed {
        " Then it reverses."
    } else {
        ""
    };
    let weak = if finding.is_weak() {
        ", so weak that it may be missed"
    } else {
        ""
    };
    format!(
        "{}, {onset} for {} s{end}, peak {:.0}°/s{weak}{sense}.{reversed}",
        beat_words(beat),
        seconds(finding.duration_s),
        finding.peak_spv_rad_s.to_degrees(),
    )
}

/// Everything that a clinician may write of a hold, sentence by sentence: what is seen and when its peak
/// is, how it falls, whether it would be seen at all under this cover, what the chair's turning adds.
pub fn sentences(finding: &Finding, judging: &Judging) -> Vec<String> {
    let cover = judging.watching.cover.words();
    let visible = judging.visible_rad_s;
    let mut all = Vec::new();
    if finding.is_seen() {
        all.push(sentence(finding));
        let peak_at = seconds(finding.peak_at_s);
        all.push(if finding.crescendo {
            format!("It grows to its peak {peak_at} s after the chair stopped.")
        } else {
            format!("Peak {peak_at} s after the chair stopped.")
        });
        if let Some(tau_s) = finding.decay_tau_s {
            all.push(format!(
                "It falls with a time constant of {} s.",
                seconds(tau_s)
            ));
        }
        all.push(format!("Seen {cover}."));
    } else {
        all.push(format!(
            "Not seen {cover}: at most {:.1}°/s, seen from {:.0}°/s.",
            finding.peak_spv_rad_s.to_degrees(),
            visible.to_degrees()
        ));
    }
    if finding.turning_peak_rad_s >= visible {
        all.push(format!(
            "The chair's turning adds up to {:.0}°/s of its own at the beginning of the hold.",
            finding.turning_peak_rad_s.to_degrees()
        ));
    }
    all
}

/// What is seen at one moment, by its slow phase: "Upbeating, upper pole toward the right ear, 38°/s".
pub fn now_words(slow_phase_rad_s: Vec3, judging: &Judging) -> String {
    let beat = beat_of(fast_phase_components(slow_phase_rad_s), judging);
    if beat.is_none() {
        return "No nystagmus seen".to_owned();
    }
    format!(
        "{}, {:.0}°/s",
        beat_words(beat),
        slow_phase_rad_s.norm().to_degrees()
    )
}

/// A beat in words, as clinicians write it: "Upbeating-torsional, upper pole toward the right ear"; empty for
/// none.
pub fn beat_words(beat: Beat) -> String {
    let vertical = match beat.vertical {
        Vertical::Up => Some("upbeating"),
        Vertical::Down => Some("downbeating"),
        Vertical::None => None,
    };
    let horizontal = match beat.horizontal {
        Horizontal::Right => Some("right-beating"),
        Horizontal::Left => Some("left-beating"),
        Horizontal::None => None,
    };
    let pole = match beat.torsion {
        Torsion::Right => Some("upper pole toward the right ear"),
        Torsion::Left => Some("upper pole toward the left ear"),
        Torsion::None => None,
    };
    let torsional = pole.map(|_| "torsional");
    let kinds: Vec<&str> = [horizontal, vertical, torsional]
        .into_iter()
        .flatten()
        .collect();
    let parts: Vec<String> = std::iter::once(kinds.join("-"))
        .chain(pole.map(str::to_owned))
        .collect();
    let mut words = parts.join(", ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

/// Geotropic and apogeotropic mean the horizontal beat; of torsion it is said.
fn sense_words(sense: Sense, beat: Beat) -> String {
    let word = match sense {
        Sense::Geotropic => "geotropic",
        Sense::Apogeotropic => "apogeotropic",
        Sense::None => return String::new(),
    };
    if beat.horizontal == Horizontal::None {
        format!(" ({word} torsion)")
    } else {
        format!(" ({word})")
    }
}

/// Tenths below ten seconds, whole seconds above.
fn seconds(s: f64) -> String {
    if s < 9.95 {
        format!("{s:.1}")
    } else {
        format!("{s:.0}")
    }
}
