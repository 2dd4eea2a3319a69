//! What a dozen plausible ears say of what is shown, computed beside it.

use std::{ops::ControlFlow, path::Path, sync::Arc};

use lithodrome_rehearsal::{BandVerdict, EarsCache, folder_of};
use lithodrome_study::{plausible_band, verdict_over};

use crate::{
    work::aside::{Answer, Aside},
    work::progress::{Progress, Waker},
    work::stage_data::{Loaded, Origin},
};

/// Asks plausible ears about whatever is shown.
pub struct PlausibleEars(Aside<BandVerdict>);

impl PlausibleEars {
    /// Nothing asked yet.
    pub fn new(waker: Waker) -> Self {
        Self(Aside::new(waker))
    }

    /// Asks about what is shown, unless it has been asked about already; without debris there is nothing to ask.
    pub fn ask(&mut self, shown: &Arc<Loaded>) {
        if shown.scenario.debris.is_empty() || shown.hidden {
            return self.stop();
        }
        let of = shown.clone();
        self.0
            .ask(&shown.compiled, move |progress| band_of(&of, progress));
    }

    /// Makes the question under way void.
    pub fn stop(&mut self) {
        self.0.stop();
    }

    /// What they say about a case; nothing if they were not asked about it.
    pub fn says(&self, about: &Loaded) -> Option<Answer<BandVerdict>> {
        self.0.says(&about.compiled)
    }
}

fn band_of(shown: &Loaded, progress: &Progress) -> Result<BandVerdict, String> {
    let folder = match &shown.origin {
        Origin::File(path) => folder_of(path),
        Origin::Shipped | Origin::New => Path::new(""),
    };
    let scenario = &shown.scenario;
    let band = plausible_band(&scenario.anatomy, folder, &EarsCache::default());
    let band = band.map_err(|error| error.to_string())?;
    verdict_over(scenario, &band, &|| {
        if progress.is_stopped() {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    })
    .map_err(|error| error.to_string())
}
