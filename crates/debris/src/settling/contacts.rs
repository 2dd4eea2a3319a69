//! Bodies do not pass through each other: what overlaps at the end of a step is pushed apart.
//!
//! Without inertia a push moves a body by its strength over the body's Stokes resistance, so the pushes
//! that are found are the contact forces of a step. They are found pair by pair, over and over, starting
//! from those of the step before (projected Gauss-Seidel: Jourdan, Alart & Jean 1998, Comput Methods Appl
//! Mech Eng 155:31). The rigid engine's solver answers the same question.

use lithodrome_labyrinth::Vec3;

use super::body_memory::BodyMemory;
use crate::law::forces;
use crate::model::Model;
use crate::state::BodyState;

/// Pairs this share of their distance at touch farther apart are watched too, and looked at in every round if they
/// are so near that the pushes of a few rounds could make them touch.
const WATCHED: f64 = 0.1;
const NEAR: f64 = 0.02;
/// The search ends when no push moves a body by more, mm: places are predicted no better.
const ENOUGH_MM: f64 = 5e-5;
/// And after so many rounds at the latest.
const ROUNDS: usize = 20;
/// Rounds after which the directions of the pushes are seen anew.
const AIMED: usize = 5;
/// Watched pairs for which there is room at first, per body.
const PAIRS: usize = 16;

/// Contacts between the bodies of a run.
#[derive(Clone, Debug, Default)]
pub(crate) struct Contacts {
    members: Vec<Member>,
    /// Numbers of the bodies along an axis.
    order: Vec<u32>,
    /// Of the step under way, along that axis.
    pairs: Vec<Pair>,
    /// Those of them that push or nearly touch, by place in the list.
    near: Vec<u32>,
    /// Those that pushed in the last step, by number, and its length, s.
    last: Vec<Pair>,
    last_s: f64,
}

/// One body at the end of a step.
#[derive(Clone, Copy, Debug)]
struct Member {
    at: Vec3,
    /// Distance of its centre from what it touches, mm.
    reach_mm: f64,
    /// How far a push of 1 moves it, mm; 0 if nothing can.
    yields: f64,
    /// What it touches.
    walls: [Option<Vec3>; 2],
    pushed: bool,
    ear: usize,
}

#[derive(Clone, Copy, Debug)]
struct Pair {
    bodies: [u32; 2],
    /// From the second to the first.
    away: Vec3,
    /// Where a push of 1 takes either, and how far apart, mm, and one over that.
    ways: [Vec3; 2],
    yields: f64,
    per_yield: f64,
    /// How far apart they touch, mm.
    reach_mm: f64,
    push: f64,
}

impl Contacts {
    pub(crate) fn new(bodies: usize) -> Contacts {
        Contacts {
            members: Vec::with_capacity(bodies),
            order: (0..bodies as u32).collect(),
            pairs: Vec::with_capacity(PAIRS * bodies),
            near: Vec::with_capacity(PAIRS * bodies),
            last: Vec::with_capacity(PAIRS * bodies),
            last_s: 0.0,
        }
    }

    /// Pushes apart what would overlap when the step under way ends as it has been corrected.
    pub(super) fn part(
        &mut self,
        model: &Model,
        now: &[BodyState],
        memory: &mut [BodyMemory],
        dt_s: f64,
    ) {
        self.pairs.clear();
        if now.len() < 2 || !model.physics.contacts {
            return;
        }
        self.gather(model, now, memory);
        self.watch();
        if self.pairs.is_empty() {
            return;
        }
        self.recall(dt_s);
        for round in 0..ROUNDS {
            if round % AIMED == 0 {
                self.aim();
            }
            let mut farthest_mm: f64 = 0.0;
            for k in 0..self.near.len() {
                let k = if round % 2 == 0 {
                    k
                } else {
                    self.near.len() - 1 - k
                };
                farthest_mm = farthest_mm.max(self.settle(self.near[k] as usize));
            }
            if farthest_mm < ENOUGH_MM {
                break;
            }
        }
        for (its, member) in memory.iter_mut().zip(&self.members) {
            if member.pushed {
                its.ends_at(member.at);
            }
        }
    }

    /// The step has been taken: its pushes are where the next one starts. A body that pushes on one that
    /// rests wakes it.
    pub(super) fn accept(&mut self, memory: &mut [BodyMemory], dt_s: f64) {
        self.last.clear();
        self.last_s = dt_s;
        for pair in self.pairs.iter().filter(|pair| pair.push > 0.0) {
            let [a, b] = pair.bodies.map(|i| i as usize);
            if memory[a].asleep != memory[b].asleep {
                memory[a].asleep = false;
                memory[b].asleep = false;
            }
            self.last.push(*pair);
        }
        self.last.sort_unstable_by_key(|pair| pair.bodies);
    }

    fn gather(&mut self, model: &Model, now: &[BodyState], memory: &[BodyMemory]) {
        self.members.clear();
        let bodies = model.bodies.iter().zip(now).zip(memory);
        self.members.extend(bodies.map(|((body, now), its)| {
            let (at, walls, free) = match its.end() {
                Some((at, walls)) => (at, walls, true),
                None => (now.at, [None; 2], false),
            };
            Member {
                at,
                reach_mm: body.rest_mm,
                yields: if free {
                    1.0 / now.pieces.resistance_mg_s
                } else {
                    0.0
                },
                walls,
                pushed: false,
                ear: body.ear.index(),
            }
        }));
    }

