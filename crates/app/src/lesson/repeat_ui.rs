//! What a learner should do again now, and when there will be more. What it was is not told: that would be the
//! answer.

use egui::Ui;
use lithodrome_rehearsal::{Learner, ResultKind, ResultRow};

use super::{ask::push, command::LessonCommand};
use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    session::command::Command,
};

/// The most that are listed.
const MOST: usize = 8;

const MINUTE_S: i64 = 60;
const HOUR_S: i64 = 60 * MINUTE_S;
const DAY_S: i64 = 24 * HOUR_S;

/// Shows what is due at a time, s since 1970.
pub(super) fn repeat_ui(
    ui: &mut Ui,
    learner: &Learner,
    now_unix_s: i64,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    controls::section(ui, "To repeat now, the longest overdue first");
    let due = learner.to_repeat(now_unix_s);
    if due.is_empty() {
        controls::line(ui, "Nothing is due.", theme::body(), palette.weak);
    }
    for row in due.iter().take(MOST) {
        row_ui(ui, row, commands);
    }
    if due.len() > MOST {
        let words = format!("And {} more.", due.len() - MOST);
        controls::line(ui, words, theme::small(), palette.weak);
    }
    if let Some(next) = learner.reviews.next_due_at_unix_s(now_unix_s) {
        let words = format!("The next one is due {}.", time_words(next - now_unix_s));
        controls::line(ui, words, theme::small(), palette.weak);
    }
}

fn row_ui(ui: &mut Ui, row: &ResultRow, commands: &mut Vec<Command>) {
    let what = what_words(row);
    ui.horizontal(|ui| {
        let tip = "Begin it again, as it was";
        let button = ui.button("Repeat").on_hover_text(tip);
        fields::name(&button, &format!("Repeat {what}"));
        if button.clicked() {
            push(
                commands,
                match row.kind {
                    ResultKind::Case => LessonCommand::RepeatCase(row.seed, row.difficulty),
                    ResultKind::Reading => LessonCommand::RepeatReading(row.seed),
                },
            );
        }
        let last = if row.is_right() { "right" } else { "wrong" };
        ui.label(format!("{what}: {last} the last time"));
    });
}

fn what_words(row: &ResultRow) -> String {
    match (row.kind, row.difficulty) {
        (ResultKind::Case, Some(difficulty)) => format!("case {}, {}", row.seed, difficulty.name()),
        (ResultKind::Case, None) => format!("case {}", row.seed),
        (ResultKind::Reading, _) => format!("recording {}", row.seed),
    }
}

/// "in 5 minutes", rounded up: nothing comes earlier than is said.
fn time_words(in_s: i64) -> String {
    let (unit_s, one, many) = match in_s {
        ..HOUR_S => (MINUTE_S, "minute", "minutes"),
        HOUR_S..DAY_S => (HOUR_S, "hour", "hours"),
        _ => (DAY_S, "day", "days"),
    };
    let count = in_s.max(1).div_euclid(unit_s) + i64::from(in_s.max(1).rem_euclid(unit_s) > 0);
    format!("in {count} {}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_to_come_is_told_in_round_words() {
        assert_eq!(time_words(1), "in 1 minute");
        assert_eq!(time_words(300), "in 5 minutes");
        assert_eq!(time_words(301), "in 6 minutes");
        assert_eq!(time_words(2 * HOUR_S), "in 2 hours");
        assert_eq!(time_words(3 * DAY_S - 5), "in 3 days");
    }
}
