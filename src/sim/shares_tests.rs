//! Flow tables of shares, gifts, sales and purchases, worked by hand.

use super::fixture::*;
use super::outcome::{DayMeasure, Fate, Outcome, Source};
use super::tests::{mass, near, run};
use crate::scenario::plan::*;

/// What a jar of the fixture holds, kg.
const JAR: f64 = 1.8 * 1.03;
/// Wednesdays.
const WED: u8 = 1 << 2;

/// Members who come on Wednesdays (days 2, 9, 16, …) from a day on.
fn share(claims: &[f64], rule: SplitRule, from_day: u32) -> SharePlan {
    SharePlan { weekdays: WED, from_day, ..members(claims, rule) }
}

/// Three days of 10 kg: by 11 o'clock of day 2 there are 25 kg, and the
/// members come with claims of 5, 10 and 15.
fn short_pick_up(rule: SplitRule) -> Outcome {
    let mut plan = plain(3, 200);
    plan.trade.share = Some(share(&[5.0, 10.0, 15.0], rule, 0));
    run(&plan, None).0
}

fn kept(out: &Outcome) -> Vec<f64> {
    out.traded.shares.iter().map(|s| s.kept).collect()
}

#[track_caller]
fn all_near(got: &[f64], want: &[f64]) {
    assert_eq!(got.len(), want.len());
    got.iter().zip(want).for_each(|(g, w)| near(*g, *w));
}

#[test]
fn every_rule_on_a_short_pick_up() {
    // 25 of 30. Nobody drinks here, so the family claims nothing. Contested
    // garment: half of all claims is 15, so each gets half its claim and equal
    // losses on 2.5, 5, 7.5 with 10 left to give and 5 wanting: 5/3 from each.
    for (rule, want) in [
        (SplitRule::InProportion, [25.0 / 6.0, 50.0 / 6.0, 12.5]),
        (SplitRule::EqualAwards, [5.0, 10.0, 10.0]),
        (SplitRule::EqualLosses, [10.0 / 3.0, 25.0 / 3.0, 40.0 / 3.0]),
        (SplitRule::ContestedGarment, [10.0 / 3.0, 25.0 / 3.0, 40.0 / 3.0]),
        (SplitRule::FamilyFirst, [25.0 / 6.0, 50.0 / 6.0, 12.5]),
        (SplitRule::MembersFirst, [25.0 / 6.0, 50.0 / 6.0, 12.5]),
        (SplitRule::InTurns, [5.0, 10.0, 10.0]),
    ] {
        let out = short_pick_up(rule);
        all_near(&kept(&out), &want);
        near(mass(&out, Fate::SharedOut), 25.0);
        // The evening's milk is left.
        near(mass(&out, Fate::InStore), 5.0);
        assert_eq!((out.traded.pick_ups, out.traded.short_pick_ups), (1, 1), "{rule:?}");
    }
}

#[test]
fn turns_go_round_at_every_short_pick_up() {
    // A pick-up of 60 a week against 70 drawn; sour after 8.5 days, so nothing
    // is ever over for long. With claims of 40 each: 80 asked, 70 at most there.
    let mut plan = plain(24, 400);
    plan.trade.share = Some(share(&[40.0, 40.0], SplitRule::InTurns, 9));
    let (out, _) = run(&plan, None);
    // Day 9, 11 o'clock: milk of days 1 to 9 is sweet (that of day 0 was 8.5
    // days old on the evening of day 8 and this morning): drawn from the
    // morning of day 1 on, 17 milkings of 5 kg = 85. No one goes short; what is
    // left is the oldest and soon sour. Days 16 and 23: a week's 70 each, so 40
    // and 30, and a week later 30 and 40.
    assert_eq!((out.traded.pick_ups, out.traded.short_pick_ups), (3, 2));
    all_near(&kept(&out), &[110.0, 110.0]);
    near(out.traded.shares[0].worst_loss, 0.25);
}

/// Twelve kg drunk a day by a family that keeps a day's drinking back.
fn with_family(rule: SplitRule) -> Outcome {
    let mut plan = plain(3, 200);
    plan.household.people = vec![drinker(6.0)];
    plan.household.kept_back_days = 1.0;
    plan.trade.share = Some(share(&[10.0, 10.0], rule, 0));
    run(&plan, None).0
}

