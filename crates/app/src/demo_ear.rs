//! SHIM, to be deleted: an ear of swept tubes, after the published planes.

use lithodrome_labyrinth::{Canal, Ear, Surface, Vec3, frame::mirror_point};

use crate::stage_data::{CourseMarks, CupulaShape, EarShape};

/// Left excitation axes, pooled (Della Santina 2005): anterior, lateral, posterior.
pub(crate) const NORMALS: [[f64; 3]; 3] = [
    [-0.58930, 0.78839, -0.17655],
    [-0.32269, -0.03837, 0.94573],
    [-0.69432, -0.66693, -0.27042],
];

pub(crate) struct Course {
    points: Vec<Vec3>,
    pub(crate) crus_mm: Option<f64>,
}

impl Course {
    pub(crate) fn length(&self) -> f64 {
        self.points.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
    }

    pub(crate) fn at(&self, s: f64) -> (Vec3, Vec3) {
        let mut left = s;
        for w in self.points.windows(2) {
            let step = (w[1] - w[0]).norm();
            if left <= step {
                let t = (w[1] - w[0]) / step;
                return (w[0] + t * left, t);
            }
            left -= step;
        }
        let end = self.points.len() - 1;
        (
            self.points[end],
            (self.points[end] - self.points[end - 1]).normalize(),
        )
    }
}

fn v(a: [f64; 3]) -> Vec3 {
    Vec3::new(a[0], a[1], a[2])
}

fn axes() -> (Vec3, Vec3, Vec3, Vec3, Vec3) {
    let (na, nh, np) = (v(NORMALS[0]), v(NORMALS[1]), v(NORMALS[2]));
    let mut d = na.cross(&np).normalize();
    if d.z < 0.0 {
        d = -d;
    }
    let e2 = (Vec3::y() - nh * nh.y).normalize();
    let e1 = e2.cross(&nh);
    (
        d,
        na.cross(&d).normalize(),
        np.cross(&d).normalize(),
        e1,
        e2,
    )
}

/// Left ear, from the cupula to the utricle, utricle centre at the origin.
fn left_course(canal: Canal) -> (Vec<Vec3>, Option<f64>) {
    let (d, ua, up, e1, e2) = axes();
    let j = Vec3::new(-2.532, -1.599, 1.926);
    let foot = Vec3::new(-1.747, -1.511, -0.307);
    let arc = |centre: Vec3, r: f64, from: f64, to: f64, u: Vec3, w: Vec3| -> Vec<Vec3> {
        (0..=80)
            .map(|i| {
                let th = (from + (to - from) * f64::from(i) / 80.0).to_radians();
                centre + u * (r * th.cos()) + w * (r * th.sin())
            })
            .collect()
    };
    let mut points = match canal {
        Canal::Anterior => arc(j + ua * 3.2, 3.2, 208.0, 0.0, -ua, d),
        Canal::Posterior => {
            let phi = (2.6f64 / 3.1).asin();
            let centre = j + (up * phi.cos() - d * phi.sin()) * 3.1;
            let mut p = arc(centre, 3.1, 301.3, 57.0, -up, d);
            p.push(j - d * 0.2);
            p
        }
        Canal::Lateral => arc(Vec3::new(-0.778, 2.894, -0.042), 2.4, -6.2, 254.7, e1, e2),
    };
    let length: f64 = points.windows(2).map(|w| (w[1] - w[0]).norm()).sum();
    if canal == Canal::Lateral {
        points.push(Vec3::new(-0.9, 0.3, -0.2));
        (points, None)
    } else {
        points.push(foot);
        points.push(foot - d * 0.4);
        (points, Some(length))
    }
}

fn to_head(p: Vec3, ear: Ear) -> Vec3 {
    let left = p + Vec3::new(0.0, 36.1, 6.0);
    if ear == Ear::Left {
        left
    } else {
        mirror_point(left)
    }
}

pub(crate) fn course(ear: Ear, canal: Canal) -> Course {
    let (points, crus_mm) = left_course(canal);
    Course {
        points: points.into_iter().map(|p| to_head(p, ear)).collect(),
        crus_mm,
    }
}

