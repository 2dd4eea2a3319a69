//! What a page is made of: text and lines at places in points from its upper left corner.

use super::font::{Face, Type, width_pt};

/// Size of the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

impl Paper {
    /// Width and height, points (1/72 inch).
    pub const fn size_pt(self) -> [f64; 2] {
        match self {
            Paper::A4 => [595.28, 841.89],
            Paper::Letter => [612.0, 792.0],
        }
    }
}

/// What something is drawn with. Right and left differ in shape too, never by colour alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Text and outlines.
    Black,
    /// Rules and what matters less; dark enough for any printer.
    Grey,
    /// Grounds.
    Pale,
    /// Nothing: covers what is behind.
    White,
    /// The right ear's ring.
    Right,
    /// The left ear's cross.
    Left,
    /// A grey of this lightness, 0 black to 255 white.
    Shade(u8),
}

impl Ink {
    /// Red, green, blue.
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Ink::Black => [0, 0, 0],
            Ink::Grey => [110, 110, 110],
            Ink::Pale => [226, 226, 226],
            Ink::White => [255, 255, 255],
            Ink::Right => [190, 30, 20],
            Ink::Left => [20, 60, 170],
            Ink::Shade(lightness) => [lightness; 3],
        }
    }
}

/// One thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line of text.
    Text {
        /// Left end of the base line.
        at: [f64; 2],
        /// Size of the type.
        size_pt: f64,
        /// Its weight.
        face: Face,
        /// The text.
        text: String,
        /// Width that is there for it.
        room_pt: f64,
    },
    /// A line through points with round ends.
    Line {
        /// The points.
        points: Vec<[f64; 2]>,
        /// Its width.
        width_pt: f64,
        /// Its ink.
        ink: Ink,
    },
    /// A filled area.
    Area {
        /// Its corners.
        points: Vec<[f64; 2]>,
        /// Its ink.
        ink: Ink,
    },
}

/// One page, ready to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its paper.
    pub paper: Paper,
    /// What stands on it, back to front.
    pub marks: Vec<Mark>,
}

impl Page {
    /// An empty page.
    pub(crate) fn new(paper: Paper) -> Page {
        Page {
            paper,
            marks: Vec::new(),
        }
    }

    /// A line of text; `at` is the left end of its base line.
    pub(crate) fn text(&mut self, at: [f64; 2], kind: Type, text: &str, room_pt: f64) {
        self.marks.push(Mark::Text {
            at,
            size_pt: kind.size_pt,
            face: kind.face,
            text: text.to_owned(),
            room_pt,
        });
    }

    /// A line of text that ends at a place.
    pub(crate) fn text_to(&mut self, at: [f64; 2], kind: Type, text: &str, room_pt: f64) {
        let from = at[0] - width_pt(text, kind);
        self.text([from, at[1]], kind, text, room_pt);
    }

    /// A line of text with its middle at a place.
    pub(crate) fn text_around(&mut self, at: [f64; 2], kind: Type, text: &str, room_pt: f64) {
        let from = at[0] - 0.5 * width_pt(text, kind);
        self.text([from, at[1]], kind, text, room_pt);
    }

    /// A line.
    pub(crate) fn line(&mut self, points: Vec<[f64; 2]>, width_pt: f64, ink: Ink) {
        self.marks.push(Mark::Line {
            points,
            width_pt,
            ink,
        });
    }

    /// A circle's line.
    pub(crate) fn circle(&mut self, centre: [f64; 2], radius: f64, width_pt: f64, ink: Ink) {
        self.line(circle_points(centre, radius), width_pt, ink);
    }

    /// A filled area.
    pub(crate) fn area(&mut self, points: Vec<[f64; 2]>, ink: Ink) {
        self.marks.push(Mark::Area { points, ink });
    }

    /// A filled circle.
    pub(crate) fn disc(&mut self, centre: [f64; 2], radius: f64, ink: Ink) {
        let points = circle_points(centre, radius);
        self.marks.push(Mark::Area { points, ink });
    }
}

fn circle_points([x, y]: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    (0..=36)
        .map(|i| {
            let a = f64::from(i) * std::f64::consts::TAU / 36.0;
            [x + radius * a.cos(), y + radius * a.sin()]
        })
        .collect()
}
