//! More of one manoeuvre: an ear of each end to open, the chair beside a bed, a stiff neck beside a healthy one.

use egui::{RichText, Ui};
use lithodrome_labyrinth::CanalId;
use lithodrome_study::{Carried, Ranked};

use super::{
    command::ClearsCommand,
    state::{CarriedOf, ClearsState, Opened, WhichEar},
};
use crate::{
    kit::controls::{self, capital},
    kit::ear_dots::{self, in_hundred, of_hundred},
    kit::theme::{self, Palette},
    lesson::ask::clears as push,
    session::command::Command,
};

/// Shows what is known of it.
pub(super) fn detail_ui(
    ui: &mut Ui,
    clears: &ClearsState,
    row: &Ranked,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    if let Some(opened) = clears.opened.as_ref().filter(|o| o.name == row.name) {
        ears_ui(ui, opened, row, commands);
    }
    if let Some(carried) = clears.carried.as_ref().filter(|c| c.name == row.name) {
        carried_ui(ui, clears, carried, &palette);
    }
}

/// Which ear is on the stages, and ears that end otherwise.
pub(super) fn ears_ui(ui: &mut Ui, opened: &Opened, row: &Ranked, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let end = row.ends.get(opened.ear as usize).copied().flatten();
    let words = format!(
        "On the stages: ear {} of {}, {}. Other ears:",
        opened.ear + 1,
        row.ends.len(),
        ear_dots::end_name(end)
    );
    controls::line(ui, words, theme::small(), palette.text);
    ui.horizontal_wrapped(|ui| {
        for (end, ears) in ear_dots::counted(&row.ends) {
            let words = format!("{} ({ears})", ear_dots::end_name(end));
            let tip = "The first ear that ends so";
            if ui.button(words).on_hover_text(tip).clicked() {
                push(
                    commands,
                    ClearsCommand::Open(row.name.clone(), WhichEar::Ends(end)),
                );
            }
        }
    });
}

fn carried_ui(ui: &mut Ui, clears: &ClearsState, carried: &CarriedOf, palette: &Palette) {
    ui.add_space(4.0);
    for row in &carried.rows {
        let label = RichText::new(capital(row.carrier.name())).font(theme::small_strong());
        ui.label(label);
        ui.horizontal_top(|ui| {
            let canal = clears.asked.canal.canal;
            ear_dots::dots_ui(ui, &row.ends, canal, 7.0, row.carrier.name());
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                for words in said_of(row) {
                    controls::line(ui, words, theme::small(), palette.text);
                }
            });
        });
    }
    let words = "The same ears and errors of hands in all three; a stiff neck turns 30° and bends back 10° \
                 (assumed). On a bed each head direction of the chair is reached as far as neck and trunk go; \
                 throws are done by hand.";
    controls::line(ui, words, theme::small(), palette.weak);
}

fn said_of(row: &Carried) -> Vec<String> {
    let mut all = vec![format!("Out: {}", in_hundred(&row.out))];
    for (canal, ears) in &row.switched_to {
        let place = canal.map_or_else(|| "common crus".to_owned(), CanalId::name);
        let share = of_hundred(*ears, row.out.of);
        all.push(format!("Switched to the {place}: {share} in 100 ears"));
    }
    if row.switched_to.is_empty() {
        all.push("Switched in no ear".to_owned());
    }
    if row.short_deg >= 1.0 {
        all.push(format!(
            "At worst {:.0}° from where the head should be",
            row.short_deg
        ));
    }
    all.push(format!(
        "Head {:.0}° below the horizontal",
        row.strain.lowest_head_deg
    ));
    all
}
