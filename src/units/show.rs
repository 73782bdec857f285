//! Quantities for people: few digits, the unit they would use themselves.

use super::amount::MILK_KG_PER_L;

// NIST Handbook 44, appendix C.
const GALLON: f64 = 3.785_411_784;
const POUND: f64 = 0.453_592_37;
const CUBIC_FOOT: f64 = 28.316_846_592;

/// Units for display.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// Gallons, quarts, pounds, inches, °F.
    #[default]
    Us,
    /// Litres, kilograms, centimetres, °C.
    Metric,
}

/// A number with three significant digits, thousands grouped: `1,250`, `0.05`.
#[must_use]
pub fn number(v: f64) -> String {
    significant(v, 3)
}

/// A number with two significant digits: `1.5`, `0.05`, `1,300`.
#[must_use]
pub fn rough(v: f64) -> String {
    significant(v, 2)
}

/// A whole number, thousands grouped.
#[must_use]
pub fn whole(v: f64) -> String {
    fixed(v, 0)
}

/// A number with so many decimals at most, thousands grouped.
#[must_use]
pub fn fixed(v: f64, decimals: usize) -> String {
    if !v.is_finite() {
        return "unknown".to_owned();
    }
    let text = format!("{:.decimals$}", v.abs());
    let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
    let mut out = String::new();
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    let part = part.trim_end_matches('0');
    if !part.is_empty() {
        out.push('.');
        out.push_str(part);
    }
    if v < 0.0 && out.bytes().any(|b| (b'1'..=b'9').contains(&b)) { format!("−{out}") } else { out }
}

fn significant(v: f64, digits: i32) -> String {
    if v == 0.0 || !v.is_finite() {
        return fixed(v, 0);
    }
    let power = |v: f64| v.abs().log10().floor().clamp(-12.0, 300.0) as i32;
    let step = 10f64.powi(power(v) - digits + 1);
    let rounded = (v / step).round() * step;
    let decimals = usize::try_from(digits - 1 - power(rounded)).unwrap_or(0);
    fixed(rounded, decimals)
}

/// Below ten two digits, from ten on three.
fn measured(v: f64) -> String {
    if v.abs() < 9.95 { rough(v) } else { number(v) }
}

/// A mass of milk, kg, as a volume: gallons, quarts or fluid ounces; litres or
/// millilitres.
#[must_use]
pub fn milk(kg: f64, system: UnitSystem) -> String {
    volume(kg / MILK_KG_PER_L, system)
}

/// A mass of milk a day, kg/day, as a volume a day.
#[must_use]
pub fn milk_a_day(kg_per_day: f64, system: UnitSystem) -> String {
    format!("{} a day", milk(kg_per_day, system))
}

/// A volume of something liquid, L.
#[must_use]
pub fn volume(litres: f64, system: UnitSystem) -> String {
    let size = litres.abs();
    match system {
        UnitSystem::Us if size >= 0.995 * GALLON => format!("{} gal", measured(litres / GALLON)),
        UnitSystem::Us if size >= GALLON / 16.0 => format!("{} qt", measured(litres * 4.0 / GALLON)),
        UnitSystem::Us if size > 0.0 => format!("{} fl oz", measured(litres * 128.0 / GALLON)),
        UnitSystem::Us => "0 gal".to_owned(),
        UnitSystem::Metric if size >= 0.995 || size == 0.0 => format!("{} L", measured(litres)),
        UnitSystem::Metric => format!("{} mL", rough(litres * 1000.0)),
    }
}

/// A mass, kg: pounds or ounces; kilograms or grams.
#[must_use]
pub fn mass(kg: f64, system: UnitSystem) -> String {
    let size = kg.abs();
    match system {
        UnitSystem::Us if size >= 0.995 * POUND || size == 0.0 => format!("{} lb", measured(kg / POUND)),
        UnitSystem::Us => format!("{} oz", measured(kg * 16.0 / POUND)),
        UnitSystem::Metric if size >= 0.995 || size == 0.0 => format!("{} kg", measured(kg)),
        UnitSystem::Metric => format!("{} g", rough(kg * 1000.0)),
    }
}

