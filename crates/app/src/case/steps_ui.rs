//! The table of steps: what the chair does, to edit.

use egui::{
    Align2, Button, Context, CornerRadius, Id, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo,
    vec2,
};
use lithodrome_rehearsal::{Carrier, LimitBreach, NAMED_POSTURES, StartAngles, StepEntry};

use crate::{
    case::move_ui,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, EditCommand, PlayCommand},
    session::draft::Draft,
    session::edit::{Edit, SettingEdit, StepsEdit},
};
use lithodrome_chair::angle_error;

/// Width that the table wants, points.
pub const WIDTH: f32 = 496.0;

const NUMBER: f32 = 24.0;
const ANGLE: f32 = 56.0;
const TIME: f32 = 50.0;
const GAP: f32 = 4.0;

const YAW: &str = "Yaw: the turn about the patient's long axis, to the left positive. Empty: this axis \
    stays where it is.";
const TRACK: &str = "Track: the turn of the inner frame on the circular track. With yaw 0 it rolls the \
    head, with yaw 90° it pitches it. Empty: this axis stays where it is.";
const MOVE: &str = "Time in which the chair moves to these angles. While it moves, nystagmus tells \
    nothing. Empty: a hand, a motor or a throw takes the time that is its own for the turn.";
const HOLD: &str = "Time at rest after the move, for debris to settle and for the eyes to be seen.";

/// In place of both where no chair turns the patient.
const BEDSIDE: &str = "At the bedside the patient's own trunk and neck move, not a chair. Their angles stand in \
    the file.";

/// The chosen step gets the keys as soon as the table is shown.
pub fn wish_for_focus(ctx: &Context) {
    ctx.data_mut(|data| data.insert_temp(Id::unique(FOCUS), true));
}

const FOCUS: &str = "the chosen step gets the keys";

/// Shows the table.
pub fn steps_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let Some(draft) = &session.draft else { return };
    let scenario = draft.scenario();
    let fault = draft.fault.as_ref();
    ui.spacing_mut().item_spacing = vec2(GAP, 4.0);
    let wide = ui.available_width();
    let wrong = fault.is_some_and(|f| f.is_at("title"));
    let tip = "What people call the scenario";
    let (_, title) = fields::text(ui, "Title", tip, &scenario.title, wide, wrong);
    commands.extend(
        title.map(|t| Command::Edit(EditCommand::Change(Edit::Setting(SettingEdit::Title(t))))),
    );
    fields::fault_ui(ui, fault, &["title".to_owned()]);
    ui.add_space(4.0);
    buttons(ui, draft, commands);
    ui.add_space(4.0);
    heads(ui);
    let computed = session.shown.as_ref().filter(|_| !session.is_stale());
    let breaches = computed.map_or(&[][..], |loaded| loaded.breaches.as_slice());
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            start_ui(ui, draft, commands);
            let whole = ["steps", "debris"].map(str::to_owned);
            let angles = scenario.angles_deg();
            let own_times = own_times_s(draft);
            for (i, step) in scenario.steps.iter().enumerate() {
                let told = Told {
                    angles_deg: angles[i],
                    own_time_s: own_times.get(i).copied(),
                };
                step_ui(ui, draft, i, step, told, commands);
                for breach in breaches.iter().filter(|b| b.step == i) {
                    breach_ui(ui, breach);
                }
                if let Some(words) = computed.and_then(|loaded| loaded.short_hold(i)) {
                    fields::warning(ui, &words);
                }
            }
            fields::fault_ui(ui, fault, &whole);
            ui.add_space(8.0);
            angle_error_ui(ui, session);
            ui.add_space(16.0);
        });
}

/// What a step is shown with where it leaves something out.
#[derive(Clone, Copy)]
struct Told {
    /// Yaw and track that it ends at.
    angles_deg: [f64; 2],
    /// The time that its mover takes, if that can be told.
    own_time_s: Option<f64>,
}

/// Times of the moves, if any is its mover's own; none while something is wrong.
fn own_times_s(draft: &Draft) -> Vec<f64> {
    let scenario = draft.scenario();
    if draft.fault.is_none() && scenario.steps.iter().any(move_ui::has_own_time) {
        scenario.move_times_s()
    } else {
        Vec::new()
    }
}

