//! Breeding: heats, conception, gestation, and what a pregnancy takes from the
//! milk. Times are days on one running scale; day 0 may be any day.

use super::species::Species;

/// Days of a year, on which seasons come round (a definition: the Julian year).
pub const YEAR: f64 = 365.25;

/// A span of days that comes round once a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Season {
    /// A day on which it opens (any of its years).
    pub opens: f64,
    /// How long it lasts, days, 0 to [`YEAR`].
    pub lasts: f64,
}

impl Season {
    /// Whether a day lies within.
    #[must_use]
    pub fn holds(&self, day: f64) -> bool {
        (day - self.opens).rem_euclid(YEAR) < self.lasts
    }

    /// The day itself when it lies within, else the next opening.
    #[must_use]
    pub fn from(&self, day: f64) -> f64 {
        let since = (day - self.opens).rem_euclid(YEAR);
        if since < self.lasts { day } else { day - since + YEAR }
    }

    /// Opening and closing of the first span that is not over on a day.
    #[must_use]
    pub fn span(&self, day: f64) -> (f64, f64) {
        let years = ((day - self.opens - self.lasts) / YEAR).floor() + 1.0;
        let opens = self.opens + years * YEAR;
        (opens, opens + self.lasts)
    }
}

/// Days from one heat to the next: cow 21 (18 to 24), goat 20.5 (18 to 22),
/// ewe 17. Textbook figures, from memory; the goat's agree with provincial
/// advice for Ontario.
#[must_use]
pub const fn heat_cycle_days(species: Species) -> f64 {
    match species {
        Species::Cow => 21.0,
        Species::Goat => 20.5,
        Species::Sheep => 17.0,
    }
}

/// When heats come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heats {
    /// Days from one heat to the next, > 0.
    pub cycle: f64,
    /// The part of the year in which she comes into heat; `None`: all of it.
    pub season: Option<Season>,
}

impl Heats {
    /// The first heat from a day on. `phase` (0 to 1) says how far the running
    /// cycle is from its end: heats fall anywhere in a cycle, so the mean wait
    /// is half of one.
    #[must_use]
    pub fn first(&self, from: f64, phase: f64) -> f64 {
        let start = self.season.map_or(from, |s| s.from(from));
        self.settle(start + phase * self.cycle, phase)
    }

    /// The heat after one; `phase` counts when a new season has to be waited for.
    #[must_use]
    pub fn next(&self, heat: f64, phase: f64) -> f64 {
        self.settle(heat + self.cycle, phase)
    }

    fn settle(&self, heat: f64, phase: f64) -> f64 {
        match self.season {
            Some(s) if !s.holds(heat) => s.from(heat) + phase * self.cycle.min(s.lasts),
            _ => heat,
        }
    }
}

/// Most heats that are followed after one freshening (a bound of the program).
pub const MOST_HEATS: usize = 32;

/// One lactation's breeding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trying {
    /// When heats come.
    pub heats: Heats,
    /// From this day on.
    pub from: f64,
    /// Not after this day, if that is not to come round.
    pub until: f64,
    /// The days within which she is tried, when they come round each year with
    /// tries of their own; `None`: once only.
    pub again: Option<Season>,
    /// Chance that a heat is seen and used.
    pub seen: f64,
    /// Chance that she conceives at one that is used.
    pub settles: f64,
    /// At most so many times, each time round.
    pub tries: u32,
}

/// A window that comes round is followed through so many years at most (a bound
/// of the program).
const MOST_ROUNDS: usize = 8;
/// A heat within the time in which she is bred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tried {
    /// Its day.
    pub day: f64,
    /// It was seen, and she was bred.
    pub used: bool,
    /// She conceived.
    pub settled: bool,
    /// Which time round it is, from 0.
    pub round: usize,
}

/// A day on which she may have conceived.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// The heat; its own place within a cycle taken at the mean.
    pub day: f64,
    /// Chance that she conceives then.
    pub part: f64,
}

