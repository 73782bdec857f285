//! A tiny house built by hand, for the tests of this floor.

use crate::scenario::plan::*;
use crate::scenario::{Names, Plan};

/// A wish for whole milk in the kitchen, 1 kg a week.
pub fn wish() -> WishPlan {
    WishPlan {
        items: vec![fixed::WHOLE],
        at_least_kg: 1.0,
        gladly_kg: 1.0,
        week_log_sd: 0.1,
        month_factor: [1.0; 12],
        from_day: 0,
        gladly_from_days: 7.0,
        bought_only: false,
    }
}

fn item() -> ItemPlan {
    ItemPlan {
        keeps: [1.0; PLACE_KINDS],
        sweet: true,
        turns_into: None,
        container: Container::Jar { largest_first: true },
        density: 1.03,
        places: vec![PlaceId(1)],
        byproduct: false,
        spoils_as: WasteCause::Soured,
    }
}

fn place(kind: PlaceKind, litres: f64, jar_part: f64) -> PlacePlan {
    PlacePlan {
        kind,
        store: u16::from(kind != PlaceKind::Counter),
        alike: None,
        litres,
        jar_part: vec![jar_part],
        other_food: [if kind == PlaceKind::Fridge { 0.5 } else { 0.0 }; 12],
        keep_rate: [1.0; 12],
        sweet_rate: [1.0; 12],
        rise_rate: [1.0; 12],
        takes: u64::MAX,
        freeze_kg_per_day: f64::INFINITY,
        chill: None,
    }
}

fn cow() -> AnimalPlan {
    let curve = CurvePlan { yield_kg: vec![10.0; 400], fat: vec![0.04; 400], protein: vec![0.033; 400] };
    AnimalPlan {
        species: Species::Cow,
        curves: vec![curve],
        level_log_sd: 0.1,
        level_repeat: 0.5,
        white_sd: 0.05,
        slow_sd: 0.05,
        slow_phi: 0.9,
        milkings: 2,
        morning_part: 0.55,
        morning_part_sd: 0.02,
        evening_fat_excess: 0.005,
        freshens_day: -10.0,
        freshens_sd: 0.0,
        interval: None,
        interval_sd: 0.0,
        dry_days: 60.0,
        longest_days: 365,
        colostrum_days: 4,
        once_a_day: [0.7, 0.75, 0.8],
        calf: None,
        milking_minutes: 10.0,
        course: CoursePlan::default(),
    }
}

/// Sixty days of one cow of about 10 kg a day, a person who drinks 9.5 kg of
/// it, and a fridge with room for ten jars of 2 L.
pub fn house() -> (Plan, Names) {
    let days = 60_u16;
    let plan = Plan {
        days: (0..days)
            .map(|d| DayInfo {
                weekday: (d % 7) as u8,
                month: (d / 31) as u8,
                day_of_year: d + 1,
                away: false,
            })
            .collect(),
        hours: Hours { morning: 6.0, kitchen: 9.0, pick_ups: 11.0, meals: 12.0, evening: 18.0 },
        animals: vec![cow()],
        hot: None,
        heat: None,
        fetches: vec![],
        household: HouseholdPlan {
            people: vec![PersonPlan {
                chance: 1.0,
                mean_kg: 9.5,
                spread: Spread::default(),
                weekdays: 0x7f,
                present: vec![],
            }],
            wishes: vec![],
            drinks: vec![fixed::SKIMMED, fixed::WHOLE],
            newest_first: false,
            frozen_milk: None,
            put_up_milk: None,
            thawed_part: 0.0,
            kitchen_minutes: [[60.0; 7]; 12],
            kept_back_days: 1.0,
            drink_from_day: u32::MAX,
            chore_minutes: 20.0,
            jar_minutes: 2.0,
            feeding_minutes: 5.0,
        },
        jars: vec![JarPlan { working_l: 2.0, count: 40, breaks: 0.0 }],
        places: vec![place(PlaceKind::Counter, f64::INFINITY, 0.0), place(PlaceKind::Fridge, 100.0, 0.05)],
        cold: ColdPlan::default(),
        items: vec![item(); fixed::COUNT],
        recipes: vec![],
        kitchen: crate::scenario::plan::KitchenPlan::default(),
        trade: TradePlan::default(),
        outlets: vec![OutletPlan {
            from_day: 0,
            until_day: u32::from(days) - 1,
            takes: vec![(fixed::WHOLE, 0.1)],
            cap_of: vec![0],
            most_kg: 0.1,
            young_kg: Vec::new(),
            by_itself: 0,
            first: false,
        }],
        rules: vec![],
        when_full: WhenFullPlan {
            tonight: vec![FullStep::Feed(fixed::WHOLE), FullStep::PourOut(fixed::WHOLE)],
            tomorrow: vec![],
        },
        keeping: KeepingPlan {
            life_days: 10.0,
            life_log_sd: 0.2,
            spell_rate: 0.0,
            spell_early_factor: 1.0,
            spell_early_days: 0,
            spell_days: 1.0,
            spell_foul: 0.0,
            foul_life_part: 0.3,
            spill: 0.0,
            spill_early: 0.0,
            sour_cap_kg: 10.0,
        },
        losses: LossPlan { strainer: 0.0, jar_kg: 0.0 },
        opening: OpeningPlan::default(),
        aims: vec![AimPlan { measure: AimMeasure::WastedPart, bound: Bound::AtMost(0.03), in_part: 0.95 }],
    };
    let names = Names {
        title: "A tiny house".into(),
        first_day: "2027-01-01".into(),
        animals: vec!["Clover".into()],
        people: vec!["thirsty#1".into()],
        jars: vec!["2 litre".into()],
        stores: vec!["kitchen fridge".into()],
        places: vec!["counter".into(), "kitchen fridge".into()],
        items: vec!["whole milk".into(); fixed::COUNT],
        outlets: vec!["pigs".into()],
        aims: vec!["waste below 3 % in 19 of 20 years".into()],
        ..Names::default()
    };
    (plan, names)
}
