//! A labyrinth from a centre-line table, checked as a whole: joins, planes, sizes and contact.
//!
//! What a table does not say is the mean adult's: thickness and load axes of the cupulae (turned by the
//! rotation that fits the canal planes best), the pitch of Reid's plane, and the utricle if it is left
//! out.

use nalgebra::{Matrix3, Rotation3, SymmetricEigen};

use crate::build::centre_line::{Curve, End, JOIN_MM};
use crate::build::centre_line_table::{NAMES, Point, Table};
use crate::frame::mirror_point;
use crate::lumen::{CanalAxes, Ducts, Landmarks};
use crate::{
    Anatomy, AnatomyError, Canal, Ear, EarShape, Labyrinth, Region, Tube, Utricle, Vec3,
    angle_between_rad,
};

/// The most that a canal's plane may differ from the mean adult's.
const MOST_TILT_DEG: f64 = 40.0;
/// Length of a duct from cupula to end, mm: Gray 1918 gives bony canals of 12 to 22 mm with their ends.
const DUCT_MM: std::ops::RangeInclusive<f64> = 6.0..=24.0;
/// The least wall between two parts of one line, mm, and how far along the line they are apart.
const LEAST_WALL_MM: f64 = 0.05;
const APART_MM: f64 = 5.0;

impl Labyrinth {
    /// Both ears from the text of a centre-line table (`canal,x,y,z,radius`, Reid axes, mm), which
    /// describes one of them; the other is its mirror image.
    ///
    /// Rows of `anterior` and `posterior` run from the ampulla's mouth over the cupula (the widest row)
    /// to the crus, of `lateral` to its opening into the utricle, of `crus` from its top to the utricle;
    /// four rows of `utricle` may give its centre and the tips of its long, wide and high half axis.
    pub fn from_centre_lines(name: &str, text: &str) -> Result<Labyrinth, AnatomyError> {
        let mut table = Table::read(text)?;
        let side = side(&table)?;
        if side == Ear::Right {
            for point in table.lines.iter_mut().flatten() {
                point.at = mirror_point(point.at);
            }
        }
        let mean = Anatomy::named("mean-adult").unwrap_or(Err(AnatomyError::Row {
            line: 1,
            reason: "the mean adult is missing".to_owned(),
        }))?;
        let left = left_ear(&table, &mean)?;
        Ok(Labyrinth {
            name: name.to_owned(),
            reid_pitch_nose_up_rad: mean.reid_pitch_nose_up_deg.value.to_radians(),
            wall_surface: None,
            ears: [left.mirrored(), left],
        })
    }
}

/// Which ear a table is of.
fn side(table: &Table) -> Result<Ear, AnatomyError> {
    let mut points = table.lines.iter().flatten();
    let Some(first) = points.next() else {
        return Err(AnatomyError::Row {
            line: 1,
            reason: "found no rows after the header".to_owned(),
        });
    };
    if let Some(other) = points.find(|p| p.at.y * first.at.y <= 0.0) {
        return Err(AnatomyError::Row {
            line: other.line,
            reason: format!(
                "y: found {}, allowed is the side of the first row (left of the middle is positive)",
                other.at.y
            ),
        });
    }
    Ok(if first.at.y > 0.0 {
        Ear::Left
    } else {
        Ear::Right
    })
}

fn left_ear(table: &Table, mean: &Anatomy) -> Result<EarShape, AnatomyError> {
    let crus = Curve::through(NAMES[3], table.lines[3].clone())?;
    let mut anterior = table.lines[0].clone();
    let [lateral, posterior] = [1, 2].map(|i| Curve::through(NAMES[i], table.lines[i].clone()));
    let (lateral, posterior) = (lateral?, posterior?);
    Curve::through(NAMES[0], anterior.clone())?;
    let crus_row = anterior.len() - 1;
    let step = (anterior[crus_row].at - crus.points[0].at).norm();
    if step > JOIN_MM {
        let found = format!("{step:.2} mm from the end of the anterior line");
        return Err(crus.error(0, "join", found, format!("at most {JOIN_MM} mm")));
    }
    // The same point given twice is one.
    let twice = usize::from(step < 0.01);
    anterior.extend(&crus.points[twice..]);
    let crus_row = crus_row + 1 - twice;
    let anterior = Curve::through(NAMES[0], anterior)?;
    let curves = [anterior, lateral, posterior];
    let utricle = utricle(table, &curves, mean)?;
    let cupulae = [
        curves[0].cupula_row()?,
        curves[1].cupula_row()?,
        curves[2].cupula_row()?,
    ];
    let crus_from = curves[0].knot_mm(crus_row) - curves[0].knot_mm(cupulae[0]);
    let (a, ma) = duct(&curves[0], cupulae[0], &utricle, Some(crus_from))?;
    let (l, ml) = duct(&curves[1], cupulae[1], &utricle, None)?;
    let (p, mut mp) = duct(&curves[2], cupulae[2], &utricle, None)?;
    let merge_mm = merge(&a, &ma, &p, &curves[2])?;
    mp.opening_mm = mp.duct_end_mm + (ma.opening_mm - crus_from - merge_mm);
    mp.crus_from_mm = Some(mp.duct_end_mm);
    let ducts = Ducts {
        tubes: [a, l, p],
        landmarks: [ma, ml, mp],
        utricle,
    };
    let axes = axes(&ducts, &curves, mean)?;
    for (canal, curve) in Canal::ALL.into_iter().zip(&curves) {
        apart_from_itself(&ducts.tubes[canal.index()], curve)?;
    }
    EarShape::joined(ducts, axes, merge_mm, mean.cupula_thickness_mm.value)
        .map_err(|error| with_row(error, table))
}

