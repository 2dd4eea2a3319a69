//! A run and what is seen in each of its holds, not judged as a whole.

use lithodrome_debris::{Run, Warning, simulate};
use lithodrome_nystagmus::{EyeTrace, Finding, Reflex, eyes_after_sitting};

use super::holds::findings_of;
use super::progress::Progress;
use crate::check::Cost;
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::report::{StepReport, steps_of};

/// A run, the eyes, and what is seen.
#[derive(Clone, Debug)]
pub struct Observed {
    /// Positions and cupulae.
    pub run: Run,
    /// Eyes.
    pub eyes: EyeTrace,
    /// What is seen, `[step]`.
    pub steps: Vec<StepReport>,
    /// The same as it was judged, `[step]`.
    pub findings: Vec<Finding>,
}

/// A body farther outside the lumen than this makes a run worthless, µm: the size of a clump.
const OUTSIDE_UM: f64 = 50.0;

/// Every body has stayed in the lumen but for what contacts give way.
pub(crate) fn stays_inside(run: &Run) -> Result<(), RehearsalError> {
    let outside = run.warnings.iter().find_map(|warning| match warning {
        Warning::OutsideLumen {
            time_s,
            debris,
            by_um,
        } if *by_um > OUTSIDE_UM => Some(RehearsalError::LeftLumen {
            path: None,
            debris: debris + 1,
            by_um: *by_um,
            allowed_um: OUTSIDE_UM,
            time_s: *time_s,
        }),
        _ => None,
    });
    outside.map_or(Ok(()), Err)
}

/// Runs a compiled scenario; about half the work of a whole rehearsal.
pub fn observe(compiled: &Compiled, progress: Progress) -> Result<Observed, RehearsalError> {
    Cost::of(&compiled.scenario, compiled.engine).check()?;
    let run = simulate(&compiled.model, &compiled.motion, compiled.engine, progress)?;
    stays_inside(&run)?;
    let watching = compiled.judging.watching;
    let eyes = eyes_after_sitting(&run, &Reflex::default(), watching, compiled.sat_s);
    let findings = findings_of(compiled, &eyes);
    let steps = steps_of(compiled, &findings)?;
    Ok(Observed {
        run,
        eyes,
        steps,
        findings,
    })
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;
    use std::path::Path;

    use super::*;
    use crate::compile::compile;
    use crate::scenario::scenario_from_ron;

    /// A body 49 µm outside is what contacts give way by; 51 µm make the run an error that names body and time.
    #[test]
    fn a_body_far_outside_the_lumen_is_an_error_and_not_a_warning() {
        let text = "(format: 1, title: \"t\", steps: [(name: \"Wait\", move_s: 0.0, hold_s: 1.0)])";
        let scenario = scenario_from_ron(text, Path::new("t.ron")).unwrap();
        let compiled = compile(&scenario, Path::new("")).unwrap();
        let mut run = observe(&compiled, &mut |_| ControlFlow::Continue(()))
            .unwrap()
            .run;
        let mut outside = |by_um| {
            run.warnings = vec![Warning::OutsideLumen {
                time_s: 0.5,
                debris: 1,
                by_um,
            }];
            stays_inside(&run)
        };
        outside(49.0).unwrap();
        let words = outside(51.0).unwrap_err().to_string();
        let told = "debris 2 was 51 µm outside the lumen at 0.5 s, allowed are 50 µm";
        assert!(words.contains(told), "{words}");
    }
}
