//! What the parser says of a scenario, in words for people who do not program: which step or debris entry, and what.

use lithodrome_labyrinth::text::parser_words;
use ron::error::SpannedError;

/// A parser's error in words, with the place in the scenario before it.
pub(crate) fn words(text: &str, error: &SpannedError) -> String {
    let what = parser_words(&error.code);
    let (line, column) = (error.span.start.line, error.span.start.col);
    match entry_at(text, line, column) {
        Some(entry) => format!("{entry}: {what}"),
        None => what,
    }
}

/// "step 3" or "debris 2": the entry of a list in which a place lies, by counting brackets outside of texts and
/// comments.
fn entry_at(text: &str, line: usize, column: usize) -> Option<String> {
    let end = offset_of(text, line, column);
    let mut depth = 0usize;
    let mut list: Option<(&str, usize, usize)> = None;
    let mut word = String::new();
    let mut last_word = String::new();
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        if at >= end {
            break;
        }
        match c {
            '"' => {
                while let Some((_, c)) = chars.next() {
                    match c {
                        '\\' => {
                            chars.next();
                        }
                        '"' => break,
                        _ => {}
                    }
                }
            }
            '/' if chars.peek().is_some_and(|(_, c)| *c == '/') => {
                for (_, c) in chars.by_ref() {
                    if c == '\n' {
                        break;
                    }
                }
            }
            c if c.is_alphanumeric() || c == '_' => word.push(c),
            _ => {
                if !word.is_empty() {
                    last_word = std::mem::take(&mut word);
                }
                match c {
                    '[' | '(' | '{' => {
                        if c == '[' && depth == 1 {
                            list = match last_word.as_str() {
                                "steps" => Some(("step", depth, 0)),
                                "debris" => Some(("debris", depth, 0)),
                                "cupulae" => Some(("cupula", depth, 0)),
                                _ => None,
                            };
                        } else if let Some((_, outer, count)) = &mut list
                            && depth == *outer + 1
                        {
                            *count += 1;
                        }
                        depth += 1;
                    }
                    ']' | ')' | '}' => {
                        depth = depth.saturating_sub(1);
                        if c == ']' && list.is_some_and(|(_, outer, _)| depth == outer) {
                            list = None;
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    list.filter(|(_, _, count)| *count > 0)
        .map(|(name, _, count)| format!("{name} {count}"))
}

/// Byte offset of a line and a column, both from 1.
fn offset_of(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let rest = text.get(start..).unwrap_or_default();
    let in_line = rest.char_indices().nth(column.saturating_sub(1));
    start + in_line.map_or(rest.len(), |(at, _)| at)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use crate::scenario::scenario_from_ron;

    fn message(debris: &str, step: &str) -> String {
        let text = format!(
            "(format: 1, title: \"a [ ( b\", // a comment with ( and [\n debris: [{debris}],\n steps: [\n\
             (name: \"One\", move_s: 0.0, hold_s: 1.0),\n({step}),\n])"
        );
        let error = scenario_from_ron(&text, Path::new("a.ron")).unwrap_err();
        error.to_string()
    }

    const WAIT: &str = "name: \"Two\", move_s: 0.0, hold_s: 1.0";

    #[test]
    fn the_nearest_word_of_the_format_is_offered() {
        let debris =
            "(ear: Right, canal: Horizontal, at: AmpullaryArm, count: 1, diameter_um: 50.0)";
        let words = message(debris, WAIT);
        assert!(
            words.contains("debris 1: there is no word \"Horizontal\" here: did you mean Lateral?"),
            "{words}"
        );
        let debris = "(ear: Right, canal: Posteror, at: AmpullaryArm, count: 1, diameter_um: 50.0)";
        assert!(message(debris, WAIT).contains("did you mean Posterior?"));
    }

    #[test]
    fn the_step_and_the_field_are_named() {
        let words = message("", "name: \"Two\", move_s: 0.0, holds: 1.0");
        assert!(
            words.contains("step 2: there is no field \"holds\" here: did you mean hold_s?"),
            "{words}"
        );
        let words = message("", "name: \"Two\", move_s: 0.0");
        assert!(
            words.contains("step 2: the field hold_s is missing"),
            "{words}"
        );
        let words = message("", "name: \"Two\", move_s: slow, hold_s: 1.0");
        assert!(words.contains("step 2"), "{words}");
    }

    #[test]
    fn nothing_of_a_foreign_file_is_echoed_at_length() {
        let long = "x".repeat(5000);
        let words = message("", &format!("{long}: 1.0, {WAIT}"));
        assert!(words.chars().count() < 1200, "{}", words.chars().count());
        assert!(words.contains('…'), "{words}");
    }
}
