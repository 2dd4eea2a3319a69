//! A sheet set on pages: head, steps, boxes below them, foot.

use super::content::{ControlTest, Sheet};
use super::font::{TEXT, Type, width_pt};
use super::mark::{Ink, Page, Paper};
use super::rows::{self, Row};
use super::rules::{AFTERWARDS, STOP_RULES, STOPPING};
use super::setting::{MARGIN_PT, Setting, TITLE};

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
    setting.finish(&sheet.title)
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
