//! Limits held against the angles of a plan, before a motion is made of it.

use lithodrome_chair::{BedPosture, ChairAngles, down_in_head, route};
use lithodrome_labyrinth::Vec3;

use super::breach::{Limit, LimitBreach, Whose};
use crate::check::check;
use crate::error::FieldError;
use crate::scenario::{Carrier, Limits, MoveEntry, Plan, Scenario, move_time_s, plan};
use crate::units::deg;

/// The limits that the rests of a scenario break: head below the horizontal, for how long, yaw, throws,
/// and the mean speed of a move. What a move does between its ends is told by [`crate::all_breaches`],
/// which breaks every limit that this does.
///
/// # Errors
/// A scenario that does not pass [`crate::check`].
pub fn breaches_of_angles(scenario: &Scenario) -> Result<Vec<LimitBreach>, FieldError> {
    check(scenario)?;
    let rests = rests(scenario);
    let owners = [
        (Whose::Patient, &scenario.limits),
        (Whose::Chair, &scenario.chair_limits),
    ];
    Ok(owners
        .into_iter()
        .filter_map(|(whose, limits)| Some((whose, limits.as_ref()?)))
        .flat_map(|(whose, limits)| of_rests(scenario, limits, whose, &rests))
        .collect())
}

/// The end of one step.
struct Rest {
    down: Vec3,
    at: ChairAngles,
    turn_deg: f64,
    start_s: f64,
    hold_from_s: f64,
    end_s: f64,
}

fn rests(scenario: &Scenario) -> Vec<Rest> {
    let plan = plan(scenario);
    let turns_deg = plan.turns_deg();
    let (downs, angles): (Vec<Vec3>, Option<Vec<ChairAngles>>) = match plan {
        Plan::Chair(ends) => (ends.iter().map(|a| down_in_head(*a)).collect(), Some(ends)),
        Plan::Bed { ends, .. } => (ends.iter().map(BedPosture::down_in_head).collect(), None),
        Plan::ThreeAxes(ends) => {
            let downs = ends.iter().map(|e| e.inverse() * -Vec3::z());
            (downs.collect(), None)
        }
    };
    let angles = angles.unwrap_or_else(|| route(ChairAngles::default(), &downs));
    let mut start_s = 0.0;
    let mut rests = Vec::with_capacity(scenario.steps.len());
    for (i, (step, turn_deg)) in scenario.steps.iter().zip(turns_deg).enumerate() {
        let hold_from_s = start_s + move_time_s(step, turn_deg);
        rests.push(Rest {
            down: downs[i + 1],
            at: angles[i + 1],
            turn_deg,
            start_s,
            hold_from_s,
            end_s: hold_from_s + step.hold_s,
        });
        start_s = hold_from_s + step.hold_s;
    }
    rests
}

fn of_rests(
    scenario: &Scenario,
    limits: &Limits,
    whose: Whose,
    rests: &[Rest],
) -> Vec<LimitBreach> {
    let mut breaches = Vec::new();
    let mut below_since_s: Option<f64> = None;
    for (step, rest) in rests.iter().enumerate() {
        let mut tell = |limit, time_s, found: f64, allowed: Option<f64>| {
            let Some(allowed) = allowed.filter(|allowed| found > allowed * (1.0 + 1e-6) + 1e-6)
            else {
                return;
            };
            breaches.push(LimitBreach {
                limit,
                whose,
                step,
                step_name: scenario.steps[step].name.clone(),
                time_s,
                since_s: time_s,
                at_deg: [deg(rest.at.yaw_rad), deg(rest.at.track_rad)],
                found,
                allowed,
            });
        };
        let below_deg = deg(rest.down.z.clamp(-1.0, 1.0).asin());
        tell(
            Limit::HeadDown,
            rest.hold_from_s,
            below_deg,
            limits.head_down_deg,
        );
        if below_deg > 0.01 {
            let since_s = *below_since_s.get_or_insert(rest.hold_from_s);
            tell(
                Limit::Inverted,
                rest.end_s,
                rest.end_s - since_s,
                limits.inverted_s,
            );
        } else {
            below_since_s = None;
        }
        tell(
            Limit::Yaw,
            rest.hold_from_s,
            deg(rest.at.yaw_rad.abs()),
            limits.yaw_deg,
        );
        let move_s = rest.hold_from_s - rest.start_s;
        if move_s > 0.0 {
            let middle_s = rest.start_s + 0.5 * move_s;
            tell(
                Limit::Speed,
                middle_s,
                mean_deg_s(scenario, rest),
                limits.speed_deg_s,
            );
        }
        let thrown = matches!(scenario.steps[step].movement, Some(MoveEntry::Throw { .. }));
        if thrown && rest.turn_deg > 0.0 {
            let allowed = limits.no_throw.then_some(0.0);
            tell(Limit::Throw, rest.start_s, rest.turn_deg, allowed);
        }
    }
    breaches
}

/// Mean speed of a move, deg/s; the head turns at least that fast somewhere in it. Joints of a body may
/// work against each other, so there nothing is known beforehand.
fn mean_deg_s(scenario: &Scenario, rest: &Rest) -> f64 {
    if scenario.body.is_some_and(Carrier::is_bed) {
        return 0.0;
    }
    rest.turn_deg / (rest.hold_from_s - rest.start_s)
}
