//! Where the neighbours of a drawn ear settle: the numbers of an anatomy that no one has measured and
//! that were chosen to make its parts meet are chosen anew once planes and radii have changed.

use crate::build::construct::{anterior_azimuth_rad, cupula_gap_mm};
use crate::variation::draw::Redrawn;
use crate::{Anatomy, AnatomyError, Canal, Labyrinth};

/// Tries to make room between the ampullae before an ear is given up.
const TRIES: usize = 6;
/// What each try moves the anterior cupula up its arc, degrees, and the lateral arc outward, mm.
const TRY_DEG: f64 = 3.0;
const TRY_MM: f64 = 0.1;

/// Chooses the assumed numbers of `varied` so that its parts lie to each other as in `mean`.
///
/// The crus top goes with the posterior radius, so that half of the posterior arc stays below the
/// lateral plane (Spoor & Zonneveld 1998). Utricle and lateral ampulla follow the anterior ampulla,
/// their neighbour: they turn with it about the crus and grow with its arc, and so do the ampullae.
/// The lateral arc turns and grows about its cupula, and the anterior cupula takes the place on its
/// arc that keeps it as far from the lateral one.
pub(crate) fn resettle(varied: &mut Anatomy, mean: &Anatomy, set: &Redrawn) {
    let taller = varied.posterior.arc_radius_mm.value / mean.posterior.arc_radius_mm.value;
    set.number(&mut varied.crus.top_mm, |top| top * taller);
    let azimuth_rad = anterior_azimuth_rad(varied) - anterior_azimuth_rad(mean);
    let growth = varied.anterior.arc_radius_mm.value / mean.anterior.arc_radius_mm.value;
    let (sin, cos) = azimuth_rad.sin_cos();
    let moved = |x: f64, y: f64| [(x * cos - y * sin) * growth, (x * sin + y * cos) * growth];
    let utricle = &mut varied.utricle;
    set.number(&mut utricle.centre_mm, |[x, y, z]| {
        let [x, y] = moved(x, y);
        [x, y, z * growth]
    });
    set.number(&mut utricle.azimuth_deg, |a| a + azimuth_rad.to_degrees());
    set.number(&mut utricle.semi_axes_mm, |semi| semi.map(|r| r * growth));
    set.number(&mut varied.port_radius_mm, |r| r * growth);
    for canal in Canal::ALL {
        set.number(&mut varied.canal_mut(canal).ampulla_radius_mm, |r| {
            r * growth
        });
    }
    let (old, new) = (lateral_cupula_mm(mean), lateral_cupula_mm(varied));
    let cupula = moved(
        mean.lateral_centre_mm.value[0] + old[0],
        mean.lateral_centre_mm.value[1] + old[1],
    );
    set.number(&mut varied.lateral_centre_mm, |_| {
        [cupula[0] - new[0], cupula[1] - new[1]]
    });
    let beside_deg = anterior_cupula_beside_lateral_deg(varied, cupula_gap_mm(mean) * growth);
    set.number(&mut varied.anterior.cupula_angle_deg, |_| beside_deg);
}

/// The lateral cupula seen from the centre of its arc, along e1 and e2.
fn lateral_cupula_mm(anatomy: &Anatomy) -> [f64; 2] {
    let radius = anatomy.lateral.arc_radius_mm.value;
    let (sin, cos) = anatomy
        .lateral
        .cupula_angle_deg
        .value
        .to_radians()
        .sin_cos();
    [radius * cos, radius * sin]
}

/// The place of the anterior cupula on its arc at which it is `gap_mm` from the lateral one, on the
/// side of the apex; the nearest to that if it always stays farther away.
fn anterior_cupula_beside_lateral_deg(anatomy: &Anatomy, gap_mm: f64) -> f64 {
    let mut tried = anatomy.clone();
    let mut gap_at = |deg: f64| {
        tried.anterior.cupula_angle_deg.value = deg;
        cupula_gap_mm(&tried)
    };
    // From the apex on the gap shrinks to its least and grows again.
    let mut nearest_deg = 150.0;
    for deg in 150..=270 {
        if gap_at(f64::from(deg)) < gap_at(nearest_deg) {
            nearest_deg = f64::from(deg);
        }
    }
    let (mut far_deg, mut near_deg) = (150.0, nearest_deg);
    for _ in 0..40 {
        let middle = 0.5 * (far_deg + near_deg);
        if gap_at(middle) > gap_mm {
            far_deg = middle;
        } else {
            near_deg = middle;
        }
    }
    near_deg
}

/// The anatomy once its ear builds: as long as parts touch, the anterior cupula moves up its arc and
/// the lateral arc outward. The last contact if that does not help.
pub(crate) fn make_room(mut anatomy: Anatomy) -> Result<Anatomy, AnatomyError> {
    for _ in 1..TRIES {
        match Labyrinth::build(&anatomy) {
            Ok(_) => return Ok(anatomy),
            Err(AnatomyError::Contact { .. }) => {
                anatomy.anterior.cupula_angle_deg.value -= TRY_DEG;
                anatomy.lateral_centre_mm.value[1] += TRY_MM;
            }
            Err(error) => return Err(error),
        }
    }
    Labyrinth::build(&anatomy).map(|_| anatomy)
}
