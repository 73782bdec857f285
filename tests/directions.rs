//! Which way a change must push, as paired runs on the same luck.
//!
//! Not every single year must go that way: what is changed moves other things
//! with it (a fuller table empties jars, milk that keeps longer takes room), so
//! each test judges the mean over the years, and says why a year may differ.

mod common;

use springhouse::scenario::Compiled;
use springhouse::scenario::plan::{Action, Plan};
use springhouse::sim::Outcome;
use springhouse::sim::outcome::{Fate, Source};
use springhouse::study::stats::paired_t;
use springhouse::study::{RunOptions, run};

const TRIALS: u32 = 250;

/// One Jersey and a family that can just about drink her milk.
const HOUSE: &str = "
title: Which way
starts: 2027-03-01
lasts: 12 months
animals:
  - name: Clover
    breed: jersey
    lactation: 2
    freshens: 2027-02-20
    freshens again: after 13 months give or take 3 weeks
    dry off: 60 days before
household:
  people: {man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: 4}
  wants:
    butter: 1 lb/week
  kitchen time: {weekdays: 45 min, weekend: 90 min}
stores:
  kitchen fridge: {shelves: 3 of 24 in x 14 in x 11 in, at: 38 °F, other food takes: 40 %}
jars: {half gallon: 30, quart: 12}
routine:
  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}
  - {do: make, what: butter, when: {have: {cream: at least 1 qt, butter: under 3 lb}}}
animals fed:
  hens: {heads: 6}
when full:
  tonight: [pour out sour milk, pour out oldest milk]
";

/// A measure, year by year.
fn years(c: &Compiled, measure: &str) -> Vec<f64> {
    let options =
        RunOptions { trials: TRIALS, seed: 5, remedies: false, bands: false, ..RunOptions::default() };
    let r = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    let column = r.columns.iter().position(|c| c == measure).expect("a measure");
    r.rows.chunks_exact(r.columns.len()).map(|row| row[column]).collect()
}

/// Each step must not push a measure up (`sign` 1) or down (−1) in the mean of
/// the same years; all of them together must surely move it.
#[track_caller]
fn never(sign: f64, measure: &str, steps: &[Compiled]) {
    let found: Vec<Vec<f64>> = steps.iter().map(|c| years(c, measure)).collect();
    judge(sign, measure, &found);
}

/// The same of anything that is counted year by year, one list a step.
#[track_caller]
fn judge(sign: f64, measure: &str, found: &[Vec<f64>]) {
    let means: Vec<f64> = found.iter().map(|v| v.iter().sum::<f64>() / v.len() as f64).collect();
    for pair in found.windows(2) {
        let step = paired_t(&pair[1], &pair[0], 0.95).expect("pairs");
        assert!(sign * step.mean <= 1e-9, "{measure}: {means:?}");
    }
    let all = paired_t(&found[found.len() - 1], &found[0], 0.95).expect("pairs");
    assert!(sign * all.mean + all.half < 0.0, "{measure} hardly moves: {means:?}");
}

fn with(from: &str, to: &str) -> Compiled {
    assert!(HOUSE.contains(from), "{from}");
    common::compile(&HOUSE.replace(from, to))
}

/// A year may differ: a fuller table empties jars sooner, and milk that had
/// found no jar is then kept for a later meal.
#[test]
fn more_people_never_shorten_the_days_without_milk() {
    let people = "{man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: 4}";
    let steps = [4, 5, 7]
        .map(|boys| with(people, &format!("{{man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: {boys}}}")));
    never(-1.0, "milk_short_days", &steps);
}

/// A year may differ: milk saved by a jar today holds that jar tomorrow, when
/// a larger milking wants one.
#[test]
fn more_jars_never_waste_more_for_want_of_jars() {
    let steps =
        [6, 10, 14, 30].map(|n| with("half gallon: 30, quart: 12", &format!("half gallon: {n}, quart: 4")));
    never(1.0, "wasted_no_jar", &steps);
}

