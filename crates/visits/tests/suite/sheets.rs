//! Run sheets of everything in the library: nothing overflows, text can be searched, holds are large.
//!
//! The PDF is read back with poppler's `pdftotext` and rendered with its `pdftoppm`, which share no code
//! with what wrote it.

use std::path::{Path, PathBuf};
use std::process::Command;

use lithodrome_labyrinth::Canal;
use lithodrome_rehearsal::{
    BandVerdict, ClearedIn, Verdict, library, library_entry, scenario_from_ron,
};
use lithodrome_visits::{Mark, Page, Paper, pages_of, pdf_of, sheet_of, svg_of, write_sheet};

/// A word on a page as pdftotext found it: left, top, right, bottom, text.
struct Word([f64; 4], String);

/// Runs a poppler tool and gives what it printed.
fn poppler(tool: &str, args: &[&str]) -> Vec<u8> {
    let done = Command::new(tool)
        .args(args)
        .output()
        .unwrap_or_else(|e| panic!("{tool} (package poppler-utils): {e}"));
    assert!(
        done.status.success(),
        "{tool}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    done.stdout
}

fn words_of(pdf: &Path) -> Vec<Vec<Word>> {
    let html = poppler("pdftotext", &["-bbox", pdf.to_str().unwrap(), "-"]);
    let html = String::from_utf8(html).unwrap();
    let number = |line: &str, name: &str| -> f64 {
        let from = line.find(&format!("{name}=\"")).unwrap() + name.len() + 2;
        let rest = &line[from..];
        rest[..rest.find('"').unwrap()].parse().unwrap()
    };
    html.split("<page ")
        .skip(1)
        .map(|page| {
            let lines = page.lines().filter(|l| l.contains("<word "));
            lines
                .map(|l| {
                    let text = &l[l.find('>').unwrap() + 1..l.rfind('<').unwrap()];
                    let sides = ["xMin", "yMin", "xMax", "yMax"].map(|s| number(l, s));
                    Word(sides, text.to_owned())
                })
                .collect()
        })
        .collect()
}

fn written(name: &str, paper: Paper, folder: &Path) -> (Vec<Page>, PathBuf) {
    let scenario = library_entry(name).unwrap().unwrap().scenario;
    let sheet = sheet_of(&scenario, Path::new("")).unwrap();
    let path = folder.join(format!("{name}.pdf"));
    write_sheet(&sheet, paper, &path).unwrap();
    (pages_of(&sheet, paper), path)
}

/// No word leaves the paper's margins, and no two words lie on each other.
fn assert_set_well(name: &str, paper: Paper, pages: &[Vec<Word>]) {
    let [width, height] = paper.size_pt();
    for (p, words) in pages.iter().enumerate() {
        for Word([left, top, right, bottom], text) in words {
            let inside =
                *left >= 30.0 && *right <= width - 30.0 && *top >= 26.0 && *bottom <= height - 24.0;
            assert!(
                inside,
                "{name} page {}: {text} at {left} {top} {right} {bottom}",
                p + 1
            );
        }
        for (i, Word(a, one)) in words.iter().enumerate() {
            for Word(b, other) in &words[i + 1..] {
                let across = a[2].min(b[2]) - a[0].max(b[0]);
                // Boxes span ascent and descent, which are more than the leading.
                let down = a[3].min(b[3]) - a[1].max(b[1]);
                let lower = (a[3] - a[1]).min(b[3] - b[1]);
                assert!(
                    across < 0.5 || down < 0.35 * lower,
                    "{name} page {}: {one} lies on {other}",
                    p + 1
                );
            }
        }
    }
}

#[test]
fn sheets_of_the_whole_library_are_set_without_overflow() {
    let folder = tempfile::tempdir().unwrap();
    let (mut most_pages, mut too_long) = (0, Vec::new());
    for entry in library().unwrap() {
        let sheet = sheet_of(&entry.scenario, Path::new("")).unwrap();
        // The other side's differ in a word.
        let papers: &[Paper] = if entry.name.starts_with("left") {
            &[Paper::A4]
        } else {
            &[Paper::A4, Paper::Letter]
        };
        for &paper in papers {
            let path = folder.path().join("sheet.pdf");
            write_sheet(&sheet, paper, &path).unwrap();
            let pages = words_of(&path);
            assert_set_well(entry.name, paper, &pages);
            if pages.len() > 2 {
                too_long.push(format!("{} {paper:?}: {} pages", entry.name, pages.len()));
            }
            most_pages = most_pages.max(pages.len());
            let all: Vec<&str> = pages.iter().flatten().map(|w| w.1.as_str()).collect();
            let text = all.join(" ");
            for step in &sheet.steps {
                for word in step
                    .name
                    .split_whitespace()
                    .chain(step.posture.split_whitespace())
                {
                    assert!(text.contains(word), "{}: {word} is missing", entry.name);
                }
            }
            let of = format!("page {} of {}", pages.len(), pages.len());
            assert!(text.contains(&of) && text.contains("not a medical device"));
        }
    }
    assert!(most_pages > 1);
    assert!(too_long.is_empty(), "{too_long:#?}");
}

#[test]
fn the_epley_says_all_that_is_needed() {
    let folder = tempfile::tempdir().unwrap();
    let (pages, path) = written("right-posterior-epley-whole-body", Paper::A4, folder.path());
    let text = poppler("pdftotext", &["-layout", path.to_str().unwrap(), "-"]);
    let text = String::from_utf8(text).unwrap();
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Right posterior canal, Epley with the whole body",
        "Patient code",
        "30 s",
        "Control test: Dix-Hallpike on the right, twice",
        "First 15 min upright",
        "Canal switch, debris in the right lateral canal",
        "Stop when",
        "not faster than 30°/s",
        "eye pressure rises",
        "A teaching and planning model, not a medical device.",
        "page 1 of 2",
        "page 2 of 2",
        concat!("Lithodrome ", env!("CARGO_PKG_VERSION")),
    ] {
        assert!(flat.contains(words), "{words} is not in {flat}");
    }
    // The eyes of a right posterior canal in its own Dix-Hallpike, and of debris that turns back
    // (Balatsouras 2011, table 1): up toward the right ear, down toward the left one.
    assert!(text.contains("Upbeating"));
    assert!(flat.contains("Runs back:"));
    let largest = pages.iter().flat_map(|p| &p.marks).filter_map(|m| match m {
        Mark::Text { size_pt, text, .. } => Some((*size_pt, text.clone())),
        _ => None,
    });
    let largest = largest.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
    assert!(
        largest.1.ends_with(" s"),
        "the hold is the largest type, not {largest:?}"
    );
}

