//! Writes a run's columns while an engine steps.

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::{Canal, CanalId, Region};
use nalgebra::Vector3;

use crate::model::Model;
use crate::run::{Engine, Event, EventKind, Place, Run, Track, Warning, Work};
use crate::state::State;

/// Shortest time between samples, s.
const SAMPLE_S: f64 = 0.05;
/// Most samples of a run: a two-hour run with 30 bodies stays under 100 MB.
const SAMPLES: f64 = 40_000.0;
/// A body may be this far outside the lumen before it is told, mm.
const OUTSIDE_MM: f64 = 2e-3;

/// What is kept of a state to interpolate samples.
#[derive(Clone)]
struct Snap {
    time_s: f64,
    places: Vec<(Place, [f64; 3])>,
    debris: [Vector3<f64>; 2],
    rotation: [Vector3<f64>; 2],
}

/// Collects a run.
pub(crate) struct Recorder<'a> {
    model: &'a Model,
    motion: &'a HeadMotion,
    run: Run,
    sample_s: f64,
    before: Snap,
    after: Snap,
    entered_utricle_s: Vec<Option<f64>>,
    outside: Vec<(f64, f64)>,
    jammed: Vec<bool>,
}

impl<'a> Recorder<'a> {
    pub(crate) fn new(model: &'a Model, motion: &'a HeadMotion, engine: Engine) -> Recorder<'a> {
        let duration_s = motion.duration_s();
        let sample_s = SAMPLE_S.max(duration_s / SAMPLES);
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
            pl_per_rad_s: CanalId::ALL.map(|id| 1e6 * id.canal.excited_by_ampullofugal() * gain(id)),
            n_exc_in_reid: CanalId::ALL.map(|id| model.labyrinth.canal(id).n_exc_in_reid),
            tracks,
            events: Vec::new(),
            warnings: Vec::new(),
            work: Work::default(),
        };
        let snap = Snap {
            time_s: 0.0,
            places: Vec::new(),
            debris: [Vector3::zeros(); 2],
            rotation: [Vector3::zeros(); 2],
        };
        let n = model.bodies.len();
        Recorder {
            model,
            motion,
            run,
            sample_s,
            before: snap.clone(),
            after: snap,
            entered_utricle_s: vec![None; n],
            outside: vec![(0.0, 0.0); n],
            jammed: vec![false; n],
        }
    }

    pub(crate) fn first(&mut self, state: &State) {
        fill(self.model, &mut self.after, state, 0.0);
        self.before.clone_from(&self.after);
        self.sample(0.0);
    }

    pub(crate) fn after_step(&mut self, state: &State, time_s: f64, dt_s: f64, moved: u64) {
        self.run.work.steps += 1;
        self.run.work.body_steps += moved;
        std::mem::swap(&mut self.before, &mut self.after);
        fill(self.model, &mut self.after, state, time_s);
        self.notice(state, time_s, dt_s);
        let mut next = self.run.time_s.len() as f64 * self.sample_s;
        while next <= time_s && next < self.run.duration_s {
            self.sample(next);
            next = self.run.time_s.len() as f64 * self.sample_s;
        }
    }

    pub(crate) fn finish(mut self, _state: &State) -> Run {
        let end = self.run.duration_s;
        if self.run.time_s.last().is_none_or(|t| *t < end) {
            self.sample(end);
        }
        for (i, track) in self.run.tracks.iter_mut().enumerate() {
            let out = self.after.places.get(i).is_some_and(|p| is_out(p.0.region));
            track.exit_s = if out { self.entered_utricle_s[i] } else { None };
        }
        for (i, (by_mm, time_s)) in self.outside.iter().enumerate() {
            if *by_mm > OUTSIDE_MM {
                let by_um = by_mm * 1e3;
                self.run.warnings.push(Warning::OutsideLumen { time_s: *time_s, debris: i, by_um });
            }
        }
        self.run
    }

    /// Events and watchdogs of one step.
    fn notice(&mut self, state: &State, time_s: f64, dt_s: f64) {
        for (i, g) in state.grains.iter().enumerate() {
            let (was, is) = (self.before.places[i].0.region, self.after.places[i].0.region);
            if was != is {
                // Half a step is as well as the time of passing is known.
                let at = time_s - 0.5 * dt_s;
                self.run.events.push(Event { time_s: at, debris: i, kind: EventKind::Entered(is) });
                if is_out(is) && !is_out(was) {
                    self.entered_utricle_s[i] = Some(at);
                }
            }
            let body = &self.model.bodies[i];
            let by = body.radius_mm - g.wall.depth_mm;
            if body.fixed_to.is_none() && by > self.outside[i].0 {
                self.outside[i] = (by, time_s);
            }
            let tight = body.rest_mm >= 0.97 * g.wall.radius_mm;
            if tight && !self.jammed[i] && body.fixed_to.is_none() {
                self.jammed[i] = true;
                self.run.warnings.push(Warning::Jam { time_s, debris: i });
            }
        }
    }

    fn sample(&mut self, time_s: f64) {
        let span = self.after.time_s - self.before.time_s;
        let u = if span > 0.0 { (time_s - self.before.time_s) / span } else { 1.0 };
        self.run.time_s.push(time_s);
        self.run.step_index.push(self.motion.step_at(time_s) as u32);
        self.run.down_in_head.push(self.motion.at(time_s).down_in_head);
        for id in CanalId::ALL {
            let (ear, canal) = (id.ear.index(), id.canal.index());
            let fluid = self.model.fluid(id.ear);
            let blend = |a: &[Vector3<f64>; 2], b: &[Vector3<f64>; 2]| {
                let v = a[ear][canal] + u * (b[ear][canal] - a[ear][canal]);
                fluid.signal_rad_s(id.canal, v)
            };
            let k = id.index();
            self.run.debris_signal_rad_s[k].push(blend(&self.before.debris, &self.after.debris));
            self.run.rotation_signal_rad_s[k].push(blend(&self.before.rotation, &self.after.rotation));
        }
        for (i, track) in self.run.tracks.iter_mut().enumerate() {
            let (was, is) = (&self.before.places[i], &self.after.places[i]);
            let arc_mm = if was.0.region == is.0.region {
                was.0.arc_mm + u * (is.0.arc_mm - was.0.arc_mm)
            } else {
                is.0.arc_mm
            };
            let place = Place { region: is.0.region, arc_mm };
            let at: [f32; 3] =
                std::array::from_fn(|k| (was.1[k] + u * (is.1[k] - was.1[k])) as f32);
            track.place.push(place);
            track.position_in_reid_mm.push(at);
            let ear = self.model.labyrinth.ear(track.ear);
            let along = tube_arc(ear, place);
            let course = ear.course_mm(track.canal, place.region, along);
            track.course_mm.push(course.map_or(f32::NAN, |c| c as f32));
        }
    }
}

