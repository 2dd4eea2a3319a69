//! One computed scenario as the window shows it: plain columns and shapes, no engine.

use std::{
    path::PathBuf,
    sync::{Arc, OnceLock},
};

use lithodrome_chair::{ChairAngles, StepTimes};
use lithodrome_debris::Run;
use lithodrome_labyrinth::{Canal, CanalId, Ear, Region, Surface, Vec3};
use lithodrome_nystagmus::{EyeTrace, Judging};
use lithodrome_rehearsal::{
    Compiled, CourseMarks, DrainMap, Happening, LimitBreach, MoveEntry, Phrase, Report,
    STILL_MOVING_S, Scenario,
};

/// A chair that turns less than this stands still, rad (0.05°).
const STILL_RAD: f64 = 9e-4;

/// In place of the eyes of a hidden case in a hold in which nobody looked.
pub const NOBODY_LOOKS: &str = "Nobody looks at the eyes";

/// In place of what the eyes of a hidden case did, before the answer.
pub const EYES_TOLD_LATER: &str = "What the eyes did is told in the debrief.";

/// Where a scenario came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The one that comes with the program.
    Shipped,
    /// A new one, in no file yet.
    New,
    /// A file.
    File(PathBuf),
}

impl Origin {
    /// File name, "shipped with the program" or "not in a file yet".
    pub fn name(&self) -> String {
        match self {
            Origin::Shipped => "shipped with the program".to_owned(),
            Origin::New => "not in a file yet".to_owned(),
            Origin::File(path) => path.file_name().map_or_else(
                || path.display().to_string(),
                |n| n.to_string_lossy().into_owned(),
            ),
        }
    }
}

/// The chair's angles over the run.
#[derive(Clone, Debug, Default)]
pub struct ChairColumns {
    /// Yaw, rad, `[sample]`.
    pub yaw_rad: Vec<f64>,
    /// Track, rad, `[sample]`.
    pub track_rad: Vec<f64>,
    /// Headrest flexion, rad, all along.
    pub headrest_flexion_rad: f64,
}

/// A cupula at rest, for drawing.
#[derive(Clone, Copy, Debug)]
pub struct CupulaShape {
    /// Centre, Reid axes, mm.
    pub centre_in_reid_mm: Vec3,
    /// Unit vector to the duct's side, Reid axes.
    pub to_duct_in_reid: Vec3,
    /// Radius, mm.
    pub radius_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// The shape of one ear.
#[derive(Clone, Debug)]
pub struct EarShape {
    /// The lumen, once its surface has been made.
    pub surface: OnceLock<Surface>,
    /// The middle of the lumen, Reid axes, mm.
    pub centre_in_reid_mm: Vec3,
    /// Cupulae, `[canal]`.
    pub cupulae: [CupulaShape; 3],
    /// Courses, `[canal]`.
    pub courses: [CourseMarks; 3],
    /// Points evenly spaced along each course, from the cupula to the utricle, Reid axes, mm, `[canal]`.
    pub lines_in_reid_mm: [Vec<Vec3>; 3],
    /// Centre (Reid axes, mm) and radius of each canal's arc, mm, `[canal]`.
    pub arcs: [(Vec3, f64); 3],
    /// Where debris would come to rest, directions in Reid axes, `[canal]`.
    pub drains: [DrainMap; 3],
    /// Highest point of each canal's arc for its label, Reid axes, mm, `[canal]`.
    pub labels_in_reid_mm: [Vec3; 3],
}

/// Everything the window shows of one scenario.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// A hidden case: nothing in here tells of its debris.
    pub hidden: bool,
    /// When nobody looked at the eyes of a hidden case, from and to, s.
    pub unwatched_s: Vec<[f64; 2]>,
    /// As written.
    pub scenario: Scenario,
    /// As computed: what the engine was given.
    pub compiled: Arc<Compiled>,
    /// Per step and per debris.
    pub report: Report,
    /// From where.
    pub origin: Origin,
    /// Chair angles over the run.
    pub chair: ChairColumns,
    /// Times of the steps, `[step]`.
    pub step_times: Vec<StepTimes>,
    /// The run.
    pub run: Run,
    /// The eyes.
    pub eyes: EyeTrace,
    /// What is seen during the hold of each step, in words, `[step]`.
    pub findings: Vec<String>,
    /// What the run did not trust, and limits that the motion breaks, in words.
    pub warnings: Vec<String>,
    /// The patient's limits that the motion breaks.
    pub breaches: Vec<LimitBreach>,
    /// Until when each body holds on to a cupula, s (0 if it never does), `[body]`.
    pub attached_until_s: Vec<f64>,
    /// From when nystagmus is seen and named.
    pub judging: Judging,
    /// What happened to debris, in order of time.
    pub happenings: Vec<Happening>,
    /// How long debris had rested before each hold ended, s; `None` without debris, `[step]`.
    pub spare_hold_s: Vec<Option<f64>>,
    /// The fastest flow of endolymph in any canal, pL/s.
    pub fastest_flow_pl_s: f64,
    /// The ears, `[ear]`; shared by all scenarios of one anatomy.
    pub ears: Arc<[EarShape; 2]>,
    /// Pitch of Reid's plane with the head upright, rad.
    pub reid_pitch_nose_up_rad: f64,
}

