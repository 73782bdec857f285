//! What is claimed of one measure or one aim, with its figures.

use super::Voice;
use crate::report::amounts::{count, of, per_hundred};
use crate::report::compare::amounts::direction;
use crate::report::words::{bound, capital};
use crate::study::aims::MOST_TRIALS;
use crate::study::compare::{AimPair, Good, Pair, Verdict};

/// Of fewer trials so many are counted out, not told of a hundred.
const A_HUNDRED: u32 = 100;

impl Voice<'_> {
    /// `waste 4.1 %, not 9.8 %: 5.7 points less (5.4 to 6 points). …`
    pub(super) fn figures(&self, p: &Pair) -> String {
        let t = &self.tongue;
        let interval = match p.ci95 {
            Some([low, high]) if low < high && low * high >= 0.0 => {
                let ends = if low.abs() <= high.abs() { [low, high] } else { [high, low] };
                format!(" ({})", t.span(p.key, ends))
            }
            _ => String::new(),
        };
        format!(
            "{} {}: {} {}{interval}. {}{}",
            t.noun(p.key),
            t.beside(p.key, p.choice, p.base),
            t.size(p.key, p.difference),
            direction(p.difference),
            capital(&self.in_years(p)),
            self.bad_years(p)
        )
    }

    /// `better in 9 of 10 years, worse in 1 of 20 years.`
    fn in_years(&self, p: &Pair) -> String {
        let n = f64::from(self.found.trials.max(1));
        let [better, _, worse] = p.better_alike_worse().map(|k| f64::from(k) / n);
        // Both of as many: never the one of twenty and the other of a hundred.
        let few =
            [better, worse].iter().all(|part| *part <= 0.0 || *part >= 1.0 || !of(*part).ends_with("100"));
        let told = |part: f64| self.part(part, if few { of } else { per_hundred });
        let [first, second] = if p.verdict == Some(Verdict::Worse) {
            [("worse", worse), ("better", better)]
        } else {
            [("better", better), ("worse", worse)]
        };
        format!("by what matters, {} in {} and {} in {}.", first.0, told(first.1), second.0, told(second.1))
    }

    /// `every year`, `no year`, `7 of 10 years`.
    fn part(&self, part: f64, words: impl Fn(f64) -> String) -> String {
        if part >= 1.0 {
            format!("every {}", self.span.one())
        } else if part <= 0.0 {
            format!("no {}", self.span.one())
        } else if self.found.trials < A_HUNDRED {
            let n = self.found.trials;
            format!("{} of {} {}", (part * f64::from(n)).round(), count(n), self.span.many())
        } else {
            format!("{} {}", words(part), self.span.many())
        }
    }

    /// The bad end: what 9 of 10 years keep to, where it moved by what matters.
    fn bad_years(&self, p: &Pair) -> String {
        let at = if p.good == Good::More { 1 } else { 2 };
        let q = &p.quantiles[at];
        let sure = q.ci95.is_some_and(|[low, high]| low > 0.0 || high < 0.0);
        if !sure || (q.choice - q.base).abs() <= p.margin {
            return String::new();
        }
        // Of what cannot be better there is no "or more".
        let or = match p.good {
            Good::More if p.key.unit() == "1" && q.choice >= 1.0 => "",
            Good::More => " or more",
            _ if q.choice <= 0.0 => "",
            _ => " or less",
        };
        if p.good == Good::More && q.choice <= 0.0 && p.key.unit() == "1" {
            return format!(
                " In 1 of 10 {} it is {}, not {}.",
                self.span.many(),
                self.tongue.value(p.key, q.choice),
                self.tongue.value(p.key, q.base)
            );
        }
        format!(
            " In 9 of 10 {} it is {}{or}, not {}.",
            self.span.many(),
            self.tongue.value(p.key, q.choice),
            self.tongue.value(p.key, q.base)
        )
    }

    pub(super) fn open(&self, p: &Pair) -> String {
        let t = &self.tongue;
        if p.counts.higher + p.counts.lower == 0 {
            let one = self.span.one();
            return format!(
                "{} {}, the same in every {one} so far. {}",
                t.noun(p.key),
                t.value(p.key, p.choice),
                self.more(p.more_trials)
            );
        }
        let between = match p.ci95 {
            // It would do by itself, but not among all that are judged together.
            Some(ends) if ends[0] * ends[1] > 0.0 => {
                let [near, far] = if ends[0] > 0.0 { ends } else { [ends[1], ends[0]] };
                format!(
                    "{} {}, too little to tell among so many",
                    t.span(p.key, [near, far]),
                    direction(ends[0])
                )
            }
            Some([low, high]) => {
                let side = |d: f64| {
                    if d == 0.0 { "nothing".into() } else { format!("{} {}", t.size(p.key, d), direction(d)) }
                };
                format!("between {} and {}", side(low), side(high))
            }
            None => format!("one {} tells nothing of chance", self.span.one()),
        };
        format!(
            "{} {}; {between}. {}",
            t.noun(p.key),
            t.beside(p.key, p.choice, p.base),
            self.more(p.more_trials)
        )
    }

    fn more(&self, trials: Option<u32>) -> String {
        match trials {
            Some(n) => {
                let step = 10_u32.pow(n.max(1).ilog10().saturating_sub(1));
                let n = n.div_ceil(step).saturating_mul(step);
                format!("About {} more simulated {} would tell.", count(n), self.span.many())
            }
            None => format!("Not even {} {} would tell.", count(MOST_TRIALS), self.span.many()),
        }
    }

    pub(super) fn aim(&self, a: &AimPair) -> String {
        let aim = bound(&a.aim);
        if a.won + a.lost == 0 {
            let many = self.span.many();
            let kept = self.part(a.choice, per_hundred);
            return if a.verdict == Verdict::Same {
                format!("the aim \"{aim}\", the same: kept in the very same {many}, {kept}.")
            } else {
                format!(
                    "the aim \"{aim}\", so far the same: kept in the very same {many}, {kept}. {}",
                    self.more(a.more_trials)
                )
            };
        }
        let how = match a.verdict {
            Verdict::Better => "kept more often",
            Verdict::Worse => "kept less often",
            Verdict::Same | Verdict::CannotTell => "cannot be told yet whether it is kept as often",
        };
        let more = match a.verdict {
            Verdict::CannotTell => format!(" {}", self.more(a.more_trials)),
            _ => String::new(),
        };
        let [low, high] = a.ci95.map(whole_signed);
        let (choice, base) = (self.part(a.choice, per_hundred), self.part(a.base, per_hundred));
        let parts = if choice == base {
            // So near that hundredths do not tell them apart.
            let exactly = |part: f64| count((part * f64::from(self.found.trials)).round() as u32);
            format!(
                "in {}, not {} of {}",
                exactly(a.choice),
                exactly(a.base),
                self.span.trials(self.found.trials)
            )
        } else {
            let many = format!(" {}", self.span.many());
            format!("in {choice}, not {}", base.trim_end_matches(&many))
        };
        format!("the aim \"{aim}\", {how}: {parts} ({low} to {high} points).{more}")
    }
}

/// Points of a percent, whole, with their sign.
fn whole_signed(part: f64) -> String {
    match (part * 100.0).round() {
        p if p > 0.0 => format!("+{p:.0}"),
        p if p < 0.0 => format!("−{:.0}", -p),
        _ => "0".into(),
    }
}