#[test]
fn family_first_gives_the_family_what_the_members_lose() {
    // Day 0: 5 of 6 drunk. Day 1: 5 + 5 there, 6 drunk, 4 + 5 left. Day 2: 14
    // there at eleven; the members claim 20, the family 6.
    let (family, members) = (with_family(SplitRule::FamilyFirst), with_family(SplitRule::MembersFirst));
    all_near(&kept(&family), &[4.0, 4.0]);
    all_near(&kept(&members), &[7.0, 7.0]);
    near(family.wants[0].served, 5.0 + 6.0 + 6.0);
    near(members.wants[0].served, 5.0 + 6.0);
    // What one side gains the other loses, to the gram.
    near(
        mass(&members, Fate::SharedOut) - mass(&family, Fate::SharedOut),
        mass(&family, Fate::Drunk) - mass(&members, Fate::Drunk),
    );
    // In proportion the family is one claimant of three: 14 of 26.
    let even = with_family(SplitRule::InProportion);
    all_near(&kept(&even), &[140.0 / 26.0; 2]);
    near(even.wants[0].served, 11.0 + 6.0 * 14.0 / 26.0);
}

#[test]
fn whole_jars_leave_and_come_back_in_a_week() {
    // Three members with two jars each; 25 kg are 13 full jars and a rest: no
    // one goes short, and six jars are away for a week.
    let mut plan = plain(3, 200);
    let six = ShareJars { size: 0, kg: JAR };
    plan.trade.share =
        Some(SharePlan { jars: Some(six), ..share(&[2.0 * JAR; 3], SplitRule::InProportion, 0) });
    let (out, _) = run(&plan, None);
    all_near(&kept(&out), &[2.0 * JAR; 3]);
    // Five jars each are asked for and 13 are there. Quotas of 13/3: four
    // each and the odd one to the first.
    plan.trade.share =
        Some(SharePlan { jars: Some(six), ..share(&[5.0 * JAR; 3], SplitRule::InProportion, 0) });
    let (out, _) = run(&plan, None);
    all_near(&kept(&out), &[5.0 * JAR, 4.0 * JAR, 4.0 * JAR]);
    near(mass(&out, Fate::SharedOut), 13.0 * JAR);
    // Over many weeks no jar is lost: each day's close asserts it, and with
    // jars for two weeks nothing stands without one.
    let mut plan = plain(60, 200);
    plan.animals = vec![cow(4.0, 60)];
    plan.jars[0].count = 60;
    plan.trade.share =
        Some(SharePlan { jars: Some(six), ..share(&[4.0 * JAR; 3], SplitRule::InProportion, 9) });
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::WastedNoJar), 0.0);
    near(mass(&out, Fate::SharedOut), 12.0 * JAR * 8.0);
    // With little more than the members hold, milk finds no jar.
    plan.jars[0].count = 14;
    let (out, _) = run(&plan, None);
    assert!(mass(&out, Fate::WastedNoJar) > 0.0);
}

#[test]
fn what_is_promised_is_out_of_reach_the_day_before() {
    // All milk would go into cheese at once; on Tuesday and Wednesday 12 kg are
    // set aside. Batches of 8 and more from milk of two days.
    let mut plan = plain(3, 200);
    plan.recipes = vec![cheese()];
    plan.rules = vec![rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY })];
    let (without, _) = run(&plan, None);
    // Day 0: 5. Day 1: 15 there, all taken. Day 2: 10 there, all taken.
    near(without.rules[0].kg, 25.0);
    plan.trade.share = Some(share(&[12.0], SplitRule::MembersFirst, 0));
    let (with, _) = run(&plan, None);
    // Day 1: 3 of 15 are free, too few. Day 2 at nine: 25 there, 13 free.
    near(with.rules[0].kg, 13.0);
    all_near(&kept(&with), &[12.0]);
    // The list for a full fridge leaves it alone too.
    let mut plan = plain(3, 6);
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    plan.trade.share = Some(share(&[12.0], SplitRule::MembersFirst, 0));
    let (out, _) = run(&plan, None);
    all_near(&kept(&out), &[12.0]);
}

#[test]
fn nobody_comes_and_the_milk_stays_or_is_poured_out() {
    let mut plan = plain(3, 200);
    let one = share(&[6.0], SplitRule::InProportion, 0);
    plan.trade.share = Some(SharePlan { not_fetched: 1.0, ..one.clone() });
    let (out, _) = run(&plan, Some(1));
    near(mass(&out, Fate::SharedOut), 0.0);
    near(mass(&out, Fate::WastedUnclaimed), 0.0);
    assert_eq!(out.traded.not_fetched, 1);
    // Who does not come was not let down.
    near(out.traded.shares[0].promised, 0.0);
    plan.trade.share = Some(SharePlan { not_fetched: 1.0, pour_out: true, ..one });
    let (out, _) = run(&plan, Some(1));
    near(mass(&out, Fate::WastedUnclaimed), 6.0);
    // In the average year everybody comes.
    near(mass(&run(&plan, None).0, Fate::SharedOut), 6.0);
}