#[test]
fn the_rendered_page_keeps_its_margins_and_is_readable_in_grey() {
    let folder = tempfile::tempdir().unwrap();
    let (_, path) = written(
        "left-posterior-backward-turn-in-steps",
        Paper::A4,
        folder.path(),
    );
    let picture = folder.path().join("page");
    let args = ["-gray", "-r", "60", "-f", "1", "-l", "1", "-singlefile"];
    let mut all: Vec<&str> = args.to_vec();
    all.extend([path.to_str().unwrap(), picture.to_str().unwrap()]);
    poppler("pdftoppm", &all);
    let bytes = std::fs::read(picture.with_extension("pgm")).unwrap();
    let text = String::from_utf8_lossy(&bytes[..30]).into_owned();
    let mut header = text.split_whitespace();
    assert_eq!(header.next(), Some("P5"));
    let width: usize = header.next().unwrap().parse().unwrap();
    let height: usize = header.next().unwrap().parse().unwrap();
    let grey = &bytes[bytes.len() - width * height..];
    let margin = 24 * 60 / 72;
    let mut dark = 0;
    for (i, value) in grey.iter().enumerate() {
        let (x, y) = (i % width, i / width);
        let in_margin = x < margin || x >= width - margin || y < margin || y >= height - margin;
        assert!(!in_margin || *value == 255, "ink in the margin at {x}, {y}");
        dark += usize::from(*value < 100);
    }
    let share = dark as f64 / grey.len() as f64;
    assert!((0.01..0.2).contains(&share), "{share} of the page is dark");
}