/// One lumen by arc length from its cupula, and the places on it.
fn duct(
    curve: &Curve,
    cupula: usize,
    utricle: &Utricle,
    crus_from: Option<f64>,
) -> Result<(Tube, Landmarks), AnatomyError> {
    let cupula_at = curve.knot_mm(cupula);
    let (port, from) = curve.mouth(utricle, End::First)?;
    if port > cupula_at - 0.1 {
        let found = "inside the utricle".to_owned();
        let allowed = "at least 0.1 mm outside it".to_owned();
        return Err(curve.error(cupula, "cupula", found, allowed));
    }
    let joins_crus = curve.name == NAMES[2];
    let (opening, to) = if joins_crus {
        (curve.length_mm(), curve.length_mm())
    } else {
        curve.mouth(utricle, End::Last)?
    };
    let duct_end_mm = crus_from.unwrap_or(opening - cupula_at);
    if !DUCT_MM.contains(&duct_end_mm) {
        let found = format!("{duct_end_mm:.2} mm from cupula to end");
        let allowed = format!("{} to {} mm", DUCT_MM.start(), DUCT_MM.end());
        return Err(curve.error(cupula, "length", found, allowed));
    }
    let tube = Tube::new(
        from.min(0.0) - cupula_at,
        to.max(curve.length_mm()) - cupula_at,
        |s| curve.at(s + cupula_at),
        |s| curve.radius_at(s + cupula_at),
    );
    let (arc_centre_in_reid_mm, arc_radius_mm) = circle(&tube, duct_end_mm);
    let port_mm = port - cupula_at;
    let marks = Landmarks {
        port_mm,
        short_arm_from_mm: port_mm.max(-ampulla_length(&tube, duct_end_mm)),
        duct_end_mm,
        opening_mm: opening - cupula_at,
        crus_from_mm: crus_from,
        arc_radius_mm,
        arc_centre_in_reid_mm,
    };
    Ok((tube, marks))
}

/// From the cupula to where the duct is within a tenth of its radius half way along.
fn ampulla_length(tube: &Tube, duct_end_mm: f64) -> f64 {
    let slender = 1.1 * tube.at(duct_end_mm / 2.0).2;
    (0..(duct_end_mm / 0.1) as i32)
        .map(|i| f64::from(i) * 0.05)
        .find(|s| tube.at(*s).2 < slender)
        .unwrap_or(duct_end_mm / 2.0)
}

/// How far below the top of the crus the posterior duct has joined it.
fn merge(a: &Tube, ma: &Landmarks, p: &Tube, posterior: &Curve) -> Result<f64, AnatomyError> {
    let end = p.at(p.range_mm().1).0;
    let crus_from = ma.duct_end_mm;
    let steps = ((ma.opening_mm - crus_from) / 0.002).max(1.0) as usize;
    let (mut best, mut gap) = (0.0, f64::INFINITY);
    for i in 0..=steps {
        let merge = i as f64 * 0.002;
        let off = (a.at(crus_from + merge).0 - end).norm();
        if off < gap {
            (best, gap) = (merge, off);
        }
    }
    if gap > JOIN_MM {
        let found = format!("{gap:.2} mm between this end and the crus");
        let row = posterior.points.len() - 1;
        return Err(posterior.error(row, "join", found, format!("at most {JOIN_MM} mm")));
    }
    Ok(best)
}

