//! A progress bar on stderr, for runs that take longer than a second, if somebody watches.

use std::io::IsTerminal;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};

/// Runs shorter than this show no bar.
const QUIET: Duration = Duration::from_secs(1);

/// Per mille are shown.
const WHOLE: u64 = 1000;

/// Shows the share done of one run.
pub(crate) struct Progress {
    title: String,
    watched: bool,
    began: Instant,
    bar: Option<ProgressBar>,
}

impl Progress {
    /// A bar for a run that begins now.
    pub(crate) fn new(title: &str) -> Progress {
        Progress {
            title: title.to_owned(),
            watched: std::io::stderr().is_terminal(),
            began: Instant::now(),
            bar: None,
        }
    }

    /// Takes the share done, 0 to 1.
    pub(crate) fn tell(&mut self, share: f64) -> ControlFlow<()> {
        if self.watched && self.began.elapsed() > QUIET {
            let title = &self.title;
            let bar = self.bar.get_or_insert_with(|| new_bar(title));
            bar.set_position((share.clamp(0.0, 1.0) * WHOLE as f64) as u64);
        }
        ControlFlow::Continue(())
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

fn new_bar(title: &str) -> ProgressBar {
    let bar = ProgressBar::new(WHOLE).with_message(title.to_owned());
    match ProgressStyle::with_template("{wide_bar} {percent:>3} %  {eta} left  {msg}") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
