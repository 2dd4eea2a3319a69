//! Sequences of postures in the tables: the best few hundred beginnings are kept, hold by hold.

use std::collections::HashSet;

use rayon::prelude::*;

use super::grid::{Angles, Drive};
use super::limits::SearchLimits;
use super::plan::{Plan, PlannedHold};
use super::tables::{Believed, SearchTables};

/// What a whole turn of either axis costs, in shares of ears.
const TURN_COST: f64 = 0.01;
/// What a minute costs.
const MINUTE_COST: f64 = 0.006;

/// What was found in the tables.
#[derive(Clone, Debug)]
pub(super) struct Beamed {
    /// The best sequences of each number of holds, best first, `[holds − 1]`.
    pub(super) best: Vec<Vec<Candidate>>,
    /// How many sequences were looked at.
    pub(super) looked_at: u64,
    /// Postures that the limits allow.
    pub(super) postures: usize,
}

/// A sequence with what the tables say of it.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) plan: Plan,
    /// Share of the believed ears that is cleared once the patient sits.
    pub(super) share: f64,
    /// That less what turning and time cost.
    score: f64,
    /// Where each ear's debris is then.
    ends: Vec<u16>,
}

/// A beginning.
#[derive(Clone)]
struct Beginning {
    holds: Vec<PlannedHold>,
    at: Angles,
    /// The step in which each axis moved last; 0 is not yet.
    moved_in: [usize; 2],
    /// Cell of each believed ear's debris.
    cells: Vec<u16>,
    cost: f64,
    /// Time with the crown below the horizontal so far in one go, s.
    inverted_s: f64,
}

/// One way to go on from a beginning.
#[derive(Clone, Copy)]
struct GoesOn {
    posture: usize,
    drive: Drive,
    hold: usize,
    cost: f64,
    inverted_s: f64,
    score: f64,
}

impl SearchTables {
    /// The best sequences within limits: `width` beginnings are kept and `kept` sequences of each number of
    /// holds. `heard` is told of every hold; false gives up, and what is there so far is told.
    pub(super) fn beam(
        &self,
        limits: &SearchLimits,
        width: usize,
        kept: usize,
        heard: &mut dyn FnMut(u32) -> bool,
    ) -> Beamed {
        let limits = &SearchLimits {
            headrest_deg: self.headrest_deg,
            ..*limits
        };
        let allowed: Vec<usize> = self
            .grid
            .all()
            .filter(|posture| {
                let [yaw_deg, track_deg] = self.grid.deg(self.grid.angles(*posture));
                limits.allows(limits.angles(yaw_deg, track_deg))
            })
            .collect();
        let mut beamed = Beamed {
            best: Vec::new(),
            looked_at: 0,
            postures: allowed.len(),
        };
        let mut beginnings = vec![Beginning {
            holds: Vec::new(),
            at: [0, 0],
            moved_in: [0, 0],
            cells: self.believed.iter().map(|one| one.start).collect(),
            cost: 0.0,
            inverted_s: 0.0,
        }];
        for step in 1..=limits.most_holds {
            let ways: Vec<Vec<GoesOn>> = beginnings
                .par_iter()
                .map(|from| self.ways(from, step as usize, &allowed, limits))
                .collect();
            beamed.looked_at += ways.iter().map(|w| w.len() as u64).sum::<u64>();
            beginnings = self.next(&beginnings, &ways, step as usize, width);
            beamed.best.push(self.best(&beginnings, limits, kept));
            if !heard(step) || beginnings.is_empty() {
                break;
            }
        }
        beamed
    }

    /// All ways to go on that the limits allow.
    fn ways(
        &self,
        from: &Beginning,
        step: usize,
        allowed: &[usize],
        limits: &SearchLimits,
    ) -> Vec<GoesOn> {
        let here = self.grid.posture(from.at);
        let drives: Vec<(usize, Drive)> = allowed
            .iter()
            .filter(|posture| step == 1 || **posture != here)
            .filter_map(|posture| {
                let drive = self.grid.drive(from.at, *posture, step == 1, limits)?;
                Some((*posture, drive))
            })
            .collect();
        let holds = self.holds_s.len();
        let mut worth = vec![0.0_f32; drives.len() * holds];
        for (one, cell) in self.believed.iter().zip(&from.cells) {
            let held: Vec<&[u16]> = (0..holds).map(|hold| one.after(hold, *cell)).collect();
            let as_driven = AsDriven::of(self, one, from, step);
            for ((posture, drive), worth) in drives.iter().zip(worth.chunks_mut(holds)) {
                let had = as_driven.posture(*posture, drive);
                for (held, worth) in held.iter().zip(worth) {
                    *worth += one.worth[usize::from(held[had])];
                }
            }
        }
        let ears = self.believed.len() as f64;
        let mut ways = Vec::with_capacity(worth.len());
        for ((posture, drive), worth) in drives.iter().zip(worth.chunks(holds)) {
            let inverted = limits.is_inverted(self.grid.deg(drive.to));
            for (hold, worth) in worth.iter().enumerate() {
                let takes_s = drive.move_s + self.holds_s[hold];
                let inverted_s = if inverted {
                    from.inverted_s + takes_s
                } else {
                    0.0
                };
                if limits.inverted_s.is_some_and(|most| inverted_s > most) {
                    continue;
                }
                let turned = TURN_COST * drive.turn_deg / 360.0;
                let cost = from.cost + turned + MINUTE_COST * takes_s / 60.0;
                ways.push(GoesOn {
                    posture: *posture,
                    drive: *drive,
                    hold,
                    cost,
                    inverted_s,
                    score: f64::from(*worth) / ears - cost,
                });
            }
        }
        ways
    }

