//! Valid scenarios by the hundred, written as a family would write them.

use std::fmt::Write as _;

/// A small generator of choices (SplitMix64), so that a failing scenario can
/// be named by its number.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5eed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number from `low` to `high`, both possible.
    pub fn pick(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }

    pub fn chance(&mut self, percent: u64) -> bool {
        self.pick(1, 100) <= percent
    }

    pub fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.pick(0, list.len() as u64 - 1) as usize]
    }

    fn days(&mut self) -> String {
        let all = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
        let some: Vec<&str> = all.iter().copied().filter(|_| self.chance(45)).collect();
        format!("[{}]", if some.is_empty() { "sat".to_owned() } else { some.join(", ") })
    }

    fn date(&mut self, from_month: u64, to_month: u64) -> String {
        format!("2027-{:02}-{:02}", self.pick(from_month, to_month), self.pick(1, 28))
    }
}

const COWS: &[&str] = &["jersey", "guernsey", "holstein", "ayrshire", "low-input crossbred", "simmental"];
const GOATS: &[&str] = &["saanen", "nubian", "nigerian dwarf", "alpine"];
const SHEEP: &[&str] = &["lacaune", "east friesian cross"];
const PEOPLE: &[&str] = &[
    "man 31 to 50",
    "woman 31 to 50",
    "child 4 to 8",
    "boy 9 to 13",
    "girl 14 to 18",
    "woman 71 and over",
    "infant under 1",
    "quart a day",
];
const MADE: &[&str] = &[
    "butter",
    "cultured butter",
    "yogurt",
    "kefir",
    "fresh cheese",
    "hard cheese",
    "whey ricotta",
    "sour cream",
    "ice cream",
    "frozen milk",
    "mozzarella",
    "cream cheese",
];

/// A whole scenario.
pub fn scenario(number: u64) -> String {
    let d = &mut Dice::new(number);
    let lasts = d.pick(1, 420);
    let mut s = format!("title: Generated {number}\nstarts: {}\nlasts: {lasts} days\n", d.date(1, 6));
    let _ = writeln!(s, "units: {}", d.of(&["us", "metric"]));
    let goats = d.chance(30);
    let animals = if d.chance(12) { 0 } else { d.pick(1, 3) };
    animals_part(d, &mut s, animals, goats);
    // A wish for what no milk can make in time is refused.
    let fetched = animals == 0 || lasts < 330 && d.chance(90) || d.chance(25);
    if fetched {
        fetched_part(d, &mut s);
    }
    // Ricotta needs the whey of a cheese; some cream product needs a skim.
    let mut made: Vec<&str> = MADE.iter().copied().filter(|_| d.chance(45)).collect();
    if !made.contains(&"hard cheese") {
        made.retain(|&m| m != "whey ricotta");
    }
    household(d, &mut s, &made);
    rooms(d, &mut s);
    // Dice of their own: the rest stays as it was.
    things(&mut Dice::new(number ^ 0x907), &mut s);
    let calf = s.contains("calf:");
    routine(d, &mut s, &made, animals, calf);
    trade(number, &mut s);
    aims(d, &mut s, &made);
    in_store(&mut Dice::new(number ^ 0x70da), &mut s);
    // By dice of their own: what was generated before stays as it was.
    cold(&mut Dice::new(number ^ 0xc01d), &mut s);
    herd(&mut Dice::new(number ^ 0x4e7d), &mut s);
    s
}

/// Breeding, calves apart, comings and goings, hot spells, wheels on shelves.
fn herd(d: &mut Dice, s: &mut String) {
    let mut out = String::new();
    for line in s.lines() {
        let bred = line.starts_with("    freshens again:") && d.chance(30);
        if bred {
            let from = ["60 days after freshening", "2027-08-01"][usize::from(d.chance(40))];
            let again = if from.starts_with('2') && d.chance(50) { ", again: every year" } else { "" };
            let _ = writeln!(out, "    bred: {{how: insemination, from: {from}{again}}}");
        } else if line.starts_with("    calf:") && d.chance(50) {
            let (key, more) = (
                d.of(&["shut in by day until", "let in after milkings until", "shut in overnight until"]),
                d.of(&["", ", apart for: 9 h", ", number: 1"]),
            );
            let _ = writeln!(
                out,
                "{}",
                line.replace("shut in overnight until", key).replace('}', &format!("{more}}}"))
            );
        } else if line.starts_with("  cheese box:") && d.chance(40) {
            let _ = writeln!(
                out,
                "  cheese box: {{kind: ageing, shelves: 2 of 60 cm x 40 cm x 20 cm, at: 54 °F}}"
            );
        } else {
            let _ = writeln!(out, "{line}");
        }
    }
    if s.contains("    calf:") && s.matches("  - name: Animal").count() == 1 {
        let apart = d.of(&["overnight", "by day", "but after milkings"]);
        rule(
            &mut out,
            &format!(
                "{{do: shut the calf in, apart: {apart}, when: {{since freshening: at least 10 days}}}}"
            ),
        );
    }
    *s = out;
    if d.chance(30) {
        let _ = writeln!(
            s,
            "weather: {{temperature: 60 °F, by month: {{jul: 80 °F}}, hot spells: {{jun: 2, jul: 3}}, a spell lasts: {} days}}",
            d.pick(1, 9)
        );
    }
}

