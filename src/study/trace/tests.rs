//! The traced trial is the trial, and its events are its books.

use super::*;
use crate::dairy::matter::Matter;
use crate::scenario;
use crate::sim::outcome::{FATES, Fate, SOURCES, Source};
use crate::study::measures::MeasureKey;
use crate::study::{RunOptions, run};

const SHIPPED: [(&str, &str); 6] = [
    ("dry-weeks", include_str!("../../../scenarios/dry-weeks.yaml")),
    ("herd-share", include_str!("../../../scenarios/herd-share.yaml")),
    ("first-cow", include_str!("../../../scenarios/first-cow.yaml")),
    ("two-does", include_str!("../../../scenarios/two-does.yaml")),
    ("weekly-pickup", include_str!("../../../scenarios/weekly-pickup.yaml")),
    ("which-fridge", include_str!("../../../scenarios/which-fridge.yaml")),
];

fn traced(text: &str, choice: Choice, trials: u32, threads: usize) -> (Trace, scenario::Compiled) {
    let c = scenario::compile(text.as_bytes()).unwrap();
    let options = TraceOptions { choice, trials, seed: 7, threads: Some(threads) };
    (trace(&c.plan, &c.names, &options, &|_, _| {}).unwrap(), c)
}

fn near(a: f64, b: f64, all: f64) -> bool {
    (a - b).abs() <= 1e-9 * all.max(1e-3)
}

#[test]
fn the_events_add_up_to_the_books() {
    for (name, text) in SHIPPED {
        for choice in [Choice::Number(3), Choice::Steady] {
            let (t, _) = traced(text, choice, 1, 1);
            let (mut came, mut went) = ([Matter::NONE; SOURCES], [Matter::NONE; FATES]);
            for e in &t.events {
                match e.what {
                    What::Came { source, .. } => came[source as usize] += e.matter,
                    What::Went { fate, .. } => went[fate as usize] += e.matter,
                    _ => {}
                }
            }
            let all = t.outcome.sources.iter().fold(Matter::NONE, |a, &b| a + b);
            for s in Source::ALL {
                let (a, b) = (came[s as usize], t.outcome.sources[s as usize]);
                assert!(near(a.mass, b.mass, all.mass) && near(a.fat, b.fat, all.fat), "{name} {s:?}");
            }
            for f in Fate::ALL {
                let (a, b) = (went[f as usize], t.outcome.fates[f as usize]);
                for (a, b, all) in [
                    (a.mass, b.mass, all.mass),
                    (a.fat, b.fat, all.fat),
                    (a.protein, b.protein, all.protein),
                    (a.milk, b.milk, all.milk),
                ] {
                    assert!(near(a, b, all), "{name} {f:?}: {a} {b}");
                }
            }
        }
    }
}

/// To the bit: the same measures as the run's row of that number, and rules
/// counted from events as in the trial.
#[test]
fn the_traced_trial_is_that_of_the_run() {
    for (name, text) in SHIPPED {
        let c = scenario::compile(text.as_bytes()).unwrap();
        let options = RunOptions { trials: 40, seed: 7, bands: false, remedies: false, ..Default::default() };
        let r = run(&c.plan, &c.names, &options, &|_, _| {}).unwrap();
        let (t, _) = traced(text, Choice::Number(17), 1, 1);
        let row = &r.rows[17 * r.columns.len()..18 * r.columns.len()];
        assert_eq!(t.columns, r.columns);
        assert!(t.values.iter().zip(row).all(|(a, b)| a.to_bits() == b.to_bits()), "{name}");
        for (n, tally) in t.outcome.rules.iter().enumerate() {
            let fired = t.events.iter().filter(|e| e.rule == Some(n)).map(|e| match e.what {
                What::Fired(times) => times,
                _ => 0,
            });
            assert_eq!(fired.sum::<u32>(), tally.fired, "{name} rule {n}");
        }
        let short = |w: usize| {
            t.events.iter().filter(|e| matches!(e.what, What::Short { want, .. } if want == w)).count()
        };
        for (w, tally) in t.outcome.wants.iter().enumerate() {
            assert_eq!(short(w), tally.short_days as usize, "{name} want {w}");
        }
    }
}

