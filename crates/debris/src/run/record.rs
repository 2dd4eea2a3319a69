//! Writes a run's columns while an engine steps.

use lithodrome_labyrinth::{CanalId, Region, Vec3};
use nalgebra::Vector3;

use super::columns::{Engine, Event, EventKind, Run, Track, Warning};
use crate::law::jam;
use crate::model::Model;
use crate::model::endolymph::Displacement;
use crate::place::{Place, Work, is_out, passing};
use crate::state::{State, Stepped};

/// Shortest time between samples, s.
const SAMPLE_S: f64 = 0.05;
/// Most samples of a run, fewer with so many bodies that its columns would be larger than [`BYTES`].
const SAMPLES: usize = 40_000;
/// Most bytes of a run's columns.
const BYTES: usize = 90_000_000;
/// The same of a run without an end, which stays in memory beside what is shown of it.
const LIVE_BYTES: usize = 24_000_000;
/// A run without an end has room made for so many samples at once, not for twice as many as there are.
const ROOM: usize = 2_048;
/// Most samples that are worked out at once.
const MANY: usize = 16;
/// Most events of a run; a body that trembles on the border of two parts does not fill the memory.
const EVENTS: usize = 100_000;
/// A body may be this far outside the lumen before it is told, mm.
const OUTSIDE_MM: f64 = 2e-3;

/// What samples are interpolated from.
#[derive(Clone)]
struct Snap {
    time_s: f64,
    bodies: Vec<Seen>,
    fluid: [Displacement; 2],
    /// At the start and the end of the step that led here, mm³/s, `[ear][end]`.
    slope: [[Displacement; 2]; 2],
}

/// One body in a snap.
#[derive(Clone, Copy)]
struct Seen {
    region: Region,
    /// How far it is from the border of that part, mm.
    to_border_mm: f64,
    /// Arc length as it is told, place on the course (NaN off it), and place in Reid axes, mm.
    mm: [f64; 5],
}

/// Tells the step of the manoeuvre and gravity in head axes at a time of the last step.
pub(crate) type Head<'a> = &'a dyn Fn(f64) -> (usize, Vec3);

/// Collects a run.
pub(crate) struct Recorder {
    run: Run,
    planned: bool,
    sample_s: f64,
    most_samples: usize,
    before: Snap,
    after: Snap,
    outside: Vec<(f64, f64)>,
    jammed: Vec<bool>,
    fixed: Vec<bool>,
}

impl Recorder {
    /// A run of known length is sampled evenly; one without an end loses every second sample whenever
    /// it has reached the most.
    pub(crate) fn new(model: &Model, engine: Engine, planned_s: Option<f64>) -> Recorder {
        let duration_s = planned_s.unwrap_or(0.0);
        let most_bytes = planned_s.map_or(LIVE_BYTES, |_| BYTES);
        let most_samples = SAMPLES.min(most_bytes / bytes_per_sample(model.bodies.len()));
        let sample_s = SAMPLE_S.max(duration_s / most_samples as f64);
        let n = (duration_s / sample_s) as usize + 2;
        let tracks = model
            .bodies
            .iter()
            .map(|body| Track {
                ear: body.ear,
                canal: body.canal,
                diameter_um: body.radius_mm * 2000.0,
                place: Vec::with_capacity(n),
                position_in_reid_mm: Vec::with_capacity(n),
                course_mm: Vec::with_capacity(n),
                exit_s: None,
            })
            .collect();
        let gain = |id: CanalId| model.fluid(id.ear).gain_mm3_per_rad_s[id.canal.index()];
        let run = Run {
            engine,
            duration_s,
            time_s: Vec::with_capacity(n),
            step_index: Vec::with_capacity(n),
            down_in_head: Vec::with_capacity(n),
            debris_signal_rad_s: std::array::from_fn(|_| Vec::with_capacity(n)),
            rotation_signal_rad_s: std::array::from_fn(|_| Vec::with_capacity(n)),
            // 1 mm³ is 1e6 pL; a vertical canal's excitation is ampullofugal, the lateral one's not.
            pl_per_rad_s: CanalId::ALL
                .map(|id| 1e6 * id.canal.excited_by_ampullofugal() * gain(id)),
            n_exc_in_reid: CanalId::ALL.map(|id| model.labyrinth.canal(id).n_exc_in_reid),
            tracks,
            events: Vec::new(),
            warnings: Vec::new(),
            work: Work::default(),
        };
        let snap = Snap {
            time_s: 0.0,
            bodies: Vec::new(),
            fluid: [Displacement::rest(); 2],
            slope: [[Displacement::rest(); 2]; 2],
        };
        let n = model.bodies.len();
        Recorder {
            run,
            planned: planned_s.is_some(),
            sample_s,
            most_samples,
            before: snap.clone(),
            after: snap,
            outside: vec![(0.0, 0.0); n],
            jammed: vec![false; n],
            fixed: model.bodies.iter().map(|b| b.fixed_to.is_some()).collect(),
        }
    }

