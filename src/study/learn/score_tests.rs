//! What is said of forecasts.

use nalgebra::Vector3;
use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};
use rand_distr::StandardNormal;

use super::tests::{FRESH, jersey, simulate};
use super::*;
use crate::calendar::date_of;

#[test]
fn keeping_score() {
    use super::score::{Trust, score};
    use crate::records::Forecast;
    let prior = jersey();
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(10);
    let v = prior.mean(2);
    let curve = |t: u16| prior.axes.row(f64::from(t)).dot(&v).exp();
    // White noise, so that the days stand for themselves; 1.2816 sd either way is 80 %.
    let noise = Noise { white: 0.08, slow: 0.0, phi: 0.0 };
    let days = simulate(&v, &prior, &noise, 4, 300, &mut rng);
    let pail = days.iter().map(|d| (d.date, d.pail_kg)).collect();
    let forecast = |wide: f64, shift: f64| -> Vec<Forecast> {
        days.iter()
            .map(|d| {
                let middle = curve(d.dim) * shift;
                let half = 1.2816 * 0.08 * wide * middle;
                Forecast { date: d.date, low_kg: middle - half, middle_kg: middle, high_kg: middle + half }
            })
            .collect()
    };
    let good = score(&pail, &forecast(1.0, 1.0));
    assert_eq!((good.days, good.trust), (297, Trust::Holds));
    assert!(good.off.abs() < 0.2 && (good.ups_and_downs - 1.0).abs() < 0.1, "{good:?}");
    assert!(good.bias.abs() < 0.015 && (0.74..0.86).contains(&(f64::from(good.inside) / 297.0)), "{good:?}");
    assert_eq!(score(&pail, &forecast(0.4, 1.0)).trust, Trust::TooNarrow);
    // One forecast that holds every day may have been lucky.
    assert_eq!(score(&pail, &forecast(3.0, 1.0)).trust, Trust::Holds);
    let high = score(&pail, &forecast(1.0, 1.35));
    assert!((high.bias + 0.26).abs() < 0.02 && high.off < -2.24, "{high:?}");
    assert_eq!(high.trust, Trust::Off);
    assert_eq!(score(&pail, &forecast(1.0, 1.0)[..5]).trust, Trust::TooFew);
    let none = score(&pail, &[]);
    assert_eq!((none.days, none.trust, none.span), (0, Trust::TooFew, None));
}

/// Forecasts that are honest, with all that their days share: of her level nothing
/// is known but the breed, and a slow part carries over. At most one in twelve is
/// called wrong (one in twenty is meant), whatever their length; and a forecast that
/// leaves her level out is found out.
#[test]
fn honest_forecasts_are_not_called_wrong() {
    use super::score::{Trust, score};
    use crate::records::Forecast;
    let prior = jersey();
    let noise = prior.noise;
    for (seed, days, level) in [(61, 14, 0.18), (62, 28, 0.18), (63, 28, 0.04), (64, 90, 0.08)] {
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
        let mut wrong = [0, 0];
        for _ in 0..400 {
            let z: f64 = rng.sample(StandardNormal);
            let her = (level * z - 0.5 * level * level).exp();
            let mut v = prior.mean(2);
            let curve = |v: &Vector3<f64>, t: u16| prior.axes.row(f64::from(t)).dot(v).exp();
            let forecast = |sd: f64| -> Vec<Forecast> {
                let of = |t: u16| {
                    let middle = curve(&prior.mean(2), t);
                    let half = 1.2816 * sd * middle;
                    let date = date_of(FRESH, i64::from(t) - 1);
                    Forecast { date, low_kg: middle - half, middle_kg: middle, high_kg: middle + half }
                };
                (40..40 + days).map(of).collect()
            };
            v[0] += her.ln();
            let pail = simulate(&v, &prior, &noise, 40, 39 + days, &mut rng);
            let pail = pail.iter().map(|d| (d.date, d.pail_kg)).collect();
            let sds = [level.hypot(noise.total()), 0.3 * noise.total()];
            for (count, sd) in wrong.iter_mut().zip(sds) {
                *count += u32::from(score(&pail, &forecast(sd)).trust != Trust::Holds);
            }
        }
        println!(
            "{days} days, level {level}: honest {} and narrow {} of 400 called wrong",
            wrong[0], wrong[1]
        );
        assert!(wrong[0] <= 33, "{days} {level}: {wrong:?}");
        assert!(wrong[1] >= 300, "{days} {level}: {wrong:?}");
    }
}