#[test]
fn hostile_words_neither_overflow_nor_break_the_files() {
    let long = "W".repeat(300);
    let text = format!(
        "(format: 1, title: \"<b>&\\u{{202e}}{long} 漢字\", steps: [(name: \"{long}\", track_deg: 400.0, move_s: 3.0, hold_s: 1999.5)])"
    );
    let scenario = scenario_from_ron(&text, Path::new("t.ron")).unwrap();
    let sheet = sheet_of(&scenario, Path::new("")).unwrap();
    let pages = pages_of(&sheet, Paper::Letter);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.pdf");
    std::fs::write(&path, pdf_of(&pages, &sheet.title).unwrap()).unwrap();
    assert_set_well("hostile", Paper::Letter, &words_of(&path));
    let svg = svg_of(&pages, &sheet.title);
    assert!(svg.contains("&lt;b&gt;&amp;") && !svg.contains('\u{202e}'));
    let error = write_sheet(&sheet, Paper::A4, &folder.path().join("a.doc")).unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("found .doc, allowed is a name that ends in .pdf or .svg"),
        "{error}"
    );
}

/// The sheet tells what plausible ears say before what happens in its own, and has a control test for every canal
/// that holds debris.
#[test]
fn a_sheet_tells_the_plausible_ears_and_every_control_test() {
    let mut scenario = library_entry("right-posterior-epley-whole-body")
        .unwrap()
        .unwrap()
        .scenario;
    let mut lateral = scenario.debris[0].clone();
    lateral.canal = Canal::Lateral;
    scenario.debris.push(lateral);
    let sheet = sheet_of(&scenario, Path::new("")).unwrap();
    let titles: Vec<&str> = sheet.controls.iter().map(|c| c.title.as_str()).collect();
    assert_eq!(
        titles,
        [
            "Dix-Hallpike on the right, twice",
            "Supine roll test, right side first"
        ]
    );
    let own = sheet.ending.clone();
    let band = BandVerdict {
        verdict: Verdict::Depends,
        cleared_in: ClearedIn { cleared: 7, of: 12 },
        words: vec![(Verdict::Cleared, 7), (Verdict::Switched, 5)],
        failed: 0,
        depends_on: vec!["resistance to rolling".to_owned()],
    };
    let sheet = sheet.over_band(&band);
    let said = "Depends on the ear: cleared in 7 of 12 plausible ears, switched in 5; what tells them apart is \
                resistance to rolling. In the ear of this sheet: ";
    assert_eq!(sheet.ending, format!("{said}{own}"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.pdf");
    write_sheet(&sheet, Paper::A4, &path).unwrap();
    let text = String::from_utf8(poppler("pdftotext", &[path.to_str().unwrap(), "-"])).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("cleared in 7 of 12 plausible ears"), "{text}");
    assert_eq!(text.matches("Control test:").count(), 2, "{text}");
}

/// A control test begins where the treatment has not ended: the sheet says how the chair gets there, and what a step
/// of no time is. A bed has no angles.
#[test]
fn a_control_test_says_how_the_chair_gets_there() {
    let first = |name: &str| {
        let scenario = library_entry(name).unwrap().unwrap().scenario;
        let sheet = sheet_of(&scenario, Path::new("")).unwrap();
        sheet.controls[0].steps[..2].to_vec()
    };
    let [before, upright] = &first("right-posterior-epley-whole-body")[..] else {
        panic!("two lines");
    };
    // The Epley ends two quarter turns to the left of where it began.
    assert_eq!(
        before,
        "Before: set the chair to yaw 45°, track 0°; the treatment ends at yaw 225°, track 0°"
    );
    assert_eq!(
        upright,
        "Upright, turned 45°: yaw 45°, track 0°, no move, hold 5 s"
    );
    // A whole turn of the track ends where it began.
    let turned = first("right-posterior-backward-turn");
    assert_eq!(&turned[0], upright);
}

/// Stop rules stand on every sheet: they must not call an alarm what a step of the sheet expects.
#[test]
fn no_stop_rule_forbids_what_a_step_expects() {
    let scenario = library_entry("right-anterior-head-hanging")
        .unwrap()
        .unwrap();
    let sheet = sheet_of(&scenario.scenario, Path::new("")).unwrap();
    let down = |eyes: &str| eyes.starts_with("Downbeating");
    assert!(
        sheet.steps.iter().any(|s| down(&s.eyes)),
        "{:?}",
        sheet.steps
    );
    let words: String = pages_of(&sheet, Paper::A4)
        .iter()
        .flat_map(|page| &page.marks)
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(format!("{text} ")),
            _ => None,
        })
        .collect();
    assert!(words.contains("do not expect"), "{words}");
    assert!(words.contains("where none is expected"), "{words}");
}
