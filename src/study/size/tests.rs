//! The search on responses whose truth is known: each candidate keeps each aim
//! with a set chance.

use std::collections::BTreeMap;
use std::ops::Range;

use super::*;

/// Candidates by aims: the chance that a trial keeps the aim.
struct Known {
    chances: Vec<Vec<f64>>,
    seed: u64,
    /// The same luck for every candidate, or each its own.
    common: bool,
    used: BTreeMap<usize, Vec<Range<u32>>>,
    /// Fails after so many calls.
    calls_left: u32,
    /// What fresh trials keep, if not by chance.
    fresh: Option<bool>,
}

impl Known {
    fn new(chances: Vec<Vec<f64>>, seed: u64) -> Self {
        let used = BTreeMap::new();
        Self { chances, seed, common: true, used, calls_left: u32::MAX, fresh: None }
    }

    /// One aim.
    fn one(chances: impl IntoIterator<Item = f64>, seed: u64) -> Self {
        Self::new(chances.into_iter().map(|p| vec![p]).collect(), seed)
    }

    fn truly_good(&self, at: usize, wanted: &[f64]) -> bool {
        self.chances[at].iter().zip(wanted).all(|(p, w)| p >= w)
    }
}

/// A uniform number of a few whole ones (SplitMix64).
fn uniform(parts: [u64; 4]) -> f64 {
    let mut z = 0_u64;
    for part in parts {
        z = (z ^ part).wrapping_add(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
    }
    (z >> 11) as f64 / (1_u64 << 53) as f64
}

impl Response for Known {
    type Error = &'static str;

    fn run(&mut self, at: usize, trials: Range<u32>) -> Result<Vec<bool>, &'static str> {
        self.calls_left = self.calls_left.checked_sub(1).ok_or("broken off")?;
        let used = self.used.entry(at).or_default();
        // No trial twice, and no search among the fresh ones.
        assert!(used.iter().all(|u| u.end <= trials.start || trials.end <= u.start), "{at}: {trials:?}");
        assert!(trials.end <= FRESH_FROM || trials.start >= FRESH_FROM, "{trials:?}");
        used.push(trials.clone());
        let own = if self.common { 0 } else { at as u64 + 1 };
        let kept = |t: u32, i: usize, p: f64| match self.fresh {
            Some(all) if t >= FRESH_FROM => all,
            _ => uniform([self.seed, u64::from(t), i as u64, own]) < p,
        };
        let chances = &self.chances[at];
        Ok(trials
            .flat_map(|t| chances.iter().enumerate().map(move |(i, p)| (t, i, *p)))
            .map(|(t, i, p)| kept(t, i, p))
            .collect())
    }
}

fn size(known: &mut Known, wanted: &[f64], most: u32) -> SizeResult {
    let options = SizeOptions { most, ..SizeOptions::default() };
    let result = Search::new(known.chances.len(), wanted.to_vec(), options).go(known).unwrap();
    assert!(result.trials <= most, "{result:?}");
    let sum: u32 = result.tried.iter().map(|t| t.trials).sum();
    assert_eq!(sum, result.trials, "every trial is told");
    if let Answer::Found { enough, fails } = result.answer {
        assert_eq!(result.tried(enough).unwrap().standing, Standing::Enough, "{result:?}");
        assert!(fails.is_none_or(|f| f < enough && result.tried(f).unwrap().standing == Standing::Fails));
    }
    result
}

/// How a law of chances fares over many seeds.
#[derive(Debug, Default)]
struct Tally {
    /// A candidate called enough that is not, or one said to fail that does not.
    wrong: u32,
    /// The exact answer, with its neighbour.
    exact: u32,
    /// Found, but not told apart from others.
    bracket: u32,
    trials: u64,
}

