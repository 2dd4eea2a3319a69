//! Glove mode: the whole screen is the drive's next position, one large target to hold, and the rules when to
//! stop.

use egui::{
    Align, Align2, Button, CentralPanel, CornerRadius, FontFamily, FontId, Frame, Label, Layout,
    Margin, Panel, Rect, RichText, Role, Sense, Ui, WidgetInfo, vec2,
};

use crate::{
    drive::{Advice, Drive, drive_aids_ui, drive_ui, running},
    kit::theme::{self, Palette, STRONG},
    session::{
        Session,
        command::{Command, DriveCommand},
    },
};

/// Sizes of type that is read from afar, points: what to do, the seconds, all else.
const HUGE: f32 = 64.0;
const SECONDS: f32 = 96.0;
const LARGE: f32 = 24.0;
/// Least height of what a gloved hand touches, points.
const TOUCH: f32 = 56.0;

/// Shows it.
pub fn glove_ui(ui: &mut Ui, session: &Session, drive: &Drive, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let ground = |colour| Frame::new().fill(colour).inner_margin(Margin::same(16));
    Panel::bottom("stop rules")
        .resizable(false)
        .frame(ground(palette.score))
        .show(ui, |ui| {
            let rules = RichText::new(drive_ui::STOP_RULES).font(FontId::proportional(18.0));
            ui.add(Label::new(rules.color(palette.text)).wrap());
            ui.add_space(8.0);
            ui.spacing_mut().interact_size.y = TOUCH;
            ui.horizontal(|ui| buttons_ui(ui, session, drive, commands));
        });
    CentralPanel::default()
        .frame(ground(palette.panel))
        .show(ui, |ui| {
            words_ui(ui, drive, &palette);
            target_ui(ui, drive, &palette, commands);
        });
}

fn strong(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(STRONG.into()))
}

fn words_ui(ui: &mut Ui, drive: &Drive, palette: &Palette) {
    let Some(now) = drive.now() else {
        ui.label(RichText::new("The chair is made ready…").font(strong(LARGE)));
        return;
    };
    let steps = &drive.plan().scenario.steps;
    let step = steps.get(now.target.step);
    if let Some(step) = step.filter(|_| !drive.is_in_case()) {
        let (i, of) = (now.target.step + 1, steps.len());
        let text = format!("Step {i} of {of}: {}", step.name);
        ui.add(Label::new(RichText::new(text).font(strong(LARGE))).wrap());
    }
    ui.horizontal(|ui| {
        let words = drive_ui::words_from_afar(drive, now).join(", ");
        ui.label(RichText::new(words).font(strong(HUGE)).color(palette.text));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let left = running::hold_left_s(drive, now).filter(|s| *s > 0.0);
            if let Some(left_s) = left {
                let text = format!("{:.0} s", left_s.ceil());
                ui.label(RichText::new(text).font(strong(SECONDS)))
                    .on_hover_text("What is left of the planned hold");
            }
        });
    });
    let mut lines = vec![
        now.advice.reason().to_owned(),
        drive_ui::speed_words(drive, now),
    ];
    lines.extend(running::plane_words(drive, now).filter(|_| now.advice == Advice::GetThere));
    lines.push(running::so_far(now).join("; "));
    for line in lines {
        let text = RichText::new(line).font(FontId::proportional(LARGE));
        ui.add(Label::new(text.color(palette.weak)).wrap());
    }
}

/// As large as what is left; held, the chair turns, let go, it brakes.
fn target_ui(ui: &mut Ui, drive: &Drive, palette: &Palette, commands: &mut Vec<Command>) {
    let size = ui.available_size().max(vec2(44.0, 2.0 * TOUCH));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let step = drive.next_step();
    let steps = &drive.plan().scenario.steps;
    let name = step.map_or_else(
        || "There is no step to turn to".to_owned(),
        |step| format!("Turn to step {}", step + 1),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Button, step.is_some(), name.as_str()));
    let held = response.is_pointer_button_down_on();
    let colour = if held {
        palette.text
    } else {
        palette.block_strong
    };
    let ink = if held { palette.panel } else { palette.text };
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(8), colour);
    let centre = rect.center();
    let text = |at, align, words: &str, font| painter.text(at, align, words, font, ink);
    text(centre, Align2::CENTER_BOTTOM, &name, strong(48.0));
    let title = step
        .and_then(|step| steps.get(step))
        .map_or("", |s| s.name.as_str());
    let below = Rect::from_min_max(rect.left_center(), rect.right_bottom()).shrink(8.0);
    let galley = painter.layout(
        title.to_owned(),
        FontId::proportional(LARGE),
        ink,
        below.width(),
    );
    painter.galley(
        below.center_top() - vec2(galley.size().x / 2.0, 0.0),
        galley,
        ink,
    );
    text(
        rect.center_bottom() - vec2(0.0, 12.0),
        Align2::CENTER_BOTTOM,
        "Hold it, or the pedal (Page Down, Enter); let go and the chair brakes",
        theme::body(),
    );
    if held {
        commands.push(Command::Drive(DriveCommand::GoOn));
    }
}

fn buttons_ui(ui: &mut Ui, session: &Session, drive: &Drive, commands: &mut Vec<Command>) {
    ui.add_enabled_ui(!drive.is_ending(), |ui| {
        for (label, tip, command) in [
            (
                "Stop the chair",
                "The chair brakes until the hand has let go once (Space)",
                DriveCommand::StopChair,
            ),
            (
                "End and keep",
                "The drive becomes the draft; Undo brings the plan back (F6)",
                DriveCommand::End,
            ),
            (
                "Leave glove mode",
                "Back to the whole window (F11)",
                DriveCommand::Glove(false),
            ),
        ] {
            let button = Button::new(RichText::new(label).font(FontId::proportional(18.0)));
            let button = ui.add(button.min_size(vec2(160.0, TOUCH)));
            if button.on_hover_text(tip).clicked() {
                commands.push(Command::Drive(command));
            }
        }
    });
    drive_aids_ui::sound_ui(ui, session, commands);
}
