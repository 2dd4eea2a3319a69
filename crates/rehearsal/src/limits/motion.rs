//! What a patient and a chair allow, held against the head's motion.

use lithodrome_chair::{HeadMotion, HeadPose, MoveProfile};

use super::breach::{Limit, LimitBreach, Whose, at_deg};
use super::watch::LimitWatch;
use crate::scenario::{Limits, Scenario};

/// Samples of every move. Even, so that the fastest moment in the middle is one of them.
const SAMPLES: usize = 400;

/// The limits of patient and chair that a motion breaks, for every step that breaks one at its worst.
pub fn all_breaches(scenario: &Scenario, motion: &HeadMotion) -> Vec<LimitBreach> {
    let owners = [
        (Whose::Patient, &scenario.limits),
        (Whose::Chair, &scenario.chair_limits),
    ];
    owners
        .into_iter()
        .filter_map(|(whose, limits)| Some((whose, limits.as_ref()?)))
        .flat_map(|(whose, limits)| limit_breaches(limits, whose, motion))
        .collect()
}

/// The limits that a motion breaks, for every step that breaks one at its worst; every throw is told.
pub fn limit_breaches(limits: &Limits, whose: Whose, motion: &HeadMotion) -> Vec<LimitBreach> {
    let mut watch = LimitWatch::new(*limits, whose);
    for (step, time_s) in sample_times(motion) {
        watch.see(step, &motion.at(time_s));
    }
    let mut breaches = watch.breaches(|step| name_of(motion, step));
    if limits.no_throw {
        breaches.extend(throws(whose, motion));
    }
    breaches
}

fn throws(whose: Whose, motion: &HeadMotion) -> Vec<LimitBreach> {
    let thrown = motion.moves().iter().enumerate().filter(|(k, m)| {
        matches!(m.profile, MoveProfile::Throw { .. }) && motion.steps[*k].move_s > 0.0
    });
    thrown
        .map(|(step, _)| {
            let times = motion.times()[step];
            let (from, to) = (motion.at(times.start_s), motion.at(times.hold_from_s));
            LimitBreach {
                limit: Limit::Throw,
                whose,
                step,
                step_name: name_of(motion, step),
                time_s: times.start_s,
                since_s: times.start_s,
                at_deg: at_deg(&from),
                found: turn_deg(&from, &to),
                allowed: 0.0,
            }
        })
        .collect()
}

/// The larger turn of yaw and track.
fn turn_deg(from: &HeadPose, to: &HeadPose) -> f64 {
    let ([yaw0, track0], [yaw1, track1]) = (at_deg(from), at_deg(to));
    (yaw1 - yaw0).abs().max((track1 - track0).abs())
}

fn name_of(motion: &HeadMotion, step: usize) -> String {
    motion
        .steps
        .get(step)
        .map_or_else(String::new, |s| s.name.clone())
}