#[test]
fn the_middle_is_the_runs_and_the_worst_is_worst() {
    let text = SHIPPED[2].1;
    let c = scenario::compile(text.as_bytes()).unwrap();
    let options = RunOptions { trials: 60, seed: 7, bands: false, remedies: false, ..Default::default() };
    let r = run(&c.plan, &c.names, &options, &|_, _| {}).unwrap();
    for threads in [1, 2, 3] {
        let (t, _) = traced(text, Choice::Middle(MeasureKey::WastedPart), 60, threads);
        assert_eq!(r.middle_trial, (t.chosen.number.unwrap(), "wasted_part".into()));
    }
    let column = |name: &str| r.columns.iter().position(|c| c == name).unwrap();
    let values = |name: &str| -> Vec<f64> {
        r.rows.chunks_exact(r.columns.len()).map(|row| row[column(name)]).collect()
    };
    for (key, name, high) in
        [(MeasureKey::WastedPart, "wasted_part", true), (MeasureKey::Fill(0), "milk_fill", false)]
    {
        let (t, _) = traced(text, Choice::Worst(key), 60, 2);
        let all = values(name);
        let worst = all[t.chosen.number.unwrap() as usize];
        assert!(all.iter().all(|v| if high { *v <= worst } else { *v >= worst }), "{name}");
    }
}

/// Nearly all that is drunk, eaten, fed and poured out is named.
#[test]
fn what_went_has_a_name() {
    for (name, text) in SHIPPED {
        let (t, _) = traced(text, Choice::Number(0), 1, 1);
        let (mut named, mut all) = (0.0, 0.0);
        for e in &t.events {
            if let What::Went { fate, item, .. } = e.what
                && portions::has_item(fate)
            {
                all += e.matter.mass;
                named += if item.is_some() { e.matter.mass } else { 0.0 };
                assert!(e.matter.mass > -1e-9, "{name}: {e:?}");
            }
        }
        assert!(named > 0.999 * all, "{name}: {named} of {all}");
    }
}

/// What befalls animals, members and deliveries is told as often as it is counted.
#[test]
fn events_are_counted_as_in_the_trial() {
    let mut seen = std::collections::BTreeSet::new();
    // Too many members for two cows: somebody goes home with less.
    let crowded = SHIPPED[1].1.replace("members: 14", "members: 45").replace("gallon: 90", "gallon: 200");
    let shipped = SHIPPED.into_iter().chain([("crowded", crowded.as_str())]);
    for (name, text) in shipped {
        for number in 0..2 {
            let (t, _) = traced(text, Choice::Number(number), 1, 1);
            let herd = |what: Herd| {
                let is = |e: &&Event| matches!(e.what, What::Animal { what: w, .. } if w == what);
                t.events.iter().filter(is).count() as u32
            };
            let times = |of: fn(&What) -> u32| t.events.iter().map(|e| of(&e.what)).sum::<u32>();
            let o = &t.outcome;
            assert_eq!(herd(Herd::Freshened), o.freshenings, "{name} {number}");
            assert_eq!(herd(Herd::FellIll), o.sick_cases, "{name} {number}");
            let in_vain = herd(Herd::NotSettled) + herd(Herd::LeftOpen);
            assert_eq!(in_vain, o.not_settled, "{name} {number}");
            assert_eq!(times(|w| if let What::NotCome(n) = w { *n } else { 0 }), o.fetches_failed);
            assert_eq!(times(|w| if let What::Starter(n) = w { *n } else { 0 }), o.starters_bought);
            assert_eq!(
                times(|w| if let What::MembersStayedAway(n) = w { *n } else { 0 }),
                o.traded.not_fetched
            );
            let hours: f64 =
                t.events.iter().map(|e| if let What::NoPower(h) = e.what { h } else { 0.0 }).sum();
            assert!((hours - o.outage_hours).abs() < 1e-6, "{name} {number}");
            // On each short pick-up some member goes home with less, if anyone comes.
            let days: std::collections::BTreeSet<u32> =
                t.events.iter().filter(|e| matches!(e.what, What::WentShort { .. })).map(|e| e.day).collect();
            assert!(days.len() as u32 <= o.traded.short_pick_ups, "{name} {number}");
            for (m, tally) in o.traded.shares.iter().enumerate() {
                let less: f64 = t
                    .events
                    .iter()
                    .filter_map(|e| match e.what {
                        What::WentShort { member, promised } if member == m => Some(promised - e.matter.mass),
                        _ => None,
                    })
                    .sum();
                assert!((less - (tally.promised - tally.kept)).abs() < 1e-6, "{name} {number} member {m}");
            }
            let bought: f64 = t
                .events
                .iter()
                .filter(|e| matches!(e.what, What::Came { source: Source::Bought, want: Some(_), .. }))
                .map(|e| e.matter.mass)
                .sum();
            assert!((bought - o.sources[Source::Bought as usize].mass).abs() < 1e-6, "{name} {number}");
            seen.extend(t.events.iter().filter_map(|e| match e.what {
                What::Animal { what, .. } => Some(format!("{what:?}")),
                What::WentShort { .. } => Some("WentShort".into()),
                _ => None,
            }));
        }
    }
    for what in ["Freshened", "Dry", "Settled", "HeatUnseen", "YoungOff", "WentShort", "KeptFromPeople"] {
        assert!(seen.contains(what), "{what} is in none: {seen:?}");
    }
}

