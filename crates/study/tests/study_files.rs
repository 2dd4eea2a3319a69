//! Study and mixture files: what they say, and what is told where they cannot be used.

use std::ops::ControlFlow;
use std::path::Path;

use lithodrome_study::{
    CaseMixture, StudyFile, SummaryTable, SweepAxis, Vary, compute, report, write_summary,
};

fn message(fields: &str) -> String {
    let text = format!("(format: 1, title: \"T\", case: (ear: Left, canal: Lateral), {fields})");
    let read = StudyFile::from_ron(&text, Path::new("s.ron"));
    match read.and_then(|file| file.resolve(Path::new("nowhere"))) {
        Ok(_) => "nothing".to_owned(),
        Err(error) => error.to_string(),
    }
}

#[test]
fn what_is_wrong_with_a_study_is_told_with_its_place() {
    let gufoni = r#"sequences: ["left-lateral-gufoni-geotropic"]"#;
    for (fields, start) in [
        (
            format!("n: 0, {gufoni}"),
            "s.ron: n: found 0, allowed is 1 to 65536",
        ),
        (format!("n: 70000, {gufoni}"), "s.ron: n: found 70000"),
        (
            "n: 5, sequences: []".to_owned(),
            "s.ron: sequences: found 0",
        ),
        (format!("n: 5, m: 6, {gufoni}"), "s.ron:1:"),
        (
            format!("n: 5, wanted: 1.5, {gufoni}"),
            "s.ron: wanted: found 1.5",
        ),
        (
            "n: 5, sequences: [\"none.ron\"]".to_owned(),
            "nowhere/none.ron: cannot be read",
        ),
        (
            format!("n: 5, mixture: \"none.ron\", {gufoni}"),
            "nowhere/none.ron: cannot be read",
        ),
        (
            "n: 5, sequences: [\"right-lateral-gufoni-geotrpic\"]".to_owned(),
            "sequences: there is no \"right-lateral-gufoni-geotrpic\" in the library and no such file: did you mean \
             right-lateral-gufoni-geotropic?",
        ),
        (
            format!("n: 5, sweep: [(vary: HoldS(steps: [40]), values: [1.0])], {gufoni}"),
            "sweep.hold_s.steps: found 40",
        ),
        (
            format!("n: 5, sweep: [(vary: DiameterUm, values: [50.0, 20.0])], {gufoni}"),
            "sweep.values: found [50.0, 20.0], allowed is rising values",
        ),
    ] {
        let message = message(&fields);
        assert!(message.starts_with(start), "{message}");
    }
    let ahead = StudyFile::from_ron("(format: 2)", Path::new("s.ron")).unwrap_err();
    assert!(ahead.to_string().starts_with("s.ron"), "{ahead}");
    assert_eq!(message(&format!("n: 5, {gufoni}")), "nothing");
}

#[test]
fn the_shipped_mixture_has_a_source_for_every_number() {
    let usual = CaseMixture::usual().unwrap();
    let debris = &usual.debris;
    let operator = &usual.operator;
    let sources = [
        &debris.diameter_um.source,
        &debris.density_g_cm3.source,
        &debris.count.source,
        &debris.place.source,
        &debris.wall_adhesion_g.source,
        &operator.chair_angle_sd_deg.source,
        &operator.bedside_angle_sd_deg.source,
        &operator.set_up_sd_deg.source,
        &operator.hold_log_sd.source,
        &operator.move_log_sd.source,
    ];
    assert!(sources.iter().all(|source| source.len() > 20));
}

