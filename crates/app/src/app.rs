//! The window: lays out the panels, hands what they ask for to the session, keeps the clock.

use std::{sync::Arc, time::Duration};

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use crate::{
    banner_ui, case_ui,
    command::{Command, Dialog},
    ear_ui, eyes_ui,
    file_picker::FilePicker,
    keys, menu_ui, notice, render,
    render::StageId,
    room_ui,
    scene::{Quality, ear_scene::EarScene, figure, room_scene::RoomScene},
    score_ui,
    session::{Preferences, Session},
    stage_data::{Loaded, Origin},
    theme::{self, Palette},
    work::Waker,
};

/// Where preferences are kept.
const KEY: &str = "preferences";
/// Narrower than this, the case folds and the stages share one place, points.
const COMPACT: f32 = 1180.0;

/// The window.
pub struct App {
    /// All state.
    pub session: Session,
    room: Option<RoomScene>,
    ear: Option<EarScene>,
    has_card: bool,
    picker: FilePicker,
    waker: Waker,
}

impl App {
    /// Makes the window with its first scenario.
    pub fn new(cc: &eframe::CreationContext<'_>, first: Origin) -> Self {
        let preferences: Preferences = cc
            .storage
            .and_then(|s| eframe::get_value(s, KEY))
            .unwrap_or_default();
        Self::with_preferences(cc, first, preferences)
    }

    /// Makes the window with given preferences.
    pub fn with_preferences(
        cc: &eframe::CreationContext<'_>,
        first: Origin,
        preferences: Preferences,
    ) -> Self {
        theme::install(&cc.egui_ctx);
        let has_card = cc.wgpu_render_state.as_ref().map(render::install).is_some();
        let ctx = cc.egui_ctx.clone();
        let waker: Waker = Arc::new(move || ctx.request_repaint());
        let wake = waker.clone();
        std::thread::spawn(move || {
            figure::prepare();
            wake();
        });
        Self {
            session: Session::new(preferences, first, waker.clone()),
            room: has_card.then(RoomScene::default),
            ear: None,
            has_card,
            picker: FilePicker::default(),
            waker,
        }
    }

    /// Nothing is being computed or drawn for the first time any more.
    pub fn is_ready(&self) -> bool {
        let ears = self
            .session
            .shown
            .as_ref()
            .map(|loaded| loaded.ears.clone());
        self.session.worker.share().is_none()
            && figure::mesh().is_some()
            && ears.is_none_or(|ears| ears.iter().all(|ear| ear.surface.get().is_some()))
    }

    fn apply(&mut self, ctx: &egui::Context, commands: Vec<Command>) {
        for command in commands {
            match command {
                Command::PickFile => self.picker.ask(self.waker.clone()),
                Command::Theme(theme) => ctx.set_theme(theme),
                Command::Quit => ctx.send_viewport_cmd(egui::ViewportCommand::Close),
                other => self.session.apply(other),
            }
        }
    }

    fn stages(
        &self,
        ui: &mut Ui,
        loaded: &Loaded,
        compact: bool,
        quality: Quality,
        commands: &mut Vec<Command>,
    ) {
        let session = &self.session;
        if !compact {
            let wide = (ui.available_width() * 0.42).round();
            Panel::left("room stage")
                .resizable(true)
                .default_size(wide)
                .min_size(200.0)
                .max_size(ui.available_width() - 240.0)
                .frame(Frame::NONE)
                .show(ui, |ui| {
                    room_ui::room_ui(
                        ui,
                        session,
                        loaded,
                        self.room.as_ref(),
                        quality,
                        compact,
                        commands,
                    );
                });
        }
        CentralPanel::default().frame(Frame::NONE).show(ui, |ui| {
            if compact && session.stage == StageId::Room {
                room_ui::room_ui(
                    ui,
                    session,
                    loaded,
                    self.room.as_ref(),
                    quality,
                    compact,
                    commands,
                );
            } else {
                ear_ui::ear_ui(
                    ui,
                    session,
                    loaded,
                    self.ear.as_ref(),
                    quality,
                    compact,
                    commands,
                );
            }
        });
    }

