//! What the bodies of a group are besides size and weight: their shape, how they stick, how they fall
//! apart. The default is what most runs have: balls that neither stick nor fall apart.

use std::f64::consts::PI;

/// Properties of a group's bodies.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Matter {
    /// Shape.
    pub shape: Shape,
    /// How it rolls along a wall.
    pub rolling: Rolling,
    /// What holds a resting body.
    pub adhesion: Adhesion,
    /// Pull at which a body that is fixed to a cupula lets go, in multiples of its weight at rest:
    /// gravity and inertia together, along the cupula and away from it. `None` never lets go. No
    /// measured value was found; above 1 gravity alone does not free it.
    pub attachment_g: Option<f64>,
    /// How it falls apart and gathers; `None` stays whole.
    pub dispersal: Option<Dispersal>,
    /// What holds it once it is out of its canal; `None` leaves it to `adhesion`.
    pub vestibule_hold: Option<VestibuleHold>,
}

/// How a body rolls along the wall on which it lies.
///
/// None of these numbers was measured on debris. They are assumed, and narrowed together with the other
/// unmeasured numbers of the model by published outcomes of manoeuvres (then *calibrated*).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rolling {
    /// Resistance to rolling and sliding over the force that presses the body on the wall: below the
    /// slope with this tangent it rests. Assumed, 0 to 0.35; about 0.2 keeps a throw to the horizontal
    /// from ever clearing the posterior canal, as published (Obrist et al. 2016, Front Neurol 7:150).
    pub resistance: f64,
    /// Height of the roughness on which it rests, as a share of its radius: the gap to the wall never
    /// gets smaller. Assumed, 0.001 to 0.2; single crystals of a clump stand out by that much.
    pub gap: f64,
    /// Speed along the wall over free speed. Follows from the gap, see [`Rolling::at_gap`].
    pub mobility: f64,
    /// Entrainment (and, by reciprocity, pressure) over λ = radius / lumen radius. Follows from the gap.
    pub entrainment: f64,
}

impl Default for Rolling {
    /// A gap of 1 %, without resistance (assumed).
    fn default() -> Rolling {
        Rolling {
            resistance: 0.0,
            gap: 0.01,
            mobility: 0.177,
            entrainment: 1.65,
        }
    }
}

impl Rolling {
    /// A body that rolls without slip at a gap, as a share of its radius.
    ///
    /// # Equation
    /// With the lubrication resistances F^t = (8/15) ln δ − 0.9588, T^t = −0.1 ln δ − 0.1895,
    /// F^r = −(2/15) ln δ − 0.2526, T^r = 0.4 ln δ − 0.3817 the speed over Stokes' is
    /// f = 1 / [−(F^t + F^r) − (4/3)(T^t + T^r)]; the entrainment is f (6.802 + 2.517) λ by reciprocity
    /// with the shear force and torque on a touching sphere. Scaled by less than 0.2 % so that a gap of 1 %
    /// gives the rounded 0.177 and 1.65.
    /// # Source
    /// Goldman, Cox & Brenner 1967, Chem Eng Sci 22:637 (coefficients from memory).
    /// # Valid for
    /// Gaps up to about 0.2; there f is 0.31, at 0.1, 0.035, 0.01 and 0.001 it is 0.26, 0.22, 0.177, 0.133.
    pub fn at_gap(gap: f64) -> Rolling {
        let usual = Rolling::default();
        let share = rolling_speed(gap) / rolling_speed(usual.gap);
        Rolling {
            gap,
            mobility: usual.mobility * share,
            entrainment: usual.entrainment * share,
            ..usual
        }
    }

    /// The same with a resistance to rolling.
    #[must_use]
    pub fn resisting(self, resistance: f64) -> Rolling {
        Rolling { resistance, ..self }
    }
}

/// Speed of a sphere that rolls without slip over its free speed.
fn rolling_speed(gap: f64) -> f64 {
    let l = gap.ln();
    let force = (8.0 / 15.0 - 2.0 / 15.0) * l - 0.9588 - 0.2526;
    let torque = (0.4 - 0.1) * l - 0.1895 - 0.3817;
    1.0 / (-force - 4.0 / 3.0 * torque)
}

/// Shape of a body. Its diameter is always that of the ball of the same volume.
///
/// The rigid engine gives it a hull of balls (as in multi-sphere particles, Favier et al. 1999, Eng
/// Comput 16:467); the settling engine uses the ball of the same volume, with the shape's drag.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum Shape {
    /// A ball.
    #[default]
    Ball,
    /// A cylinder with round ends, as otoconia are longer than wide.
    Rod {
        /// Length over width, above 1.
        aspect: f64,
    },
    /// A round plate with a round rim, as pieces of a membrane are.
    Disc {
        /// Width over thickness, above 1.
        aspect: f64,
    },
}

