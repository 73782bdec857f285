//! Splitting a short supply, against the classical examples of claims problems.

use super::{count, near, source};
use springhouse::dairy::sharing::{
    contested_garment, equal_awards, equal_losses, in_order, in_proportion, whole_jars,
};

type Rule = fn(f64, &[f64], &mut [f64]);

fn in_turn(supply: f64, claims: &[f64], awards: &mut [f64]) {
    in_order(supply, claims, 0, awards);
}

#[track_caller]
fn gives(rule: Rule, supply: f64, claims: &[f64], want: &[f64]) {
    let mut awards = vec![f64::NAN; claims.len()];
    rule(supply, claims, &mut awards);
    for (got, want) in awards.iter().zip(want) {
        near(*got, *want, 1e-9);
    }
}

/// Three wives' claims of 100, 200 and 300 on an estate of 100, 200 or 300:
/// Mishna Ketubot 93a as tabled by Aumann and Maschler (1985, Journal of
/// Economic Theory 36:195; the paper from memory, the figures as quoted in
/// lecture notes by Schecter and by Heller).
#[test]
fn the_estate_of_the_three_wives() {
    source(
        "Aumann and Maschler 1985, Journal of Economic Theory 36:195 (from memory; figures as quoted in lecture notes); 400 and 500 worked out from the rule",
    );
    let claims = [100.0, 200.0, 300.0];
    let third = 100.0 / 3.0;
    gives(contested_garment, 100.0, &claims, &[third, third, third]);
    gives(contested_garment, 200.0, &claims, &[50.0, 75.0, 75.0]);
    gives(contested_garment, 300.0, &claims, &[50.0, 100.0, 150.0]);
    // Worked out from the rule.
    gives(contested_garment, 400.0, &claims, &[50.0, 125.0, 225.0]);
    gives(contested_garment, 500.0, &claims, &[200.0 / 3.0, 500.0 / 3.0, 800.0 / 3.0]);
}

/// The same claims under the other rules, worked out from their formulas
/// (Herrero and Villar 2001, Mathematical Social Sciences 42:307).
#[test]
fn the_three_claims_under_every_rule() {
    source("worked out from the formulas of Herrero and Villar 2001, Mathematical Social Sciences 42:307");
    let claims = [100.0, 200.0, 300.0];
    let t = 1.0 / 3.0;
    for (supply, p, cea, cel, order) in [
        (100.0, [50.0 * t, 100.0 * t, 50.0], [100.0 * t; 3], [0.0, 0.0, 100.0], [100.0, 0.0, 0.0]),
        (200.0, [100.0 * t, 200.0 * t, 100.0], [200.0 * t; 3], [0.0, 50.0, 150.0], [100.0, 100.0, 0.0]),
        (300.0, [50.0, 100.0, 150.0], [100.0; 3], [0.0, 100.0, 200.0], [100.0, 200.0, 0.0]),
        (
            400.0,
            [200.0 * t, 400.0 * t, 200.0],
            [100.0, 150.0, 150.0],
            [100.0 * t, 400.0 * t, 700.0 * t],
            [100.0, 200.0, 100.0],
        ),
        (
            500.0,
            [250.0 * t, 500.0 * t, 250.0],
            [100.0, 200.0, 200.0],
            [200.0 * t, 500.0 * t, 800.0 * t],
            [100.0, 200.0, 200.0],
        ),
    ] {
        gives(in_proportion, supply, &claims, &p);
        gives(equal_awards, supply, &claims, &cea);
        gives(equal_losses, supply, &claims, &cel);
        gives(in_turn, supply, &claims, &order);
    }
}

/// Claims of 4 and 8 on 6: equal awards (3, 3) as given in an encyclopaedia's
/// article on constrained equal awards; the others worked out from the rules.
#[test]
fn two_claims() {
    source(
        "worked out from the rules of Herrero and Villar 2001, Mathematical Social Sciences 42:307; the equal awards also in an encyclopaedia (author and year not known to us)",
    );
    gives(equal_awards, 6.0, &[4.0, 8.0], &[3.0, 3.0]);
    gives(equal_losses, 6.0, &[4.0, 8.0], &[1.0, 5.0]);
    gives(contested_garment, 6.0, &[4.0, 8.0], &[2.0, 4.0]);
}

