//! The published findings of the positional tests against runs of the same tests in the mean ear.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth};
use lithodrome_nystagmus::Cover;
use lithodrome_rehearsal::{
    Case, EyesEntry, Mechanism, NystagmusReport, expected, library_entry, load_anatomy,
};

/// How long the judged step is watched, s: long enough to see a minute pass.
pub(crate) const WATCHED_S: f64 = 120.0;

/// One published finding; sources stand in the table.
pub(crate) struct Row {
    pub(crate) number: u32,
    pub(crate) entry: String,
    pub(crate) step: usize,
    pub(crate) canal: CanalId,
    pub(crate) mechanisms: Vec<Mechanism>,
    beat: [String; 4],
    /// Latency and duration, s, where they were read in the source.
    timing_s: Option<[(f64, f64); 2]>,
}

pub(crate) fn rows() -> Vec<Row> {
    let mut table =
        csv::Reader::from_reader(include_bytes!("data/positional_findings.csv").as_slice());
    table
        .records()
        .map(|record| {
            let cells: Vec<String> = record.unwrap().iter().map(str::to_owned).collect();
            let range = |text: &str| {
                let (low, high) = text.split_once('-').unwrap();
                (low.parse().unwrap(), high.parse().unwrap())
            };
            Row {
                number: cells[0].parse().unwrap(),
                entry: cells[1].clone(),
                step: cells[2].parse::<usize>().unwrap() - 1,
                canal: CanalId {
                    ear: Ear::ALL.into_iter().find(|e| e.name() == cells[3]).unwrap(),
                    canal: Canal::ALL
                        .into_iter()
                        .find(|c| c.name() == cells[4])
                        .unwrap(),
                },
                // A cupula shows the same with debris on either face.
                mechanisms: Mechanism::ALL
                    .into_iter()
                    .filter(|m| m.name().split(',').next() == Some(&cells[5]))
                    .collect(),
                beat: [6, 7, 8, 9].map(|i| cells[i].clone()),
                timing_s: (cells[13] == "read").then(|| [range(&cells[10]), range(&cells[11])]),
            }
        })
        .collect()
}

/// The rows call torsion geotropic and apogeotropic too.
pub(crate) const ASKED_FOR_TORSION: EyesEntry = EyesEntry {
    cover: Cover::InfraredVideo,
    gaze_right_deg: 0.0,
    gaze_up_deg: 0.0,
    torsion_has_sense: true,
};

/// What of a row does not come out: "direction", "latency", "duration".
pub(crate) fn differences(row: &Row, seen: &NystagmusReport) -> Vec<&'static str> {
    let mut different = Vec::new();
    let beat = [seen.vertical, seen.torsion, seen.horizontal, seen.sense];
    if row
        .beat
        .iter()
        .zip(beat)
        .any(|(published, ours)| published != ours)
    {
        different.push("direction");
    }
    if let Some([latency_s, duration_s]) = row.timing_s {
        let within = |value: f64, range: (f64, f64)| value >= range.0 && value <= range.1;
        if !within(seen.latency_s, latency_s) {
            different.push("latency");
        }
        if !within(seen.duration_s, duration_s) {
            different.push("duration");
        }
    }
    different
}

pub(crate) fn words(seen: &NystagmusReport) -> String {
    format!(
        "{} {} {} {}, latency {:.1} s, duration {:.1} s, peak {:.1} deg/s at {:.1} s, {:.1?}",
        seen.vertical,
        seen.torsion,
        seen.horizontal,
        seen.sense,
        seen.latency_s,
        seen.duration_s,
        seen.peak_spv_deg_s,
        seen.peak_at_s,
        seen.peak_components_deg_s,
    )
}

/// Every row is a run of its own in which the row's side is tested first: only then the debris lies
/// where the row says. Directions are compared exactly, times where the source was read.
#[test]
fn published_findings_come_out_but_for_the_known_shortfalls() {
    let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
    let labyrinth = Arc::new(Labyrinth::build(&anatomy).unwrap());
    let mut failing: BTreeMap<u32, Vec<&str>> = BTreeMap::new();
    let rows = rows();
    assert_eq!(rows.len(), 27);
    for row in &rows {
        assert!(!row.mechanisms.is_empty(), "row {}", row.number);
        let mut test = library_entry(&row.entry).unwrap().unwrap().scenario;
        test.steps[row.step].hold_s = WATCHED_S;
        test.eyes = Some(ASKED_FOR_TORSION);
        for mechanism in &row.mechanisms {
            let case = Case::new(row.canal, *mechanism);
            let steps = expected(&labyrinth, &case, &test).unwrap();
            let seen = &steps[row.step].nystagmus;
            let different = differences(row, seen);
            println!(
                "row {:2} {} {}: {}: {different:?}",
                row.number,
                row.entry,
                mechanism.name(),
                words(seen)
            );
            if !different.is_empty() {
                failing.entry(row.number).or_default().extend(different);
            }
        }
    }
    for list in failing.values_mut() {
        list.sort_unstable();
        list.dedup();
    }
    let known: BTreeMap<u32, Vec<&str>> = KNOWN
        .iter()
        .map(|(row, what, _)| (*row, what.to_vec()))
        .collect();
    assert_eq!(failing, known);
}

/// Rows that do not come out, what of them, and why (measured in the mean ear, eight clumps of 50 µm).
/// What most of them hinge on is shown by runs in `positional_conditions`.
const KNOWN: [(u32, &[&str], &str); 6] = [
    (
        2,
        &["direction"],
        "seen from 18 s on: what rests at the bottom of the canal when sitting lies at its top in the \
         Dix-Hallpike of the other side, hung by 20 or by 30°, and creeps off it away from the cupula; \
         in the planes of Blanks 1975 nothing is seen",
    ),
    (
        8,
        &["direction"],
        "the far arm of the mean canal has no resting place when sitting: within 6 s the clumps slide \
         to 5 mm from the cupula, from where lying back drives them away from it; held near the common \
         crus, where the source puts them, they beat as published",
    ),
    (9, &["direction"], "as row 8"),
    (
        18,
        &["direction"],
        "7 deg/s the other way: by the planes of Della Santina 2005 the lowest point of the canal moves by \
         6° toward the cupula on lying down; the published way in those of Blanks 1975 (and of Wu 2021, \
         2 deg/s); 15 of 34 patients beat this way (Oh 2014)",
    ),
    (
        19,
        &["direction"],
        "the debris stands 0.2 mm beyond the hill when bent forward and has left the lateral canal during \
         the bow before; comes out in the planes of Blanks 1975 and Wu 2021",
    ),
    (
        20,
        &["direction"],
        "as row 19: bent forward, the clumps leave the canal through its far end instead of running to the \
         cupula",
    ),
];
