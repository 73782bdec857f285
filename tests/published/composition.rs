//! Fat, protein and lactose by stage and by milking.

use crate::{between, differs, near, source};
use springhouse::dairy::composition::{
    DANISH_RED, HOLSTEIN, JERSEY, MEASURED_MORNING_PART, Stage, Stages, evening_excess, split_by_milking,
};
use springhouse::dairy::lactation::Wood;

/// Means by window of days in three breeds (fat, protein, lactose, percent);
/// worked out from the milkings of Friggens, Ridder and Lovendahl 2007, Journal
/// of Dairy Science 90:5453-5467 (data set milkman).
const WINDOWS: [(f64, f64, [[f64; 3]; 3]); 10] = [
    (4.0, 7.0, [[5.63, 4.20, 4.63], [5.46, 4.03, 4.53], [5.14, 4.18, 4.68]]),
    (8.0, 14.0, [[5.77, 3.85, 4.72], [5.37, 3.59, 4.68], [5.15, 3.75, 4.83]]),
    (15.0, 28.0, [[5.72, 3.56, 4.82], [4.88, 3.20, 4.79], [4.74, 3.38, 4.92]]),
    (29.0, 42.0, [[5.54, 3.49, 4.87], [4.40, 3.10, 4.82], [4.49, 3.25, 4.92]]),
    (43.0, 56.0, [[5.42, 3.53, 4.87], [4.28, 3.12, 4.83], [4.35, 3.24, 4.91]]),
    (57.0, 84.0, [[5.58, 3.71, 4.83], [4.22, 3.20, 4.80], [4.31, 3.32, 4.88]]),
    (113.0, 140.0, [[5.95, 4.07, 4.72], [4.36, 3.41, 4.73], [4.46, 3.54, 4.79]]),
    (169.0, 196.0, [[6.26, 4.25, 4.66], [4.46, 3.52, 4.70], [4.64, 3.68, 4.72]]),
    (225.0, 252.0, [[6.50, 4.43, 4.66], [4.63, 3.68, 4.67], [4.79, 3.83, 4.70]]),
    (281.0, 305.0, [[6.68, 4.51, 4.66], [4.85, 3.84, 4.68], [4.94, 3.96, 4.68]]),
];

const BREEDS: [Stages; 3] = [JERSEY, HOLSTEIN, DANISH_RED];

fn window_mean(stage: &Stage, from: f64, to: f64) -> f64 {
    let days: Vec<f64> = (from as u16..=to as u16).map(f64::from).collect();
    100.0 * days.iter().map(|&d| stage.at(d)).sum::<f64>() / days.len() as f64
}

/// Largest and root-mean-square miss over the windows.
fn misses(trait_index: usize, pick: impl Fn(&Stages) -> Stage) -> [(f64, f64); 3] {
    std::array::from_fn(|breed| {
        let stage = pick(&BREEDS[breed]);
        let off: Vec<f64> = WINDOWS
            .iter()
            .map(|(from, to, seen)| window_mean(&stage, *from, *to) - seen[breed][trait_index])
            .collect();
        let worst = off.iter().fold(0.0f64, |m, x| m.max(x.abs()));
        (worst, (off.iter().map(|x| x * x).sum::<f64>() / off.len() as f64).sqrt())
    })
}

// The fits leave so much between them and the daily means (root mean square,
// percent points); window means must not be further off than 1.3 times that,
// and no window by more than 3.2 times it: the worst is the first, days 4 to 7,
// where fat is still falling fast and the fit is 0.2 points too rich.
fn agrees(trait_index: usize, pick: impl Fn(&Stages) -> Stage, fitted: [f64; 3]) {
    for ((worst, rms), fit) in misses(trait_index, pick).into_iter().zip(fitted) {
        assert!(rms <= 1.3 * fit && worst <= 3.2 * fit, "off by {rms} (worst {worst}), the fit by {fit}");
    }
}

#[test]
fn fat_over_the_lactation_by_friggens_2007() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman",
    );
    agrees(0, |s| s.fat, [0.105, 0.066, 0.063]);
}

#[test]
fn protein_over_the_lactation_by_friggens_2007() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman",
    );
    agrees(1, |s| s.protein, [0.084, 0.034, 0.032]);
}

#[test]
fn lactose_over_the_lactation_by_friggens_2007() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman",
    );
    agrees(2, |s| s.lactose, [0.035, 0.027, 0.030]);
}

fn lowest_week(stage: &Stage) -> f64 {
    let day = (4..=305u16).min_by(|&a, &b| stage.at(a.into()).total_cmp(&stage.at(b.into())));
    f64::from(day.unwrap()) / 7.0
}

#[test]
fn fat_is_leanest_in_weeks_6_to_10() {
    source(
        "Milk compositional ranges and trends, British Society of Animal Production occasional publication",
    );
    // "Milk compositional ranges and trends", British Society of Animal
    // Production occasional publication. Half a week of slack: a flat bottom.
    between(lowest_week(&HOLSTEIN.fat), 5.5, 10.5);
    between(lowest_week(&DANISH_RED.fat), 5.5, 10.5);
}

#[test]
fn known_difference_jersey_fat_is_leanest_in_week_5() {
    source(
        "Milk compositional ranges and trends, British Society of Animal Production occasional publication",
    );
    // The same review says weeks 6 to 10; the Jersey windows above have their
    // lowest fat in days 43 to 56, but the compact form puts it at day 36.
    let why = "the compact form turns early; weeks 6 to 10 are published";
    differs(lowest_week(&JERSEY.fat), 6.0, 5.25, 0.25, why);
}

