//! Where the panels go: bar on top, score across the foot, case, room, ear and eyes between.

use egui::{CentralPanel, Frame, Margin, Panel, RichText, ScrollArea, Ui};

use crate::{
    case::case_ui,
    case::debris_ui,
    case::library_ui,
    case::steps_ui,
    drive::debrief_ui,
    drive::drive_ui,
    drive::glove_ui,
    export::export_ui,
    kit::theme::{self, Palette},
    lesson,
    score::score_ui,
    score::verdict_ui,
    session::Session,
    session::command::{CaseTab, Command, FileCommand, Use},
    shell::banner_ui,
    shell::edit_ui,
    shell::menu_ui,
    stages::ear_ui,
    stages::eyes_ui,
    stages::render::StageId,
    stages::room_ui,
    stages::scene::Quality,
    stages::stage_ui::{self, Scenes, Shown},
    variant, visit,
    work::stage_data::Loaded,
};

/// Narrower than this, the case folds and the stages share one place, points.
const COMPACT: f32 = 1180.0;

/// The editors are wider than the case to read by this, points.
const EDITORS: f32 = steps_ui::WIDTH - 280.0;

/// Width of the column of a lesson or a variant, points.
const SIDE: f32 = 360.0;

/// Height of the eyes over the other stage in a small window, points.
const EYES_IN_DRIVE: f32 = 200.0;

/// Least width of the room stage beside the ear, points.
const ROOM: f32 = 304.0;

/// Shows all panels.
pub fn panels(
    ui: &mut Ui,
    session: &Session,
    scenes: &Scenes,
    quality: Quality,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    if let Some(drive) = session.drive.as_ref().filter(|d| d.glove) {
        glove_ui::glove_ui(ui, session, drive, commands);
        return;
    }
    let whole = ui.available_size();
    let small = whole.x < COMPACT;
    // A lesson or a variant without its column would leave nothing to do.
    let folds = small && session.preferences.used_for == Use::Rehearsal;
    let folded = session.case_folded.unwrap_or(folds);
    // The column that tells the scenario's name is not there while driving.
    let untold = folded || session.drive.is_some() || debrief_ui::is_open(session);
    top(ui, session, untold, &palette, commands);
    let computing = session.worker.share().is_some();
    let editing = !folded && session.case_tab != CaseTab::Case && session.drive.is_none();
    let alone = small || (editing && whole.x < COMPACT + EDITORS);
    let Some(loaded) = session.shown.clone() else {
        let frame = Frame::new().fill(palette.stage);
        CentralPanel::default()
            .frame(frame)
            .show(ui, |ui| empty_ui(ui, computing, commands));
        return;
    };
    // What is not the run of the draft, or not yet, is dimmed; the editors never are.
    let computing = computing && session.computing_shows();
    let opacity = if computing || (session.is_stale() && session.worker.share().is_none()) {
        let rest = ui.available_rect_before_wrap();
        ui.painter().rect_filled(rest, 0.0, palette.panel);
        0.55
    } else {
        1.0
    };
    ui.set_opacity(opacity);
    if session.drive.is_none() && lesson::clears::wide_ui::is_wide(session) {
        ui.set_opacity(1.0);
        case(ui, session, &loaded, false, &palette, commands);
        CentralPanel::default()
            .frame(filled(palette.score, 16, 12))
            .show(ui, |ui| {
                lesson::clears::wide_ui::wide_ui(ui, session, commands);
            });
        return;
    }
    // As high as the window, so that as little of it as can be need be scrolled.
    let asks = session.preferences.used_for == Use::Variant && session.drive.is_none();
    let tall = session.drive.is_some() || session.preferences.used_for != Use::Rehearsal;
    if tall {
        if asks {
            ui.set_opacity(1.0);
        }
        case(ui, session, &loaded, folded, &palette, commands);
        ui.set_opacity(opacity);
    }
    below(ui, session, &loaded, whole.y, &palette, commands);
    ui.set_opacity(1.0);
    if !tall {
        case(ui, session, &loaded, folded, &palette, commands);
    }
    ui.set_opacity(opacity);
    let shown = Shown {
        session,
        scenes,
        quality,
        alone,
        bare: false,
    };
    if session.drive.is_some() && alone {
        eyes_and_other_stage(ui, shown, &loaded, &palette, commands);
    } else if small && editing {
        // In a small window the editors leave the eyes a strip.
        Panel::bottom("eyes strip")
            .resizable(false)
            .frame(filled(palette.panel, 16, 8))
            .show(ui, |ui| eyes_ui::strip_ui(ui, session, &loaded));
    } else {
        Panel::right("eyes")
            .default_size(288.0)
            .size_range(248.0..=400.0)
            .frame(filled(palette.panel, 16, 12))
            .show(ui, |ui| {
                let area = ScrollArea::vertical().auto_shrink([false, false]);
                area.show(ui, |ui| eyes_ui::eyes_ui(ui, session, &loaded, commands));
            });
    }
    stages(ui, shown, &loaded, commands);
}

