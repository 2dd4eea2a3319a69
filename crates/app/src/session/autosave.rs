//! Keeps the draft, and a drive under way, in the program's data folder, so that a crash loses nothing.
//!
//! Every window has a file of its own beside a lock that it holds as long as it lives: a draft whose lock
//! is free was left by a window that did not close as it should.

use std::{
    fs::{self, File, TryLockError},
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError, mpsc},
    thread::{self, JoinHandle},
    time::{Duration, Instant, SystemTime, UNIX_EPOCH},
};

use lithodrome_rehearsal::{Scenario, read_text, sweep_temporaries, write_whole};
use ron::{extensions::Extensions, ser::PrettyConfig};

/// Changes that follow each other faster than this are written once.
const PAUSE: Duration = Duration::from_millis(300);
/// Under a stream of changes the latest is written this often at least.
const LONGEST: Duration = Duration::from_secs(2);
const DRAFT: &str = "draft";
const LOCK: &str = "lock";
/// What a draft is called that cannot be read and was moved aside.
const UNREADABLE: &str = "unreadable";
/// A sweep may take a new lock away before it is locked, once or twice.
const TRIES: usize = 8;

/// What is kept of a draft.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Kept {
    /// The file that it came from.
    pub file: Option<PathBuf>,
    /// As it was opened or last saved.
    pub saved: Scenario,
    /// As it was edited.
    pub draft: Scenario,
    /// The drive of it that was under way, as far as it had come.
    #[serde(default)]
    pub drive: Option<Scenario>,
}

/// A draft that a crash has left.
#[derive(Clone, Debug)]
pub struct Orphan {
    /// What was kept.
    pub kept: Kept,
    /// When.
    pub at: SystemTime,
    /// Where.
    path: PathBuf,
}

/// What crashes have left in the folder of drafts.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// Drafts, the latest first.
    pub orphans: Vec<Orphan>,
    /// What could not be read, why, and where it lies now, one sentence each.
    pub unreadable: Vec<String>,
}

/// Why the draft is not kept, in words, until somebody has read it.
type Fault = Arc<Mutex<Option<String>>>;

enum Task {
    Keep(Box<Kept>),
    Forget,
    Remove(PathBuf),
}

/// Writes on a thread of its own; what is under way is finished when it is dropped.
pub struct Autosave {
    own: PathBuf,
    tasks: Option<mpsc::Sender<Task>>,
    writer: Option<JoinHandle<()>>,
    fault: Fault,
    lock: Option<File>,
}

impl Autosave {
    /// Takes a file in this folder, takes away what earlier windows have left there for nobody, and finds the
    /// drafts that crashes have left.
    pub fn start(folder: &Path) -> std::io::Result<(Self, Left)> {
        fs::create_dir_all(folder)?;
        sweep_temporaries(folder);
        let left = left_in(folder);
        let (own, lock) = take_a_name(folder)?;
        let (tasks, receiver) = mpsc::channel();
        let fault = Fault::default();
        let mut draft = OwnDraft {
            path: own.clone(),
            is_failing: false,
            waiting: Vec::new(),
            fault: fault.clone(),
        };
        let writer = thread::spawn(move || write_all(&mut draft, &receiver));
        let autosave = Self {
            own,
            tasks: Some(tasks),
            writer: Some(writer),
            fault,
            lock: Some(lock),
        };
        Ok((autosave, left))
    }

    /// Keeps a draft soon.
    pub fn keep(&self, kept: Kept) {
        self.send(Task::Keep(Box::new(kept)));
    }

    /// There is nothing to keep any more.
    pub fn forget(&self) {
        self.send(Task::Forget);
    }

    /// Why the draft could not be kept, in words; told once for as long as it goes on.
    pub fn take_fault(&self) -> Option<String> {
        let mut fault = self.fault.lock().unwrap_or_else(PoisonError::into_inner);
        fault.take()
    }

    /// Removes what a crash has left, after all that was asked before; while the draft cannot be kept it stays, as
    /// it may be the only copy.
    pub fn remove(&self, orphan: &Orphan) {
        self.send(Task::Remove(orphan.path.clone()));
    }

