//! Pages that fill from the top: text under text, and at the foot of each what it is and is not.

use super::font::{TEXT, Type, lines, settable, width_pt};
use super::mark::{Ink, Page, Paper};
use super::rules::NOTICE;

/// White around a page, for hands and holes.
pub(crate) const MARGIN_PT: f64 = 32.0;
/// Type of a title.
pub(crate) const TITLE: Type = Type::bold(17.0);
const HEADING: Type = Type::bold(11.0);
/// Type of the foot and of what stands in pictures.
pub(crate) const SMALL: Type = Type::regular(8.0);
/// Room for the foot of a page.
const FOOT_PT: f64 = 34.0;

/// Pages under way.
pub(crate) struct Setting {
    paper: Paper,
    pages: Vec<Page>,
    /// Where the next thing goes.
    pub(crate) y: f64,
}

impl Setting {
    /// One empty page.
    pub(crate) fn new(paper: Paper) -> Setting {
        Setting {
            paper,
            pages: vec![Page::new(paper)],
            y: MARGIN_PT,
        }
    }

    /// The page under way.
    pub(crate) fn page(&mut self) -> &mut Page {
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Width between the margins.
    pub(crate) fn width_pt(&self) -> f64 {
        self.paper.size_pt()[0] - 2.0 * MARGIN_PT
    }

    /// Where the foot begins.
    fn bottom_pt(&self) -> f64 {
        self.paper.size_pt()[1] - MARGIN_PT - FOOT_PT
    }

    /// Begins another page if this one has no room for so much.
    pub(crate) fn fit(&mut self, height_pt: f64) {
        if self.y + height_pt > self.bottom_pt() && self.y > MARGIN_PT {
            self.pages.push(Page::new(self.paper));
            self.y = MARGIN_PT;
        }
    }

    /// Begins another page, unless this one is empty still.
    pub(crate) fn break_page(&mut self) {
        self.fit(f64::INFINITY);
    }

    /// Lines of text one under the other.
    pub(crate) fn write(&mut self, text: &str, kind: Type, indent_pt: f64) {
        let room_pt = self.width_pt() - indent_pt;
        for line in lines(text, kind, room_pt) {
            self.fit(kind.leading_pt());
            let y = self.y + kind.size_pt;
            self.page()
                .text([MARGIN_PT + indent_pt, y], kind, &line, room_pt);
            self.y += kind.leading_pt();
        }
    }

    /// A dot and its lines.
    pub(crate) fn point(&mut self, text: &str) {
        self.fit(TEXT.leading_pt());
        let y = self.y + 0.65 * TEXT.size_pt;
        self.page().disc([MARGIN_PT + 4.0, y], 1.5, Ink::Black);
        self.write(text, TEXT, 11.0);
    }

    /// A heading over what follows, which begins on the same page.
    pub(crate) fn heading(&mut self, text: &str) {
        self.fit(HEADING.leading_pt() + 3.0 * TEXT.leading_pt());
        self.y += 7.0;
        let (y, right) = (self.y, MARGIN_PT + self.width_pt());
        self.page()
            .line(vec![[MARGIN_PT, y], [right, y]], 0.8, Ink::Black);
        self.y += 3.0;
        self.write(text, HEADING, 0.0);
        self.y += 1.0;
    }

    /// The pages, each with its foot.
    pub(crate) fn finish(mut self, title: &str) -> Vec<Page> {
        let (of, width, paper) = (self.pages.len(), self.width_pt(), self.paper);
        let height = paper.size_pt()[1];
        let version = env!("CARGO_PKG_VERSION");
        let name = short(&settable(title), SMALL, 0.6 * width);
        for (i, page) in self.pages.iter_mut().enumerate() {
            let y = height - MARGIN_PT - FOOT_PT + 10.0;
            let right = MARGIN_PT + width;
            page.line(vec![[MARGIN_PT, y], [right, y]], 0.5, Ink::Grey);
            page.text([MARGIN_PT, y + 11.0], SMALL, NOTICE, width);
            page.text([MARGIN_PT, y + 22.0], SMALL, &name, 0.6 * width);
            let number = format!("Lithodrome {version}   page {} of {of}", i + 1);
            page.text_to([right, y + 22.0], SMALL, &number, 0.38 * width);
        }
        self.pages
    }
}

/// The beginning of a text that has room, with dots where it goes on.
pub(crate) fn short(text: &str, kind: Type, room_pt: f64) -> String {
    if width_pt(text, kind) <= room_pt {
        return text.to_owned();
    }
    let mut kept: String = text.to_owned();
    while !kept.is_empty() && width_pt(&format!("{kept}..."), kind) > room_pt {
        kept.pop();
    }
    format!("{}...", kept.trim_end())
}
