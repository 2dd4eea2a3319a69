//! Text of others made safe to show: nothing in it moves a cursor, turns the reading direction, or runs on.

/// Quoted text is cut here, characters.
pub const QUOTED: usize = 80;

/// Control and bidirectional characters as escapes, the rest as it is; line ends stay if `lines` says so.
pub fn escaped(text: &str, lines: bool) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if lines && c == '\n' || !is_unsafe(c) {
            out.push(c);
        } else {
            out.extend(c.escape_unicode());
        }
    }
    out
}

/// One line of at most [`QUOTED`] characters, escaped; what is longer ends in an ellipsis.
pub fn quoted(text: &str) -> String {
    let mut out = String::new();
    for (i, c) in text.chars().enumerate() {
        if i == QUOTED {
            out.push('…');
            break;
        }
        if is_unsafe(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// Moves the cursor or turns the direction of what follows.
pub fn is_unsafe(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{2028}' | '\u{2029}'
                | '\u{202A}'..='\u{202E}'
                | '\u{2066}'..='\u{2069}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_move_or_turn_the_text_is_escaped() {
        assert_eq!(escaped("a\u{1b}[31mb\nc", true), "a\\u{1b}[31mb\nc");
        assert_eq!(escaped("a\nb", false), "a\\u{a}b");
        assert_eq!(quoted("x\u{202e}y"), "x\\u{202e}y");
        assert_eq!(quoted("Übung °/s µm"), "Übung °/s µm");
    }

    #[test]
    fn what_is_long_is_cut() {
        let long = "ä".repeat(200);
        let cut = quoted(&long);
        assert_eq!(cut.chars().count(), QUOTED + 1);
        assert!(cut.ends_with('…'));
        assert_eq!(quoted(&"a".repeat(QUOTED)).chars().count(), QUOTED);
    }
}
