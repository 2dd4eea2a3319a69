//! A day's plan in lines.

use std::fmt::Write;

use lithodrome_rehearsal::CAUTION;

use super::course::Course;
use super::day::DayPlan;
use super::fit::Fit;
use super::order::PlannedTest;

impl DayPlan {
    /// The plan in lines.
    pub fn text(&self) -> String {
        // Writing into a String does not fail.
        let mut text = format!(
            "Visit to {} on {}, {:.0} min\n",
            self.home, self.date, self.day_min
        );
        for p in &self.patients {
            let _ = writeln!(
                text,
                "\n{}: {:.0} min in the chair, {:.0} of them waiting",
                p.code, p.chair_min, p.wait_min
            );
            for caution in &p.cautions {
                let _ = writeln!(text, "  Caution, {caution}");
            }
            let b = &p.balance;
            let _ = writeln!(
                text,
                "  Seat: hips {:.0} cm below and {:.0} cm behind the middle of the track; {:.0} cm off it takes {:.0} N at the rim, allowed are {:.0} N (up to {:.1} cm off); local rules apply",
                b.hips_below_middle_cm,
                b.hips_behind_middle_cm,
                b.off_cm,
                b.rim_force_n,
                b.allowed_n,
                b.allowed_off_cm
            );
            text.push_str("  Tests in order\n");
            for test in p.tests.iter().chain(&p.then) {
                planned(&mut text, test);
            }
            if let Some(course) = &p.course {
                course_text(&mut text, course);
            }
            for (suspected, fits) in &p.treatments {
                let _ = writeln!(text, "  Treatments of the {}", suspected.id().name());
                for fit in fits {
                    treatment(&mut text, fit);
                }
            }
        }
        let _ = writeln!(text, "\n{CAUTION}");
        text
    }
}

fn course_text(text: &mut String, course: &Course) {
    let _ = writeln!(text, "  Several canals. {}", course.why);
    for (i, (suspected, title)) in course.order.iter().enumerate() {
        let canal = suspected.id().name();
        let _ = writeln!(text, "    {}. {canal}: {title}", i + 1);
    }
    for effect in &course.effects {
        let mark = if effect.harms { "Beware: " } else { "" };
        let _ = writeln!(text, "    {mark}{}", effect.sentence());
    }
    let _ = writeln!(text, "    The whole course: {}", course.ends);
}

fn planned(text: &mut String, test: &PlannedTest) {
    let _ = writeln!(text, "    {} ({})", test.words, test.time_words());
    if let Some(fit) = test.fit.as_ref().filter(|f| !f.fits()) {
        for refusal in &fit.refused_in_chair {
            let _ = writeln!(
                text,
                "      left out: {}; needs {}",
                refusal.reason, refusal.change
            );
        }
    }
}

fn treatment(text: &mut String, fit: &Fit) {
    let share = fit
        .share
        .map_or_else(String::new, |s| format!(", {}", s.words()));
    let fits = if fit.fits() { "fits" } else { "does not fit" };
    let _ = writeln!(
        text,
        "    {}: {fits}{share}; head {:.0}° below the horizontal, {:.0} s in one go, {:.0}°/s",
        fit.title, fit.head_down_deg, fit.inverted_s, fit.speed_deg_s
    );
    for refusal in &fit.refused_in_chair {
        let _ = writeln!(text, "      {}; needs {}", refusal.reason, refusal.change);
    }
    if let Some(slowed) = &fit.slowed {
        let _ = writeln!(text, "      {}", slowed.words());
    }
    for refusal in &fit.refused_at_bedside {
        let _ = writeln!(
            text,
            "      not at the bedside: {}; needs {}",
            refusal.reason, refusal.change
        );
    }
}
