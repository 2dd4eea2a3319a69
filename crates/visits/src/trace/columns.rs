//! The header of a trace: which column is what, in which unit.

use super::problem::ProblemKind;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Quantity {
    Yaw,
    Track,
    /// w, x, y, z of a quaternion by number.
    Quaternion(usize),
}

/// A sensor's columns; the unit is a factor to radians.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum SensorColumns {
    /// Yaw and track: column and radians per unit.
    Angles([(usize, f64); 2]),
    /// w, x, y, z.
    Quaternion([usize; 4]),
}

/// All columns.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Columns {
    /// Names as they stand.
    pub(super) names: Vec<String>,
    /// The time's column and its seconds per unit.
    pub(super) time: (usize, f64),
    /// Sensors by name in the order of the header.
    pub(super) sensors: Vec<(String, SensorColumns)>,
}

/// A sensor while its columns are gathered.
#[derive(Default)]
struct Gathered {
    name: String,
    yaw: Option<(usize, f64)>,
    track: Option<(usize, f64)>,
    quaternion: [Option<usize>; 4],
}

/// Reads a header.
pub(super) fn columns_of(names: &[String]) -> Result<Columns, Vec<ProblemKind>> {
    let mut problems = Vec::new();
    let mut time = None;
    let mut sensors: Vec<Gathered> = Vec::new();
    for (i, name) in names.iter().enumerate() {
        let name = name.trim().to_lowercase();
        if names[..i].iter().any(|n| n.trim().to_lowercase() == name) {
            problems.push(ProblemKind::TwiceColumn { column: name });
            continue;
        }
        match name.as_str() {
            "time_s" => time = time.or(Some((i, 1.0))),
            "time_ms" => time = time.or(Some((i, 1e-3))),
            "time" | "t" => problems.push(ProblemKind::NoUnit {
                column: name,
                allowed: "time_s or time_ms".to_owned(),
            }),
            _ => {
                let (sensor, quantity) = name.rsplit_once('.').unwrap_or(("", &name));
                match quantity_of(quantity) {
                    Ok((quantity, factor)) => {
                        gather(&mut sensors, sensor, quantity, (i, factor));
                    }
                    Err(problem) => problems.push(problem),
                }
            }
        }
    }
    if time.is_none()
        && !problems
            .iter()
            .any(|p| matches!(p, ProblemKind::NoUnit { column, .. } if column.starts_with('t') && !column.starts_with("track")))
    {
        problems.push(ProblemKind::NoTime);
    }
    let mut whole = Vec::new();
    for sensor in sensors {
        match complete(&sensor) {
            Ok(columns) => whole.push((shown(&sensor.name).to_owned(), columns)),
            Err(problem) => problems.push(problem),
        }
    }
    if whole.is_empty() && problems.is_empty() {
        problems.push(ProblemKind::NoSensor);
    }
    match time {
        Some(time) if problems.is_empty() => Ok(Columns {
            names: names.to_vec(),
            time,
            sensors: whole,
        }),
        _ => Err(problems),
    }
}

/// A quantity and its radians per unit.
fn quantity_of(name: &str) -> Result<(Quantity, f64), ProblemKind> {
    let deg = std::f64::consts::PI / 180.0;
    Ok(match name {
        "yaw_deg" => (Quantity::Yaw, deg),
        "yaw_rad" => (Quantity::Yaw, 1.0),
        "track_deg" => (Quantity::Track, deg),
        "track_rad" => (Quantity::Track, 1.0),
        "qw" => (Quantity::Quaternion(0), 1.0),
        "qx" => (Quantity::Quaternion(1), 1.0),
        "qy" => (Quantity::Quaternion(2), 1.0),
        "qz" => (Quantity::Quaternion(3), 1.0),
        "yaw" | "track" => {
            return Err(ProblemKind::NoUnit {
                column: name.to_owned(),
                allowed: format!("{name}_deg or {name}_rad"),
            });
        }
        _ => {
            return Err(ProblemKind::UnknownColumn {
                column: name.chars().take(40).collect(),
            });
        }
    })
}

fn gather(sensors: &mut Vec<Gathered>, name: &str, quantity: Quantity, column: (usize, f64)) {
    let known = sensors.iter().position(|s| s.name == name);
    let at = known.unwrap_or_else(|| {
        sensors.push(Gathered {
            name: name.to_owned(),
            ..Gathered::default()
        });
        sensors.len() - 1
    });
    let sensor = &mut sensors[at];
    match quantity {
        Quantity::Yaw => sensor.yaw = sensor.yaw.or(Some(column)),
        Quantity::Track => sensor.track = sensor.track.or(Some(column)),
        Quantity::Quaternion(k) => {
            sensor.quaternion[k] = sensor.quaternion[k].or(Some(column.0));
        }
    }
}

fn complete(sensor: &Gathered) -> Result<SensorColumns, ProblemKind> {
    let lacks = |missing: &str| ProblemKind::HalfSensor {
        sensor: shown(&sensor.name).to_owned(),
        missing: missing.to_owned(),
    };
    if let [Some(w), Some(x), Some(y), Some(z)] = sensor.quaternion {
        return Ok(SensorColumns::Quaternion([w, x, y, z]));
    }
    if sensor.quaternion.iter().any(Option::is_some) {
        let absent = sensor.quaternion.iter().position(Option::is_none);
        return Err(lacks(["qw", "qx", "qy", "qz"][absent.unwrap_or(0)]));
    }
    match (sensor.yaw, sensor.track) {
        (Some(yaw), Some(track)) => Ok(SensorColumns::Angles([yaw, track])),
        (Some(_), None) => Err(lacks("track_deg")),
        _ => Err(lacks("yaw_deg")),
    }
}

/// A sensor without a name is the chair's only one.
fn shown(name: &str) -> &str {
    if name.is_empty() { "chair" } else { name }
}
