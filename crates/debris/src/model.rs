//! What stays constant during a run: the ears, their fluid, the bodies.

use std::f64::consts::PI;
use std::sync::Arc;

use lithodrome_chair::HeadPose;
use lithodrome_labyrinth::{Canal, Ear, EarShape, Labyrinth, Vec3, frame};
use nalgebra::Rotation3;

use crate::drag::DragTable;
use crate::endolymph::Endolymph;
use crate::matter::Matter;
use crate::state::State;
use crate::{Physics, jam, place};

/// Bodies of one kind that start at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DebrisGroup {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Where.
    pub start: Start,
    /// How many; they start side by side.
    pub count: u32,
    /// Diameter of each, mm.
    pub diameter_mm: f64,
    /// Density, mg/mm³.
    pub density_mg_mm3: f64,
    /// Shape, adhesion, dispersal.
    pub matter: Matter,
}

/// Places debris can start from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// Where it rests between cupula and apex in the starting pose, or the middle of that arm.
    AmpullaryArm,
    /// Where it rests between apex and the far end, or the middle of that arm.
    NonAmpullaryArm,
    /// On the utricular side of the cupula.
    ShortArm,
    /// The lowest point of the utricle.
    Utricle,
    /// Exactly here on the centre-line's arc, lying on the lower wall.
    Arc {
        /// Arc length from the cupula.
        mm: f64,
    },
    /// Fixed to the cupula.
    OnCupula {
        /// On this face.
        face: CupulaFace,
    },
}

/// A face of a cupula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CupulaFace {
    /// Toward the duct.
    Canal,
    /// Toward the utricle.
    Utricle,
}

impl CupulaFace {
    /// 1 toward the duct, −1 toward the utricle.
    pub(crate) const fn sign(self) -> f64 {
        match self {
            CupulaFace::Canal => 1.0,
            CupulaFace::Utricle => -1.0,
        }
    }
}

/// One body's numbers: in a model those at the start, in a state those of now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Side.
    pub ear: Ear,
    /// Canal it starts in.
    pub canal: Canal,
    /// Radius, mm; of the ball of the same volume.
    pub radius_mm: f64,
    /// Mass less the fluid it displaces, mg.
    pub buoyant_mass_mg: f64,
    /// Stokes resistance 6πμa, mg/s, of its shape and of the pieces that it moves as.
    pub resistance_mg_s: f64,
    /// Distance of its centre from a wall it rests on, mm.
    pub rest_mm: f64,
    /// Half its smallest width, mm: no part of it is nearer to its centre.
    pub half_width_mm: f64,
    /// Radius of the pieces that it moves as, mm.
    pub grain_mm: f64,
    /// The face of its cupula to which it is fixed, if it is.
    pub fixed_to: Option<CupulaFace>,
    /// Whether a wall holds it.
    pub held: bool,
    /// Shape, adhesion, dispersal.
    pub matter: Matter,
}

/// Why bodies cannot start as asked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// A body does not fit.
    #[error(
        "debris group {group}: diameter {found_um:.0} µm does not fit, the lumen there allows less than {allowed_um:.0} µm"
    )]
    TooWide {
        /// Number of the group, from 1.
        group: usize,
        /// Its diameter.
        found_um: f64,
        /// The lumen's.
        allowed_um: f64,
    },
    /// More bodies than the place holds.
    #[error("debris group {group}: {found} bodies do not fit there, the place holds {allowed}")]
    Full {
        /// Number of the group, from 1.
        group: usize,
        /// How many there are.
        found: u32,
        /// How many fit.
        allowed: u32,
    },
    /// An arc length outside the canal.
    #[error(
        "debris group {group}: arc {found_mm} mm is outside the canal, allowed is {least_mm:.1} to {most_mm:.1} mm"
    )]
    OutsideCanal {
        /// Number of the group, from 1.
        group: usize,
        /// The arc length.
        found_mm: f64,
        /// The least allowed.
        least_mm: f64,
        /// The most allowed.
        most_mm: f64,
    },
}

/// Everything constant.
#[derive(Clone, Debug)]
pub struct Model {
    /// Both ears.
    pub labyrinth: Arc<Labyrinth>,
    /// Material numbers and choices.
    pub physics: Physics,
    /// The bodies.
    pub bodies: Vec<Body>,
    /// Factor on every step of either engine; 1 but for tests of convergence.
    pub step_scale: f64,
    pub(crate) fluid: [Endolymph; 2],
    pub(crate) drag: DragTable,
    /// No body can stick, jam, let go or fall apart.
    pub(crate) plain: bool,
    reid_from_head: Rotation3<f64>,
    start: Vec<Vec3>,
    start_pull_mm_s2: Vec3,
}

/// What the head's motion does to one ear at one time, Reid axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Drive {
    /// Gravity less the ear's own acceleration, mm/s², `[ear]`.
    pub(crate) pull_mm_s2: [Vec3; 2],
    /// The head's angular velocity, rad/s.
    pub(crate) turning_rad_s: Vec3,
}

