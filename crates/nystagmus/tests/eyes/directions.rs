//! Which way the eyes beat for which canal.

use lithodrome_labyrinth::frame::mirror_axis;
use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use lithodrome_nystagmus::{
    Beat, EyeTrace, Finding, Horizontal, Judging, Reflex, Torsion, Vertical, beat_of, eyes_of,
    fast_phase_components, judge, now_words, sentence,
};

use crate::made_run::{debris_in, every, n_exc, run_of};

const RIGHT_DOWN: Vec3 = Vec3::new(-0.612, -0.612, 0.5);
const LEFT_DOWN: Vec3 = Vec3::new(-0.612, 0.612, 0.5);

fn pulse(t: f64) -> f64 {
    60.0 * (t / 4.0) * (1.0 - t / 4.0).exp()
}

fn finding(ear: Ear, canal: Canal, sign: f64, down: Vec3) -> Finding {
    let run = debris_in(CanalId { ear, canal }, &every(0.05, 30.0), |t| {
        sign * pulse(t)
    });
    judge(
        &eyes_of(&run, &Reflex::default()),
        0.0,
        30.0,
        down,
        &Judging::default(),
    )
}

/// Excited canals turn the fast phase about their own axis (Ewald 1892; Aw 2005, Neurology): the words
/// of Balatsouras 2011, Int J Otolaryngol 483965, Table 1, with its clock words put as the ear that the
/// upper poles beat toward.
#[test]
fn each_canal_beats_about_its_own_axis() {
    use Canal::{Anterior, Lateral, Posterior};
    use Ear::{Left, Right};
    let beat = |vertical, torsion, horizontal| Beat {
        vertical,
        torsion,
        horizontal,
    };
    let rows = [
        (
            Right,
            Posterior,
            beat(Vertical::Up, Torsion::Right, Horizontal::None),
        ),
        (
            Left,
            Posterior,
            beat(Vertical::Up, Torsion::Left, Horizontal::None),
        ),
        (
            Right,
            Anterior,
            beat(Vertical::Down, Torsion::Right, Horizontal::None),
        ),
        (
            Left,
            Anterior,
            beat(Vertical::Down, Torsion::Left, Horizontal::None),
        ),
        (
            Right,
            Lateral,
            beat(Vertical::None, Torsion::None, Horizontal::Right),
        ),
        (
            Left,
            Lateral,
            beat(Vertical::None, Torsion::None, Horizontal::Left),
        ),
    ];
    for (ear, canal, expected) in rows {
        let excited = finding(ear, canal, 1.0, RIGHT_DOWN);
        assert_eq!(excited.beat(), expected, "{ear:?} {canal:?} excited");
        let inhibited = finding(ear, canal, -1.0, RIGHT_DOWN);
        assert_eq!(
            inhibited.beat(),
            reversed(expected),
            "{ear:?} {canal:?} inhibited"
        );
        // About the axis itself: the gains are equal and only lateral canals are stored.
        if canal != Lateral {
            let axis = n_exc()[CanalId { ear, canal }.index()];
            let [up, right_pole, right] = excited.peak_components_rad_s;
            let fast = Vec3::new(right_pole, -up, -right);
            assert!(
                fast.cross(&axis).norm() < 1e-6 * fast.norm(),
                "{ear:?} {canal:?}"
            );
        }
    }
}

fn reversed(beat: Beat) -> Beat {
    Beat {
        vertical: match beat.vertical {
            Vertical::Up => Vertical::Down,
            Vertical::Down => Vertical::Up,
            Vertical::None => Vertical::None,
        },
        torsion: mirrored_torsion(beat.torsion),
        horizontal: mirrored_horizontal(beat.horizontal),
    }
}

fn mirrored_torsion(torsion: Torsion) -> Torsion {
    match torsion {
        Torsion::Right => Torsion::Left,
        Torsion::Left => Torsion::Right,
        Torsion::None => Torsion::None,
    }
}

fn mirrored_horizontal(horizontal: Horizontal) -> Horizontal {
    match horizontal {
        Horizontal::Right => Horizontal::Left,
        Horizontal::Left => Horizontal::Right,
        Horizontal::None => Horizontal::None,
    }
}

/// How far the named directions are from changing: the weakest named and the strongest unnamed part of
/// each canal at its peak, against the naming share of 0.45. By hand from the normals: posterior
/// 0.271/0.694 = 0.39 unnamed; anterior 0.176/0.788 = 0.22 unnamed and 0.590/0.788 = 0.75 named; lateral
/// 0.322/0.946 = 0.34 unnamed, less as its yaw is stored.
#[test]
fn naming_leaves_room_on_both_sides() {
    let share = |canal, sign: f64| {
        let found = finding(Ear::Right, canal, sign, RIGHT_DOWN);
        let mut parts = found.peak_components_rad_s.map(f64::abs);
        parts.sort_by(f64::total_cmp);
        (parts[0] / parts[2], parts[1] / parts[2])
    };
    for sign in [1.0, -1.0] {
        let (horizontal, vertical) = share(Canal::Posterior, sign);
        assert!((horizontal - 0.390).abs() < 0.001 && (vertical - 0.961).abs() < 0.001);
        let (horizontal, torsion) = share(Canal::Anterior, sign);
        assert!((horizontal - 0.223).abs() < 0.001 && (torsion - 0.749).abs() < 0.001);
        let (_, torsion) = share(Canal::Lateral, sign);
        assert!((0.20..0.341).contains(&torsion), "{torsion}");
    }
}

