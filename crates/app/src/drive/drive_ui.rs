//! The column while driving: what to do, how far off, how long held, both dials, and the way to the end.

use egui::{Align, Button, CornerRadius, FontFamily, FontId, Frame, Layout, Margin, RichText, Ui};
use lithodrome_rehearsal::units::deg;

use crate::{
    drive::aim,
    drive::debrief_ui,
    drive::drive_aids_ui,
    drive::drive_dial,
    drive::running,
    drive::{Advice, ChairAxis, Drive, Driven},
    kit::controls::{self, Icon},
    kit::menu,
    kit::theme::{self, Palette, STRONG},
    session::Session,
    session::command::{Command, DriveCommand},
    stages::ghost,
};
use lithodrome_chair::{AngleError, angle_error};

/// Width of the column, points.
pub const WIDTH: f32 = 288.0;
/// Least height of what a gloved hand touches, points.
const TOUCH: f32 = 44.0;
/// Size of the word that is read from afar, points.
const WORD: f32 = 28.0;
/// When a drive is to be given up (assumed, as commonly taught; local rules come first).
pub(super) const STOP_RULES: &str = "Stop and go back upright slowly (30°/s at most), straps on, at: any new neurological \
    sign, chest pain or breathlessness, faintness, severe headache or eye pain, repeated vomiting, a strap \
    that slips, nystagmus that is not expected or still grows after a minute, or the patient's word.";

/// Shows the column.
pub fn drive_ui(ui: &mut Ui, session: &Session, drive: &Drive, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let Some(now) = drive.now() else {
        controls::line(ui, "The chair is made ready…", theme::body(), palette.weak);
        return;
    };
    // Stop rules and the way to the end are never scrolled away.
    let rules = stop_rules(ui, &palette);
    let foot = TOUCH + rules.size().y + 3.0 * ui.spacing().item_spacing.y + 24.0;
    let high = (ui.available_height() - foot).max(64.0);
    egui::ScrollArea::vertical()
        .max_height(high)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            word_ui(ui, drive, now, &palette);
            hold_ui(ui, drive, now, &palette);
            ui.add_space(4.0);
            aim_ui(ui, drive, now, &palette, commands);
            ui.add_space(4.0);
            dials_ui(ui, drive, now, commands);
            ui.add_space(4.0);
            limits_ui(ui, now, &palette);
            ui.add_space(8.0);
            drive_aids_ui::aids_ui(ui, session, commands);
            let glove = Button::new("Glove mode").min_size(egui::vec2(0.0, TOUCH));
            let tip = "The whole screen is one large target, with the rules when to stop (F11)";
            if ui.add(glove).on_hover_text(tip).clicked() {
                commands.push(Command::Drive(DriveCommand::Glove(true)));
            }
        });
    controls::section(ui, "When to stop");
    ui.label(rules);
    buttons_ui(ui, session, &palette, commands);
}

/// The rules as they will stand, to know their height.
fn stop_rules(ui: &Ui, palette: &Palette) -> std::sync::Arc<egui::Galley> {
    let wide = ui.available_width();
    ui.painter()
        .layout(STOP_RULES.to_owned(), theme::small(), palette.text, wide)
}

/// What is read from afar: the way to the step's position as long as the chair is not there, then one word; and
/// why. The ground tells the kinds apart without colour.
fn word_ui(ui: &mut Ui, drive: &Drive, now: &Driven, palette: &Palette) {
    let (ground, ink) = match now.advice {
        Advice::Moving => (palette.panel, palette.weak),
        Advice::GetThere | Advice::DebrisMoves | Advice::EyesMove | Advice::Watch => {
            (palette.block_strong, palette.text)
        }
        Advice::GoOn | Advice::Clear => (palette.text, palette.panel),
    };
    let words = words_from_afar(drive, now);
    Frame::new()
        .fill(ground)
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin::symmetric(10, 2))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 0.0;
            for word in words {
                let font = FontId::new(WORD, FontFamily::Name(STRONG.into()));
                ui.label(RichText::new(word).font(font).color(ink));
            }
            let why = match now.advice {
                Advice::Moving => format!("{}: {}", now.advice.word(), now.advice.reason()),
                _ => now.advice.reason().to_owned(),
            };
            ui.label(RichText::new(why).font(theme::small()).color(ink));
        });
}

