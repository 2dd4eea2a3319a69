//! A hidden case: beginning it, testing, what was seen, treating.

use egui::{DragValue, RichText, Ui};
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{Difficulty, Part, Purpose};

use super::{
    ask::push,
    command::LessonCommand,
    debrief_ui, naming_ui,
    state::{LessonState, LookWay, OpenCase, Position, Way},
};
use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    score::axis::clock,
    session::Session,
    session::command::{Command, DriveCommand, PlayCommand},
    work::{library::library, stage_data::EYES_TOLD_LATER},
};

/// Shows the part.
pub(super) fn case_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let lesson = &session.lesson;
    let Some(open) = &lesson.open else {
        begin_ui(ui, lesson, commands);
        return;
    };
    let palette = Palette::of(ui);
    ui.horizontal(|ui| {
        let title = format!(
            "Case {}, {}",
            open.record.seed,
            open.record.difficulty.name()
        );
        ui.label(RichText::new(title).font(theme::heading()));
        let tip = "Put the case away and show what was shown before";
        if ui.button("Close case").on_hover_text(tip).clicked() {
            push(commands, LessonCommand::Close);
        }
    });
    if let Some(debrief) = &open.debrief {
        debrief_ui::debrief_ui(ui, open, debrief, commands);
        return;
    }
    ui.add_enabled_ui(!lesson.desk.is_busy(), |ui| {
        way_ui(ui, lesson.way, commands);
        positions_ui(ui, lesson.way, commands);
        treatments_ui(ui, commands);
        seen_ui(ui, open, &palette, commands);
        naming_ui::naming_ui(ui, lesson, open, commands);
    });
}

fn begin_ui(ui: &mut Ui, lesson: &LessonState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.label(RichText::new("Hidden cases").font(theme::heading()));
    let words = "A case lies hidden behind a number. Bring the chair where you want, watch the eyes, wait as long \
                 as you like, name ear, canal and mechanism, treat, test again. Nothing is scripted: the eyes \
                 answer to where the debris is.";
    controls::line(ui, words, theme::body(), palette.text);
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.label("Case number");
        let mut seed = lesson.seed;
        let response = ui.add(DragValue::new(&mut seed).range(0..=999_999));
        fields::name(&response, "Case number");
        if response.changed() {
            push(commands, LessonCommand::Seed(seed));
        }
    });
    let kinds = [
        (None, "any", "The difficulty that goes with the number"),
        (
            Some(Difficulty::Common),
            "common",
            "What a clinic sees every week",
        ),
        (
            Some(Difficulty::Uncommon),
            "uncommon",
            "Other canals and the cupula",
        ),
        (
            Some(Difficulty::Rare),
            "rare",
            "Short arms, light cupulae, several canals, vertigo without nystagmus and the reverse",
        ),
    ];
    if let Some(difficulty) = controls::choice(ui, "Difficulty", lesson.difficulty, &kinds) {
        push(commands, LessonCommand::Difficulty(difficulty));
    }
    ui.add_space(8.0);
    ui.add_enabled_ui(!lesson.desk.is_busy(), |ui| {
        if ui.button("Begin the case").clicked() {
            push(commands, LessonCommand::Begin);
        }
    });
}

fn way_ui(ui: &mut Ui, way: Way, commands: &mut Vec<Command>) {
    let mut now = way;
    controls::section(ui, "The next hold");
    let looks = [
        (
            LookWay::Goggles,
            "goggles",
            "Dark goggles: nothing to fixate",
        ),
        (LookWay::Light, "light", "The patient fixates"),
        (LookWay::Away, "not looking", "Nobody looks at the eyes"),
    ];
    if let Some(look) = controls::choice(ui, "Eyes", way.look, &looks) {
        now.look = look;
    }
    let parts = [
        (Part::Test, "test", "To find out"),
        (Part::Treatment, "treatment", "To bring debris out"),
        (Part::Control, "control", "To see whether it is out"),
    ];
    if let Some(part) = controls::choice(ui, "Done as", way.part, &parts) {
        now.part = part;
    }
    ui.horizontal(|ui| {
        ui.label("Hold");
        let response = ui.add(
            DragValue::new(&mut now.hold_s)
                .range(0.0..=600.0)
                .suffix(" s"),
        );
        fields::name(&response, "Hold, seconds");
        for wait_s in [10.0, 60.0] {
            let words = format!("Wait {wait_s:.0} s more");
            let tip = "Stay where the chair is; the clock of the case goes on";
            if ui.button(words).on_hover_text(tip).clicked() {
                push(commands, LessonCommand::Wait(wait_s));
            }
        }
    });
    if now != way {
        push(commands, LessonCommand::Way(now));
    }
}

