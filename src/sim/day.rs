//! A trial's days, each in its order.

use super::DayLog;
use super::luck::Luck;
use super::outcome::Outcome;
use super::trial::Trial;
use super::watch::Moment;

impl Trial<'_> {
    /// Runs a trial on its luck and leaves its days in `log`.
    pub fn run(&mut self, luck: &Luck, log: &mut DayLog) -> &Outcome {
        self.run_seen(luck, log, &mut |_, _| {})
    }

    /// The same, with somebody looking on after each moment.
    pub(super) fn run_seen(
        &mut self,
        luck: &Luck,
        log: &mut DayLog,
        see: &mut impl FnMut(Moment, &Self),
    ) -> &Outcome {
        self.begin(luck);
        for day in 0..self.plan.days.len() {
            self.morning(day, luck, see);
            self.routine(day, luck, see);
            self.table(day, luck, see);
            self.evening(day, luck, log, see);
        }
        self.end();
        &self.out
    }

    /// Dawn, the morning's milk, the young.
    fn morning(&mut self, day: usize, luck: &Luck, see: &mut impl FnMut(Moment, &Self)) {
        self.dawn(day, luck);
        see(Moment::Dawn, self);
        self.until(day, self.plan.hours.morning);
        see(Moment::Passed, self);
        self.milking(0, luck);
        see(Moment::Milked { evening: false }, self);
        self.make_room();
        see(Moment::Room, self);
        self.feed_young();
        see(Moment::Young, self);
    }

    /// The kitchen.
    fn routine(&mut self, day: usize, luck: &Luck, see: &mut impl FnMut(Moment, &Self)) {
        self.until(day, self.plan.hours.kitchen);
        see(Moment::Passed, self);
        self.kitchen(luck, see);
    }

    /// Milk that is fetched and handed out, and the meals.
    fn table(&mut self, day: usize, luck: &Luck, see: &mut impl FnMut(Moment, &Self)) {
        self.until(day, self.plan.hours.pick_ups);
        see(Moment::Passed, self);
        self.fetch(luck);
        self.feed_young();
        see(Moment::Fetched, self);
        self.pick_ups(luck);
        see(Moment::PickUps, self);
        self.hand_out_spare();
        see(Moment::Spare, self);
        self.until(day, self.plan.hours.meals);
        see(Moment::Passed, self);
        self.meals(luck, see);
        self.make_room();
        see(Moment::Room, self);
    }

    /// The evening's round and milk, and the night.
    fn evening(&mut self, day: usize, luck: &Luck, log: &mut DayLog, see: &mut impl FnMut(Moment, &Self)) {
        self.until(day, self.plan.hours.evening);
        see(Moment::Passed, self);
        self.evening_feed();
        see(Moment::Round, self);
        self.wash_up(luck);
        see(Moment::Washed, self);
        self.milking(1, luck);
        see(Moment::Milked { evening: true }, self);
        self.make_room();
        see(Moment::Room, self);
        self.plan_tomorrow();
        see(Moment::Tomorrow, self);
        self.count_unfed_young();
        self.pass(day as f64 + 1.0);
        self.close_day(day, log);
        see(Moment::Over, self);
    }

    /// Lets time pass until an hour of the day, and finds what has spoilt or
    /// become ready by then.
    fn until(&mut self, day: usize, hour: f64) {
        self.pass(day as f64 + hour / 24.0);
        if self.larder.something_is_due() {
            self.spoil();
        }
    }
}
