//! A hold that ends too early, in seconds and in words.

use serde::Serialize;

use crate::units::tidy;

/// What is short of a hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShortHold {
    /// How much longer it would have to be; `None` if that is more than two minutes or not known.
    pub by_s: Option<f64>,
    /// Debris is on the cupula's side of the apex and would fall back.
    pub before_apex: bool,
    /// "step 3 ends before the debris is past the apex: 9 s short".
    pub words: String,
}

impl ShortHold {
    /// Of a step counted from 0.
    pub(crate) fn new(step: usize, by_s: Option<f64>, before_apex: bool) -> ShortHold {
        let what = if before_apex {
            "before the debris is past the apex"
        } else {
            "while the debris still moves"
        };
        let by = match by_s {
            Some(s) => format!("{:.0} s short", s.max(1.0)),
            None => "far too short".to_owned(),
        };
        ShortHold {
            by_s: by_s.map(tidy),
            before_apex,
            words: format!("step {} ends {what}: {by}", step + 1),
        }
    }
}
