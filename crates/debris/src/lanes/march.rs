//! Four runs at once, each at its own time and step: [`simulate`](crate::simulate()) in lanes.
//!
//! A lane whose run is over takes the next one, so that none waits for the others.

use lithodrome_labyrinth::{EarShape, HintLanes, Vec3, Vec3x4, WallLanes, length, mask_of};
use wide::f64x4;

use super::body::BodyLanes;
use super::fluid::{DisplacementLanes, FluidLanes, Loops};
use super::job::Job;
use super::runner::Runner;
use super::settle::PlaceLanes;
use super::step::StateLanes;
use crate::model::endolymph::Endolymph;
use crate::model::{HeadSegments, Model};
use crate::place::{FinalState, Place, Work, passing};
use crate::settling::step_size::{self, BodyLimits};

/// Runs all jobs and hands the end of each to `done`.
pub(crate) fn march<'a>(
    mut jobs: impl Iterator<Item = Job<'a>>,
    done: &mut dyn FnMut(usize, FinalState, Work),
) {
    let Some(first) = jobs.next() else { return };
    let mut lanes = Lanes::all(&first);
    lanes.load(0, &first);
    for lane in 1..4 {
        if let Some(job) = jobs.next() {
            lanes.load(lane, &job);
        }
    }
    while lanes.runners.iter().any(Option::is_some) {
        lanes.step();
        for lane in 0..4 {
            if let Some((index, body, work)) = lanes.unload(lane) {
                done(index, body, work);
                if let Some(job) = jobs.next() {
                    lanes.load(lane, &job);
                }
            }
        }
    }
}

