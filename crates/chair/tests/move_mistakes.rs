//! Moves that cannot be made are told with step, place, what was found and what is allowed.

use std::f64::consts::FRAC_PI_2;

use lithodrome_chair::{
    BedPosture, BodyLengths, ChairAngles, HeadMotion, Lever, Move, MoveProfile, MovedStep,
    ShakeAxis, Swing, Trunk,
};
use lithodrome_labyrinth::Vec3;

fn step<P>(to: P, move_s: f64, movement: Move) -> MovedStep<P> {
    MovedStep {
        name: "Move".into(),
        to,
        move_s,
        hold_s: 1.0,
        movement,
    }
}

fn swinging(swing: Swing) -> Move {
    Move {
        profile: MoveProfile::MinimumJerk,
        swing: Some(swing),
    }
}

fn vibrating(amplitude_mm: f64, frequency_hz: f64) -> Move {
    swinging(Swing::Vibration {
        along_in_head: Vec3::z(),
        amplitude_mm,
        frequency_hz,
    })
}

#[test]
fn mistakes_of_moves_are_named() {
    let lying = ChairAngles {
        yaw_rad: FRAC_PI_2,
        track_rad: FRAC_PI_2,
        ..ChairAngles::default()
    };
    let chair = |move_s: f64, movement: Move| {
        HeadMotion::in_chair(lying, vec![step(lying, move_s, movement)], Lever::default())
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        chair(1.0, vibrating(0.1, 0.0)),
        "step 1 (Move): frequency: found 0, allowed is more than 0 Hz"
    );
    assert_eq!(
        chair(1.0, vibrating(f64::NAN, 9.0)),
        "step 1 (Move): amplitude: found NaN, allowed is 0 or more"
    );
    assert_eq!(
        chair(0.0, vibrating(0.1, 9.0)),
        "step 1 (Move): move time: found 0, allowed is more than 0 s for something that swings"
    );
    assert_eq!(
        chair(1.0, MoveProfile::Throw { stop_share: 1.0 }.into()),
        "step 1 (Move): throw: found a stop in 1 of the move, allowed is more than 0, less than 1"
    );
    let track = Swing::Shaking {
        axis: ShakeAxis::Track,
        amplitude_rad: 0.2,
        frequency_hz: 2.5,
    };
    let on_bed = HeadMotion::on_bed(
        BedPosture::default(),
        vec![step(BedPosture::default(), 1.0, swinging(track))],
        BodyLengths::default(),
    );
    assert_eq!(
        on_bed.unwrap_err().to_string(),
        "step 1 (Move): shaken axis: found Track, allowed is Yaw or Nod: only the two-axis chair has a track"
    );
    let reclined = BedPosture {
        trunk: Trunk {
            recline_rad: FRAC_PI_2,
            ..Trunk::default()
        },
        ..BedPosture::default()
    };
    let at_once = HeadMotion::on_bed(
        BedPosture::default(),
        vec![step(reclined, 0.0, Move::default())],
        BodyLengths::default(),
    );
    assert_eq!(
        at_once.unwrap_err().to_string(),
        "step 1 (Move): move time: found 0 s for a turn of 90.0°, allowed is more than 0 s"
    );
}
