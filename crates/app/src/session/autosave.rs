//! Keeps the draft, and a drive under way, in the program's data folder, so that a crash loses nothing.
//!
//! Every window has a file of its own beside a lock that it holds as long as it lives: a draft whose lock
//! is free was left by a window that did not close as it should.

use std::{
    fs::{self, File},
    io::Write as _,
    path::{Path, PathBuf},
    sync::mpsc,
    thread::{self, JoinHandle},
    time::{Duration, Instant, SystemTime, UNIX_EPOCH},
};

use lithodrome_rehearsal::Scenario;
use ron::{extensions::Extensions, ser::PrettyConfig};

/// Changes that follow each other faster than this are written once.
const PAUSE: Duration = Duration::from_millis(300);
/// Under a stream of changes the latest is written this often at least.
const LONGEST: Duration = Duration::from_secs(2);
const DRAFT: &str = "draft";
const LOCK: &str = "lock";

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
    lock: Option<File>,
}

impl Autosave {
    /// Takes a file in this folder, and finds the drafts that crashes have left, the latest first.
    pub fn start(folder: &Path) -> std::io::Result<(Self, Vec<Orphan>)> {
        fs::create_dir_all(folder)?;
        let orphans = orphans(folder);
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        let now_ns = since.unwrap_or_default().as_nanos();
        let own = folder.join(format!("{}-{now_ns}.{DRAFT}", std::process::id()));
        let lock = File::create(own.with_extension(LOCK))?;
        lock.lock()?;
        let (tasks, receiver) = mpsc::channel();
        let path = own.clone();
        let writer = thread::spawn(move || write_all(&path, &receiver));
        let autosave = Self {
            own,
            tasks: Some(tasks),
            writer: Some(writer),
            lock: Some(lock),
        };
        Ok((autosave, orphans))
    }

    /// Keeps a draft soon.
    pub fn keep(&self, kept: Kept) {
        self.send(Task::Keep(Box::new(kept)));
    }

    /// There is nothing to keep any more.
    pub fn forget(&self) {
        self.send(Task::Forget);
    }

    /// Removes what a crash has left, after all that was asked before.
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

/// A failed write is tried again with the next change; there is nothing else that could be done.
fn write_all(own: &Path, tasks: &mpsc::Receiver<Task>) {
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
            Task::Keep(kept) => {
                let _ = write(own, &kept);
            }
            Task::Forget => {
                let _ = fs::remove_file(own);
            }
            Task::Remove(path) => remove(&path),
        }
        if let Some(path) = then {
            remove(&path);
        }
    }
}

fn remove(orphan: &Path) {
    let _ = fs::remove_file(orphan);
    let _ = fs::remove_file(orphan.with_extension(LOCK));
}

/// Into a temporary file first, renamed when it is complete.
fn write(path: &Path, kept: &Kept) -> std::io::Result<()> {
    let text = options()
        .to_string_pretty(kept, PrettyConfig::new())
        .map_err(std::io::Error::other)?;
    let temporary = path.with_extension("writing");
    let mut file = File::create(&temporary)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    fs::rename(&temporary, path)
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Drafts whose window lives no more; what cannot be read is left alone.
fn orphans(folder: &Path) -> Vec<Orphan> {
    let Ok(files) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut found: Vec<Orphan> = files.filter_map(|file| orphan(file.ok()?.path())).collect();
    found.sort_by_key(|o| std::cmp::Reverse(o.at));
    found
}

fn orphan(path: PathBuf) -> Option<Orphan> {
    if path.extension()? != DRAFT {
        return None;
    }
    if let Ok(lock) = File::open(path.with_extension(LOCK)) {
        lock.try_lock().ok()?;
    }
    let kept = options().from_str(&fs::read_to_string(&path).ok()?).ok()?;
    let at = fs::metadata(&path).and_then(|m| m.modified()).ok()?;
    Some(Orphan { kept, at, path })
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
        Autosave::start(folder).unwrap().1
    }

    fn wait_for_file(autosave: &Autosave) {
        let patience = std::time::Instant::now();
        while !autosave.own.exists() && patience.elapsed().as_secs() < 10 {
            thread::sleep(Duration::from_millis(10));
        }
        assert!(autosave.own.exists());
    }

    #[test]
    fn a_stream_of_changes_is_written_every_few_seconds() {
        let folder = tempfile::tempdir().unwrap();
        let (autosave, _) = Autosave::start(folder.path()).unwrap();
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
    fn the_latest_of_many_drafts_outlives_its_window() {
        let folder = tempfile::tempdir().unwrap();
        let (autosave, before) = Autosave::start(folder.path()).unwrap();
        assert!(before.is_empty());
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
        third.keep(found[0].kept.clone());
        third.remove(&found[0]);
        drop(third);
        let found = left(folder.path());
        assert_eq!(found.len(), 1, "its own copy only");
        assert_eq!(found[0].kept, kept(2.0));
    }
}
