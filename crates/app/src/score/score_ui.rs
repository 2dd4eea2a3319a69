//! The score: everything that has time in it, on one time axis under one cursor.

use egui::{CursorIcon, Rect, Response, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::{
    kit::theme::Palette,
    lesson::hidden_ui,
    score::{self, Lane, axis::TimeAxis, eye_traces::Traces},
    session::command::{Command, PlayCommand},
    session::draft::Draft,
    session::playback::Playback,
    work::stage_data::Loaded,
};

/// Least height of the whole score, points.
pub const LEAST_HEIGHT: f32 = 256.0;
const LABELS: f32 = 104.0;
const VALUES: f32 = 96.0;
const AXIS: f32 = 24.0;
const BAND: f32 = 28.0;
const GAP: f32 = 8.0;

/// Shows the score and asks for the time that is pointed at; the plan of a drive stands behind it.
pub fn score_ui(
    ui: &mut Ui,
    loaded: &Loaded,
    draft: Option<&Draft>,
    playback: &Playback,
    traces: Traces,
    plan: Option<&Loaded>,
    commands: &mut Vec<Command>,
) -> Response {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    let time_s = playback.time_s;
    response.widget_info(|| WidgetInfo::slider(true, time_s, "Time in the score"));
    let plot = Rect::from_min_max(
        pos2(rect.left() + LABELS, rect.top()),
        pos2(rect.right() - VALUES, rect.bottom() - AXIS),
    );
    let axis = TimeAxis {
        left: plot.left(),
        right: plot.right(),
        duration_s: plan
            .map_or(0.0, Loaded::duration_s)
            .max(loaded.duration_s()),
    };
    let pressed = response.dragged() || response.clicked() || response.is_pointer_button_down_on();
    if let Some(pointer) = response.interact_pointer_pos().filter(|_| pressed) {
        commands.push(Command::Play(PlayCommand::Seek(axis.time_at(pointer.x))));
    }
    let painter = ui.painter_at(rect);
    let pointed = response
        .interact_pointer_pos()
        .filter(|_| response.clicked());
    let lane = |top: f32, height: f32| Lane {
        axis,
        all: rect,
        rect: Rect::from_min_size(pos2(plot.left(), top), vec2(plot.width(), height)),
        palette,
        time_s,
    };
    let mut top = plot.top() + 4.0;
    let band = lane(top, BAND);
    top += BAND + GAP;
    let rest = plot.bottom() - top - 2.0 * GAP;
    let (chair_height, course_height) = ((rest * 0.24).floor(), (rest * 0.38).floor());
    let chair = lane(top, chair_height);
    top += chair_height + GAP;
    let course = lane(top, course_height);
    top += course_height + GAP;
    let eyes = lane(top, plot.bottom() - top);
    if let (Some(pointer), Some(draft)) = (pointed, draft) {
        commands.extend(score::steps::choose(&band, loaded, draft, pointer));
    }

    score::steps::moves(&painter, &[&chair, &course, &eyes], loaded);
    score::steps::band(&painter, &band, loaded);
    score::chair::draw(&painter, &chair, loaded, plan);
    if loaded.hidden {
        let both = course.rect.union(eyes.rect);
        hidden_ui::hatched(&painter, both, hidden_ui::HIDDEN, &palette);
    } else {
        score::course::draw(&painter, &course, loaded);
        score::eye_traces::draw(&painter, &eyes, loaded, traces);
    }
    let parted: &[&Lane] = if loaded.hidden {
        &[&chair, &course]
    } else {
        &[&chair, &course, &eyes]
    };
    for lane in parted {
        let y = lane.rect.top() - GAP / 2.0;
        painter.hline(rect.x_range(), y, palette.hair());
    }
    let foot = Rect::from_min_max(
        pos2(plot.left(), plot.bottom()),
        pos2(plot.right(), rect.bottom()),
    );
    painter.hline(plot.x_range(), plot.bottom(), palette.hair());
    let x = axis.x_at(time_s).round();
    score::axis::ticks(&painter, &axis, foot, x, &palette);
    painter.vline(
        x,
        plot.top()..=plot.bottom(),
        Stroke::new(1.5, palette.text),
    );
    score::axis::flag(&painter, x, foot, rect, time_s, &palette);
    if response.has_focus() {
        painter.hline(
            plot.x_range(),
            rect.bottom() - 1.0,
            Stroke::new(1.0, palette.weak),
        );
    }
    if let Some(draft) = draft {
        score::edges::edges_ui(ui, &band, loaded, draft, commands);
    }
    response.on_hover_cursor(CursorIcon::ResizeHorizontal)
}
