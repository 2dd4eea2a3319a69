//! A result as a picture of its own: title, what it is of, the picture, the line that says what it is not.

use egui::{CentralPanel, Frame, Margin, Panel, RichText, Ui};

use super::{
    curve_ui, desk::Found, dots_ui, ears_ui, form::Limits, heat_ui, limits_ui,
    taken_out::StudyPicture,
};
use crate::kit::{
    controls,
    theme::{self, Palette},
};

/// Height of a plot in a picture, points.
const HIGH: f32 = 360.0;

/// Size of a picture, points.
pub fn size(picture: StudyPicture, found: &Found) -> egui::Vec2 {
    let high = match picture {
        StudyPicture::Dots => {
            let shown = found.report.sequences.len().min(MOST_DOTS);
            136.0 + 232.0 * shown as f32
        }
        StudyPicture::Inputs => 400.0,
        StudyPicture::Curve | StudyPicture::Heat | StudyPicture::Stairs => 496.0,
    };
    egui::vec2(640.0, high)
}

/// Most sequences whose dots are in one picture.
const MOST_DOTS: usize = 4;

/// Draws the picture over all of the place.
pub fn picture_ui(
    ui: &mut Ui,
    found: &Found,
    picture: StudyPicture,
    sequence: usize,
    limits: &Limits,
    caption: &str,
) {
    let palette = Palette::of(ui);
    let frame = Frame::new()
        .fill(palette.panel)
        .inner_margin(Margin::symmetric(16, 8));
    Panel::bottom("caption")
        .resizable(false)
        .frame(frame)
        .show(ui, |ui| {
            let words = RichText::new(caption).font(theme::small());
            ui.add(egui::Label::new(words.color(palette.weak)).truncate());
        });
    CentralPanel::default().frame(frame).show(ui, |ui| {
        ui.add_space(4.0);
        ui.label(RichText::new(&found.study.file.title).font(theme::heading()));
        let of = format!(
            "{} ears, seed {}; mixture: {}",
            found.done(),
            found.study.file.seed,
            found.study.mixture.title
        );
        controls::line(ui, of, theme::small(), palette.weak);
        match picture {
            StudyPicture::Dots => {
                for i in shown(found, sequence) {
                    let name = found.report.sequences.get(i).map(|s| s.sequence.as_str());
                    controls::section(ui, name.unwrap_or_default());
                    dots_ui::share_ui(ui, found, i);
                }
            }
            StudyPicture::Curve => curve_ui::plot_ui(ui, found, HIGH),
            StudyPicture::Heat => heat_ui::plot_ui(ui, found, HIGH),
            StudyPicture::Stairs => limits_ui::stairs_ui(ui, found, limits, HIGH),
            StudyPicture::Inputs => ears_ui::bars_ui(ui, found, sequence),
        }
    });
}

/// All sequences if they are few, else the one that is looked at.
fn shown(found: &Found, sequence: usize) -> Vec<usize> {
    let all = found.report.sequences.len();
    if all <= MOST_DOTS {
        (0..all).collect()
    } else {
        vec![sequence]
    }
}