/// Four claims of 10 to 40 on 60, worked out from the rules.
#[test]
fn four_claims() {
    source("worked out from the rules of Herrero and Villar 2001, Mathematical Social Sciences 42:307");
    let claims = [10.0, 20.0, 30.0, 40.0];
    let t = 50.0 / 3.0;
    gives(in_proportion, 60.0, &claims, &[6.0, 12.0, 18.0, 24.0]);
    gives(equal_awards, 60.0, &claims, &[10.0, t, t, t]);
    gives(equal_losses, 60.0, &claims, &[0.0, 10.0, 20.0, 30.0]);
    gives(contested_garment, 60.0, &claims, &[5.0, 10.0, 17.5, 27.5]);
    // A quota of 12 each first, the rest in proportion to what is unmet.
    let quota = claims.map(|c: f64| c.min(12.0));
    let unmet = [0.0, 8.0, 18.0, 28.0];
    let mut rest = [0.0; 4];
    in_proportion(60.0 - quota.iter().sum::<f64>(), &unmet, &mut rest);
    for (i, want) in [10.0, 380.0 / 27.0, 50.0 / 3.0, 520.0 / 27.0].into_iter().enumerate() {
        near(quota[i] + rest[i], want, 1e-9);
    }
}

/// Ibn Ezra's estate of 120 claimed by four sons for 30, 40, 60 and 120 (as
/// quoted by O'Neill 1982, Mathematical Social Sciences 2:345; from memory):
/// each layer of the estate is split evenly among those who claim it.
#[test]
fn ibn_ezras_four_sons() {
    source("O'Neill 1982, Mathematical Social Sciences 2:345 (from memory)");
    let claims = [30.0, 40.0, 60.0, 120.0];
    let mut sum = [0.0; 4];
    let mut from = 0.0;
    for to in claims {
        let layer = claims.map(|c: f64| (c.min(to) - from).max(0.0));
        let mut awards = [0.0; 4];
        equal_awards(to - from, &layer, &mut awards);
        (0..4).for_each(|i| sum[i] += awards[i]);
        from = to;
    }
    for (got, want) in sum.iter().zip([7.5, 10.0 + 5.0 / 6.0, 20.0 + 5.0 / 6.0, 80.0 + 5.0 / 6.0]) {
        near(*got, want, 1e-9);
    }
}

/// Half-gallon jars: claims of 2, 2, 4 and 6 jars on 8, in proportion and then
/// whole by largest remainder: 1, 1, 2, 4 (worked out from the rule).
#[test]
fn eight_jars_among_four() {
    source("worked out from the rule of largest remainder (Hamilton's method)");
    let mut quotas = [0.0; 4];
    in_proportion(8.0, &[2.0, 2.0, 4.0, 6.0], &mut quotas);
    let mut jars = [0.0; 4];
    whole_jars(8, &quotas, 0, &mut jars);
    for (got, want) in jars.into_iter().zip([1, 1, 2, 4]) {
        count(got as u32, want);
    }
}

/// Largest remainder's best-known flaw, the Alabama paradox: populations of 6,
/// 6 and 2 get 4, 4 and 2 of ten seats, but 5, 5 and 1 of eleven (textbook
/// example of Hamilton's method; from memory).
#[test]
fn the_alabama_paradox() {
    source("the Alabama paradox of Hamilton's method, in textbooks of apportionment (from memory)");
    for (seats, want) in [(10, [4.0, 4.0, 2.0]), (11, [5.0, 5.0, 1.0])] {
        let quotas = [6.0, 6.0, 2.0].map(|p: f64| p * f64::from(seats) / 14.0);
        let mut got = [0.0; 3];
        whole_jars(seats, &quotas, 0, &mut got);
        for (got, want) in got.into_iter().zip(want) {
            near(got, want, 0.0);
        }
    }
}
