//! The words under a picture that say which moment it shows, and of a film how fast it runs.

use crate::{score::axis::clock, session::command::EarShown, work::stage_data::Loaded};

/// "0:12.4 of 1:30.0 · step 2 of 5: Lie back, moving · right ear".
pub fn moment_words(loaded: &Loaded, time_s: f64, ears: EarShown) -> String {
    let time = format!("{} of {}", clock(time_s), clock(loaded.duration_s()));
    let step = loaded.step_at(time_s).map(|(i, moves)| {
        let of = loaded.step_times.len();
        let name = loaded.scenario.steps.get(i).map_or("", |s| s.name.as_str());
        let moves = if moves { ", moving" } else { "" };
        format!("step {} of {of}: {name}{moves}", i + 1)
    });
    let ears = match ears {
        EarShown::Right => "right ear",
        EarShown::Left => "left ear",
        EarShown::Both => "both ears",
    };
    let parts = [Some(time), step, Some(ears.to_owned())];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// "4 times real time"; of a film whose pictures are evenly spaced.
pub(super) fn speed_words(moments_s: &[f64], per_second: f64) -> String {
    let apart_s = match moments_s {
        [first, second, ..] => second - first,
        _ => 0.0,
    };
    let speed = apart_s * per_second;
    // Nobody reads more digits than two off a film.
    let digits = usize::from(speed < 9.95);
    let text = format!("{speed:.digits$}");
    let text = text.trim_end_matches(".0");
    format!("{text} times real time")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_speed_of_a_film_is_that_of_its_pictures() {
        // Ten pictures a second, 0.4 s of the run from one to the next.
        assert_eq!(speed_words(&[0.0, 0.4, 0.8], 10.0), "4 times real time");
        assert_eq!(speed_words(&[0.0, 0.05], 10.0), "0.5 times real time");
        assert_eq!(speed_words(&[0.0, 60.0], 10.0), "600 times real time");
    }
}
