//! The chair, the ear and what has been driven so far, stepped frame by frame.

use std::sync::Arc;

use lithodrome_chair::{
    AngleSample, Ask, Axis, ChairAngles, Lever, MotionError, StepTimes, hand_pose,
};
use lithodrome_debris::{Live, SimulateError, Snapshot};
use lithodrome_labyrinth::Region;
use lithodrome_nystagmus::Watching;
use lithodrome_rehearsal::{
    LimitWatch, Look, REST_MM_S, Scenario, Whose, drive_as_scenario, driven_step,
};

use super::{
    Advice, Driven, Now,
    pace::FRAME_S,
    recording::{self, Played},
    target::{Target, is_near},
};
use crate::work::stage_data::Loaded;

/// A hold that has not begun begins so much after now, s.
const NEVER_S: f64 = 1e-6;
/// Whether debris moves is judged over this time, s.
const JUDGED_S: f64 = 0.5;
/// What has been run before is gone through in frames of this length while the chair rests, s.
const REST_FRAME_S: f64 = 1.0;
/// A chair that was driven may still come to rest so long after its hold is said to begin, s.
const SETTLES_S: f64 = 0.5;

/// Where a drive begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Begin {
    /// At the start of the plan; it is held against the plan's steps.
    AtStart,
    /// Where the run ends, watched like this: the chair is driven on from there and no step is aimed at.
    AtEnd(Look),
}

/// Everything that the thread keeps.
pub(super) struct Seat {
    live: Live,
    yaw: Axis,
    track: Axis,
    start: ChairAngles,
    steps: Vec<StepTimes>,
    /// Where the plan's steps hold the chair.
    planned: Vec<ChairAngles>,
    target: Target,
    /// Where bodies were a while ago, to tell whether they move.
    before: Snapshot,
    debris_moves: bool,
    rests_since_s: Option<f64>,
    speed_rad_s: f64,
    /// Over the limits of patient and chair.
    watches: Vec<LimitWatch>,
    /// How the eyes are watched; nobody looks at them.
    watching: Watching,
    away: bool,
    /// Steps that were done before the drive began, and where the chair stood then.
    done_before: usize,
    begun: AngleSample,
}

impl Seat {
    pub(super) fn new(plan: &Loaded, begin: Begin) -> Self {
        let start = plan.compiled.motion.start;
        let axis = |angle_rad| Axis {
            angle_rad,
            ..Axis::default()
        };
        let pose = plan.compiled.motion.at(0.0);
        let model = Arc::new(plan.compiled.model.clone());
        let live = Live::new(model, plan.compiled.engine, &pose);
        let limits = [
            (plan.scenario.limits, Whose::Patient),
            (plan.scenario.chair_limits, Whose::Chair),
        ];
        let watches = limits.map(|(limits, whose)| Some(LimitWatch::new(limits?, whose)));
        Self {
            before: live.snapshot(),
            live,
            yaw: axis(start.yaw_rad),
            track: axis(start.track_rad),
            start,
            steps: vec![StepTimes {
                start_s: 0.0,
                hold_from_s: 0.0,
                end_s: 0.0,
            }],
            planned: match begin {
                Begin::AtStart => planned_holds(plan),
                Begin::AtEnd(_) => Vec::new(),
            },
            target: Target::default(),
            debris_moves: false,
            rests_since_s: Some(0.0),
            speed_rad_s: 0.0,
            watches: watches.into_iter().flatten().collect(),
            watching: match begin {
                Begin::AtStart => Watching::default(),
                Begin::AtEnd(look) => look.watching(),
            },
            away: matches!(begin, Begin::AtEnd(look) if look == Look::AWAY),
            done_before: match begin {
                Begin::AtStart => 0,
                Begin::AtEnd(_) => plan.step_times.len(),
            },
            begun: AngleSample {
                time_s: 0.0,
                yaw_rad: start.yaw_rad,
                track_rad: start.track_rad,
            },
        }
    }

