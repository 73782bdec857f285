//! The kitchen by mass balance, and a week of one cow.

use super::common::record::{between, differs, near, source, within};
use super::common::{compile, trial};
use super::{WIDE, household};
use springhouse::scenario::Compiled;
use springhouse::sim::outcome::Fate;
use springhouse::study::trace::{Choice, Event, TraceOptions, What, trace};
use springhouse::units::MILK_KG_PER_L;

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
    // 24 h and a tenth less at 48 h: 18.45 % of the jar. What fat stays below it is
    // the matter of another check; all else follows from the fat f of the cream:
    //   butter           = 0.985 · 0.99 · f / 0.815
    //   milk below it    holds 0.5 − f
    // with 98.5 % of the fat churned out and 1 % left in the churn.
    source(
        "The volume of the cream layers forming on Holstein and Jersey milk, Journal of Dairy Science \
         (author and year not known to us); butter by mass balance as in Goff, University of Guelph, Dairy \
         Science and Technology",
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
    // The layer is counted by volume and cream is lighter than milk: 0.1 %.
    near(cream, 1.845, 0.002);
    let creams = ["top cream", "middle cream", "thin cream"].map(|name| item(&c, name));
    let told = steady(&c);
    let fat = |wanted: &dyn Fn(&What) -> bool| -> f64 {
        told.iter().filter(|e| wanted(&e.what)).map(|e| e.matter.fat).sum()
    };
    let in_cream = fat(&|what| matches!(what, What::Made(i) if creams.contains(&i.at())));
    let skimmed = item(&c, "skimmed milk");
    near(fat(&|what| matches!(what, What::Made(i) if i.at() == skimmed)), 0.5 - in_cream, 1e-9);
    near(butter, 0.985 * 0.99 * in_cream / 0.815, 1e-9);
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
    // Half of the last digit, and the casein that is rounded to it (0.2 %).
    within(100.0 * cheese / 20.0, 10.24, 0.0025);
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
    // vats of five milks gave what Van Slyke's formula gives at 37 % and 93 %. By that
    // formula the fat lost outweighs the water kept: 2 to 3 % less cheese than those vats,
    // and 0.5 % more for their rounding.
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
    // Wheels that ripen 60 days and are eaten as soon as they are ripe: of two a week
    // 2 · 60 / 7 = 17.1 are on the shelves, of one 8.6 (Little's law). In 20 weeks.
    source("Little's law: 2 wheels a week, and 1, for 60 days");
    for (days, each_week) in [("[tue, fri]", 2.0), ("[tue]", 1.0)] {
        let text = household(280, "amount: 8 kg", "", WIDE, 3.0, "  kitchen time: {every day: 10 h}\n  wants: {hard cheese: {at least: 1 g/week, gladly up to: 1000 kg/week, gladly while: 0 days, varies: 0 %}}\n")
            .replace("  drinkers: []\n", "")
            .replace("jars:", "  cheese box: {kind: ageing, room: 600 L, at: 54 °F}\njars:")
            + &format!("routine:
  - {{do: make, what: hard cheese, batch: 8 kg, days: {days}, at most: 1 per day}}
");
        let c = compile(&text);
        let (out, log) = trial(&c, 1, None);
        near(f64::from(out.rules[0].fired), 40.0 * each_week, 0.0);
        let wheel = out.made[item(&c, "hard cheese")] / (40.0 * each_week);
        // The stock of the only wish stands after the fixed measures of a day.
        let stock = |day: usize| f64::from(log.data[(day + 1) * log.measures - 1]);
        let mean = (140..280).map(stock).sum::<f64>() / 140.0;
        // The day's log is kept in single precision, over whole weeks of 20.
        near(mean / wheel, each_week * 60.0 / 7.0, 0.01);
    }
}

/// One Jersey that gives 26.5 gal (101.1 L) a week of 5 % milk, and the table of a family:
/// the middle of each amount of the list.
fn one_cow(weeks: u32) -> Compiled {
    compile(&format!(
        "title: One cow
starts: 2027-01-04
lasts: {} days
units: us
animals:
  - name: Clover
    breed: jersey
    lactation: 2
    freshens: 2026-12-01
    freshens again: never
    gives: 4536 kg
    lactation lasts: 305 days
    curve: {{a: 15.1, b: 0, c: 0.0001}}
    fat: 5 %
    fat over time: {{base: 5, early: 0, fades: 0.05, climb: 0}}
    protein: 3.8 %
    protein over time: {{base: 3.8, early: 0, fades: 0.05, climb: 0}}
    evening fat excess: 0 %
    health: none
household:
  drinkers: [{{name: All, how much: 1.7143 gal, part of days: 100 %, give or take: 0 %}}]
  kitchen time: {{every day: 10 h}}
  wants:
    butter: {{at least: 3.5 lb/week, varies: 0 %}}
    fresh cheese: {{at least: 4 lb/week, varies: 0 %}}
    hard cheese: {{at least: 4 lb/week, varies: 0 %}}
    ice cream: {{at least: 1.25 gal/week, varies: 0 %}}
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
  - {{do: skim, after: 24 h, leave: 2 % fat, a jar takes: 0 min}}
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
    ))
}

/// What happened in the average year.
fn steady(c: &Compiled) -> Vec<Event> {
    let options = TraceOptions { choice: Choice::Steady, trials: 1, seed: 1, threads: Some(1) };
    trace(&c.plan, &c.names, &options, &|_, _| {}).expect("it is traced").events
}

/// A homestead's list of a week, its amounts (gallons, pounds, quarts) and the pounds of
/// fat in one of each. Milk "skimmed, still creamy", how deep is not told: 2 % of 8.6 lb,
/// as the scenario skims it. Butter at its least fat (7 USC 321a), cheddar of 33 % and sour cream of 19 % (USDA
/// food table; a quart of it is 2.1 lb), whipping cream of 36 % (21 CFR 131.150; 2.1 lb).
/// Ice cream as made at home: two cups of that cream and one of milk make about a quart
/// (common practice, no source), 0.39 lb. Their cottage cheese was of skimmed milk and is
/// left out: ours is not so lean.
const LIST: [(&str, f64, f64, f64); 6] = [
    ("milk to drink", 10.0, 14.0, 8.6 * 0.02),
    ("butter", 3.0, 4.0, 0.80),
    ("hard cheese", 4.0, 4.0, 0.33),
    ("ice cream", 1.0, 1.5, 4.0 * 0.39),
    ("sour cream", 1.0, 1.0, 0.40),
    ("table cream", 1.0, 1.0, 0.76),
];

/// Part of each wish that is served in weeks 21 to 30, when the cheese is ripe and the
/// stocks are steady, by its name; milk first.
fn served() -> Vec<(String, f64)> {
    let c = one_cow(30);
    let (short, long) = (trial(&one_cow(20), 1, None).0, trial(&c, 1, None).0);
    let drawn = (long.sources[0].mass - short.sources[0].mass) * 0.1 / MILK_KG_PER_L / GALLON;
    assert!((25.0..28.0).contains(&drawn), "the file says so much milk: {drawn}");
    let parts =
        short.wants.iter().zip(&long.wants).map(|(a, b)| (b.served - a.served) / (b.wanted - a.wanted));
    std::iter::once("milk".to_owned()).chain(c.names.wishes).zip(parts).collect()
}

#[test]
fn a_week_of_one_family_cow_serves_the_list() {
    // 25 to 28 gal of milk serve what is on the list, all but the hard cheese in full. Ten
    // whole weeks: 1 % for a batch that is not yet ripe at their end.
    source("Homestead Dairy Management, 1975, one Jersey's week (author not known to us)");
    for (name, part) in served().into_iter().filter(|(name, _)| name != "hard cheese") {
        assert!(part <= 1.0 + 1e-9, "{name}");
        near(part, 1.0, 0.01);
    }
}

#[test]
fn known_difference_the_hard_cheese_of_one_family_cow() {
    // 4 lb a week; how much milk they took, and how deep it was skimmed, is not told.
    source("Homestead Dairy Management, 1975, one Jersey's week (author not known to us)");
    let why = "a vat of 5.7 gal skimmed to 2 % gives so much less: theirs was of richer or of more milk";
    let all = served();
    let cheese = all.iter().find(|(name, _)| name == "hard cheese").expect("hard cheese");
    differs(4.0 * cheese.1, 4.0, 3.77, 0.02, why);
}

#[test]
fn a_week_of_one_family_cow_takes_the_fat_of_the_list() {
    // The list in the middle of its amounts takes so much fat, and varies by its own
    // ranges taken as independent (half of each). Ours is counted from what was drunk and
    // eaten of foods made by the recipes.
    source(
        "Homestead Dairy Management, 1975, one Jersey's week (author not known to us); its fat worked out from standards of identity and the USDA food table",
    );
    let middle: f64 = LIST.iter().map(|(_, low, high, fat)| 0.5 * (low + high) * fat).sum();
    let range = LIST.iter().map(|(_, low, high, fat)| (0.5 * (high - low) * fat).powi(2)).sum::<f64>().sqrt();
    let c = one_cow(30);
    let fresh = item(&c, "fresh cheese");
    let counts = |e: &&Event| {
        e.day >= 140
            && match e.what {
                What::Went { fate: Fate::Drunk, .. } => true,
                What::Went { fate: Fate::Eaten, item, .. } => item.is_some_and(|i| i.at() != fresh),
                _ => false,
            }
    };
    let ours = steady(&c).iter().filter(counts).map(|e| e.matter.fat).sum::<f64>() / 10.0 / LB;
    near(ours, middle, range);
}
