//! What is measured of a year.

use springhouse::dairy::matter::Matter;
use springhouse::scenario::Compiled;
use springhouse::scenario::plan::Action;
use springhouse::sim::Outcome;
use springhouse::sim::outcome::{Blocked, Fate, RuleTally, Source};
use springhouse::sim::traded::{ShareTally, Traded};

pub fn fate(out: &Outcome, fate: Fate) -> f64 {
    out.fates[fate as usize].mass
}

/// All food for people that was wasted, kg.
pub fn wasted(_: &Compiled, out: &Outcome) -> f64 {
    Fate::ALL.iter().filter(|f| f.is_waste()).map(|&f| fate(out, f)).sum()
}

/// The same with the film that stays in emptied jars, kg. Milk that is lost whole leaves no
/// film: with more room less of it is washed away jar by jar, and waste alone may rise.
pub fn wasted_or_film(c: &Compiled, out: &Outcome) -> f64 {
    wasted(c, out) + fate(out, Fate::Film)
}

pub fn no_jar(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedNoJar)
}

pub fn soured(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedSoured)
}

pub fn foul(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedFoul)
}

pub fn spilled(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedSpilled)
}

pub fn failed(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedFailedBatch)
}

pub fn unclaimed(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedUnclaimed)
}

pub fn warm_without_power(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WastedOutage)
}

pub fn kept_by_helper(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::KeptByHelper)
}

pub fn fed(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::Fed)
}

pub fn sold(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::Sold)
}

pub fn given(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::GivenAway)
}

pub fn shared_out(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::SharedOut)
}

pub fn film(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::Film)
}

pub fn colostrum(_: &Compiled, out: &Outcome) -> f64 {
    let kept = [Fate::ColostrumNewborn, Fate::ColostrumFed, Fate::ColostrumFrozen, Fate::Withheld];
    kept.iter().map(|&f| fate(out, f)).sum()
}

pub fn withheld_sick(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::WithheldSick)
}

pub fn to_the_calf(_: &Compiled, out: &Outcome) -> f64 {
    fate(out, Fate::Calf)
}

/// Milked, the calf's part among it, kg.
pub fn drawn(_: &Compiled, out: &Outcome) -> f64 {
    out.sources[Source::Drawn as usize].mass
}

pub fn fat_drawn(_: &Compiled, out: &Outcome) -> f64 {
    out.sources[Source::Drawn as usize].fat
}

pub fn fetched(_: &Compiled, out: &Outcome) -> f64 {
    out.sources[Source::Fetched as usize].mass
}

/// Bought for the table and the store, kg.
pub fn bought(_: &Compiled, out: &Outcome) -> f64 {
    out.traded.bought.iter().sum()
}

/// What comes into the pail for people, kg.
pub fn for_people(c: &Compiled, out: &Outcome) -> f64 {
    drawn(c, out) - to_the_calf(c, out) - colostrum(c, out) - withheld_sick(c, out) - spilled(c, out)
}

/// Drinking milk wanted and not there, kg.
pub fn milk_short(_: &Compiled, out: &Outcome) -> f64 {
    out.wants[0].wanted - out.wants[0].served
}

pub fn milk_served(_: &Compiled, out: &Outcome) -> f64 {
    out.wants[0].served
}

/// Part of the drinking milk wanted that was there.
pub fn milk_fill(_: &Compiled, out: &Outcome) -> f64 {
    let milk = out.wants[0];
    if milk.wanted > 0.0 { milk.served / milk.wanted } else { 1.0 }
}

fn wish(c: &Compiled, name: &str) -> Option<usize> {
    c.names.wishes.iter().position(|w| w == name).map(|w| w + 1)
}

/// Yogurt wished for and not there, kg.
pub fn yogurt_short(c: &Compiled, out: &Outcome) -> f64 {
    wish(c, "yogurt").map_or(0.0, |w| out.wants[w].wanted - out.wants[w].served)
}

/// Yogurt eaten, kg.
pub fn yogurt_eaten(c: &Compiled, out: &Outcome) -> f64 {
    wish(c, "yogurt").map_or(0.0, |w| out.wants[w].served + out.wants[w].extra)
}

