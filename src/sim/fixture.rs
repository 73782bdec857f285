//! Plans built by hand for the tests of this floor.

use crate::dairy::Species;
use crate::dairy::balance::Share;
use crate::dairy::matter::Matter;
use crate::scenario::Names;
use crate::scenario::plan::*;

/// A day of 10 kg of 4 % milk, milked twice, for `days` days from a Monday 1
/// January; one cold place for `jars` jars of 1.8 L; no people, no chance.
pub(super) fn plain(days: usize, jars: u32) -> Plan {
    let kinds = |counter, fridge, freezer, ageing, pantry| [counter, fridge, freezer, ageing, pantry];
    let item = |keeps: [f64; 5], container, places: &[u8]| ItemPlan {
        keeps,
        sweet: false,
        turns_into: None,
        container,
        density: 1.03,
        places: places.iter().map(|&p| PlaceId(p)).collect(),
        byproduct: false,
        spoils_as: WasteCause::Expired,
    };
    let milk_jar = Container::Jar { largest_first: true };
    let cream_jar = Container::Jar { largest_first: false };
    let sweet = |into| ItemPlan {
        sweet: true,
        turns_into: Some(into),
        spoils_as: WasteCause::Soured,
        ..item([0.0; 5], milk_jar, &[1])
    };
    let cream = || ItemPlan { container: cream_jar, ..sweet(fixed::SOURED_CREAM) };
    let sour = |container| ItemPlan {
        spoils_as: WasteCause::Soured,
        ..item(kinds(2.0, 7.0, 0.0, 0.0, 2.0), container, &[1])
    };
    let bucket =
        || ItemPlan { byproduct: true, ..item(kinds(2.0, 0.0, 0.0, 0.0, 2.0), Container::Bucket, &[]) };
    let items = vec![
        sweet(fixed::SOUR_MILK),
        sweet(fixed::SOUR_MILK),
        cream(),
        cream(),
        cream(),
        sour(milk_jar),
        sour(cream_jar),
        bucket(),
        bucket(),
        ItemPlan { byproduct: true, ..item(kinds(1.0, 10.0, 0.0, 0.0, 1.0), cream_jar, &[1]) },
        // 10: butter, 11: hard cheese
        item(kinds(2.0, 30.0, 225.0, 30.0, 5.0), Container::Volume { litres_per_kg: 1.1 }, &[1]),
        item(kinds(5.0, 180.0, 180.0, 365.0, 20.0), Container::Volume { litres_per_kg: 1.5 }, &[2]),
    ];
    let place = |kind, litres: f64, jar_part: f64| PlacePlan {
        kind,
        store: 0,
        alike: None,
        litres,
        jar_part: vec![jar_part],
        other_food: [0.0; 12],
        keep_rate: [1.0; 12],
        sweet_rate: [if kind == PlaceKind::Counter { 6.0 } else { 1.0 }; 12],
        rise_rate: [1.0; 12],
        takes: u64::MAX,
        freeze_kg_per_day: f64::INFINITY,
        chill: None,
    };
    Plan {
        days: (0..days)
            .map(|d| DayInfo {
                weekday: (d % 7) as u8,
                month: ((d / 30) % 12) as u8,
                day_of_year: (d % 365 + 1) as u16,
                away: false,
            })
            .collect(),
        hours: Hours { morning: 6.0, kitchen: 9.0, pick_ups: 11.0, meals: 12.0, evening: 18.0 },
        animals: vec![cow(10.0, days)],
        hot: None,
        heat: None,
        fetches: Vec::new(),
        household: HouseholdPlan {
            people: Vec::new(),
            wishes: Vec::new(),
            drinks: vec![fixed::SKIMMED, fixed::WHOLE],
            newest_first: false,
            frozen_milk: None,
            put_up_milk: None,
            thawed_part: 0.0,
            kitchen_minutes: [[600.0; 7]; 12],
            kept_back_days: 0.0,
            drink_from_day: u32::MAX,
            chore_minutes: 25.0,
            jar_minutes: 2.0,
            feeding_minutes: 5.0,
        },
        jars: vec![JarPlan { working_l: 1.8, count: 200, breaks: 0.0 }],
        places: vec![
            place(PlaceKind::Counter, f64::INFINITY, 0.0),
            place(PlaceKind::Fridge, 200.0, 1.0 / f64::from(jars)),
            place(PlaceKind::Ageing, 60.0, f64::INFINITY),
        ],
        cold: ColdPlan::default(),
        items,
        recipes: Vec::new(),
        kitchen: KitchenPlan::default(),
        outlets: Vec::new(),
        trade: TradePlan::default(),
        rules: Vec::new(),
        when_full: WhenFullPlan::default(),
        keeping: KeepingPlan {
            life_days: 8.5,
            life_log_sd: 0.0,
            spell_rate: 0.0,
            spell_early_factor: 1.0,
            spell_early_days: 0,
            spell_days: 3.0,
            spell_foul: 0.0,
            foul_life_part: 0.3,
            spill: 0.0,
            spill_early: 0.0,
            sour_cap_kg: 1e9,
        },
        losses: LossPlan { strainer: 0.0, jar_kg: 0.0 },
        opening: OpeningPlan::default(),
        aims: Vec::new(),
    }
}