    /// What has been recorded so far; its warnings of bodies outside the lumen come at the end.
    pub(crate) fn so_far(&self) -> &Run {
        &self.run
    }

    pub(crate) fn first(&mut self, model: &Model, state: &State, head: Head) {
        fill(model, &mut self.after, state, 0.0);
        self.before.clone_from(&self.after);
        self.sample(model, head, &[0.0]);
    }

    pub(crate) fn after_step(
        &mut self,
        model: &Model,
        state: &State,
        head: Head,
        [time_s, dt_s]: [f64; 2],
        stepped: &Stepped,
    ) {
        self.run.work.steps += 1;
        self.run.work.body_steps += stepped.moved;
        std::mem::swap(&mut self.before, &mut self.after);
        fill(model, &mut self.after, state, time_s);
        self.after.slope = stepped.slope;
        self.notice(model, state, time_s, dt_s);
        if !self.planned {
            self.run.duration_s = time_s;
        }
        loop {
            let at = self.run.time_s.len();
            let due = |i: usize| {
                let next_s = i as f64 * self.sample_s;
                // The last sample of a planned run is its end.
                next_s <= time_s && !(self.planned && next_s >= self.run.duration_s)
            };
            let most = if self.planned {
                MANY
            } else {
                MANY.min(self.most_samples - at)
            };
            let n = (0..most).take_while(|k| due(at + k)).count();
            if n == 0 {
                return;
            }
            let mut times_s = [0.0; MANY];
            for (k, t) in times_s.iter_mut().take(n).enumerate() {
                *t = (at + k) as f64 * self.sample_s;
            }
            if !self.planned && self.run.time_s.capacity() < at + n {
                self.run.make_room(ROOM);
            }
            self.sample(model, head, &times_s[..n]);
            if !self.planned && self.run.time_s.len() >= self.most_samples {
                self.run.thin();
                self.sample_s *= 2.0;
            }
        }
    }

    pub(crate) fn finish(mut self, model: &Model, head: Head) -> Run {
        let end = self.run.duration_s;
        if self.run.time_s.last().is_none_or(|t| *t < end) {
            self.sample(model, head, &[end]);
        }
        for (i, (by_mm, time_s)) in self.outside.iter().enumerate() {
            if *by_mm > OUTSIDE_MM {
                let by_um = by_mm * 1e3;
                self.run.warnings.push(Warning::OutsideLumen {
                    time_s: *time_s,
                    debris: i,
                    by_um,
                });
            }
        }
        self.run
    }

    /// Events and watchdogs of one step.
    fn notice(&mut self, model: &Model, state: &State, time_s: f64, dt_s: f64) {
        for (i, (body, now)) in model.bodies.iter().zip(&state.bodies).enumerate() {
            let (was, is) = (self.before.bodies[i].region, self.after.bodies[i].region);
            if was != is {
                let at = time_s
                    - dt_s
                        * (1.0
                            - passing(
                                [&self.before, &self.after].map(|snap| snap.bodies[i].to_border_mm),
                            ));
                self.tell(at, i, EventKind::Entered(is));
                let exit_s = &mut self.run.tracks[i].exit_s;
                if !is_out(is) {
                    *exit_s = None;
                } else if !is_out(was) {
                    *exit_s = Some(at);
                }
            }
            if self.fixed[i] && now.fixed_to.is_none() {
                self.tell(time_s - dt_s, i, EventKind::Detached);
                self.fixed[i] = false;
            }
            let by = body.half_width_mm - now.wall.depth_mm;
            if now.fixed_to.is_none() && by > self.outside[i].0 {
                self.outside[i] = (by, time_s);
            }
            if jam::is_tight(body, now) && !self.jammed[i] {
                self.jammed[i] = true;
                self.run.warnings.push(Warning::Jam { time_s, debris: i });
            }
        }
    }

    fn tell(&mut self, time_s: f64, debris: usize, kind: EventKind) {
        if self.run.events.len() < EVENTS {
            self.run.events.push(Event {
                time_s,
                debris,
                kind,
            });
        }
    }