#[test]
fn in_the_dry_weeks_the_promise_stands_or_rests() {
    let mut plan = plain(24, 200);
    plan.animals[0].longest_days = 10;
    plan.keeping.life_days = 5.0;
    let one = share(&[6.0], SplitRule::InProportion, 0);
    plan.trade.share = Some(SharePlan { fee: 2.0, ..one.clone() });
    // Wednesdays are days 2, 9, 16, 23; she is dry from day 10 on.
    let (out, _) = run(&plan, None);
    let s = out.traded.shares[0];
    near(s.promised, 24.0);
    near(s.kept, 12.0);
    near(s.worst_loss, 1.0);
    assert_eq!(out.traded.fee_days, 24);
    plan.trade.share = Some(SharePlan { dry_weeks_count: false, fee: 2.0, fee_when_dry: false, ..one });
    let (out, _) = run(&plan, None);
    let s = out.traded.shares[0];
    near(s.promised, 12.0);
    near(s.worst_loss, 0.0);
    assert_eq!(out.traded.fee_days, 10);
}

#[test]
fn only_what_is_over_is_sold_then_given_away() {
    // 10 kg a day, 4 drunk at noon and 4 kept back; 7 kg a week for sale, 14
    // for the neighbours.
    let mut plan = plain(14, 400);
    plan.household.people = vec![drinker(4.0)];
    plan.household.kept_back_days = 1.0;
    let out = |most_kg: f64| OutPlan {
        items: vec![fixed::WHOLE],
        most_kg,
        weekdays: 0x7f,
        from_day: 0,
        until_day: u32::MAX,
        keep_back_kg: 0.0,
        price: 0.0,
    };
    plan.trade.sold = vec![OutPlan { price: 2.0, ..out(7.0) }];
    plan.trade.given = vec![out(14.0)];
    let (got, _) = run(&plan, None);
    // Day 0: 5 there, 4 stay: 1 sold. Day 1: 5 + 5 there, 6 sold: the week's 7
    // are gone. Day 2: 0 + 10 there, 4 stay, 6 given; then 6 and 2.
    near(mass(&got, Fate::Sold), 14.0);
    near(mass(&got, Fate::GivenAway), 28.0);
    all_near(&got.traded.sold, &[14.0]);
    assert_eq!(got.wants[0].short_days, 0);
    // Within a week the amounts are held to.
    near(mass(&got, Fate::Drunk), 56.0);
}

#[test]
fn of_several_items_for_sale_tomorrows_drinking_is_kept_once() {
    // 10 kg a day, skimmed after a day; 2 are drunk at noon, 2 kept for tomorrow and 4 more
    // beside: at eleven 6 stay of both together, in the evening 6 - 2 + 5.
    let mut plan = plain(10, 400);
    plan.household.people = vec![drinker(2.0)];
    plan.household.kept_back_days = 1.0;
    let skim =
        Action::Skim { after_hours: 24.0, depth: SkimDepth::Leave(0.02), apart: false, minutes_per_jar: 0.0 };
    plan.rules = vec![rule(skim)];
    plan.trade.sold = vec![OutPlan {
        items: vec![fixed::SKIMMED, fixed::WHOLE],
        most_kg: f64::INFINITY,
        weekdays: 0x7f,
        from_day: 0,
        until_day: u32::MAX,
        keep_back_kg: 4.0,
        price: 1.0,
    }];
    let (got, log) = run(&plan, None);
    for day in 3..10 {
        let of = |m| f64::from(log.get(day, m));
        near(of(DayMeasure::WholeStock) + of(DayMeasure::SkimmedStock), 9.0);
    }
    assert!(mass(&got, Fate::Sold) > 40.0);
}

#[test]
fn what_is_bought_is_drunk_and_the_day_stays_short() {
    let mut plan = plain(20, 200);
    plan.household.people = vec![drinker(7.0)];
    plan.animals[0].longest_days = 10;
    let (without, _) = run(&plan, None);
    plan.trade.bought = vec![BuyPlan {
        wish: None,
        item: fixed::WHOLE,
        most_kg: 20.0,
        price: 1.5,
        fat: 0.0325,
        protein: 0.032,
    }];
    let (with, _) = run(&plan, None);
    // The own supply is as before, short days too.
    assert_eq!(with.wants[0], without.wants[0]);
    // 2 kg on day 0; 38 wanting on days 14 to 19 (Monday on): 20 that week.
    near(with.sources[Source::Bought as usize].mass, 22.0);
    near(mass(&with, Fate::Drunk), 100.0 + 22.0);
    near(with.traded.bought_for_table, 22.0);
    // None of it came out of a pail.
    near(with.fates[Fate::Drunk as usize].milk, 100.0);
}