/// The way to the step's position as long as the chair is not there, then one word.
pub(super) fn words_from_afar(drive: &Drive, now: &Driven) -> Vec<String> {
    let way = ghost::aim(drive).map(|(there, _)| ways_left(angle_error(there, now.angles)));
    match (now.advice, way) {
        (Advice::Moving | Advice::GetThere, Some(way)) if !way.is_empty() => way,
        (advice, _) => vec![advice.word().to_owned()],
    }
}

/// How fast the head turns, and what is allowed.
pub(super) fn speed_words(drive: &Drive, now: &Driven) -> String {
    let speed_deg_s = deg(now.speed_rad_s);
    let allowed = aim::allowed_deg_s(drive.plan())
        .map_or_else(String::new, |most| format!(", allowed are {most:.0}°/s"));
    if speed_deg_s < 0.5 {
        return format!("The head is still{allowed}");
    }
    format!("The head turns at {speed_deg_s:.0}°/s{allowed}")
}

/// What is left to turn by each axis, an order to read from afar; nothing if nothing is.
fn ways_left(miss: AngleError) -> Vec<String> {
    let axes = [
        (ChairAxis::Yaw, "Yaw", ["left", "right"]),
        (ChairAxis::Track, "Track", ["on", "back"]),
    ];
    axes.into_iter()
        .filter_map(|(axis, name, [on, back])| {
            let left_deg = left_deg(miss, axis);
            let way = if left_deg > 0.0 { on } else { back };
            (left_deg != 0.0).then(|| format!("{name} {}° {way}", left_deg.abs()))
        })
        .collect()
}

/// Degrees left to turn, positive to the patient's left and on.
fn left_deg(miss: AngleError, axis: ChairAxis) -> f64 {
    let off_rad = match axis {
        ChairAxis::Yaw => miss.yaw_rad,
        ChairAxis::Track => miss.track_rad,
    };
    -deg(off_rad).round()
}

/// The hold, from when the chair stood still.
fn hold_ui(ui: &mut Ui, drive: &Drive, now: &Driven, palette: &Palette) {
    let plan = drive.plan().scenario.steps.get(now.target.step);
    let left = running::hold_left_s(drive, now);
    let planned = plan.zip(left).map(|(step, left_s)| match left_s {
        s if s > 0.0 => format!(" of {:.0} s planned, {:.0} s to go", step.hold_s, s.ceil()),
        _ => format!(" of {:.0} s planned", step.hold_s),
    });
    let planned = planned.unwrap_or_default();
    let text = match drive.held_s() {
        Some(held_s) => format!("Hold {held_s:.1} s{planned}"),
        None => "Hold not begun".to_owned(),
    };
    let text = RichText::new(text)
        .font(theme::heading())
        .color(palette.text);
    ui.label(text)
        .on_hover_text("Counted from when the chair stands, not from when the hand lets go");
    controls::line(ui, speed_words(drive, now), theme::small(), palette.weak);
}

/// The step aimed at and what is left to turn.
fn aim_ui(
    ui: &mut Ui,
    drive: &Drive,
    now: &Driven,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let steps = &drive.plan().scenario.steps;
    let Some((there, step)) = ghost::aim(drive) else {
        let words = if drive.is_in_case() {
            "Drive where you want, stay as long as you want."
        } else {
            "The plan has no steps: drive freely."
        };
        controls::line(ui, words, theme::body(), palette.weak);
        return;
    };
    ui.horizontal(|ui| {
        controls::section(ui, &format!("Step {} of {}", step + 1, steps.len()));
        if now.target.reached {
            ui.label(
                RichText::new("reached")
                    .font(theme::small())
                    .color(palette.weak),
            );
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            ui.add_enabled_ui(step + 1 < steps.len(), |ui| {
                let tip = "Aim at the next step";
                if controls::icon_button(ui, Icon::On, TOUCH, tip, tip).clicked() {
                    commands.push(Command::Drive(DriveCommand::AimAt(step + 1)));
                }
            });
            ui.add_enabled_ui(step > 0, |ui| {
                let tip = "Aim at the step before";
                if controls::icon_button(ui, Icon::Back, TOUCH, tip, tip).clicked() {
                    commands.push(Command::Drive(DriveCommand::AimAt(step - 1)));
                }
            });
        });
    });
    let name = steps.get(step).map_or("", |s| s.name.as_str());
    controls::line(ui, name, theme::body_strong(), palette.text);
    let miss = angle_error(there, now.angles);
    let text = format!("Gravity is {:.0}° off", deg(miss.gravity_rad));
    let tip = format!("{}. Debris feels gravity only.", miss.words());
    ui.label(RichText::new(text).color(palette.text))
        .on_hover_text(tip);
    if let Some(words) = running::plane_words(drive, now) {
        controls::line(ui, words, theme::small(), palette.weak);
    }
}

