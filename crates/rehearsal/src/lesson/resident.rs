//! A resident who follows the textbook: which tests, in which order, and what is named from the eyes
//! alone. It is a yardstick for the cases, and the example that a debrief compares with.

use lithodrome_labyrinth::{Canal, CanalId, Ear};

use super::act::{Act, Part};
use super::diagnosis::{Diagnosis, Lesion, LesionKind};
use super::seen::Seen;

/// How long a resident stays in each position, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patience {
    /// In a test position.
    pub hold_s: f64,
    /// Upright between two tests.
    pub rest_s: f64,
    /// How often each test is done.
    pub rounds: usize,
}

impl Patience {
    /// A minute everywhere and every test twice, as textbooks ask.
    pub const TEXTBOOK: Patience = Patience {
        hold_s: 60.0,
        rest_s: 60.0,
        rounds: 2,
    };

    /// On with the next position as soon as the chair has come to rest and the eyes have been glanced
    /// at, 3 s (assumed), and no test a second time.
    pub const NEVER_WAITS: Patience = Patience {
        hold_s: 3.0,
        rest_s: 1.0,
        rounds: 1,
    };
}

const UPRIGHT: &str = "Upright";
const SUPINE: &str = "Supine, head 30° up";
const HEAD_HANGING: &str = "Straight head-hanging";
const LEAN: &str = "Lean back by 60°";
const BOW: &str = "Bow, face down";

fn dix_hallpike(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Right Dix-Hallpike",
        Ear::Left => "Left Dix-Hallpike",
    }
}

fn ear_down(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Right ear down",
        Ear::Left => "Left ear down",
    }
}

fn sat_up_from(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Sit up from the right",
        Ear::Left => "Sit up from the left",
    }
}

/// All tests in the textbook's order: upright, Dix-Hallpike on the right and on the left and each once
/// more, supine roll to both sides twice, bow and lean, straight head-hanging. The first roll to a side
/// finds the debris elsewhere than the second one does, so that only the repeated ones compare.
pub fn test_acts(patience: Patience) -> Vec<Act> {
    let Patience {
        hold_s,
        rest_s,
        rounds,
    } = patience;
    let mut acts = vec![Act::to(UPRIGHT, 0.0, 0.0, 0.0, hold_s / 2.0)];
    for _ in 0..rounds {
        for ear in [Ear::Right, Ear::Left] {
            let (yaw_deg, track_deg) = match ear {
                Ear::Right => (45.0, 120.0),
                Ear::Left => (-45.0, -120.0),
            };
            acts.extend([
                Act::to("Turn", yaw_deg, 0.0, 2.0, 2.0),
                Act::to(dix_hallpike(ear), yaw_deg, track_deg, 2.0, hold_s),
                Act::to(sat_up_from(ear), yaw_deg, 0.0, 2.0, rest_s),
            ]);
        }
    }
    acts.push(Act::to("Turn", 90.0, 0.0, 4.0, 2.0));
    for _ in 0..rounds {
        acts.extend([
            Act::to(SUPINE, 90.0, 60.0, 1.5, hold_s),
            Act::to(ear_down(Ear::Right), 0.0, 90.0, 1.5, hold_s),
            Act::to("Back to supine", 90.0, 60.0, 1.5, hold_s),
            Act::to(ear_down(Ear::Left), 180.0, 90.0, 1.5, hold_s),
        ]);
    }
    acts.extend([
        Act::to("Supine again", 90.0, 60.0, 1.5, hold_s),
        Act::to("Sit up from the roll", 90.0, 0.0, 2.0, rest_s),
        Act::to(BOW, 90.0, -90.0, 1.5, hold_s / 2.0),
        Act::to("Upright after bowing", 90.0, 0.0, 1.5, rest_s / 2.0),
        Act::to(LEAN, 90.0, 60.0, 1.0, hold_s / 2.0),
        Act::to("Upright after leaning", 90.0, 0.0, 1.0, rest_s / 2.0),
        Act::to(HEAD_HANGING, 90.0, 120.0, 2.0, hold_s),
        Act::to("Sit up at the end", 90.0, 0.0, 2.0, rest_s),
    ]);
    acts
}

/// What the textbook makes of what was seen in [`test_acts`]. It knows nothing but `seen`.
pub fn named_by(seen: &[Seen]) -> Diagnosis {
    let eyes = Eyes(seen);
    let mut lesions = Vec::new();
    lesions.extend(eyes.lateral());
    lesions.extend(eyes.vertical_canals(!lesions.is_empty()));
    if lesions.is_empty() {
        lesions.extend(eyes.felt_only());
    }
    Diagnosis::new(lesions)
}

