//! Chair angles against published postures, and back.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use lithodrome_chair::{
    ChairAngles, angles_for_down, angles_for_down_with_headrest, canal_plane_yaw, down_in_head,
    nearest_equivalent, room_from_head, route, twin,
};
use lithodrome_labyrinth::Vec3;
use proptest::prelude::*;

/// 0.01 degrees.
const HUNDREDTH_DEG: f64 = 0.01 * PI / 180.0;

fn angles(yaw_deg: f64, track_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: 0.0,
    }
}

/// Angle between two directions, exact also for small ones.
fn between(a: Vec3, b: Vec3) -> f64 {
    a.cross(&b).norm().atan2(a.dot(&b))
}

/// Distance of two angles on the circle.
fn apart(a: f64, b: f64) -> f64 {
    (a - b).sin().atan2((a - b).cos()).abs()
}

/// Gravity in a head that is turned `turn_deg` to the right on the trunk, or yawed in lying, and whose
/// long axis is `below_deg` below the horizontal, the face up: worked out from the posture, not from
/// the chair.
fn lying(turn_deg: f64, below_deg: f64) -> Vec3 {
    let (turn, below) = (turn_deg.to_radians(), below_deg.to_radians());
    Vec3::new(
        -below.cos() * turn.cos(),
        -below.cos() * turn.sin(),
        below.sin(),
    )
}

/// Gravity in an upright head pitched forward.
fn pitched(forward_deg: f64) -> Vec3 {
    let p = forward_deg.to_radians();
    Vec3::new(p.sin(), 0.0, -p.cos())
}

/// The test positions of the published practice: 20° (Bhattacharyya 2017, Otolaryngol Head Neck Surg
/// 156:S1) and 30° Dix-Hallpike, supine roll with and without the head raised by 30°, straight
/// head-hanging, bow and lean (Choung 2006, Laryngoscope 116:1776), head pitch (Asprella-Libonati 2008,
/// Acta Otorhinolaryngol Ital 28:73), side-lying (Cohen 2004, Otol Neurotol 25:130).
#[test]
fn diagnostic_positions_and_chair_angles_agree_both_ways() {
    let rows = [
        ("right Dix-Hallpike, 20°", lying(45.0, 20.0), 45.0, 110.0),
        ("right Dix-Hallpike, 30°", lying(45.0, 30.0), 45.0, 120.0),
        ("left Dix-Hallpike, 20°", lying(-45.0, 20.0), 135.0, 110.0),
        ("left Dix-Hallpike, 30°", lying(-45.0, 30.0), 135.0, 120.0),
        ("supine, head up 30°", lying(0.0, -30.0), 90.0, 60.0),
        ("supine", lying(0.0, 0.0), 90.0, 90.0),
        ("right ear down", lying(90.0, 0.0), 0.0, 90.0),
        ("left ear down", lying(-90.0, 0.0), 180.0, 90.0),
        ("right ear down, head up 30°", lying(90.0, -30.0), 0.0, 60.0),
        (
            "left ear down, head up 30°",
            lying(-90.0, -30.0),
            180.0,
            60.0,
        ),
        ("straight head-hanging, 30°", lying(0.0, 30.0), 90.0, 120.0),
        ("bow 90°", pitched(90.0), 90.0, -90.0),
        ("lean 45°", pitched(-45.0), 90.0, 45.0),
        ("lean 60°", pitched(-60.0), 90.0, 60.0),
        ("head pitched forward 30°", pitched(30.0), 90.0, -30.0),
        ("head pitched forward 60°", pitched(60.0), 90.0, -60.0),
        ("right side, nose 45° up", lying(45.0, 0.0), 45.0, 90.0),
        ("left side, nose 45° up", lying(-45.0, 0.0), 135.0, 90.0),
        ("prone", Vec3::x(), 90.0, -90.0),
    ];
    for (name, down, yaw_deg, track_deg) in rows {
        let chair = angles(yaw_deg, track_deg);
        assert!(between(down_in_head(chair), down) < HUNDREDTH_DEG, "{name}");
        assert!(
            between(down_in_head(twin(chair)), down) < HUNDREDTH_DEG,
            "{name}: twin"
        );
        let solution = angles_for_down(down);
        assert!(!solution.yaw_free, "{name}");
        // The table lists some positions with a negative track; the solution is then the twin.
        let same = if track_deg < 0.0 { twin(chair) } else { chair };
        assert!(
            apart(solution.yaw_rad, same.yaw_rad) < HUNDREDTH_DEG,
            "{name}: yaw"
        );
        assert!(
            (solution.track_rad - same.track_rad).abs() < HUNDREDTH_DEG,
            "{name}: track"
        );
    }
}

