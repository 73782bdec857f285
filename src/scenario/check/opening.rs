//! What stands in the house on the first day: lots with what they hold, how
//! much of their life is over, and whether they fit.

mod milk;
mod place;

use super::{
    super::{
        plan::{Hours, ItemId, JarId, OpeningLife, OpeningLot, OpeningPlan, RecipePlan, SharePlan, fixed},
        raw::{self, Standing},
        stock::Sheet,
    },
    animals::Animal,
    calendar::Run,
    context::{Ctx, entry, list, under},
    items::Items,
    rooms::Rooms,
};
use crate::{
    calendar,
    dairy::matter::Matter,
    units::{Amount, read_amount, show},
};

/// Oldest that anything may be, days (a bound of the program).
const OLDEST: f64 = 3.0 * 365.25;
/// Most of one thing, kg (a bound of the program).
const MOST_KG: f64 = 5_000.0;

/// What this looks at beside the entries.
pub(super) struct World<'a> {
    pub run: Run,
    pub hours: Hours,
    pub items: &'a Items,
    pub rooms: &'a Rooms,
    pub animals: &'a [Animal],
    pub fetches: &'a [(super::FetchPlan, String)],
    pub recipes: &'a [RecipePlan],
    pub rules: &'a [(super::RulePlan, String)],
    pub share: Option<&'a SharePlan>,
    /// Mean sweet life at 4 °C, days.
    pub life_days: f64,
}

/// The entries with their paths: those of a stock-take, if there is one, else
/// those of the file.
pub(super) fn entries(c: &mut Ctx, raw: &raw::Scenario, sheet: Option<&Sheet>) -> Vec<(String, Standing)> {
    let own = raw.in_store.as_deref().unwrap_or_default();
    let Some(sheet) = sheet else {
        return own.iter().enumerate().map(|(i, s)| (entry("in store", i), s.clone())).collect();
    };
    if !own.is_empty() {
        c.warn("in store", "the stock-take takes the place of this part", "it is not looked at this time");
    }
    sheet.rows.iter().enumerate().map(|(i, (_, s))| (entry("stock", i), s.clone())).collect()
}

/// Products that stand there though no rule makes them: `others` are those that
/// some recipe could make.
pub(super) fn only_in_store(entries: &[(String, Standing)], others: &[String]) -> Vec<String> {
    let named = entries.iter().filter_map(|(_, s)| s.what.as_ref());
    named.filter_map(|w| others.iter().find(|o| o.eq_ignore_ascii_case(w.get())).cloned()).collect()
}

/// Compiles all entries, and the names of the milkings whose life is drawn.
pub(super) fn opening(
    c: &mut Ctx,
    w: &World,
    raw: &raw::Scenario,
    entries: &[(String, Standing)],
) -> (OpeningPlan, Vec<String>) {
    let jars_away = jars_away(c, w, raw);
    let mut things: Vec<Thing> = entries.iter().filter_map(|(at, s)| thing(c, w, at, s)).collect();
    place::into_jars(c, w, &jars_away, &mut things);
    // Any order of the entries gives the same plan.
    things.sort_by(|a, b| {
        let key = |t: &Thing| (t.item, t.store, t.jars);
        a.drawn.total_cmp(&b.drawn).then(key(a).cmp(&key(b))).then(a.matter.mass.total_cmp(&b.matter.mass))
    });
    place::fits(c, w, &things);
    let mut milkings: Vec<String> = Vec::new();
    let lots = things.iter().map(|t| {
        let life = match t.life {
            Life::Left(left) => OpeningLife::Left(left),
            Life::Sweet(used) => {
                let half = if t.drawn.rem_euclid(1.0) < 0.5 { "morning" } else { "evening" };
                let name = format!("{} {half} {:?}", w.run.date_of(t.drawn), t.species).to_lowercase();
                let draw = milkings.iter().position(|m| *m == name).unwrap_or_else(|| {
                    milkings.push(name);
                    milkings.len() - 1
                });
                OpeningLife::Drawn { used, draw: draw as u16 }
            }
        };
        OpeningLot {
            item: t.item,
            matter: t.matter,
            store: t.store as u16,
            jars: t.jars,
            drawn: t.drawn,
            ready: t.ready,
            ageing_loss: t.ageing_loss,
            risen_h: t.risen_h,
            life,
            species: t.species,
        }
    });
    let lots: Vec<OpeningLot> = lots.collect();
    let owed_kg = owed(c, w, raw);
    let known = !lots.is_empty() || owed_kg > 0.0 || w.animals.iter().any(|a| a.plan.course.now.is_some());
    (OpeningPlan { lots, jars_away, owed_kg, known }, milkings)
}

