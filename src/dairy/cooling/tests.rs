use super::*;

const FRIDGE: Fridge =
    Fridge { set_c: 3.0, ua: 1.6, room_c: 21.0, spare_w: 80.0, band_k: 1.0, air_kj_k: 15.0, h: 8.0 };
const LOAD: Load = Load { litres: 11.0, jars: 6, jar_area_m2: 0.0911, jar_glass_kg: 0.9, start_c: 35.0 };

/// Chills a load beside so much cold milk in jars of the same surface (1.80 L each).
fn chill(fridge: &Fridge, load: &Load, inside_l: f64) -> Chill {
    let inside = Node {
        kj_k: inside_l * milk_kg_per_l() * MILK_KJ_PER_KG_K,
        w_k: fridge.h * load.jar_area_m2 * inside_l / 1.80,
        start_c: fridge.set_c,
    };
    course(fridge, &load.node(fridge.h), (inside_l > 0.0).then_some(&inside)).chill
}

#[test]
fn air_that_never_warms_is_the_closed_form() {
    // Power without end: the air stays within a few hundredths of a kelvin, so
    // Newton's law holds to a part in a thousand.
    let strong = Fridge { spare_w: 1e6, ..FRIDGE };
    let got = chill(&strong, &LOAD, 0.0);
    let law = Lumped::new(3.0, 35.0, LOAD.kj_per_k(), 8.0 * 0.0911 * 6.0);
    for (hours, mark) in
        [(got.hours_to_10c, MARK_10C), (got.hours_to_7c, MARK_7C), (got.hours_to_4c, MARK_4C)]
    {
        let want = law.hours_to(mark).unwrap();
        assert!((hours - want).abs() < 2e-3 * want, "{hours} {want}");
    }
    // Life by the closed form along the law, beyond what those hours use at 3 °C.
    let all = life(&law, 72.0) - 3.0 * sweet_rate(3.0, 0.0);
    assert!((got.life_days_used_beyond - all).abs() < 0.005 * all, "{got:?} {all}");
}

#[test]
fn nothing_to_chill_takes_no_time() {
    let none = Load { litres: 0.0, jars: 0, ..LOAD };
    let got = chill(&FRIDGE, &none, 20.0);
    assert_eq!((got.hours_to_10c, got.hours_to_4c, got.life_days_used_beyond), (0.0, 0.0, 0.0));
    assert_eq!(got.air_peak_c, 3.0);
}

#[test]
fn cold_milk_is_cold_already() {
    let cold = chill(&FRIDGE, &Load { start_c: 4.0, ..LOAD }, 0.0);
    assert_eq!(cold.hours_to_4c, 0.0);
    let cool = chill(&FRIDGE, &Load { start_c: 9.0, ..LOAD }, 0.0);
    assert_eq!(cool.hours_to_10c, 0.0);
    assert!(cool.hours_to_7c > 0.0 && cool.hours_to_4c > cool.hours_to_7c);
}

#[test]
fn a_warm_cellar_never_gets_there() {
    let cellar = Fridge { set_c: 12.0, ..FRIDGE };
    let got = chill(&cellar, &LOAD, 0.0);
    assert_eq!((got.hours_to_10c, got.hours_to_4c), (LONGEST_H, LONGEST_H));
    let dead = Fridge { spare_w: 0.0, ua: 0.0, ..FRIDGE };
    assert_eq!(chill(&dead, &LOAD, 0.0).hours_to_4c, LONGEST_H);
}

#[test]
fn more_milk_is_slower_and_more_power_faster() {
    let mut last = 0.0;
    for (litres, jars) in [(1.8, 1), (5.4, 3), (10.8, 6), (21.6, 12), (43.2, 24)] {
        let hours = chill(&FRIDGE, &Load { litres, jars, ..LOAD }, 0.0).hours_to_4c;
        assert!(hours > last);
        last = hours;
    }
    let hours = |spare_w: f64| chill(&Fridge { spare_w, ..FRIDGE }, &LOAD, 0.0).hours_to_4c;
    assert!(hours(40.0) > hours(80.0) && hours(80.0) > hours(160.0));
}

#[test]
fn cold_milk_inside_keeps_the_air_cooler() {
    let alone = chill(&FRIDGE, &LOAD, 0.0);
    let beside = chill(&FRIDGE, &LOAD, 40.0);
    assert!(beside.air_peak_c < alone.air_peak_c);
    assert!(beside.hours_to_10c < alone.hours_to_10c);
}

#[test]
fn marks_are_in_order_and_finite_over_a_grid() {
    for spare_w in [0.0, 20.0, 300.0] {
        for h in [6.0, 15.0] {
            for air_kj_k in [0.0, 15.0] {
                for band_k in [0.0, 1.0, 4.0] {
                    for (litres, jars, inside) in [(0.3, 1, 0.0), (20.0, 11, 0.0), (20.0, 11, 150.0)] {
                        let fridge = Fridge { spare_w, h, air_kj_k, band_k, ..FRIDGE };
                        let got = chill(&fridge, &Load { litres, jars, ..LOAD }, inside);
                        let at = format!("{fridge:?} {litres} {inside} {got:?}");
                        assert!(got.hours_to_10c <= got.hours_to_7c, "{at}");
                        assert!(got.hours_to_7c <= got.hours_to_4c && got.hours_to_4c <= LONGEST_H, "{at}");
                        assert!((3.0..=35.0).contains(&got.air_peak_c), "{at}");
                        assert!(got.life_days_used_beyond.is_finite(), "{at}");
                        assert!(got.life_days_used_beyond > 0.0, "{at}");
                    }
                }
            }
        }
    }
}

