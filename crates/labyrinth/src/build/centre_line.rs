//! One centre-line of a table: checked by itself and made a smooth curve.

use crate::build::centre_line_table::Point;
use crate::build::path::{Path, Piece};
use crate::build::spline;
use crate::{AnatomyError, Utricle, Vec3};

/// Spacing of neighbouring points, mm.
const LEAST_SPACING_MM: f64 = 0.002;
const MOST_SPACING_MM: f64 = 1.0;
/// Lumen radius, mm.
const LEAST_RADIUS_MM: f64 = 0.05;
const MOST_RADIUS_MM: f64 = 1.5;
/// The most that the line may turn from one chord to the next: more is a point out of order.
const MOST_TURN_DEG: f64 = 60.0;
const LEAST_POINTS: usize = 8;
/// How far the end of a line may be from what it joins, mm.
pub(crate) const JOIN_MM: f64 = 0.5;
/// How far a line goes on into the utricle, mm.
const OVERLAP_MM: f64 = 0.4;
/// The cupula is sought within this of the first point, mm.
const AMPULLA_WITHIN_MM: f64 = 5.0;
/// The ampulla is at least this much wider than the middle of the line's radii.
const AMPULLA_RATIO: f64 = 1.4;

/// A smooth curve through points, by arc length from the first of them.
pub(crate) struct Curve {
    /// What the lines are called in errors.
    pub(crate) name: &'static str,
    pub(crate) points: Vec<Point>,
    path: Path,
    knots_mm: Vec<f64>,
    radii: Vec<f64>,
    radius_slopes: Vec<f64>,
}

impl Curve {
    pub(crate) fn through(name: &'static str, points: Vec<Point>) -> Result<Curve, AnatomyError> {
        check(name, &points)?;
        let mut chords = vec![0.0];
        for pair in points.windows(2) {
            let before = chords[chords.len() - 1];
            chords.push(before + (pair[1].at - pair[0].at).norm());
        }
        let slopes: [Vec<f64>; 3] = [0, 1, 2].map(|k| {
            let values: Vec<f64> = points.iter().map(|p| p.at[k]).collect();
            spline::slopes(&chords, &values)
        });
        let slope = |i: usize| Vec3::new(slopes[0][i], slopes[1][i], slopes[2][i]);
        let pieces = (1..points.len())
            .map(|i| Piece::Bend {
                from: points[i - 1].at,
                from_slope: slope(i - 1) * (chords[i] - chords[i - 1]),
                to: points[i].at,
                to_slope: slope(i) * (chords[i] - chords[i - 1]),
            })
            .collect();
        let path = Path::new(pieces);
        let knots_mm: Vec<f64> = (0..points.len()).map(|i| path.start_of_mm(i)).collect();
        let radii: Vec<f64> = points.iter().map(|p| p.radius).collect();
        let radius_slopes = spline::slopes(&knots_mm, &radii);
        Ok(Curve {
            name,
            points,
            path,
            knots_mm,
            radii,
            radius_slopes,
        })
    }

    pub(crate) fn length_mm(&self) -> f64 {
        self.path.length_mm()
    }

    /// Arc length of a row.
    pub(crate) fn knot_mm(&self, point: usize) -> f64 {
        self.knots_mm[point]
    }

    /// Point and unit tangent; straight on beyond the ends.
    pub(crate) fn at(&self, s_mm: f64) -> (Vec3, Vec3) {
        let inside = s_mm.clamp(0.0, self.length_mm());
        let (p, t) = self.path.at(inside);
        (p + t * (s_mm - inside), t)
    }

    /// Lumen radius and its slope; even beyond the ends.
    pub(crate) fn radius_at(&self, s_mm: f64) -> (f64, f64) {
        spline::at(&self.knots_mm, &self.radii, &self.radius_slopes, s_mm)
    }

    /// The row of the cupula: the widest near the first end.
    pub(crate) fn cupula_row(&self) -> Result<usize, AnatomyError> {
        let mut radii = self.radii.clone();
        radii.sort_by(f64::total_cmp);
        let middle = radii[radii.len() / 2];
        let length = self.length_mm();
        let widest = |from: f64, to: f64| {
            (0..self.points.len())
                .filter(|i| (from..=to).contains(&self.knots_mm[*i]))
                .fold(0, |best, i| {
                    let wider = self.points[i].radius > self.points[best].radius;
                    let first = !(from..=to).contains(&self.knots_mm[best]);
                    if wider || first { i } else { best }
                })
        };
        let near = widest(0.0, AMPULLA_WITHIN_MM);
        let far = widest(length - AMPULLA_WITHIN_MM, length);
        let backward = self.points[far].radius > 1.2 * self.points[near].radius;
        if !backward && self.points[near].radius >= AMPULLA_RATIO * middle {
            return Ok(near);
        }
        let (row, what) = if backward {
            (far, "order, the ampulla is at the end of the line")
        } else {
            (near, "ampulla")
        };
        let found = format!("{:.3} mm at the widest", self.points[row].radius);
        let allowed = format!(
            "{AMPULLA_RATIO} times the middle radius ({middle:.3} mm) or more, within \
             {AMPULLA_WITHIN_MM} mm of the first row"
        );
        Err(self.error(row, what, found, allowed))
    }

