//! The one way to read a file: regular, of a sensible size, UTF-8.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use crate::error::{RehearsalError, io_reason};

/// The most that is read of a file: far above the largest scenario, far below what takes long.
pub const MAX_BYTES: u64 = 8_000_000;

/// The text of a regular file.
pub fn read_text(path: &Path) -> Result<String, RehearsalError> {
    let read_error = |reason: String| RehearsalError::Read {
        path: path.to_owned(),
        reason,
    };
    let io_error = |e: std::io::Error| read_error(io_reason(&e));
    // Looked at before it is opened: opening a pipe waits for a writer.
    let what = fs::metadata(path).map_err(io_error)?;
    if what.is_dir() {
        return Err(read_error("it is a folder".to_owned()));
    }
    if !what.is_file() {
        return Err(read_error("it is not a regular file".to_owned()));
    }
    let file = File::open(path).map_err(io_error)?;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_is_not_text_is_told_with_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.ron");
        fs::write(&path, b"ab\xff").unwrap();
        let message = read_text(&path).unwrap_err().to_string();
        assert!(message.contains("byte 3 is not UTF-8"), "{message}");
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_is_refused_at_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pipe.ron");
        let made = std::process::Command::new("mkfifo").arg(&path).status();
        if made.is_ok_and(|s| s.success()) {
            let message = read_text(&path).unwrap_err().to_string();
            assert!(message.contains("not a regular file"), "{message}");
        }
    }
}
