//! Animals and milk fetched.

use crate::units::{Count, Duration, Mass, MilkAmount, Minutes, Part, Text as Q};

use super::{Entries, Now, Text, TextOr, layered};
use crate::units::{Temperature, TemperatureDifference};

layered! {
/// A milked animal. A breed preset is the same struct: whatever it holds can
/// be written here too, and then goes first.
pub struct Animal {
    /// Her name. Needed in a scenario.
    pub name: Option<Text>,
    /// So many equal ones, as if each were written: `3`. Default 1.
    #[serde(rename = "how many")]
    pub how_many: Option<Q<Count>>,
    /// Breed, by the name of its preset.
    pub breed: Option<Text>,
    /// `cow`, `goat` or `sheep`; the breed says it.
    pub species: Option<Text>,
    /// Number of the lactation that begins at `freshens`, 1 and up.
    pub lactation: Option<Q<Count>>,
    /// `grass only`, `some grain` or `full ration`.
    pub feed: Option<Text>,
    /// The feed on which `curve` (or `gives`) was measured.
    #[serde(rename = "curve fed on")]
    pub curve_fed_on: Option<Text>,
    /// Freshening, a date, perhaps `give or take 6 days`; may lie before `starts`.
    pub freshens: Option<Text>,
    /// `after 13 months give or take 3 weeks`, a date, or `never`.
    #[serde(rename = "freshens again")]
    pub freshens_again: Option<Text>,
    /// Bred cycle by cycle, instead of `freshens again`: `insemination`, `bull`,
    /// `buck`, `ram`, or the long form.
    pub bred: Option<TextOr<Breeding>>,
    /// `60 days before`, or `60 days before over 10 days`.
    #[serde(rename = "dry off")]
    pub dry_off: Option<Text>,
    /// `twice a day` or `once a day`.
    pub milked: Option<Text>,
    /// Days after freshening whose milk is kept from people: `4 days`.
    pub colostrum: Option<Q<Duration>>,
    /// Where it goes, in order: `young`, `animals fed`, `freezer`, `poured out`. Default
    /// `[young, poured out]`.
    #[serde(rename = "colostrum goes to")]
    pub colostrum_goes_to: Option<Vec<Text>>,
    /// Her calf, kid or lamb; absent: it is not on her.
    pub calf: Option<Calf>,
    /// What she gives: `4500 kg` a lactation, or `4 gal/day at the peak`.
    /// In a preset: the kilograms of a lactation of the second and later ones.
    pub gives: Option<Text>,
    /// How unsure her level is: `18 %`.
    #[serde(rename = "how sure")]
    pub how_sure: Option<Q<Part>>,
    /// Part of that which stays with her from one lactation to the next: `50 %`.
    #[serde(rename = "stays with her")]
    pub stays_with_her: Option<Q<Part>>,
    /// Mean fat of the milk: `4.9 %`.
    pub fat: Option<Q<Part>>,
    /// Mean true protein of the milk: `3.6 %`.
    pub protein: Option<Q<Part>>,
    /// Wood's curve in days and kg a day, second and later lactations.
    pub curve: Option<Curve>,
    /// Wood's curve of a first lactation.
    #[serde(rename = "first curve")]
    pub first_curve: Option<Curve>,
    /// A first lactation's milk as a part of a later one's: `85 %`
    /// (used where there is no `first curve`).
    #[serde(rename = "first gives")]
    pub first_gives: Option<Q<Part>>,
    /// Days of a usual lactation, over which `gives` counts: `305 days`.
    #[serde(rename = "lactation lasts")]
    pub lactation_lasts: Option<Q<Duration>>,
    /// How long she may be milked when she is not bred again: `640 days`.
    #[serde(rename = "milks on until")]
    pub milks_on_until: Option<Q<Duration>>,
    /// Fat over the lactation, percent.
    #[serde(rename = "fat over time")]
    pub fat_over_time: Option<Stage>,
    /// Protein over the lactation, percent.
    #[serde(rename = "protein over time")]
    pub protein_over_time: Option<Stage>,
    /// Evening fat minus morning fat at your own hours, points: `0.5 %`. A breed's figure is turned
    /// to your hours: none with milkings 12 hours apart.
    #[serde(rename = "evening fat excess")]
    pub evening_fat_excess: Option<Q<Part>>,
    /// Day-to-day spread of the morning's part: `4.4 %`.
    #[serde(rename = "morning part varies")]
    pub morning_part_varies: Option<Q<Part>>,
    /// Day noise.
    pub noise: Option<Noise>,
    /// What is left of the milk when milked once a day.
    #[serde(rename = "once a day gives")]
    pub once_a_day_gives: Option<OnceADay>,
    /// Minutes of hand milking per milking: `12 min`.
    #[serde(rename = "milking takes")]
    pub milking_takes: Option<Q<Minutes>>,
    /// Gestation: `280 days give or take 5.5 days`.
    pub gestation: Option<Q<Duration>>,
    /// Weight of the grown dam: `450 kg`; the calf's appetite follows it.
    pub weighs: Option<Q<Mass>>,
    /// Illness: `ordinary` (default), `careful`, `troubled`, `none`, or the long form.
    pub health: Option<TextOr<Health>>,
    /// First day on which she is here: bought in.
    pub comes: Option<Text>,
    /// First day on which she is gone: sold or lost.
    pub leaves: Option<Text>,
    /// How she stands in the night before the first day.
    pub now: Option<Now>,
    /// Days from one heat to the next: `21 days`.
    #[serde(rename = "heat cycle")]
    pub heat_cycle: Option<Q<Duration>>,
    /// When she comes into heat: `all the year` or `15 aug to 15 mar`.
    #[serde(rename = "breeding season")]
    pub breeding_season: Option<Text>,
    /// What pregnancy takes from the milk, as a part of the peak for each week
    /// from the 19th of 40 on: `0.9 %`.
    #[serde(rename = "pregnancy pulls")]
    pub pregnancy_pulls: Option<Q<Part>>,
    /// Milk lost to each point of the temperature-humidity index above 72: `0.7 %`.
    #[serde(rename = "loses in heat")]
    pub loses_in_heat: Option<Q<Part>>,
    /// Months that differ, beside heat: `{jan: 95 %, may: 106 %}`.
    #[serde(rename = "milk by month")]
    pub milk_by_month: Option<Entries<Text>>,
    /// Usual time from one freshening to the next: `13 months give or take 3 weeks`.
    pub interval: Option<Q<Duration>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// Breeding after each freshening. A breeding preset is the same struct.
pub struct Breeding {
    /// `insemination`, `bull`, `buck` or `ram`.
    pub how: Option<Text>,
    /// `60 days after freshening`, or a date (the same in later years).
    pub from: Option<Text>,
    /// Heats that are seen and used: `70 %`.
    #[serde(rename = "heats seen")]
    pub heats_seen: Option<Q<Part>>,
    /// Chance that she conceives at one: `55 %`.
    pub settles: Option<Q<Part>>,
    /// `8 tries`, or a date (the same in later years).
    pub until: Option<Text>,
    /// One that does not settle is tried again: `every year`, or `once` only. A
    /// breeding season comes round unless it is said; dates only if it is.
    pub again: Option<Text>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// Illness, as cases of clinical mastitis. A health preset is the same struct.
pub struct Health {
    /// A preset that fills what is not said here: `ordinary`, `careful`, `troubled`.
    pub like: Option<Text>,
    /// Cases in 100 first lactations of a cow, on 305 days: `8 %`.
    #[serde(rename = "first lactation")]
    pub first_lactation: Option<Q<Part>>,
    /// Cases in 100 later lactations of a cow: `29 %`.
    #[serde(rename = "later lactations")]
    pub later_lactations: Option<Q<Part>>,
    /// Cases in 100 lactations of a goat or ewe, on 305 days: `4 %`.
    #[serde(rename = "goats and sheep")]
    pub goats_and_sheep: Option<Q<Part>>,
    /// Milk lost on the day of onset: `20 %`.
    #[serde(rename = "milk lost at once")]
    pub milk_lost_at_once: Option<Q<Part>>,
    /// Days over which most of that comes back: `5 days`.
    #[serde(rename = "comes back over")]
    pub comes_back_over: Option<Q<Duration>>,
    /// Milk lost for the rest of the lactation: `3 %`.
    #[serde(rename = "stays down")]
    pub stays_down: Option<Q<Part>>,
    /// Spread of the losses from case to case: `50 %`.
    pub varies: Option<Q<Part>>,
    /// Cases that are treated with a medicine: `70 %`.
    pub treated: Option<Q<Part>>,
    /// How long: `2 days give or take 0.5 days`.
    pub treatment: Option<Q<Duration>>,
    /// Milk kept from people after the last treatment: `3 days give or take 1 day`.
    pub withdrawal: Option<Q<Duration>>,
    /// The same for goats and ewes, where the veterinarian sets it.
    #[serde(rename = "withdrawal in goats and sheep")]
    pub withdrawal_in_goats_and_sheep: Option<Q<Duration>>,
    /// Milk of an untreated case looks wrong for so long: `4 days`.
    #[serde(rename = "looks wrong for")]
    pub looks_wrong_for: Option<Q<Duration>>,
    /// Treated when dried off: milk is kept from people until so long after it: `36 days`.
    #[serde(rename = "dry treatment")]
    pub dry_treatment: Option<Q<Duration>>,
    /// And until so long after freshening: `4 days`.
    #[serde(rename = "after freshening")]
    pub after_freshening: Option<Q<Duration>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// The weather where the animals stand.
pub struct Weather {
    /// Mean temperature of months that are not named: `50 °F`.
    pub temperature: Option<Q<Temperature>>,
    /// Mean temperature by month: `{jul: 78 °F, aug: 77 °F}`.
    #[serde(rename = "by month")]
    pub by_month: Option<Entries<Q<Temperature>>>,
    /// How much days differ within a month (standard deviation): `6 °F`.
    pub swings: Option<Q<TemperatureDifference>>,
    /// Relative humidity of months that are not named: `65 %`.
    pub humidity: Option<Q<Part>>,
    /// Hot spells of a month, beside its usual days: `{jul: 2, aug: 1.5}`; none
    /// unless they are written.
    #[serde(rename = "hot spells")]
    pub hot_spells: Option<Entries<Text>>,
    /// How long one lasts on average: `4 days`.
    #[serde(rename = "a spell lasts")]
    pub a_spell_lasts: Option<Q<Duration>>,
    /// How much hotter its days are than usual ones: `9 °F`.
    #[serde(rename = "hotter by")]
    pub hotter_by: Option<Q<TemperatureDifference>>,
    /// Relative humidity by month: `{jul: 75 %}`.
    #[serde(rename = "humidity by month")]
    pub humidity_by_month: Option<Entries<Q<Part>>>,
}
}

layered! {
/// Wood's curve `a · t^b · e^(−c·t)`, t in days, kg a day; bare numbers.
pub struct Curve {
    /// Scale, kg a day.
    pub a: Option<Text>,
    /// Rise.
    pub b: Option<Text>,
    /// Decline, per day.
    pub c: Option<Text>,
}
}

layered! {
/// `base + early · e^(−fades · t) + climb · t`, percent of mass, t in days; bare numbers.
pub struct Stage {
    /// Base, percent.
    pub base: Option<Text>,
    /// What the first days add, percent.
    pub early: Option<Text>,
    /// How fast that fades, per day.
    pub fades: Option<Text>,
    /// Climb, percent a day.
    pub climb: Option<Text>,
}
}

layered! {
/// Day noise of the yield.
pub struct Noise {
    /// White part: `6.8 %`.
    pub white: Option<Q<Part>>,
    /// Slow part: `7 %`.
    pub slow: Option<Q<Part>>,
    /// Day-to-day autocorrelation of the slow part: `0.921`.
    #[serde(rename = "carries over")]
    pub carries_over: Option<Text>,
}
}

layered! {
/// Part of the milk that is left when milked once a day: `80 %`.
pub struct OnceADay {
    /// To day 100.
    pub early: Option<Q<Part>>,
    /// To day 200.
    pub middle: Option<Q<Part>>,
    /// After.
    pub late: Option<Q<Part>>,
}
}

layered! {
/// Calf, kid or lamb on the dam.
pub struct Calf {
    /// How many: twin kids are `2`. Default 1 for a cow, 2 for a goat or ewe.
    pub number: Option<Q<Count>>,
    /// First day on which it is gone (sold, weaned), if before those ages.
    pub gone: Option<Text>,
    /// Chance that it dies in its first eight weeks (each, where there are
    /// more): `5 %`. Default none.
    pub dies: Option<Q<Part>>,
    /// Day and night with the dam until this age: `3 weeks`.
    #[serde(rename = "full time until")]
    pub full_time_until: Option<Q<Duration>>,
    /// Shut in overnight until this age, and she is milked in the morning: `10 weeks`.
    #[serde(rename = "shut in overnight until")]
    pub shut_in_overnight_until: Option<Q<Duration>>,
    /// The other way round: shut in by day, and she is milked in the evening.
    #[serde(rename = "shut in by day until")]
    pub shut_in_by_day_until: Option<Q<Duration>>,
    /// Let in to her after milkings only, until this age: `16 weeks`.
    #[serde(rename = "let in after milkings until")]
    pub let_in_after_milkings_until: Option<Q<Duration>>,
    /// For how long it is shut in before her milking: `12 h`.
    #[serde(rename = "apart for")]
    pub apart_for: Option<Q<Duration>>,
    /// What each would drink a day in the first days: `5 L`.
    #[serde(rename = "drinks at first")]
    pub drinks_at_first: Option<Q<MilkAmount>>,
    /// What each would drink a day when grown into it: `10 L`.
    #[serde(rename = "drinks later")]
    pub drinks_later: Option<Q<MilkAmount>>,
    /// From which age: `8 weeks`.
    #[serde(rename = "from age")]
    pub from_age: Option<Q<Duration>>,
    /// Part of the milk that the dam holds back for it: `10 %`.
    #[serde(rename = "held back")]
    pub held_back: Option<Q<Part>>,
    /// Fat of the pail against the day's mean while it is on: `85 %`.
    #[serde(rename = "pail fat")]
    pub pail_fat: Option<Q<Part>>,
}
}

layered! {
/// Milk fetched from elsewhere.
pub struct Fetched {
    /// Its name. Needed.
    pub name: Option<Text>,
    /// A preset for its composition: `cow milk`, or the name of a breed.
    pub like: Option<Text>,
    /// `cow`, `goat` or `sheep`.
    pub species: Option<Text>,
    /// Fat: `3.9 %`.
    pub fat: Option<Q<Part>>,
    /// True protein: `3.2 %`.
    pub protein: Option<Q<Part>>,
    /// How much a fetch: `2 gal give or take 10 %`. Needed.
    pub amount: Option<Q<MilkAmount>>,
    /// Weekdays. Needed.
    pub days: Option<Vec<Text>>,
    /// How old on arrival: `1 day`.
    #[serde(rename = "age on arrival")]
    pub age_on_arrival: Option<Q<Duration>>,
    /// Chance that it does not come: `2 %`.
    pub fails: Option<Q<Part>>,
    /// First day.
    pub from: Option<Text>,
    /// Last day.
    pub until: Option<Text>,
    /// Minutes a fetch takes.
    pub takes: Option<Q<Minutes>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}
