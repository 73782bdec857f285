//! Standardising: two milks blended to a wished fat by Pearson's square.

/// Milk this near to the wished fat is used as it is, mass fraction (our
/// default: a tenth of a point, less than a kitchen can measure).
pub const NEAR: f64 = 0.001;

/// Pearson's square: parts of the first and of the second for a blend of
/// `target` fat (all fats in one unit); `None` when the target does not lie
/// between the two, or both are alike.
fn pearson_parts(first_fat: f64, second_fat: f64, target: f64) -> Option<(f64, f64)> {
    let between = (target - first_fat) * (target - second_fat) <= 0.0;
    (between && first_fat != second_fat).then(|| ((target - second_fat).abs(), (first_fat - target).abs()))
}

/// Part of a blend that is the first, 0 to 1 (fats as mass fractions): all of
/// it where the first is near enough ([`NEAR`]) to the target; else by
/// Pearson's square, and `None` where that has no answer.
#[must_use]
pub fn first_part(first_fat: f64, second_fat: f64, target: f64) -> Option<f64> {
    if (first_fat - target).abs() <= NEAR {
        return Some(1.0);
    }
    let (first, second) = pearson_parts(first_fat, second_fat, target)?;
    Some(first / (first + second))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_needs_its_target_between() {
        assert_eq!(pearson_parts(3.0, 4.0, 5.0), None);
        assert_eq!(pearson_parts(3.0, 3.0, 3.0), None);
        assert_eq!(pearson_parts(3.0, 25.0, 25.0), Some((0.0, 22.0)));
        assert_eq!(pearson_parts(30.0, 4.0, 10.0), Some((6.0, 20.0)));
    }

    #[test]
    fn milk_that_is_near_enough_is_used_alone() {
        assert_eq!(first_part(0.0325, 0.0325, 0.032), Some(1.0));
        assert_eq!(first_part(0.03, 0.01, 0.032), None);
        let part = first_part(0.05, 0.005, 0.032).unwrap();
        assert!((part * 0.05 + (1.0 - part) * 0.005 - 0.032).abs() < 1e-15);
    }
}
