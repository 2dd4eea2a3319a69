//! The anatomy and the ears that a draw gives about a mean.

use std::f64::consts::PI;

use nalgebra::Rotation3;

use crate::variation::redrawn::Redrawn;
use crate::variation::settle::{make_room, resettle};
use crate::{
    Anatomy, AnatomyError, Canal, Draw, How, Labyrinth, Sourced, Variation, Vec3, smallest_turn,
};

impl Variation {
    /// The anatomy that a seed gives about `mean`.
    pub fn anatomy(&self, mean: &Anatomy, seed: u64) -> Result<Anatomy, AnatomyError> {
        self.draw(seed).apply(mean)
    }

    /// Both ears that a seed gives about `mean`; an error if parts of them would touch.
    pub fn labyrinth(&self, mean: &Anatomy, seed: u64) -> Result<Labyrinth, AnatomyError> {
        self.draw(seed).labyrinth(mean)
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
            let own = self.turn_of(mean, canal) * Vec3::from(mean.canal(canal).n_exc.value);
            common * own.normalize()
        })
    }

    /// The turn of one canal out of the mean anatomy's plane: into that of the study, then its own.
    fn turn_of(&self, mean: &Anatomy, canal: Canal) -> Rotation3<f64> {
        let own = turn(self.canal_turn_deg[canal.index()]);
        let Some(study) = &self.planes else {
            return own;
        };
        let from = Vec3::from(mean.canal(canal).n_exc.value);
        let to = study.n_exc_in_reid[canal.index()];
        own * smallest_turn(&from, &to).unwrap_or_else(Rotation3::identity)
    }

    /// The anatomy that differs from `mean` by this draw, every number within its range.
    ///
    /// A cupula's load axis turns with its canal. Numbers that were chosen to make the parts meet are
    /// chosen anew, see `resettle`; if parts of the ear still touch, the error names them.
    pub fn apply(&self, mean: &Anatomy) -> Result<Anatomy, AnatomyError> {
        self.build(mean).map(|(anatomy, _)| anatomy)
    }

    /// The ears of that anatomy, for the cost of one.
    pub fn labyrinth(&self, mean: &Anatomy) -> Result<Labyrinth, AnatomyError> {
        self.build(mean).map(|(_, labyrinth)| labyrinth)
    }

    /// Both of [`Draw::apply`] and [`Draw::labyrinth`].
    pub fn build(&self, mean: &Anatomy) -> Result<(Anatomy, Labyrinth), AnatomyError> {
        let set = Redrawn { seed: self.seed };
        let mut varied = mean.clone();
        varied.name = match self.seed {
            Some(seed) => format!("{}, seed {seed}", mean.name),
            None => format!("{}, drawn", mean.name),
        };
        let common = turn(self.common_turn_deg) * mean.turn();
        varied.turn_deg = Some(Sourced::new(
            (common.scaled_axis() * (180.0 / PI)).into(),
            &set.words(),
            How::Derived,
        ));
        for canal in Canal::ALL {
            self.vary_canal(&mut varied, mean, canal, &set);
        }
        self.vary_rest(&mut varied, &set);
        resettle(&mut varied, mean, &set);
        let i = Canal::Anterior.index();
        varied.anterior.cupula_angle_deg.value += self.cupula_angle_deg[i];
        // How the anterior crista stands goes with its place, which has just been chosen.
        let moved_deg =
            varied.anterior.cupula_angle_deg.value - mean.anterior.cupula_angle_deg.value;
        let crista_deg = mean.crista_angle_deg(Canal::Anterior) + self.crista_angle_deg[i];
        if let Some(crista) = &mut varied.anterior.crista_angle_deg {
            crista.value = crista_deg + moved_deg;
        }
        varied.check()?;
        make_room(varied)
    }

    fn vary_canal(&self, varied: &mut Anatomy, mean: &Anatomy, canal: Canal, set: &Redrawn) {
        let i = canal.index();
        let own = self.turn_of(mean, canal);
        let crista_deg = mean.crista_angle_deg(canal);
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
        set.number(&mut c.ampulla_radius_mm, |r| r * self.ampulla_radius);
        set.number(&mut c.ampulla_length_mm, |l| l * self.ampulla_length);
        set.number(&mut c.cupula_angle_deg, |a| a + self.cupula_angle_deg[i]);
        let crista = self.cupula_angle_deg[i] + self.crista_angle_deg[i];
        set.add(&mut c.crista_angle_deg, crista_deg, crista);
    }

    fn vary_rest(&self, varied: &mut Anatomy, set: &Redrawn) {
        let crus = &mut varied.crus;
        set.number(&mut crus.radius_mm, |r| r * self.calibre * self.crus_radius);
        set.number(&mut crus.top_mm, |top| top * self.crus_length);
        let [back, out] = self.crus_tilt_deg;
        set.add(&mut crus.tilt_back_deg, 0.0, back);
        set.add(&mut crus.tilt_out_deg, 0.0, out);
        set.number(&mut varied.lateral_opening_radius_mm, |r| r * self.calibre);
        set.number(&mut varied.port_radius_mm, |r| {
            r * self.ampulla_radius * self.port_radius
        });
        // The floor sinks and the roof stays.
        let sunk = self.utricle_floor_mm / 2.0;
        set.number(&mut varied.utricle.semi_axes_mm, |[long, wide, high]| {
            [long, wide, high + sunk]
        });
        set.number(&mut varied.utricle.centre_mm, |[x, y, z]| [x, y, z - sunk]);
        set.number(&mut varied.reid_pitch_nose_up_deg, |p| {
            p + self.reid_pitch_deg
        });
    }
}
