//! A report of anybody's text, tables and pictures: set on pages, read back with poppler's `pdftotext`.

use std::process::Command;

use lithodrome_visits::{
    Curves, DotArray, DotGroup, DotShape, Map, Mark, Paper, PaperCurve, PaperTable, Report,
    ReportPart, report_pages, write_report,
};

fn report() -> Report {
    let dots = |shape, dots, words: &str| DotGroup {
        shape,
        dots,
        words: words.to_owned(),
    };
    Report {
        title: "Right posterior canal: two sequences".to_owned(),
        subtitle: "In 400 ears".to_owned(),
        parts: vec![
            ReportPart::Heading("The answer".to_owned()),
            ReportPart::Strong("It clears 81 in 100 ears.".to_owned()),
            ReportPart::Dots(vec![DotArray {
                title: "The first".to_owned(),
                groups: vec![
                    dots(DotShape::Full, 81, "81 cleared"),
                    dots(DotShape::Half, 6, "6 behind the cupula"),
                    dots(DotShape::Triangle, 13, "13 switched"),
                ],
            }]),
            ReportPart::Table(PaperTable {
                head: ["Sequence", "cleared", "s"].map(str::to_owned).to_vec(),
                rows: (0..90)
                    .map(|i| vec![format!("Row {i}"), format!("{i}"), "113".to_owned()])
                    .collect(),
            }),
            ReportPart::PageBreak,
            ReportPart::Curves(Curves {
                x_label: "ears".to_owned(),
                y_label: "cleared, of 100".to_owned(),
                y_range: [0.0, 100.0],
                x_is_logarithmic: true,
                curves: vec![PaperCurve {
                    name: "A".to_owned(),
                    points: vec![[10.0, 60.0], [100.0, 80.0], [400.0, 81.0]],
                    band: vec![[30.0, 83.0], [71.0, 87.0], [77.0, 84.0]],
                }],
            }),
            ReportPart::Map(Map {
                x_label: "hold, s".to_owned(),
                x_values: vec!["10".to_owned(), "20".to_owned()],
                y_label: "below horizontal, degrees".to_owned(),
                y_values: vec!["0".to_owned(), "30".to_owned()],
                numbers: vec![vec![41.0, 52.0], vec![63.0, 74.0]],
                range: [0.0, 100.0],
            }),
        ],
    }
}

#[test]
fn a_report_is_read_back_with_its_caution_on_every_page() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("report.pdf");
    write_report(&report(), Paper::A4, &path).unwrap();
    let done = Command::new("pdftotext")
        .args(["-layout", path.to_str().unwrap(), "-"])
        .output()
        .unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    let pages: Vec<&str> = text
        .split('\u{c}')
        .filter(|p| !p.trim().is_empty())
        .collect();
    // 90 rows of 13 points take more than one page; the head is repeated on the next.
    assert_eq!(pages.len(), 3, "{text}");
    for (i, page) in pages.iter().enumerate() {
        assert!(page.contains("not a medical device"));
        assert!(page.contains(&format!("page {} of 3", i + 1)));
    }
    assert!(pages[0].contains("81 cleared") && pages[0].contains("Sequence"));
    assert!(pages[1].contains("Sequence") && pages[1].contains("Row 89"));
    for words in ["cleared, of 100", "hold, s", "74", "ears"] {
        assert!(pages[2].contains(words), "{words}: {}", pages[2]);
    }
}

#[test]
fn nothing_of_a_report_leaves_its_page() {
    for paper in [Paper::A4, Paper::Letter] {
        let [width, height] = paper.size_pt();
        for page in report_pages(&report(), paper) {
            for mark in &page.marks {
                let points: Vec<[f64; 2]> = match mark {
                    Mark::Text { at, .. } => vec![*at],
                    Mark::Line { points, .. } | Mark::Area { points, .. } => points.clone(),
                };
                for [x, y] in points {
                    assert!((24.0..=width - 24.0).contains(&x), "{mark:?}");
                    assert!((24.0..=height - 20.0).contains(&y), "{mark:?}");
                }
            }
        }
    }
}
