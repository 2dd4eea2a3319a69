//! Both engines tell the same story of one grain, and a similar one of a cloud.
//!
//! Tolerances: both movers, with one law of forces, were compared with each other and with an
//! independent stiff integrator on long manoeuvres. What is left are differences of time, so the
//! allowed distance grows with speed: 15 ms in a duct, 100 ms where parts open into each other.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{Engine, Physics, Place, Run};
use lithodrome_labyrinth::{Canal, Ear, Region};
use scene::{debris, epley, labyrinth, motion, out_of_canal, resisting, run};

/// How far apart two runs of one grain are on its course.
struct Apart {
    rms_mm: f64,
    /// The worst distance over what is allowed there.
    worst_share: f64,
    /// Where, told in words.
    worst: String,
}

fn apart(settling: &Run, rigid: &Run) -> Apart {
    let duct_end = labyrinth()
        .ear(Ear::Right)
        .canal(Canal::Posterior)
        .landmarks
        .duct_end_mm;
    let in_duct =
        |p: Place| p.region == Region::Duct(Canal::Posterior) && p.arc_mm < duct_end - 1.0;
    let (a, b) = (&settling.tracks[0], &rigid.tracks[0]);
    let time = &settling.time_s;
    assert_eq!(time.len(), rigid.time_s.len());
    let (mut squares, mut count) = (0.0, 0.0);
    let mut out = Apart {
        rms_mm: 0.0,
        worst_share: 0.0,
        worst: String::new(),
    };
    for i in 1..time.len() - 1 {
        let speed = |course: &[f32]| {
            f64::from((course[i + 1] - course[i - 1]).abs()) / (time[i + 1] - time[i - 1])
        };
        let fast = speed(&a.course_mm).max(speed(&b.course_mm));
        let off = f64::from((a.course_mm[i] - b.course_mm[i]).abs());
        if !(fast + off).is_finite() {
            // In another canal there is no course.
            continue;
        }
        let late = if in_duct(a.place[i]) && in_duct(b.place[i]) {
            0.015
        } else {
            0.100
        };
        let share = off / (0.010 + late * fast);
        if share > out.worst_share {
            out.worst_share = share;
            out.worst = format!("{off:.4} mm at {:.2} s, {:?}", time[i], a.place[i]);
        }
        squares += off * off;
        count += 1.0;
    }
    out.rms_mm = f64::sqrt(squares / count);
    out
}

fn check_one(diameter_um: f64, hold_s: f64, resistance: f64) {
    let motion = epley(Ear::Right, hold_s);
    let group = [resisting(debris(Ear::Right, 1, diameter_um), resistance)];
    let [settling, rigid] = [Engine::Settling, Engine::Rigid]
        .map(|engine| run(&group, Physics::default(), &motion, engine));
    let apart = apart(&settling, &rigid);
    let (a, b) = (&settling.tracks[0], &rigid.tracks[0]);
    println!(
        "{diameter_um} µm, holds {hold_s} s: rms {:.2} µm, {:.0} % of what is allowed ({}); \
         exits {:?} {:?}",
        apart.rms_mm * 1e3,
        apart.worst_share * 100.0,
        apart.worst,
        a.exit_s,
        b.exit_s
    );
    assert!(apart.worst_share <= 1.0, "{}", apart.worst);
    assert!(apart.rms_mm <= 0.005, "rms {} mm", apart.rms_mm);
    assert_eq!(
        a.place.last().map(|p| p.region),
        b.place.last().map(|p| p.region)
    );
    assert_eq!(a.exit_s.is_some(), b.exit_s.is_some());
    if let (Some(a), Some(b)) = (a.exit_s, b.exit_s) {
        assert!((a - b).abs() <= 0.1, "exits at {a} and {b} s");
    }
}

#[test]
fn one_small_grain_takes_the_same_way() {
    check_one(20.0, 30.0, 0.0);
}

#[test]
fn one_small_grain_takes_the_same_way_through_long_holds() {
    check_one(20.0, 120.0, 0.0);
}

#[test]
fn one_big_grain_takes_the_same_way_and_leaves_at_the_same_time() {
    check_one(50.0, 30.0, 0.0);
}

#[test]
fn friction_slows_both_alike() {
    check_one(30.0, 60.0, 0.2);
    check_one(50.0, 30.0, 0.35);
}

/// Clouds: any two solvers shuffle neighbours differently, so only the distribution is compared.
#[test]
fn a_cloud_leaves_at_the_same_times() {
    let motion = epley(Ear::Right, 30.0);
    let group = [debris(Ear::Right, 8, 50.0)];
    let exits = [Engine::Settling, Engine::Rigid].map(|engine| {
        let run = run(&group, Physics::default(), &motion, engine);
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        for track in &run.tracks {
            assert!(out_of_canal(track), "{engine:?}: {:?}", track.place.last());
        }
        let mut exits: Vec<f64> = run.tracks.iter().map(|t| t.exit_s.unwrap()).collect();
        exits.sort_by(f64::total_cmp);
        exits
    });
    println!("settling {:?}\nrigid    {:?}", exits[0], exits[1]);
    let median = |e: &[f64]| 0.5 * (e[3] + e[4]);
    let [a, b] = exits.each_ref().map(|e| [e[0], median(e), e[7]]);
    for (a, b) in a.into_iter().zip(b) {
        assert!((a - b).abs() <= 1.0, "settling {a} s, rigid {b} s");
    }
}

/// The left ear is the right one's mirror image, and so is the manoeuvre for it.
#[test]
fn the_left_ear_mirrors_the_right() {
    let exits = Ear::ALL.map(|ear| {
        let run = run(
            &[debris(ear, 1, 50.0)],
            Physics::default(),
            &epley(ear, 30.0),
            Engine::Rigid,
        );
        assert!(out_of_canal(&run.tracks[0]));
        run.tracks[0].exit_s.unwrap()
    });
    println!("left and right exits {exits:?}");
    assert!((exits[0] - exits[1]).abs() <= 0.1, "{exits:?}");
}

/// Lying on the cupula's canal side, debris rests on the face in both engines and bends it alike.
#[test]
fn debris_on_the_cupula_bends_it_alike() {
    let motion = motion((0.0, 0.0), &[(45.0, -60.0, 3.0, 60.0)]);
    let group = [debris(Ear::Right, 1, 50.0)];
    let cupula = labyrinth().ear(Ear::Right).canal(Canal::Posterior).cupula;
    let rest_mm = cupula.thickness_mm / 2.0 + 0.025 * 1.01;
    let runs =
        [Engine::Settling, Engine::Rigid].map(|e| run(&group, Physics::default(), &motion, e));
    let canal = lithodrome_labyrinth::CanalId {
        ear: Ear::Right,
        canal: Canal::Posterior,
    }
    .index();
    let [a, b] = runs.each_ref().map(|r| {
        let at = r.tracks[0]
            .position_in_reid_mm
            .last()
            .unwrap()
            .map(f64::from);
        let to_face = lithodrome_labyrinth::Vec3::from(at) - cupula.centre_in_reid_mm;
        let signal = *r.debris_signal_rad_s[canal].last().unwrap();
        (to_face.dot(&cupula.to_duct_in_reid), signal)
    });
    println!("distance from the middle and signal: settling {a:?}, rigid {b:?}, rest {rest_mm}");
    assert!(
        (a.0 - rest_mm).abs() < 1e-3 && (b.0 - rest_mm).abs() < 1e-3,
        "{a:?} {b:?}"
    );
    assert!(
        a.1 != 0.0 && (a.1 - b.1).abs() <= 0.01 * a.1.abs(),
        "{a:?} {b:?}"
    );
}
