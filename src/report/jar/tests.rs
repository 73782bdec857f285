//! What is printed of a jar, against published figures and its own balance.

use super::words::{depth, skims};
use super::*;
use crate::scenario::kit;

fn ask(fat: f64, hours: f64, wish: Option<Wish>) -> Ask {
    let jar = kit::jars().into_iter().find(|j| j.name == "half gallon").unwrap();
    Ask {
        whose: "jersey".into(),
        species: Species::Cow,
        fat,
        hours,
        celsius: 4.0,
        jar: jar.name,
        working_l: jar.working_l,
        shape: jar.shape,
        wish,
        units: UnitSystem::Us,
    }
}

fn near(a: f64, b: f64, by: f64) {
    assert!((a - b).abs() <= by, "{a} is not {b} within {by}");
}

/// Volume of the layer 4.1 times the fat at 24 h ("The volume of the cream
/// layers forming on Holstein and Jersey milk", Journal of Dairy Science
/// abstract): 20.5 % of a jar of 5 % milk.
#[test]
fn the_line_of_five_percent_milk() {
    let jar = Jar::at_rest(&ask(0.05, 24.0, None));
    near(jar.line_m() / jar.deep_m, 0.205, 0.0005);
    // A half-gallon jar, 236 mm high, is 20 cm deep in milk (worked out from
    // 1.8 L and 107 mm inside).
    near(jar.deep_m, 0.200, 0.001);
}

/// Worked out from the straight line 40 to 5 %: fat falls to 36 % at 4/35 of
/// the layer, to 30 % at 10/35, to 18 % at 22/35, to 10.5 % at 29.5/35. Grades
/// by 21 CFR 131.150, 131.157, 131.155 and 131.180.
#[test]
fn bands_of_the_grades() {
    let jar = Jar::at_rest(&ask(0.05, 24.0, None));
    let bands = jar.bands();
    let wanted = [4.0, 10.0, 22.0, 29.5].map(|x| x / 35.0 * 0.205);
    assert_eq!(bands.len(), 5);
    for ((grade, _, to), (least, all)) in bands.iter().zip(wanted.iter().zip(Grade::ALL)) {
        assert_eq!(*grade, all);
        near(*to, *least, 0.001);
    }
    assert!(bands.windows(2).all(|w| w[0].2 == w[1].1) && bands[4].2 == 1.0);
}

/// What is taken and what is left are what there was, for every skim shown.
#[test]
fn cream_and_milk_are_the_jar() {
    for fat in [0.032, 0.0388, 0.05, 0.0562, 0.08] {
        for hours in [2.0, 12.0, 24.0, 48.0] {
            let jar = Jar::at_rest(&ask(fat, hours, None));
            let all = skims(&jar);
            assert!(!all.is_empty(), "{fat} {hours}");
            for (name, s) in all {
                near(s.cream.mass + s.milk.mass, jar.milk.mass, 1e-12);
                near(s.cream.fat + s.milk.fat, jar.milk.fat, 1e-12);
                near(s.milk.fat_part(), s.cut.leaves(fat), 1e-12);
                near(s.depth_m + s.left_m, jar.line_m().max(s.depth_m), 1e-12);
                if let Some(kg) = s.butter_kg {
                    near(kg * 0.815, 0.985 * s.cream.fat, 1e-12);
                }
                assert!(s.milk.fat >= 0.0 && s.left_m >= 0.0, "{name}");
                assert!(s.again_m <= jar.line_m() + 1e-12, "{name}: a skim makes no thicker line");
            }
        }
    }
}

/// 21 CFR 131.110: whole milk holds 3.25 % or more; 5 % milk keeps it after a
/// quarter to a third of its layer.
#[test]
fn whole_milk_is_left_by_a_modest_skim() {
    let jar = Jar::at_rest(&ask(0.05, 24.0, None));
    let (skim, unmet) = jar.wished(Wish::Leave(0.0325));
    assert_eq!(unmet, None);
    let skim = skim.unwrap();
    near(skim.milk.fat_part(), 0.0325, 1e-9);
    assert!((0.25..0.35).contains(&(skim.depth_m / jar.line_m())));
}

