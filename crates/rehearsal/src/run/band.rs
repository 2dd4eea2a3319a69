//! One manoeuvre in a band of plausible ears and debris: what is told is what they agree on.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth, Variation, Vec3, frame};

use super::judged::judge_scenario;
use crate::check::check;
use crate::error::RehearsalError;
use crate::measures::UprightDivides;
use crate::report::{ClearedIn, Judged, Report, Verdict};
use crate::scenario::{DebrisEntry, Scenario};
use crate::units::deg;

/// Numbers of debris that take the place of a scenario's own; what is left out stays.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct DebrisNumbers {
    /// Multiplies every diameter.
    pub diameter_share: Option<f64>,
    /// Density, g/cm³.
    pub density_g_cm3: Option<f64>,
    /// Hold of the wall after a long rest, in multiples of the weight.
    pub wall_g: Option<f64>,
}

impl DebrisNumbers {
    /// The entry with these numbers.
    pub fn applied(&self, entry: &DebrisEntry) -> DebrisEntry {
        let mut entry = entry.clone();
        if let Some(share) = self.diameter_share {
            entry.diameter_um *= share;
        }
        entry.density_g_cm3 = self.density_g_cm3.or(entry.density_g_cm3);
        if let Some(wall_g) = self.wall_g {
            entry.adhesion.get_or_insert_default().wall_g = wall_g;
        }
        entry
    }
}

/// One plausible ear with its debris.
#[derive(Clone, Debug)]
pub struct Member {
    /// What tells it from the others, such as ("calibre of the duct, mm", 0.17), in the same order in all.
    pub numbers: Vec<(String, f64)>,
    /// Its ears.
    pub labyrinth: Arc<Labyrinth>,
    /// Its debris.
    pub debris: DebrisNumbers,
}

/// What a band says of a manoeuvre.
#[derive(Debug)]
pub struct BandVerdict {
    /// The word that all members agree on, or [`Verdict::Depends`].
    pub verdict: Verdict,
    /// How many clear.
    pub cleared_in: ClearedIn,
    /// Numbers that part the members that clear from the others, the strongest first; with none, none of
    /// the numbers alone tells them apart.
    pub depends_on: Vec<String>,
    /// Each member's outcome; one that failed clears nothing.
    pub members: Vec<Result<Judged, RehearsalError>>,
}

