//! Colours and type of the window, light and dark, in one place.
//!
//! Colour carries one meaning each (Okabe & Ito 2008, "Color Universal Design"); all else is grey.

use egui::{Color32, FontFamily, FontId, Stroke, Ui};
use lithodrome_labyrinth::{Canal, Ear};

/// Family of emphasised text.
pub(crate) const STRONG: &str = "strong";

/// Small, body and heading size, points.
pub const SIZES: [f32; 3] = [12.0, 14.0, 18.0];

/// Colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Palette {
    /// It is the dark one.
    pub dark: bool,
    /// Panels.
    pub panel: Color32,
    /// Behind the stages.
    pub stage: Color32,
    /// Behind the score.
    pub score: Color32,
    /// Text and curves.
    pub text: Color32,
    /// Text of less weight.
    pub weak: Color32,
    /// Marks of least weight.
    pub faint: Color32,
    /// Lines between regions.
    pub hairline: Color32,
    /// Held steps, buttons.
    pub block: Color32,
    /// Pointed at or chosen.
    pub block_strong: Color32,
    /// Gravity.
    pub gravity: Color32,
    /// Debris.
    pub debris: Color32,
    /// Whites of the eyes.
    pub sclera: Color32,
    /// Irises.
    pub iris: Color32,
}

pub(crate) const DARK: Palette = Palette {
    dark: true,
    panel: Color32::from_rgb(0x1b, 0x1e, 0x22),
    stage: Color32::from_rgb(0x12, 0x14, 0x17),
    score: Color32::from_rgb(0x16, 0x18, 0x1c),
    text: Color32::from_rgb(0xe6, 0xe8, 0xea),
    weak: Color32::from_rgb(0xa3, 0xaa, 0xb2),
    faint: Color32::from_rgb(0x6b, 0x73, 0x7c),
    hairline: Color32::from_rgb(0x2f, 0x34, 0x3a),
    block: Color32::from_rgb(0x2b, 0x30, 0x36),
    block_strong: Color32::from_rgb(0x42, 0x49, 0x52),
    gravity: Color32::from_rgb(0xf0, 0xe4, 0x42),
    debris: Color32::from_rgb(0xf6, 0xf6, 0xf2),
    sclera: Color32::from_rgb(0xd9, 0xdb, 0xdd),
    iris: Color32::from_rgb(0x5d, 0x67, 0x70),
};

pub(crate) const LIGHT: Palette = Palette {
    dark: false,
    panel: Color32::from_rgb(0xf3, 0xf4, 0xf5),
    stage: Color32::from_rgb(0xfd, 0xfd, 0xfd),
    score: Color32::from_rgb(0xfa, 0xfa, 0xfb),
    text: Color32::from_rgb(0x1a, 0x1d, 0x20),
    weak: Color32::from_rgb(0x53, 0x5b, 0x63),
    faint: Color32::from_rgb(0x8b, 0x93, 0x9b),
    hairline: Color32::from_rgb(0xd5, 0xd8, 0xdb),
    block: Color32::from_rgb(0xe2, 0xe5, 0xe8),
    block_strong: Color32::from_rgb(0xc6, 0xcb, 0xd1),
    gravity: Color32::from_rgb(0x10, 0x10, 0x10),
    debris: Color32::from_rgb(0x3a, 0x3e, 0x43),
    sclera: Color32::from_rgb(0xff, 0xff, 0xff),
    iris: Color32::from_rgb(0x77, 0x82, 0x8c),
};

impl Palette {
    /// The colours of the theme in use.
    pub fn of(ui: &Ui) -> Palette {
        if ui.visuals().dark_mode { DARK } else { LIGHT }
    }

    /// Background of the stages, sRGB bytes.
    pub fn stage_rgb(&self) -> [u8; 3] {
        [self.stage.r(), self.stage.g(), self.stage.b()]
    }

    /// A hairline.
    pub fn hair(&self) -> Stroke {
        Stroke::new(1.0, self.hairline)
    }
}

/// Right vermilion, left blue; always beside a sign or a word.
pub const fn ear_colour(ear: Ear) -> Color32 {
    match ear {
        Ear::Right => Color32::from_rgb(0xd5, 0x5e, 0x00),
        Ear::Left => Color32::from_rgb(0x00, 0x72, 0xb2),
    }
}

/// The tint of a canal.
pub const fn canal_colour(canal: Canal) -> Color32 {
    match canal {
        Canal::Anterior => Color32::from_rgb(0xe6, 0x9f, 0x00),
        Canal::Lateral => Color32::from_rgb(0x00, 0x9e, 0x73),
        Canal::Posterior => Color32::from_rgb(0xcc, 0x79, 0xa7),
    }
}

/// Small text.
pub fn small() -> FontId {
    FontId::proportional(SIZES[0])
}

/// Body text.
pub fn body() -> FontId {
    FontId::proportional(SIZES[1])
}

/// Emphasised small text.
pub fn small_strong() -> FontId {
    FontId::new(SIZES[0], FontFamily::Name(STRONG.into()))
}

/// Emphasised body text.
pub fn body_strong() -> FontId {
    FontId::new(SIZES[1], FontFamily::Name(STRONG.into()))
}

/// Headings.
pub fn heading() -> FontId {
    FontId::new(SIZES[2], FontFamily::Name(STRONG.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast ratio of two colours.
    ///
    /// # Source
    /// W3C, Web Content Accessibility Guidelines 2.1, "contrast ratio" and "relative luminance".
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let linear = |x: u8| {
                let x = f64::from(x) / 255.0;
                if x <= 0.03928 {
                    x / 12.92
                } else {
                    ((x + 0.055) / 1.055).powf(2.4)
                }
            };
            0.2126 * linear(c.r()) + 0.7152 * linear(c.g()) + 0.0722 * linear(c.b())
        };
        let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
        if a > b { a / b } else { b / a }
    }

    #[test]
    fn text_can_be_read() {
        // The guidelines' level AA asks for 4.5 for text.
        for p in [DARK, LIGHT] {
            for ground in [p.panel, p.stage, p.score, p.block] {
                assert!(contrast(p.text, ground) > 7.0);
                assert!(contrast(p.weak, ground) > 4.5, "{:?} {ground:?}", p.dark);
            }
            assert!(contrast(p.text, p.block_strong) > 7.0);
        }
    }
}
