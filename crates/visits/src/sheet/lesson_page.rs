//! The debrief of a lesson on one page: words, and curves over one time axis.

use std::path::Path;

use lithodrome_rehearsal::write_whole;

use super::font::{Type, lines, settable, width_pt};
use super::mark::{Ink, Page, Paper};
use super::pdf::pdf_of;
use super::rules::NOTICE;
use super::svg::svg_of;
use crate::VisitError;

/// White around the page.
const MARGIN_PT: f64 = 36.0;
/// Room for the foot.
const FOOT_PT: f64 = 30.0;
/// Height of a lane.
const LANE_PT: f64 = 58.0;
/// Left of the lanes, for their labels.
const LABELS_PT: f64 = 44.0;
/// Type is made smaller down to this, so that all is on one page.
const SMALLEST_PT: f64 = 5.5;

/// What stands on the page.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct LessonPage {
    /// Its title.
    pub title: String,
    /// A line below it.
    pub facts: String,
    /// Curves, one lane under the other.
    pub lanes: Vec<PageLane>,
    /// Length of the time axis, s.
    pub duration_s: f64,
    /// Headings with what stands below each.
    pub sections: Vec<(String, Vec<String>)>,
}

/// One lane of curves.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PageLane {
    /// What it shows.
    pub label: String,
    /// Names of heights, from 0 at the bottom to 1 at the top.
    pub marks: Vec<(f64, String)>,
    /// Curves, each through points of time (s) and height (0 to 1).
    pub curves: Vec<Vec<[f64; 2]>>,
}

/// The page; its type is as large as one page allows.
pub fn lesson_page(lesson: &LessonPage, paper: Paper) -> Page {
    let mut scale = 1.0;
    loop {
        let mut setting = Setting::new(paper, scale);
        setting.set(lesson);
        let fits = setting.y <= setting.bottom_pt();
        if fits || 9.5 * scale <= SMALLEST_PT {
            setting.foot(lesson);
            return setting.page;
        }
        scale *= 0.94;
    }
}

/// Writes it as PDF or SVG, by the ending of the path.
///
/// # Errors
/// Another ending; a place that cannot be written to.
pub fn write_lesson_page(lesson: &LessonPage, paper: Paper, path: &Path) -> Result<(), VisitError> {
    let page = lesson_page(lesson, paper);
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    let bytes = match ending.as_deref() {
        Some("pdf") => pdf_of(&[page], &lesson.title)?,
        Some("svg") => svg_of(&[page], &lesson.title).into_bytes(),
        _ => {
            return Err(VisitError::SheetEnding {
                path: path.to_owned(),
                found: ending.map_or_else(|| "no ending".to_owned(), |e| format!(".{e}")),
            });
        }
    };
    Ok(write_whole(path, |out| out.write_all(&bytes))?)
}

struct Setting {
    page: Page,
    scale: f64,
    y: f64,
}

impl Setting {
    fn new(paper: Paper, scale: f64) -> Setting {
        Setting {
            page: Page::new(paper),
            scale,
            y: MARGIN_PT,
        }
    }

    fn width_pt(&self) -> f64 {
        self.page.paper.size_pt()[0] - 2.0 * MARGIN_PT
    }

    fn bottom_pt(&self) -> f64 {
        self.page.paper.size_pt()[1] - MARGIN_PT - FOOT_PT
    }

    fn set(&mut self, lesson: &LessonPage) {
        self.write(&lesson.title, Type::bold(16.0), 0.0);
        self.write(&lesson.facts, Type::regular(9.5), 0.0);
        self.y += 8.0;
        for lane in &lesson.lanes {
            self.lane(lane, lesson.duration_s);
        }
        if !lesson.lanes.is_empty() {
            self.ticks(lesson.duration_s);
        }
        for (heading, all) in &lesson.sections {
            self.y += 6.0 * self.scale;
            self.write(heading, Type::bold(11.0), 0.0);
            for text in all {
                let y = self.y + 0.65 * 9.5 * self.scale;
                self.page.disc([MARGIN_PT + 3.0, y], 1.3, Ink::Black);
                self.write(text, Type::regular(9.5), 10.0);
            }
        }
    }

    fn write(&mut self, text: &str, kind: Type, indent_pt: f64) {
        let kind = Type {
            size_pt: kind.size_pt * self.scale,
            ..kind
        };
        let room_pt = self.width_pt() - indent_pt;
        for line in lines(text, kind, room_pt) {
            let at = [MARGIN_PT + indent_pt, self.y + kind.size_pt];
            self.page.text(at, kind, &line, room_pt);
            self.y += kind.leading_pt();
        }
    }

