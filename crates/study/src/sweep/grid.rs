//! A grid of one or two things that are varied, and what came out at each of its points.

use serde::{Deserialize, Serialize};

use super::{Segment, Vary, contour};
use crate::StudyError;
use crate::robustness::share_of;
use crate::runs::{Row, RunEnd, Sequence};
use crate::statistics::Share;

/// Most points of a grid.
const MOST_POINTS: usize = 1_024;

/// One thing that is varied, and the values it takes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SweepAxis {
    /// What.
    pub vary: Vary,
    /// Its values, in rising order.
    pub values: Vec<f64>,
}

/// What a sweep found: shares cleared over the grid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SweepReport {
    /// Name of the sequence that was varied.
    pub sequence: String,
    /// What was varied, with its unit, `[axis]`.
    pub axes: Vec<String>,
    /// Its values, `[axis][value]`.
    pub values: Vec<Vec<f64>>,
    /// Share cleared at every point, the last axis innermost.
    pub cleared: Vec<Share>,
    /// Share switched at every point.
    pub switched: Vec<Share>,
    /// The success that the contour is of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wanted: Option<f64>,
    /// Where the share cleared is the wanted one, between the values of two axes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub contour: Vec<Segment>,
}

/// Checks that a grid can be laid over a sequence.
pub(crate) fn check_axes(axes: &[SweepAxis], sequence: &Sequence) -> Result<(), StudyError> {
    if axes.len() > 2 {
        return Err(StudyError::field("sweep", &axes.len(), &"1 or 2 axes"));
    }
    let points: usize = axes.iter().map(|a| a.values.len()).product();
    if points == 0 || points > MOST_POINTS {
        let allowed = format!("1 to {MOST_POINTS} points");
        return Err(StudyError::field("sweep", &points, &allowed));
    }
    for axis in axes {
        if axis.values.windows(2).any(|w| w[0] >= w[1]) {
            let found = format!("{:?}", axis.values);
            return Err(StudyError::field("sweep.values", &found, &"rising values"));
        }
        axis.vary.check(&sequence.scenario, &axis.values)?;
    }
    Ok(())
}

/// The sequence at every point of the grid, the last axis innermost.
pub(crate) fn points(axes: &[SweepAxis], sequence: &Sequence) -> Vec<Sequence> {
    let mut all = vec![(sequence.clone(), Vec::new())];
    for axis in axes {
        all = all
            .into_iter()
            .flat_map(|(sequence, set)| {
                axis.values.iter().map(move |value| {
                    let mut set = set.clone();
                    set.push((axis, *value));
                    (sequence.clone(), set)
                })
            })
            .collect();
    }
    all.into_iter()
        .map(|(sequence, set)| point(sequence, &set))
        .collect()
}

fn point(mut sequence: Sequence, set: &[(&SweepAxis, f64)]) -> Sequence {
    let mut in_turn: Vec<_> = set.iter().collect();
    in_turn.sort_by_key(|(axis, _)| axis.vary.turn_to_be_set());
    for &&(axis, value) in &in_turn {
        axis.vary.set(&mut sequence.scenario, value);
        if axis.vary == Vary::DiameterUm {
            sequence.diameter_um = Some(value);
        }
    }
    let told = set
        .iter()
        .map(|(axis, value)| format!("{} {value}", axis.vary.label()));
    sequence.name = format!("{}: {}", sequence.name, told.collect::<Vec<_>>().join(", "));
    sequence
}

/// Sums up the rows of all points, `[point][ear]`.
pub(crate) fn sweep_report(
    name: &str,
    axes: &[SweepAxis],
    wanted: Option<f64>,
    rows: &[Vec<&Row>],
) -> SweepReport {
    let of = |so: fn(&Row) -> bool| -> Vec<Share> {
        rows.iter().map(|rows| share_of(rows, so)).collect()
    };
    let cleared = of(Row::is_cleared);
    let values: Vec<Vec<f64>> = axes.iter().map(|a| a.values.clone()).collect();
    let contour = match (wanted, values.as_slice()) {
        (Some(wanted), [first, second]) => {
            let shares: Vec<f64> = cleared.iter().map(|s| s.share).collect();
            contour([first, second], &shares, wanted)
        }
        _ => Vec::new(),
    };
    SweepReport {
        sequence: name.to_owned(),
        axes: axes.iter().map(|a| a.vary.label().to_owned()).collect(),
        values,
        switched: of(|row| row.is(RunEnd::Switched)),
        cleared,
        wanted,
        contour,
    }
}