/// "12° to the left", "20° on", "there".
fn way_left(miss: AngleError, axis: ChairAxis) -> String {
    let [on, back] = match axis {
        ChairAxis::Yaw => ["to the left", "to the right"],
        ChairAxis::Track => ["on", "back"],
    };
    let left_deg = left_deg(miss, axis);
    if left_deg == 0.0 {
        "there".to_owned()
    } else if left_deg > 0.0 {
        format!("{left_deg}° {on}")
    } else {
        format!("{}° {back}", -left_deg)
    }
}

fn dials_ui(ui: &mut Ui, drive: &Drive, now: &Driven, commands: &mut Vec<Command>) {
    let there = ghost::aim(drive).map(|(angles, _)| angles);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = ui.available_width() - 2.0 * drive_dial::SIZE.x;
        for axis in ChairAxis::BOTH {
            let planned_rad = there.map(|angles| axis.of(angles));
            let left = there.map(|there| way_left(angle_error(there, now.angles), axis));
            let left = left.unwrap_or_default();
            drive_dial::dial(ui, axis, axis.of(now.angles), planned_rad, &left, commands);
        }
    });
}

/// Some limit has been passed in this drive.
pub fn strip_is_needed(session: &Session) -> bool {
    let now = session.drive.as_ref().and_then(Drive::now);
    now.is_some_and(|now| !now.loaded.breaches.is_empty())
}

/// The limits that the drive has passed so far; the latest in full, the others under the pointer.
pub fn strip_ui(ui: &mut Ui, session: &Session) {
    let Some(now) = session.drive.as_ref().and_then(Drive::now) else {
        return;
    };
    let mut breaches: Vec<_> = now.loaded.breaches.iter().collect();
    breaches.sort_by(|a, b| b.since_s.total_cmp(&a.since_s));
    let Some((latest, others)) = breaches.split_first() else {
        return;
    };
    let palette = Palette::of(ui);
    let frame = controls::strip(&palette).inner_margin(Margin::symmetric(16, 4));
    let strip = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal(|ui| {
            controls::warning_sign(ui, &palette);
            let count = match others.len() {
                0 => "Limit passed".to_owned(),
                n => format!("{} limits passed, the latest", n + 1),
            };
            let words =
                RichText::new(format!("{count}: {}", latest.sentence())).font(theme::small());
            ui.add(egui::Label::new(words.color(palette.text)).truncate());
        });
    });
    let all: Vec<String> = breaches.iter().map(|b| b.sentence()).collect();
    strip.response.on_hover_text(all.join("\n"));
}

fn limits_ui(ui: &mut Ui, now: &Driven, palette: &Palette) {
    let scenario = &now.loaded.scenario;
    if !now.loaded.breaches.is_empty() {
        return;
    }
    let limited = scenario.limits.is_some() || scenario.chair_limits.is_some();
    let words = if limited {
        "Within the limits of patient and chair so far."
    } else {
        "This case has no limits."
    };
    controls::line(ui, words, theme::small(), palette.weak);
}

fn buttons_ui(ui: &mut Ui, session: &Session, palette: &Palette, commands: &mut Vec<Command>) {
    let ending = session.drive.as_ref().is_some_and(Drive::is_ending);
    let in_case = is_in_case(session);
    ui.add_enabled_ui(!ending, |ui| {
        if in_case {
            let wide = egui::vec2(ui.available_width(), TOUCH);
            let back = Button::new("Back to the case").fill(palette.block_strong);
            if ui.add_sized(wide, back).on_hover_text(IN_CASE).clicked() {
                commands.push(Command::Drive(DriveCommand::End));
            }
            return;
        }
        let half = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
        let half = egui::vec2(half, TOUCH);
        ui.horizontal(|ui| {
            let keep = Button::new("End and keep").fill(palette.block_strong);
            let tip = "The drive becomes the draft; Undo brings the plan back (F6)";
            if ui.add_sized(half, keep).on_hover_text(tip).clicked() {
                commands.push(Command::Drive(DriveCommand::End));
            }
            let tip = "Back to the plan; Redo brings the drive back";
            let throw = ui.add_sized(half, Button::new("Throw away"));
            if throw.on_hover_text(tip).clicked() {
                commands.push(Command::Drive(DriveCommand::ThrowAway));
            }
        });
    });
}