/// What stands there on the first day; at most one jar of each size.
fn in_store(d: &mut Dice, s: &mut String) {
    if !d.chance(30) {
        return;
    }
    let before = |d: &mut Dice, most: u64| {
        let day = d.pick(1, most);
        format!("2026-{:02}-{:02}", 12 - day / 28, 28 - day % 28)
    };
    s.push_str("in store:\n");
    let _ = writeln!(s, "  - {{what: whole milk, jars: 1 half gallon, dated: {} evening}}", before(d, 4));
    let _ =
        writeln!(s, "  - {{what: top cream, how much: {} fl oz, dated: {}}}", d.pick(4, 12), before(d, 5));
    if d.chance(60) {
        let (kg, ready) = (d.pick(1, 30), d.pick(1, 9));
        let _ = writeln!(
            s,
            "  - {{what: hard cheese, how much: {kg} lb, dated: {}, ready: 2027-0{ready}-15, in: cheese box}}",
            before(d, 60)
        );
    }
    if d.chance(60) {
        let _ = writeln!(s, "  - {{what: butter, how much: {} lb, dated: {}}}", d.pick(1, 40), before(d, 90));
    }
    if d.chance(60) {
        let _ = writeln!(s, "  - {{what: whey, how much: {} gal, dated: {}}}", d.pick(1, 6), before(d, 3));
    }
}

fn cold(d: &mut Dice, s: &mut String) {
    if d.chance(40) {
        let way = match d.pick(0, 4) {
            0 => "fan in the fridge".to_owned(),
            1 => format!(
                "{{way: cold running water, water at: {} °F, for: {} min}}",
                d.pick(40, 65),
                d.pick(5, 120)
            ),
            2 => "ice bath".to_owned(),
            _ => format!(
                "{{way: ice bath, ice: {} lb a milking, ice made: {} lb a day, ice kept: {} lb}}",
                d.pick(1, 15),
                d.pick(1, 8),
                d.pick(1, 40)
            ),
        };
        let _ = writeln!(s, "chilling: {way}");
    }
    if d.chance(50) {
        let _ = writeln!(
            s,
            "outages: {{a year: {}, last: {} h{}}}",
            d.pick(0, 40),
            d.pick(1, 40),
            d.of(&["", "", ", then: keep"])
        );
    }
}

fn animals_part(d: &mut Dice, s: &mut String, animals: u64, goats: bool) {
    if animals == 0 {
        return;
    }
    s.push_str("animals:\n");
    for n in 0..animals {
        let breed = if goats {
            d.of(GOATS)
        } else if d.chance(10) {
            d.of(SHEEP)
        } else {
            d.of(COWS)
        };
        let (year, month, day) = (d.pick(2026, 2027), d.pick(1, 12), d.pick(1, 28));
        let _ = writeln!(s, "  - name: Animal {n}\n    breed: {breed}\n    lactation: {}", d.pick(1, 4));
        let _ = writeln!(s, "    freshens: {year}-{month:02}-{day:02} give or take {} days", d.pick(0, 12));
        let again = match d.pick(0, 2) {
            0 => "never".to_owned(),
            1 => format!("after {} months give or take {} weeks", d.pick(11, 15), d.pick(0, 4)),
            _ => "after 400 days".to_owned(),
        };
        let _ = writeln!(s, "    freshens again: {again}\n    dry off: {} days before", d.pick(40, 70));
        let _ = writeln!(s, "    milked: {}", d.of(&["twice a day", "twice a day", "once a day"]));
        let _ = writeln!(s, "    colostrum: {} days", d.pick(0, 5));
        if n % 2 == 0 {
            s.push_str("    colostrum goes to: [young, freezer, animals fed, poured out]\n");
        }
        let _ = writeln!(s, "    feed: {}", d.of(&["grass only", "some grain", "full ration"]));
        if d.chance(30) {
            let full = d.pick(0, 5);
            let _ = writeln!(
                s,
                "    calf: {{full time until: {full} weeks, shut in overnight until: {} weeks}}",
                full + d.pick(1, 30)
            );
        }
        if d.chance(20) {
            let _ = writeln!(s, "    fat: {}.{} %", d.pick(3, 6), d.pick(0, 9));
        }
    }
}

