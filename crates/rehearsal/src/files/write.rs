//! The one way to write a file: whole or not at all, never over what was read, never over what nobody gave up.

use std::fs::{self, File};
use std::io::{BufWriter, Error, Write};
use std::path::{Path, PathBuf};

use super::temporary::{LockedFolder, locked_file, sweep_temporaries};
use crate::error::{RehearsalError, io_reason};

/// Refuses an output that is one of the inputs, or that would replace a file unless `replace` says it may.
pub fn check_output(
    path: &Path,
    inputs: &[impl AsRef<Path>],
    replace: bool,
) -> Result<(), RehearsalError> {
    if inputs.iter().any(|input| is_same(path, input.as_ref())) {
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
    fill_whole(path, |writer| {
        fill(writer).map_err(|e| write_error(path, &e))
    })
}

/// The same for what can fail in its own words, or be stopped.
pub fn fill_whole<E: From<RehearsalError>>(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> Result<(), E>,
) -> Result<(), E> {
    let failed = |e: Error| E::from(write_error(path, &e));
    match fs::metadata(path) {
        Ok(there) if there.is_dir() => return Err(failed(Error::other("it is a folder"))),
        Ok(there) if !there.is_file() => {
            let file = File::options().write(true).open(path).map_err(failed)?;
            let mut writer = BufWriter::new(file);
            fill(&mut writer)?;
            return writer.flush().map_err(failed);
        }
        _ => {}
    }
    // Through a link, so that the file it points to is replaced and not the link.
    let target: PathBuf = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let folder = containing(&target);
    // What a program that is gone has left there half written.
    sweep_temporaries(&folder);
    let mut temporary = locked_file(&folder).map_err(failed)?;
    {
        let mut writer = BufWriter::new(temporary.as_file_mut());
        fill(&mut writer)?;
        writer.flush().map_err(failed)?;
    }
    temporary.as_file().sync_all().map_err(failed)?;
    temporary.persist(&target).map_err(|e| failed(e.error))?;
    sync_folder(&folder).map_err(failed)
}

/// Fills a folder beside its place and renames it when it is whole; one that exists is not touched.
pub fn fill_whole_folder<E: From<RehearsalError>>(
    path: &Path,
    fill: impl FnOnce(&Path) -> Result<(), E>,
) -> Result<(), E> {
    let failed = |e: Error| E::from(write_error(path, &e));
    if path.exists() {
        let words = "there is something of this name already, and a new folder is wanted";
        return Err(failed(Error::other(words)));
    }
    let folder = containing(path);
    sweep_temporaries(&folder);
    let temporary = LockedFolder::new_in(&folder).map_err(failed)?;
    fill(temporary.path())?;
    sync_folder(temporary.path()).map_err(failed)?;
    temporary.rename(path).map_err(failed)?;
    sync_folder(&folder).map_err(failed)
}

/// Why a file could not be written, in words.
pub fn write_error(path: &Path, error: &Error) -> RehearsalError {
    RehearsalError::Write {
        path: path.to_owned(),
        reason: io_reason(error),
    }
}

fn containing(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
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
    use crate::files::temporary::names;

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
    fn a_stopped_folder_leaves_nothing_and_one_that_exists_is_left_alone() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("b");
        let stopped = fill_whole_folder(&path, |inside| {
            fs::write(inside.join("1.png"), "half").unwrap();
            Err(write_error(&path, &Error::other("stopped")))
        });
        assert!(stopped.is_err());
        assert_eq!(names(place.path()), Vec::<String>::new());
        let fill = |inside: &Path| {
            fs::write(inside.join("1.png"), "whole").unwrap();
            Ok::<_, RehearsalError>(())
        };
        fill_whole_folder(&path, fill).unwrap();
        assert_eq!(names(place.path()), ["b"]);
        assert_eq!(names(&path), ["1.png"]);
        let refused = fill_whole_folder(&path, fill).unwrap_err();
        assert!(refused.to_string().contains("already"), "{refused}");
    }
}
