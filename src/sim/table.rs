//! The table: drinking milk and wishes, oldest suitable first unless the family
//! reaches for the newest.

use super::larder::{CRUMB, Choice};
use super::outcome::{Fate, WantTally};
use super::trial::Trial;
use super::watch::Moment;
use crate::scenario::plan::{ItemId, ItemMask, PersonPlan, Plan, WishPlan, fixed};

/// A day counts as short when less than this part of a want is served (our default).
const SERVED: f64 = 0.99;

/// The jar that people pour from.
#[derive(Clone, Copy, Debug)]
pub(super) struct OpenJar {
    item: ItemId,
    kg: f64,
}

impl Trial<'_> {
    /// Meals: drinking milk first, then the wishes.
    pub(super) fn meals(&mut self, luck: &super::Luck, see: &mut impl FnMut(Moment, &Self)) {
        if self.info.away {
            return;
        }
        let wanted = self.drinking_wanted(luck);
        let served = if wanted > CRUMB { self.pour(wanted) } else { 0.0 };
        self.today.drink_wanted = wanted;
        self.today.drink_served = served;
        // Before the first milk there is nothing to miss, unless it is overdue.
        if self.milk_seen || self.day >= self.plan.household.drink_from_day {
            let weeks = self.weeks();
            tally(&mut self.wants[0], wanted, served, weeks, self.day);
            self.today.milk_short = wanted > CRUMB && served < SERVED * wanted;
            self.buy_for_table(None, wanted - served, Fate::Drunk);
        }
        see(Moment::Drunk, self);
        for w in 0..self.plan.household.wishes.len() {
            self.serve_wish(w);
            see(Moment::Wish(w), self);
        }
    }

    /// Draws how much of each wish this week wants.
    pub(super) fn begin_week(&mut self, luck: &super::Luck) {
        let week = self.week as usize;
        self.note_made();
        for (w, wish) in self.plan.household.wishes.iter().enumerate() {
            self.week_factor[w] = luck.factor(wish.week_log_sd, luck.wishes[w][week]);
        }
    }

    /// What the table asks of each wish a day from now on: changes with the
    /// week and the month alone.
    pub(super) fn set_table(&mut self) {
        let month = usize::from(self.info.month);
        let wishes = self.plan.household.wishes.iter().zip(&self.week_factor);
        for (asked, (wish, week)) in self.asked.iter_mut().zip(wishes) {
            let factor = wish.month_factor[month] * week / 7.0;
            let a_day = if wish.at_least_kg > 0.0 { wish.at_least_kg } else { wish.gladly_kg } / 7.0;
            *asked = Asked {
                wanted: wish.at_least_kg * factor,
                beyond: (wish.gladly_kg - wish.at_least_kg).max(0.0) * factor,
                stays_kg: wish.gladly_from_days * a_day,
            };
        }
    }

    const fn weeks(&self) -> Weeks {
        Weeks { dry: self.dry_today, first: self.first_spell }
    }

    /// What has been laid down when the first dry weeks begin.
    pub(super) fn note_laid_down(&mut self) {
        let h = &self.plan.household;
        let put_up = [h.frozen_milk, h.put_up_milk.filter(|i| Some(*i) != h.frozen_milk)];
        let frozen: f64 = put_up.into_iter().flatten().map(|i| self.larder.stock(i)).sum();
        self.wants[0].laid_down = self.larder.stock_mask(self.drunk) + frozen;
        for (t, wish) in self.wants[1..].iter_mut().zip(&self.plan.household.wishes) {
            t.laid_down = wish.items.iter().map(|&i| self.larder.stock(i)).sum();
        }
    }

    /// Closes a week's making.
    pub(super) fn note_made(&mut self) {
        let note = |t: &mut WantTally, made: f64| {
            t.made_weeks += u32::from(made > t.made + CRUMB);
            t.made = made;
        };
        if let Some(frozen) = self.plan.household.put_up_milk {
            note(&mut self.wants[0], self.made[frozen.at()]);
        }
        for (t, wish) in self.wants[1..].iter_mut().zip(&self.plan.household.wishes) {
            note(t, wish.items.iter().map(|i| self.made[i.at()]).sum());
        }
    }

    fn drinking_wanted(&self, luck: &super::Luck) -> f64 {
        let day = self.day as usize;
        let mut sum = 0.0;
        for &person in self.company.on(day) {
            let p = &self.plan.household.people[usize::from(person)];
            sum += if luck.steady {
                p.chance * p.mean_kg
            } else {
                drink(p, luck.drinking[usize::from(person)][day])
            };
        }
        sum
    }

    /// Pours drinking milk: the open jar first, then skimmed, then whole;
    /// frozen milk, thawed, only for the accepted part of the day's want.
    fn pour(&mut self, wanted: f64) -> f64 {
        let mut left = wanted;
        while left > CRUMB {
            let Some(mut jar) =
                self.open.filter(|j| self.larder.stock(j.item) > CRUMB).or_else(|| self.open_next())
            else {
                break;
            };
            let (got, foul) = self.at_table(jar.item, left.min(jar.kg), Fate::Drunk);
            left -= got;
            jar.kg -= got;
            self.open = (got > CRUMB && jar.kg > CRUMB).then_some(jar);
            if got <= CRUMB && foul <= CRUMB {
                break;
            }
        }
        if left > CRUMB
            && let Some(frozen) = self.plan.household.frozen_milk
        {
            let most = left.min(wanted * self.plan.household.thawed_part);
            left -= self.at_table(frozen, most, Fate::Drunk).0;
        }
        wanted - left.max(0.0)
    }

    /// Whatever was open of an item is no longer there as it was.
    pub(super) fn close_jar(&mut self, item: ItemId) {
        self.open = self.open.filter(|jar| jar.item != item);
    }

    fn open_next(&self) -> Option<OpenJar> {
        let kg = self.plan.jars.first().map_or(f64::INFINITY, |j| j.working_l * 1.03);
        self.plan
            .household
            .drinks
            .iter()
            .filter(|&&i| Some(i) != self.plan.household.frozen_milk)
            .find(|&&i| self.larder.stock(i) > CRUMB)
            .map(|&item| OpenJar { item, kg })
    }

    fn serve_wish(&mut self, w: usize) {
        let wish = &self.plan.household.wishes[w];
        let Asked { wanted, beyond, stays_kg } = self.asked[w];
        let mut gladly = 0.0;
        if beyond > CRUMB {
            let stock: f64 = wish.items.iter().map(|&i| self.larder.stock_ready(i)).sum();
            gladly = (stock - wanted - stays_kg).clamp(0.0, beyond);
        }
        let got = self.eat(wish, wanted + gladly);
        self.today.wishes_served += got;
        if self.day >= wish.from_day {
            let served = got.min(wanted);
            // What is only ever bought is no shortfall of the own supply.
            if !wish.bought_only {
                let weeks = self.weeks();
                tally(&mut self.wants[w + 1], wanted, served, weeks, self.day);
            }
            self.wants[w + 1].extra += got - served;
            self.buy_for_table(Some(w as u16), wanted - served, Fate::Eaten);
        }
    }

    #[inline(always)]
    fn eat(&mut self, wish: &WishPlan, kg: f64) -> f64 {
        let mut left = kg;
        for &item in &wish.items {
            if left <= CRUMB {
                break;
            }
            if self.larder.stock(item) <= 0.0 {
                continue;
            }
            // Asked again while something comes: what stays in an emptied jar
            // was not eaten.
            while left > CRUMB {
                let (food, _) = self.at_table(item, left, Fate::Eaten);
                left -= food;
                if food <= CRUMB {
                    break;
                }
            }
        }
        kg - left.max(0.0)
    }

    /// Drinking milk kept back before any rule may take milk, kg.
    pub(super) fn reserve(&self) -> f64 {
        self.plan.household.kept_back_days * self.drink_a_day()
    }

    /// Mean drinking of a day about now, guests with it, kg.
    pub(super) fn drink_a_day(&self) -> f64 {
        self.drink_by_day[self.day as usize]
    }

    /// Drinking milk in store, thawed and what is set aside for members not
    /// counted, kg.
    pub(super) fn drinking_stock(&self) -> f64 {
        let aside = if self.is_drunk(fixed::WHOLE) { self.aside() } else { 0.0 };
        self.larder.stock_mask(self.drunk) - aside
    }

    /// Drinking milk beyond what is kept for the next day, kg.
    pub(super) fn spare_drinking(&self) -> f64 {
        (self.drinking_stock() - self.reserve()).max(0.0)
    }

    /// Stock of an item that is neither set aside for members nor kept for the
    /// next day's drinking, kg.
    pub(super) fn free(&self, item: ItemId) -> f64 {
        let free = self.larder.stock(item) - self.aside_of(item);
        if self.is_drunk(item) { free.min(self.spare_drinking()) } else { free }
    }

    /// An item that is drunk as milk, so that rules leave tomorrow's of it.
    pub(super) fn is_drunk(&self, item: ItemId) -> bool {
        self.drunk >> item.0 & 1 == 1
    }

    /// Serves the table out of the jar that the family reaches for first:
    /// kg served, and kg found foul on the way.
    #[inline(always)]
    fn at_table(&mut self, item: ItemId, kg: f64, fate: Fate) -> (f64, f64) {
        let newest = self.plan.household.newest_first;
        if !newest && let Some(food) = self.larder.sip(item, kg, Choice::READY) {
            self.ledger.went(fate, food);
            return (food.mass, 0.0);
        }
        let (food, foul) = self.larder.serve(item, kg, Choice { newest, ..Choice::READY });
        self.found_foul(foul);
        self.ledger.went(fate, food);
        (food.mass, foul.mass)
    }
}