fn fetched_part(d: &mut Dice, s: &mut String) {
    let (like, amount, spread) =
        (d.of(&["cow milk", "jersey milk", "goat milk"]), d.pick(1, 8), d.pick(0, 20));
    let _ = writeln!(
        s,
        "milk fetched:\n  - name: round\n    like: {like}\n    amount: {amount} gal give or take {spread} %\n    days: {}\n    age on arrival: {} days\n    fails: {} %",
        d.days(),
        d.pick(0, 3),
        d.pick(0, 30)
    );
}

fn household(d: &mut Dice, s: &mut String, made: &[&str]) {
    s.push_str("household:\n");
    let people: Vec<String> =
        PEOPLE.iter().filter(|_| d.chance(35)).map(|p| format!("{p}: {}", number_of(p))).collect();
    if !people.is_empty() {
        let _ = writeln!(s, "  people: {{{}}}", people.join(", "));
        let _ = writeln!(s, "  drinks like: {}", d.of(&["shop norm", "milk household", "heavy"]));
    }
    if d.chance(30) {
        let _ = writeln!(
            s,
            "  drinkers:\n    - {{name: Grandpa, how much: {} fl oz, part of days: {} %, give or take: {} %}}",
            d.pick(4, 40),
            d.pick(10, 100),
            d.pick(0, 60)
        );
    }
    if d.chance(25) {
        let month = d.pick(1, 11);
        let _ = writeln!(
            s,
            "  away:\n    - {{from: 2027-{month:02}-05, until: 2027-{month:02}-{:02}}}",
            d.pick(5, 25)
        );
    }
    let mut wants: Vec<String> = made
        .iter()
        .filter(|m| !m.contains("cultured") && **m != "frozen milk")
        .map(|m| {
            let (least, more) = (d.pick(1, 4), d.pick(0, 4));
            format!(
                "    {m}: {{at least: {least} lb/week, gladly up to: {} lb/week, varies: {} %}}\n",
                least + more,
                d.pick(0, 40)
            )
        })
        .collect();
    if made.contains(&"butter") && d.chance(50) {
        wants.push("    buttermilk: 1 qt/week\n".to_owned());
    }
    if d.chance(40) {
        wants.push("    sour milk: 1 qt/week\n".to_owned());
    }
    if !wants.is_empty() {
        let _ = write!(s, "  wants:\n{}", wants.concat());
    }
    let _ = writeln!(
        s,
        "  kitchen time: {{weekdays: {} min, sat: {} h, sun: {}}}",
        d.pick(0, 150),
        d.pick(0, 6),
        d.of(&["none", "30 min", "3 h"])
    );
    let _ =
        writeln!(s, "  keep back: {} days\n  thawed milk: {}", d.pick(0, 3), d.of(&["none", "half", "all"]));
}

fn number_of(kind: &str) -> u64 {
    1 + kind.len() as u64 % 3
}

fn rooms(d: &mut Dice, s: &mut String) {
    s.push_str("stores:\n");
    let _ = writeln!(
        s,
        "  kitchen fridge:\n    shelves: {} of {} in x {} in x {} in\n    shelf load: {} lb\n    at: {} °F\n    swings: {} °F\n    other food takes: {}",
        d.pick(1, 5),
        d.pick(14, 30),
        d.pick(12, 20),
        d.pick(10, 16),
        d.pick(20, 120),
        d.pick(34, 46),
        d.pick(0, 4),
        d.of(&["none", "half", "a third", "70 %"])
    );
    if d.chance(40) {
        s.push_str("  porch fridge: {like: all-fridge 10 cu ft}\n");
    }
    s.push_str("  chest freezer: {like: chest freezer 7 cu ft}\n");
    let _ =
        writeln!(s, "  cheese box: {{kind: ageing, room: {} L, at: {} °F}}", d.pick(5, 200), d.pick(48, 60));
    if d.chance(30) {
        let _ = writeln!(s, "  counter: {{at: {} °F}}", d.pick(55, 90));
    }
    let _ = writeln!(
        s,
        "jars: {{half gallon: {}, quart: {}, pint: {}}}",
        d.pick(1, 60),
        d.pick(1, 30),
        d.pick(1, 20)
    );
}