/// A cow that gives `kg` a day for ever, without noise.
pub(super) fn cow(kg: f64, days: usize) -> AnimalPlan {
    let n = days + 400;
    AnimalPlan {
        species: Species::Cow,
        curves: vec![CurvePlan { yield_kg: vec![kg; n], fat: vec![0.04; n], protein: vec![0.033; n] }],
        level_log_sd: 0.0,
        level_repeat: 0.5,
        white_sd: 0.0,
        slow_sd: 0.0,
        slow_phi: 0.9,
        milkings: 2,
        morning_part: 0.5,
        morning_part_sd: 0.0,
        evening_fat_excess: 0.0,
        freshens_day: 0.0,
        freshens_sd: 0.0,
        interval: None,
        interval_sd: 0.0,
        dry_days: 60.0,
        longest_days: u16::MAX,
        colostrum_days: 0,
        once_a_day: [0.8; 3],
        calf: None,
        milking_minutes: 12.0,
        course: CoursePlan::default(),
    }
}

/// A calf on full time and then shut in overnight until these ages, that drinks
/// the same every day; nothing is held back for it.
pub(super) fn calf_on(full_time_until: u16, shut_in_until: u16, kg: f64) -> CalfPlan {
    CalfPlan {
        number: 1,
        dies: 0.0,
        full_time_until,
        shut_in_until,
        apart: Apart::Night,
        let_in_until: 0,
        apart_part: 0.5,
        appetite_start_kg: kg,
        appetite_full_kg: kg,
        appetite_full_day: 20,
        held_back: 0.0,
        pail_fat_factor: 1.0,
    }
}

/// A person who drinks `kg` every day.
pub(super) fn drinker(kg: f64) -> PersonPlan {
    PersonPlan { chance: 1.0, mean_kg: kg, spread: Spread::default(), weekdays: 0x7f, present: Vec::new() }
}

/// A wish for an item, kg a week.
pub(super) fn wish(item: u8, kg: f64) -> WishPlan {
    WishPlan {
        items: vec![ItemId(item)],
        at_least_kg: kg,
        gladly_kg: kg,
        week_log_sd: 0.0,
        month_factor: [1.0; 12],
        from_day: 0,
        gladly_from_days: 7.0,
        bought_only: false,
    }
}

/// A rule without conditions.
pub(super) fn rule(action: Action) -> RulePlan {
    RulePlan {
        action,
        weekdays: 0x7f,
        when: Vec::new(),
        per_week: None,
        per_day: None,
        every_days: None,
        keep_back_kg: 0.0,
        keep_back_of: 0,
        behind: 0,
    }
}

