//! Files that strangers have spoilt: nothing panics, nothing hangs, and what is accepted can be run.
//!
//! Four targets: scenarios, anatomies and centre-line tables are read, and of some scenarios the run is computed. A
//! seeded generator spoils the shipped files and those of `tests/corpus`, or joins two of them;
//! `MUTATED_FILES=45000` in the environment makes it a long hunt, the suite takes a short one. A file that once did
//! harm belongs in `tests/corpus/refused`, or in `accepted` if it is sound.

use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::Duration;

use lithodrome_rehearsal::{compile_file, load_labyrinth, rehearse};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use walkdir::WalkDir;

/// Files spoilt in one run of the suite.
const IN_THE_SUITE: u64 = 1200;
/// Of these the runs are computed too; the others are only compiled.
const RUN_EVERY: u64 = 12;
/// No file of a few kilobytes needs this long; one that does has hung.
const PATIENCE: Duration = Duration::from_mins(2);

const NUMBERS: [&str; 14] = [
    "inf",
    "-inf",
    "NaN",
    "1e308",
    "-1e308",
    "1e-308",
    "0.0",
    "-0.0",
    "-1.0",
    "1e6",
    "4294967296",
    "0",
    "-1",
    "0.0000001",
];
const STRINGS: [&str; 6] = [
    "\u{202e}",
    "\u{1b}[2J",
    "\0",
    "\u{feff}",
    "((((((((((((((((((((((((",
    "\"",
];

struct Spoiler(ChaCha8Rng);

impl Spoiler {
    fn below(&mut self, n: usize) -> usize {
        (self.0.next_u64() % n.max(1) as u64) as usize
    }

    /// The text with one to three faults.
    fn spoil(&mut self, sound: &str) -> Vec<u8> {
        let mut text = sound.as_bytes().to_vec();
        for _ in 0..=self.below(3) {
            text = self.fault(text);
        }
        text
    }

    /// The beginning of one text and the end of another.
    fn join(&mut self, first: &str, second: &str) -> Vec<u8> {
        let mut text = first.as_bytes().to_vec();
        text.truncate(self.below(text.len()));
        let second = second.as_bytes();
        let from = self.below(second.len());
        text.extend(second.get(from..).unwrap_or_default());
        text
    }

    fn fault(&mut self, mut text: Vec<u8>) -> Vec<u8> {
        match self.below(8) {
            0..=3 => {
                let numbers = number_places(&text);
                if let Some((from, to)) = numbers.get(self.below(numbers.len())).copied() {
                    let new = NUMBERS[self.below(NUMBERS.len())];
                    text.splice(from..to, new.bytes());
                }
            }
            4 => {
                let mut lines: Vec<&[u8]> = text.split(|b| *b == b'\n').collect();
                let line = self.below(lines.len());
                match self.below(3) {
                    0 => drop(lines.remove(line)),
                    1 => lines.insert(line, lines[line]),
                    _ => {
                        let other = self.below(lines.len());
                        lines.swap(line, other);
                    }
                }
                text = lines.join(&b'\n');
            }
            5 => text.truncate(self.below(text.len())),
            6 => {
                let at = self.below(text.len());
                let byte = self.0.next_u32().to_le_bytes()[0];
                if let Some(b) = text.get_mut(at) {
                    *b = byte;
                }
            }
            _ => {
                let at = self.below(text.len());
                let new = STRINGS[self.below(STRINGS.len())];
                text.splice(at..at, new.bytes());
            }
        }
        text
    }
}

/// From and to of every number in a text.
fn number_places(text: &[u8]) -> Vec<(usize, usize)> {
    let mut places = Vec::new();
    let mut from = None;
    for (i, byte) in text.iter().enumerate() {
        let digit = byte.is_ascii_digit() || (*byte == b'.' && from.is_some());
        match (digit, from) {
            (true, None) => from = Some(i),
            (false, Some(start)) => {
                places.push((start, i));
                from = None;
            }
            _ => {}
        }
    }
    places
}

