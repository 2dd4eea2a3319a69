//! The top bar: menu, scenario, transport.

use egui::{
    Align, Align2, Key, Layout, MenuBar, RichText, Role, Sense, ThemePreference, Ui, WidgetInfo,
    vec2,
};

use crate::{
    drive::drive_ui,
    kit::controls::{self, Icon},
    kit::menu::{item, menu},
    kit::theme::{self, Palette},
    lesson::state::OpenCase,
    score::axis::clock,
    session::Session,
    session::command::{Command, Dialog, EyeSign, FileCommand, PlayCommand, Use, ViewCommand},
    session::playback::SPEEDS,
    shell::edit_ui,
};

/// Shows the bar.
pub fn menu_ui(
    ui: &mut Ui,
    session: &Session,
    folded: bool,
    theme: ThemePreference,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    MenuBar::new().ui(ui, |ui| {
        ui.set_min_height(28.0);
        ui.add_enabled_ui(session.drive.is_none(), |ui| {
            menu(ui, "File", Key::F, |ui| file_menu(ui, session, commands));
            menu(ui, "Edit", Key::E, |ui| {
                edit_ui::edit_menu(ui, session, commands);
            });
        });
        menu(ui, "Chair", Key::C, |ui| {
            drive_ui::chair_menu(ui, session, commands);
        });
        menu(ui, "View", Key::V, |ui| {
            view_menu(ui, session, theme, commands);
        });
        menu(ui, "Help", Key::H, |ui| {
            item(
                ui,
                "Keys and pointer",
                "F1",
                "Show the keys",
                Command::View(ViewCommand::Show(Dialog::Shortcuts)),
                commands,
            );
            let about = Command::View(ViewCommand::Show(Dialog::Notice));
            item(
                ui,
                "About and cautions",
                "",
                "What this is and is not",
                about,
                commands,
            );
        });
        ui.add_space(8.0);
        use_ui(ui, session, commands);
        ui.add_space(8.0);
        drive_ui::top_button(ui, session, commands);
        ui.add_space(8.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let plays = session.shown.is_some() && session.drive.is_none();
            ui.add_enabled_ui(plays, |ui| {
                transport(ui, session, commands);
            });
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if folded {
                    title_ui(ui, session, &palette);
                }
                if session.is_dirty() {
                    let text = RichText::new("not saved").font(theme::small());
                    let label = ui.add(egui::Label::new(text.color(palette.weak)));
                    label.on_hover_text("There are changes that no file has (Ctrl+S saves)");
                }
            });
        });
    });
}

/// What is on the stages. Of a hidden case its number; the ear of the open scenario would tell something that is
/// not so.
fn title_ui(ui: &mut Ui, session: &Session, palette: &Palette) {
    let on_stages = session.case_on_stages().map(OpenCase::title);
    let title = match (&on_stages, &session.draft) {
        (Some(title), _) => title,
        (None, Some(draft)) => {
            for ear in draft.ears() {
                controls::ear_mark(ui, ear);
            }
            &draft.scenario().title
        }
        (None, None) => return,
    };
    let title = RichText::new(title)
        .font(theme::body_strong())
        .color(palette.text);
    ui.add(egui::Label::new(title).truncate());
}

/// What the window is used for.
fn use_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let choices = Use::ALL.map(|what| (what, what.name(), what.tip()));
    ui.add_enabled_ui(session.drive.is_none(), |ui| {
        let now = session.preferences.used_for;
        if let Some(what) = controls::choice(ui, "Use", now, &choices) {
            commands.push(Command::View(ViewCommand::UseFor(what)));
        }
    });
}

/// Time, then the buttons, then the speed; laid out from the right.
fn transport(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let playback = &session.playback;
    ui.spacing_mut().item_spacing.x = 2.0;
    let (rect, response) = ui.allocate_exact_size(vec2(104.0, 24.0), Sense::hover());
    let now = clock(playback.time_s);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("Time {now}")));
    let total = format!(" / {}", clock(playback.duration_s));
    let weak = ui
        .painter()
        .layout_no_wrap(total, theme::small(), palette.weak);
    let x = rect.right() - weak.size().x;
    ui.painter().text(
        egui::pos2(x, rect.center().y),
        Align2::RIGHT_CENTER,
        now,
        theme::body_strong(),
        palette.text,
    );
    ui.painter().galley(
        egui::pos2(x, rect.center().y - weak.size().y / 2.0 + 1.0),
        weak,
        palette.weak,
    );
    ui.add_space(8.0);
    let (icon, name) = if playback.playing {
        (Icon::Pause, "Pause")
    } else {
        (Icon::Play, "Play")
    };
    let buttons = [
        (
            Icon::End,
            "To the end",
            "To the end (End)",
            Command::Play(PlayCommand::Seek(f64::INFINITY)),
        ),
        (
            Icon::On,
            "Next step",
            "To the next step (Shift + Right)",
            Command::Play(PlayCommand::StepBy(1)),
        ),
        (
            icon,
            name,
            "Play or pause (Space)",
            Command::Play(PlayCommand::Toggle),
        ),
        (
            Icon::Back,
            "Previous step",
            "To the previous step (Shift + Left)",
            Command::Play(PlayCommand::StepBy(-1)),
        ),
        (
            Icon::Start,
            "To the start",
            "To the start (Home)",
            Command::Play(PlayCommand::Seek(0.0)),
        ),
    ];
    for (icon, name, tip, command) in buttons {
        if controls::icon_button(ui, icon, 28.0, name, tip).clicked() {
            commands.push(command);
        }
    }
    ui.add_space(8.0);
    let label = |speed: f64| format!("{speed}×");
    let combo = egui::ComboBox::from_id_salt("speed")
        .width(48.0)
        .selected_text(label(playback.speed))
        .show_ui(ui, |ui| {
            for speed in SPEEDS {
                if ui
                    .selectable_label((playback.speed - speed).abs() < 1e-9, label(speed))
                    .clicked()
                {
                    commands.push(Command::Play(PlayCommand::Speed(speed)));
                }
            }
        });
    let speed = playback.speed;
    combo.response.widget_info(|| {
        WidgetInfo::labeled(
            Role::ComboBox,
            true,
            format!("Speed {speed} times real time"),
        )
    });
    combo
        .response
        .on_hover_text("Speed, times real time (−, +)");
}

