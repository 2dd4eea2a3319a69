//! Shares of ears that the map's treatments clear, for clumps of middle size.

use lithodrome_labyrinth::Canal;
use lithodrome_rehearsal::Mechanism;

use super::map::{OutcomeMap, SIZE_CLASSES_UM};
use crate::runs::RunEnd;
use crate::statistics::Share;

/// What one treatment clears at one place of a right canal.
#[derive(Clone, Debug, PartialEq)]
pub struct ClearedRow {
    /// Name of the treatment.
    pub manoeuvre: String,
    /// Canal of the right ear; left ones are its mirror image.
    pub canal: Canal,
    /// Where in it.
    pub place: Mechanism,
    /// Share of ears with its interval.
    pub share: Share,
}

/// Every cell of middle size that has ears, as a share.
pub fn cleared_rows(map: &OutcomeMap) -> Vec<ClearedRow> {
    let middle = |size_um: (f64, f64)| size_um == SIZE_CLASSES_UM[1];
    map.cells
        .iter()
        .filter(|cell| middle(cell.size_um) && !cell.ends.is_empty())
        .map(|cell| ClearedRow {
            manoeuvre: cell.manoeuvre.clone(),
            canal: cell.canal,
            place: cell.place,
            share: cell.share(RunEnd::Cleared),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outcome_map::{MapCell, Provenance};

    #[test]
    fn only_cells_of_middle_size_with_ears_become_shares() {
        use RunEnd::{Cleared, Inside};

        let cell = |size_um, ends: &[RunEnd]| MapCell {
            manoeuvre: "right-posterior-semont".to_owned(),
            canal: Canal::Posterior,
            place: Mechanism::AmpullaryArm,
            size_um,
            ends: ends.iter().copied().map(Some).collect(),
            switched_to: vec![None; ends.len()],
        };
        let map = OutcomeMap {
            provenance: Provenance {
                version: String::new(),
                model: 1,
                mixture: String::new(),
                anatomy: String::new(),
                seed: 1,
                ears: 4,
            },
            cells: vec![
                cell(SIZE_CLASSES_UM[0], &[Inside; 4]),
                cell(SIZE_CLASSES_UM[1], &[Cleared, Cleared, Cleared, Inside]),
                cell(SIZE_CLASSES_UM[1], &[]),
            ],
        };
        let rows = cleared_rows(&map);
        assert_eq!(rows.len(), 1);
        assert!((rows[0].share.share - 0.75).abs() < 1e-12);
        assert!(rows[0].share.low < 0.75 && rows[0].share.high > 0.75);
    }
}
