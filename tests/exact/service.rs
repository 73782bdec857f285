//! How well a demand is served: days without want, and the part served.

use super::common::record::{near, source};
use super::common::{compile, trial};
use super::{WIDE, household};

#[test]
fn ten_days_of_nahmias() {
    // Demand of ten days, 190 a day supplied and nothing carried over: 45 and 10 are unmet.
    // Type 1 is 8 of 10 days, type 2 is 1,395 of 1,450. In units of 50 g; each day's demand
    // is one who drinks on that weekday, so it takes a week and three days more.
    source(
        "Nahmias, Production and Operations Analysis, type 1 and type 2 service over ten cycles (total and unmet as published, demand by cycle from memory)",
    );
    const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let (mut days, mut short, mut wanted, mut served) = (0, 0, 0.0, 0.0);
    for week in [&[180, 75, 235, 140, 180, 200, 150][..], &[90, 160, 40]] {
        let people: Vec<String> = week
            .iter()
            .zip(WEEKDAYS)
            .map(|(demand, day)| {
                format!("{{name: {day}, how much: {} kg, days: [{day}]}}", 0.05 * f64::from(*demand))
            })
            .collect();
        let text = household(week.len() as u32, "amount: 9.5 kg", &people.join(", "), WIDE, 0.5, "");
        let (out, log) = trial(&compile(&text), 1, Some(0));
        days += log.days;
        short += out.wants[0].short_days;
        wanted += out.wants[0].wanted;
        served += out.wants[0].served;
    }
    near(1.0 - f64::from(short) / days as f64, 0.80, 1e-12);
    // Half of the last digit printed.
    near(served / wanted, 0.962_07, 0.000_005);
}