/// Pots and presses, and who is at home.
fn things(d: &mut Dice, s: &mut String) {
    if d.chance(40) {
        let _ = writeln!(
            s,
            "kitchen:\n  equipment: {{large pot: {{holds: {} gal, count: {}}}, press: {}, churn: 1}}\n  someone home: {{weekdays: {} h, weekend: 12 h}}",
            d.pick(3, 6),
            d.pick(1, 2),
            d.pick(1, 2),
            d.pick(0, 9)
        );
    }
}

fn condition(d: &mut Dice) -> Option<String> {
    Some(match d.pick(0, 12) {
        0 => "have: {whole milk: at least 2 gal}".to_owned(),
        1 => "have: {milk: at least 4 jars}".to_owned(),
        2 => "have: {cream: at least 1 qt or older than 4 days}".to_owned(),
        3 => format!("season: {} to {}", d.of(&["apr", "nov"]), d.of(&["sep", "feb"])),
        4 => "between: 2027-03-01 to 2027-12-31".to_owned(),
        5 => format!("since freshening: at least {} days", d.pick(1, 90)),
        6 => format!("to dry off: under {} days", d.pick(10, 250)),
        7 => format!("dry weeks: {}", d.of(&["only", "outside them"])),
        8 => format!("fullness: {{kitchen fridge: over {} %}}", d.pick(10, 90)),
        9 => format!("minutes left: at least {} min", d.pick(1, 120)),
        10 => "oldest: {milk: at least 2 days}".to_owned(),
        11 => "have: {milk: at least 3 days}".to_owned(),
        _ => return None,
    })
}

fn limits(d: &mut Dice, s: &mut String) {
    if d.chance(50) {
        let _ = writeln!(s, "    days: {}", d.days());
    }
    if d.chance(35)
        && let Some(c) = condition(d)
    {
        let _ = writeln!(s, "    when: {{{c}}}");
    }
    if d.chance(40) {
        let _ = writeln!(s, "    at most: {} per week", d.pick(1, 4));
    }
    if d.chance(15) {
        let _ = writeln!(s, "    every: {} days", d.pick(1, 9));
    }
}

fn routine(d: &mut Dice, s: &mut String, made: &[&str], animals: u64, calf: bool) {
    s.push_str("routine:\n");
    let depth = d.of(&[
        "leave: 3 % fat",
        "leave: 1 % fat",
        "take: top cream",
        "take: light cream",
        "take: the whole layer",
    ]);
    let _ = writeln!(
        s,
        "  - do: skim\n    after: {} h\n    {depth}\n    cuts: {}",
        d.pick(6, 60),
        d.of(&["together", "apart"])
    );
    limits(d, s);
    for m in made {
        let _ = writeln!(s, "  - do: make\n    what: {m}");
        if d.chance(25) {
            let _ = writeln!(s, "    keep back: {} qt", d.pick(1, 8));
        }
        limits(d, s);
    }
    for (chance, rule) in [
        (40, "  - do: feed\n    what: skimmed milk\n    how much: 1 gal\n"),
        (25, "  - do: pour out\n    what: sour milk\n    how much: 2 qt\n"),
        (25, "  - do: feed\n    what: whole milk\n    how much: 2 qt\n"),
    ] {
        if d.chance(chance) {
            s.push_str(rule);
            limits(d, s);
        }
    }
    if made.contains(&"butter") && d.chance(60) {
        s.push_str(
            "  - {do: move, what: butter, to: chest freezer, when: {have: {butter: at least 2 lb}}}\n",
        );
    }
    if animals > 0 && d.chance(15) {
        s.push_str("  - {do: dry off, who: Animal 0, when: {since freshening: at least 250 days}}\n");
    }
    if animals > 0 && d.chance(30) {
        s.push_str("  - {do: milk once a day, who: Animal 0, for: 7 days, when: {since freshening: at least 120 days}}\n");
    }
    if animals > 0 && number_is_even(s) {
        s.push_str(
            "  - {do: milk twice a day, who: Animal 0, when: {since freshening: at least 160 days}}\n",
        );
    }
    s.push_str("when full:\n");
    let steps = [
        "feed sour milk",
        "feed whey",
        "feed skimmed milk",
        "feed oldest milk",
        "pour out sour milk",
        "pour out oldest milk",
    ];
    let some: Vec<&str> = steps.iter().copied().filter(|_| d.chance(60)).collect();
    let _ = writeln!(
        s,
        "  tonight: [{}]",
        if some.is_empty() { "feed sour milk".to_owned() } else { some.join(", ") }
    );
    if animals > 0 {
        let mut tomorrow = vec!["milk Animal 0 once a day for 5 days"];
        let first_has_calf = s
            .split("  - name: ")
            .nth(1)
            .and_then(|a| a.split("  - name: ").next())
            .is_some_and(|a| a.split("household:").next().is_some_and(|a| a.contains("calf:")));
        if calf && first_has_calf {
            tomorrow.insert(0, "leave the calf on Animal 0 for 3 days");
        }
        let _ = writeln!(s, "  from tomorrow: [{}]", tomorrow.join(", "));
    }
    if d.chance(70) {
        let _ = writeln!(
            s,
            "animals fed:\n  pigs: {{heads: {}}}\n  hens: {{heads: {}}}",
            d.pick(1, 4),
            d.pick(1, 30)
        );
    }
    let _ = writeln!(
        s,
        "risks: {{cleanliness: {}, foul spells: {} a year, kicked pail: {} %}}",
        d.of(&["careless", "ordinary", "careful"]),
        d.pick(0, 30),
        d.pick(0, 5)
    );
}