impl Trying {
    /// The day of conception, given what chance says of each heat: uniforms
    /// for its place in the cycle, for being seen and for settling.
    /// `None`: she does not settle.
    #[must_use]
    pub fn conception(&self, phase: &[f64], seen: &[f64], settles: &[f64]) -> Option<f64> {
        self.tried(phase, seen, settles).find(|t| t.settled).map(|t| t.day)
    }

    /// Each heat until she settles or is bred no more, given what chance says
    /// of each (see [`Self::conception`]).
    pub fn tried(&self, phase: &[f64], seen: &[f64], settles: &[f64]) -> impl Iterator<Item = Tried> {
        let (mut tries, mut until, mut heat, mut over, mut round) = (0, self.until, None, false, 0);
        phase.iter().zip(seen).zip(settles).take(MOST_HEATS).map_while(move |((phase, u), v)| {
            if over {
                return None;
            }
            let mut day = match heat {
                None => self.heats.first(self.from, *phase),
                Some(last) => self.heats.next(last, *phase),
            };
            if day > until || tries >= self.tries {
                (day, until) = self.next_round(day, until, *phase)?;
                tries = 0;
                round += 1;
            }
            heat = Some(day);
            let used = *u < self.seen;
            tries += u32::from(used);
            over = used && *v < self.settles;
            Some(Tried { day, used, settled: over, round })
        })
    }

    /// The first heat of a later time round, and that round's last day: she was
    /// tried up to `until`, and the heat after that is `day`.
    fn next_round(&self, day: f64, until: f64, phase: f64) -> Option<(f64, f64)> {
        let rounds = self.again?;
        let mut heat = day;
        let mut after = until;
        for _ in 0..MOST_ROUNDS {
            let (opens, closes) = rounds.span(after);
            if heat < opens {
                heat = self.heats.first(opens, phase);
            }
            if heat <= closes {
                return Some((heat, closes));
            }
            after = closes;
        }
        None
    }

    /// Each heat with the chance that she conceives at it; what is missing to
    /// 1 is the chance that she does not settle. Exact but for the place of a
    /// heat within its cycle, which is taken at the mean.
    #[must_use]
    pub fn chances(&self) -> Vec<Chance> {
        let tries = self.tries as usize;
        // Chance of being open with so many tries used.
        let mut open = vec![0.0; tries + 1];
        open[0] = 1.0;
        let (mut day, mut until) = (self.heats.first(self.from, 0.5), self.until);
        let mut all = Vec::new();
        for _ in 0..MOST_HEATS {
            if day > until {
                let Some(next) = self.next_round(day, until, 0.5) else { break };
                (day, until) = next;
                open[0] = open.iter().sum();
                open[1..].fill(0.0);
            }
            let able: f64 = open[..tries].iter().sum();
            all.push(Chance { day, part: able * self.seen * self.settles });
            for used in (0..tries).rev() {
                let was = open[used];
                open[used + 1] += was * self.seen * (1.0 - self.settles);
                open[used] = was * (1.0 - self.seen);
            }
            day = self.heats.next(day, 0.5);
        }
        all
    }

    /// The heat nearest the mean number of cycles that fail, `(1 − p) / p` with
    /// `p` = seen × settles; `None` when she more likely does not settle at all.
    #[must_use]
    pub fn usual(&self) -> Option<f64> {
        let chances = self.chances();
        let settled: f64 = chances.iter().map(|c| c.part).sum();
        if settled < 0.5 {
            return None;
        }
        let p = self.seen * self.settles;
        let failed = ((1.0 - p) / p).round().min(MOST_HEATS as f64) as usize;
        let mut able = chances.iter().filter(|c| c.part > 0.0);
        able.nth(failed).or_else(|| chances.iter().rfind(|c| c.part > 0.0)).map(|c| c.day)
    }
}

/// Week of gestation from which a cow's milk is pulled down, and the last week
/// over which it grows (worked out from Coulon and others 1995).
const PULL_FROM_WEEK: f64 = 19.0;
const PULL_TO_WEEK: f64 = 32.0;
/// A cow's gestation in weeks, on which those weeks are counted (280 days: Norman
/// and others 2009).
const COW_WEEKS: f64 = 40.0;

