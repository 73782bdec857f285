//! The kitchen by mass balance, and a week of one cow.

use super::common::record::{between, near, source, within};
use super::common::{compile, trial};
use super::{WIDE, household};
use springhouse::scenario::Compiled;
use springhouse::sim::outcome::Fate;
use springhouse::study::trace::{Choice, TraceOptions, What, trace};

const LB: f64 = 0.453_592_37;
const GALLON: f64 = 3.785_411_784;

fn item(c: &Compiled, name: &str) -> usize {
    c.names.items.iter().position(|i| i == name).unwrap_or_else(|| panic!("no {name}"))
}

/// One delivery of milk on the first day, and a routine.
fn delivery(kg: f64, fat: &str, protein: &str, days: u32, rest: &str) -> String {
    let once = format!("amount: {kg} kg, until: 2027-01-04");
    household(days, &once, "", WIDE, 20.0, "  kitchen time: {every day: 10 h}\n")
        .replace("  drinkers: []\n", "")
        .replace("fat: 4 %, protein: 3.3 %", &format!("fat: {fat}, protein: {protein}"))
        .replace("lasts:", "hours: {kitchen: \"11:00\", meals: \"12:00\"}\nlasts:")
        + rest
}

#[test]
fn a_full_cream_skim_and_the_butter_of_it() {
    // 10 kg of 5 % milk rest 48 hours at 4 °C. The layer is 4.1 times the fat at
    // 24 h and a tenth less at 48 h: 18.45 % of the jar; 0.26 % of fat stays
    // below it (the model's figure: half a percent would be published). So
    //   fat of the cream = 0.5 − 0.0026 · 10 · (1 − 0.1845) = 0.4788 kg
    //   butter           = 0.985 · 0.99 · 0.4788 / 0.815   = 0.5729 kg
    // with 98.5 % of the fat churned out and 1 % left in the churn.
    source(
        "The volume of the cream layers forming on Holstein and Jersey milk, Journal of Dairy Science; \
         butter by mass balance as in Goff, University of Guelph",
    );
    let c = compile(&delivery(
        10.0,
        "5 %",
        "3.4 %",
        4,
        "routine:
  - {do: skim, after: 48 h, take: the whole layer, a jar takes: 0 min}
  - {do: make, what: butter}
",
    ));
    let (out, _) = trial(&c, 1, None);
    let (butter, buttermilk) = (out.made[item(&c, "butter")], out.made[item(&c, "buttermilk")]);
    near(out.rules[0].kg, 10.0, 1e-9);
    let cream = out.rules[1].kg;
    within(cream, 1.845, 1e-3);
    within(butter, 0.5729, 2e-3);
    // Cream in, butter, buttermilk and film out; and nothing lost on the way.
    near(butter + buttermilk, 0.99 * cream, 1e-9);
    let (store, film) = (out.fates[Fate::InStore as usize], out.fates[Fate::Film as usize]);
    near(store.fat + film.fat, 0.5, 1e-9);
    near(film.mass, 0.01 * cream, 1e-9);
    near(store.mass + film.mass, 10.0, 1e-9);
}

#[test]
fn a_vat_of_cheese_and_its_whey() {
    // The mean milk of 48 factories: 3.77 % fat, 2.48 % casein (3.2 % protein of
    // which 77.5 % is casein, 96 % of it kept), cheese of 37.33 % water: 10.24 kg
    // from 100 kg by Van Slyke's formula. Whey of 0.24 to 0.51 % fat.
    source("Thom and Fisk 1918, The Book of Cheese, tables VI to VIII");
    let c = compile(
        &delivery(
            20.0,
            "3.77 %",
            "3.2 %",
            80,
            "routine:
  - {do: make, what: hard cheese}
recipes:
  hard cheese:
    film: 0 %
    gives:
      - {what: hard cheese, fat kept: 93 %, protein kept: 74.4 %, solids factor: 1.09, water: 37.33 %}
      - {what: whey}
",
        )
        .replace("jars:", "  cheese box: {kind: ageing, room: 60 L, at: 54 °F}\njars:"),
    );
    let (out, _) = trial(&c, 1, None);
    let (cheese, whey) = (out.made[item(&c, "hard cheese")], out.made[item(&c, "whey")]);
    within(100.0 * cheese / 20.0, 10.24, 0.005);
    near(cheese + whey, 20.0, 1e-9);
    let poured = out.fates[Fate::ByproductPoured as usize];
    near(poured.mass, whey, 1e-9);
    between(100.0 * poured.fat / poured.mass, 0.24, 0.51);
    near(poured.fat, 0.07 * 0.0377 * 20.0, 1e-9);
    near(poured.protein, (1.0 - 0.744) * 0.032 * 20.0, 1e-9);
    // Ripened 60 days: 6 % lighter, and no fat lost.
    near(out.fates[Fate::AgeingLoss as usize].mass, 0.06 * cheese, 1e-9);
    near(out.fates[Fate::InStore as usize].fat, 0.93 * 0.0377 * 20.0, 1e-9);
}

