//! Steps that are done again at once, such as a provocation done twice, as one entry of the sheet.

use super::content::SheetStep;

/// The longest stretch of steps that is looked for again right after itself.
const LONGEST: usize = 4;
/// Angles that differ by less than this are the same, degrees.
const SAME_DEG: f64 = 0.5;
/// Times that differ by less than this are the same, s.
const SAME_S: f64 = 0.05;

/// One step, and the numbers of those that do the very same again.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group<'a> {
    /// Number of the step, from 1.
    pub(super) number: usize,
    /// The step.
    pub(super) step: &'a SheetStep,
    /// The same again, each with its number.
    pub(super) again: Vec<(usize, &'a SheetStep)>,
}

/// Steps in order; a stretch that is done again right after itself stands once.
pub(super) fn grouped(steps: &[SheetStep]) -> Vec<Group<'_>> {
    let mut groups = Vec::new();
    let mut i = 0;
    while i < steps.len() {
        let (length, times) = repeated(&steps[i..]);
        for k in 0..length {
            groups.push(Group {
                number: i + k + 1,
                step: &steps[i + k],
                again: (1..times)
                    .map(|n| i + n * length + k)
                    .map(|at| (at + 1, &steps[at]))
                    .collect(),
            });
        }
        i += length * times;
    }
    groups
}

/// Length of the stretch at the beginning that comes again, and how many times it stands there; one step once if
/// none does.
fn repeated(steps: &[SheetStep]) -> (usize, usize) {
    for length in 1..=LONGEST.min(steps.len() / 2) {
        let same_as_first = |n: usize| {
            let from = n * length;
            steps.len() >= from + length
                && (0..length).all(|k| is_same(&steps[k], &steps[from + k], k > 0))
        };
        let times = 1 + (1..steps.len()).take_while(|&n| same_as_first(n)).count();
        if times > 1 {
            return (length, times);
        }
    }
    (1, 1)
}

/// The same place in the same times; the way there counts within a stretch only.
fn is_same(a: &SheetStep, b: &SheetStep, within: bool) -> bool {
    let near = |a: [f64; 2], b: [f64; 2]| (0..2).all(|k| (a[k] - b[k]).abs() < SAME_DEG);
    near(a.to_deg, b.to_deg)
        && (!within || near(a.from_deg, b.from_deg))
        && (a.move_s - b.move_s).abs() < SAME_S
        && (a.hold_s - b.hold_s).abs() < SAME_S
        && a.posture == b.posture
}
