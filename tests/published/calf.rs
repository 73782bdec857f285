//! Young on their dam.

use crate::common::{compile, trial};
use crate::{between, differs, near, source};
use springhouse::sim::outcome::{Fate, Source};

/// Milk into the pail in a lactation of 210 days of one ewe, kg, in the average year.
fn pail(calf: &str) -> f64 {
    let c = compile(&format!(
        "title: A ewe
starts: 2027-03-01
lasts: 210 days
animals:
  - {{name: Ewe, breed: east friesian cross, freshens: 2027-03-01, freshens again: never, health: none, colostrum: 0 days, milks on until: 210 days{calf}}}
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
jars: {{2 litre: 400}}
"
    ));
    let (out, _) = trial(&c, 1, None);
    out.sources[Source::Drawn as usize].mass - out.fates[Fate::Calf as usize].mass
}

#[test]
fn ewes_apart_by_night_by_thomas_2000() {
    source("Thomas, Berger and McKusick 2000, symposium on dairy sheep: 240, 205 and 149 kg");
    // Lambs off from the first day 240 kg; apart by night for 30 days and milked in
    // the morning 205 kg, 0.85 of it.
    near(pail(", calf: {shut in overnight until: 30 days}") / pail(""), 205.0 / 240.0, 0.05);
}

#[test]
fn known_difference_ewes_suckled_for_a_month_by_thomas_2000() {
    source("Thomas, Berger and McKusick 2000, symposium on dairy sheep: 240, 205 and 149 kg");
    // Suckled for 30 days, then milked: 149 kg, 0.62.
    let why = "after suckling their ewes gave less than the others to the end; in the model only the suckled days are lost";
    differs(pail(", calf: {full time until: 30 days}") / pail(""), 149.0 / 240.0, 0.80, 0.03, why);
}

#[test]
fn what_a_calf_drinks() {
    source(
        "free-suckling dairy calves 8 to 15 L a day (Royal Society for the Prevention of Cruelty to Animals, knowledge base; a study of meal sizes)",
    );
    // Of a dam of 600 kg, before and after two months.
    let c = compile(
        "title: A calf
starts: 2027-03-01
lasts: 30 days
animals:
  - {name: Clover, breed: holstein, freshens: 2027-03-01, weighs: 600 kg, calf: {full time until: 12 weeks}}
stores:
  fridge: {shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}
jars: {2 litre: 400}
",
    );
    let calf = c.plan.animals[0].calf.expect("a calf");
    let litres = |kg: f64| kg / springhouse::units::MILK_KG_PER_L;
    between(litres(calf.appetite_full_kg), 8.0, 15.0);
    assert!(calf.appetite_start_kg < calf.appetite_full_kg);
}
