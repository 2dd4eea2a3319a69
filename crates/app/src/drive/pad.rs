//! A gamepad as a hand on the chair: what its sticks and buttons ask for. Plain values, no device.
//!
//! Names are those of the kernel's gamepad convention: south is the lowest of the four buttons on the right.

use std::sync::{Arc, Mutex, PoisonError};

use super::ChairAxis;
use crate::{
    session::command::{Command, DriveCommand},
    work::progress::Waker,
};

/// Within this share of its way a stick counts as let go (assumed; worn sticks rest up to 0.1 off).
const DEAD: f64 = 0.15;
/// Speed that a stick at its end asks for, rad/s (90°/s, as an arrow with Shift does).
const FULL_RAD_S: f64 = 1.571;

/// What does what, for people.
pub const HELP: &str = "Hold a shoulder button (left or right), or nothing turns: let go, the chair brakes. Left \
    stick to the side: yaw. Right stick up and down: track on and back (the left one, where there is only one). \
    The lowest of the four buttons, or the one right of it: stop. A pad may be plugged in at any time; \
    one that is not seen may not be allowed to be read.";

/// A stick's way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stick {
    /// Left stick, to the right.
    LeftX,
    /// Left stick, down.
    LeftY,
    /// Right stick, down.
    RightY,
}

/// A button that means something here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PadButton {
    /// The left upper shoulder button.
    LeftShoulder,
    /// The right upper shoulder button.
    RightShoulder,
    /// The lowest of the four on the right.
    South,
    /// The one right of it.
    East,
}

/// Something that happened to a pad.
#[derive(Clone, Debug, PartialEq)]
pub enum PadEvent {
    /// A pad is there, with this name; with a right stick or without.
    Came(String, bool),
    /// It is gone.
    Went,
    /// A stick was moved, −1 to 1.
    Moved(Stick, f64),
    /// A button went down or up.
    Button(PadButton, bool),
}

/// A pad that is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Pad {
    /// What it calls itself.
    pub name: String,
    has_right_stick: bool,
    /// `[LeftX, LeftY, RightY]`
    sticks: [f64; 3],
    /// Left and right shoulder button held.
    shoulders: [bool; 2],
    /// A button for stopping has been pressed since the last picture.
    stop: bool,
}

/// The pad after something happened.
pub fn after(pad: Option<Pad>, event: PadEvent) -> Option<Pad> {
    if let PadEvent::Came(name, has_right_stick) = event {
        // Nothing counts as held that was not pressed since.
        return Some(Pad {
            name,
            has_right_stick,
            sticks: [0.0; 3],
            shoulders: [false; 2],
            stop: false,
        });
    }
    let mut pad = pad?;
    match event {
        PadEvent::Came(..) => {}
        PadEvent::Went => return None,
        PadEvent::Moved(stick, share) => {
            pad.sticks[stick as usize] = if share.is_finite() { share } else { 0.0 };
        }
        PadEvent::Button(PadButton::LeftShoulder, down) => pad.shoulders[0] = down,
        PadEvent::Button(PadButton::RightShoulder, down) => pad.shoulders[1] = down,
        PadEvent::Button(PadButton::South | PadButton::East, down) => pad.stop |= down,
    }
    Some(pad)
}

impl Pad {
    /// The dead-man's button is held.
    pub fn is_held(&self) -> bool {
        self.shoulders.contains(&true)
    }

    /// What it asks of the chair in this picture.
    pub fn asks(&self) -> Vec<Command> {
        let mut asks = Vec::new();
        if self.stop {
            asks.push(Command::Drive(DriveCommand::StopChair));
        }
        if !self.is_held() {
            return asks;
        }
        let [left_x, left_y, right_y] = self.sticks;
        let down = if self.has_right_stick {
            right_y
        } else {
            left_y
        };
        // Positive yaw is to the patient's left, and a stick's down is positive.
        for (axis, share) in [(ChairAxis::Yaw, -left_x), (ChairAxis::Track, -down)] {
            let rate_rad_s = FULL_RAD_S * felt(share);
            if rate_rad_s != 0.0 {
                asks.push(Command::Drive(DriveCommand::Push(axis, rate_rad_s)));
            }
        }
        asks
    }
}

/// What of a stick's way counts: nothing near its middle, finer there than at its end.
fn felt(share: f64) -> f64 {
    let beyond = (share.abs().min(1.0) - DEAD).max(0.0) / (1.0 - DEAD);
    beyond * beyond * share.signum()
}

/// Where a raw value lies between its least (−1) and its most (1).
pub fn share(value: i32, least: i32, most: i32) -> f64 {
    let [value, least, most] = [value, least, most].map(f64::from);
    if most <= least {
        return 0.0;
    }
    ((value - least) / (most - least) * 2.0 - 1.0).clamp(-1.0, 1.0)
}

/// Where a reader leaves what it has read; without a reader no pad is seen any more.
pub struct PadFeed {
    pad: Arc<Mutex<Option<Pad>>>,
    waker: Waker,
}

impl PadFeed {
    /// Takes note of something that happened, and wakes the window.
    pub fn put(&self, event: PadEvent) {
        let mut pad = self.pad.lock().unwrap_or_else(PoisonError::into_inner);
        *pad = after(pad.take(), event);
        drop(pad);
        (self.waker)();
    }

    /// Nobody looks any more.
    pub fn is_over(&self) -> bool {
        Arc::strong_count(&self.pad) == 1
    }
}

impl Drop for PadFeed {
    fn drop(&mut self) {
        self.put(PadEvent::Went);
    }
}

/// The pad as the window sees it.
pub struct PadSeat {
    pad: Arc<Mutex<Option<Pad>>>,
}