#[test]
fn heat_is_conserved_without_leak_or_power() {
    // A sealed box: milk, air and food meet at their common temperature.
    let sealed = Fridge { spare_w: 0.0, ua: 0.0, ..FRIDGE };
    let food = Node { kj_k: 36.0, w_k: 4.0, start_c: 3.0 };
    let milk = Node { kj_k: 46.5, w_k: 4.37, start_c: 35.0 };
    let model = Model::new(&sealed, &milk, &food);
    let mut state = [35.0, 3.0, 3.0];
    for _ in 0..(100.0 / STEP_H) as u32 {
        state = model.step(state, STEP_H);
    }
    let common = (46.5 * 35.0 + 15.0 * 3.0 + 36.0 * 3.0) / (46.5 + 15.0 + 36.0);
    for temp in state {
        assert!((temp - common).abs() < 1e-6, "{temp} {common}");
    }
}

#[test]
fn lumped_goes_one_way() {
    let jar = Lumped { around_c: 3.0, start_c: 35.0, tau_h: 2.0 };
    assert_eq!(jar.hours_to(3.0), None);
    assert_eq!(jar.hours_to(2.0), None);
    assert_eq!(jar.hours_to(35.0), Some(0.0));
    assert_eq!(jar.hours_to(40.0), Some(0.0));
    let hours = jar.hours_to(10.0).unwrap();
    assert!((jar.at(hours) - 10.0).abs() < 1e-12);
    let warming = Lumped { around_c: 21.0, start_c: 3.0, tau_h: 10.0 };
    assert!((warming.at(warming.hours_to(5.0).unwrap()) - 5.0).abs() < 1e-12);
    assert_eq!(warming.hours_to(2.0), Some(0.0));
    assert_eq!(warming.hours_to(22.0), None);
}

#[test]
fn the_ordinance_counts_both_legs() {
    assert!(pmo_ok(4.0, 2.0));
    assert!(!pmo_ok(4.01, 1.0));
    assert!(!pmo_ok(1.0, 2.01));
}

#[test]
fn nothing_beside_a_body_leaves_it() {
    assert_eq!(common_c(0.0, 4.0, 0.0, 35.0), 4.0);
    assert_eq!(common_c(0.0, 4.0, 2.0, 35.0), 35.0);
}

#[test]
fn two_bodies_in_a_sealed_box_are_the_closed_form() {
    // Air that holds next to nothing hands on what it takes: two bodies go to
    // their common temperature with one time.
    let sealed = Fridge { spare_w: 0.0, ua: 0.0, air_kj_k: 0.0, ..FRIDGE };
    let (inside_l, w_m2) = (60.0, 8.0 * 0.0911);
    let (warm, g_warm) = (LOAD.kj_per_k(), w_m2 * 6.0);
    let cold = inside_l * milk_kg_per_l() * MILK_KJ_PER_KG_K;
    let g_cold = w_m2 * inside_l / 1.80;
    let common = (warm * 35.0 + cold * 3.0) / (warm + cold);
    let through = g_warm * g_cold / (g_warm + g_cold);
    let law = Lumped::new(common, 35.0, warm * cold / (warm + cold), through);
    let got = chill(&sealed, &LOAD, inside_l);
    let want = law.hours_to(MARK_10C).unwrap();
    assert!((got.hours_to_10c - want).abs() < 0.003 * want, "{} {want}", got.hours_to_10c);
    assert_eq!(got.hours_to_7c, LONGEST_H, "the common temperature is above it: {common}");
    assert!((got.air_peak_c - common).abs() < 0.02, "{} {common}", got.air_peak_c);
}

#[test]
fn jars_without_a_surface_pass_no_heat() {
    let got = chill(&FRIDGE, &Load { jar_area_m2: 0.0, ..LOAD }, 20.0);
    assert_eq!((got.hours_to_10c, got.air_peak_c), (LONGEST_H, 3.0));
}

#[test]
fn a_long_step_is_many_short_ones() {
    let food = Node { kj_k: 36.0, w_k: 4.0, start_c: 6.0 };
    let milk = Node { kj_k: 46.5, w_k: 4.37, start_c: 20.0 };
    let model = Model::new(&FRIDGE, &milk, &food);
    let start = [20.0, 3.5, 6.0];
    let long = model.step(start, 4.0 * STEP_H);
    let mut short = start;
    for _ in 0..400 {
        short = model.step(short, 0.01 * STEP_H);
    }
    for ((long, short), allowed) in long.into_iter().zip(short).zip([5e-6, 5e-4, 5e-6]) {
        assert!((long - short).abs() < allowed, "{long} {short}");
    }
}

#[test]
fn a_mark_is_passed_within_a_step() {
    let mut marks = Marks::new(35.0);
    marks.pass(2.0, 0.5, 11.0, 9.0);
    assert_eq!(marks.hours, [2.25, LONGEST_H, LONGEST_H]);
    marks.pass(3.0, 0.5, 9.0, 4.0);
    for (got, want) in marks.hours.into_iter().zip([2.25, 3.18, 3.46]) {
        assert!((got - want).abs() < 1e-12, "{got} {want}");
    }
    // Once passed it stays so, be it that the milk warms again.
    marks.pass(5.0, 0.5, 11.0, 9.0);
    assert_eq!(marks.hours[0], 2.25);
    assert_eq!(Marks::new(10.0).hours, [0.0, LONGEST_H, LONGEST_H]);
}