    /// Where the curve comes out of the utricle at its first end, mm of arc, and where it must begin
    /// to overlap the sac.
    pub(crate) fn mouth(&self, utricle: &Utricle, end: End) -> Result<(f64, f64), AnatomyError> {
        let (edge, outward) = match end {
            End::First => (0.0, -1.0),
            End::Last => (self.length_mm(), 1.0),
        };
        let (p, t) = self.at(edge);
        let depth = utricle.depth(p).0;
        if depth > 1e-3 {
            // The line goes on inside the sac: back along it to the surface.
            let steps = (self.length_mm() / 0.005) as usize;
            let outside = (0..steps)
                .map(|i| edge - outward * i as f64 * 0.005)
                .find(|s| utricle.depth(self.at(*s).0).0 < 0.0)
                .unwrap_or(edge);
            return Ok((outside, edge + outward * (OVERLAP_MM - depth).max(0.0)));
        }
        let gap = if depth > -1e-3 {
            0.0
        } else {
            utricle.first_hit(p, t * outward).unwrap_or(f64::INFINITY)
        };
        if gap > JOIN_MM {
            let row = match end {
                End::First => 0,
                End::Last => self.points.len() - 1,
            };
            let off = (utricle.nearest_surface_point(p) - p).norm();
            let found = format!("{off:.2} mm between this end and the utricle");
            let allowed = format!("at most {JOIN_MM} mm along the line's direction");
            return Err(self.error(row, "join", found, allowed));
        }
        Ok((edge + outward * gap, edge + outward * (gap + OVERLAP_MM)))
    }

    pub(crate) fn error(
        &self,
        row: usize,
        what: &'static str,
        found: String,
        allowed: String,
    ) -> AnatomyError {
        line_error(self.name, &self.points, row, what, found, allowed)
    }
}

/// An end of a curve.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    First,
    Last,
}

fn line_error(
    canal: &'static str,
    points: &[Point],
    row: usize,
    what: &'static str,
    found: String,
    allowed: String,
) -> AnatomyError {
    AnatomyError::Line {
        line: points.get(row).map_or(1, |p| p.line),
        canal,
        point: row + 1,
        what,
        found,
        allowed,
    }
}

fn check(name: &'static str, points: &[Point]) -> Result<(), AnatomyError> {
    let error = |row, what, found, allowed| line_error(name, points, row, what, found, allowed);
    if points.len() < LEAST_POINTS {
        let found = format!("{} points", points.len());
        let last = points.len().saturating_sub(1);
        return Err(error(
            last,
            "points",
            found,
            format!("{LEAST_POINTS} or more"),
        ));
    }
    for (i, point) in points.iter().enumerate() {
        if !(LEAST_RADIUS_MM..=MOST_RADIUS_MM).contains(&point.radius) {
            let found = format!("{} mm", point.radius);
            let allowed = format!("{LEAST_RADIUS_MM} to {MOST_RADIUS_MM} mm");
            return Err(error(i, "radius", found, allowed));
        }
        if i == 0 {
            continue;
        }
        let step = point.at - points[i - 1].at;
        if !(LEAST_SPACING_MM..=MOST_SPACING_MM).contains(&step.norm()) {
            let found = format!("{:.3} mm from the point before", step.norm());
            let allowed = format!("{LEAST_SPACING_MM} to {MOST_SPACING_MM} mm");
            return Err(error(i, "spacing", found, allowed));
        }
        if i > 1 {
            let before = points[i - 1].at - points[i - 2].at;
            let turn = crate::angle_between_rad(before, step).to_degrees();
            if turn > MOST_TURN_DEG {
                let found = format!("a turn of {turn:.0} degrees in the course");
                let allowed = format!("at most {MOST_TURN_DEG} from one point to the next");
                return Err(error(i - 1, "order", found, allowed));
            }
        }
    }
    Ok(())
}
