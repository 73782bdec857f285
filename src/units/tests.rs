//! Tests of reading, against exact definitions.

use proptest::prelude::*;

use super::*;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs().max(1.0)
}

fn good<D: Dimension>(cases: &[(&str, f64)]) {
    for (text, value) in cases {
        let read = read::<D>(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read, *value), "{text}: {read} is not {value}");
    }
}

fn bad<D: Dimension>(text: &str) -> String {
    read::<D>(text).unwrap_err().to_string()
}

// US customary units: NIST Handbook 44, appendix C; the gallon of 231 cubic
// inches and the pound of 0.453 592 37 kg are exact.
#[test]
fn volumes() {
    good::<Volume>(&[
        ("1 gal", 3.785_411_784),
        ("1.5 gallons", 5.678_117_676),
        ("1 qt", 0.946_352_946),
        ("2 quarts", 1.892_705_892),
        ("1 pint", 0.473_176_473),
        ("1 pt", 0.473_176_473),
        ("1 cup", 0.236_588_236_5),
        ("1 fl oz", 0.029_573_529_562_5),
        ("12 fl. oz.", 0.354_882_354_75),
        ("1 tbsp", 0.014_786_764_781_25),
        ("1 tsp", 0.004_928_921_593_75),
        ("4 L", 4.0),
        ("4l", 4.0),
        ("4 litres", 4.0),
        ("4 liter", 4.0),
        ("2 dl", 0.2),
        ("250 mL", 0.25),
        ("1 cu ft", 28.316_846_592),
        ("7 cubic feet", 198.217_926_144),
        ("231 cu in", 3.785_411_784),
        ("1/2 gal", 1.892_705_892),
        ("1 1/2 gal", 5.678_117_676),
        ("1½ gal", 5.678_117_676),
        ("half a gallon", 1.892_705_892),
        ("a gallon", 3.785_411_784),
        ("1 gal 2 qt", 5.678_117_676),
        ("1 gal and 2 qt", 5.678_117_676),
        ("  2   QT ", 1.892_705_892),
        ("1\u{a0}L", 1.0),
        ("0 L", 0.0),
    ]);
}

#[test]
fn masses_lengths_powers() {
    good::<Mass>(&[
        ("1 lb", 0.453_592_37),
        ("2 pounds", 0.907_184_74),
        ("16 oz", 0.453_592_37),
        ("5 lb 4 oz", 2.381_359_942_5),
        ("1 kg", 1.0),
        ("250 g", 0.25),
    ]);
    good::<Length>(&[
        ("1 in", 0.0254),
        ("24\"", 0.609_6),
        ("1 ft", 0.304_8),
        ("5 ft 6 in", 1.676_4),
        ("28 cm", 0.28),
        ("5 mm", 0.005),
        ("1.5 m", 1.5),
    ]);
    good::<Power>(&[("80 W", 80.0), ("1.2 kW", 1200.0), ("1000 Btu/h", 293.071_1)]);
    // A year has 365.25 days here.
    good::<Electricity>(&[
        ("1.1 kWh/day", 1.1),
        ("500 Wh a day", 0.5),
        ("365.25 kWh per year", 1.0),
        ("none", 0.0),
    ]);
    assert!(bad::<Electricity>("80 W").contains("no time"));
    assert!(bad::<Electricity>("1 kWh").contains("no time"));
    assert!(bad::<Electricity>("80 W/day").contains("power"));
}

#[test]
fn temperatures() {
    // Fixed points of water, and where both scales meet.
    good::<Temperature>(&[
        ("32 °F", 0.0),
        ("212 F", 100.0),
        ("-40 °F", -40.0),
        ("50 degrees F", 10.0),
        ("3 °C", 3.0),
        ("3 C", 3.0),
        ("−18 °C", -18.0),
        ("38ºF", 10.0 / 3.0),
    ]);
    good::<TemperatureDifference>(&[("9 °F", 5.0), ("2 °C", 2.0), ("none", 0.0)]);
    let warm = read_spread::<Temperature>("38 °F give or take 2 °F").unwrap();
    assert!(close(warm.value, 10.0 / 3.0) && close(warm.sd, 10.0 / 9.0));
    assert!(bad::<TemperatureDifference>("-2 °F").contains("less than nothing"));
    assert!(bad::<Temperature>("-300 °F").contains("too little"));
    assert!(bad::<Temperature>("500 °F").contains("too much"));
    assert!(bad::<Temperature>("30 °F 5 °F").contains("more than one"));
}