/// Between which samples a time lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// The sample before.
    pub before: usize,
    /// The sample after.
    pub after: usize,
    /// 0 at the one before, 1 at the one after.
    pub share: f64,
}

impl Loaded {
    /// The same without anything that tells of debris but the eyes, and no word on what these do.
    #[must_use]
    pub fn blinded(&self) -> Loaded {
        let mut blind = self.clone();
        blind.hidden = true;
        blind.scenario.debris.clear();
        blind.scenario.cupulae.clear();
        blind.run.tracks.clear();
        blind.run.events.clear();
        blind.attached_until_s.clear();
        blind.happenings.clear();
        blind.report.debris.clear();
        blind.report.warnings.clear();
        blind.report.test_answer = None;
        for step in &mut blind.report.steps {
            step.short_hold = None;
            EYES_TOLD_LATER.clone_into(&mut step.sentence);
        }
        for finding in &mut blind.findings {
            EYES_TOLD_LATER.clone_into(finding);
        }
        blind.report.verdict_phrases = vec![Phrase {
            text: "What this run comes to is said once the case is named".to_owned(),
            time_s: None,
        }];
        blind.warnings.clear();
        for spare in &mut blind.spare_hold_s {
            *spare = None;
        }
        blind
    }

    /// Nobody looks at the eyes at a time, so whoever works on the case does not see them either.
    pub fn is_unwatched(&self, time_s: f64) -> bool {
        let within = |[from_s, to_s]: &[f64; 2]| (*from_s..*to_s).contains(&time_s);
        self.hidden && self.unwatched_s.iter().any(within)
    }

    /// Length of the run, s.
    pub fn duration_s(&self) -> f64 {
        self.run.duration_s
    }

