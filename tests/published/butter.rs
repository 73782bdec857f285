//! Butter, cream from a separator.

use crate::{LB, between, near, source, within};
use springhouse::dairy::balance::{Share, composition_overrun, overrun};
use springhouse::dairy::density::kg_per_l;
use springhouse::dairy::matter::Matter;

#[test]
fn hundred_kilograms_of_milk_by_guelph() {
    source("Goff, University of Guelph, Dairy Science and Technology, butter example");
    // Goff, University of Guelph, Dairy Science and Technology, butter: milk
    // 3.6, skim 0.05, cream 40, buttermilk 0.3, butter 81.5 % fat: 8.9 kg of
    // cream, 4.35 kg of butter; fat 98.3, 0.4 and 1.3 %. Rounding of the print.
    let milk = Matter::milk(100.0, 0.036, 0.033);
    let cream = Share::separated_cream(0.036, 0.0005, 0.40).of(milk);
    let skim = milk - cream;
    let butter = Share::butter(0.40, 0.003, 0.815, 0.02).of(cream);
    let buttermilk = cream - butter;
    near(cream.mass, 8.886, 0.001);
    near(butter.mass, 4.345, 0.001);
    near(100.0 * butter.fat / milk.fat, 98.3, 0.1);
    near(100.0 * buttermilk.fat / milk.fat, 0.4, 0.05);
    near(100.0 * skim.fat / milk.fat, 1.3, 0.05);
    near(skim.fat_part(), 0.0005, 1e-12);
    near(buttermilk.fat_part(), 0.003, 1e-12);
    // Efficiencies of the same page: 98.6 % and 99.25 %.
    near(100.0 * (1.0 - skim.fat_part() / milk.fat_part()), 98.6, 0.05);
    near(100.0 * (1.0 - buttermilk.fat_part() / cream.fat_part()), 99.25, 1e-6);
    // Overrun on milk fat 20.8 %.
    near(100.0 * overrun(butter.mass, milk.fat), 20.8, 0.15);
}

#[test]
fn composition_overrun_by_guelph() {
    source("Goff, University of Guelph, Dairy Science and Technology, composition overrun");
    near(100.0 * composition_overrun(0.815), 22.7, 0.05);
}

#[test]
fn overrun_of_a_creamery() {
    source("an old butter-making text, author and year not known to us");
    // Old butter-making text: 700 lb of 6 % milk, 42 lb of fat, 50 lb of butter:
    // 19 %; its range 16.6 to 18.7 is for poorer work.
    near(100.0 * overrun(50.0, 700.0 * 0.06), 19.0, 0.1);
}

#[test]
fn legal_butter_has_an_overrun_of_a_quarter_at_most() {
    source("21 USC 321a; closed form");
    // 21 USC 321a: 80 % fat or more.
    near(composition_overrun(0.80), 0.25, 1e-12);
}

#[test]
fn cottage_churn_by_kalla_2016() {
    source("Kalla and others 2016, Frustum cone shaped churn for small scale production of butter");
    // Kalla and others 2016, small-scale churn: 16 % moisture and 19.42 % overrun,
    // so 83.7 % fat and 0.3 % curd (the curd is our reading).
    near(100.0 * composition_overrun(1.0 - 0.16 - 0.0026), 19.42, 0.05);
}

fn butter_from_litre(fat: f64, solids: f64) -> (f64, f64) {
    let cream = Matter::milk(kg_per_l(fat, solids, 4.4), fat, 0.02);
    let butter = Share::butter(fat, 0.003, 0.815, 0.02).of(cream);
    let buttermilk = cream - butter;
    (butter.mass, buttermilk.mass / kg_per_l(0.003, 0.089, 4.4))
}

#[test]
fn butter_a_litre_of_cream() {
    source("worked out by mass balance from buttermilk of 0.3 and butter of 81.5 % fat");
    // Worked out with buttermilk 0.3 and butter 81.5 %: 443 g and 0.55 L from
    // 36 %, 309 g and 0.68 L from 25 % cream. 2 % for the density taken.
    let (butter, buttermilk) = butter_from_litre(0.36, 0.0557);
    within(butter, 0.443, 0.02);
    within(buttermilk, 0.55, 0.02);
    let (butter, buttermilk) = butter_from_litre(0.25, 0.0668);
    within(butter, 0.309, 0.02);
    within(buttermilk, 0.68, 0.02);
}

#[test]
fn forty_fluid_ounces_of_heavy_cream() {
    source("common practice, no source");
    // Common practice, no source: 18 oz of butter from 40 fl oz; 5 % for a
    // kitchen scale and what stays in the bowl.
    let (butter, _) = butter_from_litre(0.36, 0.0557);
    within(butter * 40.0 * 0.029_573_53 / (LB / 16.0), 18.0, 0.05);
}

#[test]
fn a_quart_of_heavy_cream_makes_about_a_pound() {
    source("common practice, no source");
    // Common practice, no source; half as much again would need 59 % fat.
    let (butter, _) = butter_from_litre(0.36, 0.0557);
    between(butter * 0.946_353 / LB, 0.90, 1.0);
}

#[test]
fn whey_butter_by_thom_1918() {
    source("Thom and Fisk 1918, The Book of Cheese");
    // Thom and Fisk 1918, The Book of Cheese: 2.5 lb of fat from 1000 lb of whey
    // make about 3 lb of butter.
    let cream = Matter::milk(2.5 / 0.30, 0.30, 0.02);
    within(Share::butter(0.30, 0.003, 0.815, 0.02).of(cream).mass, 3.0, 0.05);
}