    fn panels(&self, ui: &mut Ui, quality: Quality, commands: &mut Vec<Command>) {
        let palette = Palette::of(ui);
        let session = &self.session;
        let whole = ui.available_size();
        let compact = whole.x < COMPACT;
        let folded = session.case_folded.unwrap_or(compact);
        let bar = Frame::new()
            .fill(palette.panel)
            .inner_margin(Margin::symmetric(8, 6));
        let theme = ui.ctx().options(|o| o.theme_preference);
        Panel::top("bar")
            .resizable(false)
            .frame(bar)
            .show(ui, |ui| {
                menu_ui::menu_ui(ui, session, folded, theme, commands);
            });
        if let Some(words) = &session.banner {
            Panel::top("banner")
                .resizable(false)
                .frame(Frame::NONE)
                .show(ui, |ui| {
                    banner_ui::banner_ui(ui, words, commands);
                });
        }
        if let Some(share) = session.worker.share() {
            Panel::top("progress")
                .resizable(false)
                .frame(Frame::NONE)
                .show(ui, |ui| {
                    banner_ui::progress_ui(ui, share, commands);
                });
        }
        let Some(loaded) = session.shown.clone() else {
            CentralPanel::default()
                .frame(Frame::new().fill(palette.stage))
                .show(ui, |ui| {
                    empty_ui(ui, session.worker.share().is_some(), commands);
                });
            return;
        };
        if session.worker.share().is_some() {
            ui.set_opacity(0.55);
        }
        let score_height = (whole.y * 0.385)
            .round()
            .clamp(score_ui::LEAST_HEIGHT, 520.0);
        Panel::bottom("score")
            .resizable(true)
            .default_size(score_height)
            .size_range(score_ui::LEAST_HEIGHT..=(whole.y * 0.6).max(score_ui::LEAST_HEIGHT))
            .frame(
                Frame::new()
                    .fill(palette.score)
                    .inner_margin(Margin::symmetric(0, 4)),
            )
            .show(ui, |ui| {
                score_ui::score_ui(ui, &loaded, &session.playback, commands)
            });
        let column = Frame::new()
            .fill(palette.panel)
            .inner_margin(Margin::symmetric(16, 12));
        if folded {
            let narrow = Frame::new()
                .fill(palette.panel)
                .inner_margin(Margin::symmetric(8, 12));
            Panel::left("case folded")
                .resizable(false)
                .exact_size(40.0)
                .frame(narrow)
                .show(ui, |ui| {
                    case_ui::folded_case_ui(ui, &loaded, session.playback.time_s, commands)
                });
        } else {
            Panel::left("case")
                .default_size(280.0)
                .size_range(220.0..=420.0)
                .frame(column)
                .show(ui, |ui| {
                    case_ui::case_ui(ui, &loaded, session.playback.time_s, commands)
                });
        }
        Panel::right("eyes")
            .default_size(288.0)
            .size_range(248.0..=400.0)
            .frame(column)
            .show(ui, |ui| {
                ScrollArea::vertical()
                    .auto_shrink([false, false])
                    .show(ui, |ui| {
                        eyes_ui::eyes_ui(ui, session, &loaded, commands);
                    });
            });
        self.stages(ui, &loaded, compact, quality, commands);
    }

    fn dialogs(&self, ctx: &egui::Context, commands: &mut Vec<Command>) {
        match &self.session.dialog {
            Some(Dialog::Notice) => notice::notice_ui(ctx, commands),
            Some(Dialog::Shortcuts) => notice::shortcuts_ui(ctx, commands),
            Some(Dialog::Path(path)) => notice::path_ui(ctx, path, commands),
            None => {}
        }
    }
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
                "Drop a scenario file here, or open one.",
            )
        };
        ui.label(
            egui::RichText::new(head)
                .font(theme::heading())
                .color(palette.text),
        );
        ui.label(egui::RichText::new(text).color(palette.weak));
        if !computing
            && ui
                .button("Open…")
                .on_hover_text("Choose a scenario file")
                .clicked()
        {
            commands.push(Command::PickFile);
        }
    });
}

impl eframe::App for App {
    fn logic(&mut self, _ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.session.take_work();
        if let Some(command) = self.picker.answer() {
            self.session.apply(command);
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let mut commands = Vec::new();
        keys::read(&ctx, &self.session, &mut commands);
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()));
        commands.extend(dropped.map(Command::Open));
        self.session
            .playback
            .advance(f64::from(ctx.input(|i| i.stable_dt)).min(0.25));
        if let Some(loaded) = &self.session.shown
            && self.has_card
            && !self.ear.as_ref().is_some_and(|e| e.is_of(&loaded.ears))
        {
            self.ear = Some(EarScene::new(&loaded.ears));
        }
        let moving = self.session.playback.playing || self.session.in_motion;
        let quality = if moving {
            Quality::Moving
        } else {
            Quality::Still
        };
        self.session.in_motion = false;
        self.panels(ui, quality, &mut commands);
        self.dialogs(&ctx, &mut commands);
        self.apply(&ctx, commands);
        // After a movement one more picture is due, with smooth edges.
        if self.session.playback.playing {
            ctx.request_repaint_after(Duration::from_millis(16));
        } else if self.session.in_motion || moving {
            ctx.request_repaint();
        }
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, KEY, &self.session.preferences);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}
