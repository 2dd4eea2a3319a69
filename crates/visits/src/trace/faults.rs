//! Faults of a trace that only show over time: gaps, jumps, time that turns back, drifting lengths,
//! units that cannot be what the header says.

use super::columns::{Columns, SensorColumns};
use super::problem::{Problem, ProblemKind};
use super::raw_row::{RawRow, quaternion};

/// A gap up to this is bridged by the curve through the samples, s (assumed: no move begins and ends
/// within it).
const GAP_S: f64 = 0.5;
/// Turns up to this are taken, deg/s: more than twice the fastest published swing, 180 deg/s (Obrist
/// 2016, Front Neurol 7:150).
const JUMP_DEG_S: f64 = 400.0;
/// A jump is at least so far, degrees, so that noise between two close samples is none.
const JUMP_LEAST_DEG: f64 = 5.0;
/// Length of a quaternion that is taken.
const NORM: [f64; 2] = [0.98, 1.02];
/// Change of that length over the recording that is taken.
const NORM_DRIFT: f64 = 0.005;
/// Samples whose mean is compared to find a drift.
const DRIFT_SAMPLES: usize = 20;

/// Everything that is wrong over time, in the order of the lines.
pub(super) fn faults_of(columns: &Columns, rows: &[RawRow]) -> Vec<Problem> {
    let mut problems = time_faults(rows);
    problems.extend(unit_faults(columns, rows));
    if problems.is_empty() {
        for (name, sensor) in &columns.sensors {
            problems.extend(match *sensor {
                SensorColumns::Angles(at) => angle_jumps(name, at, rows),
                SensorColumns::Quaternion(at) => quaternion_faults(name, at, rows),
            });
        }
    }
    problems.sort_by_key(|p| p.line);
    problems
}

fn time_faults(rows: &[RawRow]) -> Vec<Problem> {
    let usual_s = usual_s(rows);
    let allowed_s = GAP_S.max(3.0 * usual_s);
    let mut problems = Vec::new();
    for pair in rows.windows(2) {
        let (before_s, found_s) = (pair[0].time_s, pair[1].time_s);
        let step_s = found_s - before_s;
        let kind = if step_s < 0.0 {
            ProblemKind::TimeBackward { before_s, found_s }
        } else if step_s == 0.0 {
            ProblemKind::TimeStands { at_s: found_s }
        } else if step_s > allowed_s && usual_s < 2.0 {
            ProblemKind::Gap {
                gap_s: step_s,
                usual_s,
                allowed_s,
            }
        } else {
            continue;
        };
        problems.push(Problem {
            line: pair[1].line,
            kind,
        });
    }
    problems
}

/// Median time between samples that rise.
fn usual_s(rows: &[RawRow]) -> f64 {
    let mut steps_s: Vec<f64> = rows
        .windows(2)
        .map(|p| p[1].time_s - p[0].time_s)
        .filter(|s| *s > 0.0)
        .collect();
    steps_s.sort_by(f64::total_cmp);
    steps_s.get(steps_s.len() / 2).copied().unwrap_or(0.0)
}

