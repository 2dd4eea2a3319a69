//! The two faces of the sheet, and how wide text is in them.

use std::sync::LazyLock;

use ttf_parser::GlyphId;

/// IBM Plex Sans (SIL Open Font License).
static REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/IBMPlexSans-Regular.ttf");
static SEMI_BOLD: &[u8] = include_bytes!("../../../../assets/fonts/IBMPlexSans-SemiBold.ttf");

/// A weight of the sheet's face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Regular.
    Regular,
    /// Semi-bold.
    SemiBold,
}

impl Face {
    /// The font file.
    pub(super) fn bytes(self) -> &'static [u8] {
        match self {
            Face::Regular => REGULAR,
            Face::SemiBold => SEMI_BOLD,
        }
    }

    /// The weight, as style sheets number it.
    pub(super) fn weight(self) -> u32 {
        match self {
            Face::Regular => 400,
            Face::SemiBold => 600,
        }
    }

    fn parsed(self) -> Option<&'static ttf_parser::Face<'static>> {
        static PARSED: LazyLock<[Option<ttf_parser::Face<'static>>; 2]> = LazyLock::new(|| {
            [REGULAR, SEMI_BOLD].map(|bytes| ttf_parser::Face::parse(bytes, 0).ok())
        });
        PARSED[self as usize].as_ref()
    }

    /// Glyph of a character and its advance, in ems; a question mark for what the face does not have.
    pub(super) fn glyph(self, c: char) -> (GlyphId, f64) {
        let Some(face) = self.parsed() else {
            return (GlyphId(0), 0.5);
        };
        let known = face.glyph_index(c).or_else(|| face.glyph_index('?'));
        let id = known.unwrap_or(GlyphId(0));
        let advance = face.glyph_hor_advance(id).unwrap_or(0);
        (id, f64::from(advance) / f64::from(face.units_per_em()))
    }
}

/// Text that can be set: white space becomes a blank, other signs without a shape a question mark.
pub(crate) fn settable(text: &str) -> String {
    let sign = |c: char| match c {
        c if c.is_whitespace() => ' ',
        c if c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}') =>
        {
            '?'
        }
        c => c,
    };
    text.chars().map(sign).collect()
}

/// Width of a line of text.
pub(crate) fn width_pt(text: &str, kind: Type) -> f64 {
    text.chars()
        .map(|c| kind.face.glyph(c).1 * kind.size_pt)
        .sum()
}

/// Text broken into lines that are no wider than the room; a word that is wider is broken too.
pub(crate) fn lines(text: &str, kind: Type, room_pt: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in settable(text).split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width_pt(&longer, kind) <= room_pt {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if width_pt(&line, kind) > room_pt && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Size and weight of type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Type {
    /// Size.
    pub(crate) size_pt: f64,
    /// Weight.
    pub(crate) face: Face,
}

impl Type {
    /// Regular type.
    pub(crate) const fn regular(size_pt: f64) -> Type {
        Type {
            size_pt,
            face: Face::Regular,
        }
    }

    /// Semi-bold type.
    pub(crate) const fn bold(size_pt: f64) -> Type {
        Type {
            size_pt,
            face: Face::SemiBold,
        }
    }

    /// From base line to base line.
    pub(crate) fn leading_pt(self) -> f64 {
        1.26 * self.size_pt
    }
}

/// What is read at arm's length.
pub(crate) const TEXT: Type = Type::regular(9.5);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_their_room_and_lose_nothing() {
        let kind = Type::regular(10.0);
        let text = "Hold the patient when he sits up Donaudampfschifffahrtsgesellschaftskapitaen";
        for room_pt in [20.0, 60.0, 140.0] {
            let set = lines(text, kind, room_pt);
            assert!(set.iter().all(|l| width_pt(l, kind) <= room_pt), "{set:?}");
            let joined: String = set.concat().replace(' ', "");
            assert_eq!(joined, text.replace(' ', ""));
        }
    }

    #[test]
    fn both_faces_have_every_sign_that_the_sheet_uses() {
        for face in [Face::Regular, Face::SemiBold] {
            let question = face.glyph('?').0;
            for c in "°×µ–’→≥ÄÖÜäöüßéáñ·²½".chars() {
                assert_ne!(face.glyph(c).0, question, "{c}");
            }
        }
    }

    #[test]
    fn signs_that_turn_the_writing_round_do_not_reach_the_paper() {
        assert_eq!(settable("a\u{202e}b\tc\u{7}"), "a?b c?");
    }
}