fn over_seeds(runs: u32, chances: &[Vec<f64>], wanted: &[f64], common: bool) -> Tally {
    let mut tally = Tally::default();
    for seed in 0..u64::from(runs) {
        let mut known = Known { common, ..Known::new(chances.to_vec(), 977 * seed + 5) };
        let result = size(&mut known, wanted, 20_000);
        tally.trials += u64::from(result.trials);
        let Answer::Found { enough, fails } = result.answer else { continue };
        let wrong = !known.truly_good(enough, wanted) || fails.is_some_and(|f| known.truly_good(f, wanted));
        tally.wrong += u32::from(wrong);
        let next = fails.map_or(enough == 0, |f| f + 1 == enough);
        tally.exact += u32::from(next && !wrong);
        tally.bracket += u32::from(!next);
    }
    // With 5 % of doubt at the most, more than 5 % and three standard errors is no chance.
    let most = 0.05 * f64::from(runs) + 3.0 * (f64::from(runs) * 0.05 * 0.95).sqrt();
    assert!(f64::from(tally.wrong) <= most, "{tally:?}");
    tally
}

fn one_aim(chances: &[f64]) -> Vec<Vec<f64>> {
    chances.iter().map(|p| vec![*p]).collect()
}

/// Sixty candidates, and the bound 3 points from either side of the step: the
/// exact answer in nearly all searches of at most 20,000 trials.
#[test]
fn a_rising_response_is_sized_exactly() {
    let rise: Vec<f64> = (0..60).map(|i| 1.0 / (1.0 + (-(f64::from(i) - 24.0) * 0.58).exp())).collect();
    assert!((rise[27] - 0.85).abs() < 0.002 && (rise[28] - 0.91).abs() < 0.002);
    for common in [true, false] {
        let tally = over_seeds(200, &one_aim(&rise), &[0.88], common);
        assert!(tally.exact >= 195, "{tally:?}");
        assert!(tally.trials / 200 < 14_000, "{tally:?}");
    }
}

/// A candidate on the edge cannot be told for any money: the answer is the next
/// one, with a bracket, and never the one below the bound.
#[test]
fn an_edge_ends_in_a_bracket() {
    let chances = [0.5, 0.7, 0.8, 0.895, 0.902, 0.93, 0.96, 0.98];
    let tally = over_seeds(200, &one_aim(&chances), &[0.9], true);
    assert!(tally.bracket > 150, "{tally:?}");
}

/// Several aims at once: the doubt is shared among them.
#[test]
fn several_aims_hold_together() {
    let chances: Vec<Vec<f64>> = (0..12)
        .map(|i| {
            let x = f64::from(i);
            vec![(0.70 + 0.03 * x).min(0.995), (0.80 + 0.04 * x).min(0.99), 0.97, (0.6 + 0.05 * x).min(0.985)]
        })
        .collect();
    // The last aim decides: 0.6 + 0.05 · 6 = 0.9 is on the bound, 7 is clear.
    let tally = over_seeds(200, &chances, &[0.85, 0.9, 0.9, 0.92], true);
    assert!(tally.exact >= 170, "{tally:?}");
}

/// Candidates in no order at all, some in the middle worse than both sides: what
/// is called enough is enough.
#[test]
fn no_order_is_no_danger() {
    for law in [
        &[0.95, 0.6, 0.95, 0.6, 0.95, 0.6, 0.95][..],
        &[0.5, 0.97, 0.6, 0.97, 0.6, 0.97],
        &[0.6, 0.91, 0.89, 0.91, 0.89, 0.91, 0.89, 0.91],
        &[0.899, 0.899, 0.899, 0.899, 0.899],
    ] {
        over_seeds(200, &one_aim(law), &[0.9], true);
    }
}

#[test]
fn a_pair_against_the_order_is_told() {
    // More of it keeps the first aim less, the second more.
    let mut worse = Known::one([0.99, 0.99, 0.99, 0.99, 0.75], 3);
    worse.chances.iter_mut().enumerate().for_each(|(i, c)| c.push(if i < 2 { 0.2 } else { 0.99 }));
    let result = size(&mut worse, &[0.7, 0.9], 20_000);
    assert_eq!(result.answer, Answer::Found { enough: 2, fails: Some(1) });
    let odd = result.odd.iter().find(|o| o.aim == 0).expect("more of it keeps the first aim less");
    assert!(odd.generous.0 == 4 && odd.frugal.1 > 0.95 && odd.generous.1 < 0.85, "{odd:?}");
    // And none where there is none.
    let rising = size(&mut Known::one([0.2, 0.4, 0.6, 0.8, 0.97], 4), &[0.9], 20_000);
    assert!(rising.odd.is_empty(), "{:?}", rising.odd);
}