const POSITIONS: [(Position, &str); 8] = [
    (Position::Upright, "Upright"),
    (Position::RightDixHallpike, "Right Dix-Hallpike"),
    (Position::LeftDixHallpike, "Left Dix-Hallpike"),
    (Position::HeadHanging, "Head-hanging"),
    (Position::Supine, "Supine, head up"),
    (Position::RightEarDown, "Right ear down"),
    (Position::LeftEarDown, "Left ear down"),
    (Position::Bow, "Bow"),
];

fn positions_ui(ui: &mut Ui, way: Way, commands: &mut Vec<Command>) {
    ui.add_space(4.0);
    controls::section(ui, "Bring the chair to");
    ui.horizontal_wrapped(|ui| {
        for (position, words) in POSITIONS {
            if ui.button(words).clicked() {
                push(commands, LessonCommand::Do(position));
            }
        }
    });
    let tip = "Turn the chair yourself, on from where it stands (F6); what you drive is done as the next holds are";
    if ui.button("Drive by hand").on_hover_text(tip).clicked() {
        commands.push(Command::Drive(DriveCommand::Start));
    }
    ui.horizontal(|ui| {
        let mut now = way;
        let yaw = DragValue::new(&mut now.yaw_deg)
            .range(-720.0..=720.0)
            .suffix("°");
        ui.label("yaw");
        fields::name(&ui.add(yaw), "Yaw by feel");
        ui.label("track");
        let track = DragValue::new(&mut now.track_deg)
            .range(-360.0..=360.0)
            .suffix("°");
        fields::name(&ui.add(track), "Track by feel");
        let tip = "Angles by feel; the debrief says how far off they were";
        if ui.button("Go there").on_hover_text(tip).clicked() {
            push(commands, LessonCommand::Do(Position::ByFeel));
        }
        if now != way {
            push(commands, LessonCommand::Way(now));
        }
    });
}

fn treatments_ui(ui: &mut Ui, commands: &mut Vec<Command>) {
    ui.add_space(4.0);
    ui.collapsing("Manoeuvres of the library", |ui| {
        for (i, entry) in library().iter().enumerate() {
            let is_chair = entry.scenario.body.is_none();
            if !is_chair || entry.about.kind != Purpose::Treatment {
                continue;
            }
            if ui
                .button(&entry.title)
                .on_hover_text("Do all its steps")
                .clicked()
            {
                push(commands, LessonCommand::Treat(i));
            }
        }
    });
}

/// What was done and how it was watched, the latest first; each line leads to its moment. What the eyes did
/// is not put into words before the answer.
fn seen_ui(ui: &mut Ui, open: &OpenCase, palette: &Palette, commands: &mut Vec<Command>) {
    ui.add_space(4.0);
    controls::section(ui, "Seen so far");
    let named = open.record.answer.is_some();
    if !open.seen.is_empty() && !named {
        controls::line(ui, EYES_TOLD_LATER, theme::small(), palette.weak);
    }
    if open.seen.is_empty() {
        controls::line(
            ui,
            "Nothing has been tested yet.",
            theme::body(),
            palette.weak,
        );
    }
    let done = open.seen.iter().zip(&open.record.acts).rev();
    for (seen, act) in done.filter(|(seen, _)| seen.name != "Turn") {
        let held_s = seen.end_s - seen.hold_from_s;
        let at = clock(seen.hold_from_s);
        let eyes = if !seen.looked {
            "Nobody looked.".to_owned()
        } else if named {
            sentence(&seen.finding)
        } else if act.look.fixation {
            format!("Held {held_s:.0} s, watched in the light.")
        } else {
            format!("Held {held_s:.0} s, watched under dark goggles.")
        };
        let felt = if seen.vertigo {
            " The patient feels it turn."
        } else {
            ""
        };
        let title = RichText::new(format!("{at} {}", seen.name)).font(theme::body_strong());
        let tip = "Put the cursor at the start of this hold";
        if ui.link(title).on_hover_text(tip).clicked() {
            commands.push(Command::Play(PlayCommand::Seek(seen.hold_from_s)));
        }
        controls::line(ui, format!("{eyes}{felt}"), theme::body(), palette.text);
    }
}
