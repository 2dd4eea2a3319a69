//! Reads a gamepad on a thread of its own, as long as somebody drives. Linux only.

use super::pad::PadFeed;

/// This system's gamepads can be read.
pub const IS_READ: bool = cfg!(target_os = "linux");

/// Starts to look for a pad; ends by itself when nobody looks at the feed any more.
#[cfg(target_os = "linux")]
pub fn start(feed: PadFeed) {
    std::thread::spawn(move || linux::read(&feed));
}

/// Here no pad can be read.
#[cfg(not(target_os = "linux"))]
pub fn start(feed: PadFeed) {
    drop(feed);
}

#[cfg(target_os = "linux")]
mod linux {
    use std::{collections::HashMap, io::ErrorKind, thread, time::Duration};

    use evdev::{AbsoluteAxisCode, Device, EventSummary, InputEvent, KeyCode};

    use crate::drive::pad::{PadButton, PadEvent, PadFeed, Stick, share};

    /// From one look at a pad to the next.
    const EVERY: Duration = Duration::from_millis(8);
    /// From one look for a pad to the next.
    const LOOK: Duration = Duration::from_secs(1);

    /// Least and most of each axis.
    type Ranges = HashMap<AbsoluteAxisCode, (i32, i32)>;

    pub(super) fn read(feed: &PadFeed) {
        while !feed.is_over() {
            if let Some(device) = evdev::enumerate().map(|(_, d)| d).find(is_pad) {
                follow(device, feed);
                feed.put(PadEvent::Went);
            } else {
                thread::sleep(LOOK);
            }
        }
    }

    /// Has what the kernel calls a gamepad: a south button and a stick.
    fn is_pad(device: &Device) -> bool {
        let has_south = device
            .supported_keys()
            .is_some_and(|keys| keys.contains(KeyCode::BTN_SOUTH));
        has_south && has_axis(device, AbsoluteAxisCode::ABS_X)
    }

    fn has_axis(device: &Device, axis: AbsoluteAxisCode) -> bool {
        device
            .supported_absolute_axes()
            .is_some_and(|axes| axes.contains(axis))
    }

    /// Hands over what it does until it is gone or nobody looks any more.
    fn follow(mut device: Device, feed: &PadFeed) {
        if device.set_nonblocking(true).is_err() {
            thread::sleep(LOOK);
            return;
        }
        let ranges: Ranges = device
            .get_absinfo()
            .map(|all| {
                all.map(|(axis, info)| (axis, (info.minimum(), info.maximum())))
                    .collect()
            })
            .unwrap_or_default();
        let name = device.name().unwrap_or("gamepad").to_owned();
        feed.put(PadEvent::Came(
            name,
            has_axis(&device, AbsoluteAxisCode::ABS_RY),
        ));
        while !feed.is_over() {
            match device.fetch_events() {
                Ok(events) => events
                    .filter_map(|e| event(e, &ranges))
                    .for_each(|e| feed.put(e)),
                Err(error) if error.kind() == ErrorKind::WouldBlock => thread::sleep(EVERY),
                Err(_) => return,
            }
        }
    }

    /// What an event of the kernel means here, if anything.
    fn event(event: InputEvent, ranges: &Ranges) -> Option<PadEvent> {
        match event.destructure() {
            EventSummary::Key(_, key, value) => {
                let button = match key {
                    KeyCode::BTN_TL => PadButton::LeftShoulder,
                    KeyCode::BTN_TR => PadButton::RightShoulder,
                    KeyCode::BTN_SOUTH => PadButton::South,
                    KeyCode::BTN_EAST => PadButton::East,
                    _ => return None,
                };
                Some(PadEvent::Button(button, value != 0))
            }
            EventSummary::AbsoluteAxis(_, axis, value) => {
                let stick = match axis {
                    AbsoluteAxisCode::ABS_X => Stick::LeftX,
                    AbsoluteAxisCode::ABS_Y => Stick::LeftY,
                    AbsoluteAxisCode::ABS_RY => Stick::RightY,
                    _ => return None,
                };
                let &(least, most) = ranges.get(&axis)?;
                Some(PadEvent::Moved(stick, share(value, least, most)))
            }
            _ => None,
        }
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        #[test]
        fn events_of_the_kernel_by_their_numbers() {
            let ranges: Ranges = [(AbsoluteAxisCode::ABS_RY, (-32768, 32767))].into();
            // Types and codes as in the kernel's input-event-codes.h: EV_KEY 1, EV_ABS 3.
            let told = |kind, code, value| event(InputEvent::new(kind, code, value), &ranges);
            let button = |b, down| Some(PadEvent::Button(b, down));
            assert_eq!(told(1, 0x136, 1), button(PadButton::LeftShoulder, true));
            assert_eq!(told(1, 0x137, 0), button(PadButton::RightShoulder, false));
            assert_eq!(told(1, 0x130, 1), button(PadButton::South, true));
            assert_eq!(told(1, 0x131, 1), button(PadButton::East, true));
            assert_eq!(told(1, 0x133, 1), None, "north means nothing");
            let up = Some(PadEvent::Moved(Stick::RightY, -1.0));
            assert_eq!(told(3, 0x04, -32768), up);
            assert_eq!(told(3, 0x00, 5), None, "an axis without a range");
            assert_eq!(told(0, 0, 0), None, "the end of a report");
        }
    }
}
