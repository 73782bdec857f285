//! Whole numbers of options, and what is said of a wrong one.

use std::ops::RangeInclusive;

/// Reads a whole number within bounds; a wrong one is told what was expected and
/// which is nearest.
pub fn whole<T>(
    range: RangeInclusive<u64>,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync + 'static
where
    T: TryFrom<u64> + 'static,
{
    move |text| {
        let (low, high) = (*range.start(), *range.end());
        let expected = if high == u64::MAX {
            format!("expected a whole number, {low} or more, of at most 19 figures")
        } else {
            format!("expected a whole number from {low} to {high}")
        };
        let plain: String = text.trim().chars().filter(|c| !matches!(c, '_' | '\'')).collect();
        if let Ok(n) = plain.parse::<u64>()
            && range.contains(&n)
        {
            return T::try_from(n).map_err(|_| expected);
        }
        // Within the bounds and no whole number: a fraction, or parted thousands.
        let number = plain.parse::<f64>().or_else(|_| plain.replace([',', ' '], "").parse::<f64>());
        match number {
            Ok(x) if x.is_finite() && high < u64::MAX => {
                let near = x.round().clamp(low as f64, high as f64);
                Err(format!("{expected}; the nearest is {near}"))
            }
            Ok(x) if x.is_finite() && x < 1e18 => {
                Err(format!("{expected}; the nearest is {}", x.round().max(low as f64)))
            }
            _ => Err(expected),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_and_the_nearest() {
        let weeks = whole::<u32>(1..=4);
        assert_eq!(weeks("3"), Ok(3));
        let said = |text: &str| weeks(text).unwrap_err();
        assert_eq!(said("5"), "expected a whole number from 1 to 4; the nearest is 4");
        assert_eq!(said("-2"), "expected a whole number from 1 to 4; the nearest is 1");
        assert_eq!(said("2.4"), "expected a whole number from 1 to 4; the nearest is 2");
        assert_eq!(said("two"), "expected a whole number from 1 to 4");
        let trials = whole::<u32>(1..=200_000);
        assert_eq!(trials("5_000"), Ok(5000));
        assert_eq!(
            trials("5,000").unwrap_err(),
            "expected a whole number from 1 to 200000; the nearest is 5000"
        );
        let seed = whole::<u64>(0..=u64::MAX);
        assert_eq!(seed("18446744073709551615"), Ok(u64::MAX));
        assert_eq!(
            seed("-1").unwrap_err(),
            "expected a whole number, 0 or more, of at most 19 figures; the nearest is 0"
        );
        assert_eq!(
            seed(&"9".repeat(30)).unwrap_err(),
            "expected a whole number, 0 or more, of at most 19 figures"
        );
    }
}
