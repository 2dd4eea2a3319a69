//! The window: shows the panels, hands what they ask for to the session, keeps the clock.

use std::{
    path::Path,
    sync::Arc,
    thread::JoinHandle,
    time::{Duration, Instant},
};

use egui::Ui;

use crate::{
    export::export_picker::ExportPicker,
    export::export_ui,
    export::make,
    kit::drawing::Drawing,
    kit::focus_ring,
    kit::style,
    session::autosave::Autosave,
    session::command::{Command, Dialog, EditCommand, FileCommand},
    session::remembered::{self, RememberedFile},
    session::state::WindowWish,
    session::{Preferences, Session},
    shell::draft_dialogs::draft_dialog_ui,
    shell::file_picker::{self, FilePicker, Wanted},
    shell::keys,
    shell::layout_ui,
    shell::notice,
    shell::scale::Scale,
    stages::render,
    stages::scene::{Quality, ear_scene::EarScene, figure, room_scene::RoomScene},
    stages::stage_ui::Scenes,
    work::beside::OtherEngine,
    work::plausible_ears::PlausibleEars,
    work::progress::Waker,
    work::stage_data::Origin,
};

/// The cursor never jumps by more real time than this from one picture to the next, s.
const LONGEST_S: f64 = 0.5;
/// The folder of drafts within the program's data folder.
const DRAFTS: &str = "drafts";

/// Folder of the learners' progress, beside it.
const LEARNERS: &str = "learners";

/// Folder of ears that were opened from a question about many, beside it.
const EARS: &str = "ears";

/// The window.
pub struct App {
    /// All state.
    pub session: Session,
    scenes: Scenes,
    has_card: bool,
    picker: FilePicker,
    export_picker: ExportPicker,
    waker: Waker,
    /// Asked from outside of the panels.
    asked: Vec<Command>,
    /// When the last picture was due, s.
    last_s: f64,
    /// The figure of the patient is being made, or is there.
    figure: Option<JoinHandle<()>>,
    /// All has been ready once.
    started: bool,
    /// Preferences as last kept on disk.
    remembered: Preferences,
    /// Where.
    remembered_file: Option<RememberedFile>,
    /// The window's title, as last told.
    title: String,
    /// How large everything is drawn.
    scale: Scale,
    /// The program closes; nothing is asked any more.
    closing: bool,
}

impl App {
    /// Makes the window with its first scenario.
    pub fn new(cc: &eframe::CreationContext<'_>, first: Origin) -> Self {
        let folder = eframe::storage_dir(crate::APP_ID);
        let mut app = match &folder {
            Some(folder) => Self::remembering_in(cc, first, folder),
            None => Self::with_preferences(cc, first, Preferences::default()),
        };
        app.session.other_engine = Some(OtherEngine::new(app.waker.clone()));
        app.session.plausible_ears = Some(PlausibleEars::new(app.waker.clone()));
        if let Some(folder) = folder {
            app.keep_drafts_in(&folder.join(DRAFTS));
            app.keep_learners_in(&folder.join(LEARNERS));
            app.session.variant.folder = Some(folder.join(EARS));
        }
        app
    }

    /// Makes the window with the preferences of this folder, and keeps them there. What programs that are gone
    /// have left half written, there and beside the recent files, is taken away.
    pub fn remembering_in(cc: &eframe::CreationContext<'_>, first: Origin, folder: &Path) -> Self {
        let file = RememberedFile::of(folder);
        let (preferences, trouble) = file.read();
        remembered::sweep(folder, &preferences);
        let mut app = Self::with_preferences(cc, first, preferences);
        app.remembered_file = Some(file);
        app.session.banner = trouble;
        app
    }

    /// Keeps drafts in this folder from now on, and offers those that a crash has left there.
    pub fn keep_drafts_in(&mut self, folder: &Path) {
        match Autosave::start(folder) {
            Ok((autosave, left)) => self.session.keep_drafts_in(autosave, left),
            Err(error) => {
                let folder = folder.display();
                self.session.banner = Some(format!("{folder}: drafts cannot be kept, {error}"));
            }
        }
    }

