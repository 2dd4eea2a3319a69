//! Several canals, one ear or both: in which order they are treated, and what each treatment does to the debris
//! of the others. Everything is a run.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{
    Carrier, Case, LibraryEntry, Mechanism, Scenario, StepEntry, UPRIGHT_BEFORE_CONTROL_S, Verdict,
    check, judge_scenario,
};
use serde::Serialize;

use super::patient::Suspected;
use crate::VisitError;

/// As patients are sat up elsewhere, s.
const SIT_UP_S: f64 = 3.0;
/// Turning to where the next treatment begins, upright, s (assumed).
const TURN_S: f64 = 4.0;

/// The treatments of several canals, one after the other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Course {
    /// Suspected canal and the title of its treatment, in the order in which they are treated.
    pub order: Vec<(Suspected, String)>,
    /// Why in this order.
    pub why: String,
    /// What each treatment does to the debris of the other canals.
    pub effects: Vec<SideEffect>,
    /// How the whole course ends, with all debris in.
    pub ends: String,
    /// The whole course with all debris, waits of 15 min upright in between.
    #[serde(skip)]
    pub scenario: Scenario,
}

/// What one treatment does to debris that it is not meant for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SideEffect {
    /// The treatment.
    pub treatment: String,
    /// What it is meant for.
    pub meant_for: Suspected,
    /// Where the other debris begins.
    pub on: Suspected,
    /// What becomes of it, in a sentence.
    pub words: String,
    /// It gets into another canal or is held.
    pub harms: bool,
}

impl SideEffect {
    /// The whole of it in a sentence.
    pub fn sentence(&self) -> String {
        let (treatment, on) = (&self.treatment, self.on.id().name());
        format!("{treatment}, to debris of the {on}: {}", self.words)
    }
}

/// One canal with the treatment that was chosen for it.
pub(super) type Chosen<'a> = (Suspected, &'a LibraryEntry);