/// Buttons that act on the chosen step.
fn buttons(ui: &mut Ui, draft: &Draft, commands: &mut Vec<Command>) {
    let (i, n) = (draft.chosen, draft.scenario().steps.len());
    let step = i + 1;
    ui.horizontal_wrapped(|ui| {
        let mut button = |label: &str, name: String, tip: &str, on: bool, edit: Edit| {
            let text = RichText::new(label).font(theme::small());
            let response = ui.add_enabled(on, Button::new(text));
            fields::name(&response, &name);
            let response = response.on_disabled_hover_text(tip);
            if response.on_hover_text(tip).clicked() {
                commands.push(Command::Edit(EditCommand::Change(edit)));
            }
        };
        button(
            "Insert",
            "Insert a step".to_owned(),
            "A wait where the chair is, after the chosen step (Insert)",
            true,
            Edit::Steps(StepsEdit::Insert(i)),
        );
        button(
            "Duplicate",
            format!("Duplicate step {step}"),
            "The chosen step once more (Ctrl+D)",
            true,
            Edit::Steps(StepsEdit::Duplicate(i)),
        );
        button(
            "Delete",
            format!("Delete step {step}"),
            "Take the chosen step out (Delete); the last one stays",
            n > 1,
            Edit::Steps(StepsEdit::Delete(i)),
        );
        button(
            "Up",
            format!("Move step {step} up"),
            "Make the chosen step earlier (Alt+Up)",
            i > 0,
            Edit::Steps(StepsEdit::Move(i, -1)),
        );
        button(
            "Down",
            format!("Move step {step} down"),
            "Make the chosen step later (Alt+Down)",
            i + 1 < n,
            Edit::Steps(StepsEdit::Move(i, 1)),
        );
        button(
            "Mirror",
            "Mirror to the other ear".to_owned(),
            "The same for the other ear: yaw and track negated, debris in the other ear, left and right \
             exchanged in the names (Ctrl+M)",
            true,
            Edit::Mirror,
        );
        posture_ui(ui, draft, commands);
    });
}

/// Postures in words, which set yaw and track of the chosen step.
fn posture_ui(ui: &mut Ui, draft: &Draft, commands: &mut Vec<Command>) {
    let i = draft.chosen;
    ui.add_enabled_ui(
        draft.scenario().body.unwrap_or_default() == Carrier::Chair,
        |ui| {
            let text = RichText::new("Posture").font(theme::small());
            let menu = ui.menu_button(text, |ui| {
                for posture in NAMED_POSTURES {
                    let Some([yaw, track]) = posture.angles_deg(draft.scenario(), i) else {
                        continue;
                    };
                    let tip = format!(
                        "Yaw {yaw:.0}°, track {track:.0}°: the shortest drive from the step before"
                    );
                    if ui.button(posture.name).on_hover_text(tip).clicked() {
                        let edit = Edit::Steps(StepsEdit::Posture(i, posture));
                        commands.push(Command::Edit(EditCommand::Change(edit)));
                        ui.close();
                    }
                }
            });
            let step = i + 1;
            fields::name(&menu.response, &format!("Posture of step {step}"));
            let tip =
                format!("How the patient lies in step {step}, in words: sets its yaw and track");
            menu.response.on_hover_text(tip);
        },
    );
}

fn name_width(ui: &Ui) -> f32 {
    let numbers = NUMBER + 2.0 * ANGLE + move_ui::WIDTH + 2.0 * TIME;
    (ui.available_width() - numbers - 6.0 * GAP - 8.0).max(64.0)
}

fn heads(ui: &mut Ui) {
    let palette = Palette::of(ui);
    let names = name_width(ui);
    ui.horizontal(|ui| {
        let mut head = |text: &str, tip: &str, width: f32, align: Align2| {
            let (rect, response) = ui.allocate_exact_size(vec2(width, 16.0), Sense::hover());
            let at = align.pos_in_rect(&rect.shrink2(vec2(6.0, 0.0)));
            ui.painter()
                .text(at, align, text, theme::small_strong(), palette.weak);
            if !tip.is_empty() {
                response.on_hover_text(tip);
            }
        };
        head("", "", NUMBER, Align2::LEFT_CENTER);
        head("Step", "", names, Align2::LEFT_CENTER);
        head("Yaw", YAW, ANGLE, Align2::RIGHT_CENTER);
        head("Track", TRACK, ANGLE, Align2::RIGHT_CENTER);
        let both = move_ui::WIDTH + GAP + TIME;
        head("Move", MOVE, both, Align2::RIGHT_CENTER);
        head("Hold", HOLD, TIME, Align2::RIGHT_CENTER);
    });
}

