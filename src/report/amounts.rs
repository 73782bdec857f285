//! Numbers and amounts as a family reads them.

use crate::scenario::UnitSystem;

/// Litres in a US gallon (NIST Handbook 44, appendix C: 231 cubic inches).
const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Kilograms in a pound (NIST Handbook 44, appendix C).
const KG_PER_POUND: f64 = 0.453_592_37;
/// Litres in a cubic foot (NIST Handbook 44, appendix C).
const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;

/// Shows amounts in the family's units.
#[derive(Clone, Copy, Debug)]
pub struct Show {
    units: UnitSystem,
    milk_density: f64,
}

impl Show {
    /// For a unit system, with the density of milk, kg/L.
    #[must_use]
    pub fn new(units: UnitSystem, milk_density: f64) -> Self {
        Self { units, milk_density: if milk_density > 0.0 { milk_density } else { 1.03 } }
    }

    fn us(self) -> bool {
        self.units == UnitSystem::Us
    }

    /// A mass of milk, kg, as a volume: `612 gal`, `2,317 L`.
    #[must_use]
    pub fn milk(self, kg: f64) -> String {
        self.volume(kg / self.milk_density)
    }

    /// A mass of milk, kg, as a bare number of gallons or litres.
    #[must_use]
    pub fn milk_number(self, kg: f64) -> String {
        let l = kg / self.milk_density;
        number(if self.us() { l / LITRES_PER_GALLON } else { l })
    }

    /// The unit of [`Self::milk_number`].
    #[must_use]
    pub fn milk_unit(self) -> &'static str {
        if self.us() { "gal" } else { "L" }
    }

    /// The unit of [`Self::milk_number`] as a word.
    #[must_use]
    pub fn milk_long(self) -> &'static str {
        if self.us() { "gallons" } else { "litres" }
    }

    /// A volume of liquid, L. Small US volumes are shown in quarts.
    #[must_use]
    pub fn volume(self, litres: f64) -> String {
        if !self.us() {
            return format!("{} L", number(litres));
        }
        let gallons = litres / LITRES_PER_GALLON;
        if gallons.abs() < 1.0 && gallons != 0.0 {
            format!("{} qt", number(gallons * 4.0))
        } else {
            format!("{} gal", number(gallons))
        }
    }

    /// A mass, kg.
    #[must_use]
    pub fn mass(self, kg: f64) -> String {
        format!("{} {}", self.mass_number(kg), self.mass_unit())
    }

    /// A mass, kg, as a bare number of pounds or kilograms.
    #[must_use]
    pub fn mass_number(self, kg: f64) -> String {
        number(if self.us() { kg / KG_PER_POUND } else { kg })
    }

    /// The unit of [`Self::mass_number`].
    #[must_use]
    pub fn mass_unit(self) -> &'static str {
        if self.us() { "lb" } else { "kg" }
    }

    /// Room in a store, L.
    #[must_use]
    pub fn room(self, litres: f64) -> String {
        format!("{} {}", self.room_number(litres), self.room_unit())
    }

    /// Room in a store, L, as a bare number of cubic feet or litres.
    #[must_use]
    pub fn room_number(self, litres: f64) -> String {
        number(if self.us() { litres / LITRES_PER_CUBIC_FOOT } else { litres })
    }

    /// The unit of [`Self::room_number`].
    #[must_use]
    pub fn room_unit(self) -> &'static str {
        if self.us() { "cu ft" } else { "L" }
    }

    /// The temperature to which milk is chilled, 4.4 °C.
    #[must_use]
    pub fn cold(self) -> &'static str {
        if self.us() { "40 °F" } else { "4.4 °C" }
    }
}

/// A number with about three figures and commas in the thousands.
#[must_use]
pub fn number(x: f64) -> String {
    if !x.is_finite() {
        return "unknown".into();
    }
    let a = x.abs();
    let decimals = if a >= 99.5 || a == 0.0 || (a >= 9.95 && (a - a.round()).abs() < 0.05) {
        0
    } else if a >= 0.995 {
        1
    } else {
        2
    };
    let text = format!("{a:.decimals$}");
    let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
    let rest = rest.trim_end_matches('0');
    let mut out = String::new();
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    if !rest.is_empty() {
        out.push('.');
        out.push_str(rest);
    }
    // No minus before a rounded nought.
    if x < 0.0 && out.chars().any(|c| c.is_ascii_digit() && c != '0') {
        out.insert(0, '-');
    }
    out
}

