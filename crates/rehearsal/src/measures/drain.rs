//! Where debris would come to rest in a canal for every direction of gravity in the head.
//!
//! Plain geometry of the canal's course, no physics of motion: the lowest place that the course offers,
//! which is where patience would find the debris if it could cross every rise.

use std::f64::consts::{PI, TAU};

use lithodrome_labyrinth::{Canal, EarShape, Vec3};

use super::course::{CourseMarks, course_line};

/// Rows (from pole to pole) and columns (around) of the table.
const ROWS: usize = 90;
const COLUMNS: usize = 180;
/// The apex reaches this share of the course to either side.
const APEX_SHARE: f64 = 1.0 / 8.0;

/// A part of a canal's course.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CoursePart {
    /// From the cupula up to the apex.
    AmpullaryArm,
    /// An eighth of the course to either side of the apex.
    Apex,
    /// Beyond the apex.
    FarArm,
    /// The common crus.
    Crus,
    /// The opening into the utricle: debris leaves.
    Out,
}

impl CoursePart {
    /// In the order of the course.
    pub const ALL: [CoursePart; 5] = [
        CoursePart::AmpullaryArm,
        CoursePart::Apex,
        CoursePart::FarArm,
        CoursePart::Crus,
        CoursePart::Out,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            CoursePart::AmpullaryArm => "ampullary arm",
            CoursePart::Apex => "apex",
            CoursePart::FarArm => "non-ampullary arm",
            CoursePart::Crus => "common crus",
            CoursePart::Out => "out, utricle",
        }
    }
}

/// The part that a place lies in, mm from the cupula.
pub fn part_at(marks: &CourseMarks, course_mm: f64) -> CoursePart {
    let wide = marks.utricle_mm * APEX_SHARE;
    if course_mm >= marks.utricle_mm - 1e-6 {
        CoursePart::Out
    } else if marks.crus_mm.is_some_and(|from| course_mm >= from) {
        CoursePart::Crus
    } else if course_mm > marks.apex_mm + wide {
        CoursePart::FarArm
    } else if course_mm >= marks.apex_mm - wide {
        CoursePart::Apex
    } else {
        CoursePart::AmpullaryArm
    }
}

/// The lowest place of a course for one direction of gravity. `line` are points evenly spaced along the
/// course from the cupula to the utricle, in the axes of `down`.
pub fn lowest_part(line: &[Vec3], marks: &CourseMarks, down: &Vec3) -> CoursePart {
    let lowest = line
        .iter()
        .map(|p| p.dot(down))
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(0, |(i, _)| i);
    let share = lowest as f64 / (line.len().max(2) - 1) as f64;
    part_at(marks, share * marks.utricle_mm)
}

/// The answer for every direction, as a table over the sphere.
#[derive(Clone, Debug, PartialEq)]
pub struct DrainMap {
    /// `[row][column]`, rows from +z to −z.
    rests: Vec<CoursePart>,
}

impl DrainMap {
    /// The table of a canal, directions in Reid axes.
    pub fn of(ear: &EarShape, canal: Canal) -> Self {
        Self::new(&course_line(ear, canal), &CourseMarks::of(ear, canal))
    }

    /// Makes the table, in the axes of `line`.
    pub fn new(line: &[Vec3], marks: &CourseMarks) -> Self {
        let cell = |i: usize| lowest_part(line, marks, &middle(i / COLUMNS, i % COLUMNS));
        Self {
            rests: (0..ROWS * COLUMNS).map(cell).collect(),
        }
    }

    /// The rest for a direction of gravity (of any length but 0), in the axes of the course.
    pub fn at(&self, down: &Vec3) -> CoursePart {
        let polar = (down.z / down.norm().max(1e-12)).clamp(-1.0, 1.0).acos();
        let turn = down.y.atan2(down.x).rem_euclid(TAU);
        let row = ((polar / PI * ROWS as f64) as usize).min(ROWS - 1);
        let column = ((turn / TAU * COLUMNS as f64) as usize).min(COLUMNS - 1);
        self.rests[row * COLUMNS + column]
    }

    /// Share of all directions with this rest, 0 to 1.
    pub fn share(&self, rest: CoursePart) -> f64 {
        let weight = |i: usize| (PI * ((i / COLUMNS) as f64 + 0.5) / ROWS as f64).sin();
        let (mut of, mut all) = (0.0, 0.0);
        for (i, &there) in self.rests.iter().enumerate() {
            all += weight(i);
            if there == rest {
                of += weight(i);
            }
        }
        of / all
    }
}

/// The direction in the middle of a cell.
fn middle(row: usize, column: usize) -> Vec3 {
    let polar = PI * (row as f64 + 0.5) / ROWS as f64;
    let turn = TAU * (column as f64 + 0.5) / COLUMNS as f64;
    Vec3::new(
        polar.sin() * turn.cos(),
        polar.sin() * turn.sin(),
        polar.cos(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter ring upright in the x-z plane: from (1, 0, 0) over (0, 0, 1), 1 mm radius, no crus.
    fn quarter() -> (Vec<Vec3>, CourseMarks) {
        let line = (0..=90)
            .map(|i| f64::from(i).to_radians())
            .map(|a| Vec3::new(a.cos(), 0.0, a.sin()))
            .collect();
        let marks = CourseMarks {
            utricle_mm: PI / 2.0,
            apex_mm: PI / 4.0,
            crus_mm: None,
        };
        (line, marks)
    }

    #[test]
    fn the_lowest_place_of_a_quarter_ring() {
        let (line, marks) = quarter();
        let rest = |x: f64, z: f64| lowest_part(&line, &marks, &Vec3::new(x, 0.0, z));
        // The point of the ring farthest along a direction between its ends is the one at its angle.
        assert_eq!(rest(1.0, 0.0), CoursePart::AmpullaryArm);
        assert_eq!(rest(1.0, 1.0), CoursePart::Apex);
        assert_eq!(rest(0.2, 1.0), CoursePart::FarArm);
        assert_eq!(rest(0.0, 1.0), CoursePart::Out);
        // Beyond its ends it is the nearer end: (1, 0, 0) against (0, 0, 1).
        assert_eq!(rest(-0.5, -1.0), CoursePart::AmpullaryArm);
        assert_eq!(rest(-1.0, -0.5), CoursePart::Out);
    }

    #[test]
    fn the_table_says_the_same_as_the_rule() {
        let (line, marks) = quarter();
        let map = DrainMap::new(&line, &marks);
        for (row, column) in [(0, 0), (12, 7), (31, 60), (89, 179)] {
            let down = middle(row, column);
            assert_eq!(map.at(&(down * 3.0)), lowest_part(&line, &marks, &down));
        }
        let all: f64 = CoursePart::ALL.iter().map(|&r| map.share(r)).sum();
        assert!((all - 1.0).abs() < 1e-9);
        // Out where z exceeds x and z > 0 with x < 0, or x < z < 0: a half of the sphere less the
        // quadrant's share of 45° of 360°, so 3/8 (hand calculation on the circle of directions).
        assert!(
            (map.share(CoursePart::Out) - 0.375).abs() < 0.03,
            "{}",
            map.share(CoursePart::Out)
        );
    }
}
