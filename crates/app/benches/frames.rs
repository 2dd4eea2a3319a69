//! UI time of the whole window per frame while it plays, and how long a changed step takes to be shown.
//!
//! Five minutes with 30 pieces of debris, in egui's headless context: panels and tessellation are run,
//! nothing is drawn. Times are of the processor, not of the clock on the wall, so that other work on the
//! machine does not count. Figures stand in the README.

use std::{
    ops::ControlFlow,
    sync::{Arc, mpsc},
    time::{Duration, Instant},
};

use cpu_time::{ProcessTime, ThreadTime};
use criterion::Criterion;
use egui::{Context, Pos2, RawInput, Rect, Vec2, ViewportId};
use lithodrome_app::{
    kit::style,
    session::command::{CaseTab, Command, EditCommand},
    session::edit::{CaseEdit, Edit, StepsEdit},
    session::state::{Preferences, Session},
    shell::keys,
    shell::layout_ui,
    stages::scene::{Quality, ear_scene::EarScene, figure, room_scene::RoomScene},
    stages::stage_ui::Scenes,
    work::stage_data::Origin,
};

use lithodrome_debris::simulate;
use lithodrome_rehearsal::rehearse;

/// Lengths of the holds, s: with the moves five minutes in all.
const HOLDS_S: [f64; 5] = [14.0, 75.0, 75.0, 75.0, 45.0];
const PIECES: u32 = 30;
/// As many as a shipped scenario has.
const USUAL_PIECES: u32 = 8;
/// Time from one frame to the next, s.
const FRAME_S: f64 = 1.0 / 60.0;
/// Window sizes in points, and pixels per point.
const SIZES: [(&str, Vec2, f32); 2] = [
    ("1440x900", Vec2::new(1440.0, 900.0), 1.0),
    ("2560x1440 at scale 2", Vec2::new(2560.0, 1440.0), 2.0),
];
const TABS: [(&str, CaseTab); 4] = [
    ("case", CaseTab::Case),
    ("steps", CaseTab::Steps),
    ("patient", CaseTab::Patient),
    ("library", CaseTab::Library),
];

/// Sleeps until the session's work is done; `news` is told by the worker.
fn wait(session: &mut Session, news: &mpsc::Receiver<()>) {
    while session.worker.share().is_some() {
        let _ = news.recv_timeout(Duration::from_secs(1));
        session.take_work();
    }
}

/// The shipped Epley with longer holds and more debris, computed and with its ears ready to be drawn.
fn five_minutes(pieces: u32) -> (Session, mpsc::Receiver<()>) {
    let (sender, news) = mpsc::channel();
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let waker = Arc::new(move || {
        let _ = sender.send(());
    });
    let mut session = Session::new(preferences, Origin::Shipped, waker);
    wait(&mut session, &news);
    let Some(draft) = &session.draft else {
        panic!("the shipped scenario cannot be read");
    };
    let scenario = draft.scenario().clone();
    let mut debris = scenario.debris[0].clone();
    debris.count = pieces;
    session.apply(Command::Edit(EditCommand::Change(Edit::Case(
        CaseEdit::SetDebris(0, debris),
    ))));
    for (i, (step, hold_s)) in scenario.steps.iter().zip(HOLDS_S).enumerate() {
        let mut step = step.clone();
        step.hold_s = hold_s;
        session.apply(Command::Edit(EditCommand::Change(Edit::Steps(
            StepsEdit::Set(i, step),
        ))));
    }
    wait(&mut session, &news);
    assert!((session.playback.duration_s - 300.0).abs() < 1e-6);
    figure::prepare();
    if let Some(shown) = &session.shown {
        while shown.ears.iter().any(|ear| ear.surface.get().is_none()) {
            std::thread::sleep(Duration::from_millis(20));
        }
    }
    (session, news)
}

/// A window without a screen.
struct Window {
    ctx: Context,
    size: Vec2,
    scale: f32,
    time_s: f64,
    scenes: Scenes,
}

impl Window {
    fn new(session: &Session, size: Vec2, scale: f32) -> Self {
        let ctx = Context::default();
        style::install(&ctx);
        let ears = session
            .shown
            .as_ref()
            .map(|shown| EarScene::new(&shown.ears));
        Self {
            ctx,
            size,
            scale,
            time_s: 0.0,
            scenes: Scenes {
                room: Some(RoomScene::default()),
                ear: ears,
            },
        }
    }

