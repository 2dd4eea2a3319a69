//! A manoeuvre judged: the one word for the whole run, what it rests on, and both in sentences.

use serde::Serialize;

use super::verdict::{NearestMiss, Verdict};

/// How a whole run is judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// In one word.
    pub verdict: Verdict,
    /// Bodies that are out once the patient has sat for a minute.
    pub out: usize,
    /// Bodies in all.
    pub of: usize,
    /// Canals where what switched is, such as "right anterior".
    pub switched_to: Vec<String>,
    /// Canals where what is passing is at the end of the manoeuvre.
    pub passing_in: Vec<String>,
    /// Bodies that friction holds near a divide.
    pub held: usize,
    /// Bodies in a short arm once the patient has sat.
    pub behind_cupula: usize,
    /// Where the bodies are once the patient has sat, such as "right posterior duct", and how many.
    pub places: Vec<(String, usize)>,
    /// When the manoeuvre ends, s.
    pub end_s: f64,
    /// When debris first came into a canal where it did not begin, s; `None` if none did.
    pub entered_other_s: Option<f64>,
    /// When the last body left, if all are out and one left during the run or the minute of sitting.
    pub exit: Option<Exit>,
    /// How much nearer to the exit the bodies still inside are, mm, on average; `None` if there are none.
    pub gained_mm: Option<f64>,
    /// How near debris came to the divide of a wrong canal in the manoeuvre.
    pub nearest_miss: Option<NearestMiss>,
    /// Nystagmus is seen while the patient waits upright.
    pub seen_sitting: bool,
    /// The control tests after 15 min upright.
    pub control_tests: Vec<ControlTest>,
}

/// When the last body left its canal.
#[derive(Clone, Debug, PartialEq)]
pub struct Exit {
    /// Time, s.
    pub time_s: f64,
    /// Step, counted from 0; the number of steps if it left while the patient sat afterwards.
    pub step: usize,
    /// Name of that step.
    pub step_name: String,
    /// The part that it left through, such as "right common crus".
    pub through: String,
    /// How much of that step's hold was left, s.
    pub spare_s: f64,
}

/// A control test after the manoeuvre.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ControlTest {
    /// Title of the test.
    pub title: String,
    /// Nystagmus is seen in one of its holds.
    pub seen: bool,
    /// The strongest of what is seen, as a sentence.
    pub sentence: String,
}

/// A part of what is said of a run, and the moment that it leads to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Phrase {
    /// Words without a full stop.
    pub text: String,
    /// When, s from the start of the run; `None` if it is about many runs or about no moment of this one.
    pub time_s: Option<f64>,
}

impl Judged {
    /// What is said of the whole run, the verdict's word first.
    pub fn phrases(&self) -> Vec<Phrase> {
        let phrase = |text: String| at(text, self.end_s);
        let entered = |text: String| at(text, self.entered_other_s.unwrap_or(self.end_s));
        let mut all = vec![phrase(capital(self.verdict.name()))];
        let of = self.of;
        match self.verdict {
            Verdict::Cleared if of == 0 => all.push(phrase("no debris".to_owned())),
            Verdict::Cleared => {
                all.push(self.left());
                all.extend(self.after_waiting());
            }
            Verdict::Passing => all.push(entered(format!(
                "past the crus in the {} canal, returns on sitting",
                self.passing_in.join(" and ")
            ))),
            Verdict::Switched => all.push(entered(format!(
                "debris is in the {} canal",
                self.switched_to.join(" and ")
            ))),
            Verdict::Held => all.push(phrase(format!(
                "{} of {of} near a divide, where only friction keeps it",
                self.held
            ))),
            Verdict::BehindTheCupula => {
                all.push(phrase(format!(
                    "{} of {of} in a short arm",
                    self.behind_cupula
                )));
                all.extend(self.after_waiting());
            }
            Verdict::MovedOn => {
                all.push(phrase(self.moved()));
                if self.out == of {
                    all.extend(self.after_waiting());
                }
            }
            Verdict::Unchanged | Verdict::Depends => {}
        }
        if self.verdict != Verdict::Cleared && of > 0 {
            all.push(phrase(format!("after sitting {}", self.where_they_are())));
        }
        all.extend(self.near_miss());
        all
    }

    /// The phrases as one sentence.
    pub fn sentence(&self) -> String {
        as_sentence(&self.phrases())
    }

    /// Where the pieces are once the patient has sat: "6 in the right utricle, 2 in the right posterior duct".
    pub fn where_they_are(&self) -> String {
        let parts: Vec<String> = self
            .places
            .iter()
            .map(|(place, n)| {
                let on = if place.ends_with("cupula") {
                    "on"
                } else {
                    "in"
                };
                format!("{n} {on} the {place}")
            })
            .collect();
        parts.join(", ")
    }

