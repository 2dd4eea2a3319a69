//! Facets so small that a drawn surface nowhere leaves the wall: edges that cut a corner are split, and
//! the triangles at them.

use std::collections::{HashMap, HashSet};

use crate::EarShape;
use crate::surface::mesh::{Surface, on_wall, outward};

/// Farthest that the middle of an edge may be from the wall, mm. Triangles are then a third farther off in
/// their middles, on a ball: 2.5 µm.
const OFF_MM: f64 = 1.9e-3;
/// Rounds of splitting; each leaves a quarter.
const ROUNDS: usize = 4;

/// An edge by its vertices, the lower number first.
type Edge = (u32, u32);

/// Splits the edges that leave the wall, until none does.
pub(crate) fn fit(surface: &mut Surface, ear: &EarShape) {
    let mut fine = HashSet::new();
    for _ in 0..ROUNDS {
        let middles = surface.split_edges(ear, &mut fine);
        if middles.is_empty() {
            return;
        }
        let triangles = std::mem::take(&mut surface.triangles);
        surface.triangles = triangles
            .into_iter()
            .flat_map(|t| split(t, &middles))
            .map(|t| outward(surface, t))
            .collect();
    }
}

impl Surface {
    /// A new vertex on the wall for every edge that leaves it; `fine` remembers those that do not.
    fn split_edges(&mut self, ear: &EarShape, fine: &mut HashSet<Edge>) -> HashMap<Edge, u32> {
        let mut middles = HashMap::new();
        for t in 0..self.triangles.len() {
            for edge in edges(self.triangles[t]) {
                if fine.contains(&edge) || middles.contains_key(&edge) {
                    continue;
                }
                let [a, b] = [edge.0, edge.1].map(|i| self.vertex_mm(i));
                let middle = 0.5 * (a + b);
                let off_mm = ear.wall(middle, &mut ear.find(middle)).depth_mm.abs();
                if off_mm <= OFF_MM {
                    fine.insert(edge);
                } else {
                    middles.insert(edge, self.positions_mm.len() as u32);
                    let (at, wall) = on_wall(ear, middle);
                    self.add(at, &wall);
                }
            }
        }
        middles
    }
}

fn edges([a, b, c]: [u32; 3]) -> [Edge; 3] {
    [(a, b), (b, c), (c, a)].map(|(a, b)| (a.min(b), a.max(b)))
}

/// The triangle, or what it falls into when some of its edges have a vertex in their middle.
fn split(triangle: [u32; 3], middles: &HashMap<Edge, u32>) -> Vec<[u32; 3]> {
    let on = edges(triangle).map(|edge| middles.get(&edge).copied());
    let [a, b, c] = triangle;
    match on {
        [None, None, None] => vec![triangle],
        [Some(ab), None, None] => vec![[a, ab, c], [ab, b, c]],
        [None, Some(bc), None] => vec![[b, bc, a], [bc, c, a]],
        [None, None, Some(ca)] => vec![[c, ca, b], [ca, a, b]],
        [Some(ab), Some(bc), None] => vec![[ab, b, bc], [a, ab, bc], [a, bc, c]],
        [None, Some(bc), Some(ca)] => vec![[bc, c, ca], [b, bc, ca], [b, ca, a]],
        [Some(ab), None, Some(ca)] => vec![[ca, a, ab], [c, ca, ab], [c, ab, b]],
        [Some(ab), Some(bc), Some(ca)] => {
            vec![[a, ab, ca], [ab, b, bc], [bc, c, ca], [ab, bc, ca]]
        }
    }
}