    /// One frame as the window makes it: time of keys, panels and what they ask for, and of tessellation.
    fn frame(&mut self, session: &mut Session) -> [Duration; 2] {
        self.time_s += FRAME_S;
        let mut input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size)),
            time: Some(self.time_s),
            ..RawInput::default()
        };
        if let Some(viewport) = input.viewports.get_mut(&ViewportId::ROOT) {
            viewport.native_pixels_per_point = Some(self.scale);
        }
        let scenes = &self.scenes;
        let start = ThreadTime::now();
        if session.playback.time_s >= session.playback.duration_s {
            session.playback.seek(0.0);
        }
        session.playback.playing = true;
        session.playback.advance(FRAME_S);
        let mut output = self.ctx.run_ui(input, |ui| {
            let mut commands = Vec::new();
            keys::read(&ui.ctx().clone(), session, &mut commands);
            layout_ui::panels(ui, session, scenes, Quality::Moving, &mut commands);
            for command in commands {
                session.apply(command);
            }
        });
        let panels = start.elapsed();
        // Nothing is drawn, so no letters go to a graphics card.
        output.textures_delta.clear();
        let start = ThreadTime::now();
        let drawn = self.ctx.tessellate(output.shapes, self.scale);
        let tessellation = start.elapsed();
        assert!(!drawn.is_empty());
        [panels, tessellation]
    }
}

fn frames(c: &mut Criterion) {
    let (mut session, _news) = five_minutes(PIECES);
    for (name, size, scale) in SIZES {
        let mut group = c.benchmark_group(name);
        for (tab_name, tab) in TABS {
            session.case_tab = tab;
            let mut window = Window::new(&session, size, scale);
            for _ in 0..10 {
                window.frame(&mut session);
            }
            for (part, what) in ["panels", "tessellation"].into_iter().enumerate() {
                group.bench_function(format!("{tab_name}: {what}"), |b| {
                    b.iter_custom(|n| (0..n).map(|_| window.frame(&mut session)[part]).sum());
                });
            }
        }
    }
}

/// Makes a hold longer or shorter, and waits until its run is shown.
fn change(session: &mut Session, news: &mpsc::Receiver<()>) {
    let Some(draft) = &session.draft else { return };
    let mut step = draft.scenario().steps[1].clone();
    step.hold_s = if step.hold_s > 75.2 { 75.0 } else { 75.5 };
    let before = session.shown.clone();
    session.apply(Command::Edit(EditCommand::Change(Edit::Steps(
        StepsEdit::Set(1, step),
    ))));
    wait(session, news);
    let pair = before.as_ref().zip(session.shown.as_ref());
    assert!(pair.is_some_and(|(a, b)| !Arc::ptr_eq(a, b)));
}

fn changed_step(c: &mut Criterion, pieces: u32) {
    let (mut session, news) = five_minutes(pieces);
    let mut group = c.benchmark_group(format!("a changed step of 5 minutes, {pieces} pieces"));
    group.sample_size(20);
    group.bench_function("settling, wall", |b| {
        b.iter_custom(|n| {
            let start = Instant::now();
            (0..n).for_each(|_| change(&mut session, &news));
            start.elapsed()
        });
    });
    // What of it is the engine's, and what the engine's, the eyes' and the report's.
    if let Some(compiled) = session.shown.as_ref().map(|l| l.compiled.clone()) {
        group.bench_function("settling, engine alone", |b| {
            b.iter(|| {
                let (model, motion) = (&compiled.model, &compiled.motion);
                simulate(model, motion, compiled.engine, &mut |_| {
                    ControlFlow::Continue(())
                })
                .is_ok()
            });
        });
        group.bench_function("settling, rehearsal alone", |b| {
            b.iter(|| rehearse(&compiled).is_ok());
        });
    }
    group.bench_function("settling, processor", |b| {
        b.iter_custom(|n| {
            let start = ProcessTime::now();
            (0..n).for_each(|_| change(&mut session, &news));
            start.elapsed()
        });
    });
}

fn main() {
    let mut c = Criterion::default().configure_from_args();
    frames(&mut c);
    for pieces in [USUAL_PIECES, PIECES] {
        changed_step(&mut c, pieces);
    }
    c.final_summary();
}