/// A year may differ: milk that is not poured out in the full weeks is still
/// there later, and may fill both.
#[test]
fn a_second_fridge_never_adds_days_too_full() {
    let second = |more: &str| with("other food takes: 40 %}", &format!("other food takes: 40 %}}{more}"));
    let shelves = "at: 38 °F}";
    let steps = [
        second(""),
        second(&format!("\n  porch fridge: {{shelves: 1 of 20 in x 14 in x 11 in, {shelves}")),
        second(&format!("\n  porch fridge: {{shelves: 3 of 24 in x 14 in x 11 in, {shelves}")),
    ];
    never(1.0, "days_over_full", &steps);
}

/// A year may differ: milk that keeps longer takes room, so that more stands
/// about when it does sour at last.
#[test]
fn milk_that_keeps_longer_never_sours_more() {
    let steps =
        [5, 8, 12, 16].map(|days| common::compile(&format!("{HOUSE}risks: {{stays sweet: {days} days}}\n")));
    never(1.0, "wasted_soured", &steps);
}

/// A year may differ as with more people: a smaller milking finds a jar.
#[test]
fn a_lower_yield_never_shortens_the_days_without_milk() {
    let steps = [1.0, 0.9, 0.75].map(|part| {
        let mut c = common::compile(HOUSE);
        for curve in c.plan.animals.iter_mut().flat_map(|a| &mut a.curves) {
            curve.yield_kg.iter_mut().for_each(|kg| *kg *= part);
        }
        c
    });
    never(-1.0, "milk_short_days", &steps);
}

/// Why more room leaves the hours of chilling alone: they follow from the
/// fridge's temperature and power and from the jar, not from its room. This is
/// what lets a remedy with more room keep the table of the fridge it enlarges.
#[test]
fn more_shelves_of_the_same_fridge_chill_alike() {
    let table = |shelves: &str| {
        let c = with("3 of 24 in x 14 in x 11 in", shelves);
        let place = c.plan.places.iter().find_map(|p| p.chill.clone()).expect("a fridge");
        format!("{place:?}")
    };
    assert_eq!(table("3 of 24 in x 14 in x 11 in"), table("6 of 24 in x 14 in x 11 in"));
    assert_eq!(table("3 of 24 in x 14 in x 11 in"), table("3 of 36 in x 20 in x 11 in"));
}

/// A few more houses: two goats that kid apart, and a cow whose milk is shared.
const DOES: &str = "
title: Which way with goats
starts: 2027-02-01
lasts: 12 months
animals:
  - {name: Hazel, breed: alpine, freshens: 2027-02-10, dry off: 60 days before}
  - {name: Juniper, breed: saanen, freshens: 2026-09-10, dry off: 60 days before}
household:
  people: {man 31 to 50: 2, woman 31 to 50: 1, boy 9 to 13: 1}
  wants:
    yogurt: 3 qt/week
    fresh cheese: 1 lb/week
  kitchen time: {weekdays: 45 min, weekend: 90 min}
stores:
  kitchen fridge: {shelves: 3 of 24 in x 14 in x 11 in, at: 38 °F, other food takes: 40 %}
jars: {half gallon: 20, quart: 12}
routine:
  - {do: make, what: yogurt, batch: 1 qt, when: {have: {yogurt: under 2 qt}}}
  - {do: make, what: fresh cheese, batch: 0.6 gal, when: {have: {milk: at least 2 gal, fresh cheese: under 8 oz}}}
animals fed:
  hens: {heads: 6}
when full:
  tonight: [feed oldest milk, pour out sour milk, pour out oldest milk]
";

const SHARED: &str = "
herd shares: {members: 8, promise: 1 gal/week, pick-up days: [wed, sat]}
";

fn alter(house: &str, from: &str, to: &str) -> Compiled {
    assert!(house.contains(from), "{from}");
    common::compile(&house.replace(from, to))
}

/// What is counted in each of the same years.
fn counted(c: &Compiled, count: impl Fn(&Plan, &Outcome) -> f64) -> Vec<f64> {
    let mut all = Vec::new();
    common::trials(c, 5, TRIALS, |out, _| all.push(count(&c.plan, out)));
    all
}

