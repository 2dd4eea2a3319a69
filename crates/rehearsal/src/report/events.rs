//! What happened to single bodies in a run.

use lithodrome_debris::{EventKind, Model, Run};

/// Bodies that began on a cupula and never let go, `[body]`.
pub(crate) fn fixed_at_end(model: &Model, run: &Run) -> Vec<bool> {
    let began = model.bodies.iter().map(|b| b.fixed_to.is_some());
    let mut fixed: Vec<bool> = began.collect();
    for event in &run.events {
        if event.kind == EventKind::Detached
            && let Some(body) = fixed.get_mut(event.debris)
        {
            *body = false;
        }
    }
    fixed
}