/// The chair before the first step.
fn start_ui(ui: &mut Ui, draft: &Draft, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let start = draft.scenario().chair;
    let names = name_width(ui);
    let fault = draft.fault.as_ref();
    ui.horizontal(|ui| {
        ui.add_space(NUMBER + GAP);
        let (rect, response) = ui.allocate_exact_size(vec2(names, fields::HEIGHT), Sense::hover());
        response.on_hover_text("The chair before the first move");
        ui.painter().text(
            rect.left_center() + vec2(4.0, 0.0),
            Align2::LEFT_CENTER,
            "At the start",
            theme::body(),
            palette.weak,
        );
        let bedside = is_bedside(draft);
        let mut angle = |name: &str, tip, field: &str, value, edit: &dyn Fn(f64) -> StartAngles| {
            let (tip, value) = at_chair(bedside, tip, value);
            let number = Number {
                width: ANGLE,
                empty: bedside.then_some(NO_ANGLE),
                wrong: fault.is_some_and(|f| f.is_at(field)),
                ..Number::new(name, tip, value, "°")
            };
            ui.add_enabled_ui(!bedside, |ui| {
                fields::number(ui, number, commands, |v| {
                    Edit::Steps(StepsEdit::Start(edit(v)))
                });
            });
        };
        let (yaw, track) = (start.yaw_deg, start.track_deg);
        angle("Yaw at the start", YAW, "chair.yaw_deg", yaw, &|v| {
            StartAngles {
                yaw_deg: v,
                ..start
            }
        });
        angle(
            "Track at the start",
            TRACK,
            "chair.track_deg",
            track,
            &|v| StartAngles {
                track_deg: v,
                ..start
            },
        );
    });
    let fields_here = ["chair.yaw_deg", "chair.track_deg"].map(str::to_owned);
    fields::fault_ui(ui, fault, &fields_here);
}

fn step_ui(
    ui: &mut Ui,
    draft: &Draft,
    i: usize,
    step: &StepEntry,
    told: Told,
    commands: &mut Vec<Command>,
) {
    let angles_deg = told.angles_deg;
    let names = name_width(ui);
    let bedside = is_bedside(draft);
    let fault = draft.fault.as_ref();
    let here = |field: &str| format!("steps[{}].{field}", i + 1);
    let wrong = |field: &str| fault.is_some_and(|f| f.is_at(&here(field)));
    let n = i + 1;
    let set = |change: &dyn Fn(&mut StepEntry)| {
        let mut next = step.clone();
        change(&mut next);
        Edit::Steps(StepsEdit::Set(i, next))
    };
    let open = move_ui::is_open(ui, i, fault);
    let mut focused = false;
    ui.horizontal(|ui| {
        number_button(ui, i, &step.name, draft.chosen == i, commands);
        let called = format!("Name of step {n}");
        // A long name is cut by its field.
        let tip = format!("{}\nWhat people call this step", step.name);
        let (response, text) = fields::text(ui, &called, &tip, &step.name, names, false);
        focused |= response.has_focus();
        commands.extend(
            text.map(|t| Command::Edit(EditCommand::Change(set(&|s| s.name.clone_from(&t))))),
        );
        let mut number = |ui: &mut Ui, field, number: Number<'_>, edit: &dyn Fn(f64) -> Edit| {
            let number = Number {
                wrong: wrong(field),
                ..number
            };
            focused |= fields::number(ui, number, commands, edit).has_focus();
        };
        let given = |v: f64| v.is_finite().then_some(v);
        let angle = |name, tip, value, weak| {
            let (tip, value) = at_chair(bedside, tip, value);
            Number {
                empty: Some(if bedside { NO_ANGLE } else { "" }),
                width: ANGLE,
                weak,
                ..Number::new(name, tip, value, "°")
            }
        };
        let name = format!("Yaw of step {n}");
        let yaw = angle(&name, YAW, angles_deg[0], step.yaw_deg.is_none());
        ui.add_enabled_ui(!bedside, |ui| {
            number(ui, "yaw_deg", yaw, &|v| set(&|s| s.yaw_deg = given(v)));
        });
        let name = format!("Track of step {n}");
        let track = angle(&name, TRACK, angles_deg[1], step.track_deg.is_none());
        ui.add_enabled_ui(!bedside, |ui| {
            number(ui, "track_deg", track, &|v| {
                set(&|s| s.track_deg = given(v))
            });
        });
        let time = Number {
            width: TIME,
            per_point: 0.1,
            ..Number::new("", "", 0.0, " s")
        };
        let mark = move_ui::mark_ui(ui, i, step, open);
        let own = move_ui::has_own_time(step);
        let name = format!("Move time of step {n}");
        let move_time = Number {
            name: &name,
            tip: MOVE,
            value: told.own_time_s.filter(|_| own).unwrap_or(step.move_s),
            empty: move_ui::may_have_own_time(step).then_some(""),
            weak: own,
            ..time
        };
        number(ui, "move_s", move_time, &|v| {
            Edit::Steps(StepsEdit::Set(i, move_ui::with_time(step, given(v))))
        });
        let name = format!("Hold time of step {n}");
        let hold_time = Number {
            name: &name,
            tip: HOLD,
            value: step.hold_s,
            ..time
        };
        number(ui, "hold_s", hold_time, &|v| set(&|s| s.hold_s = v));
        focused |= mark.has_focus() || mark.clicked();
    });
    if focused && draft.chosen != i {
        commands.push(Command::Edit(EditCommand::ChooseStep(i)));
    }
    let fields_here = ["yaw_deg", "track_deg", "move_s", "hold_s"].map(here);
    fields::fault_ui(ui, fault, &fields_here);
    if open {
        let body = draft.scenario().body.unwrap_or_default();
        ui.horizontal(|ui| {
            ui.add_space(NUMBER + GAP);
            ui.vertical(|ui| move_ui::move_ui(ui, i, step, body, fault, commands));
        });
        ui.add_space(4.0);
    }
}