/// Axes of the canals from the planes of the ducts; load axes turned with them.
fn axes(
    ducts: &Ducts,
    curves: &[Curve; 3],
    mean: &Anatomy,
) -> Result<[CanalAxes; 3], AnatomyError> {
    let mut fitted = [Vec3::zeros(); 3];
    let published = Canal::ALL.map(|c| mean.n_exc_in_reid(c));
    for canal in Canal::ALL {
        let i = canal.index();
        let points = along(&ducts.tubes[i], ducts.landmarks[i].duct_end_mm);
        let (_, normal) = plane(&points);
        let centre = ducts.landmarks[i].arc_centre_in_reid_mm;
        let round: Vec3 = points
            .windows(2)
            .map(|w| (w[0] - centre).cross(&(w[1] - centre)))
            .sum();
        // Fluid that lags a head rotation about n_exc must run the exciting way.
        let side = -canal.excited_by_ampullofugal() * round.dot(&normal).signum();
        fitted[i] = normal * side;
        let tilt = angle_between_rad(fitted[i], published[i]).to_degrees();
        if tilt > MOST_TILT_DEG {
            let found = format!("{tilt:.0} degrees from the mean adult's");
            let allowed = format!(
                "at most {MOST_TILT_DEG} (Reid axes: x forward, y left, z up; rows from the ampulla on)"
            );
            return Err(curves[i].error(0, "plane", found, allowed));
        }
    }
    let turn = best_turn(&published, &fitted);
    Ok(Canal::ALL.map(|canal| CanalAxes {
        n_exc: fitted[canal.index()],
        load_axis: turn * Vec3::from(mean.canal(canal).cupula_load_axis.value).normalize(),
        crista_normal: None,
    }))
}

fn along(tube: &Tube, end: f64) -> Vec<Vec3> {
    (0..=400)
        .map(|i| tube.at(end * f64::from(i) / 400.0).0)
        .collect()
}

/// Middle and unit normal of the plane nearest to points.
fn plane(points: &[Vec3]) -> (Vec3, Vec3) {
    let middle = points.iter().sum::<Vec3>() / points.len() as f64;
    let spread = points.iter().fold(Matrix3::zeros(), |m, p| {
        m + (p - middle) * (p - middle).transpose()
    });
    let eigen = SymmetricEigen::new(spread);
    let least = eigen.eigenvalues.imin();
    (middle, eigen.eigenvectors.column(least).into_owned())
}

/// Centre and radius of the circle nearest to a duct in its plane (Kåsa's linear fit).
fn circle(tube: &Tube, end: f64) -> (Vec3, f64) {
    let points = along(tube, end);
    let (middle, normal) = plane(&points);
    let across = normal
        .cross(&Vec3::new(0.3, 0.5, 0.8))
        .try_normalize(1e-6)
        .unwrap_or(Vec3::x());
    let up = normal.cross(&across);
    let (mut left, mut right) = (Matrix3::zeros(), Vec3::zeros());
    for p in &points {
        let (x, y) = ((p - middle).dot(&across), (p - middle).dot(&up));
        let row = Vec3::new(x, y, 1.0);
        left += row * row.transpose();
        right += row * (x * x + y * y);
    }
    let solved = left.try_inverse().map_or(Vec3::zeros(), |m| m * right);
    let (x, y) = (solved.x / 2.0, solved.y / 2.0);
    let radius = (solved.z + x * x + y * y).max(0.0).sqrt();
    (middle + across * x + up * y, radius)
}

/// The rotation that takes one set of vectors nearest to another (Kabsch 1976, Acta Cryst A32:922).
fn best_turn(from: &[Vec3], to: &[Vec3]) -> Rotation3<f64> {
    let m = from
        .iter()
        .zip(to)
        .fold(Matrix3::zeros(), |m, (a, b)| m + b * a.transpose());
    let svd = m.svd(true, true);
    let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else {
        return Rotation3::identity();
    };
    let handed = Matrix3::from_diagonal(&Vec3::new(1.0, 1.0, (u * v_t).determinant().signum()));
    Rotation3::from_matrix_unchecked(u * handed * v_t)
}