/// Units that the numbers speak against.
fn unit_faults(columns: &Columns, rows: &[RawRow]) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut tell = |line: usize, column: usize, found: String, looks_like| {
        let column = columns.names[column].clone();
        let kind = ProblemKind::WrongUnit {
            column,
            found,
            looks_like,
        };
        problems.push(Problem { line, kind });
    };
    let (time, s_per_unit) = columns.time;
    let usual_s = usual_s(rows);
    if s_per_unit > 0.5 && usual_s >= 2.0 {
        let found = format!("samples are {usual_s:.0} s apart");
        tell(rows[1].line, time, found, "milliseconds");
    } else if s_per_unit < 0.5 && usual_s > 0.0 && usual_s < 2e-4 {
        let found = format!("samples are {:.5} ms apart", usual_s * 1e3);
        tell(rows[1].line, time, found, "seconds");
    }
    for (_, sensor) in &columns.sensors {
        let SensorColumns::Angles(both) = sensor else {
            continue;
        };
        // Of equal ones the first.
        let farthest = |column: usize| {
            rows.iter()
                .rev()
                .max_by(|a, b| {
                    let [a, b] = [a, b].map(|row| row.values[column].abs());
                    a.total_cmp(&b)
                })
                .map_or((0, 0.0), |row| (row.line, row.values[column].abs()))
        };
        let all = both.map(|(column, _)| farthest(column));
        // A manoeuvre turns the track by a right angle or so, 1.57 in radians: an angle that never
        // passes 7° is in radians, one of 40 rad, more than six turns, in degrees.
        let largest = all[0].1.max(all[1].1);
        let at = usize::from(all[1].1 > all[0].1);
        let in_degrees = both.map(|(_, rad_per_unit)| rad_per_unit < 0.5);
        if in_degrees == [true, true] && (0.5..7.0).contains(&largest) {
            let found = format!("no angle is larger than {largest:.2}°");
            tell(all[at].0, both[at].0, found, "radians");
        }
        for k in 0..2 {
            let (line, found) = all[k];
            if !in_degrees[k] && found > 40.0 {
                let turns = found / std::f64::consts::TAU;
                let found = format!("found {found:.0} rad, {turns:.0} turns");
                tell(line, both[k].0, found, "degrees");
            }
        }
    }
    problems
}

fn angle_jumps(name: &str, both: [(usize, f64); 2], rows: &[RawRow]) -> Vec<Problem> {
    let turn_deg = |pair: &[RawRow]| {
        let turns = both.map(|(column, rad)| {
            ((pair[1].values[column] - pair[0].values[column]) * rad)
                .to_degrees()
                .abs()
        });
        turns[0].max(turns[1])
    };
    jumps(name, rows, turn_deg)
}

fn jumps(name: &str, rows: &[RawRow], turn_deg: impl Fn(&[RawRow]) -> f64) -> Vec<Problem> {
    rows.windows(2)
        .filter_map(|pair| {
            let within_s = pair[1].time_s - pair[0].time_s;
            let turn_deg = turn_deg(pair);
            (turn_deg > JUMP_LEAST_DEG && turn_deg > JUMP_DEG_S * within_s).then(|| Problem {
                line: pair[1].line,
                kind: ProblemKind::Jump {
                    sensor: name.to_owned(),
                    turn_deg,
                    within_s,
                    allowed_deg_s: JUMP_DEG_S,
                },
            })
        })
        .collect()
}

fn quaternion_faults(name: &str, at: [usize; 4], rows: &[RawRow]) -> Vec<Problem> {
    let norm = |row: &RawRow| at.map(|k| row.values[k].powi(2)).iter().sum::<f64>().sqrt();
    let sensor = || name.to_owned();
    let off: Vec<Problem> = rows
        .iter()
        .map(|row| (row.line, norm(row)))
        .filter(|(_, found)| !(NORM[0]..=NORM[1]).contains(found))
        .map(|(line, found)| Problem {
            line,
            kind: ProblemKind::Norm {
                sensor: sensor(),
                found,
            },
        })
        .collect();
    if !off.is_empty() {
        return off;
    }
    let mean = |some: &[RawRow]| some.iter().map(norm).sum::<f64>() / some.len() as f64;
    let n = DRIFT_SAMPLES.min(rows.len());
    let from = mean(&rows[..n]);
    let drifted = rows
        .windows(n)
        .map(|some| (some[n - 1].line, mean(some)))
        .find(|(_, to)| (to - from).abs() > NORM_DRIFT);
    if let Some((line, to)) = drifted {
        let kind = ProblemKind::NormDrift {
            sensor: sensor(),
            from,
            to,
        };
        return vec![Problem { line, kind }];
    }
    jumps(name, rows, |pair| {
        quaternion(&pair[0], at)
            .angle_to(&quaternion(&pair[1], at))
            .to_degrees()
    })
}
