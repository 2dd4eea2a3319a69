//! Pages as one SVG drawing, one under the other; text stays text.

use std::fmt::Write;

use super::font::Type;
use super::font::{settable, width_pt};
use super::mark::{Mark, Page};

/// Between two pages.
const GAP_PT: f64 = 12.0;

/// The drawing of these pages.
pub fn svg_of(pages: &[Page], title: &str) -> String {
    let width = pages
        .iter()
        .map(|p| p.paper.size_pt()[0])
        .fold(0.0, f64::max);
    let heights: f64 = pages.iter().map(|p| p.paper.size_pt()[1]).sum();
    let height = heights + GAP_PT * pages.len().saturating_sub(1) as f64;
    // Writing into a String does not fail.
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}pt\" height=\"{height:.2}pt\" viewBox=\"0 0 {width} {height:.2}\">\n<title>{}</title>",
        escaped(&settable(title))
    );
    let mut top = 0.0;
    for page in pages {
        let [w, h] = page.paper.size_pt();
        let _ = writeln!(
            out,
            "<g transform=\"translate(0 {top:.2})\">\n<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>"
        );
        for mark in &page.marks {
            out.push_str(&drawn(mark));
        }
        out.push_str("</g>\n");
        top += h + GAP_PT;
    }
    out.push_str("</svg>\n");
    out
}

fn drawn(mark: &Mark) -> String {
    match mark {
        Mark::Text {
            at: [x, y],
            size_pt,
            face,
            text,
            ..
        } => {
            // The width is told, so that another face keeps the lines where they are.
            let kind = Type {
                size_pt: *size_pt,
                face: *face,
            };
            format!(
                "<text x=\"{x:.2}\" y=\"{y:.2}\" font-family=\"IBM Plex Sans, sans-serif\" font-size=\"{size_pt}\" font-weight=\"{}\" textLength=\"{:.2}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
                face.weight(),
                width_pt(text, kind),
                escaped(text)
            )
        }
        Mark::Line {
            points,
            width_pt,
            ink,
        } => format!(
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{width_pt:.2}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/>\n",
            places(points),
            hex(ink.rgb())
        ),
        Mark::Area { points, ink } => format!(
            "<polygon points=\"{}\" fill=\"{}\"/>\n",
            places(points),
            hex(ink.rgb())
        ),
    }
}

fn places(points: &[[f64; 2]]) -> String {
    let places: Vec<_> = points
        .iter()
        .map(|[x, y]| format!("{x:.2},{y:.2}"))
        .collect();
    places.join(" ")
}

fn hex([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