struct Lanes<'a> {
    runners: [Option<Runner<'a>>; 4],
    /// The last motion, in segments: many runs follow the same.
    segments: HeadSegments<'a>,
    /// The models of the lanes, of those without a run too.
    models: [&'a Model; 4],
    bodies: BodyLanes<'a>,
    fluids: FluidLanes,
    states: StateLanes,
    fluid: DisplacementLanes,
    flow: Loops,
}

/// What a step of every lane needs from its runner, `[lane]`.
#[derive(Default)]
struct Wanted {
    /// Gravity less the ear's acceleration at both ends, mm/s².
    pull_mm_s2: [[Vec3; 4]; 2],
    turn_rad_s: [Vec3; 4],
    /// Length of the last step and of this one, s.
    times_s: [[f64; 4]; 2],
    runs: [bool; 4],
    moves: [bool; 4],
    held: [bool; 4],
}

impl<'a> Lanes<'a> {
    /// One run in every lane, none under way.
    fn all(job: &Job<'a>) -> Lanes<'a> {
        let models = [job.model; 4];
        let now = &job.start;
        let place = PlaceLanes {
            at: Vec3x4::splat(now.at),
            hints: HintLanes::from_lanes([now.hint; 4]),
            walls: WallLanes::from_lanes([now.wall; 4]),
        };
        Lanes {
            runners: [const { None }; 4],
            segments: HeadSegments::of(job.motion),
            models,
            bodies: BodyLanes::new(models, [&job.model.bodies[0]; 4]),
            fluids: FluidLanes::new(models.map(fluid_of)),
            states: StateLanes::new(&place),
            fluid: DisplacementLanes::default(),
            flow: [f64x4::ZERO; 3],
        }
    }

    fn load(&mut self, lane: usize, job: &Job<'a>) {
        let others = mask_of([0, 1, 2, 3].map(|i| i != lane));
        self.models[lane] = job.model;
        self.states.set_lane(lane, others, &job.start);
        self.fluid = self.fluid.select(others, &DisplacementLanes::default());
        self.flow = self.flow.map(|of| of & others);
        if !self.segments.are_of(job.motion) {
            self.segments = HeadSegments::of(job.motion);
        }
        self.runners[lane] = Some(Runner::new(job, self.segments.clone()));
        self.bodies = BodyLanes::new(self.models, self.models.map(|m| &m.bodies[0]));
        self.fluids = FluidLanes::new(self.models.map(fluid_of));
    }

    /// Takes a run that is over out of its lane.
    fn unload(&mut self, lane: usize) -> Option<(usize, FinalState, Work)> {
        let runner = self.runners[lane].take_if(|runner| runner.is_over())?;
        let wall = self.states.place().walls.lane(lane);
        let end = FinalState {
            place: Place::of(runner.model, &runner.model.bodies[0], &wall),
            position_in_reid_mm: self.states.place().at.lane(lane),
            exit_s: runner.exit_s,
        };
        Some((runner.index, end, runner.work))
    }

    /// Twin of one round of the scalar `advance`, each lane in its own step.
    fn step(&mut self) {
        let wanted = self.wanted();
        let times_s = wanted.times_s.map(f64x4::new);
        let moves = mask_of(wanted.moves);
        let pulls = wanted.pull_mm_s2.map(Vec3x4::from_lanes);
        let pressure =
            self.states
                .predict(&self.bodies, moves, &self.flow, pulls.each_ref(), times_s);
        let (fluid, flow) = (self.fluid, self.flow);
        let turn = Vec3x4::from_lanes(wanted.turn_rad_s);
        self.fluids
            .step_between(&mut self.fluid, pressure.each_ref(), &turn, times_s[1]);
        let (before, after) = (fluid.total_mm3(), self.fluid.total_mm3());
        let per_s = 1.0 / times_s[1];
        self.flow = [0, 1, 2].map(|i| (after[i] - before[i]) * per_s);
        let error_mm = self.states.correct(moves, &self.flow, times_s[1]);

        let mut accepted = wanted.runs;
        for (lane, runner) in self.runners.iter_mut().enumerate() {
            if let Some(runner) = runner {
                accepted[lane] = runner.judge(error_mm.as_array()[lane]);
            }
        }
        let arrives = mask_of(accepted);
        if !arrives.all() {
            self.fluid = self.fluid.select(arrives, &fluid);
            self.flow = [0, 1, 2].map(|i| arrives.select(self.flow[i], flow[i]));
        }
        let from = self.states.place();
        let (from, regions) = (from.at, from.walls.region);
        self.states
            .arrive(&self.bodies, arrives & moves, mask_of(wanted.held), times_s);
        for lane in 0..4 {
            if let Some(runner) = self.runners[lane].as_mut().filter(|_| accepted[lane]) {
                let place = self.states.place();
                let (was, is) = (regions[lane], place.walls.region[lane]);
                if was != is {
                    let way = [&from, &place.at].map(|at| at.lane(lane));
                    runner.passes([was, is], share_of_way(self.bodies.ears[lane], way));
                }
                runner.end_part(wanted.moves[lane]);
            }
        }
    }

    /// Lets every runner say what its next step is.
    fn wanted(&mut self) -> Wanted {
        let mut wanted = Wanted {
            times_s: [[1.0; 4]; 2],
            ..Wanted::default()
        };
        let asleep = self.states.asleep.to_bitmask();
        for lane in 0..4 {
            let limits = self.limits(lane);
            let Some(runner) = &mut self.runners[lane] else {
                continue;
            };
            let asleep = asleep >> lane & 1 == 1;
            let still = step_size::rests(self.flow.map(|of| of.as_array()[lane]));
            let (ends, held) = runner.next_part(limits, asleep, still);
            let ear = runner.model.bodies[0].ear.index();
            for (of, end) in wanted.pull_mm_s2.iter_mut().zip(&ends) {
                of[lane] = end.pull_mm_s2[ear];
            }
            wanted.turn_rad_s[lane] = ends[1].turning_rad_s - ends[0].turning_rad_s;
            [wanted.times_s[0][lane], wanted.times_s[1][lane]] = [runner.last_s, runner.part_s];
            wanted.runs[lane] = true;
            wanted.moves[lane] = !(held && asleep);
            wanted.held[lane] = held;
        }
        wanted
    }

    /// What limits the step of a lane's body.
    fn limits(&self, lane: usize) -> BodyLimits {
        let set = |mask: f64x4| mask.to_bitmask() >> lane & 1 == 1;
        let walls = &self.states.place().walls;
        BodyLimits {
            speed_mm_s: length(&self.states.velocity.lane(lane)),
            radius_mm: walls.radius_mm.as_array()[lane],
            on_wall: set(self.states.known & self.states.action().touches[0]),
            predictable: set(self.states.has_bend),
            jostled: false,
        }
    }
}

fn fluid_of(model: &Model) -> &Endolymph {
    &model.fluid[model.bodies[0].ear.index()]
}

/// At which share of the way between two places a body passes from part to part.
#[cold]
fn share_of_way(ear: &EarShape, way: [Vec3; 2]) -> f64 {
    passing(way.map(|at| {
        let mut hint = ear.find(at);
        ear.wall(at, &mut hint).to_border_mm
    }))
}
