//! The state of the window and the one place that changes it.

use std::{path::PathBuf, sync::Arc};

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::BandVerdict;

use crate::{
    drive::{Debriefing, Drive, pad::PadSeat, sound::Sound},
    export::{Export, Exporter},
    kit::drawing::Drawing,
    lesson::LessonState,
    score::eye_traces::Traces,
    session::autosave::{Autosave, Orphan},
    session::command::{
        CaseTab, Command, Dialog, DriveSound, EarFrame, EarShown, EyeSign, EyeTraces, EyesSeenBy,
        Use,
    },
    session::draft::Draft,
    session::playback::Playback,
    stages::camera::Orbit,
    stages::globe::Turn,
    stages::render::StageId,
    stages::scene::{ear_scene, room_scene},
    variant::VariantState,
    visit::VisitState,
    work::aside::Answer,
    work::beside::OtherEngine,
    work::load::Job,
    work::plausible_ears::PlausibleEars,
    work::progress::Waker,
    work::stage_data::{Loaded, Origin},
    work::worker::{Purpose, Worker},
};

/// Files remembered.
const RECENT: usize = 8;

/// What only the window itself can do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum WindowWish {
    /// Ask the desktop for a file to open.
    PickFile,
    /// Ask the desktop for a study file.
    PickStudy,
    /// Ask the desktop for a file to save to.
    PickSave,
    /// Ask the desktop where to export to.
    PickExport(Export),
    /// Export there.
    ExportTo(Export, PathBuf),
    /// Choose the theme.
    Theme(egui::ThemePreference),
    /// Fill the screen, or not.
    FullScreen(bool),
    /// Close the program.
    Quit,
}

/// What is remembered from one start to the next.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// The notice has been read.
    pub notice_read: bool,
    /// Files, the latest first.
    pub recent: Vec<PathBuf>,
    /// Ears shown; by the case if not chosen.
    pub ear_shown: Option<EarShown>,
    /// What the ear is fixed to.
    pub ear_frame: EarFrame,
    /// Planes of the canals are shown.
    pub planes_shown: bool,
    /// Flow of endolymph is shown.
    pub flow_shown: bool,
    /// What of the eyes the score draws.
    pub eye_traces: EyeTraces,
    /// Which sign is up in it.
    pub eye_sign: EyeSign,
    /// Who looks at the eyes.
    pub eyes_seen_by: EyesSeenBy,
    /// Speed, times real time.
    pub speed: f64,
    /// Driving is heard.
    pub sound: DriveSound,
    /// What the window is used for.
    pub used_for: Use,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            notice_read: false,
            recent: Vec::new(),
            ear_shown: None,
            ear_frame: EarFrame::Head,
            planes_shown: false,
            eye_traces: EyeTraces::SlowPhase,
            eye_sign: EyeSign::Clinical,
            flow_shown: true,
            eyes_seen_by: EyesSeenBy::Examiner,
            speed: Playback::default().speed,
            sound: DriveSound::Off,
            used_for: Use::default(),
        }
    }
}

impl Preferences {
    /// How the eyes are traced.
    pub fn traces(&self) -> Traces {
        Traces {
            of: self.eye_traces,
            sign: self.eye_sign,
        }
    }
}

