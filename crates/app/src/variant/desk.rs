//! Computes a study on a thread of its own, batch by batch, so that its result grows in the window.

use std::{
    ops::ControlFlow,
    path::PathBuf,
    sync::{Arc, mpsc},
    thread,
    time::{Duration, Instant},
};

use lithodrome_study::{PartFile, Question, Row, Study, StudyError, StudyReport, compute, report};

use super::{
    dots::{self, DotEnd, DotRow},
    form::Asked,
    kept,
};
use crate::work::progress::{Progress, Waker};

/// Ears of the first batch; later ones are multiples of it.
const FIRST: u32 = 64;

/// What was found so far.
#[derive(Clone, Debug)]
pub struct Found {
    /// What was asked.
    pub asked: Asked,
    /// The study over the ears that are done.
    pub study: Study,
    /// How many ears were asked for.
    pub of: u32,
    /// All rows.
    pub rows: Vec<Row>,
    /// Summed up.
    pub report: StudyReport,
    /// Dots of each sequence, `[sequence]`.
    pub dots: Vec<Vec<DotRow>>,
    /// How long it took so far.
    pub seconds: f64,
    /// Ears that were there from an earlier computation of the same study.
    pub kept: u32,
}

impl Found {
    /// Ears that are done.
    pub fn done(&self) -> u32 {
        self.study.file.n
    }

    /// All that were asked for.
    pub fn is_whole(&self) -> bool {
        self.done() >= self.of
    }
}

/// How far a computation is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnderWay {
    /// Ears asked for.
    pub of: u32,
    /// Share done, 0 to 1.
    pub share: f32,
    /// Since it began.
    pub since: Duration,
}

impl UnderWay {
    /// How far, how fast and how long it will take, in words.
    pub fn words(&self) -> String {
        let done = f64::from(self.share) * f64::from(self.of);
        let seconds = self.since.as_secs_f64();
        if done < 1.0 || seconds < 0.2 {
            return format!("Computing {} ears", self.of);
        }
        let rate = done / seconds;
        let left_s = (f64::from(self.of) - done).max(0.0) / rate;
        format!(
            "{done:.0} of {} ears, {rate:.0} a second, {left_s:.0} s left",
            self.of
        )
    }
}

/// What a computation says.
pub(crate) enum Answer {
    /// This far.
    Found(Box<Found>),
    /// It cannot be done, in words.
    Failed(String),
    /// There is no more to come.
    Done,
}

struct Running {
    of: u32,
    since: Instant,
    progress: Arc<Progress>,
    answers: mpsc::Receiver<Answer>,
}

/// One computation at a time; a newer one makes the older one void.
#[derive(Default)]
pub struct Desk {
    running: Option<Running>,
}

impl Desk {
    /// Something is being computed.
    pub fn is_busy(&self) -> bool {
        self.running.is_some()
    }

    /// How far it is.
    pub fn under_way(&self) -> Option<UnderWay> {
        let running = self.running.as_ref()?;
        Some(UnderWay {
            of: running.of,
            share: running.progress.share(),
            since: running.since.elapsed(),
        })
    }

    /// Computes a study; `folder` keeps its rows, if there is one.
    pub(crate) fn start(
        &mut self,
        study: Study,
        asked: Asked,
        folder: Option<PathBuf>,
        waker: Waker,
    ) {
        self.stop();
        let (sender, answers) = mpsc::channel();
        let progress = Progress::new(waker);
        self.running = Some(Running {
            of: study.file.n,
            since: Instant::now(),
            progress: progress.clone(),
            answers,
        });
        thread::spawn(move || {
            // Nobody waits for a computation that a newer one has made void.
            let tell = |answer| {
                let _ = sender.send(answer);
                progress.wake();
            };
            let kept = folder.and_then(|folder| kept::file_of(&study, &folder));
            let done = work(&study, asked, kept, &progress, &tell);
            if let Err(words) = done {
                tell(Answer::Failed(words));
            }
            tell(Answer::Done);
        });
    }

    /// Stops what is under way; what it told so far stays.
    pub(crate) fn stop(&mut self) {
        if let Some(running) = self.running.take() {
            running.progress.stop();
        }
    }

