//! Where the neighbours of a drawn ear settle: the numbers of an anatomy that no one has measured and
//! that were chosen to make its parts meet are chosen anew once planes and radii have changed.

use crate::build::construct::{Ampullae, anterior_azimuth_rad};
use crate::variation::redrawn::Redrawn;
use crate::{Anatomy, AnatomyError, Canal, Labyrinth, Region};

/// Tries to make room between the ampullae before an ear is given up.
const TRIES: usize = 24;
/// What each try moves the anterior cupula up its arc, degrees, and the lateral arc outward, mm. After some tries steps
/// are shorter, so as not to go back and forth over the room that there is.
const TRY_DEG: f64 = 3.0;
const TRY_MM: f64 = 0.1;
const LONG_TRIES: usize = 8;
const SHORTER: f64 = 0.4;

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
    let mean_rad = mean.anterior.cupula_angle_deg.value.to_radians();
    let wider = varied.anterior.ampulla_radius_mm.value / mean.anterior.ampulla_radius_mm.value;
    let gap_mm = Ampullae::of(mean).gap_mm(mean_rad) * wider.max(growth);
    let beside_deg = Ampullae::of(varied).apart_rad(gap_mm).to_degrees();
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

/// The anatomy and its ears once they build. As long as parts touch, what nobody has measured moves:
/// the lateral arc away from the posterior one, or outward and the anterior cupula up its arc. A lateral
/// arc that misses the utricle moves inward. The last error if that does not help.
pub(crate) fn make_room(mut anatomy: Anatomy) -> Result<(Anatomy, Labyrinth), AnatomyError> {
    let mut tries = 1;
    loop {
        let error = match Labyrinth::build(&anatomy) {
            Ok(labyrinth) => return Ok((anatomy, labyrinth)),
            Err(error) => error,
        };
        let lateral = &mut anatomy.lateral_centre_mm.value;
        let share = if tries < LONG_TRIES { 1.0 } else { SHORTER };
        let (step_mm, step_deg) = (share * TRY_MM, share * TRY_DEG);
        match &error {
            _ if tries == TRIES => return Err(error),
            AnatomyError::Contact { between, .. }
                if *between == [Canal::Lateral, Canal::Posterior].map(Region::Duct) =>
            {
                lateral[0] += step_mm;
            }
            AnatomyError::Contact { .. } => {
                anatomy.anterior.cupula_angle_deg.value -= step_deg;
                lateral[1] += step_mm;
            }
            AnatomyError::NoOpening {
                region: Region::Duct(Canal::Lateral),
                ..
            } => lateral[1] -= step_mm,
            _ => return Err(error),
        }
        tries += 1;
    }
}
