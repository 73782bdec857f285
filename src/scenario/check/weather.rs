//! The weather's part in the milk: warm months, and hot spells within them.

use super::{
    super::{
        plan::{HeatPlan, HotPlan},
        raw,
    },
    context::{Ctx, under},
};
use crate::dairy::{breeding::YEAR, heat};

/// Mean excess of the temperature-humidity index over its limit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Excess {
    /// By month.
    usual: [f64; 12],
    /// By month, in a hot spell; `None` where there are none.
    hot: Option<[f64; 12]>,
    /// Part of the days above the limit, by month: of usual days, of hot spells.
    pub above: HeatPlan,
}

/// The weather as written; `None` without one.
pub(super) fn excess(c: &mut Ctx, raw: &Option<raw::Weather>) -> Option<Excess> {
    let w = raw.as_ref()?;
    let p = |key: &str| under("weather", key);
    let bounds = &super::climate::temperature_range(-40.0, 50.0);
    let base = c.within(&p("temperature"), &w.temperature, -40.0..=50.0, bounds).unwrap_or(10.0);
    let warm = w.by_month.clone().unwrap_or_default();
    let celsius = c.by_month(&p("by month"), &warm, base, |c, at, q| {
        c.within(at, &Some(q.clone()), -40.0..=50.0, bounds)
    });
    let base = c.within(&p("humidity"), &w.humidity, 0.0..=1.0, "a part from 0 to 100 %").unwrap_or(0.65);
    let damp = w.humidity_by_month.clone().unwrap_or_default();
    let humidity = c.by_month(&p("humidity by month"), &damp, base, |c, at, q| c.read(at, &Some(q.clone())));
    // Days of a month differ by about 3 °C (our default).
    let swing =
        c.within(&p("swings"), &w.swings, 0.0..=15.0, "a difference up to 15 °C (27 °F)").unwrap_or(3.0);
    let by = |more: f64| std::array::from_fn(|m| heat::mean_excess(celsius[m] + more, humidity[m], swing));
    // Weather services speak of a heat wave from about 5 °C above what is usual (from memory).
    let hotter =
        c.within(&p("hotter by"), &w.hotter_by, 0.5..=20.0, "a difference from 0.5 to 20 °C (0.9 to 36 °F)");
    let hotter = hotter.unwrap_or(5.0);
    let days = |more: f64| std::array::from_fn(|m| heat::part_above(celsius[m] + more, humidity[m], swing));
    Some(Excess {
        usual: by(0.0),
        hot: w.hot_spells.as_ref().map(|_| by(hotter)),
        above: HeatPlan { usual: days(0.0), hot: days(hotter) },
    })
}

/// Hot spells: how often by month, and how long.
pub(super) fn spells(c: &mut Ctx, raw: &Option<raw::Weather>) -> Option<HotPlan> {
    let w = raw.as_ref()?;
    let p = |key: &str| under("weather", key);
    // Three days and more make a spell (common practice, no source).
    let days = c.within(&p("a spell lasts"), &w.a_spell_lasts, 1.0..=60.0, "a time from 1 to 60 days");
    let Some(written) = &w.hot_spells else {
        for (key, there) in
            [("a spell lasts", w.a_spell_lasts.is_some()), ("hotter by", w.hotter_by.is_some())]
        {
            if there {
                let d =
                    crate::diagnostics::Diagnostic::error("it is not said how often there are hot spells");
                c.push_key(&p(key), d.help("write such as `hot spells: {jul: 2, aug: 1}`"));
            }
        }
        return None;
    };
    let a_month =
        c.by_month(&p("hot spells"), written, 0.0, |c, at, t| c.number(at, &Some(t.clone()), 0.0..=10.0));
    Some(HotPlan { rate: std::array::from_fn(|m| a_month[m] * 12.0 / YEAR), days: days.unwrap_or(4.0) })
}

/// Part of the milk by month, from heat and from what the family says, on usual
/// days and in a hot spell; empty where nothing changes it.
pub(super) fn months(
    c: &mut Ctx,
    at: &str,
    a: &raw::Animal,
    excess: Option<&Excess>,
) -> (Vec<f64>, Vec<f64>) {
    let loses = c
        .within(&under(at, "loses in heat"), &a.loses_in_heat, 0.0..=0.1, "a part up to 10 % a point")
        .unwrap_or(0.0);
    let own = a.milk_by_month.clone().unwrap_or_default();
    let path = under(at, "milk by month");
    let own = c.by_month(&path, &own, 1.0, |c, at, t| {
        let part = c.factor(at, t.get())?;
        if !(0.2..=2.0).contains(&part) {
            c.error(at, format!("`{}` is out of reason here", t.get()), "write a part from 20 to 200 %");
            return None;
        }
        Some(part)
    });
    let with = |excess: Option<&[f64; 12]>| {
        let hot = |m: usize| excess.map_or(1.0, |e| (1.0 - loses * e[m]).max(0.3));
        let all: Vec<f64> = own.iter().enumerate().map(|(m, part)| part * hot(m)).collect();
        if all.iter().all(|p| (p - 1.0).abs() < 1e-12) { Vec::new() } else { all }
    };
    let hot = excess.and_then(|e| e.hot.as_ref());
    (with(excess.map(|e| &e.usual)), hot.map_or_else(Vec::new, |e| with(Some(e))))
}