#[test]
fn the_hard_cheese_of_the_presets_is_near_the_measured_vats() {
    // The preset keeps 89 % of the fat (cut by hand) and 38 % of water; measured
    // vats of five milks gave what Van Slyke's formula gives at 37 % and 93 %. The
    // fat lost outweighs the water kept: 2 to 3 % less cheese than those vats.
    source("Thom and Fisk 1918, The Book of Cheese, tables IX and X");
    for (fat, casein, kg) in [("3.35 %", 2.20, 9.14), ("4.15 %", 2.70, 11.34), ("5.13 %", 3.12, 13.62)] {
        let protein = format!("{:.4} %", casein / 0.78);
        let text = delivery(20.0, fat, &protein, 3, "routine:\n  - {do: make, what: hard cheese}\n")
            .replace("jars:", "  cheese box: {kind: ageing, room: 60 L, at: 54 °F}\njars:");
        let c = compile(&text);
        let (out, _) = trial(&c, 1, None);
        within(100.0 * out.made[item(&c, "hard cheese")] / (0.99 * 20.0), kg, 0.035);
    }
}

#[test]
fn wheels_on_the_shelves() {
    // Two wheels a week that ripen 60 days and are eaten as soon as they are
    // ripe: 2 · 60 / 7 = 17.1 on the shelves (Little's law).
    source("Little's law: 2 wheels a week for 60 days");
    let text = household(280, "amount: 8 kg", "", WIDE, 3.0, "  kitchen time: {every day: 10 h}\n  wants: {hard cheese: {at least: 1 g/week, gladly up to: 1000 kg/week, gladly while: 0 days, varies: 0 %}}\n")
        .replace("  drinkers: []\n", "")
        .replace("jars:", "  cheese box: {kind: ageing, room: 600 L, at: 54 °F}\njars:")
        + "routine:
  - {do: make, what: hard cheese, batch: 8 kg, days: [tue, fri], at most: 1 per day}
";
    let c = compile(&text);
    let (out, log) = trial(&c, 1, None);
    assert_eq!(out.rules[0].fired, 80);
    let wheel = out.made[item(&c, "hard cheese")] / 80.0;
    // The stock of the only wish stands after the fixed measures of a day.
    let stock = |day: usize| f64::from(log.data[(day + 1) * log.measures - 1]);
    let mean = (140..280).map(stock).sum::<f64>() / 140.0;
    near(mean / wheel, 120.0 / 7.0, 0.01);
}

