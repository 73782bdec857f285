//! Milk recording: the total of a lactation from days of test.

/// One day of test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestDay {
    /// Days since she freshened.
    pub day: f64,
    /// Milk of the day, kg.
    pub kg: f64,
    /// Fat of the day, mass fraction, where it was measured.
    pub fat: Option<f64>,
}

/// Totals of a lactation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestTotal {
    /// Milk, kg.
    pub kg: f64,
    /// Fat, kg; `None` unless every test measured it.
    pub fat_kg: Option<f64>,
    /// Days over which the total counts.
    pub days: f64,
}

/// The test interval method: between two tests the mean of both, before the
/// first and after the last that test alone, each by its days:
/// `I0·M1 + Σ Ii·(Mi + Mi+1)/2 + In·Mn`.
///
/// `tests` in order of day; `last_day` ends the lactation, in days since she
/// freshened. `None`
/// without a test. Source: ICAR Guidelines, section 2, procedure 2 (Sargent
/// 1968, Journal of Dairy Science 51:170); the formula as published, from memory.
#[must_use]
pub fn test_interval(tests: &[TestDay], last_day: f64) -> Option<TestTotal> {
    let (first, last) = (tests.first()?, tests.last()?);
    let fat_kg = |t: &TestDay| t.fat.map(|f| f * t.kg);
    let (start, end) = (first.day, (last_day - last.day).max(0.0));
    let sum = |of: &dyn Fn(&TestDay) -> Option<f64>| -> Option<f64> {
        let mut total = start * of(first)? + end * of(last)?;
        for pair in tests.windows(2) {
            if let [a, b] = pair {
                total += (b.day - a.day) * 0.5 * (of(a)? + of(b)?);
            }
        }
        Some(total)
    };
    Some(TestTotal { kg: sum(&|t| Some(t.kg))?, fat_kg: sum(&fat_kg), days: last.day + end })
}
