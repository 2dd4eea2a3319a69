//! Temporary files and folders that are known to be left over when their program is gone.
//!
//! Each is locked as long as it is written, and the system opens the lock of a program that ends, however it
//! ends. A folder is kept by a locked file beside it.

use std::fs::{self, File, Metadata, TryLockError};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use tempfile::NamedTempFile;

/// How the names of temporary files begin.
const PREFIX: &str = ".lithodrome-";
/// What the name of a folder has after that of its file.
const FOLDER: &str = "folder";
/// Where nothing can be locked, a temporary that nobody has touched for so long is left over.
const STALE: Duration = Duration::from_hours(1);
/// A sweep may take a new file away before it is locked, once or twice.
const TRIES: usize = 8;

/// A locked file with the permissions that a new file has there; removed when dropped, unless it is renamed.
pub(super) fn locked_file(folder: &Path) -> std::io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    for _ in 0..TRIES {
        let file = builder.tempfile_in(folder)?;
        // Where nothing can be locked there is only its age to tell.
        let _ = file.as_file().lock();
        if file.path().exists() {
            return Ok(file);
        }
    }
    Err(std::io::Error::other("temporary files vanish there"))
}

/// A folder to fill; removed when dropped, unless it is renamed.
pub(super) struct LockedFolder {
    /// Holds the lock, and goes last.
    _lock: NamedTempFile,
    path: Option<PathBuf>,
}

impl LockedFolder {
    pub(super) fn new_in(folder: &Path) -> std::io::Result<LockedFolder> {
        let lock = locked_file(folder)?;
        let path = lock.path().with_extension(FOLDER);
        fs::create_dir(&path)?;
        Ok(LockedFolder {
            _lock: lock,
            path: Some(path),
        })
    }

    pub(super) fn path(&self) -> &Path {
        self.path.as_deref().unwrap_or(Path::new(""))
    }

    pub(super) fn rename(mut self, to: &Path) -> std::io::Result<()> {
        fs::rename(self.path(), to)?;
        self.path = None;
        Ok(())
    }
}

impl Drop for LockedFolder {
    fn drop(&mut self) {
        if let Some(path) = &self.path {
            let _ = fs::remove_dir_all(path);
        }
    }
}

/// Takes away temporary files and folders that were left in a folder by programs that are gone; how many.
pub fn sweep_temporaries(folder: &Path) -> usize {
    let Ok(entries) = fs::read_dir(folder) else {
        return 0;
    };
    entries
        .flatten()
        .filter(|e| e.file_name().to_string_lossy().starts_with(PREFIX))
        .filter(|e| e.metadata().is_ok_and(|m| sweep(&e.path(), &m)))
        .count()
}

fn sweep(path: &Path, metadata: &Metadata) -> bool {
    if metadata.is_dir() {
        // Its file goes last, so it has none only if that was lost.
        let alone = !path.with_extension("").exists();
        return alone && is_old(metadata) && fs::remove_dir_all(path).is_ok();
    }
    let Ok(file) = File::open(path) else {
        return false;
    };
    let left = match file.try_lock() {
        Ok(()) => true,
        Err(TryLockError::WouldBlock) => false,
        Err(TryLockError::Error(_)) => is_old(metadata),
    };
    // While it is locked here, nobody begins to write it.
    if left {
        let _ = fs::remove_dir_all(path.with_extension(FOLDER));
    }
    left && fs::remove_file(path).is_ok()
}

fn is_old(metadata: &Metadata) -> bool {
    let age = metadata
        .modified()
        .map(|t| SystemTime::now().duration_since(t));
    matches!(age, Ok(Ok(age)) if age > STALE)
}

/// Names of what is in a folder, in order.
#[cfg(test)]
pub(super) fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().flatten();
    let mut names: Vec<_> = entries
        .map(|e| e.file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_temporaries_that_nobody_writes_are_swept() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in [".lithodrome-left", ".lithodrome-films", ".other", "a.ron"] {
            fs::write(at(name), "").unwrap();
        }
        fs::create_dir(at(".lithodrome-films.folder")).unwrap();
        fs::write(at(".lithodrome-films.folder").join("0001.png"), "").unwrap();
        let file = locked_file(folder.path()).unwrap();
        let inside = LockedFolder::new_in(folder.path()).unwrap();
        fs::write(inside.path().join("0001.png"), "").unwrap();
        sweep_temporaries(folder.path());
        // Two files of the living folder, one living file, and what is none of ours.
        assert_eq!(names(folder.path()).len(), 5);
        assert!(file.path().exists() && inside.path().join("0001.png").exists());
        drop((file, inside));
        assert_eq!(names(folder.path()), [".other", "a.ron"]);
    }
}