/// Milk lost to pregnancy, kg a day, at a week of gestation, for a loss that
/// grows by `slope` kg a day each week. For a gestation of other length give
/// the weeks scaled to a cow's 40 ([`as_cow_weeks`]).
///
/// Coulon and others 1995 (601 lactations): measurable from week 20; at week 29
/// 1.5, 2.4 and 3.6 kg a day less for first-calvers, low to medium and high
/// older cows, 89, 137 and 203 kg in a lactation. A ramp from week 19 to dry-off
/// at week 32 of 0.15, 0.24 and 0.36 kg a week gives that (worked out from it).
#[must_use]
pub fn pregnancy_loss_kg(week: f64, slope: f64) -> f64 {
    slope * (week.min(PULL_TO_WEEK) - PULL_FROM_WEEK).max(0.0)
}

/// Days since conception as weeks of a cow's gestation.
#[must_use]
pub fn as_cow_weeks(days: f64, gestation_days: f64) -> f64 {
    days / gestation_days.max(1.0) * COW_WEEKS
}

/// Growth of the pull of pregnancy, a week, as a part of the milk at the peak:
/// first and later lactations. Our default: the slopes of Coulon and others
/// 1995 (0.15 and 0.24 kg) on a peak of 20 and of 26 kg.
pub const PULL_OF_PEAK: [f64; 2] = [0.15 / 20.0, 0.24 / 26.0];

/// Day in milk on which an ordinary lactation's pregnancy begins: the curves
/// were fitted to cows that conceived about then, and hold its pull already
/// (day 90 to 110, our default).
pub const ORDINARY_CONCEPTION: f64 = 100.0;

#[cfg(test)]
mod tests {
    use super::*;

    const AUTUMN: Season = Season { opens: 100.0, lasts: 60.0 };

    #[test]
    fn a_season_comes_round() {
        assert!(AUTUMN.holds(100.0) && AUTUMN.holds(159.9) && !AUTUMN.holds(160.0));
        assert!(AUTUMN.holds(100.0 - YEAR) && AUTUMN.holds(130.0 + 3.0 * YEAR));
        assert_eq!(AUTUMN.from(120.0), 120.0);
        assert_eq!(AUTUMN.from(50.0), 100.0);
        assert_eq!(AUTUMN.from(160.0), 100.0 + YEAR);
        assert_eq!(AUTUMN.span(120.0), (100.0, 160.0));
        assert_eq!(AUTUMN.span(50.0), (100.0, 160.0));
        assert_eq!(AUTUMN.span(160.0).0, 100.0 + YEAR);
    }

    #[test]
    fn heats_keep_to_their_season() {
        let heats = Heats { cycle: 20.0, season: Some(AUTUMN) };
        assert_eq!(heats.first(0.0, 0.5), 110.0);
        assert_eq!(heats.next(110.0, 0.5), 130.0);
        assert_eq!(heats.next(150.0, 0.25), 100.0 + YEAR + 5.0);
        let all_year = Heats { season: None, ..heats };
        assert_eq!(all_year.first(60.0, 0.5), 70.0);
    }

    fn trying() -> Trying {
        Trying {
            heats: Heats { cycle: 21.0, season: None },
            from: 60.0,
            until: f64::INFINITY,
            again: None,
            seen: 0.7,
            settles: 0.5,
            tries: 3,
        }
    }

    #[test]
    fn a_heat_that_is_not_seen_uses_no_try() {
        let t = trying();
        let (phase, no) = ([0.5; 6], [0.9; 6]);
        let seen = [0.9, 0.1, 0.9, 0.1, 0.1, 0.1];
        assert_eq!(t.conception(&phase, &seen, &[0.0; 6]), Some(60.0 + 10.5 + 21.0));
        // Third try at the fifth heat.
        let late = [0.9, 0.9, 0.9, 0.9, 0.1, 0.1];
        assert_eq!(t.conception(&phase, &seen, &late), Some(60.0 + 10.5 + 4.0 * 21.0));
        assert_eq!(t.conception(&phase, &seen, &no), None);
        assert_eq!(Trying { tries: 2, ..t }.conception(&phase, &seen, &late), None);
        assert_eq!(Trying { until: 100.0, ..t }.conception(&phase, &seen, &late), None);
        // Heat by heat: unseen, bred, unseen, bred, and settled at the fifth.
        let all: Vec<_> = t.tried(&phase, &seen, &late).collect();
        assert_eq!(all.iter().map(|h| h.used).collect::<Vec<_>>(), [false, true, false, true, true]);
        assert_eq!(all.iter().filter(|h| h.settled).count(), 1);
        assert_eq!(all.last().map(|h| h.day), Some(60.0 + 10.5 + 4.0 * 21.0));
    }

