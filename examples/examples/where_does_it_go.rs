//! Where 50 µm of debris in the right posterior canal goes during one Dix-Hallpike, without a file.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step};
use lithodrome_debris::{
    DebrisGroup, Engine, Matter, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Start, simulate,
};
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let anatomy = Anatomy::named("mean-adult").ok_or("no such anatomy")??;
    let labyrinth = Arc::new(Labyrinth::build(&anatomy)?);
    let chair = |yaw_deg: f64, track_deg: f64| ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: 0.0,
    };
    let back = Step {
        name: "lie back".into(),
        to: chair(45.0, 120.0),
        move_s: 3.0,
        hold_s: 30.0,
    };
    let motion = HeadMotion::new(
        chair(45.0, 0.0),
        vec![back],
        MoveProfile::default(),
        Lever::default(),
    )?;
    let debris = DebrisGroup {
        ear: Ear::Right,
        canal: Canal::Posterior,
        start: Start::AmpullaryArm,
        count: 1,
        diameter_mm: 0.05,
        density_mg_mm3: OTOCONIA_DENSITY_MG_MM3,
        matter: Matter::default(),
    };
    let model = Model::new(labyrinth, &[debris], Physics::default(), &motion.at(0.0))?;
    let run = simulate(&model, &motion, Engine::Settling, &mut |_| {
        ControlFlow::Continue(())
    })?;
    for (i, time_s) in run.time_s.iter().enumerate().step_by(100) {
        let place = run.tracks[0].place[i];
        println!(
            "{time_s:5.1} s  {:5.2} mm into the {}",
            place.arc_mm,
            place.region.name()
        );
    }
    Ok(())
}