/// The course of the treatments chosen for several canals; `None` for one canal or none, and where a treatment
/// is not the chair's.
///
/// # Errors
/// A treatment that cannot be computed.
pub(super) fn course_of(
    chosen: &[Chosen<'_>],
    labyrinth: &Arc<Labyrinth>,
) -> Result<Option<Course>, VisitError> {
    let in_chair =
        |(_, entry): &Chosen<'_>| matches!(entry.scenario.body.unwrap_or_default(), Carrier::Chair);
    if chosen.len() < 2 || !chosen.iter().all(in_chair) {
        return Ok(None);
    }
    let mut effects = Vec::new();
    let mut harms = vec![vec![false; chosen.len()]; chosen.len()];
    for (i, (meant_for, entry)) in chosen.iter().enumerate() {
        for (j, (on, _)) in chosen.iter().enumerate() {
            if i == j {
                continue;
            }
            let posed = case_of(*on).posed_in(&entry.scenario);
            let (verdict, words) = judged(&posed, labyrinth)?;
            harms[i][j] = matches!(verdict, Verdict::Switched | Verdict::Held);
            effects.push(SideEffect {
                treatment: entry.scenario.title.clone(),
                meant_for: *meant_for,
                on: *on,
                words,
                harms: harms[i][j],
            });
        }
    }
    let order = least_harm(&harms);
    let treated: Vec<Chosen<'_>> = order.iter().map(|&i| chosen[i]).collect();
    let scenario = whole(&treated);
    check(&scenario).map_err(lithodrome_rehearsal::RehearsalError::from)?;
    let (_, ends) = judged(&scenario, labyrinth)?;
    Ok(Some(Course {
        why: why(&harms, &order),
        order: treated
            .iter()
            .map(|(suspected, entry)| (*suspected, entry.scenario.title.clone()))
            .collect(),
        effects,
        ends,
        scenario,
    }))
}

fn case_of(suspected: Suspected) -> Case {
    let place = suspected.mechanism.unwrap_or(Mechanism::AmpullaryArm);
    Case::new(suspected.id(), place)
}

fn judged(
    scenario: &Scenario,
    labyrinth: &Arc<Labyrinth>,
) -> Result<(Verdict, String), VisitError> {
    let judged = judge_scenario(
        scenario,
        labyrinth,
        None,
        &mut |_| ControlFlow::Continue(()),
    )?;
    Ok((judged.verdict, judged.sentence()))
}

/// The order in which the fewest canals are harmed that are still to be treated; of equal ones that which stays
/// nearest to the order given.
fn least_harm(harms: &[Vec<bool>]) -> Vec<usize> {
    let mut best = (usize::MAX, Vec::new());
    orders(&mut Vec::new(), harms.len(), &mut |order| {
        let harm = order.iter().enumerate().map(|(at, &i)| {
            let later = order[at + 1..].iter();
            later.filter(|&&j| harms[i][j]).count()
        });
        let harm: usize = harm.sum();
        if harm < best.0 {
            best = (harm, order.to_vec());
        }
    });
    best.1
}

/// Every order of so many, the given one first.
fn orders(begun: &mut Vec<usize>, n: usize, tell: &mut dyn FnMut(&[usize])) {
    if begun.len() == n {
        tell(begun);
        return;
    }
    for i in 0..n {
        if !begun.contains(&i) {
            begun.push(i);
            orders(begun, n, tell);
            begun.pop();
        }
    }
}

fn why(harms: &[Vec<bool>], order: &[usize]) -> String {
    let as_given = order.iter().enumerate().all(|(at, &i)| at == i);
    let any = harms.iter().flatten().any(|harm| *harm);
    match (as_given, any) {
        (_, false) => "In the order suspected: no treatment harms the others' debris".to_owned(),
        (true, true) => "In the order suspected: no other order harms less".to_owned(),
        (false, true) => {
            "What would bring another canal's debris astray comes after that canal".to_owned()
        }
    }
}

/// All treatments one after the other with all debris, 15 min upright in between.
fn whole(treated: &[Chosen<'_>]) -> Scenario {
    let mut all = treated[0].1.scenario.clone();
    all.title = treated
        .iter()
        .map(|(suspected, _)| suspected.id().name())
        .collect::<Vec<_>>()
        .join(", then ")
        + ": the whole course";
    (all.notes, all.about) = (None, None);
    all.debris = treated
        .iter()
        .flat_map(|(suspected, entry)| case_of(*suspected).posed_in(&entry.scenario).debris)
        .collect();
    for (_, entry) in &treated[1..] {
        follow(&mut all, &entry.scenario);
    }
    all
}

/// Sits the patient up, has him wait, turns him to where the next treatment begins and adds its steps.
fn follow(all: &mut Scenario, next: &Scenario) {
    let start = [all.chair.yaw_deg, all.chair.track_deg];
    let here = all.angles_deg().last().copied().unwrap_or(start);
    let near = |angle: f64, here: f64| 360.0 * ((here - angle) / 360.0).round();
    let upright_deg = near(0.0, here[1]);
    if (here[1] - upright_deg).abs() > 1e-6 {
        all.steps.push(StepEntry {
            name: "Sit up".to_owned(),
            track_deg: Some(upright_deg),
            move_s: SIT_UP_S,
            hold_s: 0.0,
            ..StepEntry::default()
        });
    }
    // Whole turns are kept: nothing unwinds by itself.
    let turns = [
        near(next.chair.yaw_deg, here[0]),
        near(next.chair.track_deg, upright_deg),
    ];
    all.steps.push(StepEntry {
        name: "Wait upright, then the next canal".to_owned(),
        yaw_deg: Some(next.chair.yaw_deg + turns[0]),
        track_deg: Some(next.chair.track_deg + turns[1]),
        headrest_flexion_deg: Some(next.chair.headrest_flexion_deg),
        move_s: TURN_S,
        hold_s: UPRIGHT_BEFORE_CONTROL_S,
        ..StepEntry::default()
    });
    all.steps.extend(next.steps.iter().map(|step| StepEntry {
        yaw_deg: step.yaw_deg.map(|deg| deg + turns[0]),
        track_deg: step.track_deg.map(|deg| deg + turns[1]),
        ..step.clone()
    }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_harms_another_comes_after_it() {
        let none = vec![vec![false; 2]; 2];
        assert_eq!(least_harm(&none), [0, 1]);
        let first_harms = vec![vec![false, true], vec![false, false]];
        assert_eq!(least_harm(&first_harms), [1, 0]);
        assert!(why(&first_harms, &[1, 0]).contains("comes after"));
        // 0 harms 2, 2 harms 1: 1 before 2 before 0.
        let mut three = vec![vec![false; 3]; 3];
        (three[0][2], three[2][1]) = (true, true);
        assert_eq!(least_harm(&three), [1, 2, 0]);
    }
}
