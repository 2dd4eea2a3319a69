//! What an `about` block must say.

use crate::error::FieldError;
use crate::scenario::About;

/// Every text says something and every list has an entry; cautions may be none.
pub(crate) fn check_about(about: &About) -> Result<(), FieldError> {
    let texts = [
        ("about.source", &about.source),
        ("about.repeats", &about.repeats),
        ("about.hold_rule", &about.hold_rule),
    ];
    for (field, text) in texts {
        if text.trim().is_empty() {
            return Err(FieldError::new(field, &"an empty text", "a text"));
        }
    }
    for (i, text) in about.cautions.iter().enumerate() {
        if text.trim().is_empty() {
            let field = format!("about.cautions[{}]", i + 1);
            return Err(FieldError::new(field, &"an empty text", "a text"));
        }
    }
    for (field, n) in [
        ("about.targets", about.targets.len()),
        ("about.mechanisms", about.mechanisms.len()),
    ] {
        if n == 0 {
            return Err(FieldError::new(field, &n, "1 or more"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use lithodrome_labyrinth::CanalId;

    use super::*;
    use crate::scenario::{Mechanism, Purpose};

    #[test]
    fn an_about_block_says_something() {
        type Spoil = fn(&mut About);
        let sound = About {
            kind: Purpose::Test,
            targets: vec![CanalId::ALL[0].into()],
            mechanisms: vec![Mechanism::ShortArm],
            source: "Somebody 1999".to_owned(),
            repeats: "Twice".to_owned(),
            cautions: Vec::new(),
            hold_rule: "30 s".to_owned(),
        };
        check_about(&sound).unwrap();
        let cases: [(&str, Spoil); 3] = [
            ("about.source: found an empty text", |a| {
                a.source = " ".into();
            }),
            ("about.cautions[1]: found an empty", |a| {
                a.cautions.push(String::new());
            }),
            ("about.targets: found 0", |a| a.targets.clear()),
        ];
        for (start, spoil) in cases {
            let mut about = sound.clone();
            spoil(&mut about);
            let message = check_about(&about).unwrap_err().to_string();
            assert!(message.contains(start), "{message}");
        }
    }
}