fn batches(plan: &Plan, out: &Outcome) -> f64 {
    let made = plan.rules.iter().zip(&out.rules).filter(|(r, _)| matches!(r.action, Action::Make { .. }));
    made.map(|(_, tally)| f64::from(tally.fired)).sum()
}

/// What went into all batches, kg.
fn worked_up(plan: &Plan, out: &Outcome) -> f64 {
    let made = plan.rules.iter().zip(&out.rules).filter(|(r, _)| matches!(r.action, Action::Make { .. }));
    made.map(|(_, tally)| tally.kg).sum()
}

fn wasted(out: &Outcome) -> f64 {
    let all = Fate::ALL.iter().filter(|f| f.key().starts_with("wasted"));
    all.map(|&f| out.fates[f as usize].mass).sum()
}

fn for_people(out: &Outcome) -> f64 {
    let fate = |f: Fate| out.fates[f as usize].mass;
    out.sources[Source::Drawn as usize].mass
        - fate(Fate::Calf)
        - fate(Fate::ColostrumNewborn)
        - fate(Fate::ColostrumFed)
        - fate(Fate::ColostrumFrozen)
        - fate(Fate::Withheld)
        - fate(Fate::WithheldSick)
        - fate(Fate::WastedSpilled)
}

/// The first valid generated scenarios, changed by each step; a year of each
/// is one of the pairs.
fn generated(steps: &[fn(&mut Plan)], count: impl Fn(&Plan, &Outcome) -> f64) -> Vec<Vec<f64>> {
    let valid: Vec<u64> = (0..).filter(|&n| common::is_valid(n)).take(20).collect();
    let mut found = vec![Vec::new(); steps.len()];
    for number in valid {
        let base = common::compile(&common::generate::scenario(number));
        for (step, all) in steps.iter().zip(&mut found) {
            let mut c = base.clone();
            step(&mut c.plan);
            common::trials(&c, 5, 40, |out, _| all.push(count(&c.plan, out)));
        }
    }
    found
}

/// A year may differ: a large batch today leaves no milk for two small ones.
///
/// For the same reason batches are counted where each has its size. Butter is
/// churned of all the cream there is time for: 25 minutes make twice as many
/// churnings as 45, and small ones. There it is what was made into something.
#[test]
fn more_kitchen_time_never_makes_fewer_batches() {
    let with = |house: &str, n: u32| {
        let time = format!("{{weekdays: {n} min, weekend: {} min}}", 2 * n);
        alter(house, "{weekdays: 45 min, weekend: 90 min}", &time)
    };
    let fixed = [10, 20, 45, 90].map(|n| counted(&with(DOES, n), batches));
    judge(-1.0, "batches", &fixed);
    let churned = [10, 25, 45, 90].map(|n| counted(&with(HOUSE, n), worked_up));
    judge(-1.0, "made of", &churned);
    fn minutes(plan: &mut Plan, times: f64) {
        plan.household.kitchen_minutes.as_flattened_mut().iter_mut().for_each(|m| *m *= times);
    }
    let steps: [fn(&mut Plan); 3] = [|p| minutes(p, 0.4), |p| minutes(p, 1.0), |p| minutes(p, 2.5)];
    judge(-1.0, "made of", &generated(&steps, worked_up));
}

/// A year may differ as with milk that keeps longer.
#[test]
fn a_colder_fridge_never_sours_more() {
    for house in [HOUSE, DOES] {
        let steps = [46, 43, 40, 37].map(|f| alter(house, "at: 38 °F", &format!("at: {f} °F")));
        never(1.0, "wasted_soured", &steps);
    }
}