/// Runs a manoeuvre in every member of a band. `progress` hears the share of members done.
///
/// # Errors
/// The scenario itself; a member that fails is told in [`BandVerdict::members`].
pub fn verdict_over(
    scenario: &Scenario,
    band: &[Member],
    progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<BandVerdict, RehearsalError> {
    check(scenario)?;
    let mut members = Vec::with_capacity(band.len());
    for member in band {
        let mut posed = scenario.clone();
        for entry in &mut posed.debris {
            *entry = member.debris.applied(entry);
        }
        let done = members.len() as f64;
        let mut tell = |share: f64| progress((done + share) / band.len() as f64);
        members.push(judge_scenario(&posed, &member.labyrinth, None, &mut tell));
    }
    let words: Vec<Option<Verdict>> = members
        .iter()
        .map(|m| m.as_ref().ok().map(|judged| judged.verdict))
        .collect();
    let cleared: Vec<bool> = words
        .iter()
        .map(|word| *word == Some(Verdict::Cleared))
        .collect();
    let verdict = match words.split_first() {
        Some((Some(first), rest)) if rest.iter().all(|word| *word == Some(*first)) => *first,
        _ => Verdict::Depends,
    };
    Ok(BandVerdict {
        verdict,
        cleared_in: ClearedIn {
            cleared: cleared.iter().filter(|c| **c).count(),
            of: members.len(),
        },
        depends_on: if verdict == Verdict::Depends {
            depends_on(band, &cleared)
        } else {
            Vec::new()
        },
        members,
    })
}

impl Report {
    /// The report with what a band says in the place of one ear's answer.
    #[must_use]
    pub fn over_band(mut self, band: &BandVerdict) -> Report {
        self.verdict = band.verdict;
        self.cleared = band.verdict == Verdict::Cleared;
        self.cleared_in = Some(band.cleared_in);
        self.depends_on.clone_from(&band.depends_on);
        self
    }
}

/// Numbers whose ranks differ between members that clear and those that do not by more than chance: twice
/// the standard error of the rank sum (Mann & Whitney 1947, Ann Math Stat 18:50).
fn depends_on(band: &[Member], cleared: &[bool]) -> Vec<String> {
    let yes = cleared.iter().filter(|c| **c).count() as f64;
    let no = cleared.len() as f64 - yes;
    let Some(first) = band.first() else {
        return Vec::new();
    };
    let mut found: Vec<(f64, &str)> = Vec::new();
    for (k, (name, _)) in first.numbers.iter().enumerate() {
        let value = |i: usize| band[i].numbers.get(k).map_or(0.0, |n| n.1);
        let mut u = 0.0;
        for i in (0..band.len()).filter(|&i| cleared[i]) {
            for j in (0..band.len()).filter(|&j| !cleared[j]) {
                u += match value(i).total_cmp(&value(j)) {
                    std::cmp::Ordering::Greater => 1.0,
                    std::cmp::Ordering::Equal => 0.5,
                    std::cmp::Ordering::Less => 0.0,
                };
            }
        }
        let sd = (yes * no * (yes + no + 1.0) / 12.0).sqrt();
        let z = (u - 0.5 * yes * no) / sd;
        if z.abs() >= 2.0 {
            found.push((z.abs(), name));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, name)| name.to_owned()).collect()
}

/// An anatomy and ears drawn about it by fixed seeds, `of` in all, to judge in until a set of ears is given
/// that published outcomes leave plausible. Draws that cannot be built are passed over.
pub fn drawn_band(anatomy: &Anatomy, of: usize) -> Result<Vec<Member>, RehearsalError> {
    let own = Labyrinth::build(anatomy).map_err(|error| RehearsalError::Anatomy {
        path: anatomy.name.clone().into(),
        error,
    })?;
    let variation = Variation::published();
    let drawn = (1..).take(20 * of.max(1));
    let drawn = drawn.filter_map(|seed| variation.labyrinth(anatomy, seed).ok());
    Ok(std::iter::once(own)
        .chain(drawn)
        .take(of)
        .map(|labyrinth| Member {
            numbers: numbers_of(&labyrinth),
            labyrinth: Arc::new(labyrinth),
            debris: DebrisNumbers::default(),
        })
        .collect())
}

/// What tells one ear from another and may decide where debris goes.
fn numbers_of(labyrinth: &Labyrinth) -> Vec<(String, f64)> {
    let ear = labyrinth.ear(Ear::Right);
    let up = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse() * Vec3::z();
    let marks = ear.canal(Canal::Anterior).landmarks;
    let crus = ear.tube(Canal::Anterior);
    let middle_mm = 0.5 * (marks.duct_end_mm + marks.opening_mm);
    let tilt_deg = deg((-crus.at(middle_mm).1.dot(&up)).clamp(-1.0, 1.0).acos());
    let divides = UprightDivides::of(labyrinth);
    let mut numbers = vec![("tilt of the common crus, degrees".to_owned(), tilt_deg)];
    for canal in Canal::ALL {
        let shape = ear.canal(canal);
        let id = lithodrome_labyrinth::CanalId {
            ear: Ear::Right,
            canal,
        };
        let name = canal.name();
        let plane = deg(shape.n_exc_in_reid.dot(&up).clamp(-1.0, 1.0).acos());
        numbers.push((format!("tilt of the {name} canal, degrees"), plane));
        let measures = ear.measures(canal);
        numbers.push((
            format!("calibre of the {name} duct, mm"),
            measures.duct_radius_mm,
        ));
        numbers.push((
            format!("length of the {name} duct, mm"),
            measures.duct_length_mm,
        ));
        let beyond = shape.landmarks.duct_end_mm - divides.arc_mm(id);
        numbers.push((
            format!("way into the {name} canal to its divide, mm"),
            beyond,
        ));
    }
    numbers
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::compile::load_anatomy;
    use crate::library::library_entry;

    fn member(value: f64) -> Member {
        let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
        Member {
            numbers: vec![("a".to_owned(), value), ("b".to_owned(), 1.0)],
            labyrinth: Arc::new(Labyrinth::build(&anatomy).unwrap()),
            debris: DebrisNumbers::default(),
        }
    }

    /// Six against six, all of one group above the other: U = 36 of 36, mean 18, standard error
    /// √(36 · 13 / 12) = 6.24, so z = 2.88. One against eleven cannot be told: z = 5.5 / 3.45 = 1.59.
    #[test]
    fn a_number_that_parts_the_members_is_named() {
        let one = member(0.0);
        let band: Vec<Member> = (0..12)
            .map(|i| Member {
                numbers: vec![("a".to_owned(), f64::from(i)), ("b".to_owned(), 1.0)],
                ..one.clone()
            })
            .collect();
        let halves: Vec<bool> = (0..12).map(|i| i >= 6).collect();
        assert_eq!(depends_on(&band, &halves), ["a"]);
        let one_only: Vec<bool> = (0..12).map(|i| i == 11).collect();
        assert!(depends_on(&band, &one_only).is_empty());
        assert!(depends_on(&[], &[]).is_empty());
    }

    /// A whole-body Epley in the same ear with the case's clumps and with pieces of 2 µm, which need hours
    /// (Stokes: speed goes with the square of the diameter): the word is "depends", never the one ear's.
    #[test]
    fn members_that_disagree_are_told_as_such() {
        let epley = library_entry("right-posterior-epley-bedside")
            .unwrap()
            .unwrap();
        let usual = member(1.0);
        let mut tiny = member(0.0);
        tiny.debris.diameter_share = Some(0.04);
        let go_on = &mut |_| ControlFlow::Continue(());
        let both = verdict_over(&epley.scenario, &[usual.clone(), tiny], go_on).unwrap();
        assert_eq!(both.verdict, Verdict::Depends, "{:?}", both.members);
        assert_eq!(both.cleared_in.of, 2);
        let alone = verdict_over(&epley.scenario, &[usual.clone(), usual], go_on).unwrap();
        assert_ne!(alone.verdict, Verdict::Depends);
    }
}
