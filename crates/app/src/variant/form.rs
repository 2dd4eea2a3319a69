//! The form of a question about many ears, as it is filled in.

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{Mechanism, Scenario};
use lithodrome_study::USUAL;

/// What is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Asked {
    /// Whether one sequence clears most ears.
    #[default]
    MostEars,
    /// Which of several asks less of the patient, and what that costs.
    Gentler,
    /// What can be done within this patient's limits.
    WithinLimits,
}

impl Asked {
    /// All.
    pub const ALL: [Asked; 3] = [Asked::MostEars, Asked::Gentler, Asked::WithinLimits];

    /// The question.
    pub const fn words(self) -> &'static str {
        match self {
            Asked::MostEars => "Does it clear most ears?",
            Asked::Gentler => "Which one is gentler?",
            Asked::WithinLimits => "Is there one without inversion?",
        }
    }

    /// What the answer will be.
    pub const fn tip(self) -> &'static str {
        match self {
            Asked::MostEars => {
                "One sequence in many ears, with many sizes of debris and an operator who is a little off"
            }
            Asked::Gentler => {
                "Two or more sequences in the same ears, beside what each asks of the patient"
            }
            Asked::WithinLimits => {
                "Every treatment of this canal in the same ears; then the best within the limits of this patient"
            }
        }
    }
}

/// Where a sequence is taken from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Source {
    /// The open scenario as it is now.
    #[default]
    Draft,
    /// An entry of the library, by its place in it.
    Library(usize),
}

/// What a sweep varies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Varied {
    /// Time at rest.
    Hold,
    /// How far the crown is below the horizontal.
    BelowHorizontal,
    /// Speed of the moves.
    Speed,
    /// Stops on the way.
    StopEvery,
    /// Size of the debris.
    Diameter,
}

impl Varied {
    /// All.
    pub const ALL: [Varied; 5] = [
        Varied::Hold,
        Varied::BelowHorizontal,
        Varied::Speed,
        Varied::StopEvery,
        Varied::Diameter,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Varied::Hold => "hold",
            Varied::BelowHorizontal => "head below horizontal",
            Varied::Speed => "speed of moves",
            Varied::StopEvery => "a stop every",
            Varied::Diameter => "diameter of debris",
        }
    }

    /// The unit of its values.
    pub const fn unit(self) -> &'static str {
        match self {
            Varied::Hold => " s",
            Varied::BelowHorizontal | Varied::StopEvery => "°",
            Varied::Speed => "°/s",
            Varied::Diameter => " µm",
        }
    }

    /// A usual range.
    pub const fn range(self) -> (f64, f64) {
        match self {
            Varied::Hold => (10.0, 40.0),
            Varied::BelowHorizontal => (0.0, 45.0),
            Varied::Speed => (15.0, 90.0),
            Varied::StopEvery => (30.0, 90.0),
            Varied::Diameter => (20.0, 80.0),
        }
    }
}

/// One axis of a sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VaryForm {
    /// What is varied; nothing if `None`.
    pub what: Option<Varied>,
    /// First value.
    pub from: f64,
    /// Last value.
    pub to: f64,
    /// How many values.
    pub points: u32,
}

impl Default for VaryForm {
    fn default() -> Self {
        VaryForm {
            what: None,
            from: 10.0,
            to: 40.0,
            points: 4,
        }
    }
}

/// What a patient can bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Farthest that the crown may be below the horizontal, degrees; above it if negative.
    pub lowest_head_deg: f64,
    /// Longest time with the crown below the horizontal, s.
    pub inverted_s: f64,
    /// Most holds, sitting at the beginning and the end not counted.
    pub holds: u32,
    /// Mean speed of a move about the yaw axis, deg/s.
    pub yaw_deg_s: f64,
    /// The same about the track's.
    pub track_deg_s: f64,
}

/// Where a search takes the debris to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Whereabouts {
    /// In the canal that is asked about.
    #[default]
    Canal,
    /// In one of the canals of its ear, nobody knows which.
    Ear,
    /// In that canal of both ears.
    BothEars,
}

impl Whereabouts {
    /// All, the usual one first.
    pub const ALL: [Whereabouts; 3] = [Whereabouts::Canal, Whereabouts::Ear, Whereabouts::BothEars];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Whereabouts::Canal => "this canal",
            Whereabouts::Ear => "this ear, canal unknown",
            Whereabouts::BothEars => "this canal of both ears",
        }
    }
}

impl Default for Limits {
    /// Lying flat, four holds (assumed).
    fn default() -> Self {
        Limits {
            lowest_head_deg: 0.0,
            inverted_s: 600.0,
            holds: 4,
            yaw_deg_s: 40.0,
            track_deg_s: 40.0,
        }
    }
}

/// The form.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// What is asked.
    pub asked: Asked,
    /// The sequence, or the first of several.
    pub first: Source,
    /// Those beside it.
    pub others: Vec<Source>,
    /// The canal that has debris; that of the open scenario if `None`.
    pub canal: Option<CanalId>,
    /// Where the debris is; the mixture's places if `None`.
    pub place: Option<Mechanism>,
    /// How many ears.
    pub ears: u32,
    /// Seed of all draws.
    pub seed: u32,
    /// The mixture's name or path.
    pub mixture: String,
    /// Every run is followed to the control test.
    pub with_control: bool,
    /// What is varied.
    pub vary: [VaryForm; 2],
    /// Steps that are varied, counted from 1; those in which the patient lies if empty.
    pub steps: String,
    /// Spacing of the angles that a search tries, degrees.
    pub grid_deg: f64,
    /// The success whose contour is drawn, of 100 ears.
    pub wanted: f64,
    /// What the patient can bear.
    pub limits: Limits,
    /// Where a search takes the debris to be.
    pub whereabouts: Whereabouts,
    /// Flexion of the headrest in a search, degrees; it stays.
    pub headrest_deg: f64,
}

impl Default for Form {
    fn default() -> Self {
        Form {
            asked: Asked::default(),
            first: Source::default(),
            others: vec![Source::Draft],
            canal: None,
            place: None,
            ears: 400,
            seed: 1,
            mixture: USUAL.to_owned(),
            with_control: false,
            vary: [VaryForm::default(); 2],
            steps: String::new(),
            grid_deg: 15.0,
            wanted: 80.0,
            limits: Limits::default(),
            whereabouts: Whereabouts::default(),
            headrest_deg: 0.0,
        }
    }
}

impl Form {
    /// The canal that has debris: as chosen, else the first of the open scenario.
    pub fn canal_of(&self, draft: Option<&Scenario>) -> CanalId {
        let of_draft = || {
            let entry = draft?.debris.first()?;
            Some(CanalId {
                ear: entry.ear,
                canal: entry.canal,
            })
        };
        self.canal.or_else(of_draft).unwrap_or(CanalId {
            ear: Ear::Right,
            canal: Canal::Posterior,
        })
    }

    /// Something is varied.
    pub fn varies(&self) -> bool {
        self.asked == Asked::MostEars && self.vary.iter().any(|axis| axis.what.is_some())
    }
}
