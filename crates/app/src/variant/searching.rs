//! Searches for a sequence within limits on a thread of its own: tables once, a coarse answer for any limits at
//! once, and the checked one behind it.

use std::{
    ops::ControlFlow,
    path::Path,
    sync::{Arc, Mutex, PoisonError, mpsc},
    thread,
    time::{Duration, Instant},
};

use lithodrome_labyrinth::{Canal, CanalId};
use lithodrome_rehearsal::Scenario;
use lithodrome_study::{
    CoarseAnswer, SEARCH_FORMAT, Search, SearchAim, SearchCase, SearchEars, SearchFile,
    SearchLimits, SearchProgress, SearchStage, SearchTables, Searched, StudyError, search_in,
};

use super::form::{Form, Limits, Whereabouts};
use crate::work::progress::{Progress, Waker};

/// Limits rest for so long before the engine checks them.
const REST: Duration = Duration::from_millis(400);

/// What counts as success: debris in a short arm is out, as the tables know nothing of short arms.
pub const AIM: SearchAim = SearchAim::Out;

/// What the tables say of limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Coarse {
    /// The limits.
    pub limits: SearchLimits,
    /// The best within them; `None` if nothing is.
    pub answer: Option<CoarseAnswer>,
    /// How long it took, s.
    pub seconds: f64,
}

enum Answer {
    Tables(Box<Search>, Arc<SearchTables>),
    Coarse(Coarse),
    Searched(Box<Searched>),
    Failed(String),
}

struct Running {
    since: Instant,
    progress: Arc<Progress>,
    stage: Arc<Mutex<SearchStage>>,
    answers: mpsc::Receiver<Answer>,
}

/// One search at a time; a newer one makes the older one void.
#[derive(Default)]
pub struct Searching {
    running: Option<Running>,
    /// What will be searched for once the processors are free.
    next: Option<Box<Search>>,
    /// What the tables were made for, and they themselves.
    tables: Option<(Box<Search>, Arc<SearchTables>)>,
    /// The limits that were asked for last.
    asked: Option<SearchLimits>,
    /// The coarse answer, to these or to limits before.
    pub coarse: Option<Coarse>,
    /// The checked answer, to these or to limits before.
    pub searched: Option<Arc<Searched>>,
    /// What went wrong, in words.
    pub fault: Option<String>,
}

impl Searching {
    /// Something is being searched.
    pub fn is_busy(&self) -> bool {
        self.running.is_some()
    }

    /// Any limits can be answered at once.
    pub fn has_tables(&self) -> bool {
        self.tables.is_some()
    }

    /// The share done, and what it is doing and how long that will take, in words.
    pub fn under_way(&self) -> Option<(f32, String)> {
        let running = self.running.as_ref()?;
        let stage = *running.stage.lock().unwrap_or_else(PoisonError::into_inner);
        let share = running.progress.share();
        let mut words = format!("Searching: {}", stage.name());
        // Little done tells little about the rest.
        if (0.05..1.0).contains(&share) {
            let left_s = running.since.elapsed().as_secs_f32() * (1.0 - share) / share;
            words = format!("{words}, {left_s:.0} s left");
        }
        Some((share, words))
    }

    /// The checked answer is to the limits that were asked for last.
    pub fn is_checked(&self) -> bool {
        let checked = self.searched.as_ref().map(|s| s.report.limits);
        self.asked.is_some() && checked == self.asked
    }

    /// The coarse answer to the limits that were asked for last, if it is there.
    pub fn coarse_now(&self) -> Option<&Coarse> {
        let coarse = self.coarse.as_ref()?;
        (Some(coarse.limits) == self.asked).then_some(coarse)
    }

    /// Takes down what a form asks for now, to begin later.
    pub(crate) fn plan(&mut self, form: &Form, draft: Option<&Scenario>) {
        *self = Searching::default();
        match search_of(form, draft) {
            Ok(search) => self.next = Some(Box::new(search)),
            Err(words) => self.fault = Some(words),
        }
    }

    /// Begins with what was taken down, if anything was.
    pub(crate) fn begin(&mut self, waker: Waker) {
        if let Some(search) = self.next.take() {
            self.run(*search, None, waker);
        }
    }