#[test]
fn rules_hand_out_what_is_over_and_buy_for_the_store() {
    let mut plan = plain(10, 400);
    plan.trade.share = Some(share(&[6.0], SplitRule::InProportion, 0));
    plan.rules = vec![rule(Action::HandOut { item: fixed::WHOLE, most_kg: 8.0 })];
    let (out, _) = run(&plan, None);
    // Wednesdays, days 2 and 9: 6 promised and 8 more.
    near(mass(&out, Fate::SharedOut), 2.0 * 14.0);
    near(out.traded.shares[0].kept, 12.0);
    assert_eq!(out.rules[0].blocked[super::outcome::Blocked::Day as usize], 8);
    // Three kg a day are bought for the store, 14 a week at most.
    let mut plan = plain(7, 400);
    plan.trade.bought =
        vec![BuyPlan { wish: None, item: fixed::WHOLE, most_kg: 14.0, price: 1.0, fat: 0.03, protein: 0.03 }];
    plan.rules = vec![rule(Action::Buy { buy: 0, kg: 3.0 })];
    let (out, _) = run(&plan, None);
    near(out.sources[Source::Bought as usize].mass, 14.0);
    near(mass(&out, Fate::InStore), 70.0 + 14.0);
    assert_eq!(out.rules[0].fired, 5);
}

#[test]
fn what_is_handed_out_goes_home_in_jars() {
    // On Wednesday two jars each are promised and 8 kg more are handed out: 4.3 jars,
    // so five go; on Thursday seven more are away than where nobody takes jars.
    let mut plan = plain(4, 400);
    plan.rules = vec![rule(Action::HandOut { item: fixed::WHOLE, most_kg: 8.0 })];
    let mut used = |jars| {
        plan.trade.share = Some(SharePlan { jars, ..share(&[2.0 * JAR], SplitRule::InProportion, 0) });
        let (out, log) = run(&plan, None);
        near(mass(&out, Fate::SharedOut), 8.0 + 2.0 * JAR);
        log.get(3, super::outcome::DayMeasure::JarsUsed)
    };
    let lent = used(Some(ShareJars { size: 0, kg: JAR })) - used(None);
    near(lent.into(), 7.0);
}

#[test]
fn without_shares_nothing_changes_and_luck_moves_nothing_else() {
    let mut plan = plain(40, 30);
    plan.animals[0].white_sd = 0.1;
    plan.animals[0].level_log_sd = 0.15;
    plan.household.people = vec![drinker(3.0)];
    plan.keeping.life_log_sd = 0.25;
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    let (without, _) = run(&plan, Some(3));
    // A share that never meets a day is as good as none.
    plan.trade.share = Some(SharePlan { not_fetched: 0.3, ..share(&[6.0], SplitRule::InProportion, 1000) });
    let (never, _) = run(&plan, Some(3));
    assert_eq!(without.fates, never.fates);
    assert_eq!(without.wants, never.wants);
    // With shares the cow gives the same to the last bit.
    plan.trade.share = Some(SharePlan { not_fetched: 0.3, ..share(&[6.0], SplitRule::InProportion, 0) });
    let (with, _) = run(&plan, Some(3));
    assert_eq!(without.sources, with.sources);
    assert!(mass(&with, Fate::SharedOut) > 0.0);
}

#[test]
fn skimmed_milk_in_store_frees_no_milk_of_the_members() {
    // Skimmed on Tuesday morning: of 15 kg, 5 have rested and 12 are set aside, so
    // one jar (1.854 kg) goes. A vat that takes whole milk before skimmed then finds
    // what is left over the 12, and the skimmed milk.
    let mut plan = plain(3, 200);
    plan.household.people = vec![drinker(0.0)];
    plan.recipes = vec![cheese()];
    plan.recipes[0].inputs[0].items = vec![fixed::WHOLE, fixed::SKIMMED];
    plan.recipes[0].least_kg = 0.1;
    let skim =
        Action::Skim { after_hours: 24.0, depth: SkimDepth::Leave(0.03), apart: false, minutes_per_jar: 3.0 };
    let tuesday = Condition::Dates { from: 1, until: 1 };
    plan.rules = vec![
        RulePlan { when: vec![tuesday], ..rule(skim) },
        RulePlan {
            when: vec![tuesday],
            ..rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY })
        },
    ];
    plan.trade.share = Some(share(&[12.0], SplitRule::MembersFirst, 0));
    let (out, _) = run(&plan, None);
    near(out.rules[0].kg, JAR);
    // 3 kg were free, of which the skim took a jar; what it left of cream is not there.
    assert!(out.rules[1].kg < 3.0 && out.rules[1].kg > 3.0 - 0.1 * JAR, "{}", out.rules[1].kg);
    all_near(&kept(&out), &[12.0]);
}