    fn send(&self, task: Task) {
        if let Some(tasks) = &self.tasks {
            let _ = tasks.send(task);
        }
    }
}

impl Drop for Autosave {
    fn drop(&mut self) {
        self.tasks = None;
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
        self.lock = None;
        if !self.own.exists() {
            let _ = fs::remove_file(self.own.with_extension(LOCK));
        }
    }
}

/// A draft's name that no other window has, and its lock.
fn take_a_name(folder: &Path) -> std::io::Result<(PathBuf, File)> {
    for _ in 0..TRIES {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        let now_ns = since.unwrap_or_default().as_nanos();
        let own = folder.join(format!("{}-{now_ns}.{DRAFT}", std::process::id()));
        let lock = File::create_new(own.with_extension(LOCK))?;
        lock.lock()?;
        if own.with_extension(LOCK).exists() {
            return Ok((own, lock));
        }
    }
    Err(std::io::Error::other("locks vanish there"))
}

/// The file of this window.
struct OwnDraft {
    path: PathBuf,
    /// The last write has failed.
    is_failing: bool,
    /// What crashes have left and is to be removed once a write is good again.
    waiting: Vec<PathBuf>,
    fault: Fault,
}

impl OwnDraft {
    /// A failed write is tried again with the next change.
    fn keep(&mut self, kept: &Kept) {
        match write(&self.path, kept) {
            Ok(()) => self.is_safe(),
            Err(error) => {
                if !self.is_failing {
                    let words = format!(
                        "The changes are not kept safe against a crash: {error}. Save them to a file"
                    );
                    let mut fault = self.fault.lock().unwrap_or_else(PoisonError::into_inner);
                    *fault = Some(words);
                }
                self.is_failing = true;
            }
        }
    }

    fn forget(&mut self) {
        let _ = fs::remove_file(&self.path);
        self.is_safe();
    }

    fn is_safe(&mut self) {
        self.is_failing = false;
        for orphan in self.waiting.drain(..) {
            remove(&orphan);
        }
    }

    fn remove(&mut self, orphan: PathBuf) {
        if self.is_failing {
            self.waiting.push(orphan);
        } else {
            remove(&orphan);
        }
    }
}

fn write_all(own: &mut OwnDraft, tasks: &mpsc::Receiver<Task>) {
    while let Ok(mut task) = tasks.recv() {
        let mut then = None;
        let due = Instant::now() + LONGEST;
        while matches!(task, Task::Keep(_)) {
            let left = due.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            match tasks.recv_timeout(PAUSE.min(left)) {
                Ok(Task::Remove(path)) => {
                    then = Some(path);
                    break;
                }
                Ok(newer) => task = newer,
                Err(_) => break,
            }
        }
        match task {
            Task::Keep(kept) => own.keep(&kept),
            Task::Forget => own.forget(),
            Task::Remove(path) => own.remove(path),
        }
        if let Some(path) = then {
            own.remove(path);
        }
    }
}

fn remove(orphan: &Path) {
    let _ = fs::remove_file(orphan);
    let _ = fs::remove_file(orphan.with_extension(LOCK));
}

fn write(path: &Path, kept: &Kept) -> Result<(), Box<dyn std::error::Error>> {
    let text = options().to_string_pretty(kept, PrettyConfig::new())?;
    Ok(write_whole(path, |file| file.write_all(text.as_bytes()))?)
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Drafts whose window lives no more; locks of nothing are taken away.
fn left_in(folder: &Path) -> Left {
    let mut left = Left::default();
    let Ok(files) = fs::read_dir(folder) else {
        return left;
    };
    let paths: Vec<PathBuf> = files.flatten().map(|file| file.path()).collect();
    let with = |ending: &'static str| {
        paths
            .iter()
            .filter(move |path| path.extension().is_some_and(|e| e == ending))
    };
    for path in with(DRAFT).filter(|path| !is_held(path)) {
        match orphan(path) {
            Ok(orphan) => left.orphans.push(orphan),
            Err(reason) => left.unreadable.push(moved_aside(path, &reason)),
        }
    }
    for path in with(LOCK).map(|lock| lock.with_extension(DRAFT)) {
        if !path.exists() && !is_held(&path) {
            let _ = fs::remove_file(path.with_extension(LOCK));
        }
    }
    left.orphans.sort_by_key(|o| std::cmp::Reverse(o.at));
    left
}