    /// Asks about other limits: at once if there are tables, else with the tables once they are there.
    pub(crate) fn again(&mut self, limits: &Limits, waker: Waker) {
        // Of whatever else the search is, its headrest too.
        let with = |before: SearchLimits| SearchLimits {
            headrest_deg: before.headrest_deg,
            ..limits_of(limits)
        };
        if let Some(next) = &mut self.next {
            next.file.limits = with(next.file.limits);
        } else if let Some((search, tables)) = &self.tables {
            let mut search = (**search).clone();
            search.file.limits = with(search.file.limits);
            let tables = tables.clone();
            self.fault = None;
            self.run(search, Some(tables), waker);
        } else if self.is_busy() {
            self.asked = self.asked.map(with);
        }
    }

    fn run(&mut self, search: Search, tables: Option<Arc<SearchTables>>, waker: Waker) {
        self.stop();
        self.asked = Some(search.file.limits);
        let (sender, answers) = mpsc::channel();
        let progress = Progress::new(waker);
        let stage = Arc::new(Mutex::new(SearchStage::Tables));
        self.running = Some(Running {
            since: Instant::now(),
            progress: progress.clone(),
            stage: stage.clone(),
            answers,
        });
        thread::spawn(move || {
            let told = |at: SearchStage, done: u32, of: u32| {
                *stage.lock().unwrap_or_else(PoisonError::into_inner) = at;
                if progress.tell(at.share(done, of)) {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            };
            // Nobody waits for a search that a newer one has made void.
            let tell = |answer| {
                let _ = sender.send(answer);
                progress.wake();
            };
            match work(&search, tables, &progress, &told, &tell) {
                Ok(()) | Err(StudyError::Cancelled { .. }) => {}
                Err(error) => tell(Answer::Failed(error.to_string())),
            }
            drop(sender);
            progress.wake();
        });
    }

    /// Stops what is under way and gives up what was to come.
    pub(crate) fn cancel(&mut self) {
        self.next = None;
        self.stop();
    }

    fn stop(&mut self) {
        if let Some(running) = self.running.take() {
            running.progress.stop();
        }
    }

    /// Takes over what was found meanwhile.
    pub(crate) fn take(&mut self) {
        loop {
            let Some(running) = &self.running else { return };
            match running.answers.try_recv() {
                Ok(Answer::Tables(search, tables)) => {
                    let waker = running.progress.waker().clone();
                    self.take_tables(search, tables, waker);
                }
                Ok(Answer::Coarse(coarse)) => self.coarse = Some(coarse),
                Ok(Answer::Searched(searched)) => self.searched = Some(Arc::from(searched)),
                Ok(Answer::Failed(words)) => self.fault = Some(words),
                Err(mpsc::TryRecvError::Empty) => return,
                Err(mpsc::TryRecvError::Disconnected) => self.running = None,
            }
        }
    }
}

impl Searching {
    /// If limits were moved meanwhile, the answer to those before is not waited for.
    fn take_tables(&mut self, search: Box<Search>, tables: Arc<SearchTables>, waker: Waker) {
        self.tables = Some((search.clone(), tables.clone()));
        let moved = self.asked.filter(|asked| *asked != search.file.limits);
        if let Some(limits) = moved {
            let mut search = *search;
            search.file.limits = limits;
            self.run(search, Some(tables), waker);
        }
    }
}

impl Drop for Searching {
    fn drop(&mut self) {
        self.stop();
    }
}

fn work(
    search: &Search,
    tables: Option<Arc<SearchTables>>,
    progress: &Progress,
    told: &SearchProgress,
    tell: &dyn Fn(Answer),
) -> Result<(), StudyError> {
    let fresh = tables.is_none();
    let tables = if let Some(tables) = tables {
        tables
    } else {
        let tables = Arc::new(SearchTables::new(search, None, told)?);
        tell(Answer::Tables(Box::new(search.clone()), tables.clone()));
        tables
    };
    let since = Instant::now();
    let limits = search.file.limits;
    let answer = tables.coarse(&limits);
    tell(Answer::Coarse(Coarse {
        limits,
        answer,
        seconds: since.elapsed().as_secs_f64(),
    }));
    // While a limit is dragged, the next one comes before the engine has begun.
    if !fresh {
        thread::sleep(REST);
    }
    if progress.is_stopped() {
        return Ok(());
    }
    let searched = search_in(&tables, search, None, told)?;
    tell(Answer::Searched(Box::new(searched)));
    Ok(())
}

/// The limits as the search knows them.
fn limits_of(limits: &Limits) -> SearchLimits {
    SearchLimits {
        head_down_deg: limits.lowest_head_deg.clamp(-89.0, 90.0),
        inversion: limits.lowest_head_deg > 0.0,
        inverted_s: Some(limits.inverted_s),
        most_holds: limits.holds.clamp(1, 8),
        yaw_deg_s: limits.yaw_deg_s,
        track_deg_s: limits.track_deg_s,
        ..SearchLimits::default()
    }
}

/// The search that a form asks for.
fn search_of(form: &Form, draft: Option<&Scenario>) -> Result<Search, String> {
    let canal = form.canal_of(draft);
    let file = SearchFile {
        format: SEARCH_FORMAT,
        title: format!("Searched for the {}", canal.name()),
        case: match form.whereabouts {
            Whereabouts::Canal => SearchCase::Canal {
                ear: canal.ear,
                canal: canal.canal,
            },
            Whereabouts::Ear => SearchCase::ThisEar(canal.ear),
            Whereabouts::BothEars => SearchCase::BothEars(canal.canal),
        },
        places: form.place.into_iter().collect(),
        diameter_um: None,
        mixture: form.mixture.trim().to_owned(),
        limits: SearchLimits {
            headrest_deg: form.headrest_deg,
            ..limits_of(&form.limits)
        },
        holds_s: vec![30.0],
        grid_deg: form.grid_deg,
        ears: ears_of(form.ears),
        aim: AIM,
        wanted: 0.5,
        seed: form.seed,
        beside: Some(beside_of(canal)),
        notes: None,
    };
    file.resolve(Path::new("")).map_err(|e| e.to_string())
}

/// As many check ears as are asked for; the others as is usual, or fewer.
fn ears_of(ears: u32) -> SearchEars {
    let usual = SearchEars::default();
    SearchEars {
        tables: (ears / 4).clamp(8, usual.tables),
        planning: (ears / 2).clamp(16, usual.planning),
        check: ears.clamp(16, 20_000),
    }
}

/// The textbook manoeuvre in a chair that is compared with.
fn beside_of(canal: CanalId) -> String {
    let rest = match canal.canal {
        Canal::Posterior => "posterior-epley-whole-body",
        Canal::Lateral => "lateral-gufoni-geotropic",
        Canal::Anterior => "anterior-forward-turn-in-steps",
    };
    format!("{}-{rest}", canal.ear.name())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn waker() -> Waker {
        Arc::new(|| {})
    }

    fn few_ears() -> Form {
        Form {
            ears: 16,
            grid_deg: 45.0,
            ..Form::default()
        }
    }

    fn higher(form: &Form) -> Limits {
        Limits {
            lowest_head_deg: -30.0,
            ..form.limits
        }
    }

    #[test]
    fn limits_moved_before_it_begins_are_those_that_are_searched_with() {
        let form = few_ears();
        let mut searching = Searching::default();
        searching.plan(&form, None);
        searching.again(&higher(&form), waker());
        let next = searching.next.as_ref().unwrap();
        assert!((next.file.limits.head_down_deg + 30.0).abs() < 1e-12);
        searching.cancel();
        searching.begin(waker());
        assert!(!searching.is_busy(), "what was cancelled does not begin");
    }

    #[test]
    fn limits_moved_while_tables_are_made_are_answered_once_they_are_there() {
        let form = few_ears();
        let mut searching = Searching::default();
        searching.plan(&form, None);
        searching.begin(waker());
        searching.again(&higher(&form), waker());
        assert!(!searching.has_tables() && !searching.is_checked());
        let since = Instant::now();
        while searching.coarse_now().is_none() {
            assert!(since.elapsed().as_secs() < 120, "it does not come");
            assert!(searching.searched.is_none() && searching.is_busy());
            thread::sleep(Duration::from_millis(5));
            searching.take();
        }
        let limits = searching.coarse_now().unwrap().limits;
        assert!((limits.head_down_deg + 30.0).abs() < 1e-12);
    }

    #[test]
    fn every_canal_has_a_manoeuvre_to_compare_with() {
        for canal in CanalId::ALL {
            let name = beside_of(canal);
            assert!(
                lithodrome_rehearsal::library_entry(&name).is_some(),
                "{name}"
            );
        }
    }

    #[test]
    fn a_form_makes_a_search_that_its_limits_bind() {
        let form = Form {
            ears: 40,
            ..Form::default()
        };
        let search = search_of(&form, None).unwrap();
        assert!(search.file.limits.lowest_deg().abs() < 1e-12);
        assert_eq!(
            (
                search.file.ears.tables,
                search.file.ears.planning,
                search.file.ears.check
            ),
            (10, 20, 40)
        );
        let on_cupula = Form {
            place: Some(lithodrome_rehearsal::Mechanism::CupulaCanalSide),
            ..form
        };
        assert!(
            search_of(&on_cupula, None)
                .unwrap_err()
                .starts_with("places")
        );
    }
}
