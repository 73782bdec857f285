//! Stub: the days of one trial.
use super::outcome::DAY_MEASURES;
use crate::scenario::Plan;

/// Row-major day by measure: [`DAY_MEASURES`], then kg in stock of each wish.
#[derive(Clone, Debug, Default)]
pub struct DayLog {
    /// Days.
    pub days: usize,
    /// Measures.
    pub measures: usize,
    /// Values.
    pub data: Vec<f32>,
}

impl DayLog {
    /// Room for a plan.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let (days, measures) = (plan.days.len(), DAY_MEASURES + plan.household.wishes.len());
        Self { days, measures, data: vec![0.0; days * measures] }
    }
}