/// One row of `data/manoeuvre_angles.csv`: the end of one step of a published manoeuvre for the right
/// ear, gravity to three digits, and the angles of a continuous drive. The manoeuvres: Epley; Semont
/// (Obrist 2016, Front Neurol 7:150, for 20° past the horizontal; Front Neurol 2021;12:652573 for
/// 60°); whole-body Epley, Semont and backward turn (Front Neurol 2023;14:1239959); half somersault
/// (Audiol Neurotol Extra 2012;2:16); roll and Gufoni manoeuvres (Kim 2012, Neurology 78:159 and
/// 79:700); cupulolith repositioning (Kim 2012, Auris Nasus Larynx 39:163); deep head-hanging (Bhandari
/// 2021, Front Neurol 12:740599); Brandt-Daroff and demi-Semont with step lists from memory.
fn manoeuvre_rows() -> Vec<(String, Vec3, f64, f64)> {
    include_str!("data/manoeuvre_angles.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let n = |i: usize| cells[i].parse::<f64>().unwrap_or(f64::NAN);
            (
                format!("{} {}", cells[0], cells[1]),
                Vec3::new(n(2), n(3), n(4)),
                n(5),
                n(6),
            )
        })
        .collect()
}

#[test]
fn every_manoeuvre_step_has_its_gravity() {
    let rows = manoeuvre_rows();
    assert_eq!(rows.len(), 101);
    for (name, printed, yaw_deg, track_deg) in rows {
        let chair = angles(yaw_deg, track_deg);
        let down = down_in_head(chair);
        // Printed to three digits.
        assert!((down - printed).amax() < 0.000_51, "{name}: {down:?}");
        let solution = angles_for_down(down);
        let back = down_in_head(solution.angles(0.0));
        assert!(between(back, down) < HUNDREDTH_DEG, "{name}");
        assert_eq!(
            solution.yaw_free,
            track_deg.rem_euclid(180.0) == 0.0,
            "{name}"
        );
        assert!((0.0..=PI).contains(&solution.track_rad), "{name}");
    }
}

/// Whole-body Epley as published (Front Neurol 2023;14:1239959, Fig 1) from its gravity alone.
#[test]
fn the_nearest_drive_is_the_one_of_the_whole_body_epley() {
    let mut at = angles(45.0, 0.0);
    for (yaw_deg, track_deg) in [(45.0, 120.0), (135.0, 120.0), (225.0, 120.0), (225.0, 0.0)] {
        at = nearest_equivalent(at, down_in_head(angles(yaw_deg, track_deg)));
        assert!((at.yaw_rad.to_degrees() - yaw_deg).abs() < 1e-6, "{at:?}");
        assert!(
            (at.track_rad.to_degrees() - track_deg).abs() < 1e-6,
            "{at:?}"
        );
    }
}

/// From step to step the shortest drive is the continuous one of the table, but for seven steps where
/// the manoeuvre chooses the longer way or the other of two equal ones: swings that must pass through
/// upright, the dive of a half somersault, a yaw set beforehand in upright.
#[test]
fn the_nearest_drive_is_the_one_of_the_table_unless_the_manoeuvre_chooses() {
    let chosen = [
        "semont 3",
        "semont_20_beyond 3",
        "semont_60_beyond 3",
        "semont_whole_body_chair 3",
        "half_somersault 2",
        "brandt_daroff 4",
        "short_crp_anterior 4",
    ];
    let rows = manoeuvre_rows();
    let mut differing = Vec::new();
    for pair in rows.windows(2) {
        let ((before, _, yaw0, track0), (name, _, yaw1, track1)) = (&pair[0], &pair[1]);
        if before.split(' ').next() != name.split(' ').next() {
            continue;
        }
        let to = angles(*yaw1, *track1);
        let near = nearest_equivalent(angles(*yaw0, *track0), down_in_head(to));
        let off = (near.yaw_rad - to.yaw_rad)
            .abs()
            .max((near.track_rad - to.track_rad).abs());
        if off > 1e-6 {
            differing.push(name.as_str());
        }
    }
    assert_eq!(differing, chosen);
}

#[test]
fn a_full_backward_turn_never_unwinds() {
    let mut at = angles(45.0, 0.0);
    for i in 1..=16 {
        let track_deg = 45.0 * f64::from(i);
        at = nearest_equivalent(at, down_in_head(angles(45.0, track_deg)));
        assert!((at.yaw_rad.to_degrees() - 45.0).abs() < 1e-6, "{i}: {at:?}");
        assert!(
            (at.track_rad.to_degrees() - track_deg).abs() < 1e-6,
            "{i}: {at:?}"
        );
    }
    // Two full rolls about the long axis with the patient lying.
    let mut at = angles(90.0, 90.0);
    for i in 1..=8 {
        let yaw_deg = 90.0 + 90.0 * f64::from(i);
        at = nearest_equivalent(at, down_in_head(angles(yaw_deg, 90.0)));
        assert!(
            (at.yaw_rad.to_degrees() - yaw_deg).abs() < 1e-6,
            "{i}: {at:?}"
        );
        assert!(
            (at.track_rad.to_degrees() - 90.0).abs() < 1e-6,
            "{i}: {at:?}"
        );
    }
}

