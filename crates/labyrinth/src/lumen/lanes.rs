//! Numbers of four bodies at once: what every lane-wise function needs.

use wide::f64x4;

/// 2⁵²: a smaller number that it is added to loses its fraction, and stands in the low bits.
const TO_WHOLE: f64 = 4_503_599_627_370_496.0;

/// A mask that is set in the given lanes.
#[inline]
pub fn mask_of(lanes: [bool; 4]) -> f64x4 {
    f64x4::new(lanes.map(|set| f64::from_bits(if set { u64::MAX } else { 0 })))
}

/// The whole parts of numbers from 0 to 2³², as indices and as numbers.
#[inline]
pub fn whole(x: f64x4) -> ([usize; 4], f64x4) {
    let nearest = (x + TO_WHOLE) - TO_WHOLE;
    let number = nearest - (nearest.simd_gt(x) & f64x4::ONE);
    let index = (number + TO_WHOLE)
        .to_array()
        .map(|v| v.to_bits() as u32 as usize);
    (index, number)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whole parts by hand, at both sides of whole numbers.
    #[test]
    fn whole_parts() {
        let (index, number) = whole(f64x4::new([0.0, 0.999999, 1.0, 287.5]));
        assert_eq!(index, [0, 0, 1, 287]);
        assert_eq!(number, f64x4::new([0.0, 0.0, 1.0, 287.0]));
    }
}
