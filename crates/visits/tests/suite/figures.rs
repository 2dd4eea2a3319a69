//! Figures against scipy (tests/suite/data/figures_reference.py) and by hand.

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::Mechanism;
use lithodrome_visits::{
    Affected, Code, Date, LoggedVisit, SeenTest, Treatment, TreatmentEnd, Visit, exact, figures_of,
    figures_svg, homes_model, wilson,
};

const REFERENCE: &str = include_str!("data/figures_reference.csv");

fn rows(what: &str) -> Vec<Vec<String>> {
    let mut table = csv::Reader::from_reader(REFERENCE.as_bytes());
    table
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect::<Vec<_>>())
        .filter(|r| r[0] == what)
        .collect()
}

#[test]
fn intervals_are_those_of_scipy() {
    let rows = rows("interval");
    assert!(rows.len() >= 9);
    for row in rows {
        let (k, n): (u64, u64) = (row[1].parse().unwrap(), row[2].parse().unwrap());
        let want: Vec<f64> = row[3..].iter().map(|x| x.parse().unwrap()).collect();
        let (w, e) = (wilson(k, n), exact(k, n));
        for (found, want) in [w.low, w.high, e.low, e.high].into_iter().zip(want) {
            assert!(
                (found - want).abs() < 1e-8,
                "{k} of {n}: {found} for {want}"
            );
        }
    }
}

/// The likelihood is flat at its top, so the parameters agree to fewer digits than it does.
#[test]
fn the_model_of_homes_is_that_of_scipy() {
    let rows = rows("homes");
    assert!(rows.len() >= 4);
    for row in rows {
        let homes: Vec<(u64, u64)> = row[2]
            .split(' ')
            .map(|h| h.split_once('/').unwrap())
            .map(|(k, n)| (k.parse().unwrap(), n.parse().unwrap()))
            .collect();
        let want: Vec<f64> = row[3..].iter().map(|x| x.parse().unwrap()).collect();
        let found = homes_model(&homes).unwrap();
        let name = &row[1];
        assert!(
            (found.log_likelihood - want[2]).abs() < 1e-6,
            "{name}: {found:?}"
        );
        assert!(
            (found.intercept - want[0]).abs() < 2e-4,
            "{name}: {found:?}"
        );
        assert!((found.spread - want[1]).abs() < 5e-4, "{name}: {found:?}");
        assert!(
            (found.mean_home - want[3]).abs() < 2e-5,
            "{name}: {found:?}"
        );
        let range = found.middle_home_interval.unwrap();
        assert!(range.low < found.middle_home && found.middle_home < range.high);
    }
    assert_eq!(homes_model(&[(3, 20)]), None);
    assert_eq!(homes_model(&[(0, 20), (0, 30)]), None);
    assert_eq!(homes_model(&[(20, 20), (30, 30)]), None);
}

fn visit(
    id: i64,
    day: &str,
    home: &str,
    patient: &str,
    ill: bool,
    ends: &[TreatmentEnd],
) -> LoggedVisit {
    let (ear, canal) = (Ear::Right, Canal::Posterior);
    LoggedVisit {
        id,
        visit: Visit {
            date: Date::new(day).unwrap(),
            home: Code::new(home).unwrap(),
            patient: Code::new(patient).unwrap(),
            minutes: 30.0,
            seen: vec![SeenTest {
                test: "Dix-Hallpike".to_owned(),
                words: "no nystagmus seen".to_owned(),
            }],
            affected: ill
                .then_some(Affected {
                    ear,
                    canal,
                    mechanism: Mechanism::AmpullaryArm,
                })
                .into_iter()
                .collect(),
            treatments: ends
                .iter()
                .map(|end| Treatment {
                    manoeuvre: "Epley".to_owned(),
                    ear,
                    canal,
                    end: *end,
                })
                .collect(),
        },
    }
}

/// Counted by hand: H-1 has 2 of 3 (KV-1 and KV-3), H-2 has 1 of 2; the second visit to KV-1 counts for
/// treatments alone. Three sessions, of which two end cleared; four manoeuvres with two cleared and one
/// switch.
#[test]
fn residents_count_once_and_sessions_each() {
    use TreatmentEnd::{Cleared, NotCleared, Switched};
    let to = Canal::Lateral;
    let visits = [
        visit(1, "2026-03-01", "H-1", "KV-1", true, &[NotCleared, Cleared]),
        visit(2, "2026-03-01", "H-1", "KV-2", false, &[]),
        visit(3, "2026-03-01", "H-1", "KV-3", true, &[Switched { to }]),
        visit(4, "2026-03-08", "H-1", "KV-1", false, &[Cleared]),
        visit(5, "2026-03-09", "H-2", "KV-4", true, &[]),
        visit(6, "2026-03-09", "H-2", "KV-5", false, &[]),
    ];
    let figures = figures_of(&visits, &[14.0, 39.0]);
    let counts: Vec<_> = figures
        .homes
        .iter()
        .map(|h| (h.home.as_str(), h.point.count, h.point.of))
        .collect();
    assert_eq!(counts, [("H-1", 2, 3), ("H-2", 1, 2)]);
    assert_eq!((figures.pooled.count, figures.pooled.of), (3, 5));
    let sessions = &figures.sessions;
    assert_eq!(
        (
            sessions.success_per_session.count,
            sessions.success_per_session.of
        ),
        (2, 3)
    );
    assert_eq!(
        (
            sessions.success_per_manoeuvre.count,
            sessions.success_per_manoeuvre.of
        ),
        (2, 4)
    );
    assert_eq!((sessions.switches.count, sessions.switches.of), (1, 4));
    assert_eq!(figures.over_a_year.len(), 2);
    let text = figures.text();
    assert!(
        text.contains("H-1: 2 of 3, 66.7 %") && text.contains("lasts 14 days"),
        "{text}"
    );
    let svg = figures_svg(&figures);
    assert!(svg.contains("H-2") && svg.contains("3 of 5"));
    let nothing = figures_of(&[], &[14.0]);
    assert!(nothing.text().contains("nobody") && nothing.over_a_year.is_empty());
}
