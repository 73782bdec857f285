//! Amounts as a family reads them: the words of [`crate::units::show`] in the
//! units of the report.

use crate::scenario::UnitSystem;
use crate::units::show;

pub use show::{minutes, number, part as percent, whole};

/// Litres in a US gallon (NIST Handbook 44, appendix C: 231 cubic inches).
const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Kilograms in a pound (NIST Handbook 44, appendix C).
const KG_PER_POUND: f64 = 0.453_592_37;
/// Litres in a cubic foot (NIST Handbook 44, appendix C).
const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;
/// Density of milk where it is told by volume, kg/L: as in [`show::milk`].
pub const MILK_KG_PER_L: f64 = crate::units::MILK_KG_PER_L;

/// Shows amounts in the family's units. Bare numbers are for tables, where the
/// unit stands once.
#[derive(Clone, Copy, Debug)]
pub struct Show {
    units: UnitSystem,
}

impl Show {
    /// For a unit system.
    #[must_use]
    pub fn new(units: UnitSystem) -> Self {
        Self { units }
    }

    fn us(self) -> bool {
        self.units == UnitSystem::Us
    }

    /// A mass of milk, kg, as a volume: `612 gal`, `2,320 L`.
    #[must_use]
    pub fn milk(self, kg: f64) -> String {
        self.volume(kg / MILK_KG_PER_L)
    }

    /// A mass of milk, kg, in gallons or litres.
    #[must_use]
    pub fn milk_amount(self, kg: f64) -> f64 {
        self.litres_amount(kg / MILK_KG_PER_L)
    }

    /// Litres in gallons or litres.
    #[must_use]
    pub fn litres_amount(self, litres: f64) -> f64 {
        if self.us() { litres / LITRES_PER_GALLON } else { litres }
    }

    /// A mass, kg, in pounds or kilograms.
    #[must_use]
    pub fn mass_amount(self, kg: f64) -> f64 {
        if self.us() { kg / KG_PER_POUND } else { kg }
    }

    /// Room, L, in cubic feet or litres.
    #[must_use]
    pub fn room_amount(self, litres: f64) -> f64 {
        if self.us() { litres / LITRES_PER_CUBIC_FOOT } else { litres }
    }

    /// A mass of milk, kg, as a bare number of gallons or litres.
    #[must_use]
    pub fn milk_number(self, kg: f64) -> String {
        let l = kg / MILK_KG_PER_L;
        cell(if self.us() { l / LITRES_PER_GALLON } else { l })
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

    /// A volume of liquid, L; under a quart in pints and cups, as a kitchen
    /// measures it, down to a quarter of a cup.
    #[must_use]
    pub fn volume(self, litres: f64) -> String {
        let cups = litres * 16.0 / LITRES_PER_GALLON;
        if !self.us() || !(0.245..3.98).contains(&cups) {
            show::volume(litres, self.units)
        } else if cups >= 1.99 {
            counted(cups / 2.0, "pint", "pints")
        } else {
            counted(cups, "cup", "cups")
        }
    }

    /// A mass, kg.
    #[must_use]
    pub fn mass(self, kg: f64) -> String {
        show::mass(kg, self.units)
    }

    /// A mass, kg, as a bare number of pounds or kilograms.
    #[must_use]
    pub fn mass_number(self, kg: f64) -> String {
        cell(if self.us() { kg / KG_PER_POUND } else { kg })
    }

    /// The unit of [`Self::mass_number`].
    #[must_use]
    pub fn mass_unit(self) -> &'static str {
        if self.us() { "lb" } else { "kg" }
    }

    /// Room in a store, L.
    #[must_use]
    pub fn room(self, litres: f64) -> String {
        show::room(litres, self.units)
    }

    /// Room in a store, L, as a bare number of cubic feet or litres.
    #[must_use]
    pub fn room_number(self, litres: f64) -> String {
        let x = if self.us() { litres / LITRES_PER_CUBIC_FOOT } else { litres };
        if x > 0.0 && x < 0.05 {
            "< 0.1".into()
        } else if x < 99.5 {
            show::fixed(x, 1)
        } else {
            number(x)
        }
    }

    /// The unit of [`Self::room_number`].
    #[must_use]
    pub fn room_unit(self) -> &'static str {
        if self.us() { "cu ft" } else { "L" }
    }

    /// A temperature, °C.
    #[must_use]
    pub fn temperature(self, celsius: f64) -> String {
        show::temperature(celsius, self.units)
    }
}

/// A chance as so many of a hundred, for those that are compared: `97 of 100`.
#[must_use]
pub fn per_hundred(part: f64) -> String {
    let h = part * 100.0;
    if h > 0.0 && h.round() < 1.0 {
        "fewer than 1 of 100".into()
    } else if h.round() > 99.0 && h < 100.0 {
        "more than 99 of 100".into()
    } else {
        format!("{} of 100", show::whole(h))
    }
}

/// Of a hundred, a part and the part that was wanted of it, with as many decimals, two at the
/// most, as show which is more: `90` and `85`, but `89.9` and `90`.
#[must_use]
pub fn hundredths(part: f64, wanted: f64) -> [String; 2] {
    let show = |x: f64, digits: usize| {
        let text = format!("{:.digits$}", x * 100.0);
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    };
    // As it was written: `99.5 of 100`.
    let goal = show(wanted, 2);
    let text = (0..=2).map(|digits| show(part, digits)).find(|t| *t != goal);
    [text.unwrap_or_else(|| goal.clone()), goal]
}

/// A chance in the words of the family: `7 of 10`, `19 of 20`, else so many of
/// a hundred.
#[must_use]
pub fn of(part: f64) -> String {
    for under in [10.0, 20.0] {
        let over: f64 = (part * under).round();
        if over > 0.0 && over < under && (over / under - part).abs() < 0.005 {
            return format!("{over} of {under}");
        }
    }
    per_hundred(part)
}