/// What holds a body that rests on a wall. It is a threshold: once it moves, nothing of it is left
/// until it rests again.
///
/// No measured value was found for any of these (assumed; the default holds nothing). Forces are told
/// as multiples of the body's own weight at rest, so that 0.5 holds it on a slope of 30° and more than 1
/// holds it against gravity alone.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Adhesion {
    /// Hold of the wall on a body that has rested long.
    pub wall_g: f64,
    /// Further hold on a body that touches another resting one.
    pub neighbour_g: f64,
    /// Time in which the hold grows back to 1 − 1/e of its full value at rest, s; 0 is at once. A run
    /// begins with the full hold.
    pub growth_s: f64,
    /// Time in which a load equal to the body's weight wears off a hold of the same size, s: bonds under
    /// load break one after the other (Bell 1978, Science 200:618, there faster than in proportion).
    /// `None` does not wear. Has no effect where the hold grows at once.
    pub wear_s: Option<f64>,
}

/// What the macula and the floor of the vestibule (utricle and short arms) do with debris that has come
/// out of a canal: it stays mobile at first and sets with time, while it rests.
///
/// An immediate control test after a cleared manoeuvre brought debris back in 5 to 35 % of ears, one after
/// 15 min upright in next to none (Otol Neurotol 2012, PMID 22143303). Both numbers are assumed, so that a
/// hold against gravity has grown after 7 min. A run begins with debris that has just come there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VestibuleHold {
    /// Hold after a long rest, in multiples of its weight.
    pub hold_g: f64,
    /// Time in which 1 − 1/e of it has set, s.
    pub sets_s: f64,
}

impl Default for VestibuleHold {
    fn default() -> VestibuleHold {
        VestibuleHold {
            hold_g: 2.0,
            sets_s: 600.0,
        }
    }
}

/// A clump that falls apart into even pieces while it moves, and gathers while it rests. Its place, its
/// count and its mass stay one body's; it moves, and acts on the flow, as its pieces do.
///
/// The second of two provoking tests showed a tenth of the slow phase of the first, and after 30 min it was
/// back (Imai et al. 2018, Eur Arch Otorhinolaryngol, doi 10.1007/s00405-018-5165-3). The default's number
/// of pieces is calibrated on that; the rates are assumed. What is so fine rolls 50 times slower: in this
/// model a clump that tires like that does not leave in a manoeuvre either, so that it is off unless asked
/// for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dispersal {
    /// How many pieces it is when it has fallen apart.
    pub pieces: f64,
    /// Way on which 1 − 1/e of it falls apart, mm.
    pub over_mm: f64,
    /// Time in which 1 − 1/e of it gathers again at rest, s.
    pub gather_s: f64,
}

impl Default for Dispersal {
    /// 343 pieces of a seventh of the diameter, which for a clump of 50 µm is the size of single otoconia
    /// (2 to 8 µm: Kao, Parnes & Chole 2017, Laryngoscope 127:709); half the length of a duct's ampullary
    /// arm; 10 min, so that it is back after 30 min.
    fn default() -> Dispersal {
        Dispersal {
            pieces: 343.0,
            over_mm: 2.0,
            gather_s: 600.0,
        }
    }
}

impl Shape {
    /// Half its smallest width over the radius of the ball of the same volume.
    ///
    /// # Equation
    /// With w half the width and q = aspect − 1, the volume over 4π/3 w³ is 1 + 3q/2 (rod) and
    /// 1 + 3πq/4 + 3q²/2 (disc: cylinder of radius qw, half a torus, ball).
    pub fn half_width(self) -> f64 {
        let volume = match self {
            Shape::Ball => 1.0,
            Shape::Rod { aspect } => 1.0 + 1.5 * (aspect - 1.0),
            Shape::Disc { aspect } => {
                let q = aspect - 1.0;
                1.0 + 0.75 * PI * q + 1.5 * q * q
            }
        };
        volume.cbrt().recip()
    }

    /// Drag over that of the ball of the same volume, averaged over all directions.
    ///
    /// # Source
    /// Perrin 1936, J Phys Radium 7:1 (from memory), for spheroids of the same aspect.
    pub fn drag_factor(self) -> f64 {
        let root = |p: f64| (p * p - 1.0).sqrt();
        match self {
            Shape::Rod { aspect: p } if p > 1.0 => root(p) / (p.cbrt() * (p + root(p)).ln()),
            Shape::Disc { aspect: p } if p > 1.0 => root(p) / (p.cbrt().powi(2) * root(p).atan()),
            _ => 1.0,
        }
    }

    /// Middles of the balls that make its hull, in half-widths; a rod lies along x, a disc in xy.
    pub fn hull(self) -> Vec<[f64; 3]> {
        match self {
            Shape::Ball => vec![[0.0; 3]],
            Shape::Rod { aspect } => {
                let reach = aspect - 1.0;
                let gaps = (2.0 * reach).ceil().max(1.0);
                (0..=gaps as u32)
                    .map(|i| [reach * (2.0 * f64::from(i) / gaps - 1.0), 0.0, 0.0])
                    .collect()
            }
            Shape::Disc { aspect } => {
                let reach = aspect - 1.0;
                let rim = (2.0 * PI * reach).ceil().max(6.0);
                let on_rim = (0..rim as u32).map(|i| {
                    let turn = 2.0 * PI * f64::from(i) / rim;
                    [reach * turn.cos(), reach * turn.sin(), 0.0]
                });
                std::iter::once([0.0; 3]).chain(on_rim).collect()
            }
        }
    }
}
