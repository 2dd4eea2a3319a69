//! How far a piece can go from the axis of a tube in every direction across it, where the tube opens into
//! another part and the wall is not round.

use std::f64::consts::TAU;

use lithodrome_labyrinth::{CoursePoint, EarShape, Hint, Region, Vec3};

/// Directions that are looked at.
const DIRECTIONS: usize = 24;
/// A piece is as near to the wall as this, mm, when the look ends.
const NEAR_MM: f64 = 2e-3;
/// And after so many looks it ends in any case.
const MOST_LOOKS: usize = 24;
/// So far into the part that lies beyond, mm.
const BEYOND_MM: f64 = 0.4;

/// The wall around one place of an axis.
#[derive(Clone, Debug)]
pub(super) struct Around {
    /// Unit vectors across the axis.
    across: [Vec3; 2],
    /// From the axis to a piece on the wall, mm, `[direction]`.
    reach_mm: [f64; DIRECTIONS],
    /// Whether a piece there is in the utricle.
    out: [bool; DIRECTIONS],
}

impl Around {
    /// Looks from a place on an axis; `rest_mm` is the distance of a piece from a wall on which it lies.
    pub(super) fn of(ear: &EarShape, place: &CoursePoint, from: Hint, rest_mm: f64) -> Around {
        let (centre, tangent) = (place.point_in_reid_mm, place.tangent_in_reid);
        let other = if tangent.x.abs() < 0.6 {
            Vec3::x()
        } else {
            Vec3::z()
        };
        let first = tangent.cross(&other).normalize();
        let across = [first, tangent.cross(&first)];
        let most_mm = (place.radius_mm - rest_mm).max(0.0) + BEYOND_MM;
        let mut reach_mm = [0.0; DIRECTIONS];
        let mut out = [false; DIRECTIONS];
        for (i, (reach_mm, out)) in reach_mm.iter_mut().zip(&mut out).enumerate() {
            let (sin, cos) = (TAU * i as f64 / DIRECTIONS as f64).sin_cos();
            let direction = across[0] * cos + across[1] * sin;
            let mut hint = from;
            for _ in 0..MOST_LOOKS {
                let wall = ear.wall(centre + direction * *reach_mm, &mut hint);
                *out = wall.region == Region::Utricle;
                let left_mm = wall.depth_mm - rest_mm;
                if left_mm < NEAR_MM || *reach_mm >= most_mm {
                    break;
                }
                *reach_mm = (*reach_mm + left_mm).min(most_mm);
            }
        }
        Around {
            across,
            reach_mm,
            out,
        }
    }

    /// From the axis to the piece on the wall, mm, in a direction across the axis, of any length but 0, and
    /// whether it is in the utricle there.
    pub(super) fn look(&self, direction: &Vec3) -> (f64, bool) {
        let [x, y] = self.across.map(|axis| axis.dot(direction));
        let turn = y.atan2(x) / TAU * DIRECTIONS as f64;
        let turn = turn.rem_euclid(DIRECTIONS as f64);
        let before = (turn as usize).min(DIRECTIONS - 1);
        let share = turn - before as f64;
        let after = (before + 1) % DIRECTIONS;
        let reach_mm = self.reach_mm[before] * (1.0 - share) + self.reach_mm[after] * share;
        let nearer = if share < 0.5 { before } else { after };
        (reach_mm, self.out[nearer])
    }
}
