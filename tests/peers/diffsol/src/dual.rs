//! Numbers with a slope, so that one source of the equations gives their rates and the Jacobian's product.

use std::ops::{Add, Div, Mul, Sub};

/// What the equations compute with.
pub trait Number:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// The exponential.
    fn exp(self) -> Self;
    /// One over it.
    fn recip(self) -> Self;
}

impl Number for f64 {
    fn exp(self) -> Self {
        f64::exp(self)
    }
    fn recip(self) -> Self {
        f64::recip(self)
    }
}

/// A value and how fast it changes along one direction.
#[derive(Clone, Copy)]
pub struct Dual {
    pub value: f64,
    pub slope: f64,
}

impl Number for Dual {
    fn exp(self) -> Self {
        let value = self.value.exp();
        Self {
            value,
            slope: value * self.slope,
        }
    }
    fn recip(self) -> Self {
        let value = self.value.recip();
        Self {
            value,
            slope: -value * value * self.slope,
        }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            slope: self.slope + other.slope,
        }
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self {
            value: self.value - other.value,
            slope: self.slope - other.slope,
        }
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            slope: self.value * other.slope + self.slope * other.value,
        }
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        self * other.recip()
    }
}

impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self {
            value: self.value + other,
            slope: self.slope,
        }
    }
}

impl Sub<f64> for Dual {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        Self {
            value: self.value - other,
            slope: self.slope,
        }
    }
}

impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Self {
            value: self.value * other,
            slope: self.slope * other,
        }
    }
}