/// Butter from cream: 99 % of the fat, 81.5 % fat; the rest is buttermilk.
pub(super) fn butter() -> RecipePlan {
    RecipePlan {
        inputs: vec![InputPlan {
            items: vec![fixed::TOP_CREAM, fixed::MIDDLE_CREAM, fixed::THIN_CREAM],
            per_kg: 1.0,
            newest_to_days: f64::INFINITY,
            fat_at_least: 0.0,
            blend: None,
        }],
        least_kg: 0.5,
        most_kg: 20.0,
        minutes: 30.0,
        minutes_per_kg: 0.0,
        ready_hours: 1.0,
        ripens_hours: None,
        ageing_days: 0.0,
        ageing_loss: 0.0,
        added_per_kg: Matter::NONE,
        steam: 0.0,
        film: 0.0,
        left_kg: 0.0,
        fails: 0.0,
        fails_when_foul: 0.0,
        heated: false,
        uses: Vec::new(),
        home_hours: 0.0,
        starter: None,
        outputs: vec![
            OutputPlan {
                item: ItemId(10),
                share: Share::ByFat { fat_kept: 0.99, protein_kept: 0.02, fat_part: 0.815 },
            },
            OutputPlan { item: fixed::BUTTERMILK, share: Share::Rest },
        ],
    }
}

/// Hard cheese from whole milk no older than two days, aged 60 days.
pub(super) fn cheese() -> RecipePlan {
    RecipePlan {
        inputs: vec![InputPlan {
            items: vec![fixed::WHOLE],
            per_kg: 1.0,
            newest_to_days: 2.0,
            fat_at_least: 0.0,
            blend: None,
        }],
        least_kg: 8.0,
        most_kg: 16.0,
        minutes: 100.0,
        minutes_per_kg: 0.0,
        ready_hours: 24.0,
        ripens_hours: None,
        ageing_days: 60.0,
        ageing_loss: 0.05,
        added_per_kg: Matter { mass: 0.002, ..Matter::NONE },
        steam: 0.0,
        film: 0.002,
        left_kg: 0.0,
        fails: 0.0,
        fails_when_foul: 0.0,
        heated: false,
        uses: Vec::new(),
        home_hours: 0.0,
        starter: None,
        outputs: vec![
            OutputPlan {
                item: ItemId(11),
                share: Share::ByWater {
                    fat_kept: 0.88,
                    protein_kept: 0.74,
                    solids_factor: 1.09,
                    water: 0.38,
                },
            },
            OutputPlan { item: fixed::WHEY, share: Share::Rest },
        ],
    }
}

/// Pigs that take milk, skimmed milk, sour milk, buttermilk and whey.
pub(super) fn pigs(kg: f64) -> OutletPlan {
    OutletPlan {
        from_day: 0,
        until_day: u32::MAX,
        takes: [fixed::WHEY, fixed::BUTTERMILK, fixed::SOUR_MILK, fixed::SKIMMED, fixed::WHOLE]
            .map(|i| (i, kg))
            .to_vec(),
        cap_of: (0..5).collect(),
        most_kg: kg,
        young_kg: Vec::new(),
        by_itself: 1 << fixed::WHEY.0 | 1 << fixed::BUTTERMILK.0 | 1 << fixed::SOUR_MILK.0,
        first: false,
    }
}

/// Names enough for the luck.
pub(super) fn names() -> Names {
    Names { animals: vec!["Clover".into()], ..Names::default() }
}

/// Members who come on Mondays, take what is poured for them and pay nothing.
pub(super) fn members(claims: &[f64], rule: SplitRule) -> SharePlan {
    SharePlan {
        claims_kg: claims.to_vec(),
        named: true,
        weekdays: 0b1,
        from_day: 0,
        until_day: u32::MAX,
        rule,
        jars: None,
        dry_weeks_count: true,
        not_fetched: 0.0,
        pour_out: false,
        minutes: 0.0,
        fee: 0.0,
        fee_when_dry: true,
    }
}