/// The whole run in words and the score, below the stages.
fn below(
    ui: &mut Ui,
    session: &Session,
    loaded: &Loaded,
    whole_height: f32,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let least = score_ui::LEAST_HEIGHT;
    // Sizes are remembered for windows about as high and as wide as this one.
    let like = (whole_height / 150.0) as i32;
    Panel::bottom(("score", like))
        .resizable(true)
        .default_size((whole_height * 0.385).round().clamp(least, 520.0))
        .size_range(least..=(whole_height * 0.6).max(least))
        .frame(filled(palette.score, 0, 4))
        .show(ui, |ui| {
            if !loaded.hidden {
                Frame::new()
                    .inner_margin(Margin::symmetric(12, 2))
                    .show(ui, |ui| {
                        verdict_ui::verdict_ui(ui, session, loaded, commands);
                    });
            }
            let draft = session
                .draft
                .as_ref()
                .filter(|_| session.lesson.aside.is_none());
            score_ui::score_ui(
                ui,
                loaded,
                draft,
                &session.playback,
                session.preferences.traces(),
                planned_beside(session),
                commands,
            )
        });
}

/// The plan that a drive is shown beside; a hidden case has none.
fn planned_beside(session: &Session) -> Option<&Loaded> {
    let drive = session.drive.as_ref()?;
    (!drive.is_in_case()).then(|| &**drive.plan())
}

/// In a small window a drive shows the other stage below the eyes.
fn eyes_and_other_stage(
    ui: &mut Ui,
    shown: Shown<'_>,
    loaded: &Loaded,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    Panel::right("eyes and stage")
        .resizable(false)
        .exact_size(264.0)
        .frame(Frame::NONE.fill(palette.panel))
        .show(ui, |ui| {
            let high = (ui.available_height() - EYES_IN_DRIVE).max(120.0);
            Panel::bottom("other stage")
                .resizable(false)
                .exact_size(high)
                .frame(Frame::NONE)
                .show(ui, |ui| {
                    let other = Shown {
                        bare: true,
                        ..shown
                    };
                    match shown.session.stage {
                        StageId::Room => ear_ui::ear_ui(ui, other, loaded, commands),
                        StageId::Ear => room_ui::room_ui(ui, other, loaded, commands),
                    }
                });
            CentralPanel::default()
                .frame(filled(palette.panel, 12, 8))
                .show(ui, |ui| {
                    let area = ScrollArea::vertical().auto_shrink([false, false]);
                    area.show(ui, |ui| {
                        eyes_ui::eyes_ui(ui, shown.session, loaded, commands);
                    });
                });
        });
}

fn filled(colour: egui::Color32, x: i8, y: i8) -> Frame {
    Frame::new()
        .fill(colour)
        .inner_margin(Margin::symmetric(x, y))
}

fn top(
    ui: &mut Ui,
    session: &Session,
    folded: bool,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let strip = |name| Panel::top(name).resizable(false);
    let theme = ui.ctx().options(|o| o.theme_preference);
    strip("bar")
        .frame(filled(palette.panel, 8, 6))
        .show(ui, |ui| {
            menu_ui::menu_ui(ui, session, folded, theme, commands);
        });
    if let Some(words) = &session.banner {
        let panel = strip("banner").frame(Frame::NONE);
        panel.show(ui, |ui| {
            banner_ui::banner_ui(ui, words, session.shown.is_some(), commands);
        });
    }
    if let Some(words) = &session.drawing.words {
        let panel = strip("slow").frame(Frame::NONE);
        panel.show(ui, |ui| banner_ui::slow_ui(ui, words, commands));
    }
    if drive_ui::strip_is_needed(session) {
        let panel = strip("limits").frame(Frame::NONE);
        panel.show(ui, |ui| drive_ui::strip_ui(ui, session));
    }
    if edit_ui::strip_is_needed(session) {
        let panel = strip("draft").frame(Frame::NONE);
        panel.show(ui, |ui| edit_ui::draft_strip_ui(ui, session, commands));
    }
    if let Some(share) = session.worker.share().filter(|_| session.computing_shows()) {
        let panel = strip("progress").frame(Frame::NONE);
        panel.show(ui, |ui| banner_ui::progress_ui(ui, share, commands));
    }
    if export_ui::has_strip(session) {
        let panel = strip("export").frame(Frame::NONE);
        panel.show(ui, |ui| export_ui::strip_ui(ui, session, commands));
    }
}

