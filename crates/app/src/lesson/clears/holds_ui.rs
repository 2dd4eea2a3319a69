//! Debris on a cupula: what lets it go, what share of ears that is, and what nobody knows.

use egui::Ui;
use lithodrome_rehearsal::Mechanism;
use lithodrome_study::{HoldShare, Ranked, shares_by_hold};

use super::state::ClearsState;
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
};

/// What is known of such debris, above all manoeuvres; nothing where debris is free.
pub(super) fn what_is_known_ui(ui: &mut Ui, clears: &ClearsState) {
    if !clears.asked.place.is_on_cupula() {
        return;
    }
    let face = if clears.asked.place == Mechanism::CupulaUtricleSide {
        "From the utricle's side it falls into the short arm or the utricle once it lets go."
    } else {
        "From the canal's side it becomes free debris of the ampullary arm once it lets go and has the whole way \
         before it."
    };
    let words = format!(
        "{face} How firmly it is held nobody has measured: the map draws holds evenly from 0.5 to 4 times its weight \
         (assumed), so every share is as uncertain as that. Each manoeuvre tells its share by the hold."
    );
    let palette = Palette::of(ui);
    controls::line(ui, words, theme::small(), palette.text);
}

/// The share of a manoeuvre by how firmly debris is held, in one line; `None` where debris is free.
pub(super) fn by_hold(clears: &ClearsState, row: &Ranked) -> Option<String> {
    let shares = shares_by_hold(&clears.holds_g, &clears.asked, &row.ends);
    let told: Vec<String> = shares.iter().map(told).collect();
    (!told.is_empty()).then(|| format!("Out, by what it takes to let go: {}.", told.join("; ")))
}

fn told(hold: &HoldShare) -> String {
    let to = if hold.to_g.is_finite() {
        format!("up to {} times its weight", hold.to_g)
    } else {
        "more".to_owned()
    };
    format!(
        "held by {to} ({}) {} of {}",
        hold.freed_by, hold.out.count, hold.out.of
    )
}
