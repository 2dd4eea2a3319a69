//! What happened to single bodies in a run.

use lithodrome_debris::{EventKind, Model, Run};

/// Bodies that begin on a cupula, `[body]`.
pub(crate) fn began_fixed(model: &Model) -> Vec<bool> {
    model.bodies.iter().map(|b| b.fixed_to.is_some()).collect()
}

/// Bodies that began on a cupula and have not let go by a time, `[body]`.
pub(crate) fn fixed_at(began_fixed: &[bool], run: &Run, time_s: f64) -> Vec<bool> {
    let mut fixed = began_fixed.to_vec();
    for event in run.events.iter().filter(|e| e.time_s <= time_s) {
        if event.kind == EventKind::Detached
            && let Some(body) = fixed.get_mut(event.debris)
        {
            *body = false;
        }
    }
    fixed
}