/// An entry as far as it is settled.
#[derive(Clone, Debug)]
struct Thing {
    at: String,
    item: ItemId,
    matter: Matter,
    store: usize,
    jars: Option<(JarId, u32)>,
    drawn: f64,
    ready: f64,
    ageing_loss: f64,
    risen_h: f64,
    life: Life,
    species: crate::dairy::Species,
}

#[derive(Clone, Copy, Debug)]
enum Life {
    /// As in [`OpeningLife::Left`].
    Left(f64),
    /// Days of sweet life used up.
    Sweet(f64),
}

fn thing(c: &mut Ctx, w: &World, at: &str, s: &Standing) -> Option<Thing> {
    let p = |key: &str| under(at, key);
    let item = what(c, w, at, s);
    let drawn = dated(c, w, at, s, item);
    let store = item.and_then(|item| place::store(c, w, &p("in"), s, item));
    let jars = item.and_then(|item| place::jars(c, w, &p("jars"), s, item));
    let kg = item.and_then(|item| amount(c, w, at, s, item, jars.flatten()));
    let (item, drawn, store, jars, kg) = (item?, drawn?, store?, jars?, kg?);
    let plan = &w.items.plans[item.at()];
    let (species, fat, protein) = milk::composition(c, w, at, s, item, drawn)?;
    let recipe = w.recipes.iter().find(|r| r.outputs.first().is_some_and(|o| o.item == item));
    let (ready, ageing_loss) = ready(c, w, &p("ready"), s, recipe, drawn);
    let spot = place::first_place(w, store, item);
    let used = |rate: fn(&super::super::plan::PlacePlan) -> &[f64; 12]| {
        spot.map_or(0.0, |place| place::run_down(w.run, rate(&w.rooms.places[place]), drawn, 0.0))
    };
    let keeps = spot.map_or(0.0, |place| plan.keeps[w.rooms.places[place].kind as usize]);
    let life = match good_until(c, w, &p("good until"), s) {
        Some(day) => {
            let left = |rate: &[f64; 12]| place::run_down(w.run, rate, 0.0, day);
            let rooms = spot.map(|place| &w.rooms.places[place])?;
            if plan.sweet {
                Life::Left(left(&rooms.sweet_rate))
            } else {
                Life::Left((left(&rooms.keep_rate) / keeps.max(1e-9)).min(1.0))
            }
        }
        None if plan.sweet => {
            let used = used(|p| &p.sweet_rate);
            if used > 2.5 * w.life_days {
                c.warn(
                    &p("dated"),
                    format!("sweet {} of that age is rare where it stands", w.items.name(item)),
                    "is the date right, or is it `sour milk` by now?",
                );
            }
            Life::Sweet(used)
        }
        None => {
            let left = 1.0 - used(|p| &p.keep_rate) / keeps.max(1e-9);
            if left <= 0.0 {
                c.warn(
                    &p("dated"),
                    format!(
                        "this is past its time: {} keeps {} there",
                        w.items.name(item),
                        show::duration(keeps)
                    ),
                    "it is thrown out on the first morning; write `good until` where you know better",
                );
            }
            Life::Left(left.clamp(0.0, 1.0))
        }
    };
    Some(Thing {
        at: at.to_owned(),
        item,
        matter: Matter { mass: kg, fat: fat * kg, protein: protein * kg, milk: kg },
        store,
        jars,
        drawn,
        ready,
        ageing_loss,
        risen_h: 24.0 * used(|p| &p.rise_rate),
        life,
        species,
    })
}

