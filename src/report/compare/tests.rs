//! Amounts of differences.

use super::amounts::{Tongue, points};
use crate::report::Show;
use crate::scenario::{Names, UnitSystem};
use crate::sim::outcome::Fate;
use crate::study::measures::{MILK, MeasureKey};

#[test]
fn differences_in_the_family_s_units() {
    let names = Names { wishes: vec!["butter".into()], money: "$".into(), ..Names::default() };
    let us = Tongue::new(&names, Show::new(UnitSystem::Us));
    let metric = Tongue::new(&names, Show::new(UnitSystem::Metric));
    let lb = 0.453_592_37;
    for (key, value, text) in [
        (MeasureKey::WastedPart, -0.057, "5.7 points"),
        (MeasureKey::Fill(1), 0.01, "1 point"),
        (MeasureKey::Short(1), 2.0 * lb, "2 lb"),
        (MeasureKey::HandsMean, 1.44, "1.4 min"),
        (MeasureKey::HandsBusiest, 75.0, "1 h 15 min"),
        (MeasureKey::DaysOverFull, 1.0, "1 day"),
        (MeasureKey::Value, -120.0, "$120"),
        (MeasureKey::WastedBy(Fate::WastedSoured), 10.0 * 3.785_411_784 * 1.032, "10 gal"),
    ] {
        assert_eq!(us.size(key, value), text, "{key:?}");
    }
    assert_eq!(metric.size(MeasureKey::Short(MILK), 10.32), "10 L");
    assert_eq!(us.span(MeasureKey::WastedPart, [0.054, 0.06]), "5.4 to 6 points");
    assert_eq!(us.span(MeasureKey::DaysOverFull, [1.0, 3.0]), "1 to 3 days");
    assert_eq!(us.span(MeasureKey::HandsBusiest, [55.0, 75.0]), "55 min to 1 h 15 min");
    assert_eq!(us.noun(MeasureKey::Fill(1)), "butter");
    assert_eq!((points(0.0), points(0.0001)), ("0 points".into(), "under 0.1 points".into()));
}