/// What the table asks of a wish a day, kg.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Asked {
    wanted: f64,
    /// Gladly more than that, if there is plenty.
    beyond: f64,
    /// What stays in store before anybody eats more.
    stays_kg: f64,
}

/// Who drinks on each day, as far as the calendar knows.
#[derive(Debug)]
pub(super) struct Company {
    people: Vec<u16>,
    /// Where each day begins in `people`, and one past the last.
    from: Vec<usize>,
}

impl Company {
    pub(super) fn new(plan: &Plan) -> Self {
        let (mut people, mut from) = (Vec::new(), vec![0]);
        for (day, info) in plan.days.iter().enumerate() {
            let here = |p: &PersonPlan| p.weekdays >> info.weekday & 1 == 1 && is_present(p, day);
            let all = plan.household.people.iter().zip(0_u16..);
            people.extend(all.filter(|(p, _)| here(p)).map(|(_, i)| i));
            from.push(people.len());
        }
        Self { people, from }
    }

    #[inline]
    fn on(&self, day: usize) -> &[u16] {
        &self.people[self.from[day]..self.from[day + 1]]
    }
}

/// What is drunk as milk, frozen milk left out.
pub(super) fn drunk(plan: &Plan) -> ItemMask {
    let frozen = plan.household.frozen_milk;
    plan.household.drinks.iter().filter(|&&i| Some(i) != frozen).fold(0, |all, i| all | 1 << i.0)
}