    fn left(&self) -> Phrase {
        let of = self.of;
        let Some(exit) = &self.exit else {
            return at(format!("all {of} out"), self.end_s);
        };
        Phrase {
            text: format!(
                "all {of} out at {:.0} s through the {} in step {} ({}), {:.0} s to spare",
                exit.time_s,
                exit.through,
                exit.step + 1,
                exit.step_name,
                exit.spare_s
            ),
            time_s: Some(exit.time_s),
        }
    }

    fn after_waiting(&self) -> Vec<Phrase> {
        let mut all = Vec::new();
        if self.seen_sitting {
            let words = "nystagmus is seen while the patient sits".to_owned();
            all.push(at(words, self.end_s));
        }
        for test in &self.control_tests {
            let shows = if test.seen {
                test.sentence.trim_end_matches('.')
            } else {
                "nothing seen"
            };
            let words = format!("after 15 min upright, {}: {shows}", test.title);
            all.push(at(words, self.end_s));
        }
        all
    }

    fn moved(&self) -> String {
        match self.gained_mm {
            _ if self.out > 0 => format!("{} of {} out, which is no success", self.out, self.of),
            Some(mm) if mm > 0.0 => {
                format!("{mm:.1} mm nearer the exit on average, which is no success")
            }
            _ => "debris has let go of the cupula".to_owned(),
        }
    }

    fn near_miss(&self) -> Option<Phrase> {
        let miss = self.nearest_miss.as_ref()?;
        let told = !matches!(self.verdict, Verdict::Switched) && miss.mm < 1.0;
        told.then(|| Phrase {
            text: format!(
                "{:.1} mm short of the divide of the {} canal at {:.0} s, for {:.0} s within 1 mm",
                miss.mm, miss.canal, miss.time_s, miss.seconds
            ),
            time_s: Some(miss.time_s),
        })
    }
}

impl Phrase {
    /// Words about the whole.
    pub(crate) fn of_all(text: impl Into<String>) -> Phrase {
        Phrase {
            text: text.into(),
            time_s: None,
        }
    }
}

/// Phrases as one sentence, the first before a colon.
pub(crate) fn as_sentence(phrases: &[Phrase]) -> String {
    let texts: Vec<&str> = phrases.iter().map(|p| p.text.as_str()).collect();
    match texts.split_first() {
        Some((word, [])) => format!("{word}."),
        Some((word, rest)) => format!("{word}: {}.", rest.join("; ")),
        None => String::new(),
    }
}

/// What follows the run leads to its end.
fn at(text: String, time_s: f64) -> Phrase {
    Phrase {
        text,
        time_s: Some(time_s),
    }
}

pub(crate) fn capital(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

/// A made outcome, for tests.
#[cfg(test)]
pub(crate) fn judged_as(verdict: Verdict) -> Judged {
    Judged {
        verdict,
        out: 6,
        of: 8,
        switched_to: vec!["right anterior".to_owned()],
        passing_in: vec!["right anterior".to_owned()],
        held: 2,
        behind_cupula: 6,
        places: vec![
            ("right utricle".to_owned(), 6),
            ("right posterior cupula".to_owned(), 2),
        ],
        end_s: 120.0,
        entered_other_s: None,
        exit: None,
        gained_mm: Some(1.24),
        nearest_miss: None,
        seen_sitting: false,
        control_tests: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_cleared_says_where_the_pieces_are() {
        assert_eq!(
            judged_as(Verdict::MovedOn).sentence(),
            "Moved on: 6 of 8 out, which is no success; after sitting 6 in the right utricle, 2 on the \
             right posterior cupula."
        );
        assert_eq!(
            judged_as(Verdict::Passing).sentence(),
            "Passing: past the crus in the right anterior canal, returns on sitting; after sitting 6 in \
             the right utricle, 2 on the right posterior cupula."
        );
    }

    #[test]
    fn an_exit_and_a_near_miss_lead_to_their_moments() {
        let mut cleared = judged_as(Verdict::Cleared);
        cleared.exit = Some(Exit {
            time_s: 75.4,
            step: 4,
            step_name: "Sit up".to_owned(),
            through: "right common crus".to_owned(),
            spare_s: 12.3,
        });
        cleared.nearest_miss = Some(NearestMiss {
            canal: "right anterior".to_owned(),
            mm: 0.42,
            seconds: 3.4,
            time_s: 61.0,
        });
        let phrases = cleared.phrases();
        assert_eq!(
            phrases[1].text,
            "all 8 out at 75 s through the right common crus in step 5 (Sit up), 12 s to spare"
        );
        assert_eq!(phrases[1].time_s, Some(75.4));
        assert_eq!(phrases[2].time_s, Some(61.0));
    }
}
