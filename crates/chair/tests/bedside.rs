//! Bedside postures against published directions, and what a neck reaches.

use lithodrome_chair::{
    BedPosture, NeckAngles, NeckRange, Trunk, angles_for_down, down_in_head, reach_by_neck,
    reach_by_trunk_and_neck,
};
use lithodrome_labyrinth::Vec3;

/// Degrees: recline, fall to the left, roll to the left; turn to the left, extend, tilt to the left.
fn posture(trunk: [f64; 3], neck: [f64; 3]) -> BedPosture {
    let [recline_rad, fall_left_rad, roll_left_rad] = trunk.map(f64::to_radians);
    let [turn_left_rad, extend_rad, tilt_left_rad] = neck.map(f64::to_radians);
    BedPosture {
        trunk: Trunk {
            recline_rad,
            fall_left_rad,
            roll_left_rad,
        },
        neck: NeckAngles {
            turn_left_rad,
            extend_rad,
            tilt_left_rad,
        },
    }
}

fn range(turn: f64, extend: f64, flex: f64, tilt: f64) -> NeckRange {
    NeckRange {
        turn_rad: turn.to_radians(),
        extend_rad: extend.to_radians(),
        flex_rad: flex.to_radians(),
        tilt_rad: tilt.to_radians(),
    }
}

fn apart_deg(a: Vec3, b: Vec3) -> f64 {
    a.cross(&b).norm().atan2(a.dot(&b)).to_degrees()
}

