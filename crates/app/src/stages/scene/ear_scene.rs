//! The ear stage: lumen of glass, cupulae, debris, gravity. Millimetres; head or room axes.

use std::{
    f32::consts::{PI, TAU},
    sync::{Arc, OnceLock},
};

use glam::{Mat3, Mat4, Vec2, Vec3};
use lithodrome_chair::room_from_head;
use lithodrome_labyrinth::{Canal, CanalId, Ear, Surface, frame::head_from_reid};

use super::{Ball, Batch, Mesh, MeshBuilder, Picture, Quality, ear_marks, mesh::Vertex, shapes};
use crate::{
    kit::theme,
    session::command::{EarFrame, EarShown, LookFrom},
    stages::camera::{Aim, Orbit},
    work::stage_data::{CupulaShape, EarShape, Loaded},
};

/// How many times larger than true a cupula's bulge is drawn.
pub const BULGE_FACTOR: f32 = 300.0;
/// Half the distance between the ears where both are shown, mm.
const HALF_GAP_MM: f32 = 8.0;
/// Tint of the utricle and of the common crus.
const NEUTRAL: [u8; 4] = [150, 156, 164, 255];

/// The camera that the stage opens with.
pub fn home_camera(ears: EarShown) -> Orbit {
    let (turn_rad, radius) = match ears {
        EarShown::Right => (-1.22, 6.5),
        EarShown::Left => (1.22, 6.5),
        EarShown::Both => (0.0, 14.5),
    };
    let mut camera = Orbit {
        target: Vec3::ZERO,
        turn_rad,
        height_rad: 0.42,
        distance: 30.0,
    };
    camera.fit(Vec3::Z * 0.75, radius * 1.06);
    camera
}

/// Meshes of both ears, made once for an anatomy.
pub struct EarScene {
    ears: Arc<[EarShape; 2]>,
    lumens: [OnceLock<Arc<Mesh>>; 2],
}

/// What is drawn beside the glass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Marks {
    /// Planes of the canals.
    pub planes: bool,
    /// Flow of endolymph.
    pub flow: bool,
}

/// What to show of a run at one moment.
#[derive(Clone, Copy)]
pub struct Moment<'a> {
    /// The run.
    pub loaded: &'a Loaded,
    /// The moment, s.
    pub time_s: f64,
    /// Ears shown.
    pub shown: EarShown,
    /// What the picture is fixed to.
    pub frame: EarFrame,
    /// The canal whose plane is looked at.
    pub canal: CanalId,
}

impl Moment<'_> {
    /// Unit vector of gravity in head axes.
    fn down_in_head(&self) -> lithodrome_labyrinth::Vec3 {
        let at = self.loaded.between(self.time_s);
        at.of_vectors(&self.loaded.run.down_in_head)
    }

    /// Unit vector of gravity in Reid axes.
    pub fn down_in_reid(&self) -> lithodrome_labyrinth::Vec3 {
        head_from_reid(self.loaded.reid_pitch_nose_up_rad).inverse() * self.down_in_head()
    }

    /// The chosen canal's axis in head axes.
    fn axis_in_head(&self) -> Vec3 {
        let n = self.loaded.run.n_exc_in_reid[self.canal.index()];
        vec3(head_from_reid(self.loaded.reid_pitch_nose_up_rad) * n).normalize_or(Vec3::X)
    }

    fn stage_from_head(&self) -> Mat3 {
        match self.frame {
            EarFrame::Head => Mat3::IDENTITY,
            EarFrame::Room => turn(&room_from_head(self.loaded.angles_at(self.time_s))),
            EarFrame::Canal => {
                // The plane's axis points forward in the stage, the head's top (or nose) up.
                let n = self.outward_axis_in_head();
                let high = if n.z.abs() < 0.9 { Vec3::Z } else { Vec3::X };
                let up = (high - n * n.dot(high)).normalize();
                Mat3::from_cols(n, up.cross(n), up).transpose()
            }
        }
    }

    /// The axis on the side of the ear that faces outward, or upward for a lying plane.
    fn outward_axis_in_head(&self) -> Vec3 {
        let n = self.axis_in_head();
        let out = match self.canal.ear {
            Ear::Right => -Vec3::Y,
            Ear::Left => Vec3::Y,
        };
        let toward = if n.z.abs() > 0.9 { Vec3::Z } else { out };
        if n.dot(toward) < 0.0 { -n } else { n }
    }
}

