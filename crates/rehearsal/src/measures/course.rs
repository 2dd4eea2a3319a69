//! The course of a canal from its cupula through duct and crus to the utricle: its marks and its line.

use lithodrome_labyrinth::{Canal, EarShape, Vec3};

/// Places along a canal's course, mm from its cupula.
#[derive(Clone, Copy, Debug)]
pub struct CourseMarks {
    /// The utricle, where the course ends.
    pub utricle_mm: f64,
    /// The apex of the arc.
    pub apex_mm: f64,
    /// Where the common crus begins, if the canal has one.
    pub crus_mm: Option<f64>,
}

impl CourseMarks {
    /// The marks of a canal. The apex is the place of the duct farthest from the line between its two ends.
    pub fn of(ear: &EarShape, canal: Canal) -> CourseMarks {
        let marks = &ear.canal(canal).landmarks;
        let tube = ear.tube(canal);
        let (from, to) = (tube.at(0.0).0, tube.at(marks.duct_end_mm).0);
        let chord = (to - from).normalize();
        let off = |p: Vec3| (p - from - chord * chord.dot(&(p - from))).norm();
        let apex = (0..=200)
            .map(|i| marks.duct_end_mm * f64::from(i) / 200.0)
            .max_by(|a, b| off(tube.at(*a).0).total_cmp(&off(tube.at(*b).0)));
        CourseMarks {
            utricle_mm: marks.opening_mm,
            apex_mm: apex.unwrap_or(marks.duct_end_mm / 2.0),
            crus_mm: marks.crus_from_mm,
        }
    }
}

/// Points along a canal's course, each about 0.1 mm from the next; the posterior canal's goes on in the
/// crus, which is the anterior tube's.
pub fn course_line(shape: &EarShape, canal: Canal) -> Vec<Vec3> {
    let marks = &shape.canal(canal).landmarks;
    let n = (marks.opening_mm / 0.1).ceil().max(2.0) as usize;
    let merge_mm = shape.canal(Canal::Anterior).landmarks.duct_end_mm + shape.merge_mm;
    let at = |mm: f64| {
        if canal == Canal::Posterior && mm > marks.duct_end_mm {
            let beyond_mm = mm - marks.duct_end_mm;
            shape.tube(Canal::Anterior).at(merge_mm + beyond_mm).0
        } else {
            shape.tube(canal).at(mm).0
        }
    };
    (0..=n)
        .map(|i| at(marks.opening_mm * i as f64 / n as f64))
        .collect()
}