const NO_ANGLE: &str = "–";

fn is_bedside(draft: &Draft) -> bool {
    draft.scenario().body.is_some_and(Carrier::is_bed)
}

/// What an angle of the chair says and is; none at the bedside.
fn at_chair(bedside: bool, tip: &str, value: f64) -> (&str, f64) {
    if bedside {
        (BEDSIDE, f64::INFINITY)
    } else {
        (tip, value)
    }
}

/// Chooses the step and puts the cursor at its hold.
fn number_button(ui: &mut Ui, i: usize, name: &str, on: bool, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(NUMBER, fields::HEIGHT), Sense::click());
    let label = format!("Step {}: {name}", i + 1);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, &label));
    if on
        && ui
            .data_mut(|data| data.remove_temp::<bool>(Id::unique(FOCUS)))
            .is_some()
    {
        response.request_focus();
    }
    if on || response.hovered() || response.has_focus() {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(4), palette.block_strong);
    }
    let ink = if on { palette.text } else { palette.weak };
    ui.painter().text(
        rect.center(),
        Align2::CENTER_CENTER,
        (i + 1).to_string(),
        theme::small_strong(),
        ink,
    );
    let tip = "Choose this step, and go to the start of its hold";
    if response.on_hover_text(tip).clicked() {
        commands.push(Command::Edit(EditCommand::ChooseStep(i)));
        commands.push(Command::Play(PlayCommand::ToStep(i)));
    }
}

/// How far the chair is, at the cursor, from where the step under it is meant to hold it.
fn angle_error_ui(ui: &mut Ui, session: &Session) {
    let Some(loaded) = session.shown.as_ref().filter(|_| !session.is_stale()) else {
        return;
    };
    let time_s = session.playback.time_s;
    let Some((i, _)) = loaded.step_at(time_s) else {
        return;
    };
    let plan = loaded.angles_at(loaded.step_times[i].hold_from_s);
    let error = angle_error(plan, loaded.angles_at(time_s));
    let words = format!("At the cursor, to step {}: {}", i + 1, error.words());
    let weak = RichText::new(words)
        .font(theme::small())
        .color(Palette::of(ui).weak);
    ui.label(weak).on_hover_text(
        "Angle error: how far the direction of gravity in the head is from where this step holds it, \
         and both axes. Debris feels only the former.",
    );
}

fn breach_ui(ui: &mut Ui, breach: &LimitBreach) {
    fields::warning(ui, &breach.words());
}
