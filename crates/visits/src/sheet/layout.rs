//! A sheet set on pages: head, steps, boxes below them, foot.
//!
//! One or two pages. What has more steps than these hold is set tighter: steps that are done again stand once,
//! and in two columns.

use super::content::{ControlTest, Sheet};
use super::font::{Type, width_pt};
use super::group::{Group, grouped};
use super::mark::{Ink, Page, Paper};
use super::rows;
use super::rules::{AFTERWARDS, STOP_RULES, STOPPING};
use super::setting::{MARGIN_PT, Setting, TITLE};
use super::tight_rows;

/// Type of a tight sheet.
const TIGHT_TEXT: Type = Type::regular(8.5);
/// More pages than these nobody carries along.
const MOST_PAGES: usize = 2;

/// The pages of a sheet.
pub fn pages_of(sheet: &Sheet, paper: Paper) -> Vec<Page> {
    let roomy = set(sheet, paper, false);
    if roomy.len() <= MOST_PAGES {
        return roomy;
    }
    let tight = set(sheet, paper, true);
    if tight.len() < roomy.len() {
        tight
    } else {
        roomy
    }
}

fn set(sheet: &Sheet, paper: Paper, tight: bool) -> Vec<Page> {
    let mut setting = Setting::new(paper);
    if tight {
        setting.text = TIGHT_TEXT;
    }
    head(&mut setting, sheet);
    if tight {
        let groups = grouped(&sheet.steps);
        let height_pt = setting.height_of(|s| tight_steps(s, &groups));
        setting.two_columns(height_pt);
        tight_steps(&mut setting, &groups);
        setting.one_column();
    } else {
        for row in rows::rows_of(sheet, setting.width_pt()) {
            setting.fit(row.height_pt);
            let top = setting.y;
            rows::draw(setting.page(), &row, MARGIN_PT, top);
            setting.y += row.height_pt;
        }
    }
    setting.y += if tight { 2.0 } else { 8.0 };
    let height_pt = setting.height_of(|s| boxes(s, sheet));
    setting.two_columns(height_pt);
    boxes(&mut setting, sheet);
    setting.one_column();
    setting.finish(&sheet.title)
}

fn tight_steps(setting: &mut Setting, groups: &[Group<'_>]) {
    for group in groups {
        let row = tight_rows::row_of(group, setting.width_pt());
        setting.fit(row.height_pt);
        let (left, top) = (setting.left_pt(), setting.y);
        tight_rows::draw(setting.page(), &row, left, top);
        setting.y += row.height_pt;
    }
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
    let text = setting.text;
    setting.write(&case, text, 0.0);
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

/// The text's type, semi-bold.
fn strong(setting: &Setting) -> Type {
    Type::bold(setting.text.size_pt)
}

fn boxes(setting: &mut Setting, sheet: &Sheet) {
    for control in &sheet.controls {
        control_box(setting, control);
    }
    setting.heading("Stop when");
    for rule in STOP_RULES {
        setting.point(rule);
    }
    setting.write(STOPPING, strong(setting), 0.0);
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
                let kind = setting.text;
                let words = if text.starts_with(label) {
                    text.clone()
                } else {
                    format!("{label}: {text}")
                };
                setting.write(&words, kind, 0.0);
            }
        }
    }
}

fn control_box(setting: &mut Setting, control: &ControlTest) {
    setting.heading(&format!("Control test: {}", control.title));
    setting.write(
        "First 15 min upright (common practice, no source). Test twice; clear only if both are.",
        setting.text,
        0.0,
    );
    for step in &control.steps {
        setting.point(step);
    }
    setting.write(
        "Clear: no nystagmus seen in any hold.",
        strong(setting),
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
    setting.fit(2.0 * setting.text.leading_pt());
    setting.write(label, strong(setting), 0.0);
    if seen.is_empty() {
        setting.point("Nothing is seen in any hold: this test cannot tell.");
    }
    for line in seen {
        setting.point(line);
    }
}
