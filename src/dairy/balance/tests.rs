use super::*;

const BATCH: Matter = Matter { mass: 10.0, fat: 0.4, protein: 0.33, milk: 8.0 };

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-12, "{a} {b}");
}

#[test]
fn each_share_takes_what_it_says() {
    let butter = Share::ByFat { fat_kept: 0.98, protein_kept: 0.02, fat_part: 0.8 }.of(BATCH);
    close(butter.fat, 0.392);
    close(butter.mass, 0.49);
    close(butter.protein, 0.0066);
    close(butter.milk, 0.392);
    let cheese = Share::van_slyke(0.9, 0.95, 0.8, 1.1, 0.4).of(BATCH);
    close(cheese.fat, 0.36);
    close(cheese.protein, 0.33 * 0.76);
    close(cheese.mass, (0.36 + 0.2508) * 1.1 / 0.6);
    let strained = Share::ByMass { mass_part: 0.3, fat_kept: 1.0, protein_kept: 0.5 }.of(BATCH);
    close(strained.mass, 3.0);
    close(strained.milk, 2.4);
    assert_eq!(Share::Rest.of(BATCH), BATCH);
}

#[test]
fn nothing_makes_nothing() {
    for share in [
        Share::butter(0.4, 0.003, 0.815, 0.02),
        Share::van_slyke(0.9, 0.95, 0.8, 1.09, 0.37),
        Share::ByMass { mass_part: 0.3, fat_kept: 0.9, protein_kept: 0.9 },
        Share::Rest,
    ] {
        assert_eq!(share.of(Matter::NONE), Matter::NONE);
    }
}

#[test]
fn butter_and_separator_stay_within_the_batch() {
    for fat in [0.0, 0.0001, 0.003, 0.1, 0.36, 0.6, 0.8] {
        let cream = Matter::milk(1.0, fat, 0.02);
        let butter = Share::butter(fat, 0.003, 0.815, 0.02).of(cream);
        let rest = cream - butter;
        assert!(butter.mass >= 0.0 && rest.mass >= -1e-12 && rest.fat >= -1e-12, "{fat}");
        let skimmed = Share::separated_cream(fat.min(0.4), 0.0005, 0.40);
        let Share::ByFat { fat_kept, protein_kept, .. } = skimmed else { panic!("cream goes by its fat") };
        assert!((0.0..=1.0).contains(&fat_kept) && (0.0..=1.0).contains(&protein_kept), "{fat}");
    }
}

#[test]
fn protein_of_separated_cream_goes_with_the_water_phase() {
    let milk = Matter::milk(100.0, 0.04, 0.034);
    let cream = Share::separated_cream(0.04, 0.0005, 0.40).of(milk);
    let skim = milk - cream;
    close(cream.protein / (cream.mass - cream.fat), skim.protein / (skim.mass - skim.fat));
}

#[test]
fn a_separator_takes_nothing_from_milk_that_is_leaner_than_its_skim() {
    let share = Share::Separated { skim_fat: 0.001, cream_fat: 0.40 };
    assert_eq!(share.of(Matter::milk(10.0, 0.0005, 0.035)).mass, 0.0);
    let milk = Matter::milk(100.0, 0.05, 0.035);
    let cream = share.of(milk);
    close(cream.fat_part(), 0.40);
    close((milk - cream).fat_part(), 0.001);
}

#[test]
fn a_curd_with_too_little_water_comes_out_drier() {
    // From half fat nothing is left of the batch but what the curd lets go.
    let batch = Matter::milk(10.0, 0.5, 0.07);
    let share = Share::ByWater { fat_kept: 0.85, protein_kept: 0.7, solids_factor: 1.0, water: 0.61 };
    let curd = limit(share.of(batch), batch);
    let rest = batch - curd;
    assert!(share.of(batch).mass > batch.mass);
    close(rest.mass, rest.fat + rest.protein);
    assert!(curd.milk >= 0.0 && rest.milk >= -1e-12);
    // What adds up is left as it is.
    let milk = Matter::milk(10.0, 0.04, 0.033);
    assert_eq!(limit(share.of(milk), milk), share.of(milk));
}

#[test]
fn overruns() {
    assert_eq!(overrun(1.5, 1.0), 0.5);
    assert_eq!(overrun(1.5, 0.0), 0.0);
    close(composition_overrun(0.5), 1.0);
}

#[test]
fn casein_is_most_of_the_protein() {
    // Of true protein; crude protein times 0.95 brings the ranges into line.
    assert_eq!(casein_of_protein(Species::Cow), 0.82);
    for species in Species::ALL {
        assert!((0.78..=0.85).contains(&casein_of_protein(species)));
    }
}

#[test]
fn a_drier_standard_is_a_smaller_yield() {
    close(yield_at_water(10.0, 0.4, 0.4), 10.0);
    close(yield_at_water(10.0, 0.4, 0.25), 8.0);
}

#[test]
fn what_is_given_is_never_less_than_its_fat_and_protein() {
    let have = Matter { mass: 10.0, fat: 3.0, protein: 2.0, milk: 8.0 };
    let given = limit(Matter { mass: 0.5, fat: 0.4, protein: 0.3, milk: 0.4 }, have);
    close(given.mass, 0.7);
    close(given.milk, 0.56);
    // Nor more than there is, of anything.
    let all = limit(Matter { mass: 20.0, fat: 4.0, protein: 3.0, milk: 20.0 }, have);
    assert_eq!((all.mass, all.fat, all.protein, all.milk), (10.0, 3.0, 2.0, 8.0));
}
