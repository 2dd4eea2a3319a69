//! The one way to write a file: whole or not at all, never over what was read, never over what nobody gave up.

use std::fs::{self, File, Metadata};
use std::io::{BufWriter, Error, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use crate::error::{RehearsalError, io_reason};

/// How the names of temporary files begin.
const PREFIX: &str = ".lithodrome-";
/// A temporary file that nobody has touched for so long was left by a program that is gone.
const STALE: Duration = Duration::from_hours(1);

/// Refuses an output that is one of the inputs, or that would replace a file unless `replace` says it may.
pub fn check_output(path: &Path, inputs: &[&Path], replace: bool) -> Result<(), RehearsalError> {
    if inputs.iter().any(|input| is_same(path, input)) {
        return Err(RehearsalError::IsInput {
            path: path.to_owned(),
        });
    }
    let there = fs::metadata(path).is_ok_and(|m| m.is_file());
    if there && !replace {
        return Err(RehearsalError::Exists {
            path: path.to_owned(),
        });
    }
    Ok(())
}

/// Writes a file: into a temporary one in the same folder, flushed, renamed, and the folder told to the disk.
/// Straight into anything that is there and no regular file, such as a pipe.
pub fn write_whole(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), RehearsalError> {
    try_write_whole(path, fill).map_err(|e| RehearsalError::Write {
        path: path.to_owned(),
        reason: io_reason(&e),
    })
}

fn try_write_whole(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> std::io::Result<()> {
    match fs::metadata(path) {
        Ok(there) if there.is_dir() => return Err(Error::other("it is a folder")),
        Ok(there) if !there.is_file() => {
            let mut writer = BufWriter::new(File::options().write(true).open(path)?);
            fill(&mut writer)?;
            return writer.flush();
        }
        _ => {}
    }
    // Through a link, so that the file it points to is replaced and not the link.
    let target: PathBuf = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let folder = folder_of(&target);
    let mut temporary = temporary_in(&folder)?;
    {
        let mut writer = BufWriter::new(temporary.as_file_mut());
        fill(&mut writer)?;
        writer.flush()?;
    }
    temporary.as_file().sync_all()?;
    temporary.persist(&target).map_err(|e| e.error)?;
    sync_folder(&folder)
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// A temporary file with the permissions that a new file has here.
fn temporary_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// So that the new name is there after a power cut too; a folder that cannot be opened for it is no failure.
fn sync_folder(folder: &Path) -> std::io::Result<()> {
    if cfg!(unix)
        && let Ok(folder) = File::open(folder)
    {
        match folder.sync_all() {
            // Some file systems know no such thing for folders.
            Err(e) if e.kind() == std::io::ErrorKind::InvalidInput => {}
            other => return other,
        }
    }
    Ok(())
}

/// Takes away temporary files that were left in a folder by programs that are gone; how many.
pub fn sweep_temporaries(folder: &Path) -> usize {
    let Ok(entries) = fs::read_dir(folder) else {
        return 0;
    };
    let stale = |m: &Metadata| {
        let age = m.modified().map(|t| SystemTime::now().duration_since(t));
        m.is_file() && matches!(age, Ok(Ok(age)) if age > STALE)
    };
    entries
        .flatten()
        .filter(|e| e.file_name().to_string_lossy().starts_with(PREFIX))
        .filter(|e| e.metadata().is_ok_and(|m| stale(&m)))
        .filter(|e| fs::remove_file(e.path()).is_ok())
        .count()
}

/// The same file, by whatever name.
fn is_same(a: &Path, b: &Path) -> bool {
    #[cfg(unix)]
    if let (Ok(a), Ok(b)) = (fs::metadata(a), fs::metadata(b)) {
        use std::os::unix::fs::MetadataExt;
        return a.is_file() && (a.dev(), a.ino()) == (b.dev(), b.ino());
    }
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap().flatten();
        let mut names: Vec<_> = entries
            .map(|e| e.file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_failed_write_leaves_the_old_file_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.txt");
        fs::write(&path, "old").unwrap();
        let result = write_whole(&path, |w| {
            w.write_all(b"half")?;
            Err(Error::other("full"))
        });
        assert!(result.unwrap_err().to_string().contains("full"));
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(names(folder.path()), ["a.txt"]);
    }

    #[test]
    fn a_write_replaces_the_whole_file_and_goes_through_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.txt");
        fs::write(&path, "old and long").unwrap();
        #[cfg(unix)]
        {
            let link = folder.path().join("link");
            std::os::unix::fs::symlink(&path, &link).unwrap();
            write_whole(&link, |w| w.write_all(b"new")).unwrap();
            assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        }
        #[cfg(not(unix))]
        write_whole(&path, |w| w.write_all(b"new")).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
    }

    #[test]
    fn an_input_is_never_an_output_and_a_file_is_not_replaced_unasked() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("case.ron");
        fs::write(&path, "case").unwrap();
        let other = folder.path().join("hard.ron");
        fs::hard_link(&path, &other).unwrap();
        let roundabout = folder.path().join(".").join("case.ron");
        for output in [&path, &other, &roundabout] {
            let refused = check_output(output, &[&path], true).unwrap_err();
            assert!(refused.to_string().contains("is read"), "{refused}");
        }
        let there = folder.path().join("there.csv");
        fs::write(&there, "kept").unwrap();
        let refused = check_output(&there, &[&path], false).unwrap_err();
        assert!(refused.to_string().contains("--force"), "{refused}");
        check_output(&there, &[&path], true).unwrap();
        check_output(&folder.path().join("new.csv"), &[&path], false).unwrap();
    }

    /// A pipe stays a pipe and gets all of it.
    #[cfg(unix)]
    #[test]
    fn a_pipe_is_written_into_and_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&path).status();
        if !made.is_ok_and(|s| s.success()) {
            return;
        }
        let reader = {
            let path = path.clone();
            std::thread::spawn(move || fs::read_to_string(path).unwrap())
        };
        write_whole(&path, |w| w.write_all(b"through")).unwrap();
        assert_eq!(reader.join().unwrap(), "through");
        assert!(!fs::metadata(&path).unwrap().is_file());
        assert_eq!(names(folder.path()), ["pipe"]);
    }

    #[test]
    fn only_old_temporaries_of_ours_are_swept() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in [".lithodrome-old", ".lithodrome-new", ".other-old", "a.ron"] {
            fs::write(at(name), "").unwrap();
        }
        let long_ago = SystemTime::now() - 2 * STALE;
        for name in [".lithodrome-old", ".other-old", "a.ron"] {
            let file = File::options().write(true).open(at(name)).unwrap();
            file.set_modified(long_ago).unwrap();
        }
        assert_eq!(sweep_temporaries(folder.path()), 1);
        assert_eq!(
            names(folder.path()),
            [".lithodrome-new", ".other-old", "a.ron"]
        );
    }
}
