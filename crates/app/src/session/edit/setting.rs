//! Edits of what stands beside case and steps: names, limits, how the eyes are watched, how it is computed.

use lithodrome_debris::Engine;
use lithodrome_rehearsal::{Carrier, EyesEntry, Limits, NeckLimits, Scenario, Whose};

/// One change of a setting. What is as usual is left out of the file.
#[derive(Clone, Debug, PartialEq)]
pub enum SettingEdit {
    /// What people call the scenario.
    Title(String),
    /// What the patient or the chair allows.
    Limits(Whose, Limits),
    /// How far the neck goes at the bedside; nothing changes in a chair.
    Neck(NeckLimits),
    /// How the eyes are watched.
    Eyes(EyesEntry),
    /// Slow-phase velocity from which nystagmus is seen, deg/s; the usual one if left out.
    VisibleSpv(Option<f64>),
    /// Which engine computes.
    Engine(Engine),
    /// Seed of what is drawn by chance.
    Seed(Option<u64>),
    /// Free text.
    Notes(String),
}

impl SettingEdit {
    pub(super) fn on(&self, scenario: &mut Scenario) {
        match self {
            SettingEdit::Title(title) => scenario.title.clone_from(title),
            SettingEdit::Limits(Whose::Patient, limits) => scenario.limits = given(*limits),
            SettingEdit::Limits(Whose::Chair, limits) => scenario.chair_limits = given(*limits),
            SettingEdit::Neck(limits) => {
                if let Some(Carrier::Bedside { neck }) = &mut scenario.body {
                    *neck = *limits;
                }
            }
            SettingEdit::Eyes(eyes) => scenario.eyes = given(*eyes),
            SettingEdit::VisibleSpv(from_deg_s) => scenario.visible_spv_deg_s = *from_deg_s,
            SettingEdit::Engine(engine) => scenario.engine = given(*engine),
            SettingEdit::Seed(seed) => scenario.seed = *seed,
            SettingEdit::Notes(notes) => scenario.notes = given(notes.trim().to_owned()),
        }
    }
}

fn given<T: Default + PartialEq>(value: T) -> Option<T> {
    (value != T::default()).then_some(value)
}