/// Milk whose life is a hundred thousand days cannot sour: all that an outage costs,
/// and all that is found foul, is told as that.
#[test]
fn what_is_thrown_out_has_not_soured() {
    let text = include_str!("../../../scenarios/hot-garage.yaml").replace("a year: 4", "a year: 40");
    let mut c = scenario::compile(text.as_bytes()).unwrap();
    let k = &mut c.plan.keeping;
    (k.life_days, k.foul_life_part) = (1e5, 5e-5);
    (k.spell_rate, k.spell_foul, k.spell_days) = (0.05, 1.0, 3.0);
    let options = TraceOptions { choice: Choice::Number(1), trials: 1, seed: 7, threads: Some(1) };
    let t = trace(&c.plan, &c.names, &options, &|_, _| {}).unwrap();
    let turned = t.events.iter().filter(|e| matches!(e.what, What::Turned { .. }));
    assert_eq!(turned.map(|e| e.matter.mass).sum::<f64>(), 0.0);
    for fate in [Fate::WastedOutage, Fate::WastedFoul] {
        let of = |named: bool| -> f64 {
            let is = |e: &&Event| matches!(e.what, What::Went { fate: f, item, .. } if f == fate && item.is_some() == named);
            t.events.iter().filter(is).map(|e| e.matter.mass).sum()
        };
        assert!(of(true) > 1.0, "{fate:?}: {}", of(true));
        assert!(of(false).abs() < 1e-3 * of(true), "{fate:?}: {}", of(false));
    }
}

/// A separator's cream and skimmed milk are told, as those of a skim by hand are.
#[test]
fn what_a_separator_gives_is_told() {
    let text = "title: Separator\nstarts: 2027-04-01\nlasts: 30 days\nanimals:\n  - {name: Clover, breed: jersey, \
         freshens: 2027-03-01, health: none}\nhousehold: {people: {man 31 to 50: 1}, kitchen time: {every day: 3 h}}\n\
         stores:\n  kitchen fridge: {like: all-fridge 10 cu ft}\njars: {half gallon: 60, quart: 30}\nroutine:\n  \
         - {do: skim, with: separator}\n";
    let (t, c) = traced(text, Choice::Steady, 1, 1);
    let of = |name: &str| -> f64 {
        let item = crate::scenario::plan::ItemId(c.names.items.iter().position(|n| n == name).unwrap() as u8);
        t.events.iter().filter(|e| e.what == What::Made(item)).map(|e| e.matter.mass).sum()
    };
    let (cream, skimmed) = (of("top cream"), of("skimmed milk"));
    assert!(cream > 10.0 && skimmed > 4.0 * cream, "{cream} {skimmed}");
    let took: f64 = t.events.iter().filter(|e| matches!(e.what, What::Took(_))).map(|e| e.matter.mass).sum();
    // A litre and a half of one milking stays in the bowl now and then, no more.
    assert!((cream + skimmed) / took > 0.9 && cream + skimmed <= took, "{took}");
}
