//! Runs a compiled scenario.

use std::ops::ControlFlow;

use lithodrome_debris::Run;
use lithodrome_nystagmus::EyeTrace;

use super::judged::judged;
use super::observe::{Observed, observe};
use super::progress::Progress;
use super::short_hold::short_holds;
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::report::{Judged, Report, report_of};
use crate::rules::test_answer;

/// Share of the work that is the run itself; the rest is what follows it.
const OWN_SHARE: f64 = 0.5;

/// One scenario, computed.
#[derive(Clone, Debug)]
pub struct Rehearsed {
    /// Positions and cupulae.
    pub run: Run,
    /// Eyes.
    pub eyes: EyeTrace,
    /// The whole run in one word, and what it rests on.
    pub judged: Judged,
    /// Per step and per debris.
    pub report: Report,
}

/// Runs to the end.
pub fn rehearse(compiled: &Compiled) -> Result<Rehearsed, RehearsalError> {
    rehearse_with_progress(compiled, &mut |_| ControlFlow::Continue(()))
}

/// Runs, telling the share done (0 to 1) now and then; `Break` cancels.
pub fn rehearse_with_progress(
    compiled: &Compiled,
    progress: Progress,
) -> Result<Rehearsed, RehearsalError> {
    let Observed {
        run,
        eyes,
        steps,
        findings,
    } = observe(compiled, &mut |share| progress(OWN_SHARE * share))?;
    let rest = &mut |share: f64| progress(OWN_SHARE + (1.0 - OWN_SHARE) * share);
    let judged = judged(compiled, &run, rest)?;
    let mut report = report_of(compiled, &run, steps, &judged)?;
    let times = compiled.motion.times().iter();
    let downs: Vec<_> = times
        .map(|t| compiled.motion.at(t.hold_from_s).down_in_head)
        .collect();
    let short = short_holds(compiled, &run)?;
    for (step, short) in report.steps.iter_mut().zip(short) {
        step.short_hold = short;
    }
    report.test_answer = test_answer(&compiled.scenario, &compiled.labyrinth, &downs, &findings);
    Ok(Rehearsed {
        run,
        eyes,
        judged,
        report,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile;
    use crate::scenario::scenario_from_ron;
    use std::path::Path;

    fn rehearsed(text: &str) -> Rehearsed {
        let scenario = scenario_from_ron(text, Path::new("t.ron")).unwrap();
        rehearse(&compile(&scenario, Path::new("")).unwrap()).unwrap()
    }

    /// Debris that begins in the utricle or on the utricular face of a cupula cannot enter a duct
    /// while the patient sits: hand calculation of where each ends.
    const SITTING: &str = r#"(
        format: 1, title: "Sitting", limits: (speed_deg_s: 10.0),
        debris: [
            (ear: Right, canal: Posterior, at: Utricle, count: 2, diameter_um: 30.0),
            (ear: Left, canal: Lateral, at: OnCupula(side: Utricle), count: 1, diameter_um: 30.0),
        ],
        steps: [
            (name: "Pass", yaw_deg: 45.0, move_s: 3.0, hold_s: 0.0),
            (name: "Wait", move_s: 0.0, hold_s: 4.0),
        ],
    )"#;

    #[test]
    fn the_report_tells_steps_debris_and_limits() {
        let report = rehearsed(SITTING).report;
        assert!((report.duration_s - 7.0).abs() < 1e-9);
        assert_eq!((report.format, report.engine), (1, "settling"));
        let holds: Vec<_> = report.steps.iter().map(|s| s.hold_from_s).collect();
        assert_eq!(holds, [3.0, 3.0]);
        // Nothing is judged where nobody waits.
        assert_eq!(report.steps[0].sentence, "No nystagmus seen.");
        assert_eq!(report.debris.len(), 3);
        assert!(report.debris[2].on_cupula && !report.debris[0].on_cupula);
        assert_eq!(report.debris[0].canal, "posterior");
        assert!(!report.cleared, "one body is on a cupula");
        assert!(report.switched_to.is_empty());
        // Minimum jerk: 15/8 of 45° in 3 s is 28.1°/s, in the middle of the move.
        let warning = report.warnings.last().expect("a broken limit");
        assert!(
            warning.starts_with("step 1 (Pass) at 1.5 s: the head turns at 28.1°/s"),
            "{warning}"
        );
    }

    #[test]
    fn a_case_without_debris_is_cleared_and_shows_nothing() {
        let report = rehearsed(
            r#"(format: 1, title: "Empty", steps: [(name: "Back", track_deg: 120.0, move_s: 3.0, hold_s: 20.0)])"#,
        )
        .report;
        assert!(report.cleared && report.debris.is_empty() && report.warnings.is_empty());
        assert_eq!(report.steps[0].nystagmus.vertical, "none");
        assert!(report.steps[0].nystagmus.peak_spv_deg_s.abs() < 1e-9);
    }

    /// Debris that has sat for two minutes lies still, so that somebody who just sits shows nothing at all; an
    /// exact place is kept and shows that it slides.
    #[test]
    fn a_patient_who_just_sits_shows_nothing() {
        let sitting = |at: &str, more: &str| {
            let text = format!(
                "(format: 1, title: \"Sits\", {more} debris: [(ear: Right, canal: Posterior, at: {at}, \
                 count: 8, diameter_um: 50.0)], steps: [(name: \"Sit\", move_s: 0.0, hold_s: 60.0)])"
            );
            let report = rehearsed(&text).report;
            report.steps[0].nystagmus.peak_spv_deg_s
        };
        let settled = sitting("AmpullaryArm", "");
        assert!(settled < 0.5, "{settled}");
        assert!(sitting("AmpullaryArm", "sat_s: 0.0,") > settled);
        assert!(sitting("Arc(mm: 7.0)", "") > 3.0);
    }

    #[test]
    fn a_run_can_be_broken_off() {
        let scenario = scenario_from_ron(SITTING, Path::new("t.ron")).unwrap();
        let compiled = compile(&scenario, Path::new("")).unwrap();
        let error = rehearse_with_progress(&compiled, &mut |_| ControlFlow::Break(())).unwrap_err();
        assert!(matches!(error, RehearsalError::Simulate { .. }), "{error}");
    }

    #[test]
    fn the_trace_has_one_row_per_sample_and_a_name_per_column() {
        let scenario = scenario_from_ron(SITTING, Path::new("t.ron")).unwrap();
        let compiled = compile(&scenario, Path::new("")).unwrap();
        let rehearsed = rehearse(&compiled).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("trace.csv");
        crate::write_trace(&compiled, &rehearsed.run, &rehearsed.eyes, &path).unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("# Scenario: Sitting\n"), "{text:.80}");
        assert!(text.contains("# down_x, down_y, down_z: gravity in head axes, x to the nose"));
        let mut table = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(&path)
            .unwrap();
        let header = table.headers().unwrap().clone();
        let column = |name: &str| header.iter().position(|h| h == name).expect("a column");
        let rows: Vec<_> = table.records().collect::<Result<_, _>>().unwrap();
        assert_eq!(rows.len(), rehearsed.run.time_s.len());
        let last = rows.last().unwrap();
        assert_eq!(&last[column("time_s")], "7");
        assert_eq!(&last[column("step")], "2");
        assert_eq!(&last[column("yaw_deg")], "45");
        assert_eq!(&last[column("down_z")], "-1");
        assert_ne!(&last[column("debris_1_region")], "posterior duct");
        column("right_posterior_debris_deg_s");
        column("left_lateral_rotation_deg_s");
        column("debris_slow_phase_down_deg_s");
    }
}
