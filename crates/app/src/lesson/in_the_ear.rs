//! What debris did in a hold, in words.

use lithodrome_labyrinth::CanalId;

use crate::{case::clearing, work::stage_data::Loaded};

/// What moved less than this lay still, mm (assumed).
const STILL_MM: f32 = 0.1;

/// How far the debris moved between two times, and where it is at the end of it.
pub(super) fn words(loaded: &Loaded, from_s: f64, to_s: f64) -> String {
    let all = loaded.run.tracks.len();
    if all == 0 {
        return "there is no debris.".to_owned();
    }
    let [from, to] = [from_s, to_s].map(|time_s| loaded.between(time_s));
    let ways = loaded.run.tracks.iter().filter_map(|track| {
        let way = to.of_f32(&track.course_mm) - from.of_f32(&track.course_mm);
        way.is_finite().then_some(way)
    });
    let farthest = ways.fold(
        0.0,
        |most: f32, way| {
            if way.abs() > most.abs() { way } else { most }
        },
    );
    let moved = if farthest.abs() < STILL_MM {
        "nothing on its course moved".to_owned()
    } else {
        let way = if farthest > 0.0 {
            "on toward the utricle"
        } else {
            "back toward the cupula"
        };
        format!("up to {:.1} mm {way}", farthest.abs())
    };
    let names: Vec<String> = loaded
        .affected()
        .into_iter()
        .map(|(ear, canal)| CanalId { ear, canal }.name())
        .collect();
    let places = clearing::words(&loaded.places_at(to_s), all, &names.join(" and "));
    format!("{moved}. {places}")
}
