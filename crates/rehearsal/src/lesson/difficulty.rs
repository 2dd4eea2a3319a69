//! How hard a hidden case is, and how many cases of each kind a row of seeds holds.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};

/// How hard a hidden case is to name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Difficulty {
    /// What a clinic sees every week.
    Common,
    /// Other canals and the cupula.
    Uncommon,
    /// Short arms, light cupulae, several canals, vertigo without nystagmus and the reverse.
    Rare,
}

/// How many of ten neighbouring seeds are of each difficulty (assumed: rarer than in a course, more
/// often than in a clinic).
const OF_TEN: [(Difficulty, usize); 3] = [
    (Difficulty::Common, 5),
    (Difficulty::Uncommon, 3),
    (Difficulty::Rare, 2),
];

impl Difficulty {
    /// All, the easiest first.
    pub const ALL: [Difficulty; 3] = [Difficulty::Common, Difficulty::Uncommon, Difficulty::Rare];

    /// "common", "uncommon" or "rare".
    pub const fn name(self) -> &'static str {
        match self {
            Difficulty::Common => "common",
            Difficulty::Uncommon => "uncommon",
            Difficulty::Rare => "rare",
        }
    }

    /// The difficulty of a seed: of every ten seeds from a multiple of ten on, five are common, three
    /// uncommon and two rare, in an order of their own.
    pub fn of_seed(seed: u64) -> Difficulty {
        let mut ten: Vec<Difficulty> = OF_TEN
            .iter()
            .flat_map(|(difficulty, count)| std::iter::repeat_n(*difficulty, *count))
            .collect();
        let mut rng = ChaCha8Rng::seed_from_u64(seed / 10);
        for i in (1..ten.len()).rev() {
            ten.swap(i, (rng.next_u64() % (i as u64 + 1)) as usize);
        }
        ten[(seed % 10) as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ten_seeds_hold_five_three_and_two() {
        for start in [0, 10, 990, 123_456_780] {
            let counts = Difficulty::ALL.map(|difficulty| {
                (start..start + 10)
                    .filter(|seed| Difficulty::of_seed(*seed) == difficulty)
                    .count()
            });
            assert_eq!(counts, [5, 3, 2]);
        }
        let orders: Vec<Vec<_>> = (0..3)
            .map(|ten| (0..10).map(|i| Difficulty::of_seed(ten * 10 + i)).collect())
            .collect();
        assert!(orders[0] != orders[1] || orders[1] != orders[2]);
    }
}