/// Fat of a kilogram of what was drunk, g.
pub fn fat_of_drunk(_: &Compiled, out: &Outcome) -> f64 {
    let drunk = out.fates[Fate::Drunk as usize];
    if drunk.mass > 0.0 { 1000.0 * drunk.fat / drunk.mass } else { 0.0 }
}

fn tallies<'a>(
    c: &'a Compiled,
    out: &'a Outcome,
    which: impl Fn(&Action) -> bool + 'a,
) -> impl Iterator<Item = &'a RuleTally> {
    c.plan.rules.iter().zip(&out.rules).filter(move |(r, _)| which(&r.action)).map(|(_, t)| t)
}

/// What went into all batches, kg.
pub fn worked_up(c: &Compiled, out: &Outcome) -> f64 {
    tallies(c, out, |a| matches!(a, Action::Make { .. })).map(|t| t.kg).sum()
}

/// Batches that were held because nobody was at home for long enough.
pub fn nobody_home(c: &Compiled, out: &Outcome) -> f64 {
    let held = tallies(c, out, |a| matches!(a, Action::Make { .. }));
    held.map(|t| f64::from(t.blocked[Blocked::NobodyHome as usize])).sum()
}

/// What was skimmed, kg of whole milk.
pub fn skimmed(c: &Compiled, out: &Outcome) -> f64 {
    tallies(c, out, |a| matches!(a, Action::Skim { .. })).map(|t| t.kg).sum()
}

/// Made of an item, kg.
fn made(c: &Compiled, out: &Outcome, item: &str) -> f64 {
    c.names.items.iter().position(|i| i == item).map_or(0.0, |i| out.made[i])
}

pub fn milk_frozen(c: &Compiled, out: &Outcome) -> f64 {
    made(c, out, "frozen milk")
}

pub fn days_over_full(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.days_over_full)
}

/// Hours until a milking that found room is down to 4.4 °C; one that never is counts
/// as a hundred.
pub fn chilling(_: &Compiled, out: &Outcome) -> f64 {
    let found_room = f64::from((out.milkings - out.chill_left_out).max(1));
    (out.chill_hours + 100.0 * f64::from(out.chill_never)) / found_room
}

pub fn late(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.chill_late)
}

pub fn life_of_neighbours(_: &Compiled, out: &Outcome) -> f64 {
    out.neighbour_days
}

pub fn ice_short(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.ice_short)
}

pub fn freezer_used(_: &Compiled, out: &Outcome) -> f64 {
    out.freezer_used_l
}

pub fn ageing_used(_: &Compiled, out: &Outcome) -> f64 {
    out.ageing_used_l
}

pub fn jars_broken(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.jars_broken)
}

pub fn outages(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.outages)
}

pub fn outage_hours(_: &Compiled, out: &Outcome) -> f64 {
    out.outage_hours
}

pub fn dry_days(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.dry_days)
}

pub fn sick_cases(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.sick_cases)
}

pub fn freshened_again(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.freshened_again)
}

pub fn not_settled(_: &Compiled, out: &Outcome) -> f64 {
    f64::from(out.not_settled)
}

/// Part of the promise to all members that was kept.
pub fn promise_kept(_: &Compiled, out: &Outcome) -> f64 {
    let sum = |f: fn(&Traded) -> f64| f(&out.traded);
    let promised = sum(|t| t.shares.iter().map(|s| s.promised).sum());
    if promised > 1e-9 { sum(|t| t.shares.iter().map(|s| s.kept).sum()) / promised } else { 1.0 }
}

/// Part of the promise to the first member that was kept.
pub fn first_member(_: &Compiled, out: &Outcome) -> f64 {
    out.traded.shares.first().map_or(1.0, ShareTally::fill)
}

/// The day's work without the kitchen, minutes in all.
pub fn chores(_: &Compiled, out: &Outcome) -> f64 {
    out.chore_minutes
}

/// All matter at once: where everything ended.
pub fn matter(_: &Compiled, out: &Outcome) -> f64 {
    let weigh = |(i, f): (usize, &Matter)| (i + 1) as f64 * (f.mass + 3.0 * f.fat + 7.0 * f.protein);
    out.fates.iter().enumerate().map(weigh).sum()
}
