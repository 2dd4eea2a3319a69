//! A filled-in form as a study: sequences and names looked up, or what is wrong with it in words.

use std::path::Path;

use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{Purpose, Scenario};
use lithodrome_study::{
    Judging, STUDY_FORMAT, Sequence, Study, StudyCase, StudyFile, SweepAxis, USUAL, Vary,
};

use super::form::{Asked, Form, Source, Varied, VaryForm};
use crate::work::library::library;

/// Name of the file that the open scenario is saved as beside a study file.
pub const OPEN_SCENARIO: &str = "open-scenario.ron";

/// A sequence with the name that a study file knows it by.
struct Named {
    file: String,
    sequence: Sequence,
}

/// The study that a form asks for.
pub fn study_of(form: &Form, draft: Option<&Scenario>) -> Result<Study, String> {
    let canal = form.canal_of(draft);
    let named = sequences(form, draft, canal)?;
    let sweep = if form.varies() {
        let first = named.first().map(|n| &n.sequence.scenario);
        axes(form, first.ok_or("sequence: found none, allowed is one")?)?
    } else {
        Vec::new()
    };
    let titles: Vec<&str> = named.iter().map(|n| n.sequence.name.as_str()).collect();
    let file = StudyFile {
        format: STUDY_FORMAT,
        title: title(form.asked, &titles, canal),
        case: StudyCase {
            ear: canal.ear,
            canal: canal.canal,
            place: form.place,
            diameter_um: None,
        },
        mixture: mixture_of(form)?,
        n: form.ears,
        seed: form.seed,
        sequences: named.iter().map(|n| n.file.clone()).collect(),
        judging: if form.with_control {
            Judging::WithControl
        } else {
            Judging::ControlIfBehind
        },
        wanted: (!sweep.is_empty()).then_some(form.wanted / 100.0),
        sweep,
        notes: None,
    };
    let sequences = named.into_iter().map(|n| n.sequence).collect();
    file.resolve_with(sequences, Path::new(""))
        .map_err(|e| e.to_string())
}

/// A name as it is, a file by its whole path: a study file that is saved elsewhere finds it too.
fn mixture_of(form: &Form) -> Result<String, String> {
    let mixture = form.mixture.trim();
    if mixture == USUAL {
        return Ok(mixture.to_owned());
    }
    let whole = std::path::absolute(mixture).map_err(|e| format!("mixture: {e}"))?;
    Ok(whole.display().to_string())
}

fn title(asked: Asked, sequences: &[&str], canal: CanalId) -> String {
    match (asked, sequences) {
        (Asked::MostEars, [one, ..]) => (*one).to_owned(),
        (Asked::Gentler, [one, another]) => format!("{one} beside {another}"),
        (Asked::Gentler, _) => format!("{} sequences side by side", sequences.len()),
        _ => format!("Within limits, {}", canal.name()),
    }
}

fn sequences(form: &Form, draft: Option<&Scenario>, canal: CanalId) -> Result<Vec<Named>, String> {
    let sources = match form.asked {
        Asked::MostEars => vec![form.first],
        Asked::Gentler => [&[form.first], form.others.as_slice()].concat(),
        Asked::WithinLimits => candidates(draft, canal),
    };
    let mut distinct = sources.clone();
    distinct.dedup();
    let twice = (0..sources.len()).any(|i| sources[..i].contains(&sources[i]));
    if form.asked == Asked::Gentler && (twice || distinct.len() < 2) {
        return Err("sequences: found the same one twice, allowed are different ones".to_owned());
    }
    let named = sources.iter().map(|source| named(*source, draft));
    let named = named.collect::<Result<Vec<_>, String>>()?;
    if named.is_empty() {
        return Err(format!("{}: the library has no treatment", canal.name()));
    }
    Ok(named)
}

