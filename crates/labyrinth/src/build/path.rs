//! Space curves by arc length, made of circular arcs, cubic bends and straight ends.

use crate::Vec3;
use crate::frame::{length, unit};

/// One piece of a [`Path`].
#[derive(Clone, Debug)]
pub(crate) enum Piece {
    /// `centre + radius (cos a · across + sin a · along)`, from `from_rad` to `to_rad`.
    Arc {
        centre: Vec3,
        radius: f64,
        across: Vec3,
        along: Vec3,
        from_rad: f64,
        to_rad: f64,
    },
    /// Cubic Hermite between two points with end derivatives.
    Bend {
        from: Vec3,
        from_slope: Vec3,
        to: Vec3,
        to_slope: Vec3,
    },
    /// Straight.
    Line { from: Vec3, to: Vec3 },
}

/// Pieces end to end, with arc length measured from the first one's start.
#[derive(Clone, Debug)]
pub(crate) struct Path {
    pieces: Vec<Piece>,
    /// Arc length at the start of each piece, and the whole at the end.
    starts_mm: Vec<f64>,
    /// Arc length over the parameter of each bend, evenly spaced; empty for other pieces.
    tables: Vec<Vec<f64>>,
}

/// Entries of a bend's table.
const TABLE: usize = 128;

impl Piece {
    fn at(&self, u: f64) -> Vec3 {
        match self {
            Piece::Arc {
                centre,
                radius,
                across,
                along,
                from_rad,
                to_rad,
            } => {
                let a = from_rad + u * (to_rad - from_rad);
                centre + *radius * (a.cos() * across + a.sin() * along)
            }
            Piece::Bend {
                from,
                from_slope,
                to,
                to_slope,
            } => {
                let (u2, u3) = (u * u, u * u * u);
                (2.0 * u3 - 3.0 * u2 + 1.0) * from
                    + (u3 - 2.0 * u2 + u) * from_slope
                    + (3.0 * u2 - 2.0 * u3) * to
                    + (u3 - u2) * to_slope
            }
            Piece::Line { from, to } => from + u * (to - from),
        }
    }

    fn slope(&self, u: f64) -> Vec3 {
        match self {
            Piece::Arc {
                radius,
                across,
                along,
                from_rad,
                to_rad,
                ..
            } => {
                let a = from_rad + u * (to_rad - from_rad);
                *radius * (to_rad - from_rad) * (a.cos() * along - a.sin() * across)
            }
            Piece::Bend {
                from,
                from_slope,
                to,
                to_slope,
            } => {
                let u2 = u * u;
                (6.0 * u2 - 6.0 * u) * (from - to)
                    + (3.0 * u2 - 4.0 * u + 1.0) * from_slope
                    + (3.0 * u2 - 2.0 * u) * to_slope
            }
            Piece::Line { from, to } => to - from,
        }
    }

    /// Point and unit tangent at its start.
    pub(crate) fn start(&self) -> (Vec3, Vec3) {
        (self.at(0.0), unit(self.slope(0.0)))
    }

    fn even(&self) -> bool {
        !matches!(self, Piece::Bend { .. })
    }
}

impl Path {
    pub(crate) fn new(pieces: Vec<Piece>) -> Path {
        let mut starts_mm = vec![0.0];
        let mut tables = Vec::with_capacity(pieces.len());
        let mut total = 0.0;
        for piece in &pieces {
            let mut table = Vec::new();
            if piece.even() {
                total += length(&piece.slope(0.0));
            } else {
                // Simpson's rule between the entries: error far below 1e-9 mm.
                let mut length_mm = 0.0;
                table.push(0.0);
                let du = 1.0 / TABLE as f64;
                let speed = |u: f64| length(&piece.slope(u));
                let mut before = speed(0.0);
                for i in 0..TABLE {
                    let u = i as f64 * du;
                    let after = speed(u + du);
                    length_mm += du / 6.0 * (before + 4.0 * speed(u + du / 2.0) + after);
                    table.push(length_mm);
                    before = after;
                }
                total += length_mm;
            }
            tables.push(table);
            starts_mm.push(total);
        }
        Path {
            pieces,
            starts_mm,
            tables,
        }
    }

    /// Arc length of the whole.
    pub(crate) fn length_mm(&self) -> f64 {
        self.starts_mm[self.pieces.len()]
    }

    /// Arc length at the start of a piece.
    pub(crate) fn start_of_mm(&self, piece: usize) -> f64 {
        self.starts_mm[piece]
    }

    /// Point and unit tangent at an arc length, clamped to the path.
    pub(crate) fn at(&self, s_mm: f64) -> (Vec3, Vec3) {
        let last = self.pieces.len() - 1;
        let i = (0..last)
            .find(|&i| s_mm < self.starts_mm[i + 1])
            .unwrap_or(last);
        let piece = &self.pieces[i];
        let local =
            (s_mm - self.starts_mm[i]).clamp(0.0, self.starts_mm[i + 1] - self.starts_mm[i]);
        let u = if piece.even() {
            local / (self.starts_mm[i + 1] - self.starts_mm[i])
        } else {
            bend_parameter(piece, &self.tables[i], local)
        };
        (piece.at(u), unit(piece.slope(u)))
    }
}

fn bend_parameter(piece: &Piece, table: &[f64], local_mm: f64) -> f64 {
    let k = table.partition_point(|&l| l <= local_mm).clamp(1, TABLE) - 1;
    let u0 = k as f64 / TABLE as f64;
    // One step of Runge and Kutta for du/ds = 1/speed, exact to fourth order over 1/128 of the bend.
    let rest = local_mm - table[k];
    let slowness = |u: f64| 1.0 / length(&piece.slope(u));
    let k1 = slowness(u0);
    let k2 = slowness(u0 + 0.5 * rest * k1);
    let k3 = slowness(u0 + 0.5 * rest * k2);
    let k4 = slowness(u0 + rest * k3);
    (u0 + rest / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)).clamp(0.0, 1.0)
}