/// All state but what egui keeps itself.
pub struct Session {
    /// The scenario shown, computed.
    pub shown: Option<Arc<Loaded>>,
    /// The cursor.
    pub playback: Playback,
    /// What is remembered.
    pub preferences: Preferences,
    /// The words of the last failure, until dismissed.
    pub banner: Option<String>,
    /// The dialog that is open.
    pub dialog: Option<Dialog>,
    /// Cameras of the stages.
    pub room_camera: Orbit,
    /// Camera of the ear stage.
    pub ear_camera: Orbit,
    /// How the gravity globe is turned.
    pub globe_turn: Turn,
    /// The canal that the globe is about, if chosen.
    pub chosen_canal: Option<CanalId>,
    /// A camera or the cursor is being moved just now.
    pub in_motion: bool,
    /// The stage shown where there is room for one only.
    pub stage: StageId,
    /// The case column is folded; by the width of the window if not chosen.
    pub case_folded: Option<bool>,
    /// Computes.
    pub worker: Worker,
    /// Compares with the other engine; nothing does in pictures.
    pub other_engine: Option<OtherEngine>,
    /// Asks plausible ears what the run comes to; nothing does in pictures.
    pub plausible_ears: Option<PlausibleEars>,
    /// The scenario being edited.
    pub draft: Option<Draft>,
    /// What the computation under way is for.
    pub(crate) purpose: Purpose,
    /// What the case column shows.
    pub case_tab: CaseTab,
    /// Words that the library is searched for.
    pub library_search: String,
    /// What was asked for before unsaved changes were asked about.
    pub(crate) after_saving: Option<Command>,
    /// Wishes that need the window itself.
    pub(crate) for_window: Vec<WindowWish>,
    /// Keeps the draft safe from a crash.
    pub(crate) autosave: Option<Autosave>,
    /// Drafts that were not saved before a crash.
    pub(crate) orphans: Vec<Orphan>,
    /// The drive under way.
    pub drive: Option<Drive>,
    /// The plan of a drive that has ended and whose run is not there yet.
    pub(crate) driven_plan: Option<Arc<Loaded>>,
    /// The debrief of the last drive.
    pub debrief: Option<Debriefing>,
    /// Its gamepad.
    pub pad: Option<PadSeat>,
    /// Its sound.
    pub(crate) sound: Option<Sound>,
    /// Who draws, and whether that is slow.
    pub drawing: Drawing,
    /// Saves pictures and tables.
    pub export: Exporter,
    /// The hidden case.
    pub lesson: LessonState,
    /// The visit.
    pub visit: VisitState,
    /// The variant.
    pub variant: VariantState,
}

impl Session {
    /// Starts with a scenario.
    pub fn new(preferences: Preferences, first: Origin, waker: Waker) -> Self {
        let mut session = Self::idle(preferences, waker);
        session.compute(first);
        session
    }

    /// Starts with nothing.
    pub fn idle(preferences: Preferences, waker: Waker) -> Self {
        Self {
            shown: None,
            playback: Playback {
                speed: preferences.speed,
                ..Playback::default()
            },
            banner: None,
            dialog: (!preferences.notice_read).then_some(Dialog::Notice),
            room_camera: room_scene::home_camera(),
            ear_camera: ear_scene::home_camera(EarShown::Right),
            globe_turn: Turn::default(),
            chosen_canal: None,
            in_motion: false,
            stage: StageId::Ear,
            case_folded: None,
            draft: None,
            purpose: Purpose::Open,
            case_tab: CaseTab::default(),
            library_search: String::new(),
            after_saving: None,
            for_window: Vec::new(),
            autosave: None,
            orphans: Vec::new(),
            drive: None,
            driven_plan: None,
            debrief: None,
            pad: None,
            sound: None,
            drawing: Drawing::default(),
            worker: Worker::new(waker.clone()),
            other_engine: None,
            plausible_ears: None,
            export: Exporter::new(waker),
            lesson: LessonState::default(),
            visit: VisitState::default(),
            variant: VariantState::default(),
            preferences,
        }
    }

    /// A copy that shows the same and works at nothing, for pictures.
    #[must_use]
    pub fn still(&self) -> Self {
        Self {
            shown: self.shown.clone(),
            playback: Playback {
                playing: false,
                ..self.playback
            },
            dialog: None,
            room_camera: self.room_camera,
            ear_camera: self.ear_camera,
            stage: self.stage,
            globe_turn: self.globe_turn,
            chosen_canal: self.chosen_canal,
            lesson: self.lesson.for_pictures(),
            ..Self::idle(self.preferences.clone(), Arc::new(|| {}))
        }
    }

    /// Ears shown: as chosen, else those with debris.
    pub fn ear_shown(&self) -> EarShown {
        self.preferences.ear_shown.unwrap_or_else(|| {
            let ears = self
                .shown
                .as_ref()
                .map(|l| l.affected())
                .unwrap_or_default();
            match (
                ears.iter().any(|&(ear, _)| ear == Ear::Right),
                ears.iter().any(|&(ear, _)| ear == Ear::Left),
            ) {
                (true, true) => EarShown::Both,
                (false, true) => EarShown::Left,
                _ => EarShown::Right,
            }
        })
    }