/// Room in a store, L: cubic feet or quarts; litres.
#[must_use]
pub fn room(litres: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us if litres.abs() >= 0.995 * CUBIC_FOOT || litres == 0.0 => {
            format!("{} cu ft", measured(litres / CUBIC_FOOT))
        }
        UnitSystem::Us => format!("{} qt", measured(litres * 4.0 / GALLON)),
        UnitSystem::Metric => format!("{} L", measured(litres)),
    }
}

/// A temperature, °C.
#[must_use]
pub fn temperature(celsius: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!("{} °F", fixed(celsius * 1.8 + 32.0, 0)),
        UnitSystem::Metric => format!("{} °C", fixed(celsius, 1)),
    }
}

/// A difference of temperatures, °C.
#[must_use]
pub fn degrees(celsius: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!("{} °F", fixed(celsius * 1.8, 1)),
        UnitSystem::Metric => format!("{} °C", fixed(celsius, 1)),
    }
}

/// A length, m: inches to the half; centimetres, or millimetres below one.
#[must_use]
pub fn length(metres: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => {
            let halves = (metres / 0.0254 * 2.0).round();
            let inches = (halves / 2.0).trunc();
            if halves % 2.0 == 0.0 {
                format!("{} in", whole(inches))
            } else if inches == 0.0 {
                "½ in".to_owned()
            } else {
                format!("{}½ in", whole(inches))
            }
        }
        UnitSystem::Metric if metres.abs() < 0.00995 && metres != 0.0 => {
            format!("{} mm", fixed(metres * 1000.0, 0))
        }
        UnitSystem::Metric => format!("{} cm", fixed(metres * 100.0, 1)),
    }
}

/// Working time, minutes: `45 min`, `2 h`, `1 h 20 min`.
#[must_use]
pub fn minutes(minutes: f64) -> String {
    let all = minutes.max(0.0).round();
    let (hours, rest) = ((all / 60.0).floor(), all % 60.0);
    match (hours, rest) {
        _ if minutes > 0.0 && all == 0.0 => "under 1 min".to_owned(),
        (0.0, m) => format!("{} min", whole(m)),
        (h, 0.0) => format!("{} h", whole(h)),
        (h, m) => format!("{} h {} min", whole(h), whole(m)),
    }
}

/// A duration, days: `50 min`, `18 h`, `12 days`, `5.5 months`, `2 years`.
#[must_use]
pub fn duration(days: f64) -> String {
    let hours = days * 24.0;
    if days != 0.0 && hours < 0.995 {
        minutes(hours * 60.0)
    } else if days != 0.0 && (days < 0.995 || (days < 2.995 && (days - days.round()).abs() > 0.02)) {
        format!("{} h", fixed(hours, usize::from(hours < 9.95)))
    } else if days < 91.0 {
        counted(days.round(), "day", "days")
    } else if days < 729.0 {
        format!("{} months", fixed(days / 30.4375, 1))
    } else {
        format!("{} years", fixed(days / 365.25, 1))
    }
}

/// A part of a whole, 0 to 1, in percent. What is nearly nothing or nearly all
/// is never rounded to it.
#[must_use]
pub fn part(part: f64) -> String {
    let percent = part * 100.0;
    if percent > 0.0 && percent < 0.05 {
        return "under 0.1 %".to_owned();
    }
    if percent > 99.95 && percent < 100.0 {
        return "over 99.9 %".to_owned();
    }
    let fine = percent.abs() < 9.95 || (percent > 95.0 && percent < 100.0);
    format!("{} %", fixed(percent, usize::from(fine)))
}

/// A part as so many of so many: `19 of 20`, `1 of 3`; in hundreds when no
/// small number fits. Only 0 is `0 of 10`, only 1 is `10 of 10`.
#[must_use]
pub fn of(part: f64) -> String {
    let part = if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 };
    if part == 0.0 || part == 1.0 {
        return format!("{} of 10", whole(part * 10.0));
    }
    for under in [2.0, 3.0, 4.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1000.0] {
        let over: f64 = (part * under).round();
        if over > 0.0 && over < under && (over / under - part).abs() < 0.0051 {
            return format!("{} of {}", whole(over), whole(under));
        }
    }
    if part < 0.5 { "fewer than 1 of 1,000".to_owned() } else { "more than 999 of 1,000".to_owned() }
}

/// A count with its word: `1 jar`, `12 jars`, `1,200 jars`.
#[must_use]
pub fn counted(n: f64, one: &str, many: &str) -> String {
    format!("{} {}", whole(n), if n == 1.0 { one } else { many })
}