impl Drive {
    /// The head's angular acceleration at a share of the way through three drives, rad/s².
    pub(crate) fn acceleration([a, mid, b]: [&Drive; 3], share: f64, dt_s: f64) -> Vec3 {
        let [a, mid, b] = [a, mid, b].map(|d| d.turning_rad_s);
        (a * (4.0 * share - 3.0) + mid * (4.0 - 8.0 * share) + b * (4.0 * share - 1.0)) / dt_s
    }

    /// The drive at a share of the way from the first to the last of three, with the second half way.
    pub(crate) fn between([a, mid, b]: [&Drive; 3], share: f64) -> Drive {
        let (to_a, to_mid, to_b) = (
            (1.0 - share) * (1.0 - 2.0 * share),
            4.0 * share * (1.0 - share),
            share * (2.0 * share - 1.0),
        );
        let blend = |a: Vec3, mid: Vec3, b: Vec3| a * to_a + mid * to_mid + b * to_b;
        Drive {
            pull_mm_s2: [0, 1].map(|i| blend(a.pull_mm_s2[i], mid.pull_mm_s2[i], b.pull_mm_s2[i])),
            turning_rad_s: blend(a.turning_rad_s, mid.turning_rad_s, b.turning_rad_s),
        }
    }
}

impl Model {
    /// Places the bodies; `pose` is the head's at the start.
    pub fn new(
        labyrinth: Arc<Labyrinth>,
        groups: &[DebrisGroup],
        physics: Physics,
        pose: &HeadPose,
    ) -> Result<Model, ModelError> {
        let reid_from_head = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse();
        let mut bodies = Vec::new();
        let mut start = Vec::new();
        for (i, group) in groups.iter().enumerate() {
            let body = body_of(group, &physics);
            let down_in_reid = reid_from_head * pose.down_in_head;
            let shape = labyrinth.ear(group.ear);
            start.extend(place::places(shape, group, &body, down_in_reid, i + 1)?);
            bodies.extend(std::iter::repeat_n(body, group.count as usize));
        }
        let start_pull_mm_s2 = reid_from_head * pose.down_in_head * physics.gravity_mm_s2;
        let fluid = Ear::ALL.map(|ear| Endolymph::of(labyrinth.ear(ear), &physics));
        let drag = DragTable::new(&physics);
        let plain = bodies.iter().all(|body: &Body| {
            let ear = labyrinth.ear(body.ear);
            let narrowest = Canal::ALL
                .map(|canal| ear.measures(canal).duct_radius_mm)
                .into_iter()
                .fold(f64::INFINITY, f64::min);
            body.matter == Matter::default() && body.rest_mm < 0.9 * jam::TIGHT * narrowest
        });
        Ok(Model {
            labyrinth,
            physics,
            bodies,
            step_scale: 1.0,
            fluid,
            drag,
            plain,
            reid_from_head,
            start,
            start_pull_mm_s2,
        })
    }

    /// The fluid of one ear.
    pub fn fluid(&self, ear: Ear) -> &Endolymph {
        &self.fluid[ear.index()]
    }

    /// The state in which a run begins.
    pub fn initial_state(&self) -> State {
        State::at(self, &self.start, self.start_pull_mm_s2)
    }

    pub(crate) fn ear_of(&self, body: &Body) -> &EarShape {
        self.labyrinth.ear(body.ear)
    }

    /// The head's motion as the ears feel it.
    pub(crate) fn drive(&self, pose: &HeadPose) -> Drive {
        let gravity = pose.down_in_head * self.physics.gravity_mm_s2;
        let pull_mm_s2 = self.labyrinth.ears.each_ref().map(|ear| {
            let at_in_head = self.reid_from_head.inverse() * ear.utricle.centre_in_reid_mm;
            self.reid_from_head * (gravity - pose.acceleration_at_mm_s2(at_in_head))
        });
        Drive {
            pull_mm_s2,
            turning_rad_s: self.reid_from_head * pose.angular_velocity_in_head_rad_s,
        }
    }
}

fn body_of(group: &DebrisGroup, physics: &Physics) -> Body {
    let radius_mm = group.diameter_mm / 2.0;
    let volume = 4.0 / 3.0 * PI * radius_mm.powi(3);
    let fixed_to = match group.start {
        Start::OnCupula { face } => Some(face),
        _ => None,
    };
    Body {
        ear: group.ear,
        canal: group.canal,
        radius_mm,
        buoyant_mass_mg: volume * (group.density_mg_mm3 - physics.fluid_density_mg_mm3),
        resistance_mg_s: 6.0
            * PI
            * physics.viscosity_mpa_s
            * radius_mm
            * group.matter.shape.drag_factor(),
        rest_mm: radius_mm * (1.0 + physics.roughness_share),
        half_width_mm: radius_mm * group.matter.shape.half_width(),
        grain_mm: radius_mm,
        fixed_to,
        held: false,
        matter: group.matter,
    }
}
