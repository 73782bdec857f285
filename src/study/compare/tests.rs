//! Comparisons of a tiny house.

use super::*;
use crate::scenario::plan::{AimMeasure, AimPlan, Bound};
use crate::study::testing::{house, wish};

fn options(trials: u32) -> CompareOptions {
    CompareOptions { trials, seed: 7, ..CompareOptions::default() }
}

type Home = (Plan, Names);

fn choice<'a>(name: &'a str, home: &'a Home) -> Choice<'a> {
    Choice { name, plan: &home.0, names: &home.1 }
}

/// The house with so many times the cold room.
fn roomy(times: f64) -> Home {
    let (mut plan, names) = house();
    plan.places[1].litres *= times;
    plan.places[1].jar_part[0] /= times;
    (plan, names)
}

fn found(homes: &[(&str, &Home)], options: &CompareOptions) -> Comparison {
    let sides: Vec<Choice> = homes.iter().map(|(name, home)| choice(name, home)).collect();
    compare(sides[0], &sides[1..], options, &|_, _| {}).unwrap()
}

#[test]
fn the_base_against_itself_differs_by_exactly_nothing() {
    let home = house();
    let c = found(&[("base", &home), ("again", &home)], &options(120));
    let again = &c.choices[0];
    assert_eq!(again.measures.len(), Table::new(&home.0, &home.1).keys.len());
    for p in &again.measures {
        assert_eq!((p.difference, p.ci95, p.error), (0.0, Some([0.0, 0.0]), Some(0.0)), "{}", p.name);
        assert_eq!((p.counts.higher, p.counts.alike, p.counts.lower), (0, 120, 0));
        assert_eq!((p.variance_ratio, p.more_trials, p.p), (None, None, 1.0));
        assert!(p.quantiles.iter().all(|q| q.ci95 == Some([0.0, 0.0]) && q.base == q.choice));
        assert_eq!(p.verdict, (p.good != Good::Told).then_some(Verdict::Same), "{}", p.name);
    }
    let aim = &again.aims[0];
    assert_eq!((aim.won, aim.lost, aim.difference, aim.p), (0, 0, 0.0, 1.0));
    assert!(again.only_base.is_empty() && again.only_choice.is_empty());
}

/// More cold room wastes less, in the mean and in nearly every trial; what was
/// drawn is the same to the bit.
#[test]
fn more_room_wastes_less() {
    let (base, more) = (house(), roomy(3.0));
    let c = found(&[("base", &base), ("more room", &more)], &options(300));
    let room = &c.choices[0];
    let waste = room.measure("wasted_part").unwrap();
    assert!(waste.aimed && waste.good == Good::Less);
    assert_eq!(waste.verdict, Some(Verdict::Better));
    let [low, high] = waste.ci95.unwrap();
    assert!(low < waste.difference && waste.difference < high && high < 0.0);
    let [better, alike, worse] = waste.better_alike_worse();
    assert_eq!(better + alike + worse, 300);
    assert!(better > 150 && worse == 0, "{better} {alike} {worse}");
    // The means are those of the two by themselves.
    let alone = crate::study::run(
        &more.0,
        &more.1,
        &crate::study::RunOptions { trials: 300, seed: 7, remedies: false, ..Default::default() },
        &|_, _| {},
    )
    .unwrap();
    assert!((alone.measure("wasted_part").unwrap().mean - waste.choice).abs() < 1e-12);
    assert!((waste.choice - waste.base - waste.difference).abs() < 1e-12);
    assert_eq!(alone.measure("wasted_part").unwrap().quantiles[3], waste.quantiles[2].choice);
    assert_eq!(room.measure("milk_drawn").unwrap().counts.alike, 300);
    // The aim is the same statement about the same trials.
    let aim = &room.aims[0];
    assert!((aim.choice - alone.aims[0].met_part).abs() < 1e-12);
    assert_eq!(aim.verdict, Verdict::Better);
    assert!(aim.p_adjusted < 0.001 && aim.lost == 0);
}

#[test]
fn threads_change_nothing() {
    let (base, more) = (house(), roomy(1.2));
    let run = |threads| {
        let best = Some(Goal::Measure("wasted_part".into()));
        let options = CompareOptions { threads: Some(threads), best, ..options(97) };
        format!("{:?}", found(&[("base", &base), ("more room", &more)], &options))
    };
    let one = run(1);
    assert_eq!(run(2), one);
    assert_eq!(run(5), one);
}

/// A claim is adjusted for all choices × aimed measures, and only those are.
#[test]
fn holm_is_over_choices_and_aimed_measures() {
    let with_aims = |times: f64| {
        let (mut plan, mut names) = roomy(times);
        plan.aims.push(AimPlan { measure: AimMeasure::MilkFill, bound: Bound::AtLeast(0.9), in_part: 0.9 });
        plan.aims.push(AimPlan { measure: AimMeasure::WastedPart, bound: Bound::AtMost(0.1), in_part: 0.9 });
        names.aims = vec!["a".into(), "b".into(), "c".into()];
        (plan, names)
    };
    let [base, one, two, three] = [1.0, 1.03, 1.5, 2.0].map(with_aims);
    let c = found(&[("base", &base), ("1", &one), ("2", &two), ("3", &three)], &options(60));
    assert_eq!((c.aimed.len(), c.family, c.aim_family), (2, 6, 9));
    let pairs: Vec<&Pair> = c.choices.iter().flat_map(|c| &c.measures).filter(|p| p.aimed).collect();
    assert_eq!(pairs.len(), 6);
    let adjusted = paired::holm(&pairs.iter().map(|p| p.p).collect::<Vec<_>>());
    for (pair, adjusted) in pairs.iter().zip(adjusted) {
        assert_eq!(pair.adjusted.map(|a| a[0]), Some(adjusted));
    }
    assert!(c.choices[0].measures.iter().all(|p| p.aimed == p.adjusted.is_some()));
}

