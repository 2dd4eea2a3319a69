//! A run as moving pictures: an animated GIF, or numbered PNG files.

use std::path::Path;

use image::{
    Delay, Frame, RgbaImage,
    codecs::gif::{GifEncoder, Repeat},
};

use lithodrome_rehearsal::{fill_whole, fill_whole_folder, write_error};

use super::{ExportError, studio::Studio};
use crate::session::Session;

/// Pictures per second of the finished film.
pub(super) const PER_SECOND: f64 = 10.0;
/// The last picture stays this long, s.
const LAST_S: f64 = 2.0;
/// A film has at most this many pictures; a longer run is shown faster.
pub(super) const MOST: usize = 600;
/// How coarsely colours are chosen for a GIF, 1 (fine, slow) to 30.
const COARSE: i32 = 10;

/// The moments pictured, s of the run: evenly spaced, the first at `from_s`, the last at the end.
pub(super) fn moments_s(from_s: f64, duration_s: f64, speed: f64) -> Vec<f64> {
    let length_s = (duration_s - from_s).max(0.0);
    let wanted = (length_s / speed.max(0.01) * PER_SECOND).ceil() as usize;
    let n = wanted.clamp(1, MOST - 1);
    (0..=n)
        .map(|i| from_s + length_s * i as f64 / n as f64)
        .collect()
}

/// Draws each moment and hands it on; `go_on` is told the share done and may stop it.
fn each(
    studio: &mut Studio,
    session: &mut Session,
    moments: &[f64],
    go_on: &dyn Fn(f64) -> bool,
    mut take: impl FnMut(usize, RgbaImage) -> Result<(), ExportError>,
) -> Result<(), ExportError> {
    for (i, &time_s) in moments.iter().enumerate() {
        if !go_on(i as f64 / moments.len() as f64) {
            return Err(ExportError::Cancelled);
        }
        session.playback.time_s = time_s;
        take(i, studio.picture(session)?)?;
    }
    if !go_on(1.0) {
        return Err(ExportError::Cancelled);
    }
    Ok(())
}

/// Writes an animated GIF that repeats for ever.
pub(super) fn gif(
    studio: &mut Studio,
    session: &mut Session,
    moments: &[f64],
    path: &Path,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    let failed = |e: image::ImageError| write_error(path, &std::io::Error::other(e));
    fill_whole(path, |writer| {
        let mut encoder = GifEncoder::new_with_speed(writer, COARSE);
        encoder.set_repeat(Repeat::Infinite).map_err(failed)?;
        let last = moments.len() - 1;
        let mut before: Option<RgbaImage> = None;
        each(studio, session, moments, go_on, |i, picture| {
            let stays_s = if i == last { LAST_S } else { 1.0 / PER_SECOND };
            let delay = Delay::from_numer_denom_ms((stays_s * 1000.0) as u32, 1);
            let frame = match before.as_ref().map(|before| changed(before, &picture)) {
                Some((part, x, y)) => Frame::from_parts(part, x, y, delay),
                None => Frame::from_parts(picture.clone(), 0, 0, delay),
            };
            before = Some(picture);
            Ok(encoder.encode_frame(frame).map_err(failed)?)
        })
    })
}

/// What is not as in the picture before, cut out, with the place of its corner; what is as before lets that picture
/// through. Most of a film stands still, so it takes a fraction of the bytes.
fn changed(before: &RgbaImage, now: &RgbaImage) -> (RgbaImage, u32, u32) {
    let others = || {
        let pixels = now.enumerate_pixels();
        pixels.filter(|(x, y, pixel)| before.get_pixel_checked(*x, *y) != Some(pixel))
    };
    let first = [u32::MAX; 2];
    let (least, most) = others().fold((first, [0; 2]), |(least, most), (x, y, _)| {
        (
            [least[0].min(x), least[1].min(y)],
            [most[0].max(x), most[1].max(y)],
        )
    });
    if least == first {
        return (RgbaImage::new(1, 1), 0, 0);
    }
    let mut part = RgbaImage::new(most[0] - least[0] + 1, most[1] - least[1] + 1);
    for (x, y, pixel) in others() {
        part.put_pixel(x - least[0], y - least[1], *pixel);
    }
    (part, least[0], least[1])
}

/// Writes numbered PNG pictures into a new folder.
pub(super) fn sequence(
    studio: &mut Studio,
    session: &mut Session,
    moments: &[f64],
    path: &Path,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    let failed = |e: image::ImageError| write_error(path, &std::io::Error::other(e));
    fill_whole_folder(path, |inside| {
        each(studio, session, moments, go_on, |i, picture| {
            let name = format!("{:04}.png", i + 1);
            Ok(picture.save(inside.join(name)).map_err(failed)?)
        })
    })
}

#[cfg(test)]
mod tests {
    use image::Rgba;

    use super::*;

    #[test]
    fn only_what_changed_is_written_and_laid_over_gives_the_picture() {
        let grey = Rgba([90, 90, 90, 255]);
        let before = RgbaImage::from_pixel(20, 10, grey);
        let mut now = before.clone();
        let ink = Rgba([10, 20, 30, 255]);
        now.put_pixel(4, 3, ink);
        now.put_pixel(9, 7, ink);
        let (part, x, y) = changed(&before, &now);
        assert_eq!((part.dimensions(), x, y), ((6, 5), 4, 3));
        let mut laid = before.clone();
        image::imageops::overlay(&mut laid, &part, i64::from(x), i64::from(y));
        assert_eq!(laid, now);
        assert_eq!(changed(&now, &now).0.dimensions(), (1, 1));
    }

    #[test]
    fn moments_reach_from_start_to_end() {
        // 8 s at four times real time are 2 s of film: 20 pictures and the first one.
        let moments = moments_s(0.0, 8.0, 4.0);
        assert_eq!(moments.len(), 21);
        assert!(moments[0].abs() < 1e-12 && (moments[20] - 8.0).abs() < 1e-12);
        assert!((moments[1] - 0.4).abs() < 1e-12);
    }

    #[test]
    fn a_long_run_is_shown_faster() {
        assert_eq!(moments_s(0.0, 36_000.0, 0.25).len(), MOST);
        let later = moments_s(180.0, 36_000.0, 0.25);
        assert!((later[0] - 180.0).abs() < 1e-9 && (later[MOST - 1] - 36_000.0).abs() < 1e-9);
    }
}
