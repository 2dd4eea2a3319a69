//! Whether drawing is slow, and what is said of it: without a graphics card the processor draws.

use std::time::{Duration, Instant};

use eframe::egui_wgpu::wgpu;

/// Pictures are slow below so many a second (assumed: movements are seen to jump).
const SLOW_PER_S: f64 = 15.0;
/// So many pictures of one movement are looked at together.
const PICTURES: u32 = 30;
/// After so long without a picture the window was hidden, s.
const HIDDEN: Duration = Duration::from_secs(3);
/// Names of drivers that draw with the processor, for those that do not say so.
const BY_PROCESSOR: [&str; 5] = ["llvmpipe", "lavapipe", "softpipe", "swrast", "software"];

/// The processor draws: what the driver says, or what its name says.
pub fn is_software(device: wgpu::DeviceType, name: &str) -> bool {
    let name = name.to_lowercase();
    device == wgpu::DeviceType::Cpu || BY_PROCESSOR.iter().any(|known| name.contains(known))
}

/// What to say about pictures that come at this rate; nothing if they come fast enough.
pub fn slow_words(software: bool, per_s: f64) -> Option<String> {
    if per_s >= SLOW_PER_S {
        return None;
    }
    let rate = format!("about {:.0} pictures a second", per_s.max(1.0));
    Some(if software {
        format!(
            "Drawing is slow here, {rate}: there is no graphics card, or no driver for it, and the processor \
             draws. What is computed is the same; a smaller window is drawn faster."
        )
    } else {
        format!(
            "Drawing is slow here, {rate}. What is computed is the same; a smaller window is drawn \
             faster."
        )
    })
}

/// Pictures of one movement.
#[derive(Clone, Copy, Debug)]
struct Counted {
    began: Instant,
    last: Instant,
    pictures: u32,
}

/// Counts pictures while something moves, and says once if they are slow.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    /// Name of the driver; empty if nothing can be drawn.
    pub driver: String,
    /// The processor draws.
    pub software: bool,
    /// What is said, until dismissed.
    pub words: Option<String>,
    /// It has been said.
    said: bool,
    /// The movement under way.
    counted: Option<Counted>,
}

impl Drawing {
    /// By this driver.
    pub fn by(adapter: &wgpu::AdapterInfo) -> Self {
        Self {
            driver: adapter.name.clone(),
            software: is_software(adapter.device_type, &adapter.name),
            ..Self::default()
        }
    }

    /// A picture is due at `now`; something is `moving` in it.
    pub fn count(&mut self, now: Instant, moving: bool) {
        let before = self.counted.take();
        if !moving || self.said || self.driver.is_empty() {
            return;
        }
        let Some(before) = before.filter(|b| now - b.last < HIDDEN) else {
            self.counted = Some(Counted {
                began: now,
                last: now,
                pictures: 0,
            });
            return;
        };
        let pictures = before.pictures + 1;
        if pictures < PICTURES {
            self.counted = Some(Counted {
                last: now,
                pictures,
                ..before
            });
            return;
        }
        let per_s = f64::from(pictures) / (now - before.began).as_secs_f64().max(1e-6);
        self.words = slow_words(self.software, per_s);
        self.said = self.words.is_some();
    }

    /// One line about who draws, for the menu.
    pub fn line(&self) -> String {
        match (self.driver.as_str(), self.software) {
            ("", _) => "The stages cannot be drawn".to_owned(),
            (driver, true) => format!("Drawn by the processor: {driver}"),
            (driver, false) => format!("Drawn by {driver}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_processor_is_known_by_its_kind_or_its_name() {
        use wgpu::DeviceType::{Cpu, DiscreteGpu, IntegratedGpu, Other};
        assert!(is_software(Cpu, "anything"));
        assert!(is_software(Other, "llvmpipe (LLVM 15.0.6, 256 bits)"));
        assert!(!is_software(IntegratedGpu, "a card"));
        assert!(!is_software(DiscreteGpu, "another card"));
    }

    #[test]
    fn only_what_is_slow_is_said_and_why() {
        assert_eq!(slow_words(true, 30.0), None);
        let words = slow_words(true, 7.8).unwrap();
        assert!(words.contains("about 8 pictures a second") && words.contains("no graphics card"));
        let words = slow_words(false, 0.2).unwrap();
        assert!(words.contains("about 1 pictures") && !words.contains("no graphics card"));
    }

    fn after(every: Duration, pictures: u32, moving: impl Fn(u32) -> bool) -> Drawing {
        let mut drawing = Drawing {
            driver: "llvmpipe".to_owned(),
            software: true,
            ..Drawing::default()
        };
        let began = Instant::now();
        for i in 0..pictures {
            drawing.count(began + every * i, moving(i));
        }
        drawing
    }

    #[test]
    fn pictures_are_counted_while_something_moves() {
        let [slow, fast] = [200, 16].map(Duration::from_millis);
        let words = after(slow, 40, |_| true).words.unwrap();
        assert!(words.contains("about 5 pictures"), "{words}");
        assert_eq!(after(fast, 200, |_| true).words, None);
        // Pauses between short movements are not slow drawing.
        assert_eq!(after(slow, 200, |i| i % 10 != 0).words, None);
        // Nor is a window that was hidden.
        assert_eq!(after(HIDDEN, 200, |_| true).words, None);
        let mut dismissed = after(slow, 40, |_| true);
        dismissed.words = None;
        let now = Instant::now() + Duration::from_mins(1);
        for i in 0..100 {
            dismissed.count(now + slow * i, true);
        }
        assert_eq!(dismissed.words, None, "it is said once");
    }
}