/// A mixture in another folder brings the anatomy beside it, wherever the study is.
#[test]
fn a_mixture_looks_for_its_anatomy_in_its_own_folder() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("own");
    std::fs::create_dir(&own).unwrap();
    let shipped = |path: &str| {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets");
        std::fs::read_to_string(root.join(path)).unwrap()
    };
    std::fs::write(own.join("wide.ron"), shipped("anatomies/wide-ducts.ron")).unwrap();
    let mixture = shipped("mixtures/usual.ron");
    let named = mixture.replace("anatomy: \"typical-adult\"", "anatomy: \"wide.ron\"");
    assert_ne!(named, mixture);
    std::fs::write(own.join("mixture.ron"), named).unwrap();
    let text = "(format: 1, title: \"T\", case: (ear: Right, canal: Lateral), n: 5, seed: 1, \
                mixture: \"own/mixture.ron\", sequences: [\"right-lateral-gufoni-geotropic\"])";
    let study = StudyFile::from_ron(text, &folder.path().join("s.ron")).unwrap();
    let study = study.resolve(folder.path()).unwrap();
    assert_eq!(study.anatomy.name, "wide-ducts");
}

#[test]
fn a_mixture_out_of_range_is_told_with_its_field() {
    let mut mixture = CaseMixture::usual().unwrap();
    mixture.debris.diameter_um.value = mixture.debris.diameter_um.value.within(90.0, 60.0);
    let message = mixture.check().unwrap_err().to_string();
    assert!(
        message.starts_with("debris.diameter_um: found"),
        "{message}"
    );
    let mut mixture = CaseMixture::usual().unwrap();
    mixture.operator.hold_log_sd.value = f64::NAN;
    assert!(mixture.check().is_err());
    let mut mixture = CaseMixture::usual().unwrap();
    mixture.debris.count.value[0].weight = 0.0;
    assert!(mixture.check().is_err());
}

/// Two ears of a small sweep: what is written is read again, and every table has a row for each thing.
#[test]
fn a_study_is_written_and_its_tables_have_units_and_provenance() {
    let folder = tempfile::tempdir().unwrap();
    let text = r#"(format: 1, title: "Two", case: (ear: Right, canal: Posterior), n: 2, seed: 5,
        sequences: ["right-posterior-epley-whole-body"])"#;
    let mut file = StudyFile::from_ron(text, Path::new("s.ron")).unwrap();
    file.sweep = vec![SweepAxis {
        vary: Vary::HoldS { steps: vec![2] },
        values: vec![10.0, 30.0],
    }];
    let path = folder.path().join("study.ron");
    file.write(&path).unwrap();
    assert_eq!(StudyFile::read(&path).unwrap(), file);
    let study = file.clone().resolve(folder.path()).unwrap();
    let same = file.resolve_with(vec![study.sequences[0].clone()], folder.path());
    assert_eq!(same.unwrap(), study);
    let question = study.question().unwrap();
    let rows = compute(&question, 0..2, Some(1), &|_, _| ControlFlow::Continue(())).unwrap();
    let report = report(&study, &rows).unwrap();
    for (table, rows, column) in [
        (SummaryTable::Sequences, 1, "lowest_head_deg"),
        (SummaryTable::Convergence, 1, "cleared_share_low"),
        (SummaryTable::Grid, 2, "hold_s"),
        (SummaryTable::Inputs, 0, "first_order_index"),
        (
            SummaryTable::WorstEars,
            report.sequences[0].worst.len(),
            "ear_index",
        ),
    ] {
        let path = folder.path().join("table.csv");
        write_summary(&study, &report, table, &path).unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains("# seed: 5") && text.contains("not a medical device"));
        let lines: Vec<&str> = text.lines().filter(|l| !l.starts_with('#')).collect();
        assert!(lines[0].split(',').any(|c| c == column), "{}", lines[0]);
        if table != SummaryTable::Inputs && table != SummaryTable::Convergence {
            assert_eq!(lines.len(), rows + 1, "{table:?}");
        }
        write_summary(&study, &report, table, &path.with_extension("parquet")).unwrap();
    }
    let wrong = write_summary(
        &study,
        &report,
        SummaryTable::Grid,
        &folder.path().join("a.txt"),
    );
    assert!(wrong.unwrap_err().to_string().contains(".csv or .parquet"));
}
