//! A menu that Alt and its first letter open, and its entries.

use egui::{Key, Modifiers, Popup, Ui};

/// A menu of this name; Alt and the letter open and close it.
pub fn menu(ui: &mut Ui, name: &str, letter: Key, entries: impl FnOnce(&mut Ui)) {
    let button = ui.menu_button(name, entries).response;
    if ui.is_enabled() && ui.input_mut(|i| i.consume_key(Modifiers::ALT, letter)) {
        // From here the arrow keys lead to its entries.
        button.request_focus();
        Popup::toggle_id(ui.ctx(), Popup::default_response_id(&button));
    }
}

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