fn corpus() -> Vec<(PathBuf, String)> {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."));
    let of = |folder: &str| WalkDir::new(root.join(folder)).sort_by_file_name();
    ["scenarios", "assets/anatomies", "tests/corpus"]
        .into_iter()
        .flat_map(of)
        .map(Result::unwrap)
        .filter(|entry| {
            entry
                .path()
                .extension()
                .is_some_and(|e| e == "ron" || e == "csv")
        })
        .map(|entry| {
            let text = std::fs::read_to_string(entry.path()).unwrap();
            (entry.into_path(), text)
        })
        .collect()
}

fn is_scenario(path: &Path) -> bool {
    !path.components().any(|c| c.as_os_str() == "anatomies")
}

/// Opens a file as the program does; the error's text if it is refused.
fn open(path: &Path, is_scenario: bool, run: bool) -> Result<(), String> {
    if !is_scenario {
        let folder = path.parent().unwrap();
        let name = path.file_name().unwrap().to_str().unwrap();
        return load_labyrinth(name, folder)
            .map(drop)
            .map_err(|e| e.to_string());
    }
    let compiled = compile_file(path).map_err(|e| e.to_string())?;
    if run {
        // What was accepted must run: an error here is the check's fault.
        rehearse(&compiled).unwrap_or_else(|e| panic!("accepted, but: {e}"));
    }
    Ok(())
}

#[test]
fn the_corpus_is_accepted_and_refused_as_its_folders_say() {
    let ours: Vec<_> = corpus()
        .into_iter()
        .filter(|(path, _)| path.components().any(|c| c.as_os_str() == "corpus"))
        .collect();
    for (path, _) in &ours {
        let sound = path.components().any(|c| c.as_os_str() == "accepted");
        let opened = open(path, is_scenario(path), true);
        assert_eq!(opened.is_ok(), sound, "{}: {opened:?}", path.display());
    }
    assert!(ours.len() > 15);
}

#[test]
fn spoilt_files_are_refused_in_words_or_can_be_run() {
    let count = std::env::var("MUTATED_FILES").map_or(IN_THE_SUITE, |n| n.parse().unwrap());
    let corpus = corpus();
    let mut refused = 0_u64;
    for seed in 0..count {
        let mut spoiler = Spoiler(ChaCha8Rng::seed_from_u64(seed));
        let (original, sound) = &corpus[spoiler.below(corpus.len())];
        let bytes = if spoiler.below(10) == 0 {
            let other = spoiler.below(corpus.len());
            spoiler.join(sound, &corpus[other].1)
        } else {
            spoiler.spoil(sound)
        };
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(original.file_name().unwrap());
        std::fs::write(&path, bytes).unwrap();
        let is_scenario = is_scenario(original);
        let (told, hears) = mpsc::channel();
        let copy = path.clone();
        let worker = std::thread::spawn(move || {
            let _ = told.send(open(&copy, is_scenario, seed % RUN_EVERY == 0));
        });
        let what = || format!("seed {seed}, {}", original.display());
        match hears.recv_timeout(PATIENCE) {
            Ok(Ok(())) => {}
            Ok(Err(message)) => {
                refused += 1;
                assert_eq!(message.lines().count(), 1, "{}: {message:?}", what());
                assert!(
                    !message
                        .chars()
                        .any(|c| c.is_control() || ('\u{202a}'..='\u{202e}').contains(&c)),
                    "{}: {message:?}",
                    what()
                );
            }
            Err(mpsc::RecvTimeoutError::Timeout) => panic!("{}: hangs", what()),
            Err(mpsc::RecvTimeoutError::Disconnected) => {
                let _ = worker.join();
                let kept = folder.keep();
                panic!("{}: panicked, kept in {}", what(), kept.display());
            }
        }
    }
    // Most faults are seen; a spoiler that spoils nothing would make this test an idle one.
    assert!(refused * 4 > count, "{refused} of {count} refused");
}
