//! The dimensions, their units and their limits.
//!
//! Factors are exact by definition: the international yard and pound (1959)
//! and NIST Handbook 44, appendix C: inch = 25.4 mm, pound = 0.453 592 37 kg,
//! US gallon = 231 cubic inches = 3.785 411 784 L.

use super::{
    amount::{read_amount_words, read_rate_words},
    read::{Dimension, Fault, Unit, find_unit, sum_of_terms, take_number},
};

// NIST Handbook 44, appendix C.
const GALLON: f64 = 3.785_411_784;
const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;
const CUBIC_FOOT: f64 = 28.316_846_592;

const fn unit(names: &'static [&'static str], factor: f64) -> Unit {
    Unit { names, factor, shift: 0.0 }
}

/// A volume, L.
#[derive(Clone, Copy, Debug)]
pub enum Volume {}
/// A mass, kg.
#[derive(Clone, Copy, Debug)]
pub enum Mass {}
/// An amount of milk by volume or mass, kg; `oz` is an ounce by weight.
#[derive(Clone, Copy, Debug)]
pub enum MilkAmount {}
/// An amount of milk in a time, kg a day.
#[derive(Clone, Copy, Debug)]
pub enum MilkRate {}
/// A duration, days; a month is 30.4375 days, a year 365.25.
#[derive(Clone, Copy, Debug)]
pub enum Duration {}
/// Working time, minutes.
#[derive(Clone, Copy, Debug)]
pub enum Minutes {}
/// A temperature, °C.
#[derive(Clone, Copy, Debug)]
pub enum Temperature {}
/// A difference of temperatures, °C.
#[derive(Clone, Copy, Debug)]
pub enum TemperatureDifference {}
/// A length, m.
#[derive(Clone, Copy, Debug)]
pub enum Length {}
/// A part of a whole, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub enum Part {}
/// Power, W.
#[derive(Clone, Copy, Debug)]
pub enum Power {}
/// Electricity in a time, kWh a day.
#[derive(Clone, Copy, Debug)]
pub enum Electricity {}
/// A whole number of things.
#[derive(Clone, Copy, Debug)]
pub enum Count {}
/// How often, times a day.
#[derive(Clone, Copy, Debug)]
pub enum Frequency {}

pub(super) const VOLUMES: &[Unit] = &[
    unit(&["gal", "gallon", "gallons", "gals"], GALLON),
    unit(&["qt", "quart", "quarts", "qts"], GALLON / 4.0),
    unit(&["pint", "pints", "pt", "pts"], GALLON / 8.0),
    unit(&["cup", "cups"], GALLON / 16.0),
    unit(&["fl oz", "fluid ounce", "fluid ounces", "floz"], GALLON / 128.0),
    unit(&["tbsp", "tablespoon", "tablespoons"], GALLON / 256.0),
    unit(&["tsp", "teaspoon", "teaspoons"], GALLON / 768.0),
    unit(&["l", "litre", "litres", "liter", "liters"], 1.0),
    unit(&["dl", "decilitre", "decilitres", "deciliter", "deciliters"], 0.1),
    unit(&["ml", "millilitre", "millilitres", "milliliter", "milliliters"], 0.001),
    unit(&["cu ft", "cubic foot", "cubic feet", "cubic ft"], CUBIC_FOOT),
    unit(&["cu in", "cubic inch", "cubic inches"], CUBIC_FOOT / 1728.0),
];
pub(super) const MASSES: &[Unit] = &[
    unit(&["lb", "lbs", "pound", "pounds"], POUND),
    unit(&["oz", "ounce", "ounces"], POUND / 16.0),
    unit(&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1.0),
    unit(&["g", "gram", "grams"], 0.001),
];
const TIMES: &[Unit] = &[
    unit(&["min", "minute", "minutes", "mins"], 1.0 / 1440.0),
    unit(&["h", "hour", "hours", "hr", "hrs"], 1.0 / 24.0),
    unit(&["day", "days", "d"], 1.0),
    unit(&["week", "weeks", "wk", "wks"], 7.0),
    unit(&["month", "months"], 30.4375),
    unit(&["year", "years", "yr", "yrs"], 365.25),
];
const WORKING_TIMES: &[Unit] =
    &[unit(&["min", "minute", "minutes", "mins"], 1.0), unit(&["h", "hour", "hours", "hr", "hrs"], 60.0)];
