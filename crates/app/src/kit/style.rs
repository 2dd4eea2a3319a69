//! The theme's colours and type put into egui's terms, and the spacing on an 8-point grid.

use std::sync::Arc;

use egui::{
    CornerRadius, FontData, FontDefinitions, FontFamily, Margin, Shadow, Stroke, Style, TextStyle,
    Theme, Visuals, vec2,
};

use crate::kit::theme::{DARK, LIGHT, Palette, STRONG, body, heading, small};

/// Gives the window its fonts and both themes; call once.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for (theme, palette) in [(Theme::Dark, DARK), (Theme::Light, LIGHT)] {
        ctx.set_style_of(theme, style(&palette));
    }
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let plex: [(&str, &'static [u8]); 2] = [
        (
            "plex",
            include_bytes!("../../../../assets/fonts/IBMPlexSans-Regular.ttf"),
        ),
        (
            "plex-strong",
            include_bytes!("../../../../assets/fonts/IBMPlexSans-SemiBold.ttf"),
        ),
    ];
    for (name, data) in plex {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(data)));
    }
    let rest = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    let with = |first: &str| {
        let mut family = vec![first.to_owned()];
        family.extend(rest.iter().cloned());
        family
    };
    fonts
        .families
        .insert(FontFamily::Name(STRONG.into()), with("plex-strong"));
    fonts
        .families
        .insert(FontFamily::Proportional, with("plex"));
    fonts
}

fn style(palette: &Palette) -> Style {
    let mut style = Style {
        visuals: if palette.dark {
            Visuals::dark()
        } else {
            Visuals::light()
        },
        ..Style::default()
    };
    style.text_styles = [
        (TextStyle::Small, small()),
        (TextStyle::Body, body()),
        (TextStyle::Button, body()),
        (TextStyle::Monospace, body()),
        (TextStyle::Heading, heading()),
    ]
    .into();
    style.animation_time = 0.0;
    let spacing = &mut style.spacing;
    spacing.item_spacing = vec2(8.0, 8.0);
    spacing.button_padding = vec2(8.0, 4.0);
    spacing.menu_margin = Margin::same(8);
    spacing.window_margin = Margin::same(24);
    spacing.interact_size = vec2(24.0, 24.0);
    spacing.menu_width = 240.0;
    spacing.tooltip_width = 320.0;
    spacing.scroll.bar_width = 6.0;
    spacing.scroll.floating = true;
    let v = &mut style.visuals;
    v.panel_fill = palette.panel;
    v.window_fill = palette.panel;
    v.window_stroke = palette.hair();
    v.window_corner_radius = CornerRadius::same(8);
    v.menu_corner_radius = CornerRadius::same(6);
    let shadow = Shadow {
        offset: [0, 8],
        blur: 24,
        spread: 0,
        color: egui::Color32::from_black_alpha(64),
    };
    v.window_shadow = shadow;
    v.popup_shadow = shadow;
    v.extreme_bg_color = palette.stage;
    v.faint_bg_color = palette.score;
    v.hyperlink_color = palette.text;
    v.weak_text_color = Some(palette.weak);
    v.selection.bg_fill = palette.block_strong;
    v.selection.stroke = Stroke::new(1.0, palette.text);
    let radius = CornerRadius::same(4);
    let widgets = &mut v.widgets;
    for (state, fill, line, ink) in [
        (
            &mut widgets.noninteractive,
            palette.panel,
            palette.hairline,
            palette.text,
        ),
        (
            &mut widgets.inactive,
            palette.block,
            palette.block,
            palette.text,
        ),
        (
            &mut widgets.hovered,
            palette.block_strong,
            palette.block_strong,
            palette.text,
        ),
        (
            &mut widgets.active,
            palette.block_strong,
            palette.weak,
            palette.text,
        ),
        (
            &mut widgets.open,
            palette.block_strong,
            palette.block_strong,
            palette.text,
        ),
    ] {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = Stroke::new(1.0, line);
        state.fg_stroke = Stroke::new(1.0, ink);
        state.corner_radius = radius;
        state.expansion = 0.0;
    }
    style
}
