//! From the six cupulae to the velocity the brain turns the eyes with: shares, storage, adaptation, gain.

use lithodrome_labyrinth::{Canal, CanalId, Vec3};

/// Gains and time constants between cupula and eye.
///
/// # Equation
/// w = Σ share(s) · max(s, −cutoff) · n_exc over the six canals with signals s;
/// of w the yaw part u of the two lateral canals is stored, x' = k u − (1/τ + c sin²θ) x, and added to it, with
/// θ the angle between the axis of yaw and gravity;
/// what lasts is adapted to, a' = (w + x − a)/τ_a, a share k of it: slow phase = −gain · (w + x − k a), axis
/// by axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reflex {
    /// Share of one excited ear in the response to head rotation.
    pub excited_share: f64,
    /// Share of one inhibited ear.
    pub inhibited_share: f64,
    /// Signal of inhibition at which an afferent falls silent, as a positive number, rad/s.
    pub inhibitory_cutoff_rad_s: f64,
    /// Eye velocity over commanded velocity about x, the line of sight.
    pub torsion_gain: f64,
    /// The same about y.
    pub vertical_gain: f64,
    /// The same about z.
    pub horizontal_gain: f64,
    /// Time constant of adaptation, s; `None` leaves it out.
    pub adaptation_tau_s: Option<f64>,
    /// Share of what lasts that is adapted to in the end.
    pub adaptation_share: f64,
    /// Velocity storage of the lateral canals' yaw: what is stored per second of signal, 1/s; 0 leaves
    /// it out.
    pub storage_per_s: f64,
    /// Time constant with which the store runs empty in an upright head, s, above 0.
    pub storage_tau_s: f64,
    /// How fast the store loses what turns about a horizontal axis while the otoliths feel no turning, 1/s.
    pub storage_loss_by_tilt_per_s: f64,
}

impl Default for Reflex {
    /// # Source
    /// - Shares 0.72 and 0.28: their sum is 1 (a head turn excites one ear and inhibits the other) and
    ///   their ratio is that of lateral-canal nystagmus with the bad and with the good ear down, 2.59
    ///   (Zhang 2021, Front Neurol 12:632489). The clinical ratio may hold unequal travel of the debris,
    ///   so this bounds the neural asymmetry from above.
    /// - Cut-off 200 deg/s: resting rate of 90 spikes/s over 0.4 to 0.5 spikes/s per deg/s (from memory).
    /// - Gains 0.9 (yaw and pitch from memory). Torsion in head turns is weaker, 0.6 (from memory; weaker
    ///   also in Tweed 1994, J Neurophysiol), but the measured axes of positional nystagmus
    ///   cluster on the axis of the affected canal (44 patients, Aw 2005, Neurology), from which
    ///   unequal gains would turn a posterior canal's by 11°. So all three are equal here.
    /// - Adaptation 80 s (Goldberg & Fernández 1971, J Neurophysiol 34:635, from memory).
    /// - Share adapted to 0.7 (assumed): a cupula that is loaded for hours still beats in a patient who sits,
    ///   as pseudo-spontaneous nystagmus in 76 % of lateral canals (Asprella-Libonati 2008, Acta
    ///   Otorhinolaryngol Ital 28:73); with all of it adapted to it would not.
    /// - Storage 0.1 per s and 15 s (from memory): lengthens a cupula of 4.2 s to 9 s in yaw. Torsion and
    ///   pitch decay with 6.7 and 7.3 s, near the cupula itself (Tweed 1994), and posterior-canal
    ///   nystagmus with 3.7 to 4.5 s, lateral with 7.3 to 14.8 s (Choi 2020, Front Neurol 11:260): so
    ///   only yaw is stored, and only that of the lateral canals (assumed), as storing the small yaw part
    ///   of a vertical canal would turn its nystagmus away from its axis against Aw 2005.
    /// - Loss by tilt 0.38 per s (from memory, the rotation feedback of Laurens & Angelaki 2011, Exp Brain Res
    ///   210:407): the otoliths contradict a turn about a horizontal axis that leaves gravity where it is in
    ///   the head, and the part of the stored yaw that lies across gravity, sin θ of it, is brought back; of
    ///   that, sin θ is yaw. Decay after a turn about a horizontal axis is faster than about a vertical one
    ///   (Benson & Bodin 1966, Acta Otolaryngol 61:517), tilting the head brings it to that of the nerve
    ///   (Fetter 1992, Exp Brain Res 91:121, and others before), 30° and 60° of roll to 0.80 and 0.65 of
    ///   the upright one even about an axis that stays vertical (Hain & Buettner 1990, Exp Brain Res 82:463).
    fn default() -> Self {
        Reflex {
            excited_share: 0.72,
            inhibited_share: 0.28,
            inhibitory_cutoff_rad_s: 200.0_f64.to_radians(),
            torsion_gain: 0.9,
            vertical_gain: 0.9,
            horizontal_gain: 0.9,
            adaptation_tau_s: Some(80.0),
            adaptation_share: 0.7,
            storage_per_s: 0.1,
            storage_tau_s: 15.0,
            storage_loss_by_tilt_per_s: 0.38,
        }
    }
}

