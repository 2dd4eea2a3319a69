//! Computes what is asked about the outcome map on a thread of its own.

use std::{
    ops::ControlFlow,
    path::Path,
    sync::{Arc, mpsc},
    thread,
};

use lithodrome_rehearsal::{Phrase, Scenario, first_parting, read_text};
use lithodrome_study::{
    MapQuestion, OutcomeMap, RunEnd, StudyError, Treatment, carried, map_ear, map_from_csv,
    shipped_map,
};

use super::known::{Beside, CarriedOf, Known, MapPlace, MapSource, Opened, WhichEar};
use crate::{
    kit::ear_dots,
    work::ears::Ears,
    work::load::scenario_shown,
    work::progress::{Progress, Waker},
    work::stage_data::Loaded,
};

/// A manoeuvre, its ends in the map and what to compute of it.
#[derive(Clone)]
pub(super) struct Asked {
    pub(super) known: Arc<Known>,
    pub(super) question: MapQuestion,
    /// Name of the manoeuvre.
    pub(super) name: String,
    /// How each ear of the map ended, `[ear]`.
    pub(super) ends: Vec<Option<RunEnd>>,
}

/// What to compute.
pub(super) enum Job {
    /// A map.
    Read(MapSource),
    /// A run in an ear.
    Open(Asked, WhichEar),
    /// Two manoeuvres in one ear.
    Beside(Asked, Asked),
    /// The same ears with the head carried otherwise.
    Carry(Asked),
    /// Why a cell is as it is.
    Why(Asked, MapPlace),
}

/// What comes back.
pub(super) enum Answer {
    Known(Arc<Known>),
    Opened(Opened),
    Beside(Box<Beside>),
    Carried(CarriedOf),
    Why(MapPlace, String),
}

struct Running {
    /// It is a map that is read, not a question about one.
    reads: bool,
    answer: mpsc::Receiver<Result<Answer, String>>,
    progress: Arc<Progress>,
}

/// One job at a time; a newer one makes the older one's answer void.
#[derive(Default)]
pub(super) struct Desk {
    running: Option<Running>,
    ears: Arc<Ears>,
}

impl Desk {
    pub(super) fn is_busy(&self) -> bool {
        self.running.is_some()
    }

    /// The share done, while something is computed.
    pub(super) fn share(&self) -> Option<f32> {
        self.running.as_ref().map(|r| r.progress.share())
    }

    pub(super) fn start(&mut self, job: Job, waker: Waker) {
        self.stop();
        let (sender, answer) = mpsc::channel();
        let progress = Progress::new(waker);
        self.running = Some(Running {
            reads: matches!(job, Job::Read(_)),
            answer,
            progress: progress.clone(),
        });
        let ears = self.ears.clone();
        thread::spawn(move || {
            let answer = compute(job, &ears, &progress).map_err(|error| error.to_string());
            // Nobody waits for a job that a newer one has made void.
            let _ = sender.send(answer);
            progress.wake();
        });
    }

    /// Makes void what is computed of a case; a map that is read goes on.
    pub(super) fn stop_questions(&mut self) {
        if self.running.as_ref().is_some_and(|r| !r.reads) {
            self.stop();
        }
    }

    fn stop(&mut self) {
        if let Some(running) = self.running.take() {
            running.progress.stop();
        }
    }

    pub(super) fn take(&mut self) -> Option<Result<Answer, String>> {
        let answer = self.running.as_ref()?.answer.try_recv();
        let answer = match answer {
            Ok(answer) => answer,
            Err(mpsc::TryRecvError::Empty) => return None,
            Err(mpsc::TryRecvError::Disconnected) => Err("the computation broke off".to_owned()),
        };
        self.running = None;
        Some(answer)
    }
}

fn compute(job: Job, ears: &Ears, progress: &Arc<Progress>) -> Result<Answer, StudyError> {
    Ok(match job {
        Job::Read(source) => Answer::Known(Arc::new(Known {
            map: read(&source)?,
            treatments: Treatment::all()?,
        })),
        Job::Open(asked, which) => {
            let ear = match which {
                WhichEar::Ends(end) => {
                    asked.ends.iter().position(|e| *e == end).unwrap_or(0) as u32
                }
                WhichEar::Usual => usual_ear(&asked.ends),
            };
            let loaded = Arc::new(run(&asked, ear, ears, progress)?);
            Answer::Opened(Opened {
                asked: asked.question,
                name: asked.name,
                ear,
                loaded,
            })
        }
        Job::Beside(a, b) => Answer::Beside(Box::new(beside(&a, &b, ears, progress)?)),
        Job::Carry(asked) => Answer::Carried(carry(asked, progress)?),
        Job::Why(asked, place) => {
            let sentence = why(&asked, ears, progress)?;
            Answer::Why(place, sentence)
        }
    })
}