fn case(
    ui: &mut Ui,
    session: &Session,
    loaded: &Loaded,
    folded: bool,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    if let Some(drive) = &session.drive {
        Panel::left("drive")
            .resizable(false)
            .exact_size(drive_ui::WIDTH)
            .frame(filled(palette.panel, 16, 12))
            .show(ui, |ui| drive_ui::drive_ui(ui, session, drive, commands));
        return;
    }
    if debrief_ui::is_open(session) {
        Panel::left("debrief")
            .resizable(false)
            .exact_size(debrief_ui::WIDTH)
            .frame(filled(palette.panel, 16, 12))
            .show(ui, |ui| debrief_ui::debrief_ui(ui, session, commands));
        return;
    }
    let time_s = session.playback.time_s;
    // Folded, a hidden case would leave nothing to do.
    if folded && !loaded.hidden {
        Panel::left("case folded")
            .resizable(false)
            .exact_size(40.0)
            .frame(filled(palette.panel, 8, 12))
            .show(ui, |ui| {
                case_ui::folded_case_ui(ui, loaded, time_s, commands);
            });
        return;
    }
    match session.preferences.used_for {
        Use::Rehearsal => rehearsal(ui, session, loaded, palette, commands),
        Use::Lesson => {
            side(palette, "lesson").show(ui, |ui| {
                lesson::panel_ui::panel_ui(ui, session, commands);
            });
        }
        Use::Variant => {
            side(palette, "variant").show(ui, |ui| {
                variant::panel_ui::panel_ui(ui, session, commands);
            });
        }
    }
}

/// The column of a lesson or a variant.
fn side(palette: &Palette, name: &'static str) -> Panel {
    Panel::left(name)
        .default_size(SIDE)
        .size_range(264.0..=SIDE + 200.0)
        .frame(filled(palette.panel, 16, 12))
}

fn rehearsal(
    ui: &mut Ui,
    session: &Session,
    loaded: &Loaded,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let tab = session.case_tab;
    // The editors need more room than the case to read.
    let (name, width) = match tab {
        CaseTab::Case => ("case", 280.0),
        _ => ("editors", steps_ui::WIDTH),
    };
    Panel::left(name)
        .default_size(width)
        .size_range((width * 0.85).max(264.0)..=width + 140.0)
        .frame(filled(palette.panel, 16, 12))
        .show(ui, |ui| {
            case_ui::tabs_ui(ui, tab, commands);
            match tab {
                CaseTab::Case => case_ui::case_ui(ui, session, loaded, commands),
                CaseTab::Steps => steps_ui::steps_ui(ui, session, commands),
                CaseTab::Patient => debris_ui::patient_ui(ui, session, commands),
                CaseTab::Library => library_ui::library_ui(ui, session, commands),
                CaseTab::Visit => visit::panel_ui::panel_ui(ui, session, commands),
            }
        });
}

fn stages(ui: &mut Ui, shown: Shown<'_>, loaded: &Loaded, commands: &mut Vec<Command>) {
    if !shown.alone {
        let all = ui.available_width();
        // Sizes are remembered for stages about as wide as these.
        Panel::left(("room stage", (all / 200.0) as i32))
            .resizable(true)
            .default_size((all * 0.42).round().max(ROOM))
            .size_range(ROOM..=(all - 312.0).max(ROOM))
            .frame(Frame::NONE)
            .show(ui, |ui| room_ui::room_ui(ui, shown, loaded, commands));
    }
    CentralPanel::default().frame(Frame::NONE).show(ui, |ui| {
        if shown.alone && shown.session.stage == StageId::Room {
            room_ui::room_ui(ui, shown, loaded, commands);
        } else if loaded.hidden {
            let rect = lesson::hidden_ui::hidden_stage_ui(ui);
            stage_ui::title(ui, rect, StageId::Ear, shown.alone, commands);
        } else {
            ear_ui::ear_ui(ui, shown, loaded, commands);
        }
    });
}

fn empty_ui(ui: &mut Ui, computing: bool, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.4);
        let (head, text) = if computing {
            (
                "Computing the first run",
                "The stages fill as soon as it is done.",
            )
        } else {
            (
                "No scenario is open",
                "Drop a scenario file here, open one, or begin a new one.",
            )
        };
        ui.label(
            RichText::new(head)
                .font(theme::heading())
                .color(palette.text),
        );
        ui.label(RichText::new(text).color(palette.weak));
        if computing {
            return;
        }
        if ui
            .button("Open the Epley scenario")
            .on_hover_text("It comes with the program")
            .clicked()
        {
            commands.push(Command::File(FileCommand::OpenShipped));
        }
        if ui
            .button("New scenario")
            .on_hover_text("One step and the commonest case, to change")
            .clicked()
        {
            commands.push(Command::File(FileCommand::New));
        }
        if ui
            .button("Open…")
            .on_hover_text("Choose a scenario file")
            .clicked()
        {
            commands.push(Command::File(FileCommand::Pick));
        }
    });
}