/// A whole count with commas.
#[must_use]
pub fn count(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// A part as percent: `3.2 %`, `less than 0.1 %`.
#[must_use]
pub fn percent(part: f64) -> String {
    let p = part * 100.0;
    if !p.is_finite() {
        "unknown".into()
    } else if p > 0.0 && p < 0.05 {
        "less than 0.1 %".into()
    } else if p > 99.95 && p < 100.0 - 1e-9 {
        "more than 99.9 %".into()
    } else {
        let text = format!("{p:.1}");
        format!("{} %", text.strip_suffix(".0").unwrap_or(&text))
    }
}

/// A chance as so many of ten or of a hundred: `7 of 10`, `97 of 100`.
#[must_use]
pub fn per_hundred(part: f64) -> String {
    let h = part * 100.0;
    if h > 0.0 && h < 0.5 {
        return "fewer than 1 of 100".into();
    }
    if h > 99.5 && h < 100.0 - 1e-9 {
        return "more than 99 of 100".into();
    }
    let whole = h.round();
    if whole % 10.0 == 0.0 && (0.0..=100.0).contains(&whole) && whole > 0.0 && whole < 100.0 {
        format!("{:.0} of 10", whole / 10.0)
    } else {
        format!("{whole:.0} of 100")
    }
}

/// `1 day`, `2 days`, `1.5 days`.
#[must_use]
pub fn days(n: f64) -> String {
    counted(n, "day", "days")
}

/// A number with the singular or plural of its noun.
#[must_use]
pub fn counted(n: f64, one: &str, many: &str) -> String {
    let text = number(n);
    let noun = if text == "1" { one } else { many };
    format!("{text} {noun}")
}

/// `half-gallon jars`, of the size `half gallon`.
#[must_use]
pub fn jars(size: &str) -> String {
    format!("{} jars", size.trim().replace(' ', "-"))
}

/// `75 min`, `1 h 15 min`.
#[must_use]
pub fn minutes(m: f64) -> String {
    if !m.is_finite() {
        return "unknown".into();
    }
    let total = m.round().max(0.0);
    if total < 90.0 {
        return format!("{total:.0} min");
    }
    let (h, rest) = ((total / 60.0).floor(), total % 60.0);
    if rest < 0.5 { format!("{h:.0} h") } else { format!("{h:.0} h {rest:.0} min") }
}

/// Joins with commas and a last word: `a, b and c`.
#[must_use]
pub fn join(parts: &[String], last: &str) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., tail] => format!("{} {last} {tail}", head.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_about_three_figures() {
        let cases = [
            (0.0, "0"),
            (0.004, "0"),
            (0.123, "0.12"),
            (0.999, "1"),
            (1.04, "1"),
            (3.26, "3.3"),
            (9.97, "10"),
            (41.0, "41"),
            (41.26, "41.3"),
            (99.6, "100"),
            (1234.5, "1,234"),
            (1_000_000.0, "1,000,000"),
            (-2.5, "-2.5"),
            (-0.001, "0"),
            (f64::NAN, "unknown"),
        ];
        for (x, text) in cases {
            assert_eq!(number(x), text, "{x}");
        }
    }

    #[test]
    fn parts_in_words() {
        assert_eq!(per_hundred(0.7), "7 of 10");
        assert_eq!(per_hundred(0.97), "97 of 100");
        assert_eq!(per_hundred(0.001), "fewer than 1 of 100");
        assert_eq!(per_hundred(0.9999), "more than 99 of 100");
        assert_eq!(percent(0.032), "3.2 %");
        assert_eq!(percent(0.0001), "less than 0.1 %");
        assert_eq!(percent(1.0), "100 %");
    }

    #[test]
    fn singular_and_plural() {
        assert_eq!(days(1.0), "1 day");
        assert_eq!(days(1.01), "1 day");
        assert_eq!(days(0.0), "0 days");
        assert_eq!(days(2.0), "2 days");
        assert_eq!(minutes(89.0), "89 min");
        assert_eq!(minutes(135.0), "2 h 15 min");
        assert_eq!(minutes(120.0), "2 h");
    }

    #[test]
    fn a_gallon_is_a_us_gallon() {
        let us = Show::new(UnitSystem::Us, 1.03);
        assert_eq!(us.volume(LITRES_PER_GALLON * 12.0), "12 gal");
        assert_eq!(us.volume(LITRES_PER_GALLON / 2.0), "2 qt");
        assert_eq!(us.milk(1.03 * LITRES_PER_GALLON * 5.0), "5 gal");
        assert_eq!(us.mass(KG_PER_POUND), "1 lb");
        let metric = Show::new(UnitSystem::Metric, 1.03);
        assert_eq!(metric.milk(103.0), "100 L");
        assert_eq!(metric.room(58.4), "58.4 L");
    }

    #[test]
    fn lists_read_like_speech() {
        let parts: Vec<String> = ["a", "b", "c"].map(String::from).into();
        assert_eq!(join(&parts, "or"), "a, b or c");
        assert_eq!(join(&parts[..1], "or"), "a");
        assert_eq!(join(&[], "or"), "");
    }
}