#[test]
fn protein_is_leanest_about_week_6() {
    source(
        "Milk compositional ranges and trends, British Society of Animal Production occasional publication",
    );
    // The same review. The bottom is flat: within 0.03 points of the lowest
    // from week 4 to week 6 in every breed, so two weeks of slack.
    for breed in BREEDS {
        near(lowest_week(&breed.protein), 6.0, 2.2);
    }
}

#[test]
fn weighted_means_of_three_breeds_by_friggens_2007() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman",
    );
    // Yield-weighted over all lactation numbers; here over the curves of later
    // lactations, so a tenth of a point.
    let curves = [
        Wood { a: 18.513, b: 0.0729, c: 0.00268 },
        Wood { a: 21.503, b: 0.1477, c: 0.00338 },
        Wood { a: 17.525, b: 0.1682, c: 0.00412 },
    ];
    let published = [[5.93, 4.02, 4.74], [4.48, 3.44, 4.73], [4.56, 3.56, 4.79]];
    for ((curve, breed), want) in curves.iter().zip(BREEDS).zip(published) {
        let yields: Vec<f64> = (1..=305u16).map(|d| curve.kg(d.into())).collect();
        for (stage, want) in [breed.fat, breed.protein, breed.lactose].iter().zip(want) {
            near(100.0 * stage.mean(&yields).unwrap(), want, 0.1);
        }
    }
}

#[test]
fn moved_to_the_british_jersey() {
    source(
        "Milk compositional ranges and trends, British Society of Animal Production occasional publication",
    );
    // The British review gives Jersey 5.19 % fat and 3.85 % protein.
    let curve = Wood { a: 18.513, b: 0.0729, c: 0.00268 };
    let yields: Vec<f64> = (1..=305u16).map(|d| curve.kg(d.into())).collect();
    for (stage, mean) in [(JERSEY.fat, 0.0519), (JERSEY.protein, 0.0385)] {
        let moved = stage.shift_to_mean(&yields, mean);
        near(moved.mean(&yields).unwrap(), mean, 1e-12);
        near(moved.at(200.0) - moved.at(50.0), stage.at(200.0) - stage.at(50.0), 1e-12);
    }
}

#[test]
fn morning_and_evening_fat_by_friggens_2007() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman",
    );
    // Morning part of the milk 0.609; fat morning and evening 5.59 and 6.90,
    // 4.10 and 5.17, 4.18 and 5.29 %. The split gives both back from the mean.
    for (morning, evening) in [(0.0559, 0.0690), (0.0410, 0.0517), (0.0418, 0.0529)] {
        let mean = 0.609 * morning + 0.391 * evening;
        let (got_morning, got_evening) = split_by_milking(mean, evening - morning, 0.609);
        near(got_morning, morning, 1e-12);
        near(got_evening, evening, 1e-12);
    }
}

#[test]
fn the_evening_is_the_richer_the_longer_the_night() {
    source(
        "Friggens, Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467, worked out from the data set milkman; Wiggans, USDA; equal intervals our default",
    );
    // Friggens, Ridder and Lovendahl 2007 (as above): the morning draws 60.9 %
    // of the day's milk, and Jersey, Holstein and Danish Red evenings hold
    // 1.31, 1.07 and 1.11 points more fat. That is what comes out at that part.
    for (morning, evening) in [(0.0559, 0.0690), (0.0410, 0.0517), (0.0418, 0.0529)] {
        let excess = evening_excess(evening - morning, MEASURED_MORNING_PART);
        let mean = 0.609 * morning + 0.391 * evening;
        let (got_morning, got_evening) = split_by_milking(mean, excess, MEASURED_MORNING_PART);
        near(got_morning, morning, 1e-12);
        near(got_evening, evening, 1e-12);
    }
    // Equal intervals: none (our default, no published figure found). Nights of
    // 12, 13, 14 and 15 h draw ever more, and the evening is ever richer.
    let at = |night_h: f64| evening_excess(0.0131, night_h / 24.0);
    near(at(12.0), 0.0, 1e-15);
    assert!((12..16).all(|h| at(f64::from(h + 1)) > at(f64::from(h))));
    // Half way to the measured part, half of the measured excess.
    near(evening_excess(0.0131, 0.5545), 0.00655, 1e-12);
    // A short night turns it round: a morning after less than 9 h draws 40.6 % of
    // the day (interval factor 2.465 of Wiggans, USDA), and is the richer milk.
    assert!(evening_excess(0.0131, 1.0 / 2.465) < 0.0);
    // Beyond what was measured it does not grow without end.
    near(evening_excess(0.0131, 0.95), 2.0 * 0.0131, 1e-12);
}

#[test]
fn protein_of_79_cows_by_diggle_1994() {
    source("Diggle, Liang and Zeger 1994, Analysis of Longitudinal Data: weekly protein of 79 cows");
    // 3.83 % in week 1, 3.53 in week 2, 3.40 in week 3, 3.31 in week 4. Moved to
    // the level of their fourth week; days of colostrum are told apart, so from
    // week 2 on.
    let at = |week: f64| 100.0 * HOLSTEIN.protein.at(7.0 * week - 3.5);
    for (week, protein) in [(2.0, 3.53), (3.0, 3.40), (4.0, 3.31)] {
        near(at(week) - at(4.0) + 3.31, protein, 0.25);
    }
}

#[test]
fn known_difference_protein_climbs_slower_in_79_cows() {
    source("Diggle, Liang and Zeger 1994, Analysis of Longitudinal Data: weekly protein of 79 cows");
    // From 3.31 % in week 4 to 3.41 % in week 19.
    let at = |week: f64| 100.0 * HOLSTEIN.protein.at(7.0 * week - 3.5);
    let why = "fitted to Danish herds, fed to climb; theirs stood in Australia on barley and lupins";
    differs(at(19.0) - at(4.0), 0.10, 0.24, 0.05, why);
}
