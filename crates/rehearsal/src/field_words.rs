//! A field of a file in the words of a clinician: "step 3, time of the move" for `steps[3].move_s`.

/// Parts of a path that no one reads as they are written, with their words.
const WORDS: [(&str, &str); 31] = [
    ("steps", "step"),
    ("debris", "debris"),
    ("cupulae", "cupula"),
    ("recorded", "recorded sample"),
    ("limits", "limit of the patient"),
    ("chair_limits", "limit of the chair"),
    ("chair", "start of the chair"),
    ("move_s", "time of the move"),
    ("hold_s", "time at rest"),
    ("at_s", "time"),
    ("sat_s", "time sat before"),
    ("stop_s", "time of the stop"),
    ("at", "place"),
    ("mm", "distance from the cupula"),
    ("down_in_head", "direction of the head"),
    ("head_down_deg", "head below the horizontal"),
    ("inverted_s", "time with the head below the horizontal"),
    ("speed_deg_s", "speed of a turn"),
    ("acceleration_deg_s2", "acceleration of a turn"),
    ("headrest_flexion_deg", "flexion of the headrest"),
    ("visible_spv_deg_s", "slow phase that is seen"),
    ("attachment_g", "hold on the cupula"),
    ("wall_g", "hold on the wall"),
    ("wear_s", "time until the hold has worn off"),
    ("growth_s", "time until the hold has grown"),
    ("sets_s", "time until it is held"),
    ("excess_kg_m3", "density beyond endolymph"),
    ("amplitude_mm", "amplitude"),
    ("move", "kind of move"),
    ("neck", "neck"),
    ("body", "carrier"),
];

/// Units at the end of a field's name.
const UNITS: [&str; 12] = [
    "_deg_s2", "_g_cm3", "_kg_m3", "_deg_s", "_deg", "_um", "_mm", "_hz", "_g", "_s", "_pa", "_m",
];

/// The path in words; a single field without an index stays as it is written.
pub(crate) fn in_words(path: &str) -> String {
    if !path.contains(['.', '[']) {
        return path.to_owned();
    }
    let parts: Vec<String> = path.split('.').map(part_in_words).collect();
    parts.join(", ")
}

fn part_in_words(part: &str) -> String {
    match part.split_once('[') {
        Some((name, rest)) => format!("{} {}", word(name), rest.trim_end_matches(']')),
        None => word(part),
    }
}

fn word(name: &str) -> String {
    if let Some((_, words)) = WORDS.iter().find(|(field, _)| *field == name) {
        return (*words).to_owned();
    }
    let unit = UNITS.iter().find(|unit| name.ends_with(*unit));
    let bare = unit.map_or(name, |unit| &name[..name.len() - unit.len()]);
    bare.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_told_in_words() {
        for (path, words) in [
            ("steps[3].move_s", "step 3, time of the move"),
            ("debris[1].diameter_um", "debris 1, diameter"),
            (
                "debris[2].adhesion.wall_g",
                "debris 2, adhesion, hold on the wall",
            ),
            (
                "limits.head_down_deg",
                "limit of the patient, head below the horizontal",
            ),
            (
                "steps[2].move.frequency_hz",
                "step 2, kind of move, frequency",
            ),
            ("anatomy", "anatomy"),
        ] {
            assert_eq!(in_words(path), words);
        }
    }
}
