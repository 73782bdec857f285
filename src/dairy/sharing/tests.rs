//! What every rule must hold to, over generated claims.

use super::*;
use proptest::prelude::*;

type Rule = fn(f64, &[f64], &mut [f64]);

const RULES: [(&str, Rule); 5] = [
    ("in proportion", in_proportion),
    ("equal awards", equal_awards),
    ("equal losses", equal_losses),
    ("contested garment", contested_garment),
    ("in order", |e, c, x| in_order(e, c, 2, x)),
];

fn split(rule: Rule, supply: f64, claims: &[f64]) -> Vec<f64> {
    let mut awards = vec![f64::NAN; claims.len()];
    rule(supply, claims, &mut awards);
    awards
}

fn claims() -> impl Strategy<Value = Vec<f64>> {
    // Equal claims, none and very small ones among them.
    prop::collection::vec(prop_oneof![Just(0.0), Just(2.0), 1e-6..1e-3, 0.1..50.0], 1..24)
}

proptest! {
    #[test]
    fn awards_sum_to_the_supply_and_stay_within_the_claims(c in claims(), part in 0.0..1.3f64) {
        let all: f64 = c.iter().sum();
        let supply = part * all;
        for (name, rule) in RULES {
            let x = split(rule, supply, &c);
            let sum: f64 = x.iter().sum();
            prop_assert!((sum - supply.min(all)).abs() <= 1e-9 * all.max(1.0), "{name}: {sum} of {supply}");
            for (award, claim) in x.iter().zip(&c) {
                prop_assert!(*award >= -1e-12 && *award <= claim + 1e-9, "{name}: {award} on {claim}");
            }
        }
    }

    /// A larger claim gets no less and goes no less short (priority aside).
    #[test]
    fn awards_and_losses_keep_the_order_of_the_claims(c in claims(), part in 0.0..1.0f64) {
        let supply = part * c.iter().sum::<f64>();
        for (name, rule) in &RULES[..4] {
            let x = split(*rule, supply, &c);
            for i in 0..c.len() {
                for j in 0..c.len() {
                    if c[i] <= c[j] {
                        prop_assert!(x[i] <= x[j] + 1e-9, "{name}: {x:?} on {c:?}");
                        prop_assert!(c[i] - x[i] <= c[j] - x[j] + 1e-9, "{name}: {x:?} on {c:?}");
                    }
                }
            }
        }
    }

    /// More to split is less for nobody (priority included).
    #[test]
    fn more_supply_is_less_for_nobody(c in claims(), a in 0.0..1.0f64, b in 0.0..1.0f64) {
        let all: f64 = c.iter().sum();
        for (name, rule) in RULES {
            let (less, more) = (split(rule, a.min(b) * all, &c), split(rule, a.max(b) * all, &c));
            for (l, m) in less.iter().zip(&more) {
                prop_assert!(*l <= m + 1e-9, "{name}");
            }
        }
    }

    #[test]
    fn whole_jars_are_whole_and_near(c in prop::collection::vec(0.0..9.0f64, 1..16), first in 0usize..40) {
        let jars = (c.iter().sum::<f64>() + 1e-9).floor() as u32;
        let mut x = vec![f64::NAN; c.len()];
        whole_jars(jars, &c, first, &mut x);
        prop_assert_eq!(x.iter().sum::<f64>(), f64::from(jars));
        for (award, quota) in x.iter().zip(&c) {
            prop_assert!(award.fract() == 0.0 && (award - quota).abs() < 1.0, "{x:?} of {c:?}");
        }
    }
}

#[test]
fn nothing_to_split_and_nobody_to_split_it_among() {
    for (name, rule) in RULES {
        assert_eq!(split(rule, 0.0, &[3.0, 1.0]), [0.0, 0.0], "{name}");
        assert_eq!(split(rule, 5.0, &[]), [0.0; 0], "{name}");
        assert_eq!(split(rule, 5.0, &[0.0, 0.0]), [0.0, 0.0], "{name}");
        assert_eq!(split(rule, f64::NAN, &[3.0, f64::NAN]), [0.0, 0.0], "{name}");
    }
    let mut none = [];
    whole_jars(3, &[], 1, &mut none);
}

#[test]
fn of_equal_remainders_the_turn_decides() {
    let mut x = [0.0; 3];
    for (first, want) in [(0, [1.0, 0.0, 0.0]), (1, [0.0, 1.0, 0.0]), (5, [0.0, 0.0, 1.0])] {
        whole_jars(1, &[0.5, 0.5, 0.5], first, &mut x);
        assert_eq!(x, want);
    }
}
