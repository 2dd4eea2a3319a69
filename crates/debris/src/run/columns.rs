//! One computed run: columns over time, the same for both engines.

use lithodrome_labyrinth::{Canal, Ear, Region, Vec3};
use serde::{Deserialize, Serialize};

use crate::place::{Place, Work};

/// Which mover computed a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Engine {
    /// Overdamped point bodies, fast.
    #[default]
    Settling,
    /// rapier3d bodies with contacts between them.
    Rigid,
}

impl Engine {
    /// "settling" or "rigid".
    pub const fn name(self) -> &'static str {
        match self {
            Engine::Settling => "settling",
            Engine::Rigid => "rigid",
        }
    }
}

/// One body of debris over the run.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// The ear it is in.
    pub ear: Ear,
    /// The canal it started in.
    pub canal: Canal,
    /// Its diameter, µm.
    pub diameter_um: f64,
    /// Where it is, `[sample]`.
    pub place: Vec<Place>,
    /// Its centre in Reid axes, mm from the middle between the ear canals, `[sample]`.
    pub position_in_reid_mm: Vec<[f32; 3]>,
    /// Where it is on the course from the cupula of its start canal (0) through duct and crus to the
    /// utricle, mm, `[sample]`; not a number while it is in another canal.
    pub course_mm: Vec<f32>,
    /// When it left its canal for the utricle for the last time, s; `None` if it is not out at the end.
    pub exit_s: Option<f64>,
}

/// Something that happened to one body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// When, s.
    pub time_s: f64,
    /// Which body, index into [`Run::tracks`].
    pub debris: usize,
    /// What.
    pub kind: EventKind,
}

/// Kinds of [`Event`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// It went from one part into another.
    Entered(Region),
    /// It let go of the cupula.
    Detached,
}

/// What the run did not trust about itself.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// A body was outside the lumen by more than 2 µm.
    OutsideLumen {
        /// When it was worst, s.
        time_s: f64,
        /// Which body.
        debris: usize,
        /// By how much at worst, µm.
        by_um: f64,
    },
    /// A body as wide as the duct blocks it: there it carries no flow.
    Jam {
        /// When it began, s.
        time_s: f64,
        /// Which body.
        debris: usize,
    },
}

impl std::fmt::Display for Warning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Warning::OutsideLumen {
                time_s,
                debris,
                by_um,
            } => write!(
                f,
                "debris {} was {by_um:.1} µm outside the lumen at {time_s:.1} s, allowed are 2 µm",
                debris + 1
            ),
            Warning::Jam { time_s, debris } => {
                write!(
                    f,
                    "debris {} jammed in the duct from {time_s:.1} s",
                    debris + 1
                )
            }
        }
    }
}

/// One computed run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Which engine computed it.
    pub engine: Engine,
    /// Its length, s.
    pub duration_s: f64,
    /// Sample times, s, evenly spaced but for the last, `[sample]`.
    pub time_s: Vec<f64>,
    /// Step of the manoeuvre at each sample, `[sample]`.
    pub step_index: Vec<u32>,
    /// Gravity in head axes, unit vector, `[sample]`.
    pub down_in_head: Vec<Vec3>,
    /// Cupula signal caused by debris, `[canal of CanalId::ALL][sample]`, as the head velocity about
    /// `n_exc` that would bend the cupula as far, rad/s, positive excites.
    pub debris_signal_rad_s: [Vec<f64>; 6],
    /// The same for what the head's own rotation causes.
    pub rotation_signal_rad_s: [Vec<f64>; 6],
    /// Cupula displacement in pL for one rad/s of signal, positive ampullofugal, `[canal]`.
    pub pl_per_rad_s: [f64; 6],
    /// Unit axis of excitation of each canal, Reid axes, `[canal]`.
    pub n_exc_in_reid: [Vec3; 6],
    /// The bodies.
    pub tracks: Vec<Track>,
    /// What happened, in order of time.
    pub events: Vec<Event>,
    /// What was not as it should be.
    pub warnings: Vec<Warning>,
    /// Work counts.
    pub work: Work,
}

impl Run {
    /// Leaves out every second sample, the first stays.
    pub(crate) fn thin(&mut self) {
        fn halve<T>(column: &mut Vec<T>) {
            let mut keep = false;
            column.retain(|_| {
                keep = !keep;
                keep
            });
        }
        halve(&mut self.time_s);
        halve(&mut self.step_index);
        halve(&mut self.down_in_head);
        self.debris_signal_rad_s.iter_mut().for_each(halve);
        self.rotation_signal_rad_s.iter_mut().for_each(halve);
        for track in &mut self.tracks {
            halve(&mut track.place);
            halve(&mut track.position_in_reid_mm);
            halve(&mut track.course_mm);
        }
    }

    /// Makes room for so many samples more.
    pub(crate) fn make_room(&mut self, samples: usize) {
        self.time_s.reserve_exact(samples);
        self.step_index.reserve_exact(samples);
        self.down_in_head.reserve_exact(samples);
        let signals = self.debris_signal_rad_s.iter_mut();
        for column in signals.chain(&mut self.rotation_signal_rad_s) {
            column.reserve_exact(samples);
        }
        for track in &mut self.tracks {
            track.place.reserve_exact(samples);
            track.position_in_reid_mm.reserve_exact(samples);
            track.course_mm.reserve_exact(samples);
        }
    }

    /// A copy with these samples only, in order.
    #[must_use]
    pub fn at_samples(&self, samples: &[usize]) -> Run {
        fn of<T: Copy>(column: &[T], samples: &[usize]) -> Vec<T> {
            samples
                .iter()
                .filter_map(|&i| column.get(i).copied())
                .collect()
        }
        let signals =
            |columns: &[Vec<f64>; 6]| columns.each_ref().map(|column| of(column, samples));
        Run {
            time_s: of(&self.time_s, samples),
            step_index: of(&self.step_index, samples),
            down_in_head: of(&self.down_in_head, samples),
            debris_signal_rad_s: signals(&self.debris_signal_rad_s),
            rotation_signal_rad_s: signals(&self.rotation_signal_rad_s),
            tracks: self
                .tracks
                .iter()
                .map(|track| Track {
                    place: of(&track.place, samples),
                    position_in_reid_mm: of(&track.position_in_reid_mm, samples),
                    course_mm: of(&track.course_mm, samples),
                    ..*track
                })
                .collect(),
            events: self.events.clone(),
            warnings: self.warnings.clone(),
            work: self.work,
            ..*self
        }
    }

    /// Size of its columns, bytes.
    pub fn column_bytes(&self) -> usize {
        fn of<T>(column: &Vec<T>) -> usize {
            column.capacity() * size_of::<T>()
        }
        let signals = self
            .debris_signal_rad_s
            .iter()
            .chain(&self.rotation_signal_rad_s);
        let track = |t: &Track| of(&t.place) + of(&t.position_in_reid_mm) + of(&t.course_mm);
        of(&self.time_s)
            + of(&self.step_index)
            + of(&self.down_in_head)
            + signals.map(of).sum::<usize>()
            + self.tracks.iter().map(track).sum::<usize>()
            + of(&self.events)
            + of(&self.warnings)
    }
}
