//! Shares, intervals and differences as sentences.

use lithodrome_study::{Comparison, Quantiles, SearchReport, Share, Summary};

/// "81 in 100 ears, 78 to 84 (95 %)", or counts where there are few ears.
pub fn share(share: &Share) -> String {
    let percent = |x: f64| format!("{:.0}", 100.0 * x);
    if share.of == 0 {
        return "no ears".to_owned();
    }
    let (low, high) = (percent(share.low), percent(share.high));
    if share.of < 100 {
        return format!(
            "{} of {} ears, which means {low} to {high} in 100 (95 %)",
            share.count, share.of
        );
    }
    format!(
        "{} in 100 ears, {low} to {high} (95 %)",
        percent(share.share)
    )
}

/// What is cleared together with what lies in a short arm, if anything does.
pub fn out_of_long_arms(summary: &Summary) -> Option<String> {
    let counts = summary.counts;
    (counts.behind_cupula > 0).then(|| {
        let out = counts.cleared + counts.behind_cupula;
        format!(
            "Out of the long arms, behind a cupula or not: {:.0} in 100.",
            100.0 * out as f64 / summary.n.max(1) as f64
        )
    })
}

/// The share cleared of a sequence.
pub fn cleared(summary: &Summary) -> Share {
    Share {
        count: summary.counts.cleared,
        of: summary.n,
        share: summary.shares.cleared,
        low: summary.cleared_low,
        high: summary.cleared_high,
    }
}

/// What the difference of two sequences comes to.
pub fn difference(comparison: &Comparison) -> String {
    let d = comparison.cleared;
    let hundred = |x: f64| {
        let rounded = (100.0 * x).round() + 0.0;
        format!("{rounded:+.0}").replace('-', "−")
    };
    let interval = format!("{} to {}", hundred(d.low), hundred(d.high));
    if !d.is_shown() {
        format!(
            "No difference shown: {} in 100 ears, {interval}",
            hundred(d.difference)
        )
    } else if d.difference > 0.0 {
        let more = |x: f64| format!("{:.0}", (100.0 * x).round() + 0.0);
        format!(
            "Clears {} more in 100 ears, {} to {}",
            more(d.difference),
            more(d.low),
            more(d.high)
        )
    } else {
        // The word says already which way: "45 fewer", the larger end of the interval last.
        let fewer = |x: f64| {
            let rounded = (-100.0 * x).round() + 0.0;
            format!("{rounded:.0}").replace('-', "−")
        };
        format!(
            "Clears {} fewer in 100 ears, {} to {}",
            fewer(d.difference),
            fewer(d.high),
            fewer(d.low)
        )
    }
}

/// "Half have left after 43 s, nineteen in twenty after 80 s", or nothing if none has left.
pub fn exit(exit: Option<&Quantiles>) -> Option<String> {
    let exit = exit?;
    Some(format!(
        "Where it clears, half have left after {:.0} s, nineteen in twenty after {:.0} s.",
        exit.q50, exit.q95
    ))
}

/// Where each sequence's debris leaves, and how much of the hold was left.
pub fn exits(summary: &Summary, steps: usize) -> Vec<String> {
    let of = |step: u32| {
        if step as usize > steps {
            "sitting afterwards".to_owned()
        } else {
            format!("step {step}")
        }
    };
    let share = |s: f64| format!("{:.0} in 100 leave", 100.0 * s);
    summary
        .exits
        .iter()
        .map(|exit| match &exit.spare_s {
            Some(spare) if exit.step as usize <= steps => format!(
                "{} in {}; half have {:.0} s of the hold to spare, one in twenty under {:.0} s",
                share(exit.share),
                of(exit.step),
                spare.q50,
                spare.q05
            ),
            _ => format!("{} while {}", share(exit.share), of(exit.step)),
        })
        .collect()
}

/// An input's name as people say it: "posterior_turn_x_deg" is "posterior turn x, °".
pub fn input(name: &str) -> String {
    let units = [
        ("_um", ", µm"),
        ("_g_cm3", ", g/cm³"),
        ("_deg", ", °"),
        ("_mm", ", mm"),
        ("_s", ", s"),
    ];
    for (ending, unit) in units {
        if let Some(rest) = name.strip_suffix(ending) {
            return format!("{}{unit}", rest.replace('_', " "));
        }
    }
    name.replace('_', " ")
}

/// In how many check ears a sequence that was found succeeds.
pub fn found(report: &SearchReport) -> String {
    let of = u64::from(report.ears.check);
    let found = Share {
        count: (report.share * of as f64).round() as u64,
        of,
        share: report.share,
        low: report.low,
        high: report.high,
    };
    format!("Found, {}: {}.", report.aim, share(&found))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_study::{Difference, Pairs};

    #[test]
    fn few_ears_are_counted_and_many_told_of_a_hundred() {
        // Wilson 1927: 9 of 12 gives 47 to 91 in 100 (hand calculation).
        let few = share(&Share::of(9, 12));
        assert!(
            few.starts_with("9 of 12 ears") && few.contains("47 to 91 in 100"),
            "{few}"
        );
        let many = share(&Share::of(810, 1000));
        assert!(many == "81 in 100 ears, 78 to 83 (95 %)", "{many}");
    }

    #[test]
    fn a_difference_that_is_not_shown_is_called_so() {
        let told = |difference: f64, low: f64, high: f64| {
            difference_of(Difference {
                difference,
                low,
                high,
            })
        };
        assert!(told(0.02, -0.01, 0.05).starts_with("No difference shown: +2 in 100"));
        assert!(told(-0.1, -0.15, -0.05).starts_with("Clears 10 fewer in 100 ears, 5 to 15"));
        assert!(told(0.1, 0.05, 0.15).starts_with("Clears 10 more in 100 ears, 5 to 15"));
    }

    fn difference_of(cleared: Difference) -> String {
        difference(&Comparison {
            sequence: String::new(),
            beside: String::new(),
            pairs: Pairs::default(),
            cleared,
            switched: cleared,
            words: String::new(),
        })
    }

    #[test]
    fn inputs_are_named_as_people_say_them() {
        assert_eq!(input("diameter_um"), "diameter, µm");
        assert_eq!(input("posterior_turn_x_deg"), "posterior turn x, °");
        assert_eq!(input("rolling_gap"), "rolling gap");
    }
}
