//! Where debris waits in many ears, in one place that people can picture.

use lithodrome_labyrinth::Region;
use serde::Serialize;

/// The part in which debris of most ears is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Waits {
    /// The part, such as "posterior duct".
    pub region: String,
    /// Middle of the arc lengths there, mm: from the cupula in a duct, from its top in the crus.
    pub arc_mm: f64,
    /// Share of all ears, 0 to 1.
    pub share: f64,
}

impl Waits {
    /// In words: "the posterior duct, 6.2 mm from the cupula (57 of 100 ears)".
    pub fn words(&self) -> String {
        let at = if self.region == Region::Utricle.name() {
            String::new()
        } else if self.region == Region::CommonCrus.name() {
            format!(", {:.1} mm below its top", self.arc_mm.max(0.0))
        } else {
            format!(", {:.1} mm from the cupula", self.arc_mm.abs())
        };
        format!(
            "the {}{at} ({:.0} of 100 ears)",
            self.region,
            100.0 * self.share
        )
    }
}

/// The part in which most of the places are; `of` is how many ears there are in all.
pub(super) fn most_common(places: impl Iterator<Item = (Region, f64)>, of: usize) -> Option<Waits> {
    let mut parts: Vec<(Region, Vec<f64>)> = Vec::new();
    for (region, arc_mm) in places {
        match parts.iter_mut().find(|(known, _)| *known == region) {
            Some((_, arcs)) => arcs.push(arc_mm),
            None => parts.push((region, vec![arc_mm])),
        }
    }
    // Of equals the one that sorts first, so that the order of ears does not matter.
    parts.sort_by_key(|(region, arcs)| (std::cmp::Reverse(arcs.len()), *region));
    let (region, mut arcs) = parts.into_iter().next()?;
    arcs.sort_by(f64::total_cmp);
    Some(Waits {
        region: region.name().to_owned(),
        arc_mm: (100.0 * arcs[arcs.len() / 2]).round() / 100.0,
        share: arcs.len() as f64 / of.max(1) as f64,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_labyrinth::Canal;

    #[test]
    fn most_ears_and_their_middle_place() {
        let duct = Region::Duct(Canal::Posterior);
        let places = [
            (Region::CommonCrus, 1.0),
            (duct, 7.0),
            (duct, 6.0),
            (duct, 9.0),
        ];
        let waits = most_common(places.into_iter(), 8).unwrap();
        assert_eq!(
            waits.words(),
            "the posterior duct, 7.0 mm from the cupula (38 of 100 ears)"
        );
        assert_eq!(most_common(std::iter::empty(), 8), None);
    }
}
