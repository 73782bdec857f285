//! Splitting a short supply among claims.
//!
//! A claims problem: a supply `E` and claims `c` that together are more than
//! it. Every rule here gives awards that sum to the supply (or to all claims,
//! if there is enough), each between nothing and its claim. The rules and
//! their names are those of the literature on claims problems (O'Neill 1982,
//! Mathematical Social Sciences 2:345; Aumann and Maschler 1985, Journal of
//! Economic Theory 36:195; Herrero and Villar 2001, Mathematical Social
//! Sciences 42:307; all three cited from memory).
//!
//! Supplies and claims are amounts of 0 and more in one unit, whichever; what
//! is below 0 or no number counts as 0. `awards` must be as long as `claims`.
//! Nothing is allocated.

/// A claim as it counts: never below 0, never no number.
fn sound(claim: f64) -> f64 {
    if claim > 0.0 { claim } else { 0.0 }
}

fn total(claims: &[f64]) -> f64 {
    claims.iter().map(|&c| sound(c)).sum()
}

/// Everybody's claim is met: there is enough. Otherwise nothing is written.
fn enough(supply: f64, claims: &[f64], awards: &mut [f64]) -> bool {
    if sound(supply) < total(claims) {
        return false;
    }
    for (award, &claim) in awards.iter_mut().zip(claims) {
        *award = sound(claim);
    }
    true
}

/// Each the same part of its claim: `x = E·c / Σc`.
pub fn in_proportion(supply: f64, claims: &[f64], awards: &mut [f64]) {
    if enough(supply, claims, awards) {
        return;
    }
    let part = sound(supply) / total(claims);
    for (award, &claim) in awards.iter_mut().zip(claims) {
        *award = sound(claim) * part;
    }
}

/// Each the same amount, but nobody more than the claim: `x = min(c, λ)`
/// (constrained equal awards).
pub fn equal_awards(supply: f64, claims: &[f64], awards: &mut [f64]) {
    if enough(supply, claims, awards) {
        return;
    }
    // Whoever claims no more than an even part is met in full; the rest goes
    // round again. λ only rises, so each claim is settled once.
    let (mut left, mut open) = (sound(supply), claims.len());
    let mut level = 0.0;
    loop {
        let next = if open == 0 { 0.0 } else { left / open as f64 };
        if next <= level {
            break;
        }
        (left, open) = (sound(supply), claims.len());
        for &claim in claims {
            if sound(claim) <= next {
                left -= sound(claim);
                open -= 1;
            }
        }
        level = next;
    }
    for (award, &claim) in awards.iter_mut().zip(claims) {
        *award = sound(claim).min(level);
    }
}

/// Each goes short by the same amount, but nobody below nothing:
/// `x = max(0, c − μ)` (constrained equal losses).
pub fn equal_losses(supply: f64, claims: &[f64], awards: &mut [f64]) {
    if enough(supply, claims, awards) {
        return;
    }
    // The losses are equal awards of what is wanting: `c − x = min(c, μ)`.
    equal_awards(total(claims) - sound(supply), claims, awards);
    for (award, &claim) in awards.iter_mut().zip(claims) {
        *award = sound(claim) - *award;
    }
}

/// The rule of the contested garment (Talmud, Ketubot 93a; Aumann and
/// Maschler 1985): equal awards on half the claims up to half of all claims,
/// then equal losses on the other halves.
pub fn contested_garment(supply: f64, claims: &[f64], awards: &mut [f64]) {
    if enough(supply, claims, awards) {
        return;
    }
    let half = total(claims) / 2.0;
    let low = sound(supply) <= half;
    // Equal losses on the halves are equal awards of what is wanting.
    let shared = if low { sound(supply) } else { total(claims) - sound(supply) };
    // Equal awards of `2·shared` on whole claims, halved: no halves to store.
    equal_awards(2.0 * shared, claims, awards);
    for (award, &claim) in awards.iter_mut().zip(claims) {
        *award = if low { *award / 2.0 } else { sound(claim) - *award / 2.0 };
    }
}

/// One after the other until it is gone, beginning with claim `first` and
/// going round (priority; with a `first` that moves on, rotating turns).
pub fn in_order(supply: f64, claims: &[f64], first: usize, awards: &mut [f64]) {
    let n = claims.len();
    let mut left = sound(supply);
    for k in 0..n {
        let i = (first % n + k) % n;
        awards[i] = sound(claims[i]).min(left);
        left -= awards[i];
    }
}

/// Whole jars out of fractional ones by largest remainder (Hamilton's method):
/// everybody the whole jars of their award, and what is left over of `jars`
/// one by one to the largest remainders, never above the claim rounded up. Of
/// equal remainders the one nearest after `first` goes first, going round.
///
/// `quotas` are awards in jars (0 and more, their sum about `jars`). Awards are
/// written in jars, as whole numbers. `jars` counts what there is to hand out;
/// it must not exceed the sum of the quotas by a jar or more.
pub fn whole_jars(jars: u32, quotas: &[f64], first: usize, awards: &mut [f64]) {
    // What rounding makes of a whole number is that number.
    const SLACK: f64 = 1e-9;
    let n = quotas.len();
    let mut left = f64::from(jars);
    for (award, &quota) in awards.iter_mut().zip(quotas) {
        *award = (sound(quota) + SLACK).floor().min(left);
        left -= *award;
    }
    while left >= 1.0 {
        let mut best: Option<usize> = None;
        let mut largest = SLACK;
        for k in 0..n {
            let i = (first % n + k) % n;
            let remainder = sound(quotas[i]) - awards[i];
            if remainder > largest + SLACK {
                (best, largest) = (Some(i), remainder);
            }
        }
        let Some(i) = best else { break };
        awards[i] += 1.0;
        left -= 1.0;
    }
}

#[cfg(test)]
mod tests;
