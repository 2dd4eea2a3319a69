//! Neutral codes in place of names.

use serde::{Deserialize, Serialize};

/// A neutral code of a patient or a home, such as KV-07: one to four letters and a number of one to five
/// digits, with or without a dash, and a letter after it if need be.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Code(String);

/// Why a text is no neutral code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// Nothing.
    #[error("code: found nothing, allowed is a neutral code such as KV-07")]
    Empty,
    /// Letters alone.
    #[error(
        "code: \"{found}\" looks like a name, allowed is a neutral code such as KV-07; names stay out of the log, so that it tells nobody who was treated"
    )]
    Name {
        /// The text.
        found: String,
    },
    /// A day.
    #[error(
        "code: \"{found}\" looks like a date of birth, allowed is a neutral code such as KV-07; with a date a person can be found again"
    )]
    BirthDate {
        /// The text.
        found: String,
    },
    /// Anything else.
    #[error(
        "code: found \"{found}\", allowed are one to four letters, a dash or none, one to five digits and a letter or none, such as KV-07"
    )]
    Form {
        /// The text.
        found: String,
    },
}

impl Code {
    /// The code of a text; small letters become capitals.
    pub fn new(text: &str) -> Result<Code, CodeError> {
        let text = text.trim();
        let found: String = text.chars().filter(|c| !c.is_control()).take(40).collect();
        if text.is_empty() {
            return Err(CodeError::Empty);
        }
        if has_the_form(text) {
            return Ok(Code(text.to_uppercase()));
        }
        let digits = text.chars().filter(char::is_ascii_digit).count();
        let letters = text.chars().filter(|c| c.is_alphabetic()).count();
        if looks_like_a_day(text, digits) {
            return Err(CodeError::BirthDate { found });
        }
        let signs = text.chars().filter(|c| !c.is_whitespace()).count();
        if letters >= 2
            && (digits == 0 || (text.contains(char::is_whitespace) && 2 * letters > signs))
        {
            return Err(CodeError::Name { found });
        }
        Err(CodeError::Form { found })
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn has_the_form(text: &str) -> bool {
    let letters = text.chars().take_while(char::is_ascii_alphabetic).count();
    let rest = &text[letters..];
    let rest = rest.strip_prefix('-').unwrap_or(rest);
    let digits = rest.chars().take_while(char::is_ascii_digit).count();
    let after = &rest[digits..];
    let tail =
        after.is_empty() || (after.len() == 1 && after.chars().all(|c| c.is_ascii_alphabetic()));
    (1..=4).contains(&letters) && (1..=5).contains(&digits) && tail
}

/// Two or three groups of digits as days are written, or six to eight digits in one.
fn looks_like_a_day(text: &str, digits: usize) -> bool {
    let separators = ['.', '-', '/', ' '];
    let groups: Vec<&str> = text.split(separators).filter(|g| !g.is_empty()).collect();
    let all_digits = |g: &&str| g.chars().all(|c| c.is_ascii_digit());
    let months = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let a_month = |g: &&str| {
        let g = g.to_lowercase();
        months.iter().any(|m| g.starts_with(m))
    };
    let written_out = groups.len() == 3
        && groups.iter().filter(|g| all_digits(g)).count() == 2
        && groups.iter().any(a_month);
    let in_groups = groups.len() == 3
        && groups.iter().all(all_digits)
        && groups.iter().all(|g| matches!(g.len(), 1 | 2 | 4));
    let in_one = groups.len() == 1 && all_digits(&groups[0]) && matches!(digits, 6 | 8);
    written_out || in_groups || in_one
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Code {
    type Error = CodeError;

    fn try_from(text: String) -> Result<Code, CodeError> {
        Code::new(&text)
    }
}

impl From<Code> for String {
    fn from(code: Code) -> String {
        code.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_taken_and_names_and_birth_dates_are_not() {
        for (text, code) in [("KV-07", "KV-07"), (" kv-7b ", "KV-7B"), ("H12", "H12")] {
            assert_eq!(Code::new(text).unwrap().as_str(), code);
        }
        for name in [
            "Maria",
            "A. Example",
            "Anna-Lena",
            "Müller 3",
            "van den Berg",
        ] {
            let error = Code::new(name).unwrap_err();
            assert!(matches!(error, CodeError::Name { .. }), "{name}: {error}");
        }
        for day in [
            "12.03.1941",
            "1941-03-12",
            "3/12/41",
            "12 Mar 1941",
            "19410312",
            "120341",
        ] {
            let error = Code::new(day).unwrap_err();
            assert!(
                matches!(error, CodeError::BirthDate { .. }),
                "{day}: {error}"
            );
        }
        for other in ["KV_07", "KVXYZ-1", "KV-123456", "7", "KV-07;"] {
            let error = Code::new(other).unwrap_err();
            assert!(matches!(error, CodeError::Form { .. }), "{other}: {error}");
        }
        assert_eq!(Code::new("  "), Err(CodeError::Empty));
    }
}