/// A choice that takes no throw of the dice, so that older scenarios stay.
fn number_is_even(s: &str) -> bool {
    s.len().is_multiple_of(2)
}

/// One more rule, at the end of the routine.
fn rule(s: &mut String, words: &str) {
    *s = s.replacen("when full:\n", &format!("  - {words}\nwhen full:\n"), 1);
}

/// Shares, gifts, sales and purchases. Rolled with dice of its own, so that the
/// rest of a scenario stays as it is.
fn trade(number: u64, s: &mut String) {
    let d = &mut Dice::new(number ^ 0x7_ade5);
    let shares = d.chance(40);
    if shares {
        let rules = [
            "in proportion",
            "equal awards",
            "equal losses",
            "contested garment",
            "family first",
            "members first",
            "in turns",
        ];
        let _ = writeln!(s, "herd shares:\n  members: {}\n  promise: 1 gal/week", d.pick(1, 12));
        let _ = writeln!(s, "  pick-up days: {}", d.of(&["[wed]", "[wed, sat]", "[mon, thu]"]));
        let _ = writeln!(s, "  when short: {}", d.of(&rules));
        if d.chance(50) {
            let _ = writeln!(s, "  whole jars: {}", d.of(&["half gallon", "quart"]));
        }
        let _ = writeln!(s, "  dry weeks: {}", d.of(&["the promise stands", "the promise rests"]));
        let _ = writeln!(s, "  not fetched: {} %", d.pick(0, 20));
        let back = ["goes back to the family", "is poured out"];
        let _ = writeln!(s, "  milk not fetched: {}\n  fee: 30 $/month", d.of(&back));
        rule(
            s,
            "{do: hand out, what: whole milk, how much: 2 gal, when: {have: {whole milk: at least 4 gal}}}",
        );
    }
    if d.chance(40) {
        s.push_str("given away:\n  neighbours: {what: [whole milk, skimmed milk], up to: 3 gal/week}\n");
    }
    if d.chance(40) {
        s.push_str(
            "sold:\n  farm gate: {what: whole milk, up to: 2 gal/week, price: 6 $/gal, days: [sat]}\n",
        );
    }
    if d.chance(50) {
        s.push_str("bought when short:\n  milk: {price: 4 $/gal, up to: 5 gal/week}\n");
        rule(s, "{do: buy, what: milk, how much: 1 gal, when: {have: {milk: under 1 gal}}}");
    }
    if d.chance(40) {
        s.push_str("prices: {food: {milk: 5 $/gal}, keep: 4 $/day, jars: 3 $/jar, time: 10 $/h}\n");
    }
}

fn aims(d: &mut Dice, s: &mut String, made: &[&str]) {
    s.push_str("aims:\n  - {measure: waste, below: 3 %, in: 19 of 20 years}\n");
    if d.chance(50) {
        s.push_str("  - {measure: milk on the table, at least: 98 %, in: 9 of 10 years}\n");
    }
    if made.contains(&"butter") {
        s.push_str("  - {measure: butter, at least: 90 %, in: 8 of 10 years}\n");
    }
}
