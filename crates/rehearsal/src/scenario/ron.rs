//! Scenario files: RON text to [`Scenario`] and back, with line and column where it fails.

use std::path::Path;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Deserialize;

use super::entries::{FORMAT, Scenario};
use super::syntax;
use crate::error::RehearsalError;

/// The scenario in a text; `path` is where it is from. Ranges are not checked here, [`crate::check`] does.
pub fn scenario_from_ron(text: &str, path: &Path) -> Result<Scenario, RehearsalError> {
    // The version decides how the rest is read, so it is looked at before any other field.
    let FormatOnly { format } = parse(text, path)?;
    if format != FORMAT {
        return Err(RehearsalError::Format {
            path: path.to_owned(),
            found: format,
            allowed: FORMAT,
        });
    }
    parse(text, path)
}

/// A scenario as text: one line per debris entry and per step, optional fields left out.
pub(crate) fn scenario_to_ron(scenario: &Scenario) -> Result<String, ron::Error> {
    let layout = PrettyConfig::new().depth_limit(2).new_line("\n");
    let mut text = options().to_string_pretty(scenario, layout)?;
    text.push('\n');
    Ok(text)
}

#[derive(Deserialize)]
#[serde(rename = "Scenario")]
struct FormatOnly {
    format: u32,
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

fn parse<'de, T: Deserialize<'de>>(text: &'de str, path: &Path) -> Result<T, RehearsalError> {
    options()
        .from_str(text)
        .map_err(|e| RehearsalError::Syntax {
            path: path.to_owned(),
            line: e.span.start.line,
            column: e.span.start.col,
            reason: syntax::words(text, &e),
        })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::scenario::{
        About, At, DebrisEntry, EyesEntry, Limits, Mechanism, Purpose, StartAngles, StepEntry,
        Target,
    };
    use lithodrome_debris::{CupulaFace, Engine};
    use lithodrome_labyrinth::{Canal, Ear};
    use lithodrome_nystagmus::Cover;

    /// Every field written.
    pub(crate) fn full() -> Scenario {
        let entry = |at| DebrisEntry {
            density_g_cm3: Some(2.71),
            ..DebrisEntry::new(Ear::Left, Canal::Lateral, at, 3, 0.1 + 0.2)
        };
        Scenario {
            format: 1,
            title: "A \"quoted\" title, µm".to_owned(),
            about: Some(About {
                kind: Purpose::Treatment,
                targets: vec![Target {
                    ear: Ear::Left,
                    canal: Canal::Lateral,
                }],
                mechanisms: vec![Mechanism::CupulaCanalSide],
                source: "Somebody 1999".to_owned(),
                repeats: "Twice".to_owned(),
                cautions: vec!["Mind the \"neck\"".to_owned()],
                hold_rule: "30 s".to_owned(),
            }),
            anatomy: "mean-adult".to_owned(),
            debris: [
                At::AmpullaryArm,
                At::Arc { mm: 1.0 / 3.0 },
                At::OnCupula {
                    side: CupulaFace::Utricle,
                },
            ]
            .map(entry)
            .to_vec(),
            cupulae: Vec::new(),
            chair: StartAngles {
                yaw_deg: -45.0,
                track_deg: 1e-7,
                headrest_flexion_deg: 12.5,
            },
            steps: vec![StepEntry {
                name: "Two\nlines".to_owned(),
                track_deg: Some(120.0),
                move_s: 3.0,
                hold_s: 30.0,
                ..StepEntry::default()
            }],
            body: None,
            recorded: Vec::new(),
            chair_limits: None,
            limits: Some(Limits {
                head_down_deg: Some(30.0),
                ..Limits::default()
            }),
            seed: Some(u64::MAX),
            engine: Some(Engine::Rigid),
            sat_s: Some(60.0),
            visible_spv_deg_s: Some(2.0),
            eyes: Some(EyesEntry {
                cover: Cover::OpenLight,
                gaze_right_deg: 20.0,
                gaze_up_deg: -5.0,
                torsion_has_sense: true,
            }),
            notes: Some("Free text".to_owned()),
        }
    }

    #[test]
    fn text_is_tidy_and_leaves_out_what_is_not_set() {
        let mut scenario = full();
        scenario.about = None;
        scenario.limits = None;
        scenario.seed = None;
        scenario.engine = None;
        scenario.sat_s = None;
        scenario.visible_spv_deg_s = None;
        scenario.eyes = None;
        scenario.notes = None;
        scenario.debris.truncate(1);
        scenario.debris[0].density_g_cm3 = None;
        let text = scenario_to_ron(&scenario).unwrap();
        println!("{text}");
        assert!(!text.contains("Some") && !text.contains("None") && !text.contains("enable"));
        assert!(!text.contains("seed"), "{text}");
        // One line per entry, indented by list and by scenario.
        let line = text
            .lines()
            .find(|l| l.contains("Lateral"))
            .expect("a line of debris");
        assert!(
            line.starts_with("        (") && line.ends_with("),"),
            "{line}"
        );
    }

    #[test]
    fn another_format_is_told_before_anything_else() {
        let text = "(format: 2, title: 7, novel: [(a: Some(1))])";
        let error = scenario_from_ron(text, Path::new("a.ron")).unwrap_err();
        assert_eq!(error.to_string(), "a.ron: format: found 2, allowed is 1");
    }

    #[test]
    fn an_unknown_field_is_told_with_line_and_column() {
        let text = "(\n    format: 1,\n    title: \"A\",\n    steps: [(name: \"B\", moves: 3.0, hold_s: 1.0)],\n)";
        let message = scenario_from_ron(text, Path::new("a.ron"))
            .unwrap_err()
            .to_string();
        assert!(message.starts_with("a.ron:4:"), "{message}");
        assert!(message.contains("moves"), "{message}");
    }
}