    /// Goes through what has been run before the drive, if it begins at the end of that.
    pub(super) fn go_to_begin(&mut self, plan: &Loaded) -> Result<(), String> {
        let motion = &plan.compiled.motion;
        let before = &plan.step_times[..self.done_before];
        for step in before {
            while self.live.time_s() < step.end_s {
                let now_s = self.live.time_s();
                let rests_s = step.hold_from_s + SETTLES_S;
                let (frame_s, to_s) = if now_s < rests_s {
                    (FRAME_S, rests_s.min(step.end_s))
                } else {
                    (REST_FRAME_S, step.end_s)
                };
                let next_s = (now_s + frame_s).min(to_s);
                let went = self.live.advance(&motion.at(next_s), next_s - now_s);
                went.map_err(|error| ended(&error))?;
            }
        }
        let Some(last) = before.last() else {
            return Ok(());
        };
        let now_s = last.end_s;
        let there = motion.angles_at(now_s);
        self.yaw.angle_rad = there.yaw_rad;
        self.track.angle_rad = there.track_rad;
        self.begun = AngleSample {
            time_s: now_s,
            yaw_rad: there.yaw_rad,
            track_rad: there.track_rad,
        };
        self.rests_since_s = Some(now_s);
        self.before = self.live.snapshot();
        self.steps = before.to_vec();
        self.steps.push(StepTimes {
            start_s: now_s,
            hold_from_s: now_s,
            end_s: now_s,
        });
        Ok(())
    }

    /// Time since the start of the run, s.
    pub(super) fn time_s(&self) -> f64 {
        self.live.time_s()
    }

    fn angles(&self) -> ChairAngles {
        ChairAngles {
            yaw_rad: self.yaw.angle_rad,
            track_rad: self.track.angle_rad,
            ..self.start
        }
    }

    pub(super) fn aim_at(&mut self, step: usize) {
        self.target = Target {
            step: step.min(self.planned.len().saturating_sub(1)),
            reached: false,
        };
    }

    pub(super) fn advance(&mut self, asks: [Ask; 2], dt_s: f64) -> Result<(), String> {
        self.yaw.follow(asks[0], dt_s);
        self.track.follow(asks[1], dt_s);
        let headrest_rad = self.start.headrest_flexion_rad;
        let pose = hand_pose(
            self.live.time_s() + dt_s,
            &self.yaw,
            &self.track,
            headrest_rad,
            Lever::default(),
        );
        let went = self.live.advance(&pose, dt_s);
        went.map_err(|error| ended(&error))?;
        self.speed_rad_s = pose.angular_velocity_in_head_rad_s.norm();
        let time_s = self.live.time_s();
        let at_rest = self.yaw.is_at_rest() && self.track.is_at_rest();
        self.count(time_s, at_rest);
        for watch in &mut self.watches {
            watch.see(self.steps.len() - 1, &pose);
        }
        let angles = self.angles();
        self.target.look(&self.planned, angles, at_rest);
        if time_s - self.before.time_s >= JUDGED_S {
            let now = self.live.snapshot();
            self.debris_moves = moves(&self.before, &now);
            self.before = now;
        }
        Ok(())
    }

    /// Moves and holds: a hold begins when the chair stands.
    fn count(&mut self, time_s: f64, at_rest: bool) {
        if !at_rest && self.rests_since_s.take().is_some() {
            self.steps.push(StepTimes {
                start_s: time_s,
                hold_from_s: time_s,
                end_s: time_s,
            });
        }
        if let Some(step) = self.steps.last_mut() {
            step.end_s = time_s;
            if !at_rest || self.rests_since_s.is_none() {
                step.hold_from_s = time_s;
            }
        }
        if at_rest {
            self.rests_since_s.get_or_insert(time_s);
        }
    }

    pub(super) fn shown(&self, plan: &Loaded) -> Driven {
        self.driven(plan, recording::view(self.live.so_far()))
    }

    /// The drive so far as a scenario; of one that went on from a run only what was driven.
    pub(super) fn record(&self, plan: &Loaded) -> Result<Arc<Scenario>, MotionError> {
        let names = |there| self.name_of(plan, there);
        let headrest_rad = self.start.headrest_flexion_rad;
        let from_s = self.begun.time_s;
        let driven = self.live.angles().iter().filter(|a| a.time_s > from_s);
        let angles: Vec<AngleSample> = std::iter::once(&self.begun)
            .chain(driven)
            .map(|a| AngleSample {
                time_s: a.time_s - from_s,
                ..*a
            })
            .collect();
        let steps: Vec<StepTimes> = self.steps[self.done_before..]
            .iter()
            .map(|step| StepTimes {
                start_s: step.start_s - from_s,
                hold_from_s: step.hold_from_s - from_s,
                end_s: step.end_s - from_s,
            })
            .collect();
        drive_as_scenario(&plan.scenario, &angles, headrest_rad, &steps, names).map(Arc::new)
    }

    pub(super) fn finish(self, plan: &Loaded) -> Driven {
        let mut driven = self.shown(plan);
        match self.record(plan) {
            Ok(scenario) => driven.scenario = Some(scenario),
            Err(error) => driven.failed = Some(error.to_string()),
        }
        driven
    }

