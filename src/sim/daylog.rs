//! What each day of a trial leaves for the bands.

use super::outcome::{DAY_MEASURES, DayMeasure};
use crate::scenario::Plan;

/// Day measures of one trial, row-major: day × measure. After the
/// [`DAY_MEASURES`] fixed ones comes the stock of each wish's items, kg.
#[derive(Clone, Debug)]
pub struct DayLog {
    /// Days.
    pub days: usize,
    /// Measures a day.
    pub measures: usize,
    /// Values.
    pub data: Vec<f32>,
}

impl DayLog {
    /// A log for a plan.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let (days, measures) = (plan.days.len(), DAY_MEASURES + plan.household.wishes.len());
        Self { days, measures, data: vec![0.0; days * measures] }
    }

    /// The value of a fixed measure on a day.
    #[must_use]
    pub fn get(&self, day: usize, measure: DayMeasure) -> f32 {
        self.data[day * self.measures + measure as usize]
    }

    /// The row of a day: fixed measures, then the stocks of the wishes.
    pub(crate) fn row(&mut self, day: usize) -> (&mut [f32], &mut [f32]) {
        self.data[day * self.measures..(day + 1) * self.measures].split_at_mut(DAY_MEASURES)
    }
}