/// The directions of published bedside steps, printed to three digits: Dix-Hallpike 20° and 30° below
/// the horizontal, the steps of an Epley (head 45° to the bad side, laid back, 90° to the other side,
/// rolled onto that side with the nose 45° down, sitting with the chin 30° down), of a Semont, of the
/// roll and bow tests and of a deep head-hanging.
#[test]
#[expect(clippy::too_many_lines, reason = "a table")]
fn bedside_postures_have_the_published_gravity() {
    type Row = (&'static str, [f64; 3], [f64; 3], [f64; 3]);
    let rows: [Row; 16] = [
        (
            "sitting, head right",
            [0.0; 3],
            [-45.0, 0.0, 0.0],
            [0.0, 0.0, -1.0],
        ),
        (
            "right Dix-Hallpike, 20°",
            [90.0, 0.0, 0.0],
            [-45.0, 20.0, 0.0],
            [-0.664, -0.664, 0.342],
        ),
        (
            "right Dix-Hallpike, 30°",
            [90.0, 0.0, 0.0],
            [-45.0, 30.0, 0.0],
            [-0.612, -0.612, 0.500],
        ),
        (
            "left Dix-Hallpike, 20°",
            [90.0, 0.0, 0.0],
            [45.0, 20.0, 0.0],
            [-0.664, 0.664, 0.342],
        ),
        (
            "Epley, on the left side",
            [90.0, 0.0, 90.0],
            [45.0, 0.0, 0.0],
            [0.707, 0.707, 0.0],
        ),
        (
            "Epley, chin down",
            [0.0; 3],
            [0.0, -30.0, 0.0],
            [0.500, 0.0, -0.866],
        ),
        (
            "Semont, right side, nose up",
            [0.0, -90.0, 0.0],
            [45.0, 0.0, 0.0],
            [-0.707, -0.707, 0.0],
        ),
        (
            "Semont, left side, nose down",
            [0.0, 90.0, 0.0],
            [45.0, 0.0, 0.0],
            [0.707, 0.707, 0.0],
        ),
        (
            "Semont 20° beyond, right",
            [0.0, -90.0, 0.0],
            [45.0, 0.0, -20.0],
            [-0.664, -0.664, 0.342],
        ),
        (
            "supine, head up 30°",
            [90.0, 0.0, 0.0],
            [0.0, -30.0, 0.0],
            [-0.866, 0.0, -0.500],
        ),
        (
            "right ear down",
            [90.0, 0.0, -90.0],
            [0.0; 3],
            [0.0, -1.0, 0.0],
        ),
        (
            "left ear down",
            [90.0, 0.0, 90.0],
            [0.0; 3],
            [0.0, 1.0, 0.0],
        ),
        ("prone", [90.0, 0.0, 180.0], [0.0; 3], [1.0, 0.0, 0.0]),
        ("bow 90°", [-90.0, 0.0, 0.0], [0.0; 3], [1.0, 0.0, 0.0]),
        (
            "straight head-hanging, 30°",
            [90.0, 0.0, 0.0],
            [0.0, 30.0, 0.0],
            [-0.866, 0.0, 0.500],
        ),
        (
            "chin to chest, lying",
            [90.0, 0.0, 0.0],
            [0.0, -45.0, 0.0],
            [-0.707, 0.0, -0.707],
        ),
    ];
    for (name, trunk, neck, printed) in rows {
        let down = posture(trunk, neck).down_in_head();
        assert!(
            (down - Vec3::from(printed)).amax() < 0.000_51,
            "{name}: {down:?}"
        );
        // The chair has a posture with the same gravity, to 1e-9 rad.
        let chair = angles_for_down(down).angles(0.0);
        assert!(
            apart_deg(down_in_head(chair), down).to_radians() < 1e-9,
            "{name}"
        );
    }
}

/// A posture and its mirror image: left and right exchanged, gravity mirrored.
#[test]
fn the_mirror_image_of_a_posture_mirrors_gravity() {
    let down = posture([70.0, 5.0, 30.0], [40.0, 15.0, -10.0]).down_in_head();
    let other = posture([70.0, -5.0, -30.0], [-40.0, 15.0, 10.0]).down_in_head();
    assert!((down - Vec3::new(other.x, -other.y, other.z)).norm() < 1e-15);
}

#[test]
fn a_healthy_neck_reaches_a_dix_hallpike_with_the_trunk_on_the_bed() {
    let lying = posture([90.0, 0.0, 0.0], [0.0; 3]);
    let wanted = posture([90.0, 0.0, 0.0], [-45.0, 20.0, 0.0]).down_in_head();
    let reached = reach_by_neck(&lying, wanted, &NeckRange::default());
    assert!(reached.short_by_rad < 1e-6, "{reached:?}");
    assert_eq!(reached.posture.trunk, lying.trunk);
    let neck = reached.posture.neck;
    assert!(
        neck.turn_left_rad < -0.5 && neck.extend_rad > 0.2,
        "{neck:?}"
    );
}

/// By hand: lying flat, a neck that turns 30° and bends back 10° and not sideways reaches
/// (−cos 10° cos 30°, −cos 10° sin 30°, sin 10°) at its corner. Wanted is the 45°, 20° of a
/// Dix-Hallpike; the angle between both follows from the two vectors.
#[test]
fn a_stiff_neck_stops_at_its_corner() {
    let lying = posture([90.0, 0.0, 0.0], [0.0; 3]);
    let wanted = posture([90.0, 0.0, 0.0], [-45.0, 20.0, 0.0]).down_in_head();
    let stiff = range(30.0, 10.0, 30.0, 0.0);
    let reached = reach_by_neck(&lying, wanted, &stiff);
    let neck = reached.posture.neck;
    assert!(
        (neck.turn_left_rad.to_degrees() + 30.0).abs() < 1e-6,
        "{neck:?}"
    );
    assert!(
        (neck.extend_rad.to_degrees() - 10.0).abs() < 1e-6,
        "{neck:?}"
    );
    let (c, s) = (10_f64.to_radians().cos(), 10_f64.to_radians().sin());
    let corner = Vec3::new(-c * 30_f64.to_radians().cos(), -c * 0.5, s);
    let by_hand = apart_deg(corner, wanted);
    assert!((reached.short_by_rad.to_degrees() - by_hand).abs() < 1e-9);
    assert!((reached.posture.down_in_head() - corner).norm() < 1e-9);
    // Given as neck angles, every one goes as far as it can.
    let clamped = stiff.nearest(posture([0.0; 3], [-45.0, 20.0, 5.0]).neck);
    assert_eq!(clamped, posture([0.0; 3], [-30.0, 10.0, 0.0]).neck);
}

/// No posture of the range comes nearer than the one found: a search over a fine net of all three angles.
#[test]
fn nothing_in_the_range_is_nearer() {
    let lying = posture([85.0, 0.0, 20.0], [0.0; 3]);
    let stiff = range(30.0, 10.0, 20.0, 15.0);
    for wanted in [
        Vec3::new(-0.664, -0.664, 0.342),
        Vec3::new(0.5, 0.5, 0.7),
        Vec3::new(-0.2, 0.9, -0.4),
        Vec3::new(0.0, 0.0, -1.0),
        Vec3::new(-0.9, 0.1, 0.2),
    ] {
        let reached = reach_by_neck(&lying, wanted, &stiff)
            .short_by_rad
            .to_degrees();
        let mut least = f64::MAX;
        for i in 0..=30 {
            for j in 0..=30 {
                for k in 0..=30 {
                    let share = |n: i32| f64::from(n) / 30.0;
                    let neck = [
                        -30.0 + 60.0 * share(i),
                        -20.0 + 30.0 * share(j),
                        -15.0 + 30.0 * share(k),
                    ];
                    let down = posture([85.0, 0.0, 20.0], neck).down_in_head();
                    least = least.min(apart_deg(down, wanted));
                }
            }
        }
        assert!(reached < least + 1e-6, "{wanted:?}: {reached}, net {least}");
    }
}

/// With the trunk free to lean and roll every direction within 30° of lying can be had by a healthy body.
#[test]
fn trunk_and_neck_together_reach_what_is_lain_down_to() {
    let sitting = BedPosture::default();
    let healthy = NeckRange::default();
    for (turn, below) in [
        (-45.0, 30.0),
        (45.0, 20.0),
        (135.0, 0.0),
        (-90.0, 0.0),
        (180.0, 10.0),
        (0.0, -60.0),
    ] {
        let (t, b) = (f64::to_radians(turn), f64::to_radians(below));
        let wanted = Vec3::new(-b.cos() * t.cos(), b.cos() * t.sin(), b.sin());
        let reached = reach_by_trunk_and_neck(&sitting, wanted, &healthy);
        assert!(reached.short_by_rad < 1e-6, "{turn} {below}: {reached:?}");
        let neck = reached.posture.neck;
        assert_eq!(healthy.nearest(neck), neck);
    }
    // Nobody hangs upside down from a bed. Bent back by 60° and sideways by 45° the head is
    // acos(cos 60° cos 45°) = 69.3° off the trunk's axis, and the trunk rolls so that this is all downward.
    let reached = reach_by_trunk_and_neck(&sitting, Vec3::z(), &healthy);
    let by_hand = 90.0 - (0.5 * 45_f64.to_radians().cos()).acos().to_degrees();
    let short_by_deg = reached.short_by_rad.to_degrees();
    assert!((short_by_deg - by_hand).abs() < 1e-4, "{reached:?}");
}