impl Reflex {
    /// What one canal contributes, rad/s: its signal cut off and weighed by the share of its side.
    pub fn weighed(&self, signal_rad_s: f64) -> f64 {
        if signal_rad_s >= 0.0 {
            self.excited_share * signal_rad_s
        } else {
            self.inhibited_share * signal_rad_s.max(-self.inhibitory_cutoff_rad_s)
        }
    }

    pub(crate) fn command(&self, signals_rad_s: &[f64; 6], n_exc_in_reid: &[Vec3; 6]) -> Command {
        let mut command = Command::default();
        for (i, id) in CanalId::ALL.iter().enumerate() {
            let turn = self.weighed(signals_rad_s[i]) * n_exc_in_reid[i];
            command.turn_rad_s += turn;
            if id.canal == Canal::Lateral {
                command.lateral_yaw_rad_s += turn.z;
            }
        }
        command
    }

    /// How fast the store runs empty, 1/s, with gravity along `down_in_head`, a unit vector.
    pub fn storage_loss_per_s(&self, down_in_head: Vec3) -> f64 {
        let across = 1.0 - (down_in_head.z * down_in_head.z).min(1.0);
        1.0 / self.storage_tau_s + self.storage_loss_by_tilt_per_s * across
    }

    fn slow_phase(&self, turn_rad_s: Vec3) -> Vec3 {
        -Vec3::new(
            self.torsion_gain * turn_rad_s.x,
            self.vertical_gain * turn_rad_s.y,
            self.horizontal_gain * turn_rad_s.z,
        )
    }
}

/// The head velocity that the six canals report, and the part that may be stored.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Command {
    pub(crate) turn_rad_s: Vec3,
    pub(crate) lateral_yaw_rad_s: f64,
}

/// Storage and adaptation, from sample to sample; both empty at the first one.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Memory {
    stored_rad_s: f64,
    adapted_rad_s: Vec3,
    last: Option<Sample>,
}

/// What went into [`Memory`] last.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sample {
    /// The turn with what was stored then.
    command: Command,
    loss_per_s: f64,
}

impl Memory {
    /// The slow phase at the next sample, `dt_s` after the last one, with gravity along `down_in_head` then.
    ///
    /// In a head that keeps its tilt the update is exact for inputs that run straight from sample to sample,
    /// whatever their spacing.
    pub(crate) fn advance(
        &mut self,
        reflex: &Reflex,
        dt_s: f64,
        command: Command,
        down_in_head: Vec3,
    ) -> Vec3 {
        let yaw_rad_s = command.lateral_yaw_rad_s;
        let loss_per_s = reflex.storage_loss_per_s(down_in_head);
        let mut turn = command.turn_rad_s;
        if let Some(last) = self.last {
            let tau_s = 2.0 / (last.loss_per_s + loss_per_s);
            let lag = Lag::new(tau_s, dt_s);
            let k = reflex.storage_per_s * tau_s;
            self.stored_rad_s = lag.advance(
                self.stored_rad_s,
                k * last.command.lateral_yaw_rad_s,
                k * yaw_rad_s,
            );
            turn.z += self.stored_rad_s;
            if let Some(tau_s) = reflex.adaptation_tau_s {
                let lag = Lag::new(tau_s, dt_s);
                for axis in 0..3 {
                    self.adapted_rad_s[axis] = lag.advance(
                        self.adapted_rad_s[axis],
                        last.command.turn_rad_s[axis],
                        turn[axis],
                    );
                }
            }
        }
        self.last = Some(Sample {
            command: Command {
                turn_rad_s: turn,
                ..command
            },
            loss_per_s,
        });
        reflex.slow_phase(turn - self.adapted_rad_s * reflex.adaptation_share)
    }
}

/// First-order lag y' = (u − y)/τ over one interval with u straight from start to end.
#[derive(Clone, Copy, Debug)]
struct Lag {
    keep: f64,
    from_start: f64,
    from_end: f64,
}

impl Lag {
    fn new(tau_s: f64, dt_s: f64) -> Lag {
        let r = dt_s / tau_s;
        if r <= 0.0 {
            return Lag {
                keep: 1.0,
                from_start: 0.0,
                from_end: 0.0,
            };
        }
        let gone = -(-r).exp_m1();
        let mean = gone / r;
        Lag {
            keep: 1.0 - gone,
            from_start: mean - (1.0 - gone),
            from_end: 1.0 - mean,
        }
    }

    fn advance(self, y: f64, start: f64, end: f64) -> f64 {
        self.keep * y + self.from_start * start + self.from_end * end
    }
}
