//! Runs judged with all that follows a manoeuvre: the words of the window, ear by ear.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::{Canal, Labyrinth, Region};
use lithodrome_rehearsal::{Judged, Scenario, judge_scenario};

use super::question::{Built, Question, scenario_of};
use super::{Ended, Row, RunEnd};
use crate::population::CaseDraw;

/// The rows of one case, `[sequence]`.
pub(super) fn judged_rows(question: &Question, draw: &CaseDraw, labyrinth: &Built) -> Vec<Row> {
    question
        .sequences
        .iter()
        .zip(0..)
        .map(|(sequence, number)| Row {
            index: draw.point.index,
            sequence: number,
            end: labyrinth
                .as_ref()
                .map_err(|e| format!("ear: {e}"))
                .and_then(|labyrinth| {
                    let scenario = scenario_of(question, sequence, draw, labyrinth);
                    followed(&scenario, labyrinth)
                }),
        })
        .collect()
}

/// The end of a run that is followed through the control test.
pub(super) fn followed(scenario: &Scenario, labyrinth: &Arc<Labyrinth>) -> Result<Ended, String> {
    let go_on = &mut |_| ControlFlow::Continue(());
    let judged = judge_scenario(scenario, labyrinth, None, go_on).map_err(|e| e.to_string())?;
    Ok(ended(scenario, &judged))
}

fn ended(scenario: &Scenario, judged: &Judged) -> Ended {
    let word = RunEnd::from(judged.verdict);
    let exit = judged
        .exit
        .as_ref()
        .filter(|e| e.step <= scenario.steps.len());
    Ended {
        word,
        region: region_of(word, judged),
        arc_mm: 0.0,
        exit_s: exit.map(|e| e.time_s),
        exit_step: exit.map(|e| e.step as u32 + 1),
        spare_s: exit.map(|e| e.spare_s),
        nearest_miss_mm: judged.nearest_miss.as_ref().map(|m| m.mm),
        nearest_miss_s: judged.nearest_miss.as_ref().map(|m| m.seconds),
    }
}

/// The part that the word is about.
fn region_of(word: RunEnd, judged: &Judged) -> Region {
    let duct_of = |names: &[String]| {
        let ends = |name: &String, canal: &Canal| name.ends_with(canal.name());
        let canal = |name| Canal::ALL.into_iter().find(|canal| ends(name, canal));
        names.iter().find_map(canal).map(Region::Duct)
    };
    let found = match word {
        RunEnd::Cleared => None,
        RunEnd::Switched => duct_of(&judged.switched_to),
        RunEnd::Passing => duct_of(&judged.passing_in),
        RunEnd::BehindCupula | RunEnd::Inside | RunEnd::Held => {
            let ducts = Canal::ALL.into_iter().map(Region::Duct);
            let parts: Vec<Region> = Canal::ALL
                .into_iter()
                .map(Region::ShortArm)
                .chain(ducts)
                .chain([Region::CommonCrus])
                .collect();
            let named = |name: &str| parts.iter().find(|part| name.contains(part.name()));
            judged
                .places
                .iter()
                .find_map(|(name, _)| named(name))
                .copied()
        }
    };
    found.unwrap_or(Region::Utricle)
}
