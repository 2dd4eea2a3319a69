//! Published studies of the canal planes, which a population mixes by their numbers of ears.

use crate::{How, Vec3};

/// The mean axes of one study.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneStudy {
    /// Which.
    pub name: &'static str,
    /// How many ears it measured: its weight.
    pub ears: u32,
    /// Axes of head rotations that excite the canals of a left ear, Reid axes, about unit length,
    /// `[canal]`.
    pub n_exc_in_reid: [Vec3; 3],
    /// Author, year, journal and place in it.
    pub source: &'static str,
    /// How the axes are known.
    pub how: How,
}

/// The studies whose mean axes were found.
pub const PLANE_STUDIES: [PlaneStudy; 3] = [
    PlaneStudy {
        name: "Della Santina 2005",
        ears: 44,
        n_exc_in_reid: [
            Vec3::new(-0.58930, 0.78839, -0.17655),
            Vec3::new(-0.32269, -0.03837, 0.94573),
            Vec3::new(-0.69432, -0.66693, -0.27042),
        ],
        source: "Della Santina et al. 2005, J Assoc Res Otolaryngol 6:191, computed tomography, 44 \
            labyrinths pooled",
        how: How::Read,
    },
    PlaneStudy {
        name: "Wu 2021",
        ears: 110,
        n_exc_in_reid: [
            Vec3::new(-0.588, 0.739, -0.329),
            Vec3::new(-0.279, 0.025, 0.960),
            Vec3::new(-0.702, -0.660, -0.266),
        ],
        source: "Wu et al. 2021, Front Neurol 12:741948, magnetic resonance, 55 people; its horizontal \
            plane is that of Reid within about 2 degrees",
        how: How::Derived,
    },
    PlaneStudy {
        name: "Blanks 1975",
        ears: 20,
        n_exc_in_reid: [
            Vec3::new(-0.652, 0.753, 0.017),
            Vec3::new(-0.365, 0.158, 0.905),
            Vec3::new(-0.757, -0.561, -0.320),
        ],
        source: "Blanks, Curthoys & Markham 1975, Acta Otolaryngol 80:185, 10 skulls; as coded by others",
        how: How::Read,
    },
];