impl PadSeat {
    /// A seat and what feeds it.
    pub fn new(waker: Waker) -> (Self, PadFeed) {
        let pad = Arc::new(Mutex::new(None));
        (Self { pad: pad.clone() }, PadFeed { pad, waker })
    }

    /// The pad, if there is one.
    pub fn pad(&self) -> Option<Pad> {
        self.pad
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// What the pad asks for in this picture; a stop is told once.
    pub fn asks(&self) -> Vec<Command> {
        let mut pad = self.pad.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(pad) = &mut *pad else {
            return Vec::new();
        };
        let asks = pad.asks();
        pad.stop = false;
        asks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pad(events: &[PadEvent]) -> Option<Pad> {
        let came = PadEvent::Came("Pad".to_owned(), true);
        let all = std::iter::once(came).chain(events.iter().cloned());
        all.fold(None, after)
    }

    fn rates(pad: &Pad) -> Vec<(ChairAxis, f64)> {
        let rate = |ask: &Command| match ask {
            Command::Drive(DriveCommand::Push(axis, rate_rad_s)) => Some((*axis, *rate_rad_s)),
            _ => None,
        };
        pad.asks().iter().filter_map(rate).collect()
    }

    const HOLD: PadEvent = PadEvent::Button(PadButton::LeftShoulder, true);

    #[test]
    fn nothing_turns_unless_a_shoulder_button_is_held() {
        let pushed = PadEvent::Moved(Stick::LeftX, 1.0);
        let free = pad(std::slice::from_ref(&pushed)).unwrap();
        assert!(free.asks().is_empty());
        let held = pad(&[pushed.clone(), HOLD]).unwrap();
        assert_eq!(rates(&held), [(ChairAxis::Yaw, -FULL_RAD_S)]);
        let other = PadEvent::Button(PadButton::RightShoulder, true);
        assert_eq!(
            rates(&pad(&[pushed.clone(), other.clone()]).unwrap()),
            rates(&held)
        );
        // Both held, one let go: still held.
        let up = PadEvent::Button(PadButton::LeftShoulder, false);
        assert!(pad(&[HOLD, other, up.clone()]).unwrap().is_held());
        assert!(pad(&[pushed, HOLD, up]).unwrap().asks().is_empty());
    }

    #[test]
    fn sticks_turn_as_they_point() {
        // Left is to the patient's left, positive yaw; up is negative on a stick and turns the track on.
        let asks = rates(&pad(&[HOLD, PadEvent::Moved(Stick::LeftX, -1.0)]).unwrap());
        assert_eq!(asks, [(ChairAxis::Yaw, FULL_RAD_S)]);
        let asks = rates(&pad(&[HOLD, PadEvent::Moved(Stick::RightY, -1.0)]).unwrap());
        assert_eq!(asks, [(ChairAxis::Track, FULL_RAD_S)]);
        let asks = rates(&pad(&[HOLD, PadEvent::Moved(Stick::LeftY, -1.0)]).unwrap());
        assert!(asks.is_empty(), "the right stick is there for it");
        let one = PadEvent::Came("One stick".to_owned(), false);
        let asks = rates(&pad(&[one, HOLD, PadEvent::Moved(Stick::LeftY, 1.0)]).unwrap());
        assert_eq!(asks, [(ChairAxis::Track, -FULL_RAD_S)]);
    }

    #[test]
    fn a_stick_near_its_middle_is_let_go_and_finer_there() {
        assert!(felt(0.15) == 0.0 && felt(-0.149) == 0.0);
        // Half of what is beyond the dead zone asks for a quarter: 0.15 + 0.85 / 2 = 0.575.
        assert!((felt(0.575) - 0.25).abs() < 1e-12);
        assert!((felt(-1.0) + 1.0).abs() < 1e-12 && (felt(7.0) - 1.0).abs() < 1e-12);
        let odd = pad(&[HOLD, PadEvent::Moved(Stick::LeftX, f64::NAN)]).unwrap();
        assert!(odd.asks().is_empty());
    }

    #[test]
    fn raw_values_of_any_range() {
        for (value, least, most, expected) in [
            (0, -32768, 32767, 0.0),
            (32767, -32768, 32767, 1.0),
            (0, 0, 255, -1.0),
            (128, 0, 255, 0.0),
            (300, 0, 255, 1.0),
            (5, 5, 5, 0.0),
        ] {
            let got = share(value, least, most);
            assert!((got - expected).abs() < 0.005, "{value}: {got}");
        }
    }

    #[test]
    fn a_stop_is_told_once_and_a_pad_that_went_has_no_hand() {
        let (seat, feed) = PadSeat::new(Arc::new(|| {}));
        feed.put(PadEvent::Button(PadButton::South, true));
        assert!(seat.asks().is_empty(), "no pad was seen");
        feed.put(PadEvent::Came("Pad".to_owned(), true));
        // Pressed and let go between two pictures counts.
        feed.put(PadEvent::Button(PadButton::South, true));
        feed.put(PadEvent::Button(PadButton::South, false));
        assert_eq!(seat.asks(), [Command::Drive(DriveCommand::StopChair)]);
        assert!(seat.asks().is_empty());
        feed.put(HOLD);
        feed.put(PadEvent::Moved(Stick::LeftX, 1.0));
        assert_eq!(seat.asks().len(), 1);
        feed.put(PadEvent::Came("Another".to_owned(), true));
        assert!(
            seat.asks().is_empty(),
            "another pad starts with nothing held"
        );
        feed.put(HOLD);
        feed.put(PadEvent::Moved(Stick::LeftX, 1.0));
        drop(feed);
        assert!(seat.pad().is_none() && seat.asks().is_empty());
    }
}
