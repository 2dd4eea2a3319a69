//! Ears that differ as people do: a seed gives one ear about an anatomy's numbers.
//!
//! What is drawn, in this order and with a standard normal deviate for each number: the turn of the
//! whole labyrinth, the turn of each canal within it, the radius of each arc, the calibre of the
//! lumens, the place of the cupulae on their arcs. The generator is ChaCha with eight rounds, so a seed
//! gives the same ear on every machine and with every later version of this code that keeps the order.

use std::f64::consts::PI;

use nalgebra::Rotation3;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

use crate::variation::settle::{make_room, resettle};
use crate::{Anatomy, AnatomyError, Canal, How, Labyrinth, Sourced, Vec3};

/// How much ears differ: standard deviations, each with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// Turn of the whole labyrinth: each component of its rotation vector, Reid axes.
    pub common_turn_sd_deg: Sourced<f64>,
    /// Turn of one canal within its labyrinth: each component of its rotation vector, `[canal]`.
    pub canal_turn_sd_deg: [Sourced<f64>; 3],
    /// Radius of the arcs, `[canal]`.
    pub arc_radius_sd_mm: [Sourced<f64>; 3],
    /// Lumen radius of ducts and crus, one factor for the whole ear, as the standard deviation of its
    /// natural logarithm.
    pub calibre_log_sd: Sourced<f64>,
    /// Place of the lateral and the posterior cupula on their arcs; the anterior one follows the
    /// lateral one.
    pub cupula_angle_sd_deg: Sourced<f64>,
}

/// What makes one ear differ from the anatomy it varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// The seed that gave it.
    pub seed: u64,
    /// Rotation vector of the whole left labyrinth, Reid axes.
    pub common_turn_deg: Vec3,
    /// Rotation vectors of the canals before the common turn, left ear, Reid axes, `[canal]`.
    pub canal_turn_deg: [Vec3; 3],
    /// Added to the radius of the arcs, `[canal]`.
    pub arc_radius_mm: [f64; 3],
    /// Multiplies the lumen radius of ducts and crus.
    pub calibre: f64,
    /// Added to the place of the cupulae on their arcs, `[canal]`; zero for the anterior one.
    pub cupula_angle_deg: [f64; 3],
}

const SOLVED: &str = "solved from the spread of the angles between canals, Della Santina et al. \
    2005, J Assoc Res Otolaryngol 6:191 (4.0, 6.2, 4.9 degrees, 44 labyrinths), and of the axes' \
    components (Table 1A); holds the noise of the measurement, so an upper bound";

fn sourced<T>(value: T, source: &str, how: How) -> Sourced<T> {
    Sourced {
        value,
        source: source.to_owned(),
        how,
    }
}

impl Variation {
    /// The published spread of adult ears, and assumed numbers where none was found.
    pub fn published() -> Variation {
        let radius = |sd| {
            sourced(
                sd,
                "Spoor & Zonneveld 1998, Yearb Phys Anthropol 41:211",
                How::Memory,
            )
        };
        Variation {
            common_turn_sd_deg: sourced(4.7, SOLVED, How::Derived),
            canal_turn_sd_deg: [3.9, 4.8, 0.9].map(|sd| sourced(sd, SOLVED, How::Derived)),
            arc_radius_sd_mm: [0.2, 0.2, 0.3].map(radius),
            calibre_log_sd: sourced(
                0.15,
                "no distribution of membranous calibres was found; about 15 percent",
                How::Assumed,
            ),
            cupula_angle_sd_deg: sourced(
                5.0,
                "no distribution was found; about a quarter of a millimetre along the arc",
                How::Assumed,
            ),
        }
    }