/// `home` turned to another side.
pub fn camera_from(from: LookFrom, home: Orbit, moment: Moment<'_>) -> Orbit {
    let toward_eye = match from {
        LookFrom::Side => match moment.shown {
            EarShown::Left => Vec3::Y,
            EarShown::Right | EarShown::Both => -Vec3::Y,
        },
        LookFrom::Front => Vec3::X,
        LookFrom::Top => Vec3::Z,
        LookFrom::Canal => moment.stage_from_head() * moment.outward_axis_in_head(),
    };
    let level = toward_eye.truncate().length();
    Orbit {
        turn_rad: if level > 1e-3 {
            toward_eye.y.atan2(toward_eye.x)
        } else {
            home.turn_rad
        },
        height_rad: toward_eye.z.atan2(level).clamp(-1.5, 1.5),
        ..home
    }
}

impl EarScene {
    /// Makes the meshes.
    pub fn new(ears: &Arc<[EarShape; 2]>) -> Self {
        Self {
            ears: ears.clone(),
            lumens: [OnceLock::new(), OnceLock::new()],
        }
    }

    /// These are the meshes of `ears`.
    pub fn is_of(&self, ears: &Arc<[EarShape; 2]>) -> bool {
        Arc::ptr_eq(&self.ears, ears)
    }

    /// From Reid axes to the stage's axes.
    pub fn stage_from_reid(&self, moment: Moment<'_>, ear: Ear) -> Mat4 {
        let head_from_reid = head_from_reid(moment.loaded.reid_pitch_nose_up_rad);
        let apart = match (moment.shown, ear) {
            (EarShown::Both, Ear::Left) => HALF_GAP_MM,
            (EarShown::Both, Ear::Right) => -HALF_GAP_MM,
            _ => 0.0,
        };
        Mat4::from_mat3(moment.stage_from_head())
            * Mat4::from_translation(Vec3::Y * apart)
            * Mat4::from_mat3(turn(&head_from_reid))
            * Mat4::from_translation(-vec3(self.ears[ear.index()].centre_in_reid_mm))
    }

    /// The lumen of an ear, once its surface has been made.
    pub fn lumen(&self, ear: Ear) -> Option<Arc<Mesh>> {
        let surface = self.ears[ear.index()].surface.get()?;
        let mesh = self.lumens[ear.index()].get_or_init(|| Arc::new(lumen(surface)));
        Some(mesh.clone())
    }

    /// Ears that are shown.
    pub fn ears(shown: EarShown) -> &'static [Ear] {
        match shown {
            EarShown::Right => &[Ear::Right],
            EarShown::Left => &[Ear::Left],
            EarShown::Both => &Ear::ALL,
        }
    }

    /// Unit vector of gravity in the stage's axes.
    pub fn down(moment: Moment<'_>) -> Vec3 {
        (moment.stage_from_head() * vec3(moment.down_in_head())).normalize_or(-Vec3::Z)
    }

    /// The picture of a moment.
    pub fn picture(
        &self,
        moment: Moment<'_>,
        marks: Marks,
        camera: &Orbit,
        (size, aim): (Vec2, Aim),
        palette: &theme::Palette,
        quality: Quality,
    ) -> Picture {
        let mut picture = Picture {
            view: camera.view_aimed(size, aim),
            background: palette.stage_rgb(),
            dark: palette.dark,
            solids: Vec::new(),
            glass: Vec::new(),
            flats: Vec::new(),
            balls: Vec::new(),
            to_light: Vec3::ZERO,
            quality,
        };
        picture.to_light = (picture.view.up * 0.8
            + picture.view.right * 0.35
            + (picture.view.eye - camera.target).normalize() * 0.6)
            .normalize();
        for &ear in Self::ears(moment.shown) {
            let stage_from_reid = self.stage_from_reid(moment, ear);
            picture.glass.extend(self.lumen(ear).map(|mesh| Batch {
                mesh,
                stage_from_mesh: stage_from_reid,
            }));
            let mut discs = MeshBuilder::default();
            for canal in Canal::ALL {
                let shape = &self.ears[ear.index()].cupulae[canal.index()];
                cupula(
                    &mut discs,
                    shape,
                    bulge_mm(moment, CanalId { ear, canal }, shape),
                    canal,
                );
            }
            let shape = &self.ears[ear.index()];
            if marks.flow {
                let (loaded, time_s) = (moment.loaded, moment.time_s);
                let ink = palette.text.to_array();
                ear_marks::flow(&mut discs, shape, loaded, ear, time_s, ink);
            }
            if marks.planes {
                let mut planes = MeshBuilder::default();
                let (nearest, _) =
                    ear_marks::nearest_vertical(moment.loaded, ear, &moment.down_in_reid());
                ear_marks::planes(&mut planes, shape, moment.loaded, ear, nearest);
                picture.flats.push(Batch {
                    mesh: Arc::new(planes.build()),
                    stage_from_mesh: stage_from_reid,
                });
            }
            let mesh = Arc::new(discs.build());
            picture.solids.push(Batch {
                mesh,
                stage_from_mesh: stage_from_reid,
            });
            picture
                .balls
                .extend(balls(moment, ear, &stage_from_reid, palette));
        }
        let anchor = gravity_place(size);
        let at = picture.view.at_screen(anchor, camera.distance * 0.55);
        let long = 36.0 * picture.view.point_at_unit * camera.distance * 0.55;
        let mut arrow = MeshBuilder::default();
        let along = Self::down(moment) * long;
        let yellow = palette.gravity.to_array();
        shapes::arrow(
            &mut arrow,
            at - along * 0.6,
            at + along * 0.6,
            long * 0.045,
            yellow,
        );
        picture
            .solids
            .push(Batch::in_place(Arc::new(arrow.build())));
        picture
    }
}