    fn x_at(&self, time_s: f64, duration_s: f64) -> f64 {
        let room_pt = self.width_pt() - LABELS_PT;
        MARGIN_PT + LABELS_PT + room_pt * (time_s / duration_s.max(1e-9)).clamp(0.0, 1.0)
    }

    fn lane(&mut self, lane: &PageLane, duration_s: f64) {
        let small = Type::regular(7.0);
        let name = Type::bold(8.0);
        self.page.text(
            [MARGIN_PT, self.y + name.size_pt],
            name,
            &lane.label,
            self.width_pt(),
        );
        self.y += name.leading_pt() + 4.0;
        let bottom = self.y + LANE_PT;
        let [left, right] = [0.0, duration_s].map(|t| self.x_at(t, duration_s));
        let y_at = |height: f64| bottom - LANE_PT * height.clamp(0.0, 1.0);
        for (height, name) in &lane.marks {
            let y = y_at(*height);
            self.page.line(vec![[left, y], [right, y]], 0.4, Ink::Pale);
            self.page
                .text_to([left - 4.0, y + 2.5], small, name, LABELS_PT - 4.0);
        }
        for curve in &lane.curves {
            let points: Vec<[f64; 2]> = curve
                .iter()
                .map(|[time_s, height]| [self.x_at(*time_s, duration_s), y_at(*height)])
                .collect();
            if points.len() > 1 {
                self.page.line(points, 0.8, Ink::Black);
            }
        }
        self.y = bottom + 8.0;
    }

    fn ticks(&mut self, duration_s: f64) {
        let small = Type::regular(7.0);
        let y = self.y;
        let step_s = [30.0, 60.0, 120.0, 300.0, 600.0, 1800.0]
            .into_iter()
            .find(|step| duration_s / step <= 12.0)
            .unwrap_or(7200.0);
        for i in 0..=(duration_s / step_s) as u32 {
            let time_s = f64::from(i) * step_s;
            let x = self.x_at(time_s, duration_s);
            self.page
                .line(vec![[x, y - 5.0], [x, y - 2.0]], 0.6, Ink::Grey);
            let text = format!("{:.0}:{:02.0}", (time_s / 60.0).floor(), time_s % 60.0);
            self.page.text_around([x, y + 5.0], small, &text, 40.0);
        }
        self.y += 12.0;
    }

    fn foot(&mut self, lesson: &LessonPage) {
        let small = Type::regular(8.0);
        let width_all = self.width_pt();
        let y = self.page.paper.size_pt()[1] - MARGIN_PT - FOOT_PT + 10.0;
        let right = MARGIN_PT + width_all;
        self.page
            .line(vec![[MARGIN_PT, y], [right, y]], 0.5, Ink::Grey);
        self.page
            .text([MARGIN_PT, y + 11.0], small, NOTICE, width_all);
        let version = format!("Lithodrome {}", env!("CARGO_PKG_VERSION"));
        let room_pt = width_all - width_pt(&version, small) - 8.0;
        let title = settable(&lesson.title);
        if width_pt(&title, small) <= room_pt {
            self.page
                .text([MARGIN_PT, y + 22.0], small, &title, room_pt);
        }
        self.page.text_to([right, y + 22.0], small, &version, 120.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::Mark;

    #[test]
    fn much_text_is_made_small_and_stays_on_the_page() {
        let text = "cut short by 12 s, with debris still on its way".to_owned();
        let lesson = LessonPage {
            title: "Hidden case 7".to_owned(),
            facts: "common; 4 of 6 points".to_owned(),
            lanes: vec![PageLane {
                label: "Course".to_owned(),
                marks: vec![(0.0, "cupula".to_owned()), (1.0, "utricle".to_owned())],
                curves: vec![vec![[0.0, 0.0], [300.0, 1.0]]],
            }],
            duration_s: 600.0,
            sections: vec![("What happened".to_owned(), vec![text; 60])],
        };
        let page = lesson_page(&lesson, Paper::A4);
        let [width, height] = Paper::A4.size_pt();
        let mut texts = 0;
        for mark in &page.marks {
            let points = match mark {
                Mark::Text { at, .. } => {
                    texts += 1;
                    vec![*at]
                }
                Mark::Line { points, .. } | Mark::Area { points, .. } => points.clone(),
            };
            for [x, y] in points {
                assert!((0.0..=width).contains(&x) && (0.0..=height).contains(&y));
            }
        }
        assert!(texts > 60);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("debrief.pdf");
        write_lesson_page(&lesson, Paper::A4, &path).unwrap();
        assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF"));
        let other = folder.path().join("debrief.doc");
        assert!(write_lesson_page(&lesson, Paper::A4, &other).is_err());
    }
}