/// Step and time: through every move, finely where something swings, then the end of its hold.
fn sample_times(motion: &HeadMotion) -> impl Iterator<Item = (usize, f64)> {
    motion.times().iter().enumerate().flat_map(|(k, t)| {
        let move_s = t.hold_from_s - t.start_s;
        let fine = move_s / motion.longest_step_s(t.start_s);
        let samples = SAMPLES.max(2 * (0.5 * fine).ceil() as usize);
        (0..=samples)
            .map(move |i| t.start_s + move_s * i as f64 / samples as f64)
            .chain([t.end_s])
            .map(move |time_s| (k, time_s))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::worst_of_each;
    use crate::units::chair_angles;
    use lithodrome_chair::{Lever, MoveProfile, Step};

    /// Upright, 120° back in 3 s, 30 s there, up in 3 s.
    fn hallpike() -> HeadMotion {
        let step = |name: &str, track_deg, hold_s| Step {
            name: name.to_owned(),
            to: chair_angles(45.0, track_deg, 0.0),
            move_s: 3.0,
            hold_s,
        };
        HeadMotion::new(
            chair_angles(45.0, 0.0, 0.0),
            vec![step("Back", 120.0, 30.0), step("Up", 0.0, 10.0)],
            MoveProfile::MinimumJerk,
            Lever::default(),
        )
        .unwrap()
    }

    fn only(limits: Limits) -> Option<LimitBreach> {
        worst_of_each(limit_breaches(&limits, Whose::Patient, &hallpike())).pop()
    }

    #[test]
    fn the_head_below_the_horizontal_is_measured_from_the_horizontal() {
        let head_down = |deg| Limits {
            head_down_deg: Some(deg),
            ..Limits::default()
        };
        let breach = only(head_down(20.0)).unwrap();
        assert!((breach.found - 30.0).abs() < 1e-9);
        assert_eq!(breach.step, 0);
        let words = breach.sentence();
        assert!(words.starts_with("step 1 (Back) at 3.0 s"), "{words}");
        assert!(words.contains("30.0°"), "{words}");
        assert_eq!(only(head_down(30.0)), None);
    }

    #[test]
    fn time_below_the_horizontal_is_from_crossing_to_crossing() {
        // Minimum jerk passes 90 of 120 degrees where 10 x³ - 15 x⁴ + 6 x⁵ = 3/4: x = 0.641166 by
        // bisection; before and after the hold the same.
        let expected_s = 30.0 + 2.0 * 3.0 * (1.0 - 0.641166);
        let inverted = |s| Limits {
            inverted_s: Some(s),
            ..Limits::default()
        };
        let breach = only(inverted(10.0)).unwrap();
        // Told at the end of the hold; getting up ends it and breaks nothing anew.
        let at_hold_end_s = 30.0 + 3.0 * (1.0 - 0.641166);
        assert!(
            (breach.found - at_hold_end_s).abs() < 0.01,
            "{}",
            breach.found
        );
        assert_eq!(breach.step, 0);
        // Allowed a second less than the whole: it is passed while getting up.
        let breach = only(inverted(expected_s - 0.5)).unwrap();
        assert!((breach.found - expected_s).abs() < 0.01, "{}", breach.found);
        assert_eq!(breach.step, 1);
        assert_eq!(only(inverted(33.0)), None);
    }

    #[test]
    fn speed_and_acceleration_are_those_of_minimum_jerk() {
        // Flash & Hogan 1985, J Neurosci 5:1688: peak speed 15/8 of the mean, peak acceleration
        // 10/√3 of angle/time².
        let breach = only(Limits {
            speed_deg_s: Some(1.0),
            ..Limits::default()
        })
        .unwrap();
        assert!((breach.found - 15.0 / 8.0 * 40.0).abs() < 1e-9);
        assert!((breach.time_s - 1.5).abs() < 1e-9);
        let breach = only(Limits {
            acceleration_deg_s2: Some(1.0),
            ..Limits::default()
        })
        .unwrap();
        let expected = 10.0 / 3_f64.sqrt() * 120.0 / 9.0;
        assert!((breach.found / expected - 1.0).abs() < 1e-3);
    }

    #[test]
    fn nothing_is_limited_by_default() {
        assert!(limit_breaches(&Limits::default(), Whose::Patient, &hallpike()).is_empty());
    }

    #[test]
    fn angle_and_first_moment_are_named() {
        // Minimum jerk passes 110 of 120 degrees (20° below the horizontal) where
        // 10 x³ − 15 x⁴ + 6 x⁵ = 11/12: x = 0.75 by 10·0.421875 − 15·0.316406 + 6·0.237305 = 0.8965 and
        // x = 0.77 by 0.9165; so 0.7702 · 3 s = 2.31 s.
        let breach = only(Limits {
            head_down_deg: Some(20.0),
            ..Limits::default()
        })
        .unwrap();
        assert!((breach.since_s - 2.31).abs() < 0.02, "{}", breach.since_s);
        let words = breach.sentence();
        assert!(
            words.ends_with("this patient allows 20.0°, beyond it since 2.3 s"),
            "{words}"
        );
    }

    #[test]
    fn yaw_to_either_side_and_throws_are_limited() {
        let yaw = |deg| Limits {
            yaw_deg: Some(deg),
            ..Limits::default()
        };
        let step = |yaw_deg, profile: MoveProfile| lithodrome_chair::MovedStep {
            name: "Swing".to_owned(),
            to: chair_angles(yaw_deg, 90.0, 0.0),
            move_s: 1.0,
            hold_s: 1.0,
            movement: profile.into(),
        };
        let motion = HeadMotion::in_chair(
            chair_angles(0.0, 90.0, 0.0),
            vec![
                step(-100.0, MoveProfile::MinimumJerk),
                step(20.0, MoveProfile::Throw { stop_share: 0.1 }),
            ],
            Lever::default(),
        )
        .unwrap();
        let breaches = limit_breaches(&yaw(90.0), Whose::Chair, &motion);
        assert_eq!((breaches.len(), breaches[0].limit), (1, Limit::Yaw));
        assert!((breaches[0].found - 100.0).abs() < 1e-9);
        assert!(breaches[0].sentence().contains("this chair allows 90.0°"));
        assert!(limit_breaches(&yaw(100.0), Whose::Chair, &motion).is_empty());
        let no_throw = Limits {
            no_throw: true,
            ..Limits::default()
        };
        let thrown = limit_breaches(&no_throw, Whose::Patient, &motion);
        assert_eq!(thrown.len(), 1);
        assert_eq!(
            thrown[0].sentence(),
            "step 2 (Swing) at 2.0 s: a throw turns 120.0°, this patient allows no throw"
        );
    }

    /// Two holds 30 and 20 degrees below the horizontal, allowed are 15; between them and after them the head only
    /// leaves where it was.
    #[test]
    fn every_step_that_breaks_a_limit_is_told_and_one_that_only_leaves_is_not() {
        let step = |name: &str, track_deg, hold_s| Step {
            name: name.to_owned(),
            to: chair_angles(45.0, track_deg, 0.0),
            move_s: 3.0,
            hold_s,
        };
        let steps = vec![
            step("Low", 120.0, 10.0),
            step("Less low", 110.0, 10.0),
            step("Up", 0.0, 10.0),
            step("Low again", 120.0, 10.0),
        ];
        let start = chair_angles(45.0, 0.0, 0.0);
        let motion =
            HeadMotion::new(start, steps, MoveProfile::MinimumJerk, Lever::default()).unwrap();
        let limits = Limits {
            head_down_deg: Some(15.0),
            ..Limits::default()
        };
        let all = limit_breaches(&limits, Whose::Patient, &motion);
        let told: Vec<_> = all.iter().map(|b| (b.step, b.found.round())).collect();
        assert_eq!(told, [(0, 30.0), (1, 20.0), (3, 30.0)]);
        let worst = worst_of_each(all);
        assert_eq!((worst.len(), worst[0].step), (1, 0));
    }

    #[test]
    fn a_watch_tells_the_moment_a_limit_is_passed_and_only_once() {
        let limits = Limits {
            head_down_deg: Some(20.0),
            ..Limits::default()
        };
        let motion = hallpike();
        let mut watch = LimitWatch::new(limits, Whose::Patient);
        let told: Vec<_> = (0..=460)
            .map(|i| f64::from(i) / 10.0)
            .filter_map(|t| Some((t, watch.see(motion.step_at(t), &motion.at(t))?)))
            .collect();
        assert_eq!(told, [(2.4, Limit::HeadDown)]);
    }
}
