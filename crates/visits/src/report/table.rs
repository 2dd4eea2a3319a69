//! A table on paper: columns as wide as they need, the first one takes what is left.

use super::content::PaperTable;
use crate::sheet::{Ink, MARGIN_PT, Setting, Type, settable, short, width_pt};

const CELL: Type = Type::regular(9.0);
const HEAD: Type = Type::bold(9.0);
/// Between two columns.
const GAP_PT: f64 = 12.0;
/// From row to row.
const ROW_PT: f64 = 13.0;
/// The first column is never narrower.
const FIRST_PT: f64 = 90.0;

/// Sets a table; its head is repeated on another page.
pub(super) fn table(setting: &mut Setting, table: &PaperTable) {
    let widths = widths(table, setting.width_pt());
    setting.y += 3.0;
    row(setting, &table.head, &widths, HEAD);
    rule(setting);
    for cells in &table.rows {
        let page_before = setting.y;
        setting.fit(ROW_PT);
        if setting.y < page_before {
            row(setting, &table.head, &widths, HEAD);
            rule(setting);
        }
        row(setting, cells, &widths, CELL);
    }
    setting.y += 4.0;
}

fn widths(table: &PaperTable, all_pt: f64) -> Vec<f64> {
    let columns = table.head.len().max(1);
    let needs = |column: usize| {
        let head = table.head.get(column).map(|h| width_pt(h, HEAD));
        let cells = table.rows.iter().filter_map(|row| row.get(column));
        let cells = cells.map(|c| width_pt(&settable(c), CELL));
        cells.chain(head).fold(0.0, f64::max) + GAP_PT
    };
    let mut widths: Vec<f64> = (0..columns).map(needs).collect();
    let others: f64 = widths.iter().skip(1).sum();
    let room = (all_pt - FIRST_PT).max(0.0);
    if others > room {
        widths.iter_mut().skip(1).for_each(|w| *w *= room / others);
    }
    let others: f64 = widths.iter().skip(1).sum();
    widths[0] = widths[0].min(all_pt - others);
    widths
}

fn row(setting: &mut Setting, cells: &[String], widths: &[f64], kind: Type) {
    setting.fit(ROW_PT);
    let y = setting.y + 9.5;
    let mut right = MARGIN_PT;
    for (i, (cell, width)) in cells.iter().zip(widths).enumerate() {
        let room = (width - if i == 0 { 0.0 } else { 4.0 }).max(8.0);
        let text = short(&settable(cell), kind, room);
        let left = right;
        right += width;
        if i == 0 {
            setting.page().text([left, y], kind, &text, room);
        } else {
            setting.page().text_to([right, y], kind, &text, room);
        }
    }
    setting.y += ROW_PT;
}

fn rule(setting: &mut Setting) {
    let (y, right) = (setting.y, MARGIN_PT + setting.width_pt());
    let ends = vec![[MARGIN_PT, y], [right, y]];
    setting.page().line(ends, 0.5, Ink::Grey);
    setting.y += 1.0;
}
