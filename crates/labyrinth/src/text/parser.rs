//! What the parser of hand-written files says, in words for people who do not program, with the nearest word that
//! would do.

use ron::error::Error;

use super::plain::quoted;

/// Words of other tongues of the trade for words of the format.
const OTHER_WORDS: [(&str, &str); 12] = [
    ("horizontal", "Lateral"),
    ("superior", "Anterior"),
    ("inferior", "Posterior"),
    ("canalithiasis", "AmpullaryArm"),
    ("canalolithiasis", "AmpullaryArm"),
    ("cupulolithiasis", "OnCupula"),
    ("longarm", "AmpullaryArm"),
    ("duration_s", "hold_s"),
    ("wait_s", "hold_s"),
    ("roll_deg", "track_deg"),
    ("pitch_deg", "track_deg"),
    ("size_um", "diameter_um"),
];

/// A parser's error in words, without its place.
pub fn parser_words(error: &Error) -> String {
    match error {
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => unknown("word", found, expected),
        Error::NoSuchStructField {
            expected, found, ..
        } => unknown("field", found, expected),
        Error::MissingStructField { field, .. } => format!("the field {field} is missing"),
        Error::DuplicateStructField { field, .. } => format!("the field {field} stands here twice"),
        Error::InvalidValueForType { expected, found } => {
            format!("found {}, allowed is {}", quoted(found), quoted(expected))
        }
        Error::ExpectedFloat => "a number is expected, such as 30.0".to_owned(),
        Error::ExpectedInteger => "a whole number is expected".to_owned(),
        Error::ExpectedString => "a text in \"quotation marks\" is expected".to_owned(),
        Error::ExpectedStringEnd => "a text is not closed by a quotation mark".to_owned(),
        Error::ExpectedMapColon => "a colon is expected, as in hold_s: 30.0".to_owned(),
        Error::ExpectedComma => "a comma is expected before this".to_owned(),
        Error::ExpectedNamedStructLike(_) => {
            "an opening bracket \"(\" is expected: the file is empty or of another kind".to_owned()
        }
        Error::ExpectedDifferentStructName { found, .. } => {
            format!(
                "found {}, an opening bracket \"(\" is expected",
                quoted(found)
            )
        }
        Error::ExpectedAttribute => "this is not a file of this kind".to_owned(),
        Error::Eof => "the file ends too early: a bracket is not closed".to_owned(),
        other => quoted(&other.to_string()),
    }
}

fn unknown(kind: &str, found: &str, expected: &[&str]) -> String {
    let allowed = expected.join(", ");
    let found_quoted = quoted(found);
    match nearest(found, expected) {
        Some(near) => format!(
            "there is no {kind} \"{found_quoted}\" here: did you mean {near}? (allowed: {allowed})"
        ),
        None => format!("there is no {kind} \"{found_quoted}\" here, allowed is one of {allowed}"),
    }
}

/// The allowed word that was most likely meant.
fn nearest<'a>(found: &str, expected: &[&'a str]) -> Option<&'a str> {
    let lower = found.to_lowercase();
    let of_trade = OTHER_WORDS.iter().find(|(word, _)| *word == lower);
    if let Some((_, meant)) = of_trade
        && let Some(word) = expected.iter().find(|word| *word == meant)
    {
        return Some(word);
    }
    nearest_word(found, expected.iter().copied())
}

/// The word that is most like what was found, if any is like it.
pub fn nearest_word<'a>(found: &str, words: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let lower = found.to_lowercase();
    let like = |word: &str| strsim::jaro_winkler(&lower, &word.to_lowercase());
    words
        .max_by(|a, b| like(a).total_cmp(&like(b)))
        .filter(|word| like(word) > 0.75)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Thing {
        #[allow(dead_code, reason = "only read")]
        hold_s: f64,
    }

    #[test]
    fn what_is_no_such_file_is_told_without_names_of_the_code() {
        for (text, words) in [
            ("", "the file is empty"),
            ("nonsense", "found nonsense, an opening bracket"),
            ("# Heading", "not a file of this kind"),
            ("(hold_m: 3.0)", "did you mean hold_s?"),
        ] {
            let error = ron::from_str::<Thing>(text).unwrap_err();
            let told = parser_words(&error.code);
            assert!(told.contains(words), "{text}: {told}");
            assert!(!told.contains("Thing"), "{told}");
        }
    }
}
