//! Where the energy of falling debris goes: into drag, into the flow through the canal, into the cupula.
//!
//! With v = M W/ζ + β Q t/A, R Q = ΔP − K V and ΔP = β W·t/A, the energy E = −Σ W·x + K V²/2 falls at
//! the rate Σ W·M·W/ζ + R Q² (hand calculation). It holds only if the β of the flow that carries debris
//! is that of the pressure that debris makes. In an ordinary duct one clump loses a thousandth of its
//! energy to the flow; here thirty clumps in a slender ring lose 7 % to flow and cupula, so that a β that is
//! off by 2 % in one of the equations would show.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use std::sync::Arc;

use lithodrome_debris::drag::DragTable;
use lithodrome_debris::{Engine, Live, Model, Physics, Rolling, stokes_speed_mm_s};
use lithodrome_labyrinth::Ring;
use rig::{CALCITE, CANAL, at_angle, hold};

const CLUMPS: usize = 30;
const DIAMETER_UM: f64 = 50.0;

#[test]
fn drag_flow_and_cupula_take_all_of_the_energy() {
    let ring = Ring {
        duct_radius_mm: 0.05,
        ..Ring::default()
    };
    // All on one spot: they fall as one.
    let physics = Physics {
        contacts: false,
        ..Physics::default()
    };
    let lowest_deg = ring.lowest_upright_rad.to_degrees();
    let pose = hold(&ring, lowest_deg, 1.0).at(0.5);
    let group = at_angle(&ring, 1, DIAMETER_UM, lowest_deg + 80.0);
    let labyrinth = Arc::new(ring.labyrinth());
    let model = Model::new(labyrinth, &[group; CLUMPS], physics, &pose).unwrap();
    let fluid = model.fluid(CANAL.ear).clone();
    let canal = CANAL.canal.index();
    let (stiffness, resistance) = (fluid.stiffness[canal], fluid.resistance[(canal, canal)]);
    let weight_nn = model.bodies[0].buoyant_mass_mg * physics.gravity_mm_s2;
    let a = DIAMETER_UM / 2000.0;
    let lambda = a / ring.duct_radius_mm;
    let rolling = Rolling::default();
    let off_axis = 1.0 - lambda * (1.0 + rolling.gap);
    let m = DragTable::new().at(&rolling, lambda, off_axis, rolling.gap);
    let drift_mm_s = m.along * stokes_speed_mm_s(a, CALCITE, &physics);

    let mut live = Live::new(Arc::new(model), Engine::Settling, &pose);
    // Sum of heights, sine of the slope at the first clump, volume.
    let look = |live: &Live| {
        let now = live.snapshot();
        let height: f64 = now.bodies.iter().map(|b| b.position_in_reid_mm.z).sum();
        let first = now.bodies[0].position_in_reid_mm;
        let signal = now.debris_signal_rad_s[CANAL.index()];
        let volume = signal * fluid.gain_mm3_per_rad_s[canal];
        (height, -first.y / first.norm(), volume)
    };
    let (first, mut before) = (look(&live), look(&live));
    let (mut drag, mut flow) = (0.0, 0.0);
    let dt_s = 0.02;
    for _ in 0..400 {
        live.advance(&pose, dt_s).unwrap();
        let now = look(&live);
        let slope = 0.5 * (before.1 + now.1);
        let through = (now.2 - before.2) / dt_s;
        drag += CLUMPS as f64 * weight_nn * drift_mm_s * slope * slope * dt_s;
        flow += resistance * through * through * dt_s;
        before = now;
    }
    let fallen = weight_nn * (first.0 - before.0);
    let bent = 0.5 * stiffness * before.2 * before.2;
    println!(
        "fallen {fallen:.4} nN mm: drag {drag:.4}, flow {flow:.4}, cupula {bent:.4}; {:.4}",
        (drag + flow + bent) / fallen
    );
    assert!(flow > 0.02 * fallen && bent > 0.02 * fallen);
    assert!(((drag + flow + bent) / fallen - 1.0).abs() < 5e-4);
}
