//! Which manoeuvre clears what: ranked from a map, for either ear, within a patient's limits.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::ops::ControlFlow;

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{Limits, Mechanism, library_entry};
use lithodrome_study::{
    CaseMixture, DoneBy, MapCell, MapQuestion, OutcomeMap, Provenance, Ranked, RunEnd,
    SIZE_CLASSES_UM, Treatment, carried, holds_on_cupula, map_ear, ranked, shares_by_hold,
};

const EARS: u32 = 10;

/// A map of the right posterior canal whose letters are written by hand.
fn map(cells: &[(&str, Mechanism, &str)]) -> OutcomeMap {
    let end = |letter| match letter {
        'C' => Some(RunEnd::Cleared),
        'B' => Some(RunEnd::BehindCupula),
        'S' => Some(RunEnd::Switched),
        'F' => None,
        _ => Some(RunEnd::Inside),
    };
    let cell = |(manoeuvre, place, letters): &(&str, Mechanism, &str)| MapCell {
        manoeuvre: (*manoeuvre).to_owned(),
        canal: Canal::Posterior,
        place: *place,
        size_um: SIZE_CLASSES_UM[1],
        ends: letters.chars().map(end).collect(),
        switched_to: letters
            .chars()
            .map(|letter| (letter == 'S').then_some(Canal::Anterior))
            .collect(),
    };
    let mixture = CaseMixture::usual().unwrap();
    OutcomeMap {
        provenance: Provenance {
            version: "0".to_owned(),
            model: 1,
            mixture: mixture.title,
            anatomy: "mean-adult".to_owned(),
            seed: 1,
            ears: EARS,
        },
        cells: cells.iter().map(cell).collect(),
    }
}

fn by_hand() -> OutcomeMap {
    use Mechanism::{AmpullaryArm, CupulaCanalSide, ShortArm};
    map(&[
        ("right-posterior-semont", AmpullaryArm, "CCCCCCCIII"),
        (
            "right-posterior-epley-whole-body",
            AmpullaryArm,
            "CCCCBBBBIS",
        ),
        (
            "left-posterior-epley-whole-body",
            AmpullaryArm,
            "IIIIIIIIIF",
        ),
        ("right-posterior-epley-whole-body", ShortArm, "CCCBBBBBBB"),
        ("right-posterior-semont", CupulaCanalSide, "CIIIIIIIII"),
    ])
}

fn names(rows: &[Ranked]) -> Vec<&str> {
    rows.iter().map(|row| row.name.as_str()).collect()
}

#[test]
fn the_best_comes_first_and_what_the_patient_does_not_allow_last() {
    let treatments = Treatment::all().unwrap();
    let mut asked = MapQuestion::default();
    let rows = ranked(&by_hand(), &treatments, &asked);
    assert_eq!(
        names(&rows),
        [
            "right-posterior-epley-whole-body",
            "right-posterior-semont",
            "left-posterior-epley-whole-body"
        ]
    );
    // By hand: 4 cleared and 4 behind the cupula are out of the long arm, 1 switched.
    assert_eq!(
        (rows[0].out.count, rows[0].out.of, rows[0].switched.count),
        (8, 10, 1)
    );
    assert!(rows[0].is_meant && !rows[2].is_meant);
    // 7 of 10 may be as good as 8 of 10, none of 10 is not.
    let near: Vec<bool> = rows.iter().map(|row| row.is_near_best).collect();
    assert_eq!(near, [true, true, false]);
    // A whole-body Epley hangs the head 30° below the horizontal.
    assert!((rows[0].strain.lowest_head_deg - 30.0).abs() < 0.5);
    asked.limits = Limits {
        head_down_deg: Some(25.0),
        ..Limits::default()
    };
    let rows = ranked(&by_hand(), &treatments, &asked);
    assert_eq!(rows[0].name, "right-posterior-semont");
    assert!(rows[0].breaks.is_empty(), "{:?}", rows[0].breaks);
    let refused = rows
        .iter()
        .find(|r| r.name == "right-posterior-epley-whole-body");
    assert!(refused.unwrap().breaks[0].contains("below the horizontal"));
    // In a short arm "behind the cupula" is where it began.
    asked.place = Mechanism::ShortArm;
    let rows = ranked(&by_hand(), &treatments, &asked);
    assert_eq!((rows.len(), rows[0].out.count), (1, 3));
    asked.size = 0;
    assert!(ranked(&by_hand(), &treatments, &asked).is_empty());
}

#[test]
fn the_left_ear_is_the_mirror_image() {
    let map = by_hand();
    let treatments = Treatment::all().unwrap();
    let right = MapQuestion::default();
    let left = MapQuestion {
        canal: CanalId {
            ear: Ear::Left,
            canal: Canal::Posterior,
        },
        ..right
    };
    let rows = ranked(&map, &treatments, &left);
    assert_eq!(rows[0].name, "left-posterior-epley-whole-body");
    assert!(rows[0].title.starts_with("Left") && rows[0].is_meant);
    let written = |name| library_entry(name).unwrap().unwrap().scenario;
    let of_right = map_ear(&map, &right, &written("right-posterior-semont"), 3).unwrap();
    let of_left = map_ear(&map, &left, &written("left-posterior-semont"), 3).unwrap();
    assert_eq!(of_left.scenario.debris, of_right.scenario.mirrored().debris);
    let angles = |s: &lithodrome_rehearsal::Scenario| s.angles_deg();
    for (a, b) in angles(&of_left.scenario)
        .iter()
        .zip(angles(&of_right.scenario))
    {
        assert!((a[1] + b[1]).abs() < 1e-9);
    }
    assert_eq!(
        of_left.scenario.title,
        "Left posterior canal, Semont, ear 4 of 10"
    );
}

#[test]
fn a_stiff_neck_stands_beside_a_healthy_one_and_the_chair() {
    let map = by_hand();
    let asked = MapQuestion::default();
    let written = library_entry("right-posterior-epley-bedside").unwrap();
    let written = written.unwrap().scenario;
    let rows = carried(&map, &asked, &written, None, &|_, _| {
        ControlFlow::Continue(())
    })
    .unwrap();
    let carriers: Vec<DoneBy> = rows.iter().map(|row| row.carrier).collect();
    assert_eq!(carriers, DoneBy::ALL);
    assert!(rows.iter().all(|row| row.ends.len() == EARS as usize));
    // In the chair nothing falls short, a neck that bends back by 10° does.
    assert!(rows[0].short_deg == 0.0 && rows[2].short_deg > 5.0);
    assert!(rows[1].out.count >= rows[2].out.count, "{rows:?}");
}

#[test]
fn debris_on_a_cupula_is_told_by_how_firmly_it_is_held() {
    let map = by_hand();
    let mut asked = MapQuestion::default();
    let ends = map.cells[4].ends.clone();
    assert_eq!(holds_on_cupula(&map, &asked).unwrap(), [0.0; 0]);
    asked.place = Mechanism::CupulaCanalSide;
    let holds_g = holds_on_cupula(&map, &asked).unwrap();
    let shares = shares_by_hold(&holds_g, &asked, &ends);
    assert_eq!(
        shares.iter().map(|s| s.out.of).sum::<u64>(),
        u64::from(EARS)
    );
    assert_eq!(shares.iter().map(|s| s.out.count).sum::<u64>(), 1);
    // Holds are spread evenly from 0.5 to 4: most are beyond what a throw frees.
    let firm = shares.last().unwrap();
    assert!(firm.from_g > 1.4 && firm.out.of >= 5, "{shares:?}");
}
