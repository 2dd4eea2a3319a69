//! One document on stdout, one line per failure on stderr.

use std::fmt::{Display, Write as _};
use std::io::{ErrorKind, Write};
use std::path::Path;

use comfy_table::{ContentArrangement, Table, presets::UTF8_FULL_CONDENSED};
use lithodrome_rehearsal::{RehearsalError, check_output, escaped, is_unsafe};
use serde::Serialize;

/// Tables and what stands under them are no wider than this, columns of a terminal.
pub(crate) const WIDTH: u16 = 100;

/// A table with borders that is no wider than a line.
pub(crate) fn fitting(table: &mut Table) -> &mut Table {
    table
        .load_preset(UTF8_FULL_CONDENSED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH)
}

/// A text in lines that fit.
pub(crate) fn wrapped(text: &str) -> String {
    wrapped_within(text, usize::from(WIDTH)).join("\n")
}

fn wrapped_within(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        let fits = line.chars().count() + 1 + word.chars().count() <= width;
        match (line.is_empty(), fits) {
            (true, _) => line.push_str(word),
            (false, true) => {
                line.push(' ');
                line.push_str(word);
            }
            (false, false) => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Whether an output may take the place of a file.
#[derive(Debug, clap::Args)]
pub(crate) struct Replacing {
    /// Replace a file that is there already
    #[arg(long)]
    force: bool,
}

impl Replacing {
    /// The output is none of the inputs, and replaces nothing unless it is told to.
    pub(crate) fn check(
        &self,
        out: &Path,
        inputs: &[impl AsRef<Path>],
    ) -> Result<(), RehearsalError> {
        check_output(out, inputs, self.force)
    }
}

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

/// Prints text on stdout, what could move the cursor or turn the reading direction escaped. A reader that has
/// gone away is no failure, a stdout that was never there is one.
pub(crate) fn print(text: &str) -> Result<(), Failures> {
    print_raw(&in_lines(&escaped(text, true)))
}

/// A text in which long sentences are broken into lines that fit; tables and columns stay as they are.
fn in_lines(text: &str) -> String {
    let mut whole = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let sentence = line.trim();
        let is_table = |s: &str| s.contains("  ") || s.contains(['│', '┆', '─', '═']);
        if line.trim_end().chars().count() <= usize::from(WIDTH) || is_table(sentence) {
            whole.push_str(line);
            continue;
        }
        let indent = &line[..line.len() - line.trim_start().len()];
        for part in wrapped_within(sentence, usize::from(WIDTH) - indent.len()) {
            whole.push_str(indent);
            whole.push_str(&part);
            whole.push('\n');
        }
    }
    whole
}

fn print_raw(text: &str) -> Result<(), Failures> {
    if stdout_is_closed() {
        return Err(Failures::one(&"cannot write to stdout, it is closed"));
    }
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
    let mut safe = String::with_capacity(text.len() + 1);
    for c in text.chars() {
        if c != '\n' && is_unsafe(c) {
            // All of them are in the basic plane, and inside of a JSON text.
            let _ = write!(safe, "\\u{:04x}", u32::from(c));
        } else {
            safe.push(c);
        }
    }
    safe.push('\n');
    print_raw(&safe)
}

/// Standard output was closed when the program began: something that reads and writes nothing stands in its
/// place then, while a shell that throws output away opens it for writing only.
fn stdout_is_closed() -> bool {
    if !cfg!(target_os = "linux") {
        return false;
    }
    let null = std::fs::read_link("/proc/self/fd/1").is_ok_and(|to| to.as_os_str() == "/dev/null");
    let info = std::fs::read_to_string("/proc/self/fdinfo/1").unwrap_or_default();
    let flags = info.lines().find_map(|line| line.strip_prefix("flags:"));
    let flags = flags.and_then(|f| u32::from_str_radix(f.trim(), 8).ok());
    // The two lowest bits are how it is open; 2 is for both.
    null && flags.is_some_and(|f| f & 3 == 2)
}

/// Tells a failure on stderr, in one line.
pub(crate) fn tell_error(message: &str) {
    let message = escaped(message, true);
    let line: Vec<_> = message.split_whitespace().collect();
    // If stderr is gone there is nobody left to tell.
    let _ = writeln!(std::io::stderr(), "error: {}", line.join(" "));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_broken_and_columns_are_not() {
        let words = "debris ".repeat(30);
        let columns = format!("1  Sit up  {}", "x".repeat(120));
        let text = in_lines(&format!("short\n  {words}\n{columns}\n"));
        let lines: Vec<_> = text.lines().collect();
        assert_eq!((lines[0], lines[4]), ("short", columns.as_str()));
        for line in &lines[1..4] {
            assert!(line.starts_with("  debris") && line.len() <= usize::from(WIDTH));
        }
        let told = lines[1..4].join(" ");
        assert_eq!(told.split_whitespace().count(), 30);
    }
}