    /// Finds the pairs that are near each other.
    fn watch(&mut self) {
        let members = &self.members;
        let first = members[0].at;
        let (least, most) = members.iter().fold((first, first), |(least, most), m| {
            (least.inf(&m.at), most.sup(&m.at))
        });
        // Not along y: the order in which pairs are settled would not be that of the mirror image.
        let spread = most - least;
        let axis = if spread.x > spread.z { 0 } else { 2 };
        let widest_mm = members.iter().fold(0.0, |w: f64, m| w.max(m.reach_mm));
        self.order.sort_unstable_by(|a, b| {
            let along = |i: &u32| members[*i as usize].at[axis];
            along(a).total_cmp(&along(b)).then(a.cmp(b))
        });
        for (k, i) in self.order.iter().enumerate() {
            let a = &members[*i as usize];
            let end = a.at[axis] + (a.reach_mm + widest_mm) * (1.0 + WATCHED);
            for j in &self.order[k + 1..] {
                let b = &members[*j as usize];
                if b.at[axis] > end {
                    break;
                }
                let touch_mm = (a.reach_mm + b.reach_mm) * (1.0 + WATCHED);
                let apart = a.at - b.at;
                if a.ear == b.ear
                    && a.yields + b.yields > 0.0
                    && apart.norm_squared() < touch_mm * touch_mm
                {
                    self.pairs.push(Pair {
                        bodies: [*i.min(j), *i.max(j)],
                        away: Vec3::zeros(),
                        ways: [Vec3::zeros(); 2],
                        yields: 0.0,
                        per_yield: 0.0,
                        reach_mm: a.reach_mm + b.reach_mm,
                        push: 0.0,
                    });
                }
            }
        }
    }

    /// Lets pairs that pushed in the last step push as strongly again.
    fn recall(&mut self, dt_s: f64) {
        if self.last.is_empty() {
            return;
        }
        let share = dt_s / self.last_s;
        for k in 0..self.pairs.len() {
            let bodies = self.pairs[k].bodies;
            if let Ok(found) = self.last.binary_search_by_key(&bodies, |pair| pair.bodies) {
                let (push, away) = (self.last[found].push * share, self.last[found].away);
                self.pairs[k].push = push;
                for (i, away) in bodies.into_iter().zip([away, -away]) {
                    let member = &mut self.members[i as usize];
                    member.at += member.moved(away) * push;
                    member.pushed = true;
                }
            }
        }
    }

    /// Sees anew which pairs push or nearly touch, and in which direction each would part. What has been pushed stays.
    fn aim(&mut self) {
        self.near.clear();
        for (k, pair) in self.pairs.iter_mut().enumerate() {
            let [a, b] = pair.bodies.map(|i| &self.members[i as usize]);
            let apart = a.at - b.at;
            let near_mm = pair.reach_mm * (1.0 + NEAR);
            let distance2_mm2 = apart.norm_squared();
            if pair.push == 0.0 && distance2_mm2 > near_mm * near_mm {
                continue;
            }
            let distance_mm = distance2_mm2.sqrt();
            pair.away = if distance_mm > 1e-9 {
                apart / distance_mm
            } else {
                any_way(a, b)
            };
            pair.ways = [a.moved(pair.away), b.moved(-pair.away)];
            pair.yields = (pair.ways[0] - pair.ways[1]).dot(&pair.away);
            if pair.yields > 0.0 {
                pair.per_yield = 1.0 / pair.yields;
                self.near.push(k as u32);
            }
        }
    }

    /// Corrects the push of one pair. Returns how far that moved them, mm.
    fn settle(&mut self, k: usize) -> f64 {
        let pair = &mut self.pairs[k];
        let [i, j] = pair.bodies.map(|i| i as usize);
        let apart_mm = (self.members[i].at - self.members[j].at).dot(&pair.away);
        let overlap_mm = pair.reach_mm - apart_mm;
        if overlap_mm <= 0.0 && pair.push == 0.0 {
            return 0.0;
        }
        let push = (pair.push + overlap_mm * pair.per_yield).max(0.0);
        let change = push - pair.push;
        pair.push = push;
        for (i, way) in [i, j].into_iter().zip(pair.ways) {
            let member = &mut self.members[i];
            member.at += way * change;
            member.pushed = true;
        }
        (change * pair.yields).abs()
    }
}

impl Member {
    /// Where a push of 1 along `away` takes it: not into what it touches.
    fn moved(&self, away: Vec3) -> Vec3 {
        forces::kept_out(away, self.walls) * self.yields
    }
}

/// A way apart for two bodies on one spot: along their wall.
fn any_way(a: &Member, b: &Member) -> Vec3 {
    let floor = a.walls[0].or(b.walls[0]).unwrap_or(Vec3::z());
    let other = if floor.x.abs() < 0.6 {
        Vec3::x()
    } else {
        Vec3::y()
    };
    floor.cross(&other).normalize()
}
