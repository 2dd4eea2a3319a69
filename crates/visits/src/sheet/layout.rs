//! A sheet set on pages: head, steps, boxes below them, foot.

use super::content::{ControlTest, Sheet};
use super::font::Type;
use super::font::{TEXT, lines, settable, width_pt};
use super::mark::{Ink, Page, Paper};
use super::rows::{self, Row};
use super::rules::{AFTERWARDS, NOTICE, STOP_RULES, STOPPING};

/// White around a page, for hands and holes.
pub(super) const MARGIN_PT: f64 = 32.0;
const TITLE: Type = Type::bold(17.0);
const HEADING: Type = Type::bold(11.0);
const SMALL: Type = Type::regular(8.0);
/// Room for the foot of a page.
const FOOT_PT: f64 = 34.0;

/// The pages of a sheet.
pub fn pages_of(sheet: &Sheet, paper: Paper) -> Vec<Page> {
    let mut setting = Setting::new(paper);
    head(&mut setting, sheet);
    let all: Vec<Row> = rows::rows_of(sheet, setting.width_pt());
    for row in &all {
        setting.fit(row.height_pt);
        let top = setting.y;
        rows::draw(setting.page(), row, MARGIN_PT, top);
        setting.y += row.height_pt;
    }
    setting.y += 10.0;
    boxes(&mut setting, sheet);
    setting.finish(sheet)
}

/// Pages under way.
pub(super) struct Setting {
    paper: Paper,
    pages: Vec<Page>,
    /// Where the next thing goes.
    y: f64,
}

impl Setting {
    fn new(paper: Paper) -> Setting {
        Setting {
            paper,
            pages: vec![Page::new(paper)],
            y: MARGIN_PT,
        }
    }

    fn page(&mut self) -> &mut Page {
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    fn width_pt(&self) -> f64 {
        self.paper.size_pt()[0] - 2.0 * MARGIN_PT
    }

    fn bottom_pt(&self) -> f64 {
        self.paper.size_pt()[1] - MARGIN_PT - FOOT_PT
    }

    /// Begins another page if this one has no room for so much.
    fn fit(&mut self, height_pt: f64) {
        if self.y + height_pt > self.bottom_pt() && self.y > MARGIN_PT {
            self.pages.push(Page::new(self.paper));
            self.y = MARGIN_PT;
        }
    }

    /// Lines of text one under the other.
    fn write(&mut self, text: &str, kind: Type, indent_pt: f64) {
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
    fn point(&mut self, text: &str) {
        self.fit(TEXT.leading_pt());
        let y = self.y + 0.65 * TEXT.size_pt;
        self.page().disc([MARGIN_PT + 4.0, y], 1.5, Ink::Black);
        self.write(text, TEXT, 11.0);
    }

    /// A heading over what follows, which begins on the same page.
    fn heading(&mut self, text: &str) {
        self.fit(HEADING.leading_pt() + 3.0 * TEXT.leading_pt());
        self.y += 7.0;
        let (y, right) = (self.y, MARGIN_PT + self.width_pt());
        self.page()
            .line(vec![[MARGIN_PT, y], [right, y]], 0.8, Ink::Black);
        self.y += 3.0;
        self.write(text, HEADING, 0.0);
        self.y += 1.0;
    }

    fn finish(mut self, sheet: &Sheet) -> Vec<Page> {
        let (of, width, paper) = (self.pages.len(), self.width_pt(), self.paper);
        let height = paper.size_pt()[1];
        let version = env!("CARGO_PKG_VERSION");
        let name = short(&settable(&sheet.title), SMALL, 0.6 * width);
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
fn short(text: &str, kind: Type, room_pt: f64) -> String {
    if width_pt(text, kind) <= room_pt {
        return text.to_owned();
    }
    let mut kept: String = text.to_owned();
    while !kept.is_empty() && width_pt(&format!("{kept}..."), kind) > room_pt {
        kept.pop();
    }
    format!("{}...", kept.trim_end())
}

fn head(setting: &mut Setting, sheet: &Sheet) {
    setting.write(&sheet.title, TITLE, 0.0);
    let minutes = sheet.duration_s / 60.0;
    let n = sheet.steps.len();
    let steps = if n == 1 { "step" } else { "steps" };
    let facts = format!("{}, {n} {steps}, {minutes:.1} min", sheet.purpose);
    setting.write(&facts, Type::bold(10.0), 0.0);
    let case = format!(
        "Computed with: {}; {}. In the model: {}",
        sheet.case, sheet.model, sheet.ending
    );
    setting.write(&case, TEXT, 0.0);
    setting.y += 5.0;
    let (y, width) = (setting.y + 11.0, setting.width_pt());
    let kind = Type::regular(10.0);
    let mut x = MARGIN_PT;
    for (label, share) in [
        ("Patient code", 0.32),
        ("Date", 0.24),
        ("Operator", 0.24),
        ("Helper", 0.2),
    ] {
        let room = share * width;
        let label_width = width_pt(label, kind);
        let page = setting.page();
        page.text([x, y], kind, label, room);
        let ends = vec![[x + label_width + 4.0, y + 2.0], [x + room - 8.0, y + 2.0]];
        page.line(ends, 0.6, Ink::Grey);
        x += room;
    }
    setting.y += 20.0;
}

fn boxes(setting: &mut Setting, sheet: &Sheet) {
    if let Some(control) = &sheet.control {
        control_box(setting, control);
    }
    setting.heading("Stop when");
    for rule in STOP_RULES {
        setting.point(rule);
    }
    setting.write(STOPPING, Type::bold(9.5), 0.0);
    setting.heading("Cautions");
    for caution in &sheet.cautions {
        setting.point(caution);
    }
    for words in AFTERWARDS {
        // Files of the library say the first of them too.
        if !sheet
            .cautions
            .iter()
            .any(|c| c.contains("late attack") && words.contains("late attack"))
        {
            setting.point(words);
        }
    }
    if !sheet.warnings.is_empty() {
        setting.heading("What the run warns of");
        for warning in &sheet.warnings {
            setting.point(warning);
        }
    }
    let rules = [
        ("Go on", &sheet.hold_rule),
        ("Repeat", &sheet.repeats),
        ("Source", &sheet.source),
    ];
    if rules.iter().any(|(_, text)| text.is_some()) {
        setting.heading("Rules and source");
        for (label, text) in rules {
            if let Some(text) = text {
                setting.write(&format!("{label}: {text}"), TEXT, 0.0);
            }
        }
    }
}

fn control_box(setting: &mut Setting, control: &ControlTest) {
    setting.heading(&format!("Control test: {}", control.title));
    setting.write(
        "First 15 min upright (common practice, no source). Test twice; clear only if both are.",
        TEXT,
        0.0,
    );
    for step in &control.steps {
        setting.point(step);
    }
    setting.write(
        "Clear: no nystagmus seen in any hold.",
        Type::bold(9.5),
        0.0,
    );
    found(
        setting,
        "Debris still there, in the model:",
        &control.still_there,
    );
    for other in &control.other_canals {
        let label = format!("Canal switch, debris in the {}, in the model:", other.canal);
        found(setting, &label, &other.seen);
    }
}

fn found(setting: &mut Setting, label: &str, seen: &[String]) {
    setting.fit(2.0 * TEXT.leading_pt());
    setting.write(label, Type::bold(9.5), 0.0);
    if seen.is_empty() {
        setting.point("Nothing is seen in any hold: this test cannot tell.");
    }
    for line in seen {
        setting.point(line);
    }
}