/// The open scenario if it moves at all, and all treatments of a canal.
fn candidates(draft: Option<&Scenario>, canal: CanalId) -> Vec<Source> {
    let of_library = library().iter().enumerate().filter(|(_, entry)| {
        let mut targets = entry.about.targets.iter();
        entry.about.kind == Purpose::Treatment
            && targets.any(|t| (t.ear, t.canal) == (canal.ear, canal.canal))
    });
    let open = draft.filter(|d| !d.steps.is_empty()).map(|_| Source::Draft);
    let of_library = of_library.map(|(i, _)| Source::Library(i));
    open.into_iter().chain(of_library).collect()
}

fn named(source: Source, draft: Option<&Scenario>) -> Result<Named, String> {
    let named = |file: &str, name: String, scenario: &Scenario| Named {
        file: file.to_owned(),
        sequence: Sequence {
            name,
            scenario: scenario.clone(),
            diameter_um: None,
        },
    };
    match source {
        Source::Draft => {
            let draft = draft.ok_or("sequence: no scenario is open")?;
            if draft.steps.is_empty() {
                return Err("sequence: the open scenario has no steps".to_owned());
            }
            Ok(named(OPEN_SCENARIO, name_of(source, Some(draft)), draft))
        }
        Source::Library(i) => {
            let entry = library()
                .get(i)
                .ok_or("sequence: the library has no such entry")?;
            Ok(named(entry.name, entry.title.clone(), &entry.scenario))
        }
    }
}

/// What a sequence is called in the window.
pub fn name_of(source: Source, draft: Option<&Scenario>) -> String {
    match source {
        Source::Draft => match draft {
            Some(draft) => format!("Open: {}", draft.title),
            None => "No scenario is open".to_owned(),
        },
        Source::Library(i) => library()
            .get(i)
            .map_or_else(|| "Nothing".to_owned(), |entry| entry.title.clone()),
    }
}

fn axes(form: &Form, scenario: &Scenario) -> Result<Vec<SweepAxis>, String> {
    let steps = steps_of(&form.steps, scenario)?;
    let mut axes: Vec<SweepAxis> = Vec::new();
    for axis in form.vary {
        let Some(what) = axis.what else { continue };
        let vary = vary_of(what, &steps);
        if axes.iter().any(|a| a.vary == vary) {
            return Err(format!("vary: found {} twice", what.name()));
        }
        axes.push(SweepAxis {
            vary,
            values: values(axis),
        });
    }
    Ok(axes)
}

fn vary_of(what: Varied, steps: &[usize]) -> Vary {
    let steps = steps.to_vec();
    match what {
        Varied::Hold => Vary::HoldS { steps },
        Varied::BelowHorizontal => Vary::BelowHorizontalDeg { steps },
        Varied::Speed => Vary::SpeedDegS { steps },
        Varied::StopEvery => Vary::StopEveryDeg { steps },
        Varied::Diameter => Vary::DiameterUm,
    }
}

/// Evenly spaced, to a tenth.
fn values(axis: VaryForm) -> Vec<f64> {
    let last = f64::from(axis.points.max(2) - 1);
    let at = |i: u32| axis.from + (axis.to - axis.from) * f64::from(i) / last;
    (0..axis.points.max(2))
        .map(|i| (at(i) * 10.0).round() / 10.0)
        .collect()
}

