//! Where a surface over a grid has a given height: straight pieces, by marching squares.

use serde::{Deserialize, Serialize};

/// A straight piece of a contour, from one point of both axes to another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Segment {
    /// Where it begins, `[axis]`.
    pub from: [f64; 2],
    /// Where it ends, `[axis]`.
    pub to: [f64; 2],
}

/// The contour at `height` of a surface over a grid of two axes; `surface` has the second innermost.
/// Between neighbouring values the surface is taken as straight along both axes.
pub fn contour(axes: [&[f64]; 2], surface: &[f64], height: f64) -> Vec<Segment> {
    let [first, second] = axes;
    let columns = second.len();
    let mut pieces = Vec::new();
    for i in 1..first.len() {
        for j in 1..columns {
            let corner = |di: usize, dj: usize| {
                let (i, j) = (i + di - 1, j + dj - 1);
                ([first[i], second[j]], surface[i * columns + j] - height)
            };
            // Around the cell, so that neighbours in the list share an edge.
            let corners = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
            pieces.extend(pieces_of_cell(corners));
        }
    }
    pieces
}

fn pieces_of_cell(corners: [([f64; 2], f64); 4]) -> Vec<Segment> {
    let crossings: Vec<[f64; 2]> = (0..4)
        .filter_map(|k| crossing(corners[k], corners[(k + 1) % 4]))
        .collect();
    let piece = |from: [f64; 2], to: [f64; 2]| Segment { from, to };
    match crossings.as_slice() {
        [from, to] => vec![piece(*from, *to)],
        // A saddle: the middle decides which corners are cut off.
        [a, b, c, d] => {
            let middle: f64 = corners.iter().map(|c| c.1).sum::<f64>() / 4.0;
            if (middle >= 0.0) == (corners[0].1 >= 0.0) {
                vec![piece(*a, *b), piece(*c, *d)]
            } else {
                vec![piece(*d, *a), piece(*b, *c)]
            }
        }
        _ => Vec::new(),
    }
}

/// Where an edge passes height 0.
fn crossing(a: ([f64; 2], f64), b: ([f64; 2], f64)) -> Option<[f64; 2]> {
    if (a.1 >= 0.0) == (b.1 >= 0.0) {
        return None;
    }
    let share = a.1 / (a.1 - b.1);
    Some([0, 1].map(|k| a.0[k] + share * (b.0[k] - a.0[k])))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plane x + y over a grid: its contour at 2.5 is the straight line x + y = 2.5.
    #[test]
    fn the_contour_of_a_plane_is_straight() {
        let axis = [0.0, 1.0, 2.0, 3.0];
        let surface: Vec<f64> = axis
            .iter()
            .flat_map(|x| axis.iter().map(move |y| x + y))
            .collect();
        let pieces = contour([&axis, &axis], &surface, 2.5);
        assert!(!pieces.is_empty());
        let mut length = 0.0;
        for Segment { from, to } in pieces {
            for [x, y] in [from, to] {
                assert!((x + y - 2.5).abs() < 1e-12);
            }
            length += (from[0] - to[0]).hypot(from[1] - to[1]);
        }
        // From (0, 2.5) to (2.5, 0).
        assert!((length - 2.5 * 2.0_f64.sqrt()).abs() < 1e-12, "{length}");
    }

    #[test]
    fn a_saddle_is_cut_into_two_pieces_that_do_not_cross() {
        let pieces = contour([&[0.0, 1.0], &[0.0, 1.0]], &[1.0, 0.0, 0.0, 1.0], 0.4);
        assert_eq!(pieces.len(), 2);
        for Segment { from, to } in pieces {
            // Each cuts off one low corner, (0, 1) or (1, 0).
            assert!((from[0] - to[0]).abs() < 0.7 && (from[1] - to[1]).abs() < 0.7);
        }
    }
}