    #[test]
    fn a_window_comes_round_with_tries_of_its_own() {
        // Sixty days a year from day 100: heats on days 110, 130, 150 of each.
        let t = Trying {
            heats: Heats { cycle: 20.0, season: None },
            from: 100.0,
            until: 160.0,
            again: Some(AUTUMN),
            seen: 1.0,
            settles: 0.5,
            tries: 2,
        };
        let phase = [0.5; 8];
        let at = |settled: usize| {
            let settles: Vec<f64> = (0..8).map(|n| if n < settled { 0.9 } else { 0.1 }).collect();
            t.conception(&phase, &[0.0; 8], &settles)
        };
        assert_eq!((at(0), at(1)), (Some(110.0), Some(130.0)));
        // Two tries a year: the third is the first of the next autumn.
        assert_eq!((at(2), at(3)), (Some(110.0 + YEAR), Some(130.0 + YEAR)));
        assert_eq!(at(4), Some(110.0 + 2.0 * YEAR));
        // Once only, she is not tried again.
        let once = Trying { again: None, ..t };
        assert_eq!(once.conception(&phase, &[0.0; 8], &[0.9; 8]), None);
        // With tries to spare the third heat of an autumn is used too.
        let more = Trying { tries: 8, ..t };
        assert_eq!(more.conception(&phase, &[0.0; 8], &[0.9, 0.9, 0.1]), Some(150.0));
        assert_eq!(more.conception(&phase, &[0.0; 8], &[0.9, 0.9, 0.9, 0.1]), Some(110.0 + YEAR));
        // Half, a quarter; then the same of the quarter that is left.
        let days: Vec<(f64, f64)> =
            t.chances().iter().map(|c| (c.day, c.part)).filter(|c| c.1 > 0.0).collect();
        let want = [(110.0, 0.5), (130.0, 0.25), (110.0 + YEAR, 0.125), (130.0 + YEAR, 0.0625)];
        assert_eq!(days[..4], want);
        let all: f64 = t.chances().iter().map(|c| c.part).sum();
        assert!(all > 0.999, "{all}");
        // A season of the animal's own narrows the window, and none of it is never.
        let spring = Season { opens: 300.0, lasts: 30.0 };
        let never = Trying { heats: Heats { season: Some(spring), ..t.heats }, ..t };
        assert_eq!(never.conception(&phase, &[0.0; 8], &[0.1; 8]), None);
        assert!(never.chances().is_empty());
    }

    #[test]
    fn chances_add_up() {
        let t = trying();
        let all: f64 = t.chances().iter().map(|c| c.part).sum();
        // Three tries of one half; the few years in which 32 heats do not hold
        // three that are seen do not show.
        assert!((all - 0.875).abs() < 1e-9, "{all}");
        assert!((t.chances()[0].part - 0.35).abs() < 1e-12);
        assert_eq!(Trying { seen: 0.0, ..t }.usual(), None);
        // (1 - 0.35) / 0.35 = 1.86: the third heat.
        assert_eq!(t.usual(), Some(60.0 + 10.5 + 42.0));
    }

    #[test]
    fn weeks_of_a_doe_are_counted_as_a_cow_s() {
        assert_eq!(as_cow_weeks(140.0, 280.0), 20.0);
        assert_eq!(as_cow_weeks(75.0, 150.0), 20.0);
        assert_eq!(as_cow_weeks(1.5, 0.0), 60.0);
    }
}