/// Weaker torsion as in head turns (gain 0.6 against 0.9, from memory) names the same parts, but the
/// torsion of an anterior canal only just: 0.6 · 0.590 / (0.9 · 0.788) = 0.499.
#[test]
fn weaker_torsion_names_the_same() {
    let reflex = Reflex {
        torsion_gain: 0.6,
        ..Reflex::default()
    };
    for canal in CanalId::ALL {
        let run = debris_in(canal, &every(0.05, 30.0), pulse);
        let judging = Judging::default();
        let weaker = judge(&eyes_of(&run, &reflex), 0.0, 30.0, RIGHT_DOWN, &judging);
        let usual = finding(canal.ear, canal.canal, 1.0, RIGHT_DOWN);
        assert_eq!(weaker.beat(), usual.beat(), "{canal:?}");
    }
}

/// A run in the mirrored head reads the mirrored words.
#[test]
fn a_mirrored_run_gives_mirrored_words() {
    for canal in Canal::ALL {
        for sign in [1.0, -1.0] {
            let right = finding(Ear::Right, canal, sign, RIGHT_DOWN);
            let left = finding(Ear::Left, canal, sign, LEFT_DOWN);
            assert_eq!(left.vertical, right.vertical);
            assert_eq!(left.torsion, mirrored_torsion(right.torsion));
            assert_eq!(left.horizontal, mirrored_horizontal(right.horizontal));
            assert_eq!(left.sense, right.sense);
            assert_eq!(sentence(&left), with_sides_swapped(&sentence(&right)));
        }
    }
}

fn with_sides_swapped(words: &str) -> String {
    words
        .replace("right", "\u{1}")
        .replace("Right", "\u{2}")
        .replace("left", "right")
        .replace("Left", "Right")
        .replace('\u{1}', "left")
        .replace('\u{2}', "Left")
}

/// Zhang 2021, Front Neurol 12:632489: lateral-canal nystagmus with the bad ear down over that with the
/// good ear down 2.59, head-turn nystagmus to both sides alike (44.70 and 44.65 deg/s). The shares are
/// calibrated to it and rounded to two digits: 0.72/0.28 = 2.571.
#[test]
fn excitation_is_stronger_than_inhibition_but_turns_are_alike() {
    let reflex = Reflex::default();
    let peak = |sign: f64| finding(Ear::Right, Canal::Lateral, sign, RIGHT_DOWN).peak_spv_rad_s;
    let ratio = peak(1.0) / peak(-1.0);
    assert!((ratio / 2.59 - 1.0).abs() < 0.01, "{ratio}");

    let axes = n_exc();
    let turn = |deg_s: f64| {
        let run = run_of(&[0.0], |_, _| 0.0, |id, _| deg_s * axes[id.index()].z);
        let eyes: EyeTrace = eyes_of(&run, &reflex);
        assert_eq!(eyes.debris_slow_phase_rad_s[0], Vec3::zeros());
        eyes.slow_phase_rad_s[0]
    };
    let (left, right) = (turn(50.0), turn(-50.0));
    assert!((left.norm() - right.norm()).abs() < 1e-6);
    // Turning to the left drives the eyes to the right at 0.9 of the speed; the published mean axes are
    // not quite orthogonal, which leaves 2 %.
    assert!(
        (left.z.to_degrees() + 45.0).abs() < 0.9,
        "{}",
        left.z.to_degrees()
    );
    assert!(left.x.abs() + left.y.abs() < 0.1 * left.z.abs(), "{left:?}");
}

/// An inhibited afferent falls silent at −200 deg/s: 0.28 · 200 is all it can say.
#[test]
fn inhibition_has_a_floor() {
    let reflex = Reflex::default();
    let weighed = |deg_s: f64| reflex.weighed(f64::to_radians(deg_s)).to_degrees();
    assert!((weighed(-100.0) + 28.0).abs() < 1e-9);
    assert!((weighed(-200.0) + 56.0).abs() < 1e-9);
    assert!((weighed(-500.0) + 56.0).abs() < 1e-9);
    assert!((weighed(500.0) - 360.0).abs() < 1e-9);
}

#[test]
fn words_for_one_moment() {
    let judging = Judging::default();
    let right_posterior = -n_exc()[2] * 38_f64.to_radians();
    assert_eq!(
        now_words(right_posterior, &judging),
        "Upbeating-torsional, upper pole toward the right ear, 38°/s"
    );
    let left_lateral = -n_exc()[4] * 20_f64.to_radians();
    assert_eq!(now_words(left_lateral, &judging), "Left-beating, 20°/s");
    let mirrored = mirror_axis(left_lateral);
    assert_eq!(now_words(mirrored, &judging), "Right-beating, 20°/s");
    assert_eq!(
        now_words(right_posterior * 0.05, &judging),
        "No nystagmus seen"
    );
    assert!(beat_of(fast_phase_components(Vec3::zeros()), &judging).is_none());
}
