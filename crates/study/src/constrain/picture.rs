//! Pictures of a summary for people: ranges before and after, and outcomes beside print, as SVG.

use std::fmt::Write;

use super::summary::Summary;
use crate::findings::Published;

/// Widths and heights, px.
const LABEL: f64 = 260.0;
const PLOT: f64 = 420.0;
const ROW: f64 = 24.0;
const HEAD: f64 = 48.0;

/// One line of a picture, in shares of the width.
struct Band {
    label: String,
    /// What is drawn thin.
    outer: [f64; 2],
    /// What is drawn thick.
    inner: [f64; 2],
    /// What is marked.
    mark: f64,
    /// What stands to the right.
    text: String,
}

/// The ranges of all numbers before (thin) and after (thick: 5 to 95 %), the central member marked.
pub fn ranges_svg(summary: &Summary) -> String {
    let bands = summary.numbers.iter().filter_map(|number| {
        let after = number.after.as_ref()?;
        let [least, most] = number.before;
        let share = |v: f64| (v - least) / (most - least);
        Some(Band {
            label: number.name.to_owned(),
            outer: [0.0, 1.0],
            inner: [share(after.q05), share(after.q95)],
            mark: share(number.central?),
            text: format!("{least} to {most}: {:.3} to {:.3}", after.q05, after.q95),
        })
    });
    picture(
        "Unmeasured numbers: range before (thin), 5 to 95 % of the plausible set (thick), central member (dot)",
        &bands.collect::<Vec<_>>(),
    )
}

/// Every given outcome: what print leaves open by three standard deviations (thin) and the plausible set
/// (thick: 5 to 95 %), its median marked.
pub fn outcomes_svg(summary: &Summary, published: &Published) -> String {
    let given = published.outcomes.iter().filter(|o| o.given);
    let bands = given.filter_map(|outcome| {
        let found = summary.outcomes.get(&outcome.id)?;
        let open = 3.0 * outcome.spread.hypot(outcome.model_error);
        // Far ends that only say "at most" are drawn no farther than what came out.
        let least = outcome.least.max(found.q05.min(outcome.most) - open) - open;
        let most = outcome.most.min(found.q95.max(outcome.least) + open) + open;
        let share = |v: f64| ((v - least) / (most - least)).clamp(0.0, 1.0);
        Some(Band {
            label: outcome.id.clone(),
            outer: [share(outcome.least), share(outcome.most)],
            inner: [share(found.q05), share(found.q95)],
            mark: share(found.q50),
            text: format!(
                "print {:.2} to {:.2}, median {:.2}",
                outcome.least, outcome.most, found.q50
            ),
        })
    });
    picture(
        "Given outcomes: print (thin), 5 to 95 % of the plausible set (thick), median (dot); width is 3 SD around",
        &bands.collect::<Vec<_>>(),
    )
}

fn picture(title: &str, bands: &[Band]) -> String {
    let width = LABEL + PLOT + 240.0;
    let height = HEAD + ROW * bands.len() as f64 + 12.0;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         height=\"{height}\" font-family=\"sans-serif\" font-size=\"12\">\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n\
         <text x=\"12\" y=\"24\" font-weight=\"bold\">{title}</text>\n"
    );
    for (i, band) in bands.iter().enumerate() {
        let y = HEAD + ROW * i as f64;
        let x = |share: f64| LABEL + PLOT * share;
        let line = |ends: [f64; 2], height: f64, fill: &str| {
            let [from, to] = ends.map(x);
            format!(
                "<rect x=\"{from:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{height}\" fill=\"{fill}\"/>",
                y - height / 2.0,
                (to - from).max(1.0)
            )
        };
        // Writing to a String cannot fail.
        let _ = writeln!(
            svg,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>{}{}{}\
             <circle cx=\"{:.1}\" cy=\"{y:.1}\" r=\"4\" fill=\"#202020\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" fill=\"#505050\">{}</text>",
            LABEL - 10.0,
            y + 4.0,
            band.label,
            line([0.0, 1.0], 1.0, "#d8d8d8"),
            line(band.outer, 4.0, "#9aa5b1"),
            line(band.inner, 10.0, "#3f7cac"),
            x(band.mark),
            LABEL + PLOT + 12.0,
            y + 4.0,
            band.text,
        );
    }
    svg.push_str("</svg>\n");
    svg
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_lies_where_its_shares_say() {
        let band = Band {
            label: "a".to_owned(),
            outer: [0.0, 1.0],
            inner: [0.25, 0.75],
            mark: 0.5,
            text: String::new(),
        };
        let svg = picture("t", &[band]);
        // By hand: a quarter of 420 px beyond the labels, half of 420 px wide.
        assert!(svg.contains("x=\"365.0\"") && svg.contains("width=\"210.0\""));
        assert!(svg.contains("cx=\"470.0\""));
    }
}
