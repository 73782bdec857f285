//! The size of a dam, found by searching, against the exact one.

use std::convert::Infallible;

use super::common::compile;
use super::common::record::{near, source};
use super::{JAR, drinker, household};
use springhouse::study::size::{Answer, Candidates, Search, SizeOptions, Standing};
use statrs::distribution::{Binomial, Discrete, DiscreteCDF};

const DAYS: u32 = 60;

/// Chance that a dam of so many jars spills nothing in [`DAYS`] days: its stock
/// after drinking begins at 0, goes up or down by one with 1/2 each, stays at 0
/// when it would go below, and spills when it would go above (binary dam, a
/// finite dam of the class of Prabhu 1958, Annals of Mathematical Statistics
/// 29:1234; the chance is worked out day by day here).
fn spills_nothing(jars: usize) -> f64 {
    let mut chance = vec![0.0; jars + 1];
    chance[0] = 1.0;
    for _ in 0..DAYS {
        let mut next = vec![0.0; jars + 1];
        for (stock, p) in chance.iter().enumerate() {
            next[stock.saturating_sub(1)] += p / 2.0;
            if stock < jars {
                next[stock + 1] += p / 2.0;
            }
        }
        chance = next;
    }
    chance.iter().sum()
}

/// The smallest dam that spills nothing in so many of a hundred runs.
#[test]
fn the_smallest_dam_is_found() {
    source(
        "binary dam of the class of Prabhu 1958, Annals of Mathematical Statistics 29:1234; worked out day by day here",
    );
    for (truth, seed) in [(8, 3), (12, 4)] {
        // A bound half way between the exact chances of two sizes.
        let (below, above) = (spills_nothing(truth - 1), spills_nothing(truth));
        let wanted = (50.0 * (below + above)).round();
        assert!(100.0 * below + 1.0 < wanted && wanted + 1.0 < 100.0 * above, "{below} {above}");
        let scenario = |jars: usize| {
            // One row of jars of 10 cm, and no room for one more.
            let shelf = format!("{} cm x 11 cm", 10 * jars + 5);
            let fetched = format!("amount: {} kg, fails: 50 %", 2.0 * JAR);
            let home = household(DAYS, &fetched, &drinker("Ann", JAR, 100.0), &shelf, 60.0, "");
            format!("{home}aims:\n  - {{measure: waste, below: 0.1 %, in: {wanted} of 100 years}}\n")
        };
        let sizes: Vec<usize> = (2..26).collect();
        let make = |at: usize| Ok::<_, Infallible>(compile(&scenario(sizes[at])));
        let mut candidates = Candidates::new(seed, Some(2), &make, &|_| {}, None).expect("threads");
        let options = SizeOptions { most: 60_000, ..SizeOptions::default() };
        let mut search = Search::new(sizes.len(), vec![wanted / 100.0], options);
        let Ok(found) = search.go(&mut candidates) else { panic!("every dam can be run") };
        let at = |jars: usize| sizes.iter().position(|s| *s == jars).expect("it was to be tried");
        assert_eq!(
            found.answer,
            Answer::Found { enough: at(truth), fails: Some(at(truth - 1)) },
            "{:?}",
            found.tried
        );
        let enough = found.tried.iter().filter(|t| t.standing == Standing::Enough).map(|t| sizes[t.at]).min();
        near(enough.expect("one is enough") as f64, truth as f64, 0.0);
        // What was seen on the way agrees with the exact chances: no count lies as far out
        // as one in 100,000 would. (The search looks some ten times at each of twenty
        // sizes, so an honest one fails here in 1 of 500 seeds.)
        for t in &found.tried {
            let law = Binomial::new(spills_nothing(sizes[t.at]), u64::from(t.trials)).expect("a law");
            let kept = (t.part(0) * f64::from(t.trials)).round() as u64;
            let tail = law.cdf(kept).min(law.sf(kept) + law.pmf(kept));
            assert!(tail > 1e-5, "{} jars: {tail}, {t:?}", sizes[t.at]);
        }
    }
}