    /// Samples at times of the last step, at most [`MANY`].
    fn sample(&mut self, model: &Model, head: Head, times_s: &[f64]) {
        let span = self.after.time_s - self.before.time_s;
        let mut shares = [1.0; MANY];
        let shares = &mut shares[..times_s.len()];
        for (share, time_s) in shares.iter_mut().zip(times_s) {
            if span > 0.0 {
                *share = (time_s - self.before.time_s) / span;
            }
            let (step, down_in_head) = head(*time_s);
            self.run.time_s.push(*time_s);
            self.run.step_index.push(step as u32);
            self.run.down_in_head.push(down_in_head);
        }
        let shares = &*shares;
        for id in CanalId::ALL {
            let (ear, canal) = (id.ear.index(), id.canal.index());
            let unit = model.fluid(id.ear).signal_rad_s(id.canal, 1.0);
            let signal = |column: &mut Vec<f64>, of: fn(&Displacement) -> &Vector3<f64>| {
                let value = |of_ears: &[Displacement; 2]| of(&of_ears[ear])[canal] * unit;
                let slopes = self.after.slope[ear]
                    .each_ref()
                    .map(|s| of(s)[canal] * unit * span);
                let ends = [value(&self.before.fluid), value(&self.after.fluid)];
                let still = |v: &f64| v.abs() < f64::MIN_POSITIVE;
                if ends.iter().chain(&slopes).all(still) {
                    column.resize(column.len() + shares.len(), 0.0);
                } else {
                    column.extend(shares.iter().map(hermite(ends, slopes)));
                }
            };
            let k = id.index();
            signal(&mut self.run.debris_signal_rad_s[k], |v| &v.debris_mm3);
            signal(&mut self.run.rotation_signal_rad_s[k], |v| &v.rotation_mm3);
        }
        let bodies = self.before.bodies.iter().zip(&self.after.bodies);
        for (track, (was, is)) in self.run.tracks.iter_mut().zip(bodies) {
            if was.mm[2..] == is.mm[2..] && was.region == is.region {
                let place = Place {
                    region: is.region,
                    arc_mm: is.mm[0],
                };
                let n = track.place.len() + shares.len();
                track.place.resize(n, place);
                track.course_mm.resize(n, is.mm[1] as f32);
                let at = [2, 3, 4].map(|k| is.mm[k] as f32);
                track.position_in_reid_mm.resize(n, at);
                continue;
            }
            let blend = |k: usize, u: f64| was.mm[k] + u * (is.mm[k] - was.mm[k]);
            // From one part to another neither arc length goes on: where it passes the one ends.
            let stays = was.region == is.region;
            let passes = if stays {
                1.0
            } else {
                passing([was, is].map(|b| b.to_border_mm))
            };
            let along = |k: usize, u: f64| match (stays, u < passes) {
                (true, _) => blend(k, u),
                (false, true) => was.mm[k],
                (false, false) => is.mm[k],
            };
            track.place.extend(shares.iter().map(|&u| Place {
                region: if u < passes { was.region } else { is.region },
                arc_mm: along(0, u),
            }));
            let course = shares.iter().map(|&u| along(1, u) as f32);
            track.course_mm.extend(course);
            let at = shares
                .iter()
                .map(|&u| [2, 3, 4].map(|k| blend(k, u) as f32));
            track.position_in_reid_mm.extend(at);
        }
    }
}

/// Size of all columns of a run for one sample.
fn bytes_per_sample(bodies: usize) -> usize {
    let signals = 12 * size_of::<f64>();
    let times = size_of::<f64>() + size_of::<u32>() + size_of::<Vec3>();
    let track = size_of::<Place>() + size_of::<[f32; 3]>() + size_of::<f32>();
    signals + times + bodies * track
}

/// The cubic with these values and slopes at its ends, over a share of the way.
fn hermite([a, b]: [f64; 2], [first, last]: [f64; 2]) -> impl Fn(&f64) -> f64 {
    let way = b - a;
    let (bent, twist) = (3.0 * way - 2.0 * first - last, first + last - 2.0 * way);
    move |u| a + u * (first + u * (bent + u * twist))
}

fn fill(model: &Model, snap: &mut Snap, state: &State, time_s: f64) {
    snap.time_s = time_s;
    snap.bodies.clear();
    let bodies = model.bodies.iter().zip(&state.bodies).map(|(body, now)| {
        let place = Place::of(model, body, &now.wall);
        let ear = model.ear_of(body);
        let course = ear.course_mm(body.canal, place.region, place.tube_arc_mm(ear));
        let course_mm = course.unwrap_or(f64::NAN);
        Seen {
            region: place.region,
            to_border_mm: now.wall.to_border_mm,
            mm: [place.arc_mm, course_mm, now.at.x, now.at.y, now.at.z],
        }
    });
    snap.bodies.extend(bodies);
    snap.fluid = state.fluid;
}
