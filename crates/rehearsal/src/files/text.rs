//! Reading and writing whole text files: never more than is sensible, never half.

use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use crate::error::RehearsalError;

/// The most that is read of a file: far above the largest scenario, far below what takes long.
pub(crate) const MAX_BYTES: u64 = 8_000_000;

/// The text of a file.
pub fn read_text(path: &Path) -> Result<String, RehearsalError> {
    let read_error = |reason: String| RehearsalError::Read {
        path: path.to_owned(),
        reason,
    };
    let io_error = |e: std::io::Error| read_error(io_reason(&e));
    let file = File::open(path).map_err(io_error)?;
    if file.metadata().map_err(io_error)?.is_dir() {
        return Err(read_error("it is a folder".to_owned()));
    }
    let mut bytes = Vec::new();
    file.take(MAX_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(io_error)?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(RehearsalError::TooLarge {
            path: path.to_owned(),
            allowed_bytes: MAX_BYTES,
        });
    }
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        read_error(format!("byte {} is not UTF-8 text", at + 1))
    })
}

/// Writes a file: into a temporary one in the same folder first, renamed when it is complete.
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
    // Through a link, so that the file it points to is replaced and not the link.
    let target: PathBuf = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if target.is_dir() {
        return Err(std::io::Error::other("it is a folder"));
    }
    let folder = match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut temporary = temporary_in(folder)?;
    {
        let mut writer = BufWriter::new(temporary.as_file_mut());
        fill(&mut writer)?;
        writer.flush()?;
    }
    temporary.as_file().sync_all()?;
    temporary.persist(&target).map_err(|e| e.error)?;
    Ok(())
}

/// A temporary file with the permissions that a new file has here.
fn temporary_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".lithodrome-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// The reason alone, without the number of the operating system.
fn io_reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "access is not allowed".to_owned(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failed_write_leaves_the_old_file_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.txt");
        std::fs::write(&path, "old").unwrap();
        let result = write_whole(&path, |w| {
            w.write_all(b"half")?;
            Err(std::io::Error::other("full"))
        });
        assert!(result.unwrap_err().to_string().contains("full"));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_write_replaces_the_whole_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.txt");
        std::fs::write(&path, "old and long").unwrap();
        write_whole(&path, |w| w.write_all(b"new")).unwrap();
        assert_eq!(read_text(&path).unwrap(), "new");
    }

    #[test]
    fn text_that_is_not_text_is_told_with_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.ron");
        std::fs::write(&path, b"ab\xff").unwrap();
        let message = read_text(&path).unwrap_err().to_string();
        assert!(message.contains("byte 3 is not UTF-8"), "{message}");
    }
}
