//! A small band of plausible ears for one scenario, and what they agree on.

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::{Anatomy, Labyrinth, WallSurface};
use lithodrome_rehearsal::{
    BandMember, BandVerdict, EarsCache, Judged, RehearsalError, Scenario, check, load_anatomy,
};
use rayon::prelude::*;

use super::member::Member;
use super::plausible_set::PlausibleSet;
use super::unknown::Unknown;
use crate::StudyError;

/// Ears of a band.
pub const BAND: usize = 12;

/// The ears of an anatomy with plausible sets of the numbers that nobody has measured, the most central set
/// first and the others evenly from the rest; sets whose ears cannot be built are passed over. Of a table
/// of centre-lines, which is measured, only the surface of the walls differs.
pub fn plausible_band(
    anatomy: &str,
    base_dir: &Path,
    ears: &EarsCache,
) -> Result<Vec<BandMember>, StudyError> {
    let members = PlausibleSet::shipped()?.members();
    if Path::new(anatomy).extension().is_some_and(|e| e == "csv") {
        let own = ears.labyrinth(anatomy, base_dir)?;
        let rolled = spread(&members).map(|member| {
            let labyrinth = Labyrinth {
                wall_surface: Some(WallSurface {
                    rolling_resistance: member.value(Unknown::RollingResistance),
                    rolling_gap: member.rolling_gap(),
                }),
                ..(*own).clone()
            };
            band_member(member, labyrinth)
        });
        return Ok(rolled.take(BAND).collect());
    }
    let own = load_anatomy(anatomy, base_dir)?;
    Ok(built(&members, &own))
}

fn built(members: &[Member], own: &Anatomy) -> Vec<BandMember> {
    let Some(central) = members.first() else {
        return Vec::new();
    };
    let before = central.taken_from(own);
    let built = spread(members).filter_map(|member| {
        let labyrinth = Labyrinth::build(&member.applied_to(&before)).ok()?;
        Some(band_member(member, labyrinth))
    });
    built.take(BAND).collect()
}

/// The first, then one in so many that a band reaches through all, then those between.
fn spread(members: &[Member]) -> impl Iterator<Item = &Member> {
    let stride = (members.len() / BAND).max(1);
    (0..stride).flat_map(move |from| members.iter().skip(from).step_by(stride))
}

fn band_member(member: &Member, labyrinth: Labyrinth) -> BandMember {
    let told = Unknown::ALL.into_iter().filter_map(|unknown| {
        let words = unknown.words_in_a_band()?;
        Some((words.to_owned(), member.value(unknown)))
    });
    BandMember {
        numbers: told.collect(),
        labyrinth: Arc::new(labyrinth),
    }
}

/// What the plausible ears say of a scenario, on all cores. `go_on` may break it off.
pub fn verdict_over(
    scenario: &Scenario,
    band: &[BandMember],
    go_on: &(dyn Fn() -> ControlFlow<()> + Sync),
) -> Result<BandVerdict, RehearsalError> {
    check(scenario)?;
    let judged: Vec<Result<Judged, RehearsalError>> = band
        .par_iter()
        .map(|member| member.judge(scenario, &mut |_| go_on()))
        .collect();
    Ok(BandVerdict::of(band, &judged))
}