/// Few people leave milk to be wasted, many run short: both ends fail, the middle
/// does not, and the most people are wanted.
#[test]
fn an_answer_between_two_failing_ends() {
    // Most people first: 0 is the most frugal here.
    let chances: Vec<Vec<f64>> =
        (0..20).map(|i| vec![if i >= 9 { 0.97 } else { 0.4 }, if i <= 11 { 0.98 } else { 0.3 }]).collect();
    for seed in 0..20 {
        let result = size(&mut Known::new(chances.clone(), seed), &[0.9, 0.9], 20_000);
        assert_eq!(result.answer, Answer::Found { enough: 9, fails: Some(8) });
    }
}

#[test]
fn where_none_is_enough_the_aims_say_why() {
    let chances: Vec<Vec<f64>> = (0..9).map(|i| vec![0.1 * f64::from(i), 0.5, 0.99]).collect();
    let result = size(&mut Known::new(chances, 7), &[0.9, 0.9, 0.9], 20_000);
    assert_eq!(result.answer, Answer::NoneMeets { best: 8, shown: true, unhelped: vec![0, 1] });
    let best = result.tried(8).unwrap();
    assert!(best.part(2) > 0.9 && (best.part(0) - 0.8).abs() < 0.15);
    assert!(result.trials < 3_000, "{}", result.trials);
}

#[test]
fn the_most_frugal_may_be_enough() {
    let result = size(&mut Known::one([0.97, 0.98, 0.99], 1), &[0.9], 20_000);
    assert_eq!(result.answer, Answer::Found { enough: 0, fails: None });
    let single = size(&mut Known::one([0.97], 1), &[0.9], 20_000);
    assert_eq!(single.answer, Answer::Found { enough: 0, fails: None });
}

/// Far from the bound a few trials tell; none more are run.
#[test]
fn trials_are_spent_where_they_tell() {
    let rise: Vec<f64> = (0..64).map(|i| if i < 40 { 0.3 } else { 0.99 }).collect();
    let result = size(&mut Known::one(rise, 2), &[0.9], 20_000);
    assert_eq!(result.answer, Answer::Found { enough: 40, fails: Some(39) });
    assert!(result.trials < 2_500, "{}", result.trials);
    let searched = result.tried.iter().filter(|t| t.standing == Standing::Searched);
    assert!(searched.clone().count() > 3 && searched.clone().all(|t| t.trials <= 128), "{result:?}");
}

/// The middle of three is a little above what is wanted, and the last clearly below: the
/// search stays with the middle one, spends all it may on it, and never says none is enough.
#[test]
fn it_goes_on_until_it_is_told_or_all_is_spent() {
    let (mut found, mut open) = (0, 0);
    for seed in 0..40 {
        let result = size(&mut Known::one([0.2, 0.915, 0.2], seed), &[0.9], 20_000);
        match result.answer {
            Answer::Found { enough, .. } => {
                assert_eq!(enough, 1);
                found += 1;
            }
            Answer::Open { from, up_to } => {
                assert!((from, up_to) == (1, 1) && result.spent(), "{result:?}");
                open += 1;
            }
            Answer::NoneMeets { .. } => panic!("{result:?}"),
        }
    }
    assert!(found >= 38, "{found} found, {open} open");
    // Right on the edge nothing can be shown: all is spent, and that is told.
    for seed in 0..5 {
        let result = size(&mut Known::one([0.2, 0.9, 0.2], seed), &[0.9], 4_000);
        assert!(!matches!(result.answer, Answer::Found { .. }) || result.attempts > 0);
        assert!(
            result.spent() || matches!(result.answer, Answer::Found { fails: Some(0), .. }),
            "{result:?}"
        );
    }
}

