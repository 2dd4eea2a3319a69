//! Pages under way: lines and points one under the other, in one column or two.

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
/// White between two columns.
const GUTTER_PT: f64 = 16.0;

/// Two columns under way.
#[derive(Clone, Copy)]
struct Columns {
    /// It is the right one.
    right: bool,
    /// Where both begin on this page.
    top: f64,
    /// Where the left one ends on this page.
    left_bottom: f64,
    /// The lowest place that either has reached on this page.
    reached: f64,
    /// How high in one column what is still to be set is, at the top of this page.
    to_set_pt: f64,
    /// How much of it stands in the left one.
    in_left_pt: f64,
}

impl Columns {
    /// Both columns from a place on: parted in the middle of what is to be set, where it has room above `bottom`.
    fn from(top: f64, bottom: f64, to_set_pt: f64) -> Columns {
        // A heading that keeps its lines may leave a part of a column empty.
        let half_pt = 0.5 * to_set_pt + 1.5 * TEXT.leading_pt();
        Columns {
            right: false,
            top,
            left_bottom: bottom.min(top + half_pt),
            reached: top,
            to_set_pt,
            in_left_pt: 0.0,
        }
    }
}

/// Pages under way.
pub(crate) struct Setting {
    paper: Paper,
    pages: Vec<Page>,
    columns: Option<Columns>,
    /// What is read.
    pub(crate) text: Type,
    /// Where the next thing goes.
    pub(crate) y: f64,
}

impl Setting {
    pub(crate) fn new(paper: Paper) -> Setting {
        Setting {
            paper,
            pages: vec![Page::new(paper)],
            columns: None,
            text: TEXT,
            y: MARGIN_PT,
        }
    }

    pub(crate) fn page(&mut self) -> &mut Page {
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    fn page_width_pt(&self) -> f64 {
        self.paper.size_pt()[0] - 2.0 * MARGIN_PT
    }

    /// Width of the column.
    pub(crate) fn width_pt(&self) -> f64 {
        match self.columns {
            Some(_) => 0.5 * (self.page_width_pt() - GUTTER_PT),
            None => self.page_width_pt(),
        }
    }

    /// Left edge of the column.
    pub(crate) fn left_pt(&self) -> f64 {
        match self.columns {
            Some(columns) if columns.right => MARGIN_PT + self.width_pt() + GUTTER_PT,
            _ => MARGIN_PT,
        }
    }

    fn page_bottom_pt(&self) -> f64 {
        self.paper.size_pt()[1] - MARGIN_PT - FOOT_PT
    }

    fn bottom_pt(&self) -> f64 {
        match self.columns {
            Some(columns) if !columns.right => columns.left_bottom,
            _ => self.page_bottom_pt(),
        }
    }

    /// Goes on in two columns; what is to stand in them is `height_pt` high in one, and is parted in the middle
    /// where it has room on this page.
    pub(crate) fn two_columns(&mut self, height_pt: f64) {
        self.columns = Some(Columns::from(self.y, self.page_bottom_pt(), height_pt));
    }

    /// Goes on below both columns.
    pub(crate) fn one_column(&mut self) {
        if let Some(columns) = self.columns.take() {
            self.y = self.y.max(columns.reached);
        }
    }

    /// How high something is in one of two columns that never ends.
    pub(crate) fn height_of(&self, what: impl FnOnce(&mut Setting)) -> f64 {
        let mut tall = Setting::new(self.paper);
        tall.text = self.text;
        tall.columns = Some(Columns::from(0.0, f64::INFINITY, f64::INFINITY));
        tall.y = 0.0;
        what(&mut tall);
        tall.y
    }

    /// Goes to the next column or page if there is no room for so much. What has no room on a whole page begins at
    /// its top.
    pub(crate) fn fit(&mut self, height_pt: f64) {
        while self.y + height_pt > self.bottom_pt() && self.y > MARGIN_PT {
            self.go_on();
        }
    }

    /// Goes to the next column or page.
    fn go_on(&mut self) {
        if let Some(columns) = self.columns.as_mut().filter(|c| !c.right) {
            columns.reached = columns.reached.max(self.y);
            columns.in_left_pt = self.y - columns.top;
            columns.right = true;
            self.y = columns.top;
            return;
        }
        let bottom = self.page_bottom_pt();
        if let Some(columns) = &mut self.columns {
            let set_pt = columns.in_left_pt + self.y - columns.top;
            let rest_pt = (columns.to_set_pt - set_pt).max(0.0);
            *columns = Columns::from(MARGIN_PT, bottom, rest_pt);
        }
        self.pages.push(Page::new(self.paper));
        self.y = MARGIN_PT;
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
            let at = [self.left_pt() + indent_pt, self.y + kind.size_pt];
            self.page().text(at, kind, &line, room_pt);
            self.y += kind.leading_pt();
        }
    }

    /// A dot and its lines.
    pub(crate) fn point(&mut self, text: &str) {
        let kind = self.text;
        self.fit(kind.leading_pt());
        let at = [self.left_pt() + 4.0, self.y + 0.65 * kind.size_pt];
        self.page().disc(at, 1.5, Ink::Black);
        self.write(text, kind, 11.0);
    }

    /// A heading over what follows, which begins in the same column.
    pub(crate) fn heading(&mut self, text: &str) {
        self.fit(HEADING.leading_pt() + 3.0 * self.text.leading_pt());
        self.y += 7.0;
        let (y, left) = (self.y, self.left_pt());
        let right = left + self.width_pt();
        self.page()
            .line(vec![[left, y], [right, y]], 0.8, Ink::Black);
        self.y += 3.0;
        self.write(text, HEADING, 0.0);
        self.y += 1.0;
    }

    pub(crate) fn finish(mut self, title: &str) -> Vec<Page> {
        let (of, width, paper) = (self.pages.len(), self.page_width_pt(), self.paper);
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
