//! Cupulae that are not as dense as endolymph, to edit.

use egui::{CollapsingHeader, RichText, Ui};
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::Scenario;

use crate::{
    kit::fields::{self, Number},
    kit::theme,
    session::command::Command,
    session::draft::Fault,
    session::edit::{CaseEdit, Edit},
};

const CUPULAE: &str = "A cupula lighter or heavier than endolymph is bent by gravity without any debris: \
    nystagmus that lasts as long as the position. Empty: as dense as endolymph.";

/// How much denser than endolymph each cupula is, of both ears.
pub fn cupulae_ui(
    ui: &mut Ui,
    scenario: &Scenario,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let title = RichText::new("Light and heavy cupulae").font(theme::small());
    let place = |id: CanalId| {
        let mut all = scenario.cupulae.iter();
        all.position(|c| (c.ear, c.canal) == (id.ear, id.canal))
    };
    let field = |i: usize| format!("cupulae[{}].excess_kg_m3", i + 1);
    let is_wrong = |i: usize| fault.is_some_and(|f| f.is_at(&field(i)));
    let open = (0..scenario.cupulae.len()).any(is_wrong);
    let header = CollapsingHeader::new(title)
        .id_salt("cupulae")
        .open(open.then_some(true))
        .show(ui, |ui| {
            for id in CanalId::ALL {
                let at = place(id);
                let excess = at.map_or(f64::INFINITY, |i| scenario.cupulae[i].excess_kg_m3);
                let label = id.name();
                let name = format!("Density of the cupula less endolymph, {label}");
                let number = Number {
                    empty: Some("as usual"),
                    width: 88.0,
                    per_point: 0.05,
                    weak: at.is_none(),
                    wrong: at.is_some_and(is_wrong),
                    ..Number::new(&name, CUPULAE, excess, " kg/m³")
                };
                fields::row(ui, &label, CUPULAE, |ui| {
                    fields::number(ui, number, commands, |v| {
                        Edit::Case(CaseEdit::Cupula(id, v.is_finite().then_some(v)))
                    });
                });
                fields::fault_ui(ui, fault, &at.map(field).into_iter().collect::<Vec<_>>());
            }
        });
    header.header_response.on_hover_text(CUPULAE);
}
