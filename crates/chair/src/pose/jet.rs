//! A quantity that changes in time, with its first and second derivative.

/// A quantity with its first and second derivative.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Jet {
    pub(crate) value: f64,
    pub(crate) rate: f64,
    pub(crate) acceleration: f64,
}

impl Jet {
    /// Value and derivatives times a constant.
    pub(crate) fn times(self, factor: f64) -> Jet {
        Jet {
            value: factor * self.value,
            rate: factor * self.rate,
            acceleration: factor * self.acceleration,
        }
    }

    /// The sum of two quantities.
    pub(crate) fn plus(self, other: Jet) -> Jet {
        Jet {
            value: self.value + other.value,
            rate: self.rate + other.rate,
            acceleration: self.acceleration + other.acceleration,
        }
    }

    /// The product of two quantities.
    pub(crate) fn product(self, other: Jet) -> Jet {
        Jet {
            value: self.value * other.value,
            rate: self.rate * other.value + self.value * other.rate,
            acceleration: self.acceleration * other.value
                + 2.0 * self.rate * other.rate
                + self.value * other.acceleration,
        }
    }

    pub(crate) const fn at_rest(value: f64) -> Jet {
        Jet {
            value,
            rate: 0.0,
            acceleration: 0.0,
        }
    }
}