    /// The canal that the globe is about: as chosen, else the first with debris.
    pub fn globe_canal(&self) -> Option<CanalId> {
        let first = || {
            let affected = self.shown.as_ref()?.affected();
            affected.first().map(|&(ear, canal)| CanalId { ear, canal })
        };
        self.chosen_canal.or_else(first)
    }

    /// The canal that planes are about, even without debris.
    pub fn plane_canal(&self) -> CanalId {
        self.globe_canal().unwrap_or(CanalId {
            ear: Ear::Right,
            canal: Canal::Posterior,
        })
    }

    /// Takes over what the worker has finished.
    pub fn take_work(&mut self) {
        self.take_lesson_work();
        self.take_variant_work();
        self.take_visit_work();
        if let Some(words) = self.autosave.as_ref().and_then(Autosave::take_fault) {
            self.banner = Some(words);
        }
        match self.worker.take() {
            Some(Ok(loaded)) if self.purpose == Purpose::Change => self.show_changed(loaded),
            Some(Ok(loaded)) => {
                if let Origin::File(path) = &loaded.origin {
                    self.remember(path.clone());
                }
                if self.purpose == Purpose::Open {
                    self.edit_what_was_opened(&loaded);
                }
                self.banner = None;
                self.playback.restart(loaded.duration_s());
                self.chosen_canal = None;
                self.shown = Some(Arc::new(loaded));
                self.ear_camera = ear_scene::home_camera(self.ear_shown());
            }
            Some(Err(fault)) if self.purpose == Purpose::Open => self.banner = Some(fault.words),
            Some(Err(fault)) => {
                if let Some(draft) = &mut self.draft {
                    draft.fault = Some(fault);
                }
            }
            None => {}
        }
    }

    /// Has plausible ears and the other engine look at what is shown, unless something more urgent is
    /// computed.
    pub fn compare(&mut self) {
        let busy = self.worker.share().is_some() || self.drive.is_some();
        let shown = self.shown.as_ref().filter(|_| !busy);
        if let Some(ears) = &mut self.plausible_ears {
            match shown {
                Some(shown) => ears.ask(shown),
                None => ears.stop(),
            }
        }
        if let Some(other) = &mut self.other_engine {
            match shown {
                Some(shown) => other.ask(shown),
                None => other.stop(),
            }
        }
    }

    /// What plausible ears say of what is shown, as far as it is known.
    pub fn in_plausible_ears(&self, shown: &Loaded) -> Option<Answer<BandVerdict>> {
        self.plausible_ears.as_ref()?.says(shown)
    }

    /// Puts a file first among the recent ones.
    pub(crate) fn remember(&mut self, path: PathBuf) {
        self.preferences.recent.retain(|p| *p != path);
        self.preferences.recent.insert(0, path);
        self.preferences.recent.truncate(RECENT);
    }

    pub(crate) fn compute(&mut self, origin: Origin) {
        self.playback.playing = false;
        self.purpose = Purpose::Open;
        self.worker.start(Job {
            origin,
            draft: None,
        });
    }

    pub(crate) fn close_dialog(&mut self) {
        if self.dialog.take() == Some(Dialog::Notice) {
            self.preferences.notice_read = true;
            self.offer_recovery();
        }
        self.after_saving = None;
    }

    /// Does what was asked. What needs the window itself is left to it.
    pub fn apply(&mut self, command: Command) {
        let Some(command) = self
            .while_driving(command)
            .and_then(|command| self.ask_before_losing(command))
        else {
            return;
        };
        match command {
            Command::File(command) => self.apply_file(command),
            Command::Edit(command) => self.apply_edit(command),
            Command::Play(command) => self.apply_play(command),
            Command::View(command) => self.apply_view(command),
            Command::Drive(command) => self.apply_drive(command),
            Command::Export(command) => self.apply_export(command),
            Command::Lesson(command) => self.apply_lesson(&command),
            Command::Visit(command) => self.apply_visit(command),
            Command::Variant(command) => self.apply_variant(command),
        }
        self.preferences.speed = self.playback.speed;
    }
}
