//! The positions that tests are read in, known by where gravity points in the head and from where it came.

use lithodrome_labyrinth::{Ear, Vec3};

/// A head is in a named position if gravity is within this of the position's, degrees (assumed: a hand's error and
/// half of the way to the next position).
const WITHIN_DEG: f64 = 20.0;
/// Within this of upright a patient sits, degrees.
const UPRIGHT_WITHIN_DEG: f64 = 12.0;

/// A position that a rule is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TestPosition {
    /// Upright, not sat up from lying.
    Upright,
    /// Sat up from a Dix-Hallpike of this ear, or from elsewhere.
    SatUp(Option<Ear>),
    /// Head turned by 45° to this ear and hanging by 30°; on the side with the nose up is read alike.
    DixHallpike(Ear),
    /// Face up, laid back from upright, head 30° up or level.
    Supine,
    /// Leant back by 60°, in the bow and lean test.
    Lean,
    /// Face down.
    Bow,
    /// This ear down, from face up.
    EarDown(Ear),
    /// Face up, head hanging by 30°.
    HeadHanging,
}

impl TestPosition {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            TestPosition::Upright => "upright",
            TestPosition::SatUp(_) => "sitting up",
            TestPosition::DixHallpike(Ear::Right) => "right Dix-Hallpike",
            TestPosition::DixHallpike(Ear::Left) => "left Dix-Hallpike",
            TestPosition::Supine => "lying back",
            TestPosition::Lean => "leaning back",
            TestPosition::Bow => "bowing",
            TestPosition::EarDown(Ear::Right) => "right ear down",
            TestPosition::EarDown(Ear::Left) => "left ear down",
            TestPosition::HeadHanging => "head hanging",
        }
    }

    /// The position of each hold of a sequence, by gravity in the head; `None` for one that no rule is about.
    pub(crate) fn of_holds(downs_in_head: &[Vec3]) -> Vec<Option<TestPosition>> {
        let mut before = Before {
            position: Some(TestPosition::Upright),
            upright: true,
            bowed: false,
        };
        downs_in_head
            .iter()
            .map(|down| {
                let position = TestPosition::after(before, *down);
                before = Before {
                    position,
                    upright: is_near(*down, [0.0, 0.0, -1.0], UPRIGHT_WITHIN_DEG),
                    bowed: before.bowed || position == Some(TestPosition::Bow),
                };
                position
            })
            .collect()
    }

    /// Down in the head at yaw ψ and track θ of the chair is (−sin θ sin ψ, −sin θ cos ψ, −cos θ).
    fn after(before: Before, down_in_head: Vec3) -> Option<TestPosition> {
        let near = |down, within_deg| is_near(down_in_head, down, within_deg);
        if near([0.0, 0.0, -1.0], UPRIGHT_WITHIN_DEG) {
            return match before.position {
                Some(TestPosition::DixHallpike(ear)) => Some(TestPosition::SatUp(Some(ear))),
                Some(TestPosition::HeadHanging) => Some(TestPosition::SatUp(None)),
                same @ Some(TestPosition::Upright | TestPosition::SatUp(_)) => same,
                // From elsewhere no rule is about it.
                _ => None,
            };
        }
        for ear in Ear::ALL {
            let right = match ear {
                Ear::Right => 1.0,
                Ear::Left => -1.0,
            };
            // Hanging by 30°, or level on the side: both in the plane of that ear's posterior canal.
            for down in [[-0.612, -0.612 * right, 0.5], [-0.707, -0.707 * right, 0.0]] {
                if near(down, WITHIN_DEG) {
                    return Some(TestPosition::DixHallpike(ear));
                }
            }
            if near([0.0, -right, 0.0], WITHIN_DEG) {
                return Some(TestPosition::EarDown(ear));
            }
        }
        if near([1.0, 0.0, 0.0], WITHIN_DEG) {
            return Some(TestPosition::Bow);
        }
        if near([-0.866, 0.0, 0.5], 10.0) {
            return Some(TestPosition::HeadHanging);
        }
        let faces_up = near([-0.866, 0.0, -0.5], WITHIN_DEG) || near([-1.0, 0.0, 0.0], WITHIN_DEG);
        match (faces_up, before.upright, before.bowed) {
            (true, true, false) => Some(TestPosition::Supine),
            (true, true, true) => Some(TestPosition::Lean),
            // Back from an ear it is not the lying down that a rule is about.
            _ => None,
        }
    }
}

/// What a position comes from.
#[derive(Clone, Copy)]
struct Before {
    position: Option<TestPosition>,
    upright: bool,
    bowed: bool,
}

fn is_near(down_in_head: Vec3, down: [f64; 3], within_deg: f64) -> bool {
    down_in_head.angle(&Vec3::from(down)) <= within_deg.to_radians()
}

#[cfg(test)]
mod tests {
    use super::TestPosition::{
        Bow, DixHallpike, EarDown, HeadHanging, Lean, SatUp, Supine, Upright,
    };
    use super::*;

    /// By hand from yaw and track.
    fn down(yaw_deg: f64, track_deg: f64) -> Vec3 {
        let (yaw, track) = (yaw_deg.to_radians(), track_deg.to_radians());
        Vec3::new(
            -track.sin() * yaw.sin(),
            -track.sin() * yaw.cos(),
            -track.cos(),
        )
    }

    #[test]
    fn holds_of_a_battery_are_known_by_gravity_and_by_what_came_before() {
        let holds = [
            (45.0, 0.0),
            (45.0, 120.0),
            (45.0, 0.0),
            (-45.0, -120.0),
            (-45.0, 0.0),
            (90.0, 60.0),
            (0.0, 90.0),
            (90.0, 60.0),
            (180.0, 90.0),
            (90.0, -90.0),
            (90.0, 120.0),
            (90.0, 0.0),
            (90.0, -90.0),
            (90.0, 0.0),
            (90.0, 60.0),
            (20.0, 150.0),
        ];
        let downs: Vec<_> = holds.iter().map(|&(yaw, track)| down(yaw, track)).collect();
        assert_eq!(
            TestPosition::of_holds(&downs),
            [
                Some(Upright),
                Some(DixHallpike(Ear::Right)),
                Some(SatUp(Some(Ear::Right))),
                Some(DixHallpike(Ear::Left)),
                Some(SatUp(Some(Ear::Left))),
                Some(Supine),
                Some(EarDown(Ear::Right)),
                None,
                Some(EarDown(Ear::Left)),
                Some(Bow),
                Some(HeadHanging),
                Some(SatUp(None)),
                Some(Bow),
                None,
                Some(Lean),
                None,
            ]
        );
    }
}