    /// Keeps learners' progress in this folder from now on.
    pub fn keep_learners_in(&mut self, folder: &Path) {
        match std::fs::create_dir_all(folder) {
            Ok(()) => self.session.lesson.folder = Some(folder.to_owned()),
            Err(error) => {
                let folder = folder.display();
                let words = format!("{folder}: progress cannot be kept, {error}");
                self.session.lesson.words = Some(words);
            }
        }
    }

    /// Makes the window with given preferences.
    pub fn with_preferences(
        cc: &eframe::CreationContext<'_>,
        first: Origin,
        preferences: Preferences,
    ) -> Self {
        style::install(&cc.egui_ctx);
        // What was remembered may hold the size of a larger window.
        cc.egui_ctx.set_zoom_factor(1.0);
        let has_card = cc.wgpu_render_state.as_ref().map(render::install).is_some();
        let ctx = cc.egui_ctx.clone();
        let waker: Waker = Arc::new(move || ctx.request_repaint());
        let remembered = preferences.clone();
        let mut session = Session::new(preferences, first, waker.clone());
        session.export.card.clone_from(&cc.wgpu_render_state);
        if let Some(card) = &cc.wgpu_render_state {
            session.drawing = Drawing::by(&card.adapter.get_info());
        }
        Self {
            session,
            scenes: Scenes {
                room: has_card.then(RoomScene::default),
                ear: None,
            },
            has_card,
            picker: FilePicker::default(),
            export_picker: ExportPicker::default(),
            waker,
            asked: Vec::new(),
            last_s: 0.0,
            figure: None,
            started: false,
            remembered,
            remembered_file: None,
            title: String::new(),
            scale: Scale::default(),
            closing: false,
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

    /// Makes the figure of the patient on a thread of its own, once the first run no longer needs it.
    fn ask_for_figure(&mut self) {
        if self.figure.is_some() || self.session.worker.share().is_some() {
            return;
        }
        let wake = self.waker.clone();
        self.figure = Some(std::thread::spawn(move || {
            figure::prepare();
            wake();
        }));
    }

    /// Does what is asked before the next picture, as if a panel had asked.
    pub fn ask(&mut self, command: Command) {
        self.asked.push(command);
        (self.waker)();
    }

    /// Files come after edits, so that what was typed last is saved too.
    fn apply(&mut self, ctx: &egui::Context, mut commands: Vec<Command>) {
        commands.sort_by_key(|c| {
            !matches!(
                c,
                Command::Edit(EditCommand::Change(_) | EditCommand::Drag(_))
            )
        });
        for command in commands {
            self.session.apply(command);
        }
        for wish in std::mem::take(&mut self.session.for_window) {
            self.fulfil(ctx, wish);
        }
    }

    fn fulfil(&mut self, ctx: &egui::Context, wish: WindowWish) {
        match wish {
            WindowWish::PickFile => self.picker.ask(Wanted::Scenario, self.waker.clone()),
            WindowWish::PickStudy => self.picker.ask(Wanted::Study, self.waker.clone()),
            WindowWish::PickSave => {
                if let Some(draft) = &self.session.draft {
                    let name = file_picker::name_of(&draft.scenario().title);
                    self.picker.ask(Wanted::Saving(name), self.waker.clone());
                }
            }
            WindowWish::PickExport(export) => {
                if let Some(title) = self.session.title_of(export) {
                    let name = export.file_name(&title);
                    self.export_picker.ask(export, name, self.waker.clone());
                }
            }
            WindowWish::ExportTo(export, path) => {
                self.session.dialog = None;
                make::start(&mut self.session, export, &path, ctx.theme());
            }
            WindowWish::Theme(theme) => ctx.set_theme(theme),
            WindowWish::FullScreen(on) => {
                ctx.send_viewport_cmd(egui::ViewportCommand::Fullscreen(on));
            }
            WindowWish::Quit => {
                self.closing = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
        }
    }

    /// The window's own close button asks about unsaved changes too.
    fn ask_before_closing(&mut self, ctx: &egui::Context) {
        let loses = self.session.is_dirty() || self.session.drive.is_some();
        if ctx.input(|i| i.viewport().close_requested()) && !self.closing && loses {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.session.apply(Command::File(FileCommand::Quit));
        }
    }

    /// What is remembered goes to disk as soon as it changes, so that no crash loses it.
    fn keep_preferences(&mut self) {
        if self.session.preferences == self.remembered {
            return;
        }
        self.remembered = self.session.preferences.clone();
        let kept = self
            .remembered_file
            .as_ref()
            .map(|file| file.write(&self.remembered));
        if let Some(Err(words)) = kept {
            self.session.banner = Some(words);
        }
    }

    /// The scenario's name in the window's title, with a mark if it is not saved.
    fn tell_title(&mut self, ctx: &egui::Context) {
        let title = self.session.window_title();
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn dialogs(&self, ctx: &egui::Context, commands: &mut Vec<Command>) {
        match &self.session.dialog {
            Some(Dialog::Notice) => notice::notice_ui(ctx, &self.session.drawing.line(), commands),
            Some(Dialog::Shortcuts) => {
                notice::shortcuts_ui(ctx, self.session.drive.is_some(), commands);
            }
            Some(Dialog::Path(path)) => notice::path_ui(ctx, path, commands),
            Some(Dialog::ExportPath(export, path)) => {
                export_ui::path_ui(ctx, *export, path, commands);
            }
            Some(_) => draft_dialog_ui(ctx, &self.session, commands),
            None => {}
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.scale.follow(ctx);
        self.ask_before_closing(ctx);
        self.session.take_work();
        self.session.take_drive();
        self.ask_for_figure();
        self.session.compare();
        if let Some(command) = self.picker.answer() {
            self.session.apply(command);
        }
        self.session.export.take();
        self.keep_preferences();
        let asked = std::mem::take(&mut self.asked);
        self.apply(ctx, asked);
        if let Some(command) = self.export_picker.answer() {
            self.apply(ctx, vec![command]);
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let mut commands = Vec::new();
        keys::read(&ctx, &self.session, &mut commands);
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()));
        commands.extend(dropped.map(|path| Command::File(FileCommand::Open(path))));
        let now_s = ctx.input(|i| i.time);
        self.session
            .playback
            .advance((now_s - self.last_s).clamp(0.0, LONGEST_S));
        self.last_s = now_s;
        if let Some(loaded) = &self.session.shown
            && self.has_card
            && !self
                .scenes
                .ear
                .as_ref()
                .is_some_and(|e| e.is_of(&loaded.ears))
        {
            self.scenes.ear = Some(EarScene::new(&loaded.ears));
        }
        let driving = self.session.drive.is_some();
        let moving = self.session.playback.playing || self.session.in_motion || driving;
        // What is drawn at the start is drawn again soon, as its parts come.
        self.started |= self.is_ready();
        let quality = if moving || !self.started {
            Quality::Moving
        } else {
            Quality::Still
        };
        // A drive shows itself as often as its engine allows, which is not the drawing's fault.
        self.session
            .drawing
            .count(Instant::now(), moving && !driving);
        self.session.in_motion = false;
        layout_ui::panels(ui, &self.session, &self.scenes, quality, &mut commands);
        self.dialogs(&ctx, &mut commands);
        focus_ring::show(&ctx);
        self.apply(&ctx, commands);
        self.session.hand_over(ctx.input(|i| i.focused));
        self.tell_title(&ctx);
        if let Some(wait) = self.session.until_computing_shows() {
            ctx.request_repaint_after(wait);
        }
        // After a movement one more picture is due, with smooth edges.
        if self.session.playback.playing {
            ctx.request_repaint_after(Duration::from_millis(16));
        } else if self.session.drive.is_some() {
            // The drive wakes the window itself; this keeps the hand's wish fresh if it is late.
            ctx.request_repaint_after(Duration::from_millis(100));
        } else if self.session.in_motion || moving {
            ctx.request_repaint();
        }
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}