/// What becomes of a drive within a hidden case.
const IN_CASE: &str = "What was driven is done, and the case goes on from there (F6)";

/// A hidden case is being driven on.
fn is_in_case(session: &Session) -> bool {
    session.drive.as_ref().is_some_and(Drive::is_in_case)
}

/// What a drive that is begun now would be.
pub fn start_tip(session: &Session) -> &'static str {
    if session.shows_case_under_way() {
        "Turn the chair yourself, on from where the case is (F6)"
    } else {
        "Turn the chair yourself, from the start of the plan (F6)"
    }
}

/// The button in the top bar: begins a drive, and ends it.
pub fn top_button(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let driving = session.drive.is_some();
    let refused = session.no_drive_because().filter(|_| !driving);
    let (label, tip, command) = if driving {
        let tip = if is_in_case(session) {
            IN_CASE
        } else {
            "The drive becomes the draft (F6)"
        };
        ("End the drive", tip, Command::Drive(DriveCommand::End))
    } else {
        let tip = start_tip(session);
        ("Drive", tip, Command::Drive(DriveCommand::Start))
    };
    let high = if driving { TOUCH } else { 0.0 };
    let button = Button::new(label)
        .fill(palette.block_strong)
        .min_size(egui::vec2(0.0, high));
    let response = ui.add_enabled(refused.is_none(), button);
    let response = response
        .on_hover_text(tip)
        .on_disabled_hover_text(refused.unwrap_or_default());
    if response.clicked() {
        commands.push(command);
    }
}

/// Shows the Chair menu.
pub fn chair_menu(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    ui.set_min_width(224.0);
    let driving = session.drive.is_some();
    let refused = session.no_drive_because();
    ui.add_enabled_ui(refused.is_none(), |ui| {
        let tip = refused.unwrap_or_else(|| start_tip(session));
        let start = Command::Drive(DriveCommand::Start);
        menu::item(ui, "Drive the chair", "F6", tip, start, commands);
    });
    drive_aids_ui::sound_ui(ui, session, commands);
    ui.separator();
    ui.add_enabled_ui(driving, |ui| {
        let tip = "The chair brakes until the hand has let go once";
        let stop = Command::Drive(DriveCommand::StopChair);
        menu::item(ui, "Stop the chair", "Space", tip, stop, commands);
        let tip = "The drive becomes the draft; Undo brings the plan back";
        let end = Command::Drive(DriveCommand::End);
        menu::item(ui, "End the drive and keep it", "F6", tip, end, commands);
        ui.add_enabled_ui(!is_in_case(session), |ui| {
            let tip = "Back to the plan; Redo brings the drive back";
            let away = Command::Drive(DriveCommand::ThrowAway);
            menu::item(ui, "Throw the drive away", "", tip, away, commands);
        });
        let tip = "The whole screen is one large target, with the rules when to stop";
        let glove = Command::Drive(DriveCommand::Glove(true));
        menu::item(ui, "Glove mode", "F11", tip, glove, commands);
    });
    ui.add_enabled_ui(debrief_ui::is_there(session), |ui| {
        let tip = "What was driven beside the plan, and what it would have taken";
        let show = Command::Drive(DriveCommand::Debrief(true));
        menu::item(ui, "Debrief of the last drive", "", tip, show, commands);
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_told_by_the_way_to_turn() {
        // Now less planned: 12° too far to the right, 20° too far on.
        let miss = AngleError {
            gravity_rad: 0.0,
            yaw_rad: -12f64.to_radians(),
            track_rad: 20f64.to_radians(),
        };
        assert_eq!(way_left(miss, ChairAxis::Yaw), "12° to the left");
        assert_eq!(way_left(miss, ChairAxis::Track), "20° back");
        let there = AngleError {
            yaw_rad: 0.004,
            ..miss
        };
        assert_eq!(way_left(there, ChairAxis::Yaw), "there");
        assert_eq!(ways_left(miss), ["Yaw 12° left", "Track 20° back"]);
        assert_eq!(ways_left(there), ["Track 20° back"]);
    }
}
