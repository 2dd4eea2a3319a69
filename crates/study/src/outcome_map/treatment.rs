//! What each treatment of the library asks of a patient, computed once: limits are then held against it at
//! once.

use std::path::Path;

use lithodrome_rehearsal::{
    EarsCache, LibraryEntry, Limit, LimitBreach, Limits, Whose, compile_with, limit_breaches,
    worst_of_each,
};

use super::map::treatments;
use crate::StudyError;
use crate::paired::Strain;

/// A treatment and its burden.
#[derive(Clone, Debug)]
pub struct Treatment {
    /// As in the library.
    pub entry: LibraryEntry,
    /// What it asks of a patient.
    pub strain: Strain,
    /// Everything that a limit could forbid, at its worst.
    worst: Vec<LimitBreach>,
}

impl Treatment {
    /// All of the library.
    pub fn all() -> Result<Vec<Treatment>, StudyError> {
        let ears = EarsCache::default();
        let entries = treatments()?;
        entries
            .into_iter()
            .map(|e| Treatment::of(e, &ears))
            .collect()
    }

    fn of(entry: LibraryEntry, ears: &EarsCache) -> Result<Treatment, StudyError> {
        let mut empty = entry.scenario.clone();
        empty.debris.clear();
        let motion = compile_with(&empty, Path::new(""), ears)?.motion;
        let nothing = Limits {
            head_down_deg: Some(0.0),
            inverted_s: Some(0.0),
            speed_deg_s: Some(0.0),
            acceleration_deg_s2: Some(0.0),
            yaw_deg: Some(0.0),
            no_throw: true,
        };
        Ok(Treatment {
            strain: Strain::of(&motion),
            worst: worst_of_each(limit_breaches(&nothing, Whose::Patient, &motion)),
            entry,
        })
    }

    /// What of it this patient does not allow, in words.
    pub fn breaks(&self, limits: &Limits) -> Vec<String> {
        let allowed = |limit| match limit {
            Limit::HeadDown => limits.head_down_deg,
            Limit::Inverted => limits.inverted_s,
            Limit::Speed => limits.speed_deg_s,
            Limit::Acceleration => limits.acceleration_deg_s2,
            Limit::Yaw => limits.yaw_deg,
            Limit::Throw => limits.no_throw.then_some(0.0),
        };
        // A hundredth is below what is set or read in a chair.
        let broken = self.worst.iter().filter_map(|worst| {
            let allowed = allowed(worst.limit).filter(|allowed| worst.found > allowed + 0.01)?;
            let breach = LimitBreach {
                allowed,
                ..worst.clone()
            };
            let step = breach.step + 1;
            Some(format!("step {step}: {}", breach.words()))
        });
        broken.collect()
    }
}
