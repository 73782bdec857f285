//! Lactation curves: milk by day in milk.
//!
//! A day in milk counts from 1, the day after which the animal freshened.

/// Wood's curve, `y = a · t^b · e^(−c·t)`, kg a day at day `t` in milk.
///
/// Source: Wood 1967, "Algebraic model of the lactation curve in cattle",
/// Nature 216:164-165 (from memory). It starts from nothing at `t = 0`, so
/// days below 1 are read as day 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    /// Level, kg a day; > 0.
    pub a: f64,
    /// Rise towards the peak; usually 0.05 to 0.3.
    pub b: f64,
    /// Fall after the peak, per day; usually 0.001 to 0.005.
    pub c: f64,
}

impl Wood {
    /// Milk, kg a day, at day `dim` in milk.
    #[must_use]
    pub fn kg(&self, dim: f64) -> f64 {
        let t = dim.max(1.0);
        self.a * t.powf(self.b) * (-self.c * t).exp()
    }

    /// Day of the peak, `b / c`, at least 1. A curve that only falls
    /// (`b ≤ 0`) peaks on day 1; one that never falls (`c ≤ 0`) at infinity.
    #[must_use]
    pub fn peak_day(&self) -> f64 {
        if self.b <= 0.0 {
            1.0
        } else if self.c <= 0.0 {
            f64::INFINITY
        } else {
            (self.b / self.c).max(1.0)
        }
    }

    /// Milk at the peak, kg a day (infinite if it never falls).
    #[must_use]
    pub fn peak_kg(&self) -> f64 {
        let day = self.peak_day();
        if day.is_finite() { self.kg(day) } else { f64::INFINITY }
    }

    /// Milk of days 1 to `days`, kg: the sum of the daily amounts.
    #[must_use]
    pub fn total(&self, days: u16) -> f64 {
        (1..=days).map(|t| self.kg(f64::from(t))).sum()
    }

    /// Wood's persistency, `−(b + 1) · ln c`, with `c` per day: larger is
    /// flatter. NaN unless `c > 0`. Source: Wood 1967 (from memory).
    #[must_use]
    pub fn persistency(&self) -> f64 {
        -(self.b + 1.0) * self.c.ln()
    }

    /// The same shape with a total of `total_kg` over days 1 to `days`.
    /// Unchanged when the curve's own total is not positive.
    #[must_use]
    pub fn scaled_to_total(self, total_kg: f64, days: u16) -> Self {
        let have = self.total(days);
        if have > 0.0 && have.is_finite() { Self { a: self.a * (total_kg / have), ..self } } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CURVE: Wood = Wood { a: 18.513, b: 0.0729, c: 0.002_68 };

    #[test]
    fn days_before_the_first_are_the_first() {
        assert_eq!(CURVE.kg(0.0), CURVE.kg(1.0));
        assert_eq!(CURVE.kg(-5.0), CURVE.kg(1.0));
        assert_eq!(CURVE.total(0), 0.0);
        assert_eq!(CURVE.total(1), CURVE.kg(1.0));
    }

    #[test]
    fn the_peak_is_the_largest_day() {
        let peak = CURVE.peak_kg();
        for day in 1..=640u16 {
            assert!(CURVE.kg(day.into()) <= peak + 1e-12);
        }
    }

    #[test]
    fn curves_without_a_peak_say_so() {
        assert_eq!(Wood { a: 10.0, b: -0.1, c: 0.002 }.peak_day(), 1.0);
        assert_eq!(Wood { a: 10.0, b: 0.0001, c: 0.002 }.peak_day(), 1.0);
        let rising = Wood { a: 10.0, b: 0.1, c: 0.0 };
        assert!(rising.peak_day().is_infinite() && rising.peak_kg().is_infinite());
        assert_eq!(Wood { a: 0.0, ..CURVE }.scaled_to_total(100.0, 305).a, 0.0);
        assert_eq!(CURVE.scaled_to_total(100.0, 0), CURVE);
    }

    #[test]
    fn scaling_keeps_the_shape() {
        let half = CURVE.scaled_to_total(0.5 * CURVE.total(305), 305);
        assert!((half.total(305) - 0.5 * CURVE.total(305)).abs() < 1e-9);
        assert!((half.peak_kg() - 0.5 * CURVE.peak_kg()).abs() < 1e-12);
        assert!((half.kg(200.0) - 0.5 * CURVE.kg(200.0)).abs() < 1e-12);
        assert_eq!(half.persistency(), CURVE.persistency());
    }
}
