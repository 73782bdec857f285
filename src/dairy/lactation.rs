//! Lactation curves: milk by day in milk.
//!
//! A day in milk counts from 1, the day after which the animal freshened.

use super::species::Species;

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
    /// From a curve fitted with `t` in weeks and milk in kg a **day**:
    /// `b` stays, `c` is divided by 7, `a` by `7^b` (algebra).
    #[must_use]
    pub fn from_weeks(a: f64, b: f64, c: f64) -> Self {
        Self { a: a * 7f64.powf(-b), b, c: c / 7.0 }
    }

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
        self.scaled(total_kg, self.total(days))
    }

    /// The same shape with `kg` a day at its peak. Unchanged when the curve
    /// has no finite positive peak.
    #[must_use]
    pub fn scaled_to_peak(self, kg: f64) -> Self {
        self.scaled(kg, self.peak_kg())
    }

    fn scaled(self, wanted: f64, have: f64) -> Self {
        if have > 0.0 && have.is_finite() { Self { a: self.a * (wanted / have), ..self } } else { self }
    }
}

/// Wilmink's curve, `y = a + b · e^(−0.05·t) + c · t`, kg a day.
///
/// Source: Wilmink 1987, "Adjustment of test-day milk, fat and protein yield
/// for age, season and stage of lactation", Livestock Production Science
/// 16:335-348 (from memory). Used to check Wood's curve against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wilmink {
    /// Level, kg a day.
    pub a: f64,
    /// Shortfall at freshening, kg a day; negative for an ordinary curve.
    pub b: f64,
    /// Slope, kg a day per day; negative for an ordinary curve.
    pub c: f64,
}

impl Wilmink {
    /// Wilmink's fixed rate of the early rise, per day (Wilmink 1987, Livestock
    /// Production Science 16:335, from memory).
    pub const RATE: f64 = 0.05;

    /// Milk, kg a day, at day `dim` in milk (days below 1 are read as day 1);
    /// never negative.
    #[must_use]
    pub fn kg(&self, dim: f64) -> f64 {
        let t = dim.max(1.0);
        (self.a + self.b * (-Self::RATE * t).exp() + self.c * t).max(0.0)
    }

    /// Day of the peak; `None` when the curve has none (b and c not both
    /// negative).
    #[must_use]
    pub fn peak_day(&self) -> Option<f64> {
        (self.b < 0.0 && self.c < 0.0).then(|| ((Self::RATE * self.b / self.c).ln() / Self::RATE).max(1.0))
    }

    /// Milk of days 1 to `days`, kg.
    #[must_use]
    pub fn total(&self, days: u16) -> f64 {
        (1..=days).map(|t| self.kg(f64::from(t))).sum()
    }
}

/// Milk milked once a day over milk milked twice, in early, middle and late
/// lactation (to day 100, to day 200, after).
///
/// Cow: within the falls of 10-28 % before and 9-13 % in late lactation
/// (Carruthers and others, Journal of Dairy Research) so that the whole
/// lactation loses the 21 % of a large field study (Lembeye and others, New
/// Zealand Journal of Agricultural Research; 223,149 herd tests). Goat: 16 %
/// less over 18 weeks (once-daily milking of Alpine goats, Journal of Dairy
/// Science 2009). Sheep: our default between the two, as their part of milk
/// stored in the cistern is (Dzidic and others 2019).
#[must_use]
pub fn once_a_day_factors(species: Species) -> [f64; 3] {
    match species {
        Species::Cow => [0.75, 0.78, 0.87],
        Species::Goat => [0.84, 0.84, 0.89],
        Species::Sheep => [0.80, 0.81, 0.88],
    }
}

/// Composition of the first milk after freshening, one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transition {
    /// Fat, mass fraction.
    pub fat: f64,
    /// True protein, mass fraction.
    pub protein: f64,
    /// Lactose, mass fraction.
    pub lactose: f64,
    /// Milk, kg a day (mean of three breeds of cow).
    pub kg: f64,
}

/// First ten days after freshening, cows, mean of three breeds. Day 1 is
/// understated: many first milkings of colostrum were not sampled.
///
/// Worked out from the milkings recorded by Friggens, Ridder and Lovendahl
/// 2007, Journal of Dairy Science 90:5453-5467 (data set `milkman`).
const TRANSITION: [[f64; 4]; 10] = [
    [0.0506, 0.0591, 0.0418, 11.0],
    [0.0469, 0.0491, 0.0436, 16.5],
    [0.0510, 0.0446, 0.0451, 18.2],
    [0.0531, 0.0429, 0.0457, 19.5],
    [0.0536, 0.0417, 0.0461, 20.4],
    [0.0545, 0.0409, 0.0462, 21.0],
    [0.0549, 0.0398, 0.0465, 21.4],
    [0.0556, 0.0390, 0.0466, 21.8],
    [0.0555, 0.0381, 0.0469, 22.5],
    [0.0543, 0.0376, 0.0473, 22.9],
];

/// The milk of day 1 to 10 after freshening; `None` for any other day.
#[must_use]
pub fn transition(dim: u16) -> Option<Transition> {
    let [fat, protein, lactose, kg] = *TRANSITION.get(usize::from(dim).checked_sub(1)?)?;
    Some(Transition { fat, protein, lactose, kg })
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
        assert_eq!(rising.scaled_to_peak(20.0), rising);
        assert_eq!(Wood { a: 0.0, ..CURVE }.scaled_to_total(100.0, 305).a, 0.0);
        assert_eq!(CURVE.scaled_to_total(100.0, 0), CURVE);
        assert_eq!(Wilmink { a: 20.0, b: 3.0, c: -0.02 }.peak_day(), None);
    }

    #[test]
    fn scaling_keeps_the_shape() {
        let half = CURVE.scaled_to_peak(0.5 * CURVE.peak_kg());
        assert!((half.peak_kg() - 0.5 * CURVE.peak_kg()).abs() < 1e-12);
        assert!((half.kg(200.0) - 0.5 * CURVE.kg(200.0)).abs() < 1e-12);
        assert_eq!(half.persistency(), CURVE.persistency());
    }

    #[test]
    fn wilmink_never_gives_less_than_nothing() {
        let curve = Wilmink { a: 20.0, b: -5.0, c: -0.05 };
        assert_eq!(curve.kg(600.0), 0.0);
        let peak = curve.peak_day().unwrap();
        assert!(curve.kg(peak) > curve.kg(peak - 5.0) && curve.kg(peak) > curve.kg(peak + 5.0));
    }

    #[test]
    fn once_a_day_costs_milk_and_less_of_it_late() {
        for species in Species::ALL {
            let [early, middle, late] = once_a_day_factors(species);
            assert!(0.5 < early && early <= middle && middle < late && late < 1.0);
        }
        assert!(once_a_day_factors(Species::Goat)[0] > once_a_day_factors(Species::Sheep)[0]);
        assert!(once_a_day_factors(Species::Sheep)[0] > once_a_day_factors(Species::Cow)[0]);
    }
}