/// Free in the vestibule: in the utricle, or on the utricular side of a cupula.
fn is_out(region: Region) -> bool {
    matches!(region, Region::Utricle | Region::ShortArm(_))
}

/// Arc length along the tube for a recorded place.
fn tube_arc(ear: &lithodrome_labyrinth::EarShape, place: Place) -> f64 {
    match place.region {
        Region::CommonCrus => place.arc_mm + ear.canal(Canal::Anterior).landmarks.duct_end_mm,
        _ => place.arc_mm,
    }
}

fn fill(model: &Model, snap: &mut Snap, state: &State, time_s: f64) {
    snap.time_s = time_s;
    snap.places.clear();
    snap.places.extend(model.bodies.iter().zip(&state.grains).map(|(body, g)| {
        let crus_from = model.ear_of(body).canal(Canal::Anterior).landmarks.duct_end_mm;
        let arc_mm = match g.wall.region {
            Region::CommonCrus => g.wall.arc_mm - crus_from,
            Region::Utricle => 0.0,
            _ => g.wall.arc_mm,
        };
        (Place { region: g.wall.region, arc_mm }, g.at.into())
    }));
    snap.debris = state.fluid.map(|f| f.debris_mm3);
    snap.rotation = state.fluid.map(|f| f.rotation_mm3);
}