/// A living window has this draft.
fn is_held(draft: &Path) -> bool {
    let lock = File::open(draft.with_extension(LOCK));
    lock.is_ok_and(|lock| matches!(lock.try_lock(), Err(TryLockError::WouldBlock)))
}

fn orphan(path: &Path) -> Result<Orphan, Box<dyn std::error::Error>> {
    let kept = options().from_str(&read_text(path)?)?;
    let at = fs::metadata(path)?.modified()?;
    let path = path.to_owned();
    Ok(Orphan { kept, at, path })
}

/// Nothing is thrown away that somebody may still read by eye.
fn moved_aside(path: &Path, reason: &impl std::fmt::Display) -> String {
    let aside = path.with_extension(UNREADABLE);
    let place = match fs::rename(path, &aside) {
        Ok(()) => {
            let _ = fs::remove_file(path.with_extension(LOCK));
            format!("it lies in {} now", aside.display())
        }
        Err(_) => format!("it still lies in {}", path.display()),
    };
    format!("A draft that was kept before a crash cannot be read ({reason}); {place}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_rehearsal::scenario_from_ron;

    fn kept(hold_s: f64) -> Kept {
        let text = "(format: 1, title: \"T\", steps: [(name: \"W\", move_s: 0.0, hold_s: 5.0)])";
        let saved = scenario_from_ron(text, Path::new("t.ron")).unwrap();
        let mut draft = saved.clone();
        draft.steps[0].hold_s = hold_s;
        Kept {
            file: Some("t.ron".into()),
            saved,
            draft,
            drive: None,
        }
    }

    fn left(folder: &Path) -> Vec<Orphan> {
        Autosave::start(folder).unwrap().1.orphans
    }

    fn wait_for_file(autosave: &Autosave) {
        wait_until(|| autosave.own.exists());
    }

    /// Tells that a write has come, by the file's name.
    fn wait_until(done: impl Fn() -> bool) {
        let patience = Instant::now();
        while !done() {
            assert!(patience.elapsed().as_secs() < 20, "it does not come");
            thread::sleep(Duration::from_millis(10));
        }
    }

    #[test]
    fn an_edit_waits_less_than_a_second_and_a_stream_less_than_five() {
        // What the writer waits for, but for the write itself.
        assert!(PAUSE < Duration::from_secs(1) && LONGEST + PAUSE < Duration::from_secs(5));
        let folder = tempfile::tempdir().unwrap();
        let (autosave, _) = Autosave::start(folder.path()).unwrap();
        // Nothing follows: it is the pause alone that has it written.
        autosave.keep(kept(1.0));
        wait_until(|| autosave.own.exists());
        fs::remove_file(&autosave.own).unwrap();
        let mut changes = 0.0;
        // Without a pause in between, and so no other reason to write.
        while !autosave.own.exists() {
            assert!(changes < 500.0, "25 s of changes");
            changes += 1.0;
            autosave.keep(kept(changes));
            thread::sleep(Duration::from_millis(50));
        }
    }

    #[test]
    fn a_draft_that_cannot_be_read_is_moved_aside_and_told() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("1-1.draft"), "(file: None, saved: (format: 1, ti").unwrap();
        fs::write(at("1-1.lock"), "").unwrap();
        fs::write(at("2-2.lock"), "").unwrap();
        fs::write(at(".lithodrome-left"), "(file: No").unwrap();
        let (living, found) = Autosave::start(folder.path()).unwrap();
        assert!(found.orphans.is_empty());
        let [words] = &found.unreadable[..] else {
            panic!("{:?}", found.unreadable);
        };
        assert!(words.contains("1-1.unreadable"), "{words}");
        let aside = fs::read_to_string(at("1-1.unreadable")).unwrap();
        assert!(aside.starts_with("(file: None"), "as it was");
        // It and the living window's lock are all that is there.
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
        // Once told, it is not told again.
        assert!(
            Autosave::start(folder.path())
                .unwrap()
                .1
                .unreadable
                .is_empty()
        );
        drop(living);
    }

    #[test]
    fn the_latest_of_many_drafts_outlives_its_window() {
        let folder = tempfile::tempdir().unwrap();
        let (autosave, before) = Autosave::start(folder.path()).unwrap();
        assert!(before.orphans.is_empty());
        for i in 0..50 {
            autosave.keep(kept(f64::from(i)));
        }
        drop(autosave);
        let found = left(folder.path());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].kept, kept(49.0));
    }

    #[test]
    fn a_draft_that_cannot_be_computed_is_kept_too() {
        let folder = tempfile::tempdir().unwrap();
        let (autosave, _) = Autosave::start(folder.path()).unwrap();
        autosave.keep(kept(-1.0));
        drop(autosave);
        assert_eq!(left(folder.path())[0].kept, kept(-1.0));
    }

    #[test]
    fn a_drive_is_kept_beside_its_plan_and_older_files_have_none() {
        let folder = tempfile::tempdir().unwrap();
        let (autosave, _) = Autosave::start(folder.path()).unwrap();
        let with_drive = Kept {
            drive: Some(kept(7.0).draft),
            ..kept(5.0)
        };
        autosave.keep(with_drive.clone());
        let own = autosave.own.clone();
        drop(autosave);
        assert_eq!(left(folder.path())[0].kept, with_drive);
        let text = fs::read_to_string(&own).unwrap();
        let before = &text[..text.rfind("drive:").unwrap()];
        fs::write(&own, format!("{before})")).unwrap();
        assert_eq!(left(folder.path())[0].kept.drive, None);
    }

    #[test]
    fn the_draft_of_a_living_window_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let (living, _) = Autosave::start(folder.path()).unwrap();
        living.keep(kept(1.0));
        wait_for_file(&living);
        assert!(left(folder.path()).is_empty());
        drop(living);
        assert_eq!(left(folder.path()).len(), 1);
    }

    #[test]
    fn what_a_crash_has_left_stays_until_its_copy_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let (first, _) = Autosave::start(folder.path()).unwrap();
        first.keep(kept(2.0));
        drop(first);
        let (second, found) = Autosave::start(folder.path()).unwrap();
        let orphan = &found.orphans[0];
        // Nothing can be put in the place of a folder that is not empty; a folder's rights would not hold
        // everybody back.
        fs::create_dir_all(second.own.join("in the way")).unwrap();
        second.keep(orphan.kept.clone());
        second.remove(orphan);
        wait_until(|| second.fault.lock().unwrap().is_some());
        let words = second.take_fault().unwrap();
        assert!(
            words.starts_with("The changes are not kept safe"),
            "{words}"
        );
        // The next change fails too, is not told again, and the other copy is still there.
        second.keep(kept(3.0));
        thread::sleep(2 * PAUSE);
        assert_eq!(second.take_fault(), None);
        assert!(orphan.path.exists());
        fs::remove_dir_all(&second.own).unwrap();
        second.keep(kept(4.0));
        wait_until(|| second.own.is_file() && !orphan.path.exists());
        drop(second);
        let found = left(folder.path());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].kept, kept(4.0));
    }

    #[test]
    fn what_was_saved_or_taken_up_is_not_offered_again() {
        let folder = tempfile::tempdir().unwrap();
        let (first, _) = Autosave::start(folder.path()).unwrap();
        first.keep(kept(1.0));
        wait_for_file(&first);
        first.forget();
        drop(first);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
        let (second, _) = Autosave::start(folder.path()).unwrap();
        second.keep(kept(2.0));
        drop(second);
        let (third, found) = Autosave::start(folder.path()).unwrap();
        let found = found.orphans;
        third.keep(found[0].kept.clone());
        third.remove(&found[0]);
        drop(third);
        let found = left(folder.path());
        assert_eq!(found.len(), 1, "its own copy only");
        assert_eq!(found[0].kept, kept(2.0));
    }
}
