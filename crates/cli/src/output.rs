//! One document on stdout, one line per failure on stderr.

use std::fmt::Display;
use std::io::{ErrorKind, Write};

use serde::Serialize;

/// What failed, one message each; never empty.
#[derive(Debug)]
pub(crate) struct Failures(pub(crate) Vec<String>);

impl Failures {
    /// A single failure.
    pub(crate) fn one(failure: &impl Display) -> Failures {
        Failures(vec![failure.to_string()])
    }

    /// `Ok` if nothing failed.
    pub(crate) fn none_of(failures: Vec<String>) -> Result<(), Failures> {
        if failures.is_empty() {
            Ok(())
        } else {
            Err(Failures(failures))
        }
    }
}

/// Prints text on stdout. A reader that has gone away is no failure.
pub(crate) fn print(text: &str) -> Result<(), Failures> {
    let mut stdout = std::io::stdout().lock();
    match stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush())
    {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(Failures::one(&format!("cannot write to stdout, {e}")))
        }
        _ => Ok(()),
    }
}

/// Prints a JSON document on stdout.
pub(crate) fn print_json(document: &impl Serialize) -> Result<(), Failures> {
    let text = serde_json::to_string_pretty(document).map_err(|e| Failures::one(&e))?;
    print(&format!("{text}\n"))
}

/// Tells a failure on stderr, in one line.
pub(crate) fn tell_error(message: &str) {
    let line: Vec<_> = message.split_whitespace().collect();
    // If stderr is gone there is nobody left to tell.
    let _ = writeln!(std::io::stderr(), "error: {}", line.join(" "));
}
