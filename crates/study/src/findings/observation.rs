//! What was observed in one ear, and what of it is looked at.

use std::collections::BTreeMap;

use super::courses::Courses;
use super::published::PositionalRow;

/// What was observed in one ear, by name of the outcome; what cannot be told is left out.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Observation {
    /// Values; 0 and 1 where it is a share.
    pub values: BTreeMap<String, f64>,
    /// 1 where a direction was opposite to the published one, else 0.
    pub other_way: BTreeMap<String, f64>,
}

impl Observation {
    pub(crate) fn put(&mut self, id: &str, value: f64) {
        self.values.insert(id.to_owned(), value);
    }

    pub(crate) fn put_if(&mut self, id: &str, yes: bool) {
        self.put(id, f64::from(u8::from(yes)));
    }
}

/// What of an ear is looked at.
pub(crate) struct Look<'a> {
    pub(crate) courses: &'a Courses,
    pub(crate) rows: &'a [PositionalRow],
    /// Whether an outcome is asked for.
    pub(crate) wanted: &'a (dyn Fn(&str) -> bool + Sync),
}
