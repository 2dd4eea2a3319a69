//! Study and mixture files: what they say, and what is told where they cannot be used.

use std::path::Path;

use lithodrome_study::{CaseMixture, StudyFile};

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
