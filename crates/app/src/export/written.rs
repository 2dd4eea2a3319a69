//! Texts and pictures, written whole or not at all.

use std::{io::Error, path::Path};

use image::{RgbaImage, codecs::png::PngEncoder};
use lithodrome_rehearsal::{fill_whole, write_error};

use super::ExportError;

/// All but the file is there; stopped by now, nothing is written.
pub(super) const DRAWN: f64 = 0.9;

/// Nothing further is done if a person has stopped it.
pub(super) fn unless_stopped(go_on: &dyn Fn(f64) -> bool) -> Result<(), ExportError> {
    if go_on(DRAWN) {
        Ok(())
    } else {
        Err(ExportError::Cancelled)
    }
}

/// Writes a text, unless it is stopped before it takes its place.
pub(super) fn text(
    path: &Path,
    text: &str,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    fill_whole(path, |writer| {
        let written = writer.write_all(text.as_bytes());
        written.map_err(|e| write_error(path, &e))?;
        unless_stopped(go_on)
    })
}

/// Writes a picture as PNG, unless it is stopped before it takes its place.
pub(super) fn png(
    path: &Path,
    picture: &RgbaImage,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    fill_whole(path, |writer| {
        let encoder = PngEncoder::new(writer);
        let written = picture.write_with_encoder(encoder);
        written.map_err(|e| write_error(path, &Error::other(e)))?;
        unless_stopped(go_on)
    })
}
