//! Every control has a name for assistive technology, and says more when it is pointed at.

mod hands;

use std::collections::BTreeSet;

use egui::{Order, Rect, Vec2, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::NodeT as _, kittest::Queryable as _};
use hands::{Window, settle};
use lithodrome_app::{
    session::Preferences,
    session::command::{CaseTab, Command, Dialog, Use, VariantCommand, ViewCommand},
    shell::app::App,
    variant::form::{Asked, Form},
    work::stage_data::Origin,
};

const SMALL: Vec2 = vec2(1024.0, 700.0);
/// So tall that the editors need not scroll: what is scrolled away cannot be pointed at.
const TALL: Vec2 = vec2(1440.0, 2000.0);
const USUAL: Vec2 = vec2(1440.0, 900.0);

/// Roles that can be pressed, chosen or typed into.
const CONTROLS: [Role; 12] = [
    Role::Button,
    Role::CheckBox,
    Role::ComboBox,
    Role::Link,
    Role::MenuItem,
    Role::MultilineTextInput,
    Role::RadioButton,
    Role::Slider,
    Role::SpinButton,
    Role::Switch,
    Role::Tab,
    Role::TextInput,
];

/// Menus, whose words say what they hold, and the score, where a tooltip would cover what it is about.
const SPEAK_FOR_THEMSELVES: [&str; 7] = [
    "File",
    "Edit",
    "View",
    "Chair",
    "Help",
    "Export",
    "Time in the score",
];

fn open(first: Origin, size: Vec2, notice_read: bool) -> Window {
    let preferences = Preferences {
        notice_read,
        ..Preferences::default()
    };
    // The names are checked below, in the words of this project.
    let mut window = Harness::builder()
        .with_size(size)
        .with_max_steps(64)
        .with_accessibility_check(false)
        .build_eframe(|cc| App::with_preferences(cc, first, preferences));
    settle(&mut window);
    window
}

/// The main states, one after the other.
fn each_state(mut check: impl FnMut(&str, &mut Window)) {
    for (state, size) in [("tall", TALL), ("small", SMALL)] {
        let mut window = open(Origin::Shipped, size, true);
        check(state, &mut window);
        for tab in [
            CaseTab::Case,
            CaseTab::Steps,
            CaseTab::Patient,
            CaseTab::Library,
        ] {
            window
                .state_mut()
                .session
                .apply(Command::View(ViewCommand::ShowTab(tab)));
            window.run();
            check(&format!("{state}, {tab:?}"), &mut window);
        }
        for asked in Asked::ALL {
            let form = Form {
                asked,
                ..Form::default()
            };
            let session = &mut window.state_mut().session;
            session.apply(Command::View(ViewCommand::UseFor(Use::Variant)));
            let write = VariantCommand::Write(Box::new(form));
            session.apply(Command::Variant(write));
            window.run();
            check(&format!("{state}, {asked:?}"), &mut window);
        }
    }
    let mut window = open(Origin::Shipped, USUAL, false);
    check("first start", &mut window);
    for dialog in [
        Dialog::Path("/somewhere".to_owned()),
        Dialog::SavePath("/somewhere".to_owned()),
        Dialog::Shortcuts,
    ] {
        let state = format!("{dialog:?}");
        window
            .state_mut()
            .session
            .apply(Command::View(ViewCommand::Show(dialog)));
        window.run();
        // A dialog that scrolls is in its place a picture later.
        window.run_steps(3);
        check(&state, &mut window);
    }
    let missing = Origin::File("no-such-scenario.ron".into());
    let mut window = open(missing, SMALL, true);
    check("bad file", &mut window);
    window
        .state_mut()
        .session
        .apply(Command::View(ViewCommand::DismissBanner));
    window.run();
    check("empty", &mut window);
    let mut window = open(Origin::Shipped, USUAL, true);
    for menu in ["File", "Edit", "View", "Help"] {
        window.get_by_label(menu).click();
        window.run();
        check(&format!("menu {menu}"), &mut window);
        window.key_press(egui::Key::Escape);
        window.run();
    }
}

/// Role, name and place of every control that can be seen.
fn controls(window: &Window) -> Vec<(Role, Option<String>, Rect)> {
    let screen = window.ctx.content_rect();
    window
        .root()
        .children_recursive()
        .filter(|node| {
            let role = node.accesskit_node().role();
            CONTROLS.contains(&role) && screen.contains(node.rect().center())
        })
        .map(|node| {
            let node_of_kit = node.accesskit_node();
            (node_of_kit.role(), node_of_kit.label(), node.rect())
        })
        .collect()
}

#[test]
fn every_control_has_a_name() {
    let mut seen = 0;
    each_state(|state, window| {
        let nameless: Vec<_> = controls(window)
            .into_iter()
            .inspect(|_| seen += 1)
            .filter(|(_, name, _)| name.as_ref().is_none_or(|n| n.trim().is_empty()))
            .collect();
        assert!(nameless.is_empty(), "{state}: {nameless:?}");
    });
    assert!(seen > 500, "only {seen} controls were found");
}

#[test]
fn every_control_says_more_when_pointed_at() {
    let mut silent: BTreeSet<String> = BTreeSet::new();
    let mut done: BTreeSet<String> = BTreeSet::new();
    each_state(|state, window| {
        // One of each kind will do: "Yaw of step 2" is as "Yaw of step 3", all entries of the library are
        // alike.
        let kind = |name: &str| -> String {
            for entry in ["Open ", "Take the steps of "] {
                if state.ends_with("Library") && name.starts_with(entry) {
                    return entry.to_owned();
                }
            }
            let same = |c: char| !c.is_ascii_digit() && c != ':';
            name.chars().take_while(|&c| same(c)).collect()
        };
        for (role, name, rect) in controls(window) {
            let name = name.unwrap_or_default();
            let kind = format!("{role:?} {}", kind(&name));
            if SPEAK_FOR_THEMSELVES.contains(&name.as_str()) || !done.insert(kind) {
                continue;
            }
            window.hover_at(rect.center());
            window.run_steps(12);
            let tooltip = window.ctx.memory(|m| {
                let mut layers = m.areas().visible_layer_ids().into_iter();
                layers.any(|layer| layer.order == Order::Tooltip)
            });
            if !tooltip {
                silent.insert(format!(
                    "{state}: {role:?} \u{201c}{name}\u{201d} at {:?}",
                    rect.center()
                ));
            }
            window.remove_cursor();
            window.run_steps(2);
        }
    });
    assert!(silent.is_empty(), "{silent:#?}");
    assert!(done.len() > 60, "only {} kinds of controls", done.len());
}