/// A quart of heavy cream makes about a pound of butter (common practice, no
/// source; 0.92 lb worked out from its fat).
#[test]
fn butter_of_a_quart_of_heavy_cream() {
    let jar = Jar::at_rest(&ask(0.05, 24.0, None));
    let skim = jar.wished(Wish::Grade(0.36)).0.unwrap();
    near(skim.cut.fat_part, 0.36, 1e-9);
    let quarts = skim.cut.part * jar.ask.working_l / 0.946_353;
    near(skim.butter_kg.unwrap() / 0.453_592 / quarts, 0.93, 0.03);
}

#[test]
fn wishes_that_cannot_be_met_say_why() {
    let milk = |fat, hours| Jar::at_rest(&ask(fat, hours, None));
    assert_eq!(milk(0.03, 24.0).wished(Wish::Leave(0.03)), (None, Some(Unmet::LeanAlready)));
    assert_eq!(milk(0.03, 24.0).wished(Wish::Leave(0.035)), (None, Some(Unmet::LeanAlready)));
    assert_eq!(milk(0.05, 0.0).wished(Wish::Layer), (None, Some(Unmet::NoCream)));
    assert_eq!(milk(0.04, 2.0).wished(Wish::Grade(0.36)), (None, Some(Unmet::TooLean)));
    let (skim, unmet) = milk(0.05, 24.0).wished(Wish::Leave(0.001));
    assert_eq!(unmet, Some(Unmet::LayerLeavesMore));
    near(skim.unwrap().milk.fat_part(), 0.0049, 0.0001);
    let mut goat = ask(0.04, 48.0, None);
    goat.species = Species::Goat;
    assert!(Jar::at_rest(&goat).line_m() < 0.008);
}

/// The drawing is to scale: as many of its lines are cream as cream is
/// of the jar, within a line.
#[test]
fn the_drawing_is_to_scale() {
    for fat in [0.035, 0.05, 0.08] {
        let jar = Jar::at_rest(&ask(fat, 24.0, None));
        let lines = drawing::jar(&jar, 0.0, &[]);
        assert_eq!(lines.len(), drawing::ROWS + 2);
        let is_cream = |l: &&String| l.chars().any(|c| "█▓▒░".contains(c));
        let rows = lines.iter().filter(is_cream).count() as f64;
        let row = jar.ask.shape.height_m / drawing::ROWS as f64;
        // The leanest of the layer is drawn as milk.
        let cream = jar.bands().iter().filter(|b| b.0 != Grade::Milk).map(|b| b.2).fold(0.0, f64::max);
        near(rows, cream * jar.deep_m / row, 1.0);
    }
}

#[test]
fn nothing_is_wider_than_80_columns() {
    for (_, milk) in kit::breeds() {
        for jar in kit::jars() {
            for wish in [None, Some(Wish::Leave(0.03)), Some(Wish::Grade(0.36)), Some(Wish::Layer)] {
                for units in [UnitSystem::Us, UnitSystem::Metric] {
                    let ask = Ask {
                        species: milk.species,
                        fat: milk.fat,
                        jar: jar.name.clone(),
                        working_l: jar.working_l,
                        shape: jar.shape,
                        units,
                        ..ask(0.05, 24.0, wish)
                    };
                    let text = page(&ask).text(80);
                    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
                    assert!(json(&ask).unwrap().ends_with(b"}\n"));
                }
            }
        }
    }
}

#[test]
fn depths_as_a_ruler_shows_them() {
    for (mm, us) in [(0.0, "0 in"), (1.0, "under ⅛ in"), (3.2, "⅛ in"), (25.4, "1 in"), (41.3, "1⅝ in")]
    {
        assert_eq!(depth(mm / 1000.0, UnitSystem::Us), us);
    }
    assert_eq!(depth(0.0414, UnitSystem::Metric), "41 mm");
    assert_eq!(depth(0.0003, UnitSystem::Metric), "under 1 mm");
}

/// Half-and-half is 10.5 % and over, light cream 18 % and over (21 CFR 131.180, 131.155).
#[test]
fn no_fat_is_rounded_over_the_bound_of_its_grade() {
    use super::words::fat_words;
    for (fat, words) in [
        (0.105, "10.5 %"),
        (0.1049, "10.49 %"),
        (0.1798, "17.98 %"),
        (0.224, "22.4 %"),
        (0.36, "36 %"),
        (0.0487, "4.9 %"),
    ] {
        let told = fat_words(fat);
        let back: f64 = told.trim_end_matches(" %").parse().unwrap();
        assert_eq!(told, words);
        assert_eq!(Grade::of(back / 100.0 + 1e-12), Grade::of(fat + 1e-12), "{fat}: {told}");
    }
}
