//! All figures of a log.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use serde::Serialize;

use super::interval::Proportion;
use super::mixed::{HomesModel, homes_model};
use super::period::{PeriodPrevalence, period_prevalence};
use crate::log::{LoggedVisit, TreatmentEnd};

/// Figures of a log.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// Each home.
    pub homes: Vec<HomeFigures>,
    /// All residents together, as if in one home.
    pub pooled: Proportion,
    /// Homes that differ; `None` if there are too few to tell.
    pub model: Option<HomesModel>,
    /// The share over a year for each length of an episode that was asked for.
    pub over_a_year: Vec<PeriodPrevalence>,
    /// What treatments did.
    pub sessions: Sessions,
}

/// One home at the first visit to each resident.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HomeFigures {
    /// Its code.
    pub home: String,
    /// Residents with debris of residents tested.
    pub point: Proportion,
}

/// Treatments.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sessions {
    /// Treated visits that ended with an empty control test, of all treated visits.
    pub success_per_session: Proportion,
    /// Manoeuvres after which the control test was empty, of all manoeuvres.
    pub success_per_manoeuvre: Proportion,
    /// Manoeuvres after which another canal was found, of all manoeuvres.
    pub switches: Proportion,
    /// Minutes a patient and visit, mean; `None` without a visit.
    pub mean_minutes: Option<f64>,
}

/// The figures of these visits. A resident counts in the home and with the finding of his first visit in
/// which a test was done.
pub fn figures_of(visits: &[LoggedVisit], episode_days: &[f64]) -> Figures {
    let mut counted = BTreeSet::new();
    let mut homes: BTreeMap<&str, (u64, u64)> = BTreeMap::new();
    let mut ordered: Vec<_> = visits.iter().collect();
    ordered.sort_by(|a, b| (&a.visit.date, a.id).cmp(&(&b.visit.date, b.id)));
    for LoggedVisit { visit, .. } in ordered {
        let tested = !visit.seen.is_empty() || !visit.affected.is_empty();
        if tested && counted.insert(&visit.patient) {
            let (with, of) = homes.entry(visit.home.as_str()).or_default();
            *with += u64::from(!visit.affected.is_empty());
            *of += 1;
        }
    }
    let counts: Vec<_> = homes.values().copied().collect();
    let (with, of) = counts.iter().fold((0, 0), |(k, n), c| (k + c.0, n + c.1));
    let pooled = Proportion::new(with, of);
    Figures {
        homes: homes
            .into_iter()
            .map(|(home, (with, of))| HomeFigures {
                home: home.to_owned(),
                point: Proportion::new(with, of),
            })
            .collect(),
        pooled,
        model: homes_model(&counts),
        over_a_year: episode_days
            .iter()
            .filter_map(|days| period_prevalence(pooled.share?, *days))
            .collect(),
        sessions: sessions_of(visits),
    }
}

fn sessions_of(visits: &[LoggedVisit]) -> Sessions {
    let treated = visits
        .iter()
        .map(|v| &v.visit.treatments)
        .filter(|t| !t.is_empty());
    let (mut good, mut all) = (0, 0);
    for treatments in treated {
        all += 1;
        // The last manoeuvre of each treated canal counts.
        let mut last = BTreeMap::new();
        for t in treatments {
            last.insert((t.ear.index(), t.canal.index()), t.end);
        }
        good += u64::from(last.values().all(|end| *end == TreatmentEnd::Cleared));
    }
    let ends: Vec<_> = visits
        .iter()
        .flat_map(|v| v.visit.treatments.iter().map(|t| t.end))
        .collect();
    let count = |wanted: fn(&TreatmentEnd) -> bool| {
        let n = ends.iter().filter(|end| wanted(end)).count();
        Proportion::new(n as u64, ends.len() as u64)
    };
    let minutes: f64 = visits.iter().map(|v| v.visit.minutes).sum();
    Sessions {
        success_per_session: Proportion::new(good, all),
        success_per_manoeuvre: count(|end| *end == TreatmentEnd::Cleared),
        switches: count(|end| matches!(end, TreatmentEnd::Switched { .. })),
        mean_minutes: (!visits.is_empty()).then(|| minutes / visits.len() as f64),
    }
}

