//! The edges of the step blocks: dragged to change move and hold times.

use egui::{CursorIcon, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use lithodrome_chair::StepTimes;
use lithodrome_rehearsal::StepEntry;

use super::Lane;
use crate::{
    kit::theme,
    session::command::{Command, EditCommand},
    session::draft::Draft,
    session::edit::{Edit, StepsEdit},
    work::stage_data::Loaded,
};

/// Times are changed in steps of this, s; with Shift in the finer ones.
const COARSE_S: f64 = 0.5;
const FINE_S: f64 = 0.1;

/// A part of a step that ends at an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Part {
    Move,
    Hold,
}

impl Part {
    fn name(self) -> &'static str {
        match self {
            Part::Move => "move",
            Part::Hold => "hold",
        }
    }

    /// As it comes out: a move may take its mover's own time.
    fn lasts_s(self, times: &StepTimes) -> f64 {
        match self {
            Part::Move => times.hold_from_s - times.start_s,
            Part::Hold => times.end_s - times.hold_from_s,
        }
    }

    fn with(self, step: &StepEntry, time_s: f64) -> StepEntry {
        let mut next = step.clone();
        match self {
            Part::Move => next.move_s = time_s,
            Part::Hold => next.hold_s = time_s,
        }
        next
    }
}

/// Takes the edges' pointer; the change is made when the edge is let go, as the axis follows the length of
/// the run. Nothing can be dragged while the band shows an older draft.
pub fn edges_ui(
    ui: &mut Ui,
    lane: &Lane,
    loaded: &Loaded,
    draft: &Draft,
    commands: &mut Vec<Command>,
) {
    if draft.scenario().steps != loaded.scenario.steps {
        return;
    }
    for (i, times) in loaded.step_times.iter().enumerate() {
        for part in [Part::Move, Part::Hold] {
            edge_ui(ui, lane, draft, (i, times), part, commands);
        }
    }
}

fn edge_ui(
    ui: &mut Ui,
    lane: &Lane,
    draft: &Draft,
    (i, times): (usize, &StepTimes),
    part: Part,
    commands: &mut Vec<Command>,
) {
    let Some(step) = draft.scenario().steps.get(i) else {
        return;
    };
    let end_s = match part {
        Part::Move => times.hold_from_s,
        Part::Hold => times.end_s,
    };
    let x = lane.axis.x_at(end_s).round();
    // The two edges at a step without a move stand side by side.
    let sides = match part {
        Part::Move => x - 1.0..=x + 6.0,
        Part::Hold => x - 6.0..=x + 1.0,
    };
    let rect = Rect::from_x_y_ranges(sides, lane.rect.y_range());
    let id = ui.scope_id().with(("edge", i, part));
    let response = ui.interact(rect, id, Sense::DRAG | Sense::HOVER);
    let name = format!("End of the {} of step {}", part.name(), i + 1);
    response.widget_info(|| WidgetInfo::labeled(Role::Splitter, true, &name));
    let from_x: Option<f32> = ui.data(|d| d.get_temp(id));
    let pointer = response.interact_pointer_pos().map(|p| p.x);
    if response.drag_started() {
        let pressed = ui.input(|i| i.pointer.press_origin()).map(|p| p.x);
        ui.data_mut(|d| d.insert_temp(id, pressed.or(pointer).unwrap_or(x)));
    }
    let before_s = part.lasts_s(times);
    let dragged = from_x.zip(pointer).map(|(from, to)| {
        let fine = ui.input(|i| i.modifiers.shift);
        let by_s = f64::from(to - from) * lane.axis.s_per_point();
        (
            snapped(before_s + by_s, if fine { FINE_S } else { COARSE_S }),
            x + to - from,
        )
    });
    if response.hovered() || response.dragged() {
        ui.set_cursor_icon(CursorIcon::ResizeHorizontal);
        let grip = Stroke::new(2.0, lane.palette.text);
        ui.painter().vline(x, lane.rect.y_range(), grip);
    }
    if let Some((time_s, at)) = dragged {
        ghost(ui, lane, at, &format!("{} {time_s:.1} s", part.name()));
    }
    if response.drag_stopped() {
        ui.data_mut(|d| d.remove_temp::<f32>(id));
        if let Some((time_s, _)) = dragged.filter(|d| (d.0 - before_s).abs() > 1e-9) {
            commands.push(Command::Edit(EditCommand::ChooseStep(i)));
            commands.push(Command::Edit(EditCommand::Change(Edit::Steps(
                StepsEdit::Set(i, part.with(step, time_s)),
            ))));
        }
    } else if !response.dragged() {
        let tip = format!("Drag to change the {} time of step {}", part.name(), i + 1);
        response.on_hover_text(format!("{tip}: {before_s:.1} s (Shift: finer)"));
    }
}

/// To a multiple of a grid, and no less than nothing.
fn snapped(time_s: f64, grid_s: f64) -> f64 {
    ((time_s / grid_s).round() * grid_s * 10.0).round().max(0.0) / 10.0
}

/// Where the edge would come, and what that means.
fn ghost(ui: &Ui, lane: &Lane, x: f32, text: &str) {
    let painter = ui.painter();
    let ink = lane.palette.text;
    painter.vline(x, lane.rect.y_range(), Stroke::new(2.0, ink));
    let galley = painter.layout_no_wrap(text.to_owned(), theme::small_strong(), lane.palette.panel);
    let size = galley.size() + vec2(12.0, 4.0);
    let left = (x - size.x / 2.0).clamp(lane.all.left() + 4.0, lane.all.right() - size.x - 4.0);
    let rect = Rect::from_min_size(pos2(left.round(), lane.rect.bottom() + 4.0), size);
    painter.rect_filled(rect, 4.0, ink);
    painter.galley(rect.center() - galley.size() / 2.0, galley, ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_fall_on_the_grid_and_not_below_nothing() {
        let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert!(close(snapped(30.2, 0.5), 30.0));
        assert!(close(snapped(30.3, 0.5), 30.5));
        assert!(close(snapped(30.26, 0.1), 30.3));
        assert!(close(snapped(-4.0, 0.5), 0.0));
    }
}