/// Where the arrow of gravity is in a picture of this size, points.
pub fn gravity_place(size: Vec2) -> Vec2 {
    Vec2::new(52.0, size.y - 124.0)
}

fn turn(rotation: &nalgebra::Rotation3<f64>) -> Mat3 {
    let m: Vec<f32> = rotation.matrix().iter().map(|&x| x as f32).collect();
    Mat3::from_cols_slice(&m)
}

fn vec3(v: lithodrome_labyrinth::Vec3) -> Vec3 {
    Vec3::new(v.x as f32, v.y as f32, v.z as f32)
}

fn lumen(surface: &Surface) -> Mesh {
    let vertices = surface
        .positions_mm
        .iter()
        .zip(&surface.normals)
        .zip(&surface.canal)
        .map(|((&position, &normal), &canal)| Vertex {
            position,
            normal,
            colour: canal.map_or(NEUTRAL, |c| theme::canal_colour(c).to_array()),
        })
        .collect();
    Mesh::new(vertices, surface.triangles.clone())
}

/// Height of the bulge as drawn, mm, positive away from the utricle.
fn bulge_mm(moment: Moment<'_>, id: CanalId, shape: &CupulaShape) -> f32 {
    let (run, at) = (&moment.loaded.run, moment.loaded.between(moment.time_s));
    let i = id.index();
    let signal = (at.of(&run.debris_signal_rad_s[i]) + at.of(&run.rotation_signal_rad_s[i])) as f32;
    // 1 pL is 1e-6 mm³; a bulge h (1 − (r/R)²)² over a disc holds π R² h / 3.
    let volume_mm3 = signal * run.pl_per_rad_s[i] as f32 * 1e-6;
    let height = 3.0 * volume_mm3 / (PI * (shape.radius_mm * shape.radius_mm) as f32);
    let most = shape.radius_mm as f32 * 0.8;
    (height * BULGE_FACTOR).clamp(-most, most)
}

fn cupula(out: &mut MeshBuilder, shape: &CupulaShape, bulge_mm: f32, canal: Canal) {
    let to_duct = vec3(shape.to_duct_in_reid);
    let (a, b) = shapes::square_to(to_duct);
    let (centre, radius) = (vec3(shape.centre_in_reid_mm), shape.radius_mm as f32 * 0.97);
    let tint = theme::canal_colour(canal).to_array();
    let colour = [0, 1, 2].map(|i| u16::midpoint(u16::from(tint[i]), 235) as u8);
    let colour = [colour[0], colour[1], colour[2], 255];
    let rows = 9;
    for face in [-0.5f32, 0.5] {
        out.grid(rows, 41, colour, |i, k| {
            let r = i as f32 / (rows - 1) as f32;
            let angle = TAU * k as f32 / 40.0;
            let ray = a * angle.cos() + b * angle.sin();
            let edge = (1.0 - r.powi(8)).max(0.0).sqrt();
            let half = face * shape.thickness_mm as f32 * edge;
            let height = bulge_mm * (1.0 - r * r).powi(2) + half;
            let slope = -4.0 * bulge_mm * r * (1.0 - r * r) / radius;
            let normal = (to_duct - ray * slope) * face.signum() + ray * (1.0 - edge);
            (
                centre + ray * (radius * r) + to_duct * height,
                normal.normalize_or(to_duct),
            )
        });
    }
}

fn balls(
    moment: Moment<'_>,
    ear: Ear,
    stage_from_reid: &Mat4,
    palette: &theme::Palette,
) -> Vec<Ball> {
    let at = moment.loaded.between(moment.time_s);
    moment
        .loaded
        .run
        .tracks
        .iter()
        .filter(|track| track.ear == ear)
        .map(|track| Ball {
            centre: stage_from_reid
                .transform_point3(Vec3::from(at.of_points(&track.position_in_reid_mm)))
                .into(),
            radius: track.diameter_um as f32 / 2000.0,
            colour: palette.debris.to_array(),
        })
        .collect()
}
