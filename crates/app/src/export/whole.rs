//! Files and folders that are there whole or not at all.

use std::{
    fs,
    io::{BufWriter, Error, Write},
    path::{Path, PathBuf},
};

use image::{RgbaImage, codecs::png::PngEncoder};

use super::ExportError;

/// Writes into a temporary file beside `path`, then renames it.
pub(super) fn file(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> Result<(), ExportError>,
) -> Result<(), ExportError> {
    let failed = |error: &Error| write_error(path, error);
    if path.is_dir() {
        return Err(failed(&Error::other("it is a folder")));
    }
    let mut temporary = named(path).map_err(|e| failed(&e))?;
    let mut writer = BufWriter::new(temporary.as_file_mut());
    fill(&mut writer)?;
    writer.flush().map_err(|e| failed(&e))?;
    drop(writer);
    temporary.as_file().sync_all().map_err(|e| failed(&e))?;
    temporary.persist(path).map_err(|e| failed(&e.error))?;
    Ok(())
}

/// Writes a picture as PNG.
pub(super) fn png(path: &Path, picture: &RgbaImage) -> Result<(), ExportError> {
    file(path, |writer| {
        picture
            .write_with_encoder(PngEncoder::new(writer))
            .map_err(|e| write_error(path, &Error::other(e)))
    })
}

fn named(path: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".lithodrome-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder_of(path))
}

/// Fills a temporary folder beside `path`, then renames it; a folder that exists is not touched.
pub(super) fn folder(
    path: &Path,
    fill: impl FnOnce(&Path) -> Result<(), ExportError>,
) -> Result<(), ExportError> {
    let failed = |error: &Error| write_error(path, error);
    if path.exists() {
        let words = "there is something of this name already; pictures go into a new folder";
        return Err(failed(&Error::other(words)));
    }
    let temporary = tempfile::Builder::new()
        .prefix(".lithodrome-")
        .tempdir_in(folder_of(path))
        .map_err(|e| failed(&e))?;
    fill(temporary.path())?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let open = fs::Permissions::from_mode(0o755);
        fs::set_permissions(temporary.path(), open).map_err(|e| failed(&e))?;
    }
    fs::rename(temporary.path(), path).map_err(|e| failed(&e))?;
    // It has moved away, so there is nothing left to remove.
    let _ = temporary.keep();
    Ok(())
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

pub(super) fn write_error(path: &Path, error: &Error) -> ExportError {
    let reason = match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such folder".to_owned(),
        std::io::ErrorKind::PermissionDenied => "access is not allowed".to_owned(),
        _ => error.to_string(),
    };
    ExportError::Write {
        path: path.to_owned(),
        reason,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stopped_export_leaves_nothing() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("a.gif");
        let stopped = file(&path, |w| {
            w.write_all(b"half").unwrap();
            Err(ExportError::Cancelled)
        });
        assert!(matches!(stopped, Err(ExportError::Cancelled)));
        let stopped = folder(&place.path().join("b"), |inside| {
            fs::write(inside.join("1.png"), "half").unwrap();
            Err(ExportError::Cancelled)
        });
        assert!(matches!(stopped, Err(ExportError::Cancelled)));
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 0);
    }

    #[test]
    fn a_folder_that_exists_is_left_alone() {
        let place = tempfile::tempdir().unwrap();
        let refused = folder(place.path(), |_| Ok(())).unwrap_err();
        assert!(refused.to_string().contains("already"), "{refused}");
    }
}
