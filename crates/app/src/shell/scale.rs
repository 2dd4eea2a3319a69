//! How large everything is drawn: more so in a window larger than a laptop's.

use egui::{Context, Vec2};

/// A window of this many points is drawn as everything was laid out for.
const LAID_OUT_FOR: Vec2 = Vec2::new(1440.0, 900.0);
/// Of what a window is larger, this share goes to the size of text and controls, the rest to room.
const TO_TEXT: f32 = 0.5;
const GREATEST: f32 = 1.5;

/// What everything is enlarged by in a window of so many points (those of the screen, unenlarged).
pub fn scale_of(window: Vec2) -> f32 {
    let ratio = (window / LAID_OUT_FOR).min_elem();
    let wanted = (1.0 + TO_TEXT * (ratio - 1.0)).clamp(1.0, GREATEST);
    (20.0 * wanted).round() / 20.0
}

/// Enlarges by the window's size, on top of what the user asked for by Ctrl and + or −.
#[derive(Debug)]
pub struct Scale {
    own: f32,
}

impl Default for Scale {
    fn default() -> Self {
        Self { own: 1.0 }
    }
}

impl Scale {
    /// Looks at the window's size.
    pub fn follow(&mut self, ctx: &Context) {
        let drawn = ctx.zoom_factor();
        let own = scale_of(ctx.content_rect().size() * drawn);
        if (own - self.own).abs() > 1e-3 {
            ctx.set_zoom_factor(drawn / self.own * own);
            self.own = own;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 2560 by 1440 is 1.6 times 1440 by 900 in height, so text grows by half of 0.6.
    #[test]
    fn a_large_window_enlarges_and_a_small_one_does_not_shrink() {
        for ((width, height), wanted) in [
            ((1024.0, 700.0), 1.0),
            ((1440.0, 900.0), 1.0),
            ((1440.0, 7200.0), 1.0),
            ((2560.0, 1440.0), 1.3),
            ((7680.0, 4320.0), 1.5),
        ] {
            let found = scale_of(Vec2::new(width, height));
            assert!(
                (found - wanted).abs() < 1e-6,
                "{width} by {height}: {found}"
            );
        }
    }
}
