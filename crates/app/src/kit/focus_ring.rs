//! A ring around whatever has the focus, once somebody goes from one thing to the next by keys.

use egui::{Context, CornerRadius, Event, Id, Key, LayerId, Order, Stroke, StrokeKind, Theme};

use super::theme::{DARK, LIGHT};

/// Room between a thing and its ring, points.
const ROOM: f32 = 2.0;

/// Draws the ring; call once everything else has been drawn.
pub fn show(ctx: &Context) {
    let known = Id::unique("focus by keys");
    let by_keys = ctx.input(|i| {
        i.events.iter().fold(None, |by_keys, event| match event {
            Event::Key {
                key: Key::Tab | Key::ArrowUp | Key::ArrowDown | Key::ArrowLeft | Key::ArrowRight,
                pressed: true,
                ..
            } => Some(true),
            Event::PointerButton { pressed: true, .. } => Some(false),
            _ => by_keys,
        })
    });
    if let Some(by_keys) = by_keys {
        ctx.data_mut(|data| data.insert_temp(known, by_keys));
    }
    if !ctx.data(|data| data.get_temp(known).unwrap_or(false)) {
        return;
    }
    let focused = ctx.memory(egui::Memory::focused);
    let Some(response) = focused.and_then(|id| ctx.read_response(id)) else {
        return;
    };
    let palette = match ctx.theme() {
        Theme::Dark => DARK,
        Theme::Light => LIGHT,
    };
    ctx.layer_painter(LayerId::new(Order::Foreground, Id::unique("focus ring")))
        .rect_stroke(
            response.interact_rect.expand(ROOM),
            CornerRadius::same(5),
            Stroke::new(2.0, palette.text),
            StrokeKind::Outside,
        );
}

#[cfg(test)]
mod tests {
    use egui::{Modifiers, RawInput, Shape};

    use super::*;

    fn key(key: Key) -> RawInput {
        RawInput {
            events: vec![Event::Key {
                key,
                physical_key: None,
                pressed: true,
                repeat: false,
                modifiers: Modifiers::NONE,
            }],
            ..RawInput::default()
        }
    }

    /// A ring is there after each of these pictures.
    fn rings(inputs: Vec<RawInput>) -> Vec<bool> {
        let ctx = Context::default();
        crate::kit::style::install(&ctx);
        let picture = |input: RawInput| {
            let mut output = ctx.run_ui(input, |ui| {
                let _ = ui.button("First");
                let _ = ui.button("Second");
                show(ui.ctx());
            });
            let shapes = std::mem::take(&mut output.shapes);
            output.drop_without_applying_deltas();
            shapes.iter().any(|s| match &s.shape {
                Shape::Rect(r) => (r.stroke.width - 2.0).abs() < 1e-6 && r.fill.a() == 0,
                _ => false,
            })
        };
        inputs.into_iter().map(picture).collect()
    }

    #[test]
    fn tab_shows_the_ring_and_a_click_takes_it_away() {
        let click = RawInput {
            events: vec![Event::PointerButton {
                pos: egui::pos2(400.0, 400.0),
                button: egui::PointerButton::Primary,
                pressed: true,
                modifiers: Modifiers::NONE,
            }],
            ..RawInput::default()
        };
        let none = RawInput::default;
        let shown = rings(vec![none(), key(Key::Tab), none(), click, none()]);
        assert!(!shown[0] && shown[2] && !shown[4], "{shown:?}");
    }
}
