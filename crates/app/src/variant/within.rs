//! The best sequence within a patient's limits, out of those that were computed in the same ears.

use lithodrome_rehearsal::{Carrier, Scenario};
use lithodrome_study::{Share, Study, StudyReport};

use super::{form::Limits, words};

/// A sequence with what it asks and what it clears.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Its place in the study, counted from 0.
    pub sequence: usize,
    /// Farthest that the crown is below the horizontal, degrees; 0 if it never is.
    pub lowest_head_deg: f64,
    /// The same, negative where it stays above the horizontal.
    pub crown_below_deg: f64,
    /// Time with the crown below the horizontal, s.
    pub inverted_s: f64,
    /// The longest of it in one go, s.
    pub longest_inverted_s: f64,
    /// Holds, sitting at the beginning and the end not counted.
    pub holds: u32,
    /// Share of ears cleared.
    pub cleared: Share,
    /// Share of ears with all debris out of the long arms, cleared or behind the cupula.
    pub out: f64,
}

impl Candidate {
    /// A patient with these limits can bear it. Half a degree and half a second are the rounding of what is
    /// shown.
    pub fn is_within(&self, limits: &Limits) -> bool {
        self.crown_below_deg <= limits.lowest_head_deg + 0.5
            && self.longest_inverted_s <= limits.inverted_s + 0.5
            && self.holds <= limits.holds
    }
}

/// All sequences of a study, best first.
pub fn candidates(study: &Study, report: &StudyReport) -> Vec<Candidate> {
    let rows = report.sequences.iter().zip(&report.strain).enumerate();
    let mut all: Vec<Candidate> = rows
        .map(|(sequence, (summary, strain))| {
            let scenario = study.sequences.get(sequence).map(|s| &s.scenario);
            Candidate {
                sequence,
                lowest_head_deg: strain.lowest_head_deg,
                crown_below_deg: strain.crown_below_deg,
                inverted_s: strain.inverted_s,
                longest_inverted_s: strain.longest_inverted_s,
                holds: scenario.map_or(0, holds),
                cleared: words::cleared(summary),
                out: summary.shares.cleared + summary.shares.behind_cupula,
            }
        })
        .collect();
    all.sort_by(|a, b| {
        let by_share = b.cleared.share.total_cmp(&a.cleared.share);
        by_share.then(a.inverted_s.total_cmp(&b.inverted_s))
    });
    all
}

/// Holds that do not sit upright; at the bedside all but the last.
fn holds(scenario: &Scenario) -> u32 {
    let held = scenario.steps.iter().map(|step| step.hold_s > 0.0);
    let holds = match scenario.body.unwrap_or_default() {
        Carrier::Bedside { .. } => held.filter(|held| *held).count().saturating_sub(1),
        Carrier::Chair | Carrier::ThreeAxes => {
            // Within 25° of upright is sitting.
            let sits = |at: &[f64; 2]| at[1].to_radians().cos() > 0.9;
            let angles = scenario.angles_deg();
            let lying = held.zip(&angles).filter(|(held, at)| *held && !sits(at));
            lying.count()
        }
    };
    holds as u32
}

/// The best within limits; the list is best first.
pub fn best_within<'a>(all: &'a [Candidate], limits: &Limits) -> Option<&'a Candidate> {
    all.iter().find(|c| c.is_within(limits))
}

/// Best share against the lowest-head limit, the other limits kept: where it rises, and to what, of 100.
pub fn stairs(all: &[Candidate], limits: &Limits) -> Vec<[f64; 2]> {
    let mut angles: Vec<f64> = all.iter().map(|c| c.crown_below_deg).collect();
    angles.sort_by(f64::total_cmp);
    angles.dedup();
    let mut steps: Vec<[f64; 2]> = Vec::new();
    for angle in angles {
        let at = Limits {
            lowest_head_deg: angle,
            ..*limits
        };
        if let Some(best) = best_within(all, &at) {
            let share = 100.0 * best.cleared.share;
            if let Some(last) = steps.last() {
                steps.push([angle, last[1]]);
            }
            steps.push([angle, share]);
        }
    }
    if let Some(last) = steps.last().copied() {
        steps.push([last[0].max(90.0), last[1]]);
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(sequence: usize, lowest_head_deg: f64, inverted_s: f64, count: u64) -> Candidate {
        Candidate {
            sequence,
            lowest_head_deg: lowest_head_deg.max(0.0),
            crown_below_deg: lowest_head_deg,
            inverted_s,
            longest_inverted_s: inverted_s,
            holds: 4,
            cleared: Share::of(count, 100),
            out: 1.0,
        }
    }

    fn all() -> Vec<Candidate> {
        vec![
            candidate(2, 30.0, 90.0, 85),
            candidate(0, 0.0, 0.0, 60),
            candidate(1, 20.0, 50.0, 40),
        ]
    }

    #[test]
    fn a_tighter_limit_leaves_fewer_and_never_a_better_one() {
        let at = |lowest_head_deg: f64| {
            let limits = Limits {
                lowest_head_deg,
                ..Limits::default()
            };
            best_within(&all(), &limits).map(|c| c.sequence)
        };
        assert_eq!((at(90.0), at(29.0), at(0.0)), (Some(2), Some(0), Some(0)));
        let sitting = Limits {
            holds: 3,
            ..Limits::default()
        };
        assert_eq!(best_within(&all(), &sitting), None);
        let short = Limits {
            lowest_head_deg: 90.0,
            inverted_s: 60.0,
            ..Limits::default()
        };
        assert_eq!(best_within(&all(), &short).map(|c| c.sequence), Some(0));
        // Twice 45 s head down are within a minute in one go; who only sits is within a limit above the horizontal.
        let mut twice = candidate(3, 30.0, 90.0, 85);
        twice.longest_inverted_s = 45.0;
        assert!(twice.is_within(&short));
        let above = Limits {
            lowest_head_deg: -30.0,
            ..Limits::default()
        };
        assert!(candidate(4, -60.0, 0.0, 20).is_within(&above));
        assert!(!candidate(5, 0.0, 0.0, 20).is_within(&above));
    }

    #[test]
    fn the_stairs_rise_where_a_better_one_is_allowed() {
        let stairs = stairs(&all(), &Limits::default());
        assert_eq!(
            stairs,
            [
                [0.0, 60.0],
                [20.0, 60.0],
                [20.0, 60.0],
                [30.0, 60.0],
                [30.0, 85.0],
                [90.0, 85.0]
            ]
        );
    }
}
