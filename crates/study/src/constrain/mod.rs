//! History matching: which values of the unmeasured numbers do published outcomes leave?
//!
//! Craig et al. 1997 and Vernon et al. 2010, Bayesian Anal 5:619 (from memory): members that lie far from any
//! outcome, in units of what print, model and sampling leave open, are implausible; the rest is not proved.

mod asked;
mod emulator;
mod evaluate;
mod ledger;
mod picture;
mod summary;
mod waves;

pub use asked::ConstrainAsked;
pub use evaluate::{Evaluation, IMPLAUSIBLE, LEFT_OUT, Outcomes};
pub use ledger::Ledger;
pub use picture::{outcomes_svg, ranges_svg};
pub use summary::{
    Exclusion, LeftOut, NumberSummary, Rejections, Summary as ConstrainSummary, Trade,
};
pub use summary::{plausible_set, summarise};
pub use waves::constrain;
