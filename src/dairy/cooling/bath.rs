//! Surroundings that do not answer: a bath, a room; and two bodies that meet.

/// A body in surroundings of steady temperature: Newton's law of cooling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lumped {
    /// Surroundings, °C.
    pub around_c: f64,
    /// Temperature at the start, °C.
    pub start_c: f64,
    /// Time in which the difference falls to 1/e, h; > 0.
    pub tau_h: f64,
}

impl Lumped {
    /// From the heat held (kJ/K) and the heat passed (W/K).
    #[must_use]
    pub fn new(around_c: f64, start_c: f64, kj_k: f64, w_k: f64) -> Self {
        Self { around_c, start_c, tau_h: kj_k / (3.6 * w_k) }
    }

    /// Temperature after so many hours, °C.
    #[must_use]
    pub fn at(&self, hours: f64) -> f64 {
        self.around_c + (self.start_c - self.around_c) * (-hours / self.tau_h).exp()
    }

    /// Hours to a temperature; 0 when it is already passed, `None` when it is
    /// never reached.
    #[must_use]
    pub fn hours_to(&self, temp_c: f64) -> Option<f64> {
        let (from, to) = (self.start_c - self.around_c, temp_c - self.around_c);
        if from.abs() <= to.abs() && from * to >= 0.0 {
            return Some(0.0);
        }
        (from * to > 0.0).then(|| self.tau_h * (from / to).ln())
    }
}

/// Common temperature of two bodies brought together, °C, from what each holds
/// (kJ/K, or kilograms of one liquid) and its temperature; the first's when there
/// is nothing.
#[must_use]
pub fn common_c(first: f64, first_c: f64, second: f64, second_c: f64) -> f64 {
    let all = first + second;
    if all > 0.0 { (first * first_c + second * second_c) / all } else { first_c }
}

/// Hours until a closed fridge that lost its power warms from `from_c` to
/// `to_c`, from the heat held (kJ/K), the leak (W/K) and the room (°C); `None`
/// when it never does.
#[must_use]
pub fn outage_hours(kj_k: f64, ua: f64, room_c: f64, from_c: f64, to_c: f64) -> Option<f64> {
    Lumped::new(room_c, from_c, kj_k, ua).hours_to(to_c)
}