#[test]
fn times() {
    good::<Duration>(&[
        ("48 h", 2.0),
        ("90 min", 0.0625),
        ("1 day", 1.0),
        ("3 weeks", 21.0),
        ("12 months", 365.25),
        ("2 years", 730.5),
        ("a week", 7.0),
        ("three weeks", 21.0),
        ("1 week 3 days", 10.0),
    ]);
    good::<Minutes>(&[
        ("45 min", 45.0),
        ("4 h", 240.0),
        ("1 h 20 min", 80.0),
        ("none", 0.0),
        ("half an hour", 30.0),
    ]);
    good::<Frequency>(&[
        ("2 per week", 2.0 / 7.0),
        ("3 a year", 3.0 / 365.25),
        ("once a week", 1.0 / 7.0),
        ("twice a day", 2.0),
        ("2 times a month", 2.0 / 30.4375),
        ("daily", 1.0),
        ("never", 0.0),
    ]);
}

#[test]
fn milk() {
    good::<MilkAmount>(&[
        ("1 L", 1.032),
        ("1 gal", 3.906_544_961_088),
        ("2 lb", 0.907_184_74),
        ("4500 kg", 4500.0),
    ]);
    good::<MilkRate>(&[
        ("4 gal/day", 15.626_179_844_352),
        ("2 lb/week", 0.129_597_82),
        ("7 L / week", 1.032),
        ("7 L a week", 1.032),
        ("7 L per week", 1.032),
        ("half a gallon a day", 1.953_272_480_544),
        ("1/2 gal/day", 1.953_272_480_544),
        ("1 kg every day", 1.0),
        ("none", 0.0),
    ]);
    assert_eq!(read_amount("4 L"), Ok(Amount::Litres(4.0)));
    assert_eq!(read_amount("4 kg"), Ok(Amount::Kilograms(4.0)));
    assert_eq!(read_amount_rate("7 L a week"), Ok(Amount::Litres(1.0)));
    assert_eq!(read_amount_rate("none"), Ok(Amount::Kilograms(0.0)));
    assert!(close(Amount::Litres(2.0).kg(1.01), 2.02));
    assert!(bad::<MilkRate>("4 gal").contains("says no time"));
    assert!(bad::<MilkRate>("half a gallon").contains("says no time"));
    assert!(bad::<MilkRate>("4 gal/wek").contains("did you mean `week`"));
    assert!(bad::<MilkRate>("4 galon/week").contains("did you mean `gal"));
    assert!(bad::<MilkRate>("4/week").contains("has no unit"));
    assert!(bad::<MilkAmount>("4 days").contains("`4 days` is a time"));
    assert!(bad::<MilkAmount>("1 gal 2 lb").contains("mixes"));
}

#[test]
fn parts_and_counts() {
    good::<Part>(&[
        ("90 %", 0.9),
        ("90%", 0.9),
        ("3 percent", 0.03),
        ("half", 0.5),
        ("Half", 0.5),
        ("a third", 1.0 / 3.0),
        ("two thirds", 2.0 / 3.0),
        ("a quarter", 0.25),
        ("three quarters", 0.75),
        ("none", 0.0),
        ("all", 1.0),
        ("19 of 20", 0.95),
        ("19 of 20 years", 0.95),
        ("3/4", 0.75),
    ]);
    good::<Count>(&[("12", 12.0), ("twelve", 12.0), ("none", 0.0), ("0", 0.0)]);
    assert!(bad::<Part>("0.5").contains("has no unit"));
    assert!(bad::<Part>("120 %").contains("too much"));
    assert!(bad::<Part>("21 of 20").contains("too much"));
    assert!(bad::<Part>("1 of 0").contains("so many of so many"));
    assert!(bad::<Count>("1.5").contains("no whole number"));
    assert!(bad::<Count>("12 jars").contains("no whole number"));
    assert!(bad::<Count>("-3").contains("less than nothing"));
}