    /// What was told since the last look, the latest result only.
    pub(crate) fn take(&mut self) -> Option<Answer> {
        let running = self.running.as_ref()?;
        let mut last = None;
        loop {
            match running.answers.try_recv() {
                Ok(Answer::Done) => {
                    self.running = None;
                    return last.or(Some(Answer::Done));
                }
                Ok(answer) => last = Some(answer),
                Err(mpsc::TryRecvError::Empty) => return last,
                Err(mpsc::TryRecvError::Disconnected) => {
                    self.running = None;
                    let words = "the computation broke off".to_owned();
                    return Some(last.unwrap_or(Answer::Failed(words)));
                }
            }
        }
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        self.stop();
    }
}

fn work(
    study: &Study,
    asked: Asked,
    mut file: Option<PartFile>,
    progress: &Progress,
    tell: &dyn Fn(Answer),
) -> Result<(), String> {
    let since = Instant::now();
    let of = study.file.n;
    let question = study.question().map_err(|e| e.to_string())?;
    let mut rows = match &file {
        Some(file) if file.ears() > 0 => file.rows().map_err(|e| e.to_string())?,
        _ => Vec::new(),
    };
    let kept = file.as_ref().map_or(0, PartFile::ears);
    let mut done = kept;
    if kept > 0 {
        let seconds = since.elapsed().as_secs_f64();
        let found = found_so_far(study, asked, &rows, [kept, kept], seconds)?;
        tell(Answer::Found(Box::new(found)));
    }
    while done < of {
        let end = (done + batch(done)).min(of);
        match batch_rows(&question, done..end, of, progress) {
            Ok(more) => {
                // A disk that is full keeps no rows, but stops nobody.
                file = file.and_then(|mut file| file.add(end - done, &more).ok().map(|()| file));
                rows.extend(more);
            }
            Err(StudyError::Cancelled { .. }) => return Ok(()),
            Err(error) => return Err(error.to_string()),
        }
        done = end;
        let seconds = since.elapsed().as_secs_f64();
        let found = found_so_far(study, asked, &rows, [done, kept], seconds)?;
        tell(Answer::Found(Box::new(found)));
    }
    Ok(())
}

fn found_so_far(
    study: &Study,
    asked: Asked,
    rows: &[Row],
    [done, kept]: [u32; 2],
    seconds: f64,
) -> Result<Found, String> {
    let mut so_far = study.clone();
    so_far.file.n = done;
    let mut summed = report(&so_far, rows).map_err(|e| e.to_string())?;
    summed.seconds = Some(seconds);
    Ok(Found {
        asked,
        study: so_far,
        of: study.file.n,
        dots: dots_of(rows, summed.sequences.len()),
        rows: rows.to_vec(),
        report: summed,
        seconds,
        kept,
    })
}

fn dots_of(rows: &[Row], sequences: usize) -> Vec<Vec<DotRow>> {
    let mut ends: Vec<Vec<DotEnd>> = vec![Vec::new(); sequences];
    for row in rows {
        if let Some(mine) = ends.get_mut(row.sequence as usize) {
            mine.push(DotEnd::of(row));
        }
    }
    ends.iter().map(|ends| dots::rows(ends)).collect()
}

/// Longer and longer, so that summing up stays a small part of the work.
fn batch(done: u32) -> u32 {
    (done / 3).next_multiple_of(FIRST).max(FIRST)
}

fn batch_rows(
    question: &Question,
    ears: std::ops::Range<u32>,
    of: u32,
    progress: &Progress,
) -> Result<Vec<Row>, StudyError> {
    let before = ears.start;
    compute(question, ears, None, &|now, _| {
        if progress.tell(f64::from(before + now) / f64::from(of)) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn batches_grow_and_keep_whole_blocks() {
        let mut done = 0;
        let mut batches = 0;
        while done < 10_000 {
            assert_eq!(batch(done) % FIRST, 0);
            done += batch(done);
            batches += 1;
        }
        assert!((10..20).contains(&batches), "{batches}");
    }

    #[test]
    fn rate_and_time_left_are_told() {
        let under_way = UnderWay {
            of: 1000,
            share: 0.25,
            since: Duration::from_secs(5),
        };
        // 250 in 5 s; 750 more take 15.
        assert_eq!(
            under_way.words(),
            "250 of 1000 ears, 50 a second, 15 s left"
        );
    }
}
