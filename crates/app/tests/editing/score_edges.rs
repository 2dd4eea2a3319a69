//! Edges of steps dragged in the score, and the cursor that stays.

use super::*;

#[test]
fn an_edge_in_the_score_is_dragged_to_another_time() {
    let mut window = open(Origin::Shipped);
    let score = window.get_by_label("Time in the score").rect();
    let shown = session(&window).shown.clone().unwrap();
    // The lanes lie between 104 points of labels and 96 of values; the run is 131 s long.
    let s_per_point = 131.0 / f64::from(score.width() - 200.0);
    let drag = |window: &mut Window, edge: &str, by: f32| {
        let from = window.get_by_label(edge).rect().center();
        let to = from + egui::vec2(by, 0.0);
        window.hover_at(from);
        window.run();
        window.drag_at(from);
        window.run();
        window.hover_at(to);
        window.run();
        window.drop_at(to);
        settle(window);
    };
    let by = (8.0 / s_per_point) as f32;
    drag(&mut window, "End of the hold of step 2", by);
    let mut expected = shown.scenario.clone();
    expected.steps[1].hold_s = 38.0;
    assert_eq!(draft(&window), expected);
    assert_eq!(session(&window).shown.as_ref().unwrap().scenario, expected);
    assert!(time_s(&window).abs() < 1e-12, "the cursor stays");
    apply(&mut window, Command::Edit(EditCommand::Undo));
    drag(&mut window, "End of the move of step 3", -by);
    expected = shown.scenario.clone();
    // 3 s less 8 s is no time at all, which is not a move: it is told, not done.
    expected.steps[2].move_s = 0.0;
    assert_eq!(draft(&window), expected);
    let fault = session(&window).draft.as_ref().unwrap().fault.clone();
    assert!(
        fault
            .unwrap()
            .words
            .contains("step 3, time of the move: found 0")
    );
}

#[test]
fn the_cursor_stays_where_it_is_when_a_step_changes() {
    let mut window = open(Origin::Shipped);
    apply(&mut window, Command::Play(PlayCommand::Seek(60.0)));
    apply(
        &mut window,
        Command::View(ViewCommand::ShowTab(CaseTab::Steps)),
    );
    window.get_by_label_contains("At the cursor, to step 3: as planned");
    type_into(&mut window, "Hold time of step 5", "25");
    assert!((session(&window).playback.time_s - 60.0).abs() < 1e-9);
    assert!((session(&window).playback.duration_s - 136.0).abs() < 1e-9);
}

#[test]
fn the_step_that_was_clicked_in_the_score_is_the_one_that_keys_act_on() {
    let mut window = open(Origin::Shipped);
    window.key_press(Key::F3);
    window.run();
    let before = draft(&window);
    assert_eq!(session(&window).draft.as_ref().unwrap().chosen, 0);
    // In the middle of the band, between the edges of step 3.
    let from = window.get_by_label("End of the move of step 3").rect();
    let to = window.get_by_label("End of the hold of step 3").rect();
    let at = from.center() + (to.center() - from.center()) * 0.5;
    window.hover_at(at);
    window.run();
    // A press that lasts long is no click.
    window.drag_at(at);
    window.step();
    window.drop_at(at);
    settle(&mut window);
    assert_eq!(session(&window).draft.as_ref().unwrap().chosen, 2);
    window.key_press(Key::Delete);
    settle(&mut window);
    let mut expected = before;
    expected.steps.remove(2);
    assert_eq!(draft(&window), expected);
}