const TEMPERATURES: &[Unit] = &[
    Unit {
        names: &["°f", "f", "° f", "degrees f", "deg f", "fahrenheit", "degrees fahrenheit"],
        factor: 5.0 / 9.0,
        shift: -32.0,
    },
    unit(&["°c", "c", "° c", "degrees c", "deg c", "celsius", "degrees celsius"], 1.0),
];
const DEGREES: &[Unit] = &[
    unit(&["°f", "f", "° f", "degrees f", "deg f", "fahrenheit", "degrees fahrenheit"], 5.0 / 9.0),
    unit(&["°c", "c", "° c", "degrees c", "deg c", "celsius", "degrees celsius"], 1.0),
];
const LENGTHS: &[Unit] = &[
    unit(&["in", "inch", "inches", "\""], INCH),
    unit(&["ft", "foot", "feet"], 12.0 * INCH),
    unit(&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], 0.01),
    unit(&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 0.001),
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
];
// BTU (International Table) an hour: NIST SP 811, appendix B.
const POWERS: &[Unit] = &[
    unit(&["w", "watt", "watts"], 1.0),
    unit(&["kw", "kilowatt", "kilowatts"], 1000.0),
    unit(&["btu/h", "btu an hour"], 0.293_071_1),
];
const ENERGIES: &[Unit] = &[
    unit(&["kwh", "kilowatt hour", "kilowatt hours"], 1.0),
    unit(&["wh", "watt hour", "watt hours"], 0.001),
];
const PARTS: &[Unit] = &[unit(&["%", "percent", "per cent"], 0.01)];

/// All units, by what they measure, with its article.
pub(super) fn tables() -> [(&'static str, &'static [Unit]); 8] {
    [
        ("a volume", VOLUMES),
        ("a mass", MASSES),
        ("a time", TIMES),
        ("a temperature", TEMPERATURES),
        ("a length", LENGTHS),
        ("a power", POWERS),
        ("electricity", ENERGIES),
        ("a part", PARTS),
    ]
}

/// What a unit of another dimension measures, with its article.
pub(super) fn kind_of(name: &str) -> Option<&'static str> {
    tables().iter().find(|(_, t)| t.iter().any(|u| u.names.contains(&name))).map(|(k, _)| *k)
}

/// The days of a unit of time.
pub(super) fn time_unit(name: &str) -> Option<f64> {
    TIMES.iter().find(|u| u.names.contains(&name)).map(|u| u.factor)
}

/// A unit's name with its capitals.
pub(super) fn spelled(name: &str) -> &str {
    match name {
        "l" => "L",
        "dl" => "dL",
        "ml" => "mL",
        "w" => "W",
        "kw" => "kW",
        "kwh" => "kWh",
        "wh" => "Wh",
        "°f" | "f" | "° f" => "°F",
        "°c" | "c" | "° c" => "°C",
        other => other,
    }
}

