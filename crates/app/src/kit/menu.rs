//! An entry of a menu.

use egui::Ui;

/// An entry of a menu with its keys; pushes what it asks for.
pub fn item<C>(ui: &mut Ui, label: &str, keys: &str, tip: &str, command: C, commands: &mut Vec<C>) {
    let mut button = egui::Button::new(label);
    if !keys.is_empty() {
        button = button.shortcut_text(keys);
    }
    let response = ui.add(button).on_disabled_hover_text(tip);
    if response.on_hover_text(tip).clicked() {
        commands.push(command);
        ui.close();
    }
}