#[test]
fn spreads() {
    let s = read_spread::<Volume>("2 L give or take 10 %").unwrap();
    assert!(close(s.value, 2.0) && close(s.sd, 0.2));
    let s = read_spread::<Duration>("13 months, give or take 3 weeks").unwrap();
    assert!(close(s.value, 395.6875) && close(s.sd, 21.0));
    let s = read_spread::<Volume>("2 L ± 0.5 L").unwrap();
    assert!(close(s.sd, 0.5));
    assert_eq!(read_spread::<Volume>("2 L").unwrap().sd, 0.0);
    assert!(read_spread::<Volume>("2 L give or take 5").unwrap_err().problem.contains("no unit"));
    assert!(read_spread::<Volume>("2 L give or take").unwrap_err().problem.contains("nothing"));
    assert!(
        read_spread::<Volume>("2 L give or take -1 L").unwrap_err().problem.contains("less than nothing")
    );
    assert!(bad::<Volume>("2 L give or take 1 L").contains("may not say"));
    assert_eq!(split_spread("2027-04-12 Give or Take 6 days"), ("2027-04-12", Some("6 days")));
    assert_eq!(split_spread("İ 5 give or take 6"), ("İ 5", Some("6")));
}

#[test]
fn sizes() {
    let inches = |a: f64, b: f64, c: f64| [a * 0.0254, b * 0.0254, c * 0.0254];
    for text in
        ["24 in x 14 in x 11 in", "24 x 14 x 11 in", "24 in × 14 in × 11 in", "24 in by 14 in by 11 in"]
    {
        let read = read_sizes::<3>(text).unwrap();
        assert!(read.iter().zip(inches(24.0, 14.0, 11.0)).all(|(a, b)| close(*a, b)), "{text}: {read:?}");
    }
    assert!(read_sizes::<3>("24 in x 14 in").unwrap_err().problem.contains("2 of 3"));
    assert!(read_sizes::<3>("24 x 14 x 11").unwrap_err().problem.contains("no unit"));
    assert!(read_sizes::<3>("24 in x -14 in x 11 in").unwrap_err().problem.contains("less than nothing"));
    assert!(read_sizes::<3>("").is_err());
}

#[test]
fn refusals_say_what_to_write() {
    assert_eq!(bad::<Volume>("4"), "`4` has no unit; write a volume such as `1.5 gal` or `4 L`");
    assert_eq!(
        bad::<Volume>("4 Galon"),
        "`Galon` is no unit that is known here; did you mean `gallon`? Write a volume such as `1.5 gal` or `4 L`"
    );
    assert_eq!(bad::<Volume>("4 lb"), "`4 lb` is a mass; write a volume such as `1.5 gal` or `4 L`");
    assert_eq!(
        bad::<Volume>("12 oz"),
        "`12 oz` is a mass; did you mean `fl oz`? Write a volume such as `1.5 gal` or `4 L`"
    );
    assert!(bad::<Volume>("-4 L").contains("`-4 L` is less than nothing"));
    assert!(bad::<Volume>("1,250 L").contains("`1250` for a thousand"));
    assert!(bad::<Volume>("1 250 L").contains("`1250` for a thousand"));
    let comma = bad::<Volume>("1,5 L");
    assert!(
        comma.contains("has a comma where a point is needed") && comma.contains("did you mean `1.5 L`"),
        "{comma}"
    );
    assert!(bad::<Volume>("nan L").contains("not a finite number"));
    assert!(bad::<Volume>("inf L").contains("not a finite number"));
    assert!(bad::<Volume>("1e999 L").contains("not a finite number"));
    assert!(bad::<Volume>("1e300 L").contains("too much"));
    assert!(bad::<Volume>("1/0 L").contains("divides by nothing"));
    assert!(bad::<Volume>("gal").contains("does not begin with a number"));
    assert!(bad::<Volume>("3 Lt").contains("`Lt` is no unit"));
    assert!(bad::<Volume>("3 mll").contains("did you mean `mL`?"));
    assert!(!bad::<Temperature>("38 K").contains("did you mean"));
    assert!(bad::<Volume>("").contains("nothing is written"));
    assert!(bad::<Duration>("9000 years").contains("100 years"));
}