/// Yaw of the canal planes by hand from the mean normals of Della Santina 2005 (J Assoc Res
/// Otolaryngol 6:191; lateral canals as printed there, the others from memory), rounded to three
/// digits: atan2(0.667, 0.694) = 43.86°, tilt atan(0.271/0.963) = 15.72°, and so on. (The table drawn up
/// from the unrounded normals says 43.9, 15.7, 53.2 and 10.2.)
#[test]
fn canal_planes_lie_where_the_published_normals_put_them() {
    let rows = [
        (
            "right posterior",
            Vec3::new(0.694, -0.667, 0.271),
            43.86,
            -136.14,
            15.72,
        ),
        (
            "left posterior",
            Vec3::new(-0.694, -0.667, -0.271),
            136.14,
            -43.86,
            15.72,
        ),
        (
            "right anterior",
            Vec3::new(0.590, 0.788, 0.176),
            -53.18,
            126.82,
            10.14,
        ),
        (
            "left anterior",
            Vec3::new(-0.590, 0.788, -0.176),
            -126.82,
            53.18,
            10.14,
        ),
    ];
    for (name, n_exc, yaw_deg, twin_deg, tilt_deg) in rows {
        let plane = canal_plane_yaw(n_exc);
        assert!(
            (plane.yaw_rad.to_degrees() - yaw_deg).abs() < 0.01,
            "{name}: {plane:?}"
        );
        assert!(
            (plane.twin_yaw_rad.to_degrees() - twin_deg).abs() < 0.01,
            "{name}: {plane:?}"
        );
        assert!(
            (plane.residual_tilt_rad.to_degrees() - tilt_deg).abs() < 0.01,
            "{name}"
        );
        // A positive turn of the track at that yaw is an exciting turn, tilted by just that much.
        let track_axis_in_head = room_from_head(angles(yaw_deg, 0.0)).inverse() * Vec3::x();
        let tilt = between(track_axis_in_head, n_exc);
        assert!(
            (tilt.to_degrees() - tilt_deg).abs() < 0.01,
            "{name}: {tilt}"
        );
    }
    // Lateral canals: the axis is 19° from the long axis, no yaw lays the plane into the track's.
    let lateral = canal_plane_yaw(Vec3::new(0.322, -0.039, -0.946));
    assert!(
        (lateral.residual_tilt_rad.to_degrees() - 71.1).abs() < 0.1,
        "{lateral:?}"
    );
}

#[test]
fn upright_and_inverted_leave_yaw_free() {
    for (down, track_rad) in [(-Vec3::z(), 0.0), (Vec3::z(), PI)] {
        let solution = angles_for_down(down);
        assert!(solution.yaw_free);
        assert!((solution.track_rad - track_rad).abs() < 1e-15);
    }
    let from = angles(225.0, 120.0);
    let upright = nearest_equivalent(from, -Vec3::z());
    assert!(
        (upright.yaw_rad - from.yaw_rad).abs() < 1e-15,
        "yaw stays: {upright:?}"
    );
    assert!(upright.track_rad.abs() < 1e-15);
}

/// Spread over the sphere at random: 20 000 directions from a fixed 64-bit generator (splitmix64,
/// Steele 2014, OOPSLA), also with the headrest flexed.
#[test]
fn random_directions_survive_the_way_to_the_angles_and_back() {
    let mut state = 7_u64;
    let mut uniform = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    for _ in 0..20_000 {
        let (height, around) = (2.0 * uniform() - 1.0, 2.0 * PI * uniform());
        let across = (1.0 - height * height).sqrt();
        let down = Vec3::new(across * around.cos(), across * around.sin(), height);
        let flexion = 0.6 * uniform() - 0.3;
        let from = ChairAngles {
            yaw_rad: 20.0 * uniform() - 10.0,
            track_rad: 20.0 * uniform() - 10.0,
            headrest_flexion_rad: flexion,
        };
        let principal = angles_for_down_with_headrest(down, flexion).angles(flexion);
        for chair in [principal, twin(principal), nearest_equivalent(from, down)] {
            assert!(
                between(down_in_head(chair), down) < 1e-9,
                "{down:?} {chair:?}"
            );
        }
        let near = nearest_equivalent(from, down);
        assert!((near.yaw_rad - from.yaw_rad).abs() <= PI + 1e-9);
        assert!((near.track_rad - from.track_rad).abs() <= PI + 1e-9);
    }
}

