//! How ears ended, as dots: one an ear where there are at most a hundred, else one for every hundredth.

use std::cmp::Reverse;

use lithodrome_labyrinth::{Canal, Region};
use lithodrome_study::{Row, RunEnd};

/// Dots in a row, and rows.
pub const SIDE: usize = 10;
/// Most dots.
pub const ALL: usize = SIDE * SIDE;

/// How an ear ended, told apart by shape, and by tint where it is another canal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DotEnd {
    /// All debris is in the utricle.
    Cleared,
    /// Out of the long arms, some in a short one.
    BehindCupula,
    /// Still in its own canal.
    Inside,
    /// In its own canal, where friction alone keeps it.
    Held,
    /// In another canal, about to fall back.
    Passing,
    /// In another canal; in the crus if none is known.
    Switched(Option<Canal>),
    /// The run failed.
    Failed,
}

impl DotEnd {
    /// All, best first: the order of the dots.
    pub const ALL: [DotEnd; 10] = [
        DotEnd::Cleared,
        DotEnd::BehindCupula,
        DotEnd::Inside,
        DotEnd::Held,
        DotEnd::Passing,
        DotEnd::Switched(Some(Canal::Anterior)),
        DotEnd::Switched(Some(Canal::Lateral)),
        DotEnd::Switched(Some(Canal::Posterior)),
        DotEnd::Switched(None),
        DotEnd::Failed,
    ];

    /// How a run ended.
    pub fn of(row: &Row) -> DotEnd {
        let Ok(end) = &row.end else {
            return DotEnd::Failed;
        };
        match end.word {
            RunEnd::Cleared => DotEnd::Cleared,
            RunEnd::BehindCupula => DotEnd::BehindCupula,
            RunEnd::Inside => DotEnd::Inside,
            RunEnd::Held => DotEnd::Held,
            RunEnd::Passing => DotEnd::Passing,
            RunEnd::Switched => DotEnd::Switched(match end.region {
                Region::Duct(canal) | Region::ShortArm(canal) => Some(canal),
                Region::CommonCrus | Region::Utricle => None,
            }),
        }
    }

    /// In words.
    pub fn name(self) -> String {
        match self {
            DotEnd::Cleared => "cleared".to_owned(),
            DotEnd::BehindCupula => "behind the cupula".to_owned(),
            DotEnd::Inside => "still inside".to_owned(),
            DotEnd::Held => "held".to_owned(),
            DotEnd::Passing => "passing".to_owned(),
            DotEnd::Switched(Some(canal)) => format!("switched to the {} canal", canal.name()),
            DotEnd::Switched(None) => "switched".to_owned(),
            DotEnd::Failed => "run failed".to_owned(),
        }
    }

    /// What the word means.
    pub const fn tip(self) -> &'static str {
        match self {
            DotEnd::Cleared => {
                "Out of every long arm; what lies in a short arm shows nothing in the test after 15 min"
            }
            DotEnd::BehindCupula => {
                "Out of the long arm, but in a short one, and the test after 15 min shows it"
            }
            DotEnd::Inside => "Some debris is still in its own canal",
            DotEnd::Held => "Still in its own canal, where only friction keeps it",
            DotEnd::Passing => "In another canal, from which it falls back when the patient sits",
            DotEnd::Switched(_) => "Debris has gone into another canal and stays there",
            DotEnd::Failed => "No result; counted as not cleared",
        }
    }
}

/// One kind of end, with its ears and its dots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DotRow {
    /// The end.
    pub end: DotEnd,
    /// How many ears.
    pub ears: usize,
    /// How many dots.
    pub dots: usize,
}

/// Ends that are there, best first; their dots add up to the ears, or to a hundred.
pub fn rows(ends: &[DotEnd]) -> Vec<DotRow> {
    let count = |end: DotEnd| ends.iter().filter(|e| **e == end).count();
    let mut rows: Vec<DotRow> = DotEnd::ALL
        .into_iter()
        .map(|end| DotRow {
            end,
            ears: count(end),
            dots: 0,
        })
        .filter(|row| row.ears > 0)
        .collect();
    let n = ends.len();
    let dots = n.min(ALL);
    for row in &mut rows {
        row.dots = row.ears * dots / n.max(1);
    }
    // What rounding has left goes to the largest remainders.
    let mut left = dots - rows.iter().map(|r| r.dots).sum::<usize>();
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|i| Reverse(rows[*i].ears * dots % n.max(1)));
    for i in order {
        if left == 0 {
            break;
        }
        rows[i].dots += 1;
        left -= 1;
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ends(counts: &[(DotEnd, usize)]) -> Vec<DotEnd> {
        let of = |(end, n): &(DotEnd, usize)| vec![*end; *n];
        counts.iter().flat_map(of).collect()
    }

    #[test]
    fn few_ears_have_a_dot_each() {
        let rows = rows(&ends(&[(DotEnd::Inside, 3), (DotEnd::Cleared, 9)]));
        assert_eq!(rows.len(), 2);
        assert_eq!((rows[0].end, rows[0].dots), (DotEnd::Cleared, 9));
        assert_eq!((rows[1].end, rows[1].dots), (DotEnd::Inside, 3));
    }

    #[test]
    fn many_ears_make_a_hundred_dots() {
        // 667, 222 and 111 of 1000: 66, 22 and 11 whole ones; the one that is left goes to .7.
        let rows = rows(&ends(&[
            (DotEnd::Cleared, 667),
            (DotEnd::Switched(Some(Canal::Anterior)), 222),
            (DotEnd::Failed, 111),
        ]));
        let dots: Vec<usize> = rows.iter().map(|r| r.dots).collect();
        assert_eq!(dots, [67, 22, 11]);
        let thirds = super::rows(&ends(&[
            (DotEnd::Cleared, 100),
            (DotEnd::Inside, 100),
            (DotEnd::Held, 100),
        ]));
        assert_eq!(thirds.iter().map(|r| r.dots).sum::<usize>(), 100);
    }

    #[test]
    fn no_ears_make_no_dots() {
        assert!(rows(&[]).is_empty());
    }
}