/// Close calls beside the answer are told too, where trials allow: no gap is left that a
/// longer stride has jumped over.
#[test]
fn no_stride_leaves_a_gap() {
    // 3 and 4 are 2 points below and above; a stride from 5 lands on 2.
    let chances = [0.1, 0.2, 0.5, 0.88, 0.92, 0.97];
    let mut exact = 0;
    for seed in 0..40 {
        let result = size(&mut Known::one(chances, 100 + seed), &[0.9], 40_000);
        exact += u32::from(result.answer == Answer::Found { enough: 4, fails: Some(3) });
    }
    assert!(exact >= 36, "{exact}");
}

/// Two aims that nothing keeps, and two that decide: the answer by these is offered, with
/// the same doubt.
#[test]
fn what_does_for_the_other_aims_is_offered() {
    let chances: Vec<Vec<f64>> =
        (0..8).map(|i| vec![0.3, if i < 5 { 0.4 } else { 0.98 }, 0.1, 0.97]).collect();
    let mut right = 0;
    for seed in 0..20 {
        let result = size(&mut Known::new(chances.clone(), 31 * seed), &[0.9; 4], 20_000);
        assert!(
            matches!(&result.answer, Answer::NoneMeets { unhelped, .. } if *unhelped == [0, 2]),
            "{result:?}"
        );
        let rest = result.rest.as_ref().expect("an offer");
        assert_eq!(rest.left_out, [0, 2]);
        assert_eq!(result.judged().collect::<Vec<_>>(), [1, 3]);
        right += u32::from(rest.answer == Answer::Found { enough: 5, fails: Some(4) });
    }
    assert!(right >= 19, "{right}");
    // One aim is kept by little of it, another by much: without what the closest misses.
    let against: Vec<Vec<f64>> =
        (0..8).map(|i| vec![if i < 3 { 0.99 } else { 0.7 }, if i < 5 { 0.2 } else { 0.98 }]).collect();
    let result = size(&mut Known::new(against, 9), &[0.9; 2], 20_000);
    assert!(
        matches!(&result.answer, Answer::NoneMeets { unhelped, .. } if unhelped.is_empty()),
        "{result:?}"
    );
    let rest = result.rest.expect("an offer");
    assert_eq!((rest.left_out, rest.answer), (vec![0], Answer::Found { enough: 5, fails: Some(4) }));
    // Nothing is offered where no aim is left.
    let none = size(&mut Known::one([0.1, 0.2], 1), &[0.9], 20_000);
    assert!(none.rest.is_none());
}

/// What is left out are the aims that the answer misses, no others: each size misses some,
/// and the one that misses the fewest aims is not the one that is least away in its worst.
#[test]
fn no_aim_is_left_out_that_the_answer_keeps() {
    // Few jars leave room in the fridge, many hold what is laid down.
    let chances = vec![
        vec![0.45, 0.99, 0.98, 0.65, 0.6, 0.3],
        vec![0.73, 0.62, 0.98, 0.905, 0.88, 0.77],
        vec![0.965, 0.41, 0.99, 0.95, 0.93, 0.925],
        vec![0.97, 0.25, 0.99, 0.95, 0.94, 0.94],
    ];
    let (mut only, mut wrong) = (0, 0);
    for seed in 0..20 {
        let result = size(&mut Known::new(chances.clone(), 17 * seed + 3), &[0.9; 6], 20_000);
        let Answer::NoneMeets { best, .. } = result.answer else { panic!("{result:?}") };
        let rest = result.rest.as_ref().expect("an offer");
        let Answer::Found { enough, .. } = rest.answer else { panic!("{result:?}") };
        only += u32::from(rest.left_out == [1] && enough == 2 && best >= 2);
        wrong += u32::from(result.judged().any(|i| chances[enough][i] < 0.9));
        // All that is shown is shown on trials of its own.
        assert!(result.proof <= result.tried(enough).unwrap().fresh, "{result:?}");
        let kept = |i: &usize| result.tried(enough).unwrap().part(*i) >= 0.92;
        assert!(!rest.left_out.iter().any(kept), "{result:?}");
    }
    assert!(only >= 18 && wrong <= 1, "{only} {wrong}");
}

