//! Numbers in [0, 1) for one ear of a population: a scrambled Sobol point, known from its index alone.
//!
//! A population is sixteen sequences, each with a scramble of its own, so that how far its shares scatter can
//! be told from them. Scrambling: Burley 2020, J Comput Graph Tech 9(4):1 (hash-based Owen scrambling). A point does not
//! depend on the points before it, so threads and parts may take them in any order.

use sobol_burley::{NUM_DIMENSIONS, sample};

use crate::statistics::REPLICATES;

/// Most ears of one population.
pub const MOST_EARS: u32 = 1 << 16;

/// One ear's place in the unit cube.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnitPoint {
    /// Which ear, counted from 0, below [`MOST_EARS`].
    pub index: u32,
    /// Seed of the population.
    pub seed: u32,
}

impl UnitPoint {
    /// The coordinate of a dimension. Beyond the dimensions of the sequence another one begins, which is
    /// independent of the first.
    pub fn at(self, dimension: u32) -> f64 {
        let beyond = dimension / NUM_DIMENSIONS;
        // Neighbouring seeds are kept apart; ears are taken from the sequences in turn.
        let sequence = beyond * REPLICATES + self.index % REPLICATES;
        let seed = mixed(mixed(self.seed) ^ sequence.wrapping_mul(0x9e37_79b9));
        let index = self.index % MOST_EARS / REPLICATES;
        f64::from(sample(index, dimension % NUM_DIMENSIONS, seed))
    }

    /// The coordinates of a range of dimensions.
    pub fn range(self, dimensions: std::ops::Range<u32>) -> Vec<f64> {
        dimensions.map(|d| self.at(d)).collect()
    }
}

fn mixed(mut x: u32) -> u32 {
    x = (x ^ (x >> 16)).wrapping_mul(0x85eb_ca6b);
    x = (x ^ (x >> 13)).wrapping_mul(0xc2b2_ae35);
    x ^ (x >> 16)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_fill_every_dimension_evenly() {
        // A Sobol sequence of 2^k points has one in each of 2^k even intervals, in every dimension.
        for dimension in [0, 1, 40, 255, 256, 300] {
            let mut seen = [0; 64];
            for k in 0..64 {
                let index = 3 + k * REPLICATES;
                let at = UnitPoint { index, seed: 7 }.at(dimension);
                assert!((0.0..1.0).contains(&at));
                seen[(at * 64.0) as usize] += 1;
            }
            assert_eq!(seen, [1; 64], "dimension {dimension}");
        }
    }

    #[test]
    fn seeds_and_dimensions_differ() {
        let of = |seed, dimension| {
            (0..16)
                .map(|index| UnitPoint { index, seed }.at(dimension).to_bits())
                .collect::<Vec<_>>()
        };
        assert_ne!(of(1, 0), of(2, 0));
        assert_ne!(of(1, 0), of(1, 1));
        assert_ne!(of(1, 0), of(1, NUM_DIMENSIONS));
        assert_eq!(of(1, 5), of(1, 5));
    }
}