/// What cannot be told names trials that would tell: with so many more it is.
#[test]
fn so_many_more_would_tell() {
    let (base, more) = (house(), roomy(1.2));
    let set = |trials| CompareOptions { margins: vec![("wasted_part".into(), 0.0)], ..options(trials) };
    let few = found(&[("base", &base), ("more room", &more)], &set(4));
    let pair = few.choices[0].measure("wasted_part").unwrap();
    if pair.verdict == Some(Verdict::CannotTell) {
        let more_trials = pair.more_trials.expect("it differs");
        let many = found(&[("base", &base), ("more room", &more)], &set(4 + 4 * more_trials));
        assert_eq!(many.choices[0].measure("wasted_part").unwrap().verdict, Some(Verdict::Better));
    } else {
        assert_eq!(pair.verdict, Some(Verdict::Better));
    }
    // One trial tells nothing of chance.
    let one = found(&[("base", &base), ("more room", &more)], &options(1));
    let pair = one.choices[0].measure("wasted_part").unwrap();
    assert_eq!((pair.ci95, pair.verdict), (None, Some(Verdict::CannotTell)));
}

#[test]
fn a_margin_makes_a_small_difference_the_same() {
    let (base, more) = (house(), roomy(3.0));
    let wide = CompareOptions { margins: vec![("wasted_part".into(), 0.9)], ..options(100) };
    let c = found(&[("base", &base), ("more room", &more)], &wide);
    let pair = c.choices[0].measure("wasted_part").unwrap();
    assert_eq!((pair.verdict, pair.margin), (Some(Verdict::Same), 0.9));
    assert_eq!(pair.by_margin.alike, 100);
    assert!(pair.counts.lower > 50);
}

#[test]
fn the_best_of_three() {
    let [base, some, much] = [1.0, 1.5, 4.0].map(roomy);
    for goal in [Goal::Measure("wasted_part".into()), Goal::AimsKept] {
        let options = CompareOptions { best: Some(goal), ..options(200) };
        let c = found(&[("base", &base), ("some", &some), ("much", &much)], &options);
        let best = c.best.unwrap();
        assert_eq!(best.chosen, Some(2), "{best:?}");
        // 500 trials are looked at before the first word, whatever was asked.
        assert!(best.contenders.iter().all(|k| k.trials >= 500 && k.trials % 50 == 0));
        assert!(best.separate_trials >= 1500.0);
    }
}

#[test]
fn what_only_one_has_is_told() {
    let base = house();
    let mut other = house();
    other.0.household.wishes.push(wish());
    other.1.wishes.push("junket".into());
    other.1.aims = vec!["another".into()];
    let c = found(&[("base", &base), ("wishes", &other)], &options(20));
    let only = &c.choices[0].only_choice;
    assert!(only.contains(&"junket_fill".to_owned()) && c.choices[0].only_base.is_empty(), "{only:?}");
    assert!(c.choices[0].measure("wasted_part").is_some() && c.choices[0].measure("junket_fill").is_none());
    assert!(c.choices[0].aims.is_empty());
    assert_eq!(c.choices[0].aims_only_choice, ["another"]);
    // The other way round it is the base's.
    let c = found(&[("wishes", &other), ("base", &base)], &options(20));
    assert!(c.choices[0].only_base.contains(&"junket_fill".to_owned()));
}

#[test]
fn named_measures_alone_and_those_of_the_aims() {
    let (base, more) = (house(), roomy(2.0));
    let all = found(&[("base", &base), ("more", &more)], &options(50));
    let few = CompareOptions { measures: vec!["hands_used".into()], ..options(50) };
    let few = found(&[("base", &base), ("more", &more)], &few);
    let names: Vec<&str> = few.choices[0].measures.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["wasted_part", "hands_used"]);
    for p in &few.choices[0].measures {
        let same = all.choices[0].measure(&p.name).unwrap();
        assert_eq!(p, same);
    }
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let base = house();
    let refused = |other: &Home, options: &CompareOptions| {
        compare(choice("base", &base), &[choice("other", other)], options, &|_, _| {}).unwrap_err()
    };
    let (mut short, mut late) = (house(), house());
    short.0.days.pop();
    late.1.first_day = "2027-01-02".into();
    let why = refused(&short, &options(5)).to_string();
    assert!(why.contains("other lasts 59 days and base lasts 60 days"), "{why}");
    let why = refused(&late, &options(5)).to_string();
    assert!(why.contains("other starts on 2027-01-02 and base on 2027-01-01"), "{why}");
    assert_eq!(refused(&base, &options(0)), StudyError::NoTrials);
    assert_eq!(refused(&base, &options(200_001)), StudyError::TooManyTrials { asked: 200_001 });
    let none = compare(choice("base", &base), &[], &options(5), &|_, _| {}).unwrap_err();
    assert_eq!(none, StudyError::NothingToCompare);
    let ask = |goal| refused(&base, &CompareOptions { best: Some(goal), ..options(5) });
    assert!(matches!(ask(Goal::Measure("nonsense".into())), StudyError::NoSuchMeasure(_)));
    assert!(matches!(ask(Goal::Measure("cold_room_wanted".into())), StudyError::NoGoal(_)));
}