/// A year may differ: what hens and pigs ate early is not there to be fed later. (So
/// two goats feed one pig, and a second one would change next to nothing.)
#[test]
fn more_mouths_in_the_yard_never_eat_less() {
    for (house, heads) in [(HOUSE, &[0, 1, 2][..]), (DOES, &[0, 1])] {
        let rule = "animals fed:\n";
        let feed = "  - {do: feed, what: milk, how much: 2 gal, when: {have: {milk: at least 4 gal}}}\n";
        let steps = heads.iter().map(|pigs| {
            let more = if *pigs == 0 { String::new() } else { format!("  pigs: {{heads: {pigs}}}\n") };
            alter(house, rule, &format!("{feed}{rule}{more}"))
        });
        let steps: Vec<Compiled> = steps.collect();
        never(-1.0, "fed_to_animals", &steps);
    }
}

/// A year may differ: a short pick-up in proportion leaves the family a
/// different jar, and an older one may sour.
#[test]
fn more_members_never_fill_anyone_better() {
    let house = format!("{HOUSE}{SHARED}");
    for how in ["in proportion", "equal awards", "family first", "members first"] {
        let steps = [4, 8, 14, 20]
            .map(|n| alter(&house, "members: 8,", &format!("members: {n}, when short: {how},")));
        never(1.0, "milk_fill", &steps);
        never(1.0, "share_fill", &steps);
        let first: Vec<Vec<f64>> =
            steps.iter().map(|c| counted(c, |_, out| out.traded.shares[0].fill())).collect();
        judge(1.0, "what the first member gets", &first);
    }
}

/// A year may differ: milk that is discarded makes room for what would have
/// been poured out, and is no longer there to sour.
#[test]
fn outages_never_lower_waste() {
    for house in [HOUSE, DOES] {
        let steps =
            [0, 3, 12, 40].map(|n| common::compile(&format!("{house}outages: {{a year: {n}, last: 8 h}}\n")));
        let found: Vec<Vec<f64>> = steps.iter().map(|c| counted(c, |_, out| wasted(out))).collect();
        judge(-1.0, "waste", &found);
    }
}

/// No exception: a bath only takes heat from the milk before the fridge does.
#[test]
fn an_ice_bath_never_chills_later() {
    for house in [HOUSE, DOES] {
        let steps = [
            "",
            "chilling: {way: ice bath, ice: 4 lb a milking, ice made: 30 lb a day}\n",
            "chilling: {way: ice bath, ice made: 60 lb a day}\n",
        ]
        .map(|way| common::compile(&format!("{house}{way}")));
        let found: Vec<Vec<f64>> =
            steps.iter().map(|c| counted(c, |_, out| out.chill_hours / f64::from(out.milkings))).collect();
        judge(1.0, "hours of chilling", &found);
        for later in found.windows(2) {
            assert!(later[0].iter().zip(&later[1]).all(|(a, b)| b <= &(a + 1e-9)), "in some year");
        }
    }
}

/// No exception: the days it takes away would have given milk.
#[test]
fn an_earlier_dry_off_never_gives_more_milk() {
    for house in [HOUSE, DOES] {
        let steps = [20, 60, 90, 150].map(|n| alter(house, "60 days before", &format!("{n} days before")));
        let found: Vec<Vec<f64>> =
            steps.iter().map(|c| counted(c, |_, out| out.sources[Source::Drawn as usize].mass)).collect();
        judge(1.0, "milk drawn", &found);
        for later in found.windows(2) {
            assert!(later[0].iter().zip(&later[1]).all(|(a, b)| b <= &(a + 1e-9)), "in some year");
        }
    }
}

/// A year may differ: a milking that would have been kicked over is a smaller
/// one. In the generated houses a rule may also milk once a day or leave the calf on,
/// and less milk keeps it from doing so.
#[test]
fn illness_never_gives_more_milk_for_people() {
    let ill = |kind: &str| alter(HOUSE, "breed: jersey", &format!("breed: jersey\n    health: {kind}"));
    let found: Vec<Vec<f64>> = ["none", "careful", "troubled"]
        .map(ill)
        .iter()
        .map(|c| counted(c, |_, out| for_people(out)))
        .collect();
    judge(1.0, "milk for people", &found);
    let steps: [fn(&mut Plan); 2] = [|p| p.animals.iter_mut().for_each(|a| a.course.illness = None), |_| ()];
    judge(1.0, "milk for people", &generated(&steps, |_, out| for_people(out)));
}