pub(crate) fn ear(ear: Ear) -> EarShape {
    let mut surface = Surface::default();
    let mut cupulae = Vec::new();
    let mut courses = Vec::new();
    let mut labels = Vec::new();
    for canal in Canal::ALL {
        let c = course(ear, canal);
        let end = c.crus_mm.unwrap_or_else(|| c.length());
        let radius = |s: f64| {
            let near = if s < 1.0 {
                0.27 * (1.0 + (std::f64::consts::PI * s).cos())
            } else {
                0.0
            };
            (0.16 + near) * if s < 0.0 { (1.0 + s).max(0.4) } else { 1.0 }
        };
        sweep(&mut surface, &c, [-0.6, end], radius, Some(canal));
        if canal == Canal::Anterior {
            sweep(&mut surface, &c, [end, c.length()], |_| 0.25, None);
        }
        let (centre, t) = c.at(0.0);
        cupulae.push(CupulaShape {
            centre_in_reid_mm: centre,
            to_utricle_in_reid: -t,
            radius_mm: 0.66,
            thickness_mm: 0.3,
        });
        courses.push(CourseMarks {
            utricle_mm: c.length(),
            apex_mm: end * 0.55,
            crus_mm: c.crus_mm,
        });
        labels.push(c.at(end * 0.5).0);
    }
    let (.., e1, e2) = axes();
    let long = (e1 * 40f64.to_radians().cos() + e2 * 40f64.to_radians().sin()).normalize();
    let up = v(NORMALS[1]);
    let side = up.cross(&long);
    let first = surface.positions_mm.len() as u32;
    let (rows, columns) = (24u32, 40u32);
    for i in 0..=rows {
        for k in 0..=columns {
            let th = std::f64::consts::PI * f64::from(i) / f64::from(rows);
            let ph = std::f64::consts::TAU * f64::from(k) / f64::from(columns);
            let u = [th.sin() * ph.cos(), th.sin() * ph.sin(), th.cos()];
            let p = long * (2.4 * u[0]) + side * (1.4 * u[1]) + up * (1.2 * u[2]);
            let n = long * (u[0] / 2.4) + side * (u[1] / 1.4) + up * (u[2] / 1.2);
            push(
                &mut surface,
                to_head(p, ear),
                if ear == Ear::Left { n } else { mirror_point(n) },
                None,
            );
        }
    }
    quads(&mut surface, first, rows + 1, columns + 1);
    EarShape {
        surface,
        cupulae: [cupulae[0], cupulae[1], cupulae[2]],
        courses: [courses[0], courses[1], courses[2]],
        labels_in_reid_mm: [labels[0], labels[1], labels[2]],
    }
}

fn push(surface: &mut Surface, p: Vec3, n: Vec3, canal: Option<Canal>) {
    let n = n.normalize();
    surface
        .positions_mm
        .push([p.x as f32, p.y as f32, p.z as f32]);
    surface.normals.push([n.x as f32, n.y as f32, n.z as f32]);
    surface.canal.push(canal);
}

fn quads(surface: &mut Surface, first: u32, rows: u32, columns: u32) {
    for i in 0..rows - 1 {
        for k in 0..columns - 1 {
            let a = first + i * columns + k;
            surface.triangles.push([a, a + 1, a + columns + 1]);
            surface.triangles.push([a, a + columns + 1, a + columns]);
        }
    }
}

fn sweep(
    surface: &mut Surface,
    course: &Course,
    [from, to]: [f64; 2],
    radius: impl Fn(f64) -> f64,
    canal: Option<Canal>,
) {
    let (start, start_t) = course.at(0.0);
    let first = surface.positions_mm.len() as u32;
    let (rows, columns) = (((to - from) / 0.08) as u32 + 2, 25u32);
    let mut side = start_t.cross(&Vec3::new(0.3, 0.2, 0.9)).normalize();
    for i in 0..rows {
        let s = from + (to - from) * f64::from(i) / f64::from(rows - 1);
        let (p, t) = if s < 0.0 {
            (start + start_t * s, start_t)
        } else {
            course.at(s)
        };
        side = (side - t * side.dot(&t)).normalize();
        let other = t.cross(&side);
        for k in 0..columns {
            let a = std::f64::consts::TAU * f64::from(k) / f64::from(columns - 1);
            let n = side * a.cos() + other * a.sin();
            push(surface, p + n * radius(s), n, canal);
        }
    }
    quads(surface, first, rows, columns);
}
