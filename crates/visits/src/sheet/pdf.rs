//! Pages as a PDF file whose text can be searched.

use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::font::Face;
use super::mark::{Ink, Mark, Page};
use crate::VisitError;

/// The PDF file of these pages.
///
/// # Errors
/// A page or font that the writer does not take; none with pages of this crate.
pub fn pdf_of(pages: &[Page], title: &str) -> Result<Vec<u8>, VisitError> {
    let font = |face: Face| {
        Font::new(face.bytes().into(), 0).ok_or_else(|| fault("the type face cannot be read"))
    };
    let fonts = [font(Face::Regular)?, font(Face::SemiBold)?];
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .creator(format!("Lithodrome {}", env!("CARGO_PKG_VERSION")))
            .language("en".to_owned()),
    );
    for page in pages {
        let [width, height] = page.paper.size_pt();
        let settings = PageSettings::from_wh(width as f32, height as f32)
            .ok_or_else(|| fault("the paper has no size"))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for mark in &page.marks {
            draw(&mut surface, mark, &fonts);
        }
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|e| fault(&format!("{e:?}")))
}

fn fault(what: &str) -> VisitError {
    VisitError::Setting {
        what: what.to_owned(),
    }
}

fn draw(surface: &mut Surface<'_>, mark: &Mark, fonts: &[Font; 2]) {
    surface.set_stroke(None);
    match mark {
        Mark::Text {
            at,
            size_pt,
            face,
            text,
            ..
        } => {
            surface.set_fill(Some(fill(Ink::Black)));
            surface.draw_glyphs(
                point(*at),
                &glyphs(text, *face),
                fonts[*face as usize].clone(),
                text,
                *size_pt as f32,
                false,
            );
        }
        Mark::Line {
            points,
            width_pt,
            ink,
        } => {
            if let Some(path) = path(points, false) {
                surface.set_fill(None);
                surface.set_stroke(Some(Stroke {
                    paint: colour(*ink).into(),
                    width: *width_pt as f32,
                    line_cap: LineCap::Round,
                    line_join: LineJoin::Round,
                    ..Stroke::default()
                }));
                surface.draw_path(&path);
            }
        }
        Mark::Area { points, ink } => {
            if let Some(path) = path(points, true) {
                surface.set_fill(Some(fill(*ink)));
                surface.draw_path(&path);
            }
        }
    }
}

fn glyphs(text: &str, face: Face) -> Vec<KrillaGlyph> {
    text.char_indices()
        .map(|(i, c)| {
            let (id, advance) = face.glyph(c);
            let id = GlyphId::new(u32::from(id.0));
            let range = i..i + c.len_utf8();
            KrillaGlyph::new(id, advance as f32, 0.0, 0.0, 0.0, range, None)
        })
        .collect()
}

fn colour(ink: Ink) -> rgb::Color {
    let [r, g, b] = ink.rgb();
    rgb::Color::new(r, g, b)
}

fn fill(ink: Ink) -> Fill {
    Fill {
        paint: colour(ink).into(),
        ..Fill::default()
    }
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::from_xy(x as f32, y as f32)
}

fn path(points: &[[f64; 2]], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (i, [x, y]) in points.iter().enumerate() {
        if i == 0 {
            builder.move_to(*x as f32, *y as f32);
        } else {
            builder.line_to(*x as f32, *y as f32);
        }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}