/// The item.
fn what(c: &mut Ctx, w: &World, at: &str, s: &Standing) -> Option<ItemId> {
    let Some(word) = s.what.as_ref().map(super::super::raw::Text::get).filter(|t| !t.is_empty()) else {
        c.missing(at, &["what"], "`what`", "write such as `what: whole milk`");
        return None;
    };
    let ids = w.items.find(c, &under(at, "what"), word)?;
    if let [one] = ids[..] {
        return Some(one);
    }
    let names: Vec<&str> = ids.iter().map(|id| w.items.name(*id)).collect();
    c.error(
        &under(at, "what"),
        format!("`{word}` stands for several things here"),
        format!("write one of {}", list(&names)),
    );
    None
}

/// When it was milked or made, days after the start of day 0.
fn dated(c: &mut Ctx, w: &World, at: &str, s: &Standing, item: Option<ItemId>) -> Option<f64> {
    let path = under(at, "dated");
    let Some(text) = s.dated.as_ref().map(super::super::raw::Text::get).filter(|t| !t.is_empty()) else {
        let help = "write the date on its label, such as `dated: 2027-08-29`";
        c.missing(at, &["dated"], "the date (`dated`)", help);
        return None;
    };
    let (date, half) = match text.rsplit_once(' ') {
        Some((date, half @ ("morning" | "evening"))) => (date.trim_end(), Some(half)),
        _ => (text, None),
    };
    let date = c.date(&path, date)?;
    let day = w.run.day_of(date);
    let sweet = item.is_none_or(|i| i.0 <= fixed::THIN_CREAM.0);
    let hour = match half {
        Some("evening") => w.hours.evening,
        Some(_) => w.hours.morning,
        None if sweet => w.hours.morning,
        None => w.hours.kitchen,
    };
    if day >= 0.0 {
        c.error(
            &path,
            format!(
                "this is not there yet: the run begins in the night before {}",
                calendar::show(w.run.first)
            ),
            "count what stands there that night, or begin the run on the day after the count",
        );
        return None;
    }
    let drawn = day + hour / 24.0;
    if -drawn > OLDEST {
        c.error(&path, "this is more than three years old", "check the year");
        return None;
    }
    Some(drawn)
}

fn amount(
    c: &mut Ctx,
    w: &World,
    at: &str,
    s: &Standing,
    item: ItemId,
    jars: Option<(JarId, u32)>,
) -> Option<f64> {
    let path = under(at, "how much");
    let density = w.items.densities[item.at()];
    let holds = jars.map(|(size, n)| f64::from(n) * w.rooms.jars[size.at()].plan.working_l * density);
    let Some(q) = &s.how_much else {
        if holds.is_none() && s.jars.is_none() {
            let help = "write such as `how much: 1.5 gal`, or count full jars: `jars: 3 half gallon`";
            c.missing(at, &["how much", "jars"], "the amount", help);
        }
        return holds;
    };
    let kg = c.take(&path, read_amount(q.as_str()))?.kg(density);
    if kg <= 0.0 || kg > MOST_KG {
        c.error(
            &path,
            format!("`{}` is out of reason here", q.as_str()),
            "write what stands there, up to 5000 kg",
        );
        return None;
    }
    // To the brim is more than the family's fill.
    if let (Some((size, n)), Some(holds)) = (jars, holds)
        && kg > 1.15 * holds
    {
        let jar = &w.rooms.jars[size.at()].name;
        c.error(
            &path,
            format!("`{}` does not go into {n} {jar} jars", q.as_str()),
            "count the jars or the amount again",
        );
        return None;
    }
    Some(kg)
}