#[test]
fn signs_of_the_axes() {
    // Right Dix-Hallpike by hand: (−sin 120° sin 45°, −sin 120° cos 45°, −cos 120°).
    let down = down_in_head(angles(45.0, 120.0));
    let s = FRAC_1_SQRT_2 * 3_f64.sqrt() / 2.0;
    assert!((down - Vec3::new(-s, -s, 0.5)).norm() < 1e-15, "{down:?}");
    // Positive track lowers the right side at yaw 0; positive yaw turns the nose to the left.
    assert!(down_in_head(angles(0.0, 90.0)).y < -0.999);
    assert!((room_from_head(angles(90.0, 0.0)) * Vec3::x()).y > 0.999);
    // Headrest flexion lowers the nose.
    let flexed = ChairAngles {
        headrest_flexion_rad: 0.3,
        ..ChairAngles::default()
    };
    assert!(down_in_head(flexed).x > 0.0);
}

proptest! {
    #[test]
    fn orientation_is_a_rotation(yaw in -20.0..20.0_f64, track in -20.0..20.0_f64, flexion in -1.0..1.0_f64) {
        let chair = ChairAngles { yaw_rad: yaw, track_rad: track, headrest_flexion_rad: flexion };
        let r = room_from_head(chair).into_inner();
        prop_assert!((r.transpose() * r - nalgebra::Matrix3::identity()).amax() < 1e-14);
        prop_assert!((r.determinant() - 1.0).abs() < 1e-14);
        prop_assert!((down_in_head(chair).norm() - 1.0).abs() < 1e-14);
    }
}

/// Yaw is free in upright and inverted, so it is set there for what comes next: the angles of the published
/// whole-body Epley (Front Neurol 2023;14:1239959) from its directions alone, and of a half turn that goes
/// on through inverted into another plane. Every drive out of a free posture is one of the track alone.
#[test]
fn a_route_sets_yaw_where_it_is_free() {
    let deg = |route: Vec<ChairAngles>| -> Vec<(f64, f64)> {
        let round = |a: f64| (a.to_degrees() * 1e6).round() / 1e6;
        route
            .iter()
            .map(|a| (round(a.yaw_rad), round(a.track_rad)))
            .collect()
    };
    let downs = |list: &[(f64, f64)]| -> Vec<Vec3> {
        list.iter()
            .map(|(yaw, track)| down_in_head(angles(*yaw, *track)))
            .collect()
    };
    let epley = [
        (0.0, 0.0),
        (45.0, 120.0),
        (135.0, 120.0),
        (225.0, 120.0),
        (0.0, 0.0),
    ];
    assert_eq!(
        deg(route(ChairAngles::default(), &downs(&epley))),
        [
            (45.0, 0.0),
            (45.0, 120.0),
            (135.0, 120.0),
            (225.0, 120.0),
            (225.0, 0.0)
        ]
    );
    // Inverted, then 30° back from there in another plane.
    let other = [(20.0, 90.0), (0.0, 180.0), (80.0, 210.0), (0.0, 360.0)];
    assert_eq!(
        deg(route(ChairAngles::default(), &downs(&other))),
        [(20.0, 90.0), (80.0, 180.0), (80.0, 210.0), (80.0, 360.0)]
    );
    // Two free postures in a row, and none after which a yaw is needed.
    let still = [(0.0, 0.0), (0.0, 0.0)];
    assert_eq!(
        deg(route(angles(30.0, 0.0), &downs(&still))),
        [(30.0, 0.0), (30.0, 0.0)]
    );
}

/// Along any path of gravity in small steps the angles go on in small steps too: great circles that stay
/// 20° and more off the long axis, where yaw turns at most 1/sin 20° as fast as gravity does.
#[test]
fn the_angles_of_a_continuous_path_are_continuous() {
    for (tilt_deg, from) in [(0.0, 0.0), (30.0, 1.0), (-70.0, 2.0), (55.0, -3.0)] {
        let tilt = f64::to_radians(tilt_deg);
        let at = |t: f64| {
            let (s, c) = t.sin_cos();
            Vec3::new(c, s * tilt.cos(), s * tilt.sin())
        };
        let mut now = nearest_equivalent(angles(720.0, 360.0), at(from));
        let step_rad = 0.01;
        for i in 1..=3000 {
            let next = nearest_equivalent(now, at(from + step_rad * f64::from(i)));
            let most = 1.01 * step_rad / f64::to_radians(20.0).sin();
            assert!((next.yaw_rad - now.yaw_rad).abs() < most, "{tilt_deg} {i}");
            assert!(
                (next.track_rad - now.track_rad).abs() < most,
                "{tilt_deg} {i}"
            );
            now = next;
        }
        // 30 rad are 4.77 turns, all kept.
        let start = nearest_equivalent(angles(720.0, 360.0), at(from));
        assert!(
            (now.yaw_rad - start.yaw_rad).abs() > 4.0 * 2.0 * PI,
            "{tilt_deg}"
        );
    }
}
