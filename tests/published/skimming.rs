//! What a skim takes and leaves.

use crate::{between, differs, near, source};
use springhouse::dairy::Species::Cow;
use springhouse::dairy::cream::{Cut, Grade, Layer};

fn settled() -> Layer {
    Layer::at_rest(0.05, 24.0, Cow)
}

#[test]
fn milk_left_after_heavy_cream_by_mass_balance() {
    source("worked out by mass balance");
    // Worked out: a little heavy cream leaves rich milk. Half a digit.
    for (fat, part, cream, left) in
        [(0.050, 0.03, 0.38, 3.98), (0.050, 0.05, 0.25, 3.95), (0.056, 0.05, 0.36, 4.00)]
    {
        near(100.0 * Cut { part, fat_part: cream }.leaves(fat), left, 0.0051);
    }
}

#[test]
fn sampled_tops_by_caplan_2013() {
    source("Caplan, Melilli and Barbano 2013, Journal of Dairy Science 96:2011");
    // Caplan, Melilli and Barbano 2013, Journal of Dairy Science 96:2011: 3.75 %
    // milk with 80 or 50 % of its fat in the top 8 % (figures worked out).
    // A top of 37.5 or 23.4 % fat leaves 0.82 or 2.04 %: half a digit.
    for (risen, rest) in [(0.80, 0.82), (0.50, 2.04)] {
        let fat_part = risen * 0.0375 / 0.08;
        near(100.0 * Cut { part: 0.08, fat_part }.leaves(0.0375), rest, 0.005);
    }
}

#[test]
fn sampled_top_by_ma_2000() {
    source("Ma and Barbano 2000, Journal of Dairy Science 83:1719");
    // Ma and Barbano 2000: 26.6 % fat holding 58.8 % of 3.75 % leaves 1.68 %
    // (worked out, as is the 8.29 %). Half a digit of the 8.29 and of the 26.6 %.
    near(100.0 * Cut { part: 0.0829, fat_part: 0.266 }.leaves(0.0375), 1.68, 0.01);
}

#[test]
fn heavy_cream_is_the_top_quarter_of_the_layer() {
    source("worked out from a straight line from 40 to 5 %; 21 CFR 131.150");
    // Worked out from the line 40 to 5 %: the top 23 % of the layer is 36 % fat
    // on average. Half a digit.
    let layer = settled();
    let depth = layer.depth_of_grade(0.36).unwrap();
    near(depth / layer.volume_part, 0.23, 0.005);
    assert_eq!(Grade::of(layer.cut(depth).fat_part), Grade::Heavy);
}

#[test]
fn what_heavy_cuts_leave_in_the_milk() {
    source("worked out from a straight line from 40 to 5 %");
    // Worked out: 4.0 % after the top 15 % of the layer, 3.5 % after the whole
    // heavy part. The top 15 % is heavy cream, so a family can drink 4 % milk. Half a digit.
    let layer = settled();
    near(100.0 * layer.cut(0.15 * layer.volume_part).leaves(0.05), 4.0, 0.05);
    let heavy = layer.cut(layer.depth_of_grade(0.36).unwrap());
    near(100.0 * heavy.leaves(0.05), 3.5, 0.05);
}

#[test]
fn milk_of_legal_whole_fat_is_left_by_a_modest_skim() {
    source("21 CFR 131.110");
    // 21 CFR 131.110: whole milk holds 3.25 % or more. By a straight line from 40 to 5 % over a
    // layer of 20.5 % that is left after 0.266 of it (worked out; half a digit).
    let layer = settled();
    let depth = layer.depth_leaving(0.0325).unwrap();
    near(layer.cut(depth).leaves(0.05), 0.0325, 1e-12);
    near(depth / layer.volume_part, 0.266, 0.0005);
}

#[test]
fn grades_by_the_code_of_federal_regulations() {
    source("21 CFR 131.3, 131.150, 131.155, 131.157, 131.180");
    // 21 CFR 131.150, 131.157, 131.155, 131.180; cream from 18 % by 131.3(a).
    let grades = [
        (0.36, Grade::Heavy),
        (0.3599, Grade::LightWhipping),
        (0.30, Grade::LightWhipping),
        (0.2999, Grade::Light),
        (0.18, Grade::Light),
        (0.1799, Grade::HalfAndHalf),
        (0.105, Grade::HalfAndHalf),
        (0.1049, Grade::Milk),
    ];
    for (fat, grade) in grades {
        assert_eq!(Grade::of(fat), grade, "{fat}");
    }
    for (grade, least) in Grade::ALL.into_iter().zip([0.36, 0.30, 0.18, 0.105]) {
        near(grade.least_fat(), least, 0.0);
    }
    let (from, under) = Grade::Light.bounds();
    near(from, 0.18, 0.0);
    near(under, 0.30, 0.0);
}

#[test]
fn creams_of_the_usda_table_have_their_grades() {
    source("USDA National Nutrient Database for Standard Reference");
    // USDA National Nutrient Database for Standard Reference.
    for (fat, least) in [(0.3608, 0.36), (0.3091, 0.30), (0.1910, 0.18)] {
        near(Grade::of(fat).least_fat(), least, 0.0);
    }
}

#[test]
fn known_difference_half_and_half_of_the_usda_table_is_below_the_standard() {
    source("USDA National Nutrient Database for Standard Reference; 21 CFR 131.180");
    // The table prints 10.39 % fat; 21 CFR 131.180 asks for 10.5 %.
    assert_eq!(Grade::of(0.1039), Grade::Milk);
    let why = "the table is of milk as sold, the standard the least allowed";
    differs(100.0 * Grade::HalfAndHalf.least_fat(), 10.39, 10.5, 1e-9, why);
}

#[test]
fn gravity_cream_of_a_whole_layer_is_light_cream() {
    source("McGee 2004, On Food and Cooking");
    // McGee 2004, On Food and Cooking: natural cream is about 20 % fat.
    // Light cream, 18 to under 30 % (21 CFR 131.155).
    for fat in [0.033, 0.04, 0.05, 0.0562] {
        let layer = Layer::at_rest(fat, 24.0, Cow);
        between(layer.cut(layer.volume_part).fat_part, 0.18, 0.30);
    }
}
