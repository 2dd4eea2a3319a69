//! The published rules that lead from what eyes do in positions to canals. They know nothing but the eyes.

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_nystagmus::Finding;

use super::diagnosis::{Diagnosis, Lesion, LesionKind};
use super::test_position::TestPosition;

/// One hold.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Watched<'a> {
    /// `None` if no rule is about it.
    pub(crate) position: Option<TestPosition>,
    pub(crate) finding: &'a Finding,
    /// The patient feels turning in it.
    pub(crate) felt: bool,
}

/// All that was watched. Of a position that was held more than once the strongest counts.
pub(crate) struct Eyes<'a>(pub(crate) Vec<Watched<'a>>);

/// A nystagmus that takes longer than this to fall to 1/e lasts, s: Imai 2015, BMJ Open (35 s).
const LASTING_TAU_S: f64 = 35.0;

/// The stronger side must be stronger by this factor to count (assumed).
const CLEARLY_STRONGER: f64 = 1.15;

/// What is weaker than this share of the strongest nystagmus of all positions names no further canal
/// (assumed).
const WEAK_SHARE: f64 = 0.15;

impl Eyes<'_> {
    /// What the published rules make of it.
    pub(crate) fn named(&self) -> Diagnosis {
        let mut lesions = Vec::new();
        lesions.extend(self.lateral());
        lesions.extend(self.vertical_canals(!lesions.is_empty()));
        if lesions.is_empty() {
            lesions.extend(self.felt_only());
        }
        Diagnosis::new(lesions)
    }

    /// The bow and lean test without a roll test: the ear if the roll is geotropic, and if it is apogeotropic.
    pub(crate) fn by_leaning_alone(&self) -> Option<[Lesion; 2]> {
        let rolled = |ear| self.strongest(TestPosition::EarDown(ear)).is_some();
        if Ear::ALL.into_iter().any(rolled) {
            return None;
        }
        let lesion = |ear, kind| {
            let canal = Canal::Lateral;
            Lesion::new(CanalId { ear, canal }, kind)
        };
        Some([
            lesion(self.side_by_leaning(true)?, LesionKind::NonAmpullaryArm),
            lesion(self.side_by_leaning(false)?, LesionKind::AmpullaryArm),
        ])
    }

    pub(crate) fn strongest(&self, position: TestPosition) -> Option<&Watched<'_>> {
        let speed = |w: &Watched<'_>| w.finding.peak_spv_rad_s;
        self.0
            .iter()
            .filter(|watched| watched.position == Some(position))
            .max_by(|a, b| speed(a).total_cmp(&speed(b)))
    }

    /// Fast phase at the peak, rad/s: up, upper pole right, right; zero if nothing is seen.
    fn components(&self, position: TestPosition) -> [f64; 3] {
        self.strongest(position)
            .filter(|s| s.finding.is_seen())
            .map_or([0.0; 3], |s| s.finding.peak_components_rad_s)
    }

    fn shows(&self, position: TestPosition) -> bool {
        self.strongest(position)
            .is_some_and(|s| s.finding.is_seen())
    }

    /// The horizontal beat where it is the strongest, + right, rad/s.
    fn horizontal(&self, position: TestPosition) -> f64 {
        let [up, torsion, right] = self.components(position);
        if self.is_weak(position) {
            0.0
        } else if right.abs() > up.abs().max(torsion.abs()) {
            right
        } else {
            0.0
        }
    }

    /// It was watched to the end of the hold and hardly fell.
    fn lasts(&self, position: TestPosition) -> bool {
        self.strongest(position).is_some_and(|s| {
            let finding = &s.finding;
            finding.is_seen()
                && finding.seen_at_end
                && finding.duration_s >= LASTING_TAU_S
                && finding.decay_tau_s.is_none_or(|tau| tau > LASTING_TAU_S)
        })
    }

    /// Supine roll: geotropic or apogeotropic, passing or lasting, stronger on which side.
    fn lateral(&self) -> Option<Lesion> {
        let [right, left] =
            [Ear::Right, Ear::Left].map(|ear| self.horizontal(TestPosition::EarDown(ear)));
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
            .all(|ear| self.lasts(TestPosition::EarDown(*ear)));
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
        let back = self.horizontal(TestPosition::Supine) + self.horizontal(TestPosition::Lean)
            - self.horizontal(TestPosition::Bow);
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
            let position = TestPosition::DixHallpike(ear);
            let [up, torsion_right, _] = self.components(position);
            let toward_ear = match ear {
                Ear::Right => torsion_right,
                Ear::Left => -torsion_right,
            };
            if self.is_vertical(position) && up > 0.0 && toward_ear > 0.0 && !self.is_weak(position)
            {
                lesions.push(Lesion::new(
                    CanalId {
                        ear,
                        canal: Canal::Posterior,
                    },
                    if self.lasts(position) {
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

    fn is_vertical(&self, position: TestPosition) -> bool {
        let [up, torsion, right] = self.components(position);
        up.abs().max(torsion.abs()) >= right.abs() && up.abs() > 0.0
    }

    fn is_weak(&self, position: TestPosition) -> bool {
        let speed = |w: &Watched<'_>| w.finding.peak_spv_rad_s;
        let most = self.0.iter().map(speed).fold(0.0, f64::max);
        self.strongest(position)
            .is_none_or(|seen| speed(seen) < WEAK_SHARE * most)
    }

    fn downbeat(&self) -> Option<Lesion> {
        let positions = [
            TestPosition::HeadHanging,
            TestPosition::DixHallpike(Ear::Right),
            TestPosition::DixHallpike(Ear::Left),
        ];
        let down = positions
            .into_iter()
            .filter(|p| self.is_vertical(*p) && self.components(*p)[0] < 0.0)
            .max_by(|&a, &b| {
                let down = |position: TestPosition| -self.components(position)[0];
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
            .any(|ear| self.shows(TestPosition::DixHallpike(*ear)));
        if lying {
            return None;
        }
        let up = [Some(Ear::Right), Some(Ear::Left), None]
            .into_iter()
            .map(|from| self.components(TestPosition::SatUp(from)))
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
        let felt = |position: TestPosition| {
            self.0
                .iter()
                .any(|w| w.position == Some(position) && w.felt && !w.finding.is_seen())
        };
        if self.0.iter().any(|w| w.finding.is_seen()) {
            return None;
        }
        let only = |position: fn(Ear) -> TestPosition| match [Ear::Right, Ear::Left]
            .map(|ear| felt(position(ear)))
        {
            [true, false] => Some(Ear::Right),
            [false, true] => Some(Ear::Left),
            _ => None,
        };
        let by_dix_hallpike = only(TestPosition::DixHallpike)
            .map(|ear| (ear, Canal::Posterior, LesionKind::AmpullaryArm));
        let by_roll = only(TestPosition::EarDown)
            .map(|ear| (ear, Canal::Lateral, LesionKind::NonAmpullaryArm));
        let (ear, canal, kind) = by_dix_hallpike.or(by_roll)?;
        Some(Lesion::new(CanalId { ear, canal }, kind))
    }
}