/// Words as a list: `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn listed<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{
        UnitSystem::{Metric, Us},
        *,
    };

    #[test]
    fn numbers() {
        let shown: Vec<String> = [0.0, 1.0, 9.996, 1234.5, 1_250_000.0, 0.01234, -3.456, 999.6, 1e-9]
            .iter()
            .map(|v| number(*v))
            .collect();
        assert_eq!(shown, ["0", "1", "10", "1,230", "1,250,000", "0.0123", "−3.46", "1,000", "0.000000001"]);
        assert_eq!(rough(1.55), "1.6");
        assert_eq!(rough(0.994), "0.99");
        assert_eq!(rough(0.996), "1");
        assert_eq!(whole(-0.2), "0");
        assert_eq!(whole(999_999.6), "1,000,000");
        assert_eq!(number(f64::NAN), "unknown");
        assert_eq!(number(f64::INFINITY), "unknown");
        assert_eq!(number(f64::MAX).len(), number(f64::MAX).chars().count());
    }

    #[test]
    fn amounts() {
        assert_eq!(volume(3.785_411_784, Us), "1 gal");
        assert_eq!(volume(3.785_411_784 * 12.34, Us), "12.3 gal");
        assert_eq!(volume(2.839_058_838, Us), "3 qt");
        assert_eq!(volume(0.177_441_177_375, Us), "6 fl oz");
        assert_eq!(volume(0.0, Us), "0 gal");
        assert_eq!(volume(5.678, Metric), "5.7 L");
        assert_eq!(volume(0.25, Metric), "250 mL");
        assert_eq!(milk(1.032 * 4.0, Metric), "4 L");
        assert_eq!(milk_a_day(1.032 * 15.0, Metric), "15 L a day");
        assert_eq!(mass(0.907_184_74, Us), "2 lb");
        assert_eq!(mass(0.226_796_185, Us), "8 oz");
        assert_eq!(mass(1.234, Metric), "1.2 kg");
        assert_eq!(mass(0.25, Metric), "250 g");
        assert_eq!(room(283.168_465_92, Us), "10 cu ft");
        assert_eq!(room(60.0, Metric), "60 L");
    }

    #[test]
    fn the_rest() {
        assert_eq!(temperature(3.333, Us), "38 °F");
        assert_eq!(temperature(3.333, Metric), "3.3 °C");
        assert_eq!(temperature(-18.0, Metric), "−18 °C");
        assert_eq!(degrees(1.0, Us), "1.8 °F");
        assert_eq!(length(0.292_1, Us), "11½ in");
        assert_eq!(length(0.279_4, Us), "11 in");
        assert_eq!(length(0.012_7, Us), "½ in");
        assert_eq!(length(0.279_4, Metric), "27.9 cm");
        assert_eq!(length(0.004, Metric), "4 mm");
        assert_eq!(minutes(45.0), "45 min");
        assert_eq!(minutes(80.0), "1 h 20 min");
        assert_eq!(minutes(119.7), "2 h");
        assert_eq!(minutes(0.2), "under 1 min");
        assert_eq!(duration(0.75), "18 h");
        assert_eq!(duration(1.0), "1 day");
        assert_eq!(duration(1.5), "36 h");
        assert_eq!(duration(60.0), "60 days");
        assert_eq!(duration(365.25), "12 months");
        assert_eq!(duration(730.5), "2 years");
        assert_eq!(duration(0.0), "0 days");
        assert_eq!(part(0.023), "2.3 %");
        assert_eq!(part(0.124), "12 %");
        assert_eq!(part(0.984), "98.4 %");
        assert_eq!(part(1.0), "100 %");
        assert_eq!(part(0.999_99), "over 99.9 %");
        assert_eq!(part(0.000_1), "under 0.1 %");
        assert_eq!(of(0.95), "19 of 20");
        assert_eq!(of(0.9), "9 of 10");
        assert_eq!(of(0.333), "1 of 3");
        assert_eq!(of(0.97), "97 of 100");
        assert_eq!(of(0.999_9), "more than 999 of 1,000");
        assert_eq!(of(1.0), "10 of 10");
        assert_eq!(counted(1.0, "jar", "jars"), "1 jar");
        assert_eq!(counted(1200.0, "jar", "jars"), "1,200 jars");
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
    }
}