fn read(source: &MapSource) -> Result<OutcomeMap, StudyError> {
    match source {
        MapSource::Shipped => shipped_map(),
        MapSource::File(path) => map_from_csv(&read_text(path)?, Path::new(path)),
    }
}

fn written(asked: &Asked) -> Result<Scenario, StudyError> {
    let treatment = asked.known.treatment(&asked.name);
    treatment
        .map(|t| t.entry.scenario.clone())
        .ok_or_else(|| StudyError::Text(format!("there is no manoeuvre {}", asked.name)))
}

/// The run of one ear of the map.
fn run(
    asked: &Asked,
    ear: u32,
    ears: &Ears,
    progress: &Arc<Progress>,
) -> Result<Loaded, StudyError> {
    let case = map_ear(&asked.known.map, &asked.question, &written(asked)?, ear)?;
    let shown = scenario_shown(&case.scenario, &case.labyrinth, ears, progress.waker())?;
    Ok(shown)
}

/// The first ear that ends as most do.
fn usual_ear(ends: &[Option<RunEnd>]) -> u32 {
    let counted = ear_dots::counted(ends);
    let most = counted.iter().max_by_key(|(_, ears)| *ears);
    let first = most.and_then(|(end, _)| ends.iter().position(|e| e == end));
    first.unwrap_or(0) as u32
}

/// Two manoeuvres in the first ear that tells them apart; in the first one, if none does.
fn beside(
    a: &Asked,
    b: &Asked,
    ears: &Ears,
    progress: &Arc<Progress>,
) -> Result<Beside, StudyError> {
    let is_out = |end: &Option<RunEnd>| end.is_some_and(|end| a.question.is_out(end));
    let pairs = || a.ends.iter().zip(&b.ends);
    let apart = pairs().position(|(x, y)| is_out(x) != is_out(y));
    let ear = apart
        .or_else(|| pairs().position(|(x, y)| x != y))
        .unwrap_or(0);
    let end = |asked: &Asked| asked.ends.get(ear).copied().flatten();
    let runs = [
        Arc::new(run(a, ear as u32, ears, progress)?),
        Arc::new(run(b, ear as u32, ears, progress)?),
    ];
    let title = |asked: &Asked| written(asked).map(|s| s.title);
    Ok(Beside {
        asked: a.question,
        titles: [title(a)?, title(b)?],
        ear: ear as u32,
        ends: [end(a), end(b)],
        parting: first_parting(&runs[0].run, &runs[1].run),
        runs,
    })
}

fn carry(asked: Asked, progress: &Arc<Progress>) -> Result<CarriedOf, StudyError> {
    let map = &asked.known.map;
    let tell = |done: u32, of: u32| {
        if progress.tell(f64::from(done) / f64::from(of.max(1))) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    Ok(CarriedOf {
        asked: asked.question,
        rows: carried(map, &asked.question, &written(&asked)?, None, &tell)?,
        name: asked.name,
    })
}

/// One sentence from the run of an ear that ends as most do.
fn why(asked: &Asked, ears: &Ears, progress: &Arc<Progress>) -> Result<String, StudyError> {
    let ear = usual_ear(&asked.ends);
    let loaded = run(asked, ear, ears, progress)?;
    let same = asked.ends.get(ear as usize);
    let alike = asked.ends.iter().filter(|end| Some(*end) == same).count();
    let words = sentence(&loaded.report.verdict_phrases);
    Ok(format!(
        "Most ears, {alike} of {}, end as ear {} does: {words}.",
        asked.ends.len(),
        ear + 1
    ))
}

/// Phrases of a verdict as one sentence, its word first.
pub(super) fn sentence(phrases: &[Phrase]) -> String {
    let mut texts = phrases.iter().map(|phrase| phrase.text.as_str());
    let first = texts.next().unwrap_or_default().to_lowercase();
    let rest: Vec<&str> = texts.collect();
    if rest.is_empty() {
        first
    } else {
        format!("{first}: {}", rest.join("; "))
    }
}