fn is_present(p: &PersonPlan, day: usize) -> bool {
    p.present.get(day).copied().unwrap_or(p.present.is_empty())
}

/// The amount of one day from one uniform, by monotone inversion: nothing on
/// the lowest part of days, then the spread of a drinking day.
#[inline]
fn drink(p: &PersonPlan, u: f64) -> f64 {
    let above = 1.0 - u;
    if above > p.chance {
        return 0.0;
    }
    p.mean_kg * p.spread.passed_on(above / p.chance)
}

/// Whether a day lies in dry weeks, and in the first ones.
#[derive(Clone, Copy, Debug, Default)]
struct Weeks {
    dry: bool,
    first: bool,
}

fn tally(t: &mut WantTally, wanted: f64, served: f64, weeks: Weeks, day: u32) {
    if wanted <= 0.0 {
        return;
    }
    t.wanted += wanted;
    t.served += served;
    t.days += 1;
    if weeks.dry {
        t.dry_wanted += wanted;
        t.dry_served += served;
    }
    if weeks.first {
        t.spell_wanted += wanted;
        t.spell_served += served;
    }
    if served < SERVED * wanted {
        t.short_days += 1;
        t.gap += 1;
        t.longest_gap = t.longest_gap.max(t.gap);
        t.first_short.get_or_insert(day);
    } else {
        t.gap = 0;
    }
}

/// Mean drinking a day, kg, of those who are there on a day or the next (a
/// guest who comes tomorrow is kept milk for today).
pub(super) fn mean_drinking(people: &[PersonPlan], day: usize) -> f64 {
    people
        .iter()
        .filter(|p| is_present(p, day) || is_present(p, day + 1))
        .map(|p| p.chance * p.mean_kg * f64::from((p.weekdays & 0x7f).count_ones()) / 7.0)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::plan::Spread;

    fn person() -> PersonPlan {
        PersonPlan {
            chance: 0.8,
            mean_kg: 0.5,
            spread: Spread::gamma(0.6),
            weekdays: 0x7f,
            present: Vec::new(),
        }
    }

    #[test]
    fn inversion_is_monotone_and_keeps_the_mean() {
        let p = person();
        let n = 100_000;
        let (mut sum, mut last) = (0.0, 0.0);
        for i in 0..n {
            let x = drink(&p, (f64::from(i) + 0.5) / f64::from(n));
            assert!(x >= last - 1e-15);
            last = x;
            sum += x;
        }
        assert!((sum / f64::from(n) - 0.8 * 0.5).abs() < 1e-5);
    }

    #[test]
    fn a_run_of_short_days_is_the_longest_gap() {
        let mut t = WantTally::default();
        for (day, served) in [1.0, 0.0, 0.5, 1.0, 0.98, 0.995].into_iter().enumerate() {
            tally(&mut t, 1.0, served, Weeks::default(), day as u32);
        }
        assert_eq!((t.days, t.short_days, t.longest_gap, t.first_short), (6, 3, 2, Some(1)));
    }
}
