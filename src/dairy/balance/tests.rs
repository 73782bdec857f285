use super::*;

const BATCH: Matter = Matter { mass: 10.0, fat: 0.4, protein: 0.33, milk: 8.0 };

const CHEESE: Share = Share::ByWater { fat_kept: 0.9, protein_kept: 0.76, solids_factor: 1.1, water: 0.4 };
const CREAM: Share = Share::Separated { skim_fat: 0.0005, cream_fat: 0.40 };

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
    let cheese = CHEESE.of(BATCH);
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
        Share::ByFat { fat_kept: 0.985, protein_kept: 0.08, fat_part: 0.815 },
        CHEESE,
        CREAM,
        Share::ByMass { mass_part: 0.3, fat_kept: 0.9, protein_kept: 0.9 },
        Share::Rest,
    ] {
        assert_eq!(share.of(Matter::NONE), Matter::NONE);
    }
}

#[test]
fn a_separator_stays_within_the_batch() {
    for fat in [0.0, 0.0001, 0.003, 0.1, 0.36, 0.4] {
        let milk = Matter::milk(1.0, fat, 0.02);
        let cream = CREAM.of(milk);
        let skim = milk - cream;
        let sound = |m: Matter| m.mass >= -1e-12 && m.fat >= -1e-12 && m.protein >= -1e-12;
        assert!(sound(cream) && sound(skim) && cream.mass + 1e-12 >= cream.fat + cream.protein, "{fat}");
    }
}

#[test]
fn protein_of_separated_cream_goes_with_the_water_phase() {
    let milk = Matter::milk(100.0, 0.04, 0.034);
    let cream = CREAM.of(milk);
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
fn sugar_and_salts_do_not_boil_off() {
    let whey = Matter::milk(100.0, 0.0036, 0.0085);
    let gone = steam(whey, 0.5);
    assert_eq!((gone.mass, gone.fat, gone.protein, gone.milk), (50.0, 0.0, 0.0, 50.0));
    close(steam(whey, 1.0).mass, 0.94 * (100.0 - 0.36 - 0.85));
    assert_eq!(steam(whey, 0.0), Matter::NONE);
    assert_eq!(steam(Matter::NONE, 0.5), Matter::NONE);
}

#[test]
fn what_is_divided_adds_up_and_the_last_takes_the_rest() {
    let butter = Share::ByFat { fat_kept: 0.9, protein_kept: 0.1, fat_part: 0.8 };
    // Three that would take more than there is.
    let shares = [butter, CHEESE, CHEESE, Share::Rest];
    let parts: Vec<Matter> = divide(BATCH, shares.into_iter()).collect();
    assert_eq!(parts[0], butter.of(BATCH));
    assert_eq!(parts[3], BATCH - parts[0] - parts[1] - parts[2]);
    close(parts[1].fat + parts[0].fat, 0.4);
    close(parts[2].fat, 0.0);
    assert!(parts.iter().all(|m| m.mass >= m.fat + m.protein - 1e-12 && m.milk >= -1e-12));
    assert_eq!(divide(BATCH, [butter].into_iter()).collect::<Vec<_>>(), [BATCH]);
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