/// When it may be eaten, and the part of it that ageing still takes.
fn ready(
    c: &mut Ctx,
    w: &World,
    at: &str,
    s: &Standing,
    recipe: Option<&RecipePlan>,
    drawn: f64,
) -> (f64, f64) {
    let own = s.ready.as_ref().and_then(|t| c.date(at, t.get())).map(|d| w.run.day_of(d));
    let usual = recipe.map_or(drawn, |r| drawn + r.ready_hours / 24.0 + r.ageing_days);
    let ready = own.unwrap_or(usual);
    if own.is_some_and(|day| day < drawn.floor()) {
        c.error(at, "this would be ready before it was made", "check both dates");
    }
    if ready <= 0.0 {
        return (drawn, 0.0);
    }
    // Water goes evenly over the time in age (our default).
    let loss = recipe.map_or(0.0, |r| r.ageing_loss);
    (ready, loss * ready / (ready - drawn).max(ready))
}

/// The end of the last day on which it is good, days after the start of day 0.
fn good_until(c: &mut Ctx, w: &World, at: &str, s: &Standing) -> Option<f64> {
    let date = c.date(at, s.good_until.as_ref()?.get())?;
    let day = w.run.day_of(date) + 1.0;
    if day < 0.0 {
        c.warn(at, "this is past its time on the first day", "it is thrown out on the first morning");
    }
    Some(day.max(0.0))
}

/// Jars with the members, by size and day of the first week.
fn jars_away(c: &mut Ctx, w: &World, raw: &raw::Scenario) -> Vec<[u32; 7]> {
    let at = "herd shares.jars away";
    let mut all = vec![[0; 7]; w.rooms.jars.len()];
    let Some(own) = raw.herd_shares.as_ref() else { return all };
    let Some(n) = c.within(at, &own.jars_away, 0.0..=5_000.0, "a number of jars up to 5000") else {
        return all;
    };
    let n = n.round() as u32;
    let Some(share) = w.share else { return all };
    let Some(jars) = share.jars else {
        c.error(
            at,
            "members take no whole jars here",
            "write `whole jars:` with the size, or leave this out",
        );
        return all;
    };
    let size = &w.rooms.jars[usize::from(jars.size)];
    if n > size.plan.count {
        let message = format!("{n} {} jars are away, and {} are owned", size.name, size.plan.count);
        c.error(at, message, "count all that are owned under `jars`, those that are away among them");
        return all;
    }
    // They come back on the pick-up days, alike.
    let first = u32::from(calendar::weekday(w.run.first));
    let days: Vec<u32> = (0..7).filter(|d| share.weekdays >> ((first + d) % 7) & 1 == 1).collect();
    for (i, day) in days.iter().enumerate() {
        let (of, i) = (days.len() as u32, i as u32);
        all[usize::from(jars.size)][*day as usize] = n * (i + 1) / of - n * i / of;
    }
    all
}

fn owed(c: &mut Ctx, w: &World, raw: &raw::Scenario) -> f64 {
    let at = "herd shares.owed";
    let Some(q) = raw.herd_shares.as_ref().and_then(|own| own.owed.as_ref()) else { return 0.0 };
    let Some(amount) = c.take(at, read_amount(q.as_str())) else { return 0.0 };
    let kg = amount.kg(w.items.density(&[fixed::WHOLE]));
    let promise: f64 = w.share.map_or(0.0, |s| s.claims_kg.iter().sum());
    if w.share.is_some() && kg > 10.0 * promise {
        c.error(
            at,
            format!("`{}` is more than ten pick-ups", q.as_str()),
            "write what can be made good at one pick-up",
        );
        return 0.0;
    }
    let Some(jars) = w.share.and_then(|s| s.jars) else { return kg };
    // As a promise: a jar counts as what it is sold as.
    let size = &w.rooms.jars[usize::from(jars.size)];
    let n = match amount {
        Amount::Litres(litres) => litres / size.holds_l,
        Amount::Kilograms(kg) => kg / jars.kg,
    };
    let whole = n.round();
    if whole < 1.0 || (n - whole).abs() > 0.005 * whole {
        let message =
            format!("`{}` is {} {} jars, which is no whole number", q.as_str(), show::fixed(n, 2), size.name);
        c.error(at, message, "change what is owed or the jar, or leave `whole jars` out");
        return 0.0;
    }
    whole * jars.kg
}