/// The utricle of the table, or the mean adult's laid between the five openings.
fn utricle(table: &Table, curves: &[Curve; 3], mean: &Anatomy) -> Result<Utricle, AnatomyError> {
    match table.lines[4].as_slice() {
        [] => {
            let mean = EarShape::left(mean)?;
            let model = mean.openings().map(|o| o.centre_in_reid_mm);
            let ends = [
                curves[0].at(0.0).0,
                curves[1].at(0.0).0,
                curves[2].at(0.0).0,
                curves[0].at(curves[0].length_mm()).0,
                curves[1].at(curves[1].length_mm()).0,
            ];
            let [middle, there] = [model, ends].map(|p| p.iter().sum::<Vec3>() / 5.0);
            let turn = best_turn(&model.map(|p| p - middle), &ends.map(|p| p - there));
            Ok(Utricle {
                centre_in_reid_mm: there + turn * (mean.utricle.centre_in_reid_mm - middle),
                axes_in_reid: mean.utricle.axes_in_reid.map(|a| turn * a),
                semi_axes_mm: mean.utricle.semi_axes_mm,
            })
        }
        [centre, tips @ ..] if tips.len() == 3 => half_axes(centre, tips),
        rows => Err(AnatomyError::Line {
            line: rows[0].line,
            canal: NAMES[4],
            point: 1,
            what: "points",
            found: format!("{}", rows.len()),
            allowed: "none, or 4: centre and tips of the long, wide and high half axis".to_owned(),
        }),
    }
}

fn half_axes(centre: &Point, tips: &[Point]) -> Result<Utricle, AnatomyError> {
    let arms = [0, 1, 2].map(|i: usize| tips[i].at - centre.at);
    for i in 0..3 {
        let refuse = |what, found, allowed: &str| {
            Err(AnatomyError::Line {
                line: tips[i].line,
                canal: NAMES[4],
                point: i + 2,
                what,
                found,
                allowed: allowed.to_owned(),
            })
        };
        let semi = arms[i].norm();
        if !(0.5..=4.0).contains(&semi) {
            return refuse("half axis", format!("{semi:.2} mm"), "0.5 to 4 mm");
        }
        for other in &arms[..i] {
            let deg = angle_between_rad(arms[i], *other).to_degrees();
            if (deg - 90.0).abs() > 3.0 {
                let found = format!("{deg:.1} degrees to another one");
                return refuse("half axis", found, "87 to 93 degrees");
            }
        }
    }
    // Square to each other to the last digit.
    let long = arms[0].normalize();
    let wide = (arms[1] - long * long.dot(&arms[1])).normalize();
    let high = long.cross(&wide);
    let high = high * high.dot(&arms[2]).signum();
    Ok(Utricle {
        centre_in_reid_mm: centre.at,
        axes_in_reid: [long, wide, high],
        semi_axes_mm: arms.map(|a| a.norm()),
    })
}

/// A lumen must not run into itself.
fn apart_from_itself(tube: &Tube, curve: &Curve) -> Result<(), AnatomyError> {
    let (from, to) = tube.range_mm();
    let places: Vec<_> = (0..=((to - from) / 0.1) as i32)
        .map(|i| from + f64::from(i) * 0.1)
        .map(|s| (s, tube.at(s)))
        .collect();
    for (i, (s, (p, _, r))) in places.iter().enumerate() {
        for (s2, (q, _, r2)) in &places[i..] {
            let gap = (p - q).norm() - r - r2;
            if s2 - s > APART_MM && gap < LEAST_WALL_MM && *s > 0.0 {
                let row = nearest(&curve.points, *q);
                let found = format!("{gap:.3} mm to an earlier part of the same line");
                return Err(curve.error(row, "contact", found, "at least 0.05 mm".to_owned()));
            }
        }
    }
    Ok(())
}

fn nearest(points: &[Point], p: Vec3) -> usize {
    (0..points.len())
        .min_by(|a, b| {
            let off = |i: usize| (points[i].at - p).norm_squared();
            off(*a).total_cmp(&off(*b))
        })
        .unwrap_or(0)
}

/// A contact told with the row of the table that is nearest to it.
fn with_row(error: AnatomyError, table: &Table) -> AnatomyError {
    let AnatomyError::Contact {
        between,
        at_mm,
        gap_mm,
        least_mm,
    } = error
    else {
        return error;
    };
    let name = |region: Region| match region {
        Region::Duct(c) | Region::ShortArm(c) => Some(c.index()),
        Region::CommonCrus => Some(3),
        Region::Utricle => None,
    };
    let which = name(between[0]).or(name(between[1])).unwrap_or(0);
    let row = nearest(&table.lines[which], Vec3::from(at_mm));
    AnatomyError::Line {
        line: table.lines[which].get(row).map_or(1, |p| p.line),
        canal: NAMES[which],
        point: row + 1,
        what: "contact",
        found: format!(
            "{gap_mm:.3} mm between {} and {}",
            between[0].name(),
            between[1].name()
        ),
        allowed: format!("at least {least_mm:.3} mm"),
    }
}