/// One Jersey that gives 26.5 gal a week of 5 % milk, and the table of a family.
fn one_cow(weeks: u32) -> Compiled {
    let text = format!(
        "title: One cow
starts: 2027-01-04
lasts: {} days
units: us
animals:
  - {{name: Clover, breed: jersey, lactation: 2, freshens: 2026-12-01, freshens again: never, evening fat excess: 0 %}}
household:
  drinkers: [{{name: All, how much: 1.7143 gal, part of days: 100 %, give or take: 0 %}}]
  kitchen time: {{every day: 10 h}}
  wants:
    butter: {{at least: 3 lb/week, varies: 0 %}}
    fresh cheese: {{at least: 4 lb/week, varies: 0 %}}
    hard cheese: {{at least: 4 lb/week, varies: 0 %}}
    ice cream: {{at least: 1 gal/week, varies: 0 %}}
    sour cream: {{at least: 1 qt/week, varies: 0 %}}
    table cream: {{at least: 1 qt/week, varies: 0 %}}
stores:
  fridge: {{shelves: 10 of 60 cm x 40 cm x 30 cm, at: 4 °C}}
  freezer: {{like: chest freezer 15 cu ft}}
  cheese room: {{kind: ageing, room: 200 L, at: 54 °F}}
jars: {{2 litre: 200, half pint: 100}}
recipes:
  hard cheese: {{inputs: [{{of: [skimmed milk, whole milk], no older than: 4 days}}]}}
risks: {{strainer: 0 %, jar film: 0 g, stays sweet: 10 days}}
routine:
  - {{do: skim, after: 24 h, leave: 2.5 % fat, a jar takes: 0 min}}
  - {{do: make, what: hard cheese, batch: 5.7 gal, days: [sat], at most: 1 per day}}
  - {{do: make, what: sour cream, batch: 1 qt, days: [tue], at most: 1 per day}}
  - {{do: make, what: ice cream, batch: 2 qt, when: {{have: {{ice cream: under 2 qt}}}}}}
  - {{do: make, what: fresh cheese, batch: 2 gal, when: {{have: {{fresh cheese: under 1.5 lb}}}}}}
  - {{do: make, what: butter, batch: 1.5 qt, keep back: 1 pint, when: {{have: {{butter: under 2 lb}}}}}}
animals fed:
  pigs: {{heads: 4, takes: {{whey: 40 L, acid whey: 40 L, buttermilk: 10 L, sour milk: 10 L, soured cream: 10 L}}, most: 100 L}}
when full: {{tonight: [feed sour milk, pour out oldest milk]}}
",
        7 * weeks
    );
    let mut c = compile(&text);
    let daily = 26.5 * GALLON * 1.032 / 7.0;
    for curve in c.plan.animals.iter_mut().flat_map(|a| &mut a.curves) {
        curve.yield_kg.fill(daily);
        curve.fat.fill(0.05);
        curve.protein.fill(0.038);
    }
    c
}

/// Fat of a product eaten a week from some week on, kg.
fn eaten_fat(c: &Compiled, product: &str, from_week: u32, weeks: u32) -> f64 {
    let options = TraceOptions { choice: Choice::Steady, trials: 1, seed: 1, threads: Some(1) };
    let told = trace(&c.plan, &c.names, &options, &|_, _| {}).expect("it is traced");
    let product = item(c, product);
    let is = |what: &What| matches!(what, What::Went { fate: Fate::Eaten, item: Some(i), .. } if i.at() == product);
    let eaten = told.events.iter().filter(|e| e.day >= 7 * from_week && is(&e.what));
    eaten.map(|e| e.matter.fat).sum::<f64>() / f64::from(weeks)
}

#[test]
fn a_week_of_one_family_cow() {
    // A homestead's week of 1975: 25 to 28 gal of milk; 10 to 14 gal drunk,
    // skimmed but still creamy; 3 to 4 lb of butter, 4 lb of fresh and 4 lb of
    // semi-hard cheese, 1 to 1.5 gal of ice cream, a quart each of sour and of
    // whipping cream. At 5 % the milk holds 11.4 lb of fat; what is listed takes
    // about 8.8 lb with 2.5 % in the milk that is drunk (worked out), which leaves
    // about 2.6 lb for table cream and losses. Weeks 21 to 30, when the cheese is
    // ripe and the stocks are steady. Their cottage cheese was of skimmed milk without
    // fat; ours is of milk skimmed to 2.5 %, so that its fat is left out here.
    source("Homestead Dairy Management, 1975, one Jersey's week; fat worked out");
    let c = one_cow(30);
    let (short, long) = (trial(&one_cow(20), 1, None).0, trial(&c, 1, None).0);
    let weekly = |f: Fate| (long.fates[f as usize] - short.fates[f as usize]) * 0.1;
    let (drunk, eaten) = (weekly(Fate::Drunk), weekly(Fate::Eaten));
    between(drunk.mass / 1.032 / GALLON, 10.0, 14.0);
    // 12 gal and every wish is served.
    near(drunk.mass / 1.032 / GALLON, 12.0, 0.01);
    for (n, (a, b)) in short.wants.iter().zip(&long.wants).enumerate() {
        let fill = (b.served - a.served) / (b.wanted - a.wanted);
        assert!(fill > 0.99, "wish {n} is served by {fill}");
    }
    let drawn = (long.sources[0] - short.sources[0]) * 0.1;
    near(drawn.fat / LB, 11.4, 0.05);
    let listed = (drunk.fat + eaten.fat - eaten_fat(&c, "fresh cheese", 20, 10)) / LB;
    within(listed, 8.8, 0.1);
    within(drawn.fat / LB - listed, 2.6, 0.35);
}