impl Figures {
    /// The figures in lines, with what they rest on.
    pub fn text(&self) -> String {
        // Writing into a String does not fail.
        let mut text = String::from("Share with debris found, at the first tested visit\n");
        for home in &self.homes {
            let _ = writeln!(text, "  {}: {}", home.home, proportion(&home.point));
        }
        let _ = writeln!(text, "  all: {}", proportion(&self.pooled));
        if let Some(m) = &self.model {
            let range = m.middle_home_interval.map_or_else(String::new, |i| {
                format!(" (95 % {:.1} to {:.1} %)", 100.0 * i.low, 100.0 * i.high)
            });
            let _ = writeln!(
                text,
                "  homes that differ (logistic model, random intercept): home in the middle {:.1} %{range}, over homes {:.1} %, spread {:.2} logits",
                100.0 * m.middle_home,
                100.0 * m.mean_home,
                m.spread
            );
        } else {
            text.push_str("  too few homes or findings to tell whether homes differ\n");
        }
        for year in &self.over_a_year {
            let _ = writeln!(
                text,
                "Over a year, if an episode lasts {:.0} days: {:.0} % (1 - (1 - p) exp(-pT / ((1 - p) D)), steady state, assumed)",
                year.episode_days,
                100.0 * year.year
            );
        }
        let s = &self.sessions;
        let _ = writeln!(
            text,
            "Cleared per treated visit: {}",
            proportion(&s.success_per_session)
        );
        let _ = writeln!(
            text,
            "Cleared per manoeuvre: {}",
            proportion(&s.success_per_manoeuvre)
        );
        let _ = writeln!(
            text,
            "Canal switches per manoeuvre: {}",
            proportion(&s.switches)
        );
        if let Some(minutes) = s.mean_minutes {
            let _ = writeln!(text, "Minutes per visit: {minutes:.0}");
        }
        text
    }
}

fn proportion(p: &Proportion) -> String {
    let Some(share) = p.share else {
        return "nobody".to_owned();
    };
    format!(
        "{} of {}, {:.1} % (Wilson {:.1} to {:.1}, exact {:.1} to {:.1} %)",
        p.count,
        p.of,
        100.0 * share,
        100.0 * p.wilson.low,
        100.0 * p.wilson.high,
        100.0 * p.exact.low,
        100.0 * p.exact.high
    )
}

/// The share in each home with its interval as a drawing.
pub fn figures_svg(figures: &Figures) -> String {
    let rows: Vec<(&str, &Proportion)> = figures
        .homes
        .iter()
        .map(|h| (h.home.as_str(), &h.point))
        .chain(std::iter::once(("all", &figures.pooled)))
        .collect();
    let top = rows.iter().map(|(_, p)| p.wilson.high).fold(0.05, f64::max);
    let (left, width, row_height) = (70.0, 420.0, 24.0);
    let height = 60.0 + row_height * rows.len() as f64;
    let x = |share: f64| left + width * share / top;
    let text = "font-family=\"IBM Plex Sans, sans-serif\" font-size=\"12\"";
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"640\" height=\"{height}\" viewBox=\"0 0 640 {height}\">\n<title>Share with debris found, by home, 95 % (Wilson)</title>\n<rect width=\"640\" height=\"{height}\" fill=\"#fff\"/>\n"
    );
    for (i, (name, p)) in rows.iter().enumerate() {
        let y = 20.0 + row_height * i as f64;
        let (low, high) = (x(p.wilson.low), x(p.wilson.high));
        let _ = writeln!(
            out,
            "<text x=\"10\" y=\"{:.1}\" {text}>{name}</text>",
            y + 4.0
        );
        let _ = writeln!(
            out,
            "<line x1=\"{low:.1}\" y1=\"{y}\" x2=\"{high:.1}\" y2=\"{y}\" stroke=\"#000\" stroke-width=\"1.5\"/>"
        );
        if let Some(share) = p.share {
            let _ = writeln!(out, "<circle cx=\"{:.1}\" cy=\"{y}\" r=\"4\"/>", x(share));
        }
        let _ = writeln!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" {text}>{} of {}</text>",
            left + width + 12.0,
            y + 4.0,
            p.count,
            p.of
        );
    }
    let y = 12.0 + row_height * rows.len() as f64;
    let _ = writeln!(
        out,
        "<line x1=\"{left}\" y1=\"{y}\" x2=\"{}\" y2=\"{y}\" stroke=\"#000\"/>",
        left + width
    );
    for k in 0..=4 {
        let share = top * f64::from(k) / 4.0;
        let _ = writeln!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" {text} text-anchor=\"middle\">{:.0} %</text>",
            x(share),
            y + 16.0,
            100.0 * share
        );
    }
    out.push_str("</svg>\n");
    out
}