/// Steps by their numbers, or those in which the patient lies, or all but the last.
fn steps_of(text: &str, scenario: &Scenario) -> Result<Vec<usize>, String> {
    let numbers: Vec<&str> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter(|n| !n.is_empty())
        .collect();
    if numbers.is_empty() {
        let angles = scenario.angles_deg();
        // More than halfway down.
        let lies = |at: &[f64; 2]| at[1].to_radians().cos() < 0.707;
        let lying = angles.iter().enumerate().filter(|(_, at)| lies(at));
        let lying: Vec<usize> = lying.map(|(i, _)| i + 1).collect();
        return Ok(if lying.is_empty() {
            (1..scenario.steps.len().max(2)).collect()
        } else {
            lying
        });
    }
    let number = |n: &&str| {
        let allowed = format!("steps: found {n}, allowed is 1 to {}", scenario.steps.len());
        n.parse().map_err(|_| allowed)
    };
    numbers.iter().map(number).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(name: &str) -> usize {
        library().iter().position(|e| e.name == name).unwrap()
    }

    fn epley() -> Scenario {
        library()[place("right-posterior-epley-whole-body")]
            .scenario
            .clone()
    }

    #[test]
    fn a_form_names_what_a_study_file_can_look_up() {
        let form = Form {
            asked: Asked::Gentler,
            others: vec![Source::Library(place("right-posterior-semont-whole-body"))],
            ears: 12,
            ..Form::default()
        };
        let study = study_of(&form, Some(&epley())).unwrap();
        assert_eq!(
            study.file.sequences,
            [OPEN_SCENARIO, "right-posterior-semont-whole-body"]
        );
        assert_eq!(study.canal().name(), "right posterior canal");
        assert_eq!(study.file.n, 12);
    }

    #[test]
    fn what_is_wrong_with_a_form_is_told() {
        let told = |form: &Form, draft: Option<&Scenario>| study_of(form, draft).unwrap_err();
        assert!(told(&Form::default(), None).contains("no scenario is open"));
        let same = Form {
            asked: Asked::Gentler,
            ..Form::default()
        };
        assert!(told(&same, Some(&epley())).contains("twice"));
        let none = Form {
            ears: 0,
            ..Form::default()
        };
        assert!(told(&none, Some(&epley())).starts_with("n: found 0"));
        let steps = Form {
            vary: [
                VaryForm {
                    what: Some(Varied::Hold),
                    ..VaryForm::default()
                },
                VaryForm::default(),
            ],
            steps: "2, 40".to_owned(),
            ..Form::default()
        };
        assert!(told(&steps, Some(&epley())).contains("found 40"));
    }

    #[test]
    fn a_mixture_file_is_named_by_its_whole_path() {
        let with = |mixture: &str| Form {
            mixture: mixture.to_owned(),
            ..Form::default()
        };
        assert_eq!(mixture_of(&with(" usual ")).unwrap(), USUAL);
        let whole = std::env::current_dir().unwrap().join("of-mine.ron");
        let named = mixture_of(&with("of-mine.ron")).unwrap();
        assert_eq!(Path::new(&named), whole);
        let folder = tempfile::tempdir().unwrap();
        let there = folder.path().join("there.ron");
        let usual = include_str!("../../../../assets/mixtures/usual.ron");
        std::fs::write(&there, usual).unwrap();
        let form = with(&there.display().to_string());
        let study = study_of(&form, Some(&epley())).unwrap();
        // From wherever its file lies.
        let elsewhere = tempfile::tempdir().unwrap();
        let sequences = study.sequences.clone();
        assert!(study.file.resolve_with(sequences, elsewhere.path()).is_ok());
        assert!(mixture_of(&with("")).is_err());
    }

    #[test]
    fn lying_steps_are_varied_if_none_is_named() {
        // Its second, third and fourth step lie; the first and the last sit.
        assert_eq!(steps_of("", &epley()).unwrap(), [2, 3, 4]);
        assert_eq!(steps_of("3, 4", &epley()).unwrap(), [3, 4]);
        let axis = VaryForm {
            what: Some(Varied::Hold),
            from: 10.0,
            to: 40.0,
            points: 4,
        };
        assert_eq!(values(axis), [10.0, 20.0, 30.0, 40.0]);
    }

    #[test]
    fn every_treatment_of_the_canal_is_a_candidate() {
        let form = Form {
            asked: Asked::WithinLimits,
            ..Form::default()
        };
        let study = study_of(&form, Some(&epley())).unwrap();
        assert!(study.sequences.len() > 4);
        assert!(
            study.file.sequences[1..]
                .iter()
                .all(|n| n.starts_with("right-posterior"))
        );
    }
}