/// A number for a table: three figures, never a speck of one.
#[must_use]
pub fn cell(x: f64) -> String {
    if x > 0.0 && x < 0.05 {
        "< 0.1".into()
    } else if x >= 9.95 {
        show::whole(show_three(x))
    } else {
        show::fixed(x, 1)
    }
}

/// Rounded to three figures from a hundred on.
fn show_three(x: f64) -> f64 {
    let unit = 10f64.powf((x.log10().floor() - 2.0).max(0.0));
    (x / unit).round() * unit
}

/// A whole count with commas.
#[must_use]
pub fn count(n: u32) -> String {
    show::whole(f64::from(n))
}

/// `1 day`, `2 days`; means are rounded to whole days from ten on.
#[must_use]
pub fn days(n: f64) -> String {
    counted(if n >= 9.95 { n.round() } else { n }, "day", "days")
}

/// A number with the singular or plural of its noun.
#[must_use]
pub fn counted(n: f64, one: &str, many: &str) -> String {
    let text = show::rough(n);
    let text = if n >= 99.5 { number(n) } else { text };
    let noun = if text == "1" { one } else { many };
    format!("{text} {noun}")
}

/// `half-gallon jars`, of the size `half gallon`.
#[must_use]
pub fn jars(size: &str) -> String {
    format!("{} jars", size.trim().replace(' ', "-"))
}

/// A part (0 to 1) of an amount that is told already, in its unit: `0.95 of 1.9 qt`.
#[must_use]
pub fn part_of(whole: &str, part: f64) -> String {
    let number = whole.split(' ').next().unwrap_or_default();
    let Ok(amount) = number.replace(',', "").parse::<f64>() else { return whole.to_owned() };
    let some = show::rough(part * amount);
    if some == number { format!("not quite {whole}") } else { format!("{some} of {whole}") }
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
    fn singular_and_plural() {
        for (n, text) in [
            (1.0, "1 day"),
            (1.004, "1 day"),
            (0.0, "0 days"),
            (0.25, "0.25 days"),
            (2.0, "2 days"),
            (41.4, "41 days"),
            (366.0, "366 days"),
        ] {
            assert_eq!(days(n), text);
        }
    }

    #[test]
    fn a_part_is_never_shown_as_the_one_it_misses() {
        for (part, wanted, text) in [
            (0.8987, 0.9, ["89.9", "90"]),
            (0.9013, 0.9, ["90.1", "90"]),
            (0.89997, 0.9, ["90", "90"]),
            (0.8996, 0.9, ["89.96", "90"]),
            (0.9, 0.9, ["90", "90"]),
            (0.712, 0.9, ["71", "90"]),
            (0.994, 0.995, ["99", "99.5"]),
            (0.0, 0.5, ["0", "50"]),
        ] {
            assert_eq!(hundredths(part, wanted), text, "{part} of {wanted}");
        }
    }

    #[test]
    fn cells_are_short() {
        for (x, text) in [
            (0.0, "0"),
            (0.001, "< 0.1"),
            (0.86, "0.9"),
            (9.94, "9.9"),
            (46.5, "47"),
            (1234.0, "1,230"),
            (f64::NAN, "unknown"),
        ] {
            assert_eq!(cell(x), text);
        }
    }

    #[test]
    fn bare_numbers_agree_with_words() {
        for units in [UnitSystem::Us, UnitSystem::Metric] {
            let s = Show::new(units);
            assert_eq!(s.milk(500.0), format!("{} {}", s.milk_number(500.0), s.milk_unit()));
            assert_eq!(s.mass(50.0), format!("{} {}", s.mass_number(50.0), s.mass_unit()));
            assert_eq!(s.room(500.0), format!("{} {}", s.room_number(500.0), s.room_unit()));
        }
    }

    #[test]
    fn small_amounts_in_pints_and_cups() {
        let cup = LITRES_PER_GALLON / 16.0;
        let us = Show::new(UnitSystem::Us);
        for (cups, text) in [
            (4.0, "1 qt"),
            (3.0, "1.5 pints"),
            (2.0, "1 pint"),
            (1.5, "1.5 cups"),
            (1.0, "1 cup"),
            (0.25, "0.25 cups"),
            (0.125, "1 fl oz"),
            (0.0, "0 gal"),
        ] {
            assert_eq!(us.volume(cups * cup), text);
        }
        assert_eq!(us.milk(cup * MILK_KG_PER_L), "1 cup");
        assert_eq!(Show::new(UnitSystem::Metric).volume(cup), "240 mL");
    }

    #[test]
    fn chances() {
        for (part, text) in
            [(0.7, "7 of 10"), (0.951, "19 of 20"), (0.78, "78 of 100"), (0.001, "fewer than 1 of 100")]
        {
            assert_eq!(of(part), text);
        }
    }

    #[test]
    fn a_part_keeps_the_unit_of_the_whole() {
        for (whole, part, text) in [
            ("1.9 qt", 0.5, "0.95 of 1.9 qt"),
            ("1.9 qt", 0.998, "not quite 1.9 qt"),
            ("1,250 mL", 0.25, "310 of 1,250 mL"),
            ("3 cups", 0.001, "0.003 of 3 cups"),
        ] {
            assert_eq!(part_of(whole, part), text);
        }
    }

    #[test]
    fn lists_read_like_speech() {
        let parts: Vec<String> = ["a", "b", "c"].map(String::from).into();
        assert_eq!(join(&parts, "or"), "a, b or c");
        assert_eq!(join(&parts[..1], "or"), "a");
        assert_eq!(join(&[], "or"), "");
        assert_eq!(jars("half gallon"), "half-gallon jars");
    }
}