fn file_menu(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    ui.set_min_width(224.0);
    item(
        ui,
        "New",
        "Ctrl+N",
        "A new scenario of one step",
        Command::File(FileCommand::New),
        commands,
    );
    item(
        ui,
        "Open…",
        "Ctrl+O",
        "Choose a scenario file",
        Command::File(FileCommand::Pick),
        commands,
    );
    let path = Command::View(ViewCommand::Show(Dialog::Path(String::new())));
    item(
        ui,
        "Open by path…",
        "",
        "Type the path of a scenario file",
        path,
        commands,
    );
    let shipped = "Open the Epley scenario";
    item(
        ui,
        shipped,
        "",
        "The scenario that comes with the program",
        Command::File(FileCommand::OpenShipped),
        commands,
    );
    item(
        ui,
        "Reload",
        "Ctrl+R",
        "Read the file again and compute",
        Command::File(FileCommand::Reload),
        commands,
    );
    ui.separator();
    let tip = "Save to the file that it came from";
    item(
        ui,
        "Save",
        "Ctrl+S",
        tip,
        Command::File(FileCommand::Save),
        commands,
    );
    let tip = "Choose a file to save to";
    item(
        ui,
        "Save as…",
        "Ctrl+Shift+S",
        tip,
        Command::File(FileCommand::SaveAs),
        commands,
    );
    ui.separator();
    crate::export::export_ui::menu_ui(ui, session, commands);
    if !session.preferences.recent.is_empty() {
        ui.separator();
        controls::section(ui, "Recent");
        for path in &session.preferences.recent {
            let name = path
                .file_name()
                .unwrap_or(path.as_os_str())
                .to_string_lossy();
            let tip = path.display().to_string();
            let same = |p: &&std::path::PathBuf| p.file_name() == path.file_name();
            let folder = path.parent().and_then(|p| p.file_name());
            let name = match folder {
                Some(folder) if session.preferences.recent.iter().filter(same).count() > 1 => {
                    format!("{name} ({})", folder.to_string_lossy()).into()
                }
                _ => name,
            };
            item(
                ui,
                &name,
                "",
                &tip,
                Command::File(FileCommand::Open(path.clone())),
                commands,
            );
        }
    }
    ui.separator();
    item(
        ui,
        "Quit",
        "Ctrl+Q",
        "Close the program",
        Command::File(FileCommand::Quit),
        commands,
    );
}

fn view_menu(ui: &mut Ui, session: &Session, theme: ThemePreference, commands: &mut Vec<Command>) {
    let themes = [
        (
            ThemePreference::Dark,
            "Dark",
            "Light words on a dark ground",
        ),
        (
            ThemePreference::Light,
            "Light",
            "Dark words on a light ground",
        ),
        (
            ThemePreference::System,
            "As the desktop",
            "Dark or light as the desktop is",
        ),
    ];
    controls::section(ui, "Theme");
    for (preference, label, tip) in themes {
        let radio = ui.radio(theme == preference, label);
        if radio.on_hover_text(tip).clicked() {
            commands.push(Command::View(ViewCommand::Theme(preference)));
            ui.close();
        }
    }
    ui.separator();
    controls::section(ui, "Sign of the eyes' traces");
    let signs = [
        (
            EyeSign::Clinical,
            "Up and right are up",
            "As in the clinic: up, right and the upper pole toward the left ear are up in the score",
        ),
        (
            EyeSign::RightHand,
            "Right-hand turns are up",
            "Down, left and the upper pole toward the right ear are up in the score",
        ),
    ];
    for (sign, label, tip) in signs {
        let radio = ui.radio(session.preferences.eye_sign == sign, label);
        if radio.on_hover_text(tip).clicked() {
            commands.push(Command::View(ViewCommand::SignEyes(sign)));
            ui.close();
        }
    }
    ui.separator();
    let folded = session.case_folded.unwrap_or(false);
    let (label, tip) = if folded {
        ("Show the case column", "Unfold the column on the left")
    } else {
        ("Fold the case column", "Leave more room for the stages")
    };
    item(
        ui,
        label,
        "",
        tip,
        Command::View(ViewCommand::FoldCase(!folded)),
        commands,
    );
    let room = Command::View(ViewCommand::Fit(crate::stages::render::StageId::Room));
    item(
        ui,
        "Put the room view back",
        "",
        "As it was at the start",
        room,
        commands,
    );
    let ear = Command::View(ViewCommand::Fit(crate::stages::render::StageId::Ear));
    item(
        ui,
        "Put the ear view back",
        "",
        "As it was at the start",
        ear,
        commands,
    );
}