/// Strongest first of a position that was held more than once.
struct Eyes<'a>(&'a [Seen]);

/// A nystagmus that takes longer than this to fall to 1/e lasts, s: Imai 2015, BMJ Open (35 s).
const LASTING_TAU_S: f64 = 35.0;

/// The stronger side must be stronger by this factor to count (assumed).
const CLEARLY_STRONGER: f64 = 1.15;

/// What is weaker than this share of the strongest nystagmus of all positions names no further canal
/// (assumed).
const WEAK_SHARE: f64 = 0.15;

impl Eyes<'_> {
    fn strongest(&self, name: &str) -> Option<&Seen> {
        self.0
            .iter()
            .filter(|s| s.name == name && s.part == Part::Test)
            .max_by(|a, b| {
                let speed = |s: &Seen| s.finding.peak_spv_rad_s;
                speed(a).total_cmp(&speed(b))
            })
    }

    /// Fast phase at the peak, rad/s: up, upper pole right, right; zero if nothing is seen.
    fn components(&self, name: &str) -> [f64; 3] {
        self.strongest(name)
            .filter(|s| s.finding.is_seen())
            .map_or([0.0; 3], |s| s.finding.peak_components_rad_s)
    }

    fn shows(&self, name: &str) -> bool {
        self.strongest(name).is_some_and(|s| s.finding.is_seen())
    }

    /// The horizontal beat where it is the strongest, + right, rad/s.
    fn horizontal(&self, name: &str) -> f64 {
        let [up, torsion, right] = self.components(name);
        if self.is_weak(name) {
            0.0
        } else if right.abs() > up.abs().max(torsion.abs()) {
            right
        } else {
            0.0
        }
    }

    /// It was watched to the end of the hold and hardly fell.
    fn lasts(&self, name: &str) -> bool {
        self.strongest(name).is_some_and(|s| {
            let finding = &s.finding;
            finding.is_seen()
                && finding.seen_at_end
                && finding.duration_s >= LASTING_TAU_S
                && finding.decay_tau_s.is_none_or(|tau| tau > LASTING_TAU_S)
        })
    }

    /// Supine roll: geotropic or apogeotropic, passing or lasting, stronger on which side.
    fn lateral(&self) -> Option<Lesion> {
        let [right, left] = [Ear::Right, Ear::Left].map(|ear| self.horizontal(ear_down(ear)));
        // + toward the ground on both sides.
        let geotropic = right - left;
        if geotropic == 0.0 {
            return None;
        }
        let is_geotropic = geotropic > 0.0;
        // Beats that do not fit the sense count nothing.
        let strength = |toward_ground: f64| {
            if (toward_ground > 0.0) == is_geotropic {
                toward_ground.abs()
            } else {
                0.0
            }
        };
        let [right, left] = [strength(right), strength(-left)];
        let stronger = if right > CLEARLY_STRONGER * left {
            Some(Ear::Right)
        } else if left > CLEARLY_STRONGER * right {
            Some(Ear::Left)
        } else {
            None
        };
        let lasts = [Ear::Right, Ear::Left]
            .iter()
            .all(|ear| self.lasts(ear_down(*ear)));
        let kind = match (is_geotropic, lasts) {
            (true, false) => LesionKind::NonAmpullaryArm,
            (true, true) => LesionKind::LightCupula,
            (false, false) => LesionKind::AmpullaryArm,
            (false, true) => LesionKind::Cupula,
        };
        let ear = match stronger {
            Some(ear) if is_geotropic => ear,
            Some(ear) => ear.other(),
            None => self.side_by_leaning(is_geotropic)?,
        };
        Some(Lesion::new(
            CanalId {
                ear,
                canal: Canal::Lateral,
            },
            kind,
        ))
    }

    /// On lying down and leaning back the geotropic form beats toward the healthy ear, the apogeotropic
    /// one toward the ill ear; on bowing the other way (Choung 2006, Laryngoscope 116:1776).
    fn side_by_leaning(&self, is_geotropic: bool) -> Option<Ear> {
        let back = self.horizontal(SUPINE) + self.horizontal(LEAN) - self.horizontal(BOW);
        if back == 0.0 {
            return None;
        }
        let beats_to = if back > 0.0 { Ear::Right } else { Ear::Left };
        Some(if is_geotropic {
            beats_to.other()
        } else {
            beats_to
        })
    }

    /// Vertical and torsional beats: up with torsion toward an ear is its posterior canal, down is the
    /// anterior one of the ear the upper poles beat toward.
    fn vertical_canals(&self, lateral_too: bool) -> Vec<Lesion> {
        let mut lesions = Vec::new();
        for ear in [Ear::Right, Ear::Left] {
            let name = dix_hallpike(ear);
            let [up, torsion_right, _] = self.components(name);
            let toward_ear = match ear {
                Ear::Right => torsion_right,
                Ear::Left => -torsion_right,
            };
            if self.is_vertical(name) && up > 0.0 && toward_ear > 0.0 && !self.is_weak(name) {
                lesions.push(Lesion::new(
                    CanalId {
                        ear,
                        canal: Canal::Posterior,
                    },
                    if self.lasts(name) {
                        LesionKind::Cupula
                    } else {
                        LesionKind::AmpullaryArm
                    },
                ));
            }
        }
        if lesions.is_empty() && !lateral_too {
            lesions.extend(self.downbeat());
            lesions.extend(self.on_sitting_up());
            lesions.truncate(1);
        }
        lesions
    }

    fn is_vertical(&self, name: &str) -> bool {
        let [up, torsion, right] = self.components(name);
        up.abs().max(torsion.abs()) >= right.abs() && up.abs() > 0.0
    }

    fn is_weak(&self, name: &str) -> bool {
        let speed = |s: &Seen| s.finding.peak_spv_rad_s;
        let most = self.0.iter().map(speed).fold(0.0, f64::max);
        self.strongest(name)
            .is_none_or(|seen| speed(seen) < WEAK_SHARE * most)
    }

    fn downbeat(&self) -> Option<Lesion> {
        let positions = [
            HEAD_HANGING,
            dix_hallpike(Ear::Right),
            dix_hallpike(Ear::Left),
        ];
        let down = positions
            .iter()
            .filter(|name| self.is_vertical(name) && self.components(name)[0] < 0.0)
            .max_by(|a, b| {
                let down = |name: &str| -self.components(name)[0];
                down(a).total_cmp(&down(b))
            })?;
        let ear = if self.components(down)[1] >= 0.0 {
            Ear::Right
        } else {
            Ear::Left
        };
        let kind = if self.lasts(down) {
            LesionKind::Cupula
        } else {
            LesionKind::AmpullaryArm
        };
        Some(Lesion::new(
            CanalId {
                ear,
                canal: Canal::Anterior,
            },
            kind,
        ))
    }

    /// Nothing lying down, something on sitting up: the short arm of a posterior canal (Büki 2014, Otol
    /// Neurotol 35:323).
    fn on_sitting_up(&self) -> Option<Lesion> {
        let lying = [Ear::Right, Ear::Left]
            .iter()
            .any(|ear| self.shows(dix_hallpike(*ear)));
        if lying {
            return None;
        }
        let up = [Ear::Right, Ear::Left]
            .iter()
            .map(|ear| self.components(sat_up_from(*ear)))
            .max_by(|a, b| a[0].abs().total_cmp(&b[0].abs()))?;
        if up[0] == 0.0 {
            return None;
        }
        let ear = if up[1] >= 0.0 { Ear::Right } else { Ear::Left };
        Some(Lesion::new(
            CanalId {
                ear,
                canal: Canal::Posterior,
            },
            LesionKind::ShortArm,
        ))
    }

    /// No eye showed anything: the position in which the patient felt it names the canal.
    fn felt_only(&self) -> Option<Lesion> {
        let felt = |name: &str| {
            self.0
                .iter()
                .any(|s| s.name == name && s.vertigo && !s.finding.is_seen())
        };
        if self.0.iter().any(|s| s.finding.is_seen()) {
            return None;
        }
        let only = |names: [&str; 2]| match names.map(felt) {
            [true, false] => Some(Ear::Right),
            [false, true] => Some(Ear::Left),
            _ => None,
        };
        let by_dix_hallpike = only([dix_hallpike(Ear::Right), dix_hallpike(Ear::Left)])
            .map(|ear| (ear, Canal::Posterior, LesionKind::AmpullaryArm));
        let by_roll = only([ear_down(Ear::Right), ear_down(Ear::Left)])
            .map(|ear| (ear, Canal::Lateral, LesionKind::NonAmpullaryArm));
        let (ear, canal, kind) = by_dix_hallpike.or(by_roll)?;
        Some(Lesion::new(CanalId { ear, canal }, kind))
    }
}