#[test]
fn texts_survive_a_round_trip() {
    let yaml = "- 1.5 gal\n- 4\n- 4.5\n- true\n- null\n- '4'\n";
    let texts: Vec<Text<Volume>> = serde_yaml::from_str(yaml).unwrap();
    let kinds: Vec<Written> = texts.iter().map(Text::written).collect();
    use Written::{Nothing, Number, Truth, Words};
    assert_eq!(kinds, [Words, Number, Number, Truth, Nothing, Words]);
    assert_eq!(serde_yaml::to_string(&texts).unwrap(), yaml);
    assert_eq!(texts[0].to_string(), "1.5 gal");
    assert!(texts[4].read().unwrap_err().problem.contains("nothing is written"));
    assert!(serde_yaml::from_str::<Text<Volume>>("[1]").is_err());
}

#[test]
fn schemas_describe_each_dimension() {
    let schema = schemars::schema_for!((Text<Volume>, Text<Count>)).to_value();
    let volume = &schema["$defs"]["Volume"];
    assert_eq!(volume["type"], "string");
    assert_eq!(volume["description"], "Write a volume such as `1.5 gal` or `4 L`.");
    assert!(schema["$defs"]["Count"]["type"].as_array().is_some_and(|t| t.len() == 2));
}

fn examples_read<D: Dimension>() {
    for text in D::EXAMPLES {
        assert!(read::<D>(text).is_ok(), "{text}");
    }
    for unit in D::UNITS.iter().flat_map(|u| u.names) {
        // A rate wants a time as well; a frequency counts times.
        let text = match D::TITLE {
            "MilkRate" | "Electricity" => format!("1 {unit}/day"),
            "Frequency" => format!("1 a {unit}"),
            _ => format!("1 {unit}"),
        };
        assert!(read::<D>(&text).is_ok(), "{text}");
    }
}

#[test]
fn every_unit_and_example_reads() {
    examples_read::<Volume>();
    examples_read::<Mass>();
    examples_read::<MilkAmount>();
    examples_read::<MilkRate>();
    examples_read::<Duration>();
    examples_read::<Minutes>();
    examples_read::<Temperature>();
    examples_read::<TemperatureDifference>();
    examples_read::<Length>();
    examples_read::<Part>();
    examples_read::<Power>();
    examples_read::<Electricity>();
    examples_read::<Count>();
    examples_read::<Frequency>();
}

proptest! {
    #[test]
    fn what_is_shown_reads_back(v in 0.001f64..5000.0) {
        for system in [UnitSystem::Us, UnitSystem::Metric] {
            for (shown, back) in [
                (show::volume(v, system), read::<Volume>(&show::volume(v, system).replace(',', ""))),
                (show::mass(v, system), read::<Mass>(&show::mass(v, system).replace(',', ""))),
                (show::room(v, system), read::<Volume>(&show::room(v, system).replace(',', ""))),
            ] {
                // Two digits shown: at most 5 % off at the least digit pair.
                let back = back.unwrap();
                prop_assert!((back - v).abs() <= 0.051 * v, "{shown}: {back} {v}");
            }
        }
        let shown = show::minutes(v);
        prop_assume!(v >= 1.0);
        prop_assert!((read::<Minutes>(&shown.replace(',', "")).unwrap() - v).abs() <= 0.5 + 1e-9);
    }

    #[test]
    fn nothing_written_panics(text in "\\PC*") {
        let _ = read_spread::<Volume>(&text);
        let _ = read_spread::<MilkRate>(&text);
        let _ = read_spread::<Temperature>(&text);
        let _ = read::<Part>(&text);
        let _ = read::<Frequency>(&text);
        let _ = read_sizes::<3>(&text);
        let _ = crate::calendar::read_date(&text);
    }

    #[test]
    fn near_misses_do_not_panic(text in "[-0-9./,½ e%°a-z\"]{0,14}( (gal|L|of|a|per|give or take|x|°F|/day))?") {
        let _ = read_spread::<Volume>(&text);
        let _ = read_spread::<MilkRate>(&text);
        let _ = read_spread::<Temperature>(&text);
        let _ = read::<Part>(&text);
        let _ = read::<Count>(&text);
        let _ = read::<Frequency>(&text);
        let _ = read_sizes::<3>(&text);
    }
}