    /// The samples around a time.
    pub fn between(&self, time_s: f64) -> Between {
        let times = &self.run.time_s;
        let after = times
            .partition_point(|&t| t < time_s)
            .min(times.len().saturating_sub(1));
        let before = after.saturating_sub(1);
        let span = times
            .get(after)
            .zip(times.get(before))
            .map_or(0.0, |(a, b)| a - b);
        let share = if span > 0.0 {
            ((time_s - times[before]) / span).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Between {
            before,
            after,
            share,
        }
    }

    /// The chair's angles at a time.
    pub fn angles_at(&self, time_s: f64) -> ChairAngles {
        let at = self.between(time_s);
        ChairAngles {
            yaw_rad: at.of(&self.chair.yaw_rad),
            track_rad: at.of(&self.chair.track_rad),
            headrest_flexion_rad: self.chair.headrest_flexion_rad,
        }
    }

    /// The step under way, and whether the chair is moving.
    pub fn step_at(&self, time_s: f64) -> Option<(usize, bool)> {
        let i = self
            .step_times
            .partition_point(|s| s.start_s <= time_s)
            .checked_sub(1)?;
        Some((
            i,
            time_s < self.step_times[i].hold_from_s && self.turns_in(i),
        ))
    }

    /// The chair turns, shakes or vibrates in a step's move; one that only waits does not.
    pub fn turns_in(&self, step: usize) -> bool {
        let moved = self.scenario.steps.get(step).and_then(|s| s.movement);
        let swings = matches!(
            moved,
            Some(MoveEntry::Shaking { .. } | MoveEntry::Vibration { .. })
        );
        let (Some(times), false) = (self.step_times.get(step), swings) else {
            return true;
        };
        let sample = |t: f64| self.run.time_s.partition_point(|&s| s < t);
        let (from, to) = (sample(times.start_s), sample(times.hold_from_s));
        let last = self.chair.yaw_rad.len().saturating_sub(1);
        let [yaw, track] = [&self.chair.yaw_rad, &self.chair.track_rad];
        let far = |column: &[f64]| {
            let start = column.get(from.saturating_sub(1).min(last));
            let moved = column.get(from.min(last)..=to.min(last)).unwrap_or(&[]);
            start.is_some_and(|a| moved.iter().any(|b| (b - a).abs() > STILL_RAD))
        };
        far(yaw) || far(track)
    }

    /// Why the hold of a step is too short, if debris is still under way in a canal when it ends.
    pub fn short_hold(&self, step: usize) -> Option<String> {
        if let Some(computed) = self.report.steps.get(step) {
            return computed
                .short_hold
                .as_ref()
                .map(|short| short.words.clone());
        }
        // Of a drive nobody has computed what a longer hold would do.
        let (&spare, times) = self.spare_hold_s.get(step).zip(self.step_times.get(step))?;
        // The last step may end as it likes: the patient sits on.
        let ends_early = spare? < STILL_MOVING_S && step + 1 < self.step_times.len();
        let places = self.places_at(times.end_s);
        let (place, _) = places.first().filter(|_| ends_early)?;
        Some(format!(
            "step {} ends while debris still moves in the {place}",
            step + 1
        ))
    }

    /// Pieces that are not out: in a duct or a crus, or held by a cupula.
    pub fn inside_at(&self, time_s: f64) -> usize {
        let sample = self.between(time_s).after;
        let tracks = self.run.tracks.iter().zip(&self.attached_until_s);
        tracks
            .filter(
                |(track, until)| match track.place.get(sample).map(|p| p.region) {
                    Some(Region::Duct(_) | Region::CommonCrus) => true,
                    Some(Region::ShortArm(_)) => **until > time_s,
                    Some(Region::Utricle) | None => false,
                },
            )
            .count()
    }

    /// Where bodies are at a time and how many in each place, but for those in the utricle.
    pub fn places_at(&self, time_s: f64) -> Vec<(String, usize)> {
        let sample = self.between(time_s).after;
        let mut places: Vec<(String, usize)> = Vec::new();
        for (track, &until) in self.run.tracks.iter().zip(&self.attached_until_s) {
            let held = until > time_s;
            let name = match track.place.get(sample).map(|place| place.region) {
                Some(Region::Duct(c)) => CanalId {
                    ear: track.ear,
                    canal: c,
                }
                .name(),
                Some(Region::ShortArm(c)) if held => CanalId {
                    ear: track.ear,
                    canal: c,
                }
                .name(),
                Some(Region::ShortArm(c)) => {
                    let canal = CanalId {
                        ear: track.ear,
                        canal: c,
                    };
                    format!("short arm of the {}", canal.name())
                }
                Some(Region::CommonCrus) => format!("{} common crus", track.ear.name()),
                Some(Region::Utricle) | None => continue,
            };
            match places.iter_mut().find(|(place, _)| *place == name) {
                Some((_, count)) => *count += 1,
                None => places.push((name, 1)),
            }
        }
        places
    }

    /// The ears and canals that debris starts in, each once.
    pub fn affected(&self) -> Vec<(Ear, Canal)> {
        let mut found: Vec<(Ear, Canal)> = Vec::new();
        for entry in &self.scenario.debris {
            if !found.contains(&(entry.ear, entry.canal)) {
                found.push((entry.ear, entry.canal));
            }
        }
        found
    }
}

impl Between {
    /// A column at the time between.
    pub fn of(self, column: &[f64]) -> f64 {
        let at = |i: usize| column.get(i).copied().unwrap_or(0.0);
        at(self.before) + (at(self.after) - at(self.before)) * self.share
    }

    /// A column of single precision at the time between.
    pub fn of_f32(self, column: &[f32]) -> f32 {
        let at = |i: usize| column.get(i).copied().unwrap_or(0.0);
        at(self.before) + (at(self.after) - at(self.before)) * self.share as f32
    }

    /// A column of vectors at the time between.
    pub fn of_vectors(self, column: &[Vec3]) -> Vec3 {
        let at = |i: usize| column.get(i).copied().unwrap_or_else(Vec3::zeros);
        at(self.before) + (at(self.after) - at(self.before)) * self.share
    }

    /// A column of points at the time between.
    pub fn of_points(self, column: &[[f32; 3]]) -> [f32; 3] {
        let at = |i: usize| column.get(i).copied().unwrap_or([0.0; 3]);
        let (a, b, share) = (at(self.before), at(self.after), self.share as f32);
        std::array::from_fn(|k| a[k] + (b[k] - a[k]) * share)
    }
}
