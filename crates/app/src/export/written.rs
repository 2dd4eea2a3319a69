//! Texts and pictures, written whole or not at all.

use std::{io::Error, path::Path};

use image::{RgbaImage, codecs::png::PngEncoder};
use lithodrome_rehearsal::{fill_whole, write_error, write_whole};

use super::ExportError;

/// Writes a text.
pub(super) fn text(path: &Path, text: &str) -> Result<(), ExportError> {
    Ok(write_whole(path, |writer| {
        writer.write_all(text.as_bytes())
    })?)
}

/// Writes a picture as PNG.
pub(super) fn png(path: &Path, picture: &RgbaImage) -> Result<(), ExportError> {
    fill_whole(path, |writer| {
        let encoder = PngEncoder::new(writer);
        let written = picture.write_with_encoder(encoder);
        Ok(written.map_err(|e| write_error(path, &Error::other(e)))?)
    })
}
