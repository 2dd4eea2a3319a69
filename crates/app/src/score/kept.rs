//! What of a lane does not depend on the cursor, kept from one picture to the next.

use std::{fmt::Debug, hash::Hash, sync::Arc};

use egui::{Id, Painter, Rect};
use lithodrome_rehearsal::Compiled;

use super::{Lane, axis::TimeAxis};
use crate::work::stage_data::Loaded;

/// What something was made for. It holds on to the run's inputs, so that no other run can be taken for it.
#[derive(Clone)]
struct For {
    compiled: Arc<Compiled>,
    samples: usize,
    axis: TimeAxis,
    rect: Rect,
    dark: bool,
}

impl For {
    fn is_same(&self, other: &For) -> bool {
        Arc::ptr_eq(&self.compiled, &other.compiled)
            && (self.samples, self.axis, self.rect, self.dark)
                == (other.samples, other.axis, other.rect, other.dark)
    }
}

/// What `make` made for this run and this lane: now, or when it was asked for `what` before.
pub fn kept<T: Send + Sync + 'static>(
    painter: &Painter,
    lane: &Lane,
    loaded: &Loaded,
    what: impl Hash + Debug,
    make: impl FnOnce() -> T,
) -> Arc<T> {
    let now = For {
        compiled: loaded.compiled.clone(),
        samples: loaded.run.time_s.len(),
        axis: lane.axis,
        rect: lane.rect,
        dark: lane.palette.dark,
    };
    let id = Id::unique("kept of the score").with(what);
    let before = painter
        .ctx()
        .data(|d| d.get_temp::<(For, Arc<T>)>(id))
        .filter(|(before, _)| before.is_same(&now));
    if let Some((_, value)) = before {
        return value;
    }
    let value = Arc::new(make());
    painter
        .ctx()
        .data_mut(|d| d.insert_temp(id, (now, value.clone())));
    value
}