    /// Name of the step of the plan that holds the chair there.
    fn name_of(&self, plan: &Loaded, there: ChairAngles) -> Option<String> {
        let step = self.planned.iter().position(|&p| is_near(p, there))?;
        plan.scenario.steps.get(step).map(|s| s.name.clone())
    }

    fn driven(&self, plan: &Loaded, mut run: lithodrome_debris::Run) -> Driven {
        let time_s = self.live.time_s();
        run.duration_s = time_s;
        let breaches = self.watches.iter();
        let breaches = breaches.flat_map(|w| w.breaches(driven_step));
        let angles = self.live.angles();
        let mut steps = self.steps.clone();
        if let Some(step) = steps.last_mut().filter(|_| self.rests_since_s.is_none()) {
            // Its hold is still to come.
            step.hold_from_s = time_s + NEVER_S;
            step.end_s = step.hold_from_s;
        }
        let names = |i: usize| match plan.scenario.steps.get(i) {
            Some(step) if i < self.done_before => step.name.clone(),
            _ => driven_step(i - self.done_before),
        };
        let played = Played {
            angles,
            steps: &steps,
            names: &names,
            watching: self.watching,
            unwatched_s: {
                let away = self.away.then_some([self.begun.time_s, f64::INFINITY]);
                plan.unwatched_s.iter().copied().chain(away).collect()
            },
            breaches: breaches.collect(),
        };
        let loaded = recording::as_loaded(plan, run, played);
        let slow_phase = loaded.eyes.debris_slow_phase_rad_s.last();
        let seen = slow_phase.is_some_and(|v| v.norm() >= plan.judging.visible_rad_s);
        let inside = loaded.inside_at(time_s);
        Driven {
            advice: Advice::of(Now {
                hidden: plan.hidden,
                chair_moves: self.rests_since_s.is_none(),
                in_place: self.target.reached || self.planned.is_empty(),
                pieces_inside: inside,
                debris_moves: self.debris_moves,
                nystagmus_seen: seen,
            }),
            loaded: Arc::new(if plan.hidden {
                loaded.blinded()
            } else {
                loaded
            }),
            time_s,
            angles: self.angles(),
            rests_since_s: self.rests_since_s,
            speed_rad_s: self.speed_rad_s,
            target: self.target,
            scenario: None,
            failed: None,
        }
    }
}

fn ended(error: &SimulateError) -> String {
    format!("the drive has ended: {error}")
}

/// Where each step of a plan holds the chair.
pub fn planned_holds(plan: &Loaded) -> Vec<ChairAngles> {
    let holds = plan.step_times.iter().map(|t| t.hold_from_s);
    holds.map(|t| plan.angles_at(t)).collect()
}

/// Some body in a duct or the crus has moved faster than what counts as resting.
fn moves(before: &Snapshot, now: &Snapshot) -> bool {
    let dt_s = now.time_s - before.time_s;
    before.bodies.iter().zip(&now.bodies).any(|(a, b)| {
        matches!(b.place.region, Region::Duct(_) | Region::CommonCrus)
            && (b.position_in_reid_mm - a.position_in_reid_mm).norm() > f64::from(REST_MM_S) * dt_s
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_count_from_when_the_chair_stands() {
        let loaded = crate::work::load::load(
            &crate::work::load::Job {
                origin: crate::work::stage_data::Origin::Shipped,
                draft: None,
            },
            &crate::work::ears::Ears::default(),
            &(Arc::new(|| {}) as crate::work::progress::Waker),
            &|_| true,
        )
        .unwrap();
        let mut seat = Seat::new(&loaded, Begin::AtStart);
        let mut run = |seconds: f64, track: Ask| {
            for _ in 0..(seconds * 60.0) as usize {
                seat.advance([Ask::Nothing, track], FRAME_S).unwrap();
            }
        };
        run(1.0, Ask::Nothing);
        run(2.0, Ask::Rate(0.8));
        run(3.0, Ask::Nothing);
        assert_eq!(seat.steps.len(), 2);
        let step = seat.steps[1];
        assert!((step.start_s - 1.0).abs() < 0.04, "{step:?}");
        // It brakes for 0.8 / 2.618 = 0.31 s after the hand lets go at 3 s.
        assert!((step.hold_from_s - 3.3).abs() < 0.1, "{step:?}");
        assert!((step.end_s - 6.0).abs() < 0.04);
        let driven = seat.shown(&loaded);
        assert_eq!(driven.advice, Advice::GetThere, "between two steps");
        assert!(driven.angles.track_rad > 1.2);
        let scenario = seat.finish(&loaded).scenario.unwrap();
        let track = scenario.steps.last().and_then(|s| s.track_deg).unwrap();
        assert!((track - driven.angles.track_rad.to_degrees()).abs() < 0.1);
    }
}