impl Dimension for Volume {
    type Difference = Self;
    const TITLE: &'static str = "Volume";
    const KIND: &'static str = "volume";
    const EXPECTED: &'static str = "a volume such as `1.5 gal` or `4 L`";
    const EXAMPLES: &'static [&'static str] = &["1.5 gal", "2 qt", "12 fl oz", "4 L", "7 cu ft"];
    const UNITS: &'static [Unit] = VOLUMES;
    const MOST: f64 = 1e5;
    const MOST_WORDS: &'static str = "100000 L";
}
impl Dimension for Mass {
    type Difference = Self;
    const TITLE: &'static str = "Mass";
    const KIND: &'static str = "mass";
    const EXPECTED: &'static str = "a mass such as `2 lb` or `1 kg`";
    const EXAMPLES: &'static [&'static str] = &["2 lb", "8 oz", "1 kg", "250 g"];
    const UNITS: &'static [Unit] = MASSES;
    const MOST: f64 = 1e5;
    const MOST_WORDS: &'static str = "100000 kg";
}
impl Dimension for MilkAmount {
    type Difference = Self;
    const TITLE: &'static str = "MilkAmount";
    const KIND: &'static str = "milk";
    const EXPECTED: &'static str = "an amount such as `1.5 gal`, `4 L` or `2 lb`";
    const EXAMPLES: &'static [&'static str] = &["1.5 gal", "4 L", "2 lb", "1 kg"];
    const UNITS: &'static [Unit] = VOLUMES;
    const MOST: f64 = 1e5;
    const MOST_WORDS: &'static str = "100000 kg";

    fn parse(text: &str) -> Result<f64, Fault> {
        Ok(read_amount_words(text)?.milk_kg())
    }
}
impl Dimension for MilkRate {
    type Difference = Self;
    const TITLE: &'static str = "MilkRate";
    const KIND: &'static str = "milk in a time";
    const EXPECTED: &'static str = "an amount in a time such as `4 gal/day` or `2 lb/week`";
    const EXAMPLES: &'static [&'static str] = &["4 gal/day", "2 lb/week", "1.5 qt a week", "15 L/day"];
    const UNITS: &'static [Unit] = VOLUMES;
    const WORDS: &'static [(&'static str, f64)] = &[("none", 0.0)];
    const MOST: f64 = 1e4;
    const MOST_WORDS: &'static str = "10000 kg a day";

    fn parse(text: &str) -> Result<f64, Fault> {
        Ok(read_rate_words(text)?.milk_kg())
    }
}
impl Dimension for Duration {
    type Difference = Self;
    const TITLE: &'static str = "Duration";
    const KIND: &'static str = "time";
    const EXPECTED: &'static str = "a time such as `60 days`, `48 h`, `3 weeks` or `13 months`";
    const EXAMPLES: &'static [&'static str] = &["48 h", "60 days", "3 weeks", "13 months", "2 years"];
    const UNITS: &'static [Unit] = TIMES;
    const MOST: f64 = 100.0 * 365.25;
    const MOST_WORDS: &'static str = "100 years";
}
impl Dimension for Minutes {
    type Difference = Self;
    const TITLE: &'static str = "Minutes";
    const KIND: &'static str = "time";
    const EXPECTED: &'static str = "a working time such as `45 min`, `4 h` or `none`";
    const EXAMPLES: &'static [&'static str] = &["45 min", "4 h", "1 h 20 min", "none"];
    const UNITS: &'static [Unit] = WORKING_TIMES;
    const WORDS: &'static [(&'static str, f64)] = &[("none", 0.0)];
    const MOST: f64 = 7.0 * 1440.0;
    const MOST_WORDS: &'static str = "168 h";
}
impl Dimension for Temperature {
    type Difference = TemperatureDifference;
    const TITLE: &'static str = "Temperature";
    const KIND: &'static str = "temperature";
    const EXPECTED: &'static str = "a temperature such as `38 °F` or `3 °C`";
    const EXAMPLES: &'static [&'static str] = &["38 °F", "38 F", "3 °C", "3 C"];
    const UNITS: &'static [Unit] = TEMPERATURES;
    const LEAST: f64 = -60.0;
    const MOST: f64 = 120.0;
    const MOST_WORDS: &'static str = "120 °C (248 °F)";
}
impl Dimension for TemperatureDifference {
    type Difference = Self;
    const TITLE: &'static str = "TemperatureDifference";
    const KIND: &'static str = "temperature";
    const EXPECTED: &'static str = "degrees such as `2 °F` or `1 °C`";
    const EXAMPLES: &'static [&'static str] = &["2 °F", "1 °C"];
    const UNITS: &'static [Unit] = DEGREES;
    const WORDS: &'static [(&'static str, f64)] = &[("none", 0.0)];
    const MOST: f64 = 100.0;
    const MOST_WORDS: &'static str = "100 °C (180 °F)";
}
impl Dimension for Length {
    type Difference = Self;
    const TITLE: &'static str = "Length";
    const KIND: &'static str = "length";
    const EXPECTED: &'static str = "a length such as `11 in` or `28 cm`";
    const EXAMPLES: &'static [&'static str] = &["11 in", "28 cm", "1.5 m"];
    const UNITS: &'static [Unit] = LENGTHS;
    const MOST: f64 = 100.0;
    const MOST_WORDS: &'static str = "100 m";
}
impl Dimension for Power {
    type Difference = Self;
    const TITLE: &'static str = "Power";
    const KIND: &'static str = "power";
    const EXPECTED: &'static str = "a power such as `80 W`";
    const EXAMPLES: &'static [&'static str] = &["80 W", "1.2 kW"];
    const UNITS: &'static [Unit] = POWERS;
    const MOST: f64 = 1e6;
    const MOST_WORDS: &'static str = "1000 kW";
}
impl Dimension for Electricity {
    type Difference = Self;
    const TITLE: &'static str = "Electricity";
    const KIND: &'static str = "electricity in a time";
    const EXPECTED: &'static str = "electricity in a time such as `1 kWh/day` or `335 kWh a year`";
    const EXAMPLES: &'static [&'static str] = &["1 kWh/day", "335 kWh a year", "none"];
    const UNITS: &'static [Unit] = ENERGIES;
    const WORDS: &'static [(&'static str, f64)] = &[("none", 0.0)];
    const MOST: f64 = 1e4;
    const MOST_WORDS: &'static str = "10000 kWh a day";

    fn parse(text: &str) -> Result<f64, Fault> {
        let (amount, days) = split_time(text)?;
        Ok(sum_of_terms(amount, ENERGIES, false)? / days)
    }
}
impl Dimension for Part {
    type Difference = Self;
    const TITLE: &'static str = "Part";
    const KIND: &'static str = "part";
    const EXPECTED: &'static str = "a part such as `90 %`, `half`, `two thirds` or `19 of 20`";
    const EXAMPLES: &'static [&'static str] = &["90 %", "half", "a third", "19 of 20", "none"];
    const UNITS: &'static [Unit] = PARTS;
    const WORDS: &'static [(&'static str, f64)] = &[
        ("none", 0.0),
        ("nothing", 0.0),
        ("all", 1.0),
        ("everything", 1.0),
        ("half", 0.5),
        ("a half", 0.5),
        ("a third", 1.0 / 3.0),
        ("one third", 1.0 / 3.0),
        ("two thirds", 2.0 / 3.0),
        ("a quarter", 0.25),
        ("one quarter", 0.25),
        ("three quarters", 0.75),
        ("a fifth", 0.2),
        ("a tenth", 0.1),
    ];
    const MOST: f64 = 1.0;
    const MOST_WORDS: &'static str = "100 %";

    fn parse(text: &str) -> Result<f64, Fault> {
        let (value, rest) = take_number(text, text)?;
        if let Some(rest) = rest.strip_prefix("of ") {
            let (whole, after) = take_number(rest, text)?;
            let known = ["", "years", "days", "weeks", "months", "times", "runs"];
            if whole > 0.0 && known.contains(&after) {
                return Ok(value / whole);
            }
            return Err(Fault::new(format!("`{text}` is not so many of so many")));
        }
        // `3/4` says by itself that it is a part.
        if rest.is_empty() && text.contains('/') {
            return Ok(value);
        }
        sum_of_terms(text, PARTS, false)
    }
}
impl Dimension for Count {
    type Difference = Self;
    const TITLE: &'static str = "Count";
    const KIND: &'static str = "number";
    const EXPECTED: &'static str = "a whole number such as `12`";
    const EXAMPLES: &'static [&'static str] = &["12"];
    const UNITS: &'static [Unit] = &[];
    const WORDS: &'static [(&'static str, f64)] = &[("none", 0.0)];
    const MOST: f64 = 1e9;
    const MOST_WORDS: &'static str = "1000000000";
    const BARE: bool = true;

    fn parse(text: &str) -> Result<f64, Fault> {
        let (value, rest) = take_number(text, text)?;
        if !rest.is_empty() || value.fract() != 0.0 {
            return Err(Fault::new(format!("`{text}` is no whole number")));
        }
        Ok(value)
    }
}
impl Dimension for Frequency {
    type Difference = Self;
    const TITLE: &'static str = "Frequency";
    const KIND: &'static str = "times";
    const EXPECTED: &'static str = "how often, such as `2 per week`, `3 a year` or `never`";
    const EXAMPLES: &'static [&'static str] = &["2 per week", "3 a year", "twice a day", "never"];
    const UNITS: &'static [Unit] = TIMES;
    const WORDS: &'static [(&'static str, f64)] =
        &[("never", 0.0), ("none", 0.0), ("daily", 1.0), ("every day", 1.0), ("weekly", 1.0 / 7.0)];
    const MOST: f64 = 2000.0;
    const MOST_WORDS: &'static str = "2000 times a day";

    fn parse(text: &str) -> Result<f64, Fault> {
        let (times, time) = split_time(text)?;
        let times = match times {
            "once" => 1.0,
            "twice" => 2.0,
            _ => {
                let (v, rest) = take_number(times, text)?;
                if !["", "times", "time"].contains(&rest) {
                    return Err(Fault::new(format!("`{rest}` has no meaning in `{text}`")));
                }
                v
            }
        };
        Ok(times / time)
    }
}

/// Splits `2 lb/week`, `2 lb a week` or `2 lb per week` into what comes before
/// and the time, in days.
pub(super) fn split_time(text: &str) -> Result<(&str, f64), Fault> {
    let joints = ["/", " per ", " a ", " an ", " each ", " every "];
    let last = joints.iter().filter_map(|j| text.rfind(j).map(|at| (at, at + j.len()))).max();
    let Some((end, start)) = last else {
        return Err(Fault::new(format!("`{text}` says no time, such as a day or a week")));
    };
    let (amount, time) = (text[..end].trim(), text[start..].trim());
    match find_unit(time, TIMES, text) {
        Ok(unit) => Ok((amount, unit.factor)),
        // `half a gallon`: the joint belongs to the number.
        Err(_) if kind_of(time).is_some() => {
            Err(Fault::new(format!("`{text}` says no time, such as a day or a week")))
        }
        Err(fault) => Err(fault),
    }
}
