//! What helps while driving: the sound and the gamepad, at the foot of the driving column and in the menu.

use egui::{RichText, Ui};

use crate::{
    drive::{pad, pad_reader, sound},
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, DriveCommand, DriveSound},
};

const SOUND: &str = "Soft beats while the chair is off the plan: slower and softer the nearer it is, silent \
    where the step counts as reached. A double tone at “go on”.";
const NO_SOUND: &str = "On this system no sound can be played.";
const NO_PAD: &str = "On this system no gamepad can be read; keys and pointer drive as well.";

/// Shows both.
pub fn aids_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    controls::section(ui, "Sound and gamepad");
    ui.scope(|ui| {
        // As high as a gloved hand needs.
        ui.spacing_mut().interact_size.y = 44.0;
        sound_ui(ui, session, commands);
    });
    pad_ui(ui, session);
}

/// The switch of the sound.
pub fn sound_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let mut on = session.preferences.sound == DriveSound::On;
    let label = RichText::new("Sound while driving").font(theme::small());
    let box_ = ui
        .add_enabled(sound::IS_PLAYED, egui::Checkbox::new(&mut on, label))
        .on_hover_text(SOUND)
        .on_disabled_hover_text(NO_SOUND);
    fields::name(&box_, "Sound while driving");
    if box_.changed() {
        commands.push(Command::Drive(DriveCommand::Sound(if on {
            DriveSound::On
        } else {
            DriveSound::Off
        })));
    }
}

/// Which gamepad is seen, and whether it is held.
fn pad_ui(ui: &mut Ui, session: &Session) {
    let words = match session.pad.as_ref().and_then(pad::PadSeat::pad) {
        _ if !pad_reader::IS_READ => NO_PAD.to_owned(),
        None => "Gamepad: none is seen".to_owned(),
        Some(pad) if pad.is_held() => format!("Gamepad: {}, held", pad.name),
        Some(pad) => format!("Gamepad: {}; hold a shoulder button to turn", pad.name),
    };
    let words = RichText::new(words).font(theme::small());
    let label = ui.label(words.color(Palette::of(ui).weak));
    if pad_reader::IS_READ {
        label.on_hover_text(pad::HELP);
    }
}
