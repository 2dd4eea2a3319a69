//! The line graph of the search against the engine: does debris leave its canal in a hold?
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::Path;
use std::sync::Arc;

use lithodrome_debris::final_states;
use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth, Region, Vec3, frame};
use lithodrome_rehearsal::{
    At, Compiled, DebrisEntry, Scenario, compile_in, load_anatomy, posture_of_down,
    scenario_from_ron,
};
use lithodrome_study::{CaseDraw, CaseMixture, LineDebris, LineGraph, Population, UnitPoint};

/// Holds in one ear.
const HOLDS_PER_EAR: u32 = 4;
/// First dimension of the unit cube that no case is drawn by.
const FREE: u32 = 300;

/// How many holds of each canal are tried; `LITHODROME_HOLDS` asks for more.
fn holds() -> u32 {
    let asked = std::env::var("LITHODROME_HOLDS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(400)
}

/// Ears with this seed were not looked at while the line graph was made; those with others were.
fn seed() -> u32 {
    let asked = std::env::var("LITHODROME_SEED").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(90_210)
}

/// One hold from a random place, in a random direction, of a random length.
struct Rest {
    arc_mm: f64,
    down_in_head: Vec3,
    hold_s: f64,
}

impl Rest {
    fn drawn(point: UnitPoint, number: u32, end_mm: f64) -> Rest {
        let at = |dimension| point.at(FREE + 8 * number + dimension);
        // Even over the sphere; from 5 s to 2 min, short ones as common as long ones by their logarithm.
        let z = 2.0 * at(0) - 1.0;
        let (sin, cos) = (std::f64::consts::TAU * at(1)).sin_cos();
        let across = (1.0 - z * z).sqrt();
        Rest {
            arc_mm: end_mm * (0.03 + 0.97 * at(2)),
            down_in_head: Vec3::new(across * cos, across * sin, z),
            hold_s: 5.0 * 24_f64.powf(at(3)),
        }
    }

    fn scenario(&self, entry: DebrisEntry) -> Scenario {
        let posture = posture_of_down(self.down_in_head.into(), 0.0).unwrap();
        let text = format!(
            "(format: 1, title: \"Hold\", chair: (yaw_deg: {:?}, track_deg: {:?}), steps: [(name: \"Hold\", \
             move_s: 0.0, hold_s: {:?})])",
            posture.yaw_deg, posture.track_deg, self.hold_s
        );
        let mut scenario = scenario_from_ron(&text, Path::new("hold.ron")).unwrap();
        scenario.debris = vec![entry];
        scenario
    }
}

/// What the line graph says of a hold.
fn by_line(labyrinth: &Labyrinth, id: CanalId, draw: &CaseDraw, hold: &Rest) -> (bool, String) {
    let debris = LineDebris::new(
        draw.diameter_um,
        draw.density_g_cm3,
        draw.rolling_resistance,
        draw.rolling_gap,
    );
    let graph = LineGraph::of(labyrinth.ear(id.ear), &debris);
    let reid_from_head = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse();
    let drain = graph.drain(&(reid_from_head * hold.down_in_head));
    let from = graph.cell_at(id.canal, hold.arc_mm);
    let end = drain.after(from, hold.hold_s);
    let rests = drain.after(from, 1e4);
    let told = format!(
        "{:?}, in the end {:?}",
        graph.place(end),
        graph.place(rests)
    );
    (graph.is_out(end), told)
}

/// Share of the holds in which line graph and engine agree whether debris is out.
fn agreement(id: CanalId, seed: u32, n: u32) -> f64 {
    let mixture = CaseMixture::usual().unwrap();
    let mean = load_anatomy("mean-adult", Path::new("")).unwrap();
    let population = Population::new(mixture, mean, seed).unwrap();
    // [line][engine]
    let mut counts = [[0_u32; 2]; 2];
    let mut wrong = Vec::new();
    for index in 0..n.div_ceil(HOLDS_PER_EAR) {
        let draw = population.draw(index);
        let Ok(labyrinth) = population.labyrinth(&draw) else {
            continue;
        };
        let end_mm = labyrinth.canal(id).landmarks.duct_end_mm;
        let holds: Vec<Rest> = (0..HOLDS_PER_EAR)
            .map(|number| Rest::drawn(draw.point, number, end_mm))
            .collect();
        let compiled: Vec<Compiled> = holds
            .iter()
            .map(|hold| {
                let mut entry = draw.debris(id, &labyrinth);
                entry.at = At::Arc { mm: hold.arc_mm };
                compile_in(&hold.scenario(entry), Arc::clone(&labyrinth)).unwrap()
            })
            .collect();
        let runs: Vec<_> = compiled.iter().map(|c| (&c.model, &c.motion)).collect();
        let ends = final_states(&runs, &mut |_| ());
        for (hold, end) in holds.iter().zip(ends.into_iter().map(Result::unwrap)) {
            let region = end.bodies[0].place.region;
            let out = matches!(region, Region::Utricle | Region::ShortArm(_));
            let (line, at) = by_line(&labyrinth, id, &draw, hold);
            counts[usize::from(line)][usize::from(out)] += 1;
            if line != out {
                wrong.push(format!(
                    "ear {index}: from {:.1} mm, {:.0} s, {:.0} µm, resistance {:.2}: engine {:?}, line {at}; down {:?}",
                    hold.arc_mm,
                    hold.hold_s,
                    draw.diameter_um,
                    draw.rolling_resistance,
                    end.bodies[0].place,
                    hold.down_in_head
                ));
            }
        }
    }
    let [[neither, engine_only], [line_only, both]] = counts;
    let of = neither + engine_only + line_only + both;
    println!(
        "{}: out in both {both}, in neither {neither}, in the engine only {engine_only}, in the line graph only \
         {line_only}\n{}",
        id.name(),
        wrong.join("\n")
    );
    f64::from(both + neither) / f64::from(of)
}

#[test]
fn the_line_graph_says_like_the_engine_whether_debris_leaves() {
    let shares: Vec<f64> = [
        (Canal::Anterior, Ear::Left),
        (Canal::Lateral, Ear::Right),
        (Canal::Posterior, Ear::Right),
    ]
    .into_iter()
    .map(|(canal, ear)| agreement(CanalId { ear, canal }, seed(), holds()))
    .collect();
    assert!(shares.iter().all(|share| *share >= 0.98), "{shares:?}");
}
