//! Matter: the amounts that are conserved.

use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// An amount of matter, kg. Fat and protein are parts of `mass`; `milk` is the
/// part of `mass` that came from a pail or a fetch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Matter {
    /// Total mass, kg.
    pub mass: f64,
    /// Fat mass, kg.
    pub fat: f64,
    /// True protein mass, kg.
    pub protein: f64,
    /// Mass that came from a pail or a fetch, kg.
    pub milk: f64,
}

impl Matter {
    /// Nothing.
    pub const NONE: Self = Self { mass: 0.0, fat: 0.0, protein: 0.0, milk: 0.0 };

    /// Milk of a given mass and composition (mass fractions).
    #[must_use]
    pub fn milk(mass: f64, fat: f64, protein: f64) -> Self {
        Self { mass, fat: mass * fat, protein: mass * protein, milk: mass }
    }

    /// Fat, mass fraction; 0 for nothing.
    #[must_use]
    pub fn fat_part(&self) -> f64 {
        if self.mass > 0.0 { self.fat / self.mass } else { 0.0 }
    }

    /// Protein, mass fraction; 0 for nothing.
    #[must_use]
    pub fn protein_part(&self) -> f64 {
        if self.mass > 0.0 { self.protein / self.mass } else { 0.0 }
    }
}

impl Add for Matter {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self {
            mass: self.mass + o.mass,
            fat: self.fat + o.fat,
            protein: self.protein + o.protein,
            milk: self.milk + o.milk,
        }
    }
}
impl AddAssign for Matter {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl Sub for Matter {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self {
            mass: self.mass - o.mass,
            fat: self.fat - o.fat,
            protein: self.protein - o.protein,
            milk: self.milk - o.milk,
        }
    }
}
impl SubAssign for Matter {
    fn sub_assign(&mut self, o: Self) {
        *self = *self - o;
    }
}
impl Neg for Matter {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}
impl Mul<f64> for Matter {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self { mass: self.mass * k, fat: self.fat * k, protein: self.protein * k, milk: self.milk * k }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_is_counted() {
        let (a, b) = (
            Matter { mass: 8.0, fat: 4.0, protein: 2.0, milk: 6.0 },
            Matter { mass: 2.0, fat: 0.5, protein: 0.25, milk: 1.0 },
        );
        let sum = Matter { mass: 10.0, fat: 4.5, protein: 2.25, milk: 7.0 };
        let rest = Matter { mass: 6.0, fat: 3.5, protein: 1.75, milk: 5.0 };
        let half = Matter { mass: 4.0, fat: 2.0, protein: 1.0, milk: 3.0 };
        assert_eq!((a + b, a - b, a * 0.5, -(a * -0.5)), (sum, rest, half, half));
        let mut c = a;
        c += b;
        assert_eq!(c, sum);
        c -= b;
        assert_eq!(c, a);
        assert_eq!((a.fat_part(), a.protein_part()), (0.5, 0.25));
        assert_eq!((Matter::NONE.fat_part(), Matter::NONE.protein_part()), (0.0, 0.0));
        assert_eq!(Matter::milk(10.0, 0.04, 0.03), Matter { mass: 10.0, fat: 0.4, protein: 0.3, milk: 10.0 });
    }
}