    /// The best beginnings one hold longer; of those with debris at the same places the cheapest.
    fn next(
        &self,
        beginnings: &[Beginning],
        ways: &[Vec<GoesOn>],
        step: usize,
        width: usize,
    ) -> Vec<Beginning> {
        let mut all: Vec<(usize, &GoesOn)> = ways
            .iter()
            .enumerate()
            .flat_map(|(from, ways)| ways.iter().map(move |way| (from, way)))
            .collect();
        // What is equal stays in the order in which it was found, on any number of threads.
        all.sort_by(|a, b| b.1.score.total_cmp(&a.1.score));
        let mut seen: HashSet<Vec<u16>> = HashSet::new();
        let mut next = Vec::with_capacity(width);
        for (from, way) in all.into_iter().take(8 * width) {
            if next.len() >= width {
                break;
            }
            let longer = self.longer(&beginnings[from], way, step);
            if seen.insert(longer.cells.clone()) {
                next.push(longer);
            }
        }
        next
    }

    fn longer(&self, from: &Beginning, way: &GoesOn, step: usize) -> Beginning {
        let cells = self.believed.iter().zip(&from.cells).map(|(one, cell)| {
            let had = AsDriven::of(self, one, from, step).posture(way.posture, &way.drive);
            one.after(way.hold, *cell)[had]
        });
        let [yaw_deg, track_deg] = self.grid.deg(way.drive.to);
        let mut holds = from.holds.clone();
        holds.push(PlannedHold {
            yaw_deg,
            track_deg,
            hold_s: self.holds_s[way.hold],
        });
        let moved = moved(from, step, &way.drive);
        Beginning {
            holds,
            at: way.drive.to,
            moved_in: [0, 1].map(|axis| {
                if moved[axis] {
                    step
                } else {
                    from.moved_in[axis]
                }
            }),
            cells: cells.collect(),
            cost: way.cost,
            inverted_s: way.inverted_s,
        }
    }

    /// The best of the beginnings as whole sequences: the patient is sat up after them.
    fn best(&self, beginnings: &[Beginning], limits: &SearchLimits, kept: usize) -> Vec<Candidate> {
        let mut all: Vec<Candidate> = beginnings
            .iter()
            .filter(|b| {
                let deg = self.grid.deg(b.at);
                limits.allows_drive(deg, [deg[0], 360.0 * (deg[1] / 360.0).round()])
            })
            .map(|b| {
                let ears = self.believed.iter().zip(&b.cells);
                let cleared = ears.clone().filter(|(one, cell)| one.is_cleared(**cell));
                let share = cleared.count() as f64 / self.believed.len() as f64;
                Candidate {
                    plan: Plan {
                        holds: b.holds.clone(),
                    },
                    share,
                    score: share - b.cost,
                    ends: ears
                        .map(|(one, cell)| one.sat[usize::from(*cell)])
                        .collect(),
                }
            })
            .collect();
        all.sort_by(|a, b| b.score.total_cmp(&a.score));
        let mut seen: HashSet<Vec<u16>> = HashSet::new();
        all.retain(|candidate| seen.insert(candidate.ends.clone()));
        all.truncate(kept);
        all
    }
}

/// Which axes a drive moves; before the first hold the patient is turned beforehand.
fn moved(from: &Beginning, step: usize, drive: &Drive) -> [bool; 2] {
    let yaw = step > 1 && drive.to[0] != from.at[0];
    [yaw, drive.to[1] != from.at[1]]
}

/// The postures that one operator gets instead of the wanted ones: an axis that moves gets a new error, one
/// that stays keeps its own.
struct AsDriven<'a> {
    from: &'a Beginning,
    step: usize,
    /// `[yaw moved][track moved][twin]`
    maps: [[[&'a [u16]; 2]; 2]; 2],
}

impl<'a> AsDriven<'a> {
    fn of(
        tables: &'a SearchTables,
        one: &Believed,
        from: &'a Beginning,
        step: usize,
    ) -> AsDriven<'a> {
        let error = |axis: usize, in_step: usize| {
            if in_step == 0 {
                0
            } else {
                one.errors[in_step.min(one.errors.len() - 1)][axis]
            }
        };
        let of_axis = |axis, moved| error(axis, if moved { step } else { from.moved_in[axis] });
        let map = |yaw_moved, track_moved, twin| {
            let errors = [of_axis(0, yaw_moved), of_axis(1, track_moved)];
            tables.grid.with_error(errors, twin)
        };
        let maps = [false, true]
            .map(|yaw| [false, true].map(|track| [false, true].map(|twin| map(yaw, track, twin))));
        AsDriven { from, step, maps }
    }

    fn posture(&self, wanted: usize, drive: &Drive) -> usize {
        let [yaw, track] = moved(self.from, self.step, drive).map(usize::from);
        usize::from(self.maps[yaw][track][usize::from(drive.twin)][wanted])
    }
}