    /// The numbers that a seed gives.
    pub fn draw(&self, seed: u64) -> Draw {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let mut normal = |sd: f64| -> f64 {
            let deviate: f64 = StandardNormal.sample(&mut rng);
            sd * deviate
        };
        let mut vector = |sd: f64| Vec3::from_fn(|_, _| normal(sd));
        let common_turn_deg = vector(self.common_turn_sd_deg.value);
        let canal_turn_deg = Canal::ALL.map(|c| vector(self.canal_turn_sd_deg[c.index()].value));
        Draw {
            seed,
            common_turn_deg,
            canal_turn_deg,
            arc_radius_mm: Canal::ALL.map(|c| normal(self.arc_radius_sd_mm[c.index()].value)),
            calibre: normal(self.calibre_log_sd.value).exp(),
            cupula_angle_deg: Canal::ALL.map(|canal| match canal {
                Canal::Anterior => 0.0,
                _ => normal(self.cupula_angle_sd_deg.value),
            }),
        }
    }

    /// The anatomy that a seed gives about `mean`.
    pub fn anatomy(&self, mean: &Anatomy, seed: u64) -> Result<Anatomy, AnatomyError> {
        self.draw(seed).apply(mean)
    }

    /// Both ears that a seed gives about `mean`; an error if parts of them would touch.
    pub fn labyrinth(&self, mean: &Anatomy, seed: u64) -> Result<Labyrinth, AnatomyError> {
        Labyrinth::build(&self.anatomy(mean, seed)?)
    }
}

fn turn(turn_deg: Vec3) -> Rotation3<f64> {
    Rotation3::from_scaled_axis(turn_deg.map(f64::to_radians))
}

impl Draw {
    /// The axes of the left ear's canals, unit, Reid axes, `[canal]`: all that the angles between
    /// canals need, without building an ear.
    pub fn n_exc_in_reid(&self, mean: &Anatomy) -> [Vec3; 3] {
        let common = turn(self.common_turn_deg) * mean.turn();
        Canal::ALL.map(|canal| {
            let own = Vec3::from(mean.canal(canal).n_exc.value).normalize();
            common * (turn(self.canal_turn_deg[canal.index()]) * own)
        })
    }

    /// The anatomy that differs from `mean` by this draw, every number within its range.
    ///
    /// A cupula's load axis turns with its canal. Numbers that were chosen to make the parts meet are
    /// chosen anew, see `resettle`; if parts of the ear still touch, the error names them.
    pub fn apply(&self, mean: &Anatomy) -> Result<Anatomy, AnatomyError> {
        let mut varied = mean.clone();
        varied.name = format!("{}, seed {}", mean.name, self.seed);
        let common = turn(self.common_turn_deg) * mean.turn();
        varied.turn_deg = Some(sourced(
            (common.scaled_axis() * (180.0 / PI)).into(),
            &format!("drawn with seed {}", self.seed),
            How::Derived,
        ));
        let set = Redrawn { seed: self.seed };
        for canal in Canal::ALL {
            let i = canal.index();
            let own = turn(self.canal_turn_deg[i]);
            let c = varied.canal_mut(canal);
            set.number(&mut c.n_exc, |n| (own * Vec3::from(n).normalize()).into());
            set.number(&mut c.cupula_load_axis, |axis| {
                (own * Vec3::from(axis)).into()
            });
            set.number(&mut c.arc_radius_mm, |r| r + self.arc_radius_mm[i]);
            set.number(&mut c.duct_radius_mm, |r| r * self.calibre);
            if let Some(far) = &mut c.far_arm_radius_mm {
                set.number(far, |r| r * self.calibre);
            }
            set.number(&mut c.cupula_angle_deg, |a| a + self.cupula_angle_deg[i]);
        }
        set.number(&mut varied.crus.radius_mm, |r| r * self.calibre);
        set.number(&mut varied.lateral_opening_radius_mm, |r| r * self.calibre);
        resettle(&mut varied, mean, &set);
        varied.check()?;
        make_room(varied)
    }
}

/// Changes numbers and says so where their source stands.
pub(crate) struct Redrawn {
    seed: u64,
}

impl Redrawn {
    pub(crate) fn number<T: Copy>(&self, number: &mut Sourced<T>, change: impl FnOnce(T) -> T) {
        number.value = change(number.value);
        if !number.source.starts_with("drawn with seed") {
            number.source = format!("drawn with seed {} about: {}", self.seed, number.source);
        }
    }
}