/// What comes closest is told by all trials, those that were run later too, and so are the
/// aims that nothing keeps.
#[test]
fn what_comes_closest_is_told_at_the_end() {
    for seed in 0..40 {
        // The first aim is out of reach, and nearly the same for all; the second decides.
        let chances: Vec<Vec<f64>> =
            (0..6).map(|i| vec![0.55 + 0.01 * f64::from(i), if i < 3 { 0.4 } else { 0.97 }]).collect();
        let result = size(&mut Known::new(chances, 101 * seed), &[0.9; 2], 20_000);
        let Answer::NoneMeets { best, unhelped, .. } = &result.answer else { panic!("{result:?}") };
        let away = |t: &Tried| (t.part(0) - 0.9).min(t.part(1) - 0.9).min(0.0);
        let missed = |t: &Tried| (0..2).filter(|i| t.part(*i) < 0.9).count();
        let told = result.tried(*best).unwrap();
        for t in &result.tried {
            assert!(missed(told) <= missed(t), "{result:?}");
            assert!(missed(told) < missed(t) || away(told) >= away(t), "{result:?}");
        }
        assert_eq!(*unhelped, [0], "{result:?}");
    }
}

/// Without trials enough there is a bracket that holds the truth.
#[test]
fn out_of_trials_the_bracket_is_told() {
    let rise: Vec<f64> = (0..100).map(|i| 0.85 + 0.001 * f64::from(i)).collect();
    let mut open = 0;
    for seed in 0..40 {
        let result = size(&mut Known::one(rise.clone(), seed), &[0.9], 1_000);
        match result.answer {
            Answer::Open { from, up_to } => {
                open += 1;
                assert!(from <= up_to && up_to < 100, "{result:?}");
            }
            Answer::Found { enough, .. } => assert!(rise[enough] >= 0.9, "{result:?}"),
            Answer::NoneMeets { .. } => panic!("{result:?}"),
        }
    }
    assert!(open > 20, "{open}");
}

/// All that the search sees is good, and no fresh trial is: nothing is returned
/// that its own proof does not show.
#[test]
fn what_its_proof_rejects_is_never_returned() {
    let mut known = Known { fresh: Some(false), ..Known::one([0.2, 0.99, 0.99, 0.99], 1) };
    let result = size(&mut known, &[0.9], 100_000);
    assert!(!matches!(result.answer, Answer::Found { .. }), "{result:?}");
    assert!(result.attempts >= 3);
    assert!(result.tried.iter().all(|t| t.standing != Standing::Enough));
    // And the other way round: a neighbour is not said to fail when its fresh trials do not.
    let mut known = Known { fresh: Some(true), ..Known::one([0.2, 0.2, 0.2, 0.99], 1) };
    let result = size(&mut known, &[0.9], 100_000);
    assert!(matches!(result.answer, Answer::Found { fails: None, .. }), "{result:?}");
}

/// A search that is broken off at any call says what it had by then.
#[test]
fn broken_off_it_says_what_it_had() {
    let rise = [0.1, 0.3, 0.5, 0.7, 0.8, 0.97, 0.99, 0.99];
    let whole = size(&mut Known::one(rise, 6), &[0.9], 20_000);
    assert_eq!(whole.answer, Answer::Found { enough: 5, fails: Some(4) });
    for calls in 0..40 {
        let mut known = Known { calls_left: calls, ..Known::one(rise, 6) };
        let mut search = Search::new(8, vec![0.9], SizeOptions::default());
        let Err(why) = search.go(&mut known) else { break };
        let told = search.broken_off();
        assert_eq!((why, told.broken_off), ("broken off", true));
        match told.answer {
            Answer::Open { from, up_to } => assert!(from <= up_to, "{told:?}"),
            Answer::Found { enough, fails } => assert_eq!((enough, fails), (5, None)),
            Answer::NoneMeets { .. } => panic!("{told:?}"),
        }
        assert!(told.trials <= whole.trials);
    }
}

/// More confidence asks for more trials, and gets them.
#[test]
fn surer_costs_more() {
    let proof = |sure: f64| {
        let mut known = Known::one([0.5, 0.8, 0.93, 0.97], 8);
        let options = SizeOptions { sure, most: 100_000 };
        Search::new(4, vec![0.9], options).go(&mut known).unwrap().proof
    };
    assert!(proof(0.8) <= proof(0.95) && proof(0.95) < proof(0.999));
}
