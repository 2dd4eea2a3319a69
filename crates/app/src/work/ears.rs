//! Ears that have been built and drawn, for the next scenario in the same ears.

use std::{
    sync::{Arc, Mutex, OnceLock, PoisonError},
    thread,
};

use lithodrome_labyrinth::{Canal, CanalShape, Ear, Labyrinth, Vec3};
use lithodrome_rehearsal::{CourseMarks, DrainMap, EarsCache, course_line};

use crate::{
    work::progress::Waker,
    work::stage_data::{CupulaShape, EarShape},
};

/// A labyrinth and how its ears look.
type Drawn = (Arc<Labyrinth>, Arc<[EarShape; 2]>);

/// Built ears, and how those that are shown look.
#[derive(Debug, Default)]
pub struct Ears {
    /// For the engines.
    pub built: EarsCache,
    drawn: Mutex<Option<Drawn>>,
}

impl Ears {
    /// How a labyrinth looks; its surfaces are made meanwhile, the ear `first` before the other.
    pub(crate) fn shapes(
        &self,
        labyrinth: &Arc<Labyrinth>,
        first: Ear,
        waker: &Waker,
    ) -> Arc<[EarShape; 2]> {
        let mut drawn = self.drawn.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((of, shapes)) = drawn.as_ref()
            && Arc::ptr_eq(of, labyrinth)
        {
            return shapes.clone();
        }
        let shapes = Arc::new(Ear::ALL.map(|ear| ear_shape(labyrinth, ear)));
        *drawn = Some((labyrinth.clone(), shapes.clone()));
        let (labyrinth, waker) = (labyrinth.clone(), waker.clone());
        let made = shapes.clone();
        thread::spawn(move || {
            for ear in [first, first.other()] {
                made[ear.index()]
                    .surface
                    .get_or_init(|| labyrinth.ear(ear).surface());
                waker();
            }
        });
        shapes
    }
}

fn ear_shape(labyrinth: &Labyrinth, ear: Ear) -> EarShape {
    let shape = labyrinth.ear(ear);
    let (mut low, mut high) = (Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY));
    for canal in Canal::ALL {
        let end = shape.canal(canal).landmarks.duct_end_mm;
        for i in 0..=100 {
            let at = shape.tube(canal).at(end * f64::from(i) / 100.0).0;
            (low, high) = (low.inf(&at), high.sup(&at));
        }
    }
    let courses = Canal::ALL.map(|c| CourseMarks::of(shape, c));
    let lines = Canal::ALL.map(|c| course_line(shape, c));
    EarShape {
        drains: Canal::ALL.map(|c| DrainMap::new(&lines[c.index()], &courses[c.index()])),
        lines_in_reid_mm: lines,
        arcs: Canal::ALL.map(|c| {
            let marks = shape.canal(c).landmarks;
            (marks.arc_centre_in_reid_mm, marks.arc_radius_mm)
        }),
        surface: OnceLock::new(),
        centre_in_reid_mm: (low + high) / 2.0,
        cupulae: shape.canals.each_ref().map(cupula),
        courses,
        labels_in_reid_mm: Canal::ALL.map(|c| {
            shape
                .tube(c)
                .at(shape.canal(c).landmarks.duct_end_mm / 2.0)
                .0
        }),
    }
}

fn cupula(canal: &CanalShape) -> CupulaShape {
    CupulaShape {
        centre_in_reid_mm: canal.cupula.centre_in_reid_mm,
        to_duct_in_reid: canal.cupula.to_duct_in_reid,
        radius_mm: canal.cupula.radius_mm,
        thickness_mm: canal.cupula.thickness_mm,
    }
}
