//! Tables of a comparison.

use super::{Voice, in_words};
use crate::report::amounts::percent;
use crate::report::compare::amounts::Tongue;
use crate::report::page::Page;
use crate::report::tables::{BREAK, add, firm, row, table};
use crate::report::words::capital;
use crate::study::compare::{Against, AimPair, Good, Pair, QuantilePair};
use crate::units::show;

/// A difference of so little of what matters is about nothing.
const A_SPECK: f64 = 0.02;
/// Numbers of the 90th and 95th percentile among the quantiles of a pair.
const ROOM_ENDS: [usize; 2] = [2, 3];

/// A measure, and how a table says it of a pair: of the base, or of the choice.
type Column<'c> = (&'c str, &'c dyn Fn(&Pair, bool) -> String);

impl Voice<'_> {
    pub(super) fn aims_table(&self, page: &mut Page) {
        let Some(first) = self.found.choices.iter().find(|c| !c.aims.is_empty()) else { return };
        let aims: Vec<&AimPair> = first.aims.iter().collect();
        let head: Vec<String> =
            std::iter::once(String::new()).chain((1..=aims.len()).map(|i| format!("{i}."))).collect();
        let mut t = table(&head.iter().map(String::as_str).collect::<Vec<_>>());
        let line = |name: &str, parts: Vec<String>| {
            std::iter::once(name.to_string()).chain(parts).collect::<Vec<_>>()
        };
        row(&mut t, &line(&self.found.base, aims.iter().map(|a| percent(a.base)).collect()));
        for choice in &self.found.choices {
            let of = |aim: &AimPair| {
                let same = choice.aims.iter().find(|a| a.aim == aim.aim);
                same.map_or_else(|| "not set".into(), |a| percent(a.choice))
            };
            row(&mut t, &line(&choice.name, aims.iter().map(|a| of(a)).collect()));
        }
        let words: Vec<String> =
            aims.iter().enumerate().map(|(i, a)| format!("{}. {}", i + 1, a.aim)).collect();
        add(page, &format!("Part of all {} in which each aim is kept", self.span.many()), t);
        page.say(format!("{}.", words.join("; ")));
    }

    pub(super) fn table(&self, page: &mut Page, choice: &Against) {
        let t = &self.tongue;
        let better = format!("better :{BREAK}worse");
        let mut rows = table(&["", "base", "choice", "difference", &better]);
        let mut any = false;
        for p in choice.measures.iter().filter(|p| in_words(self.told, choice, p)) {
            any = true;
            let n = f64::from(self.found.trials.max(1));
            let [up, _, down] = p.better_alike_worse().map(|k| hundreds(f64::from(k) / n));
            let told = p.good == Good::Told;
            row(
                &mut rows,
                &[
                    t.noun(p.key),
                    t.value(p.key, p.base),
                    t.value(p.key, p.choice),
                    signed(t, p, p.difference),
                    if told { String::new() } else { format!("{up} : {down}") },
                ],
            );
        }
        if any {
            firm(&mut rows);
            add(page, &format!("{} against {}", capital(&choice.name), self.found.base), rows);
        }
    }

    /// Where the cold differs: room wanted, chilling, what the stores use.
    pub(super) fn cold_tables(&self, page: &mut Page) {
        let differs = |name: &str| {
            let pairs = self.found.choices.iter().filter_map(|c| c.measure(name));
            pairs.clone().any(|p| p.counts.higher + p.counts.lower > 0)
        };
        if self.told.chosen || !["cold_room_wanted", "chill_hours", "energy_used"].iter().any(|n| differs(n))
        {
            return;
        }
        self.rooms(page);
        self.chilling(page);
    }

    /// A row for the base and each choice, of what `cell` makes of each column's pair.
    fn sides(&self, columns: &[Column]) -> Option<Vec<Vec<String>>> {
        let first = self.found.choices.first()?;
        let side = |name: &str, of: &Against, base: bool| {
            let cells = columns
                .iter()
                .map(|(measure, cell)| of.measure(measure).map_or_else(String::new, |p| cell(p, base)));
            std::iter::once(name.to_owned()).chain(cells).collect::<Vec<_>>()
        };
        let rows = self.found.choices.iter().map(|c| side(&c.name, c, false));
        Some(std::iter::once(side(&self.found.base, first, true)).chain(rows).collect())
    }

    fn rooms(&self, page: &mut Page) {
        let t = &self.tongue;
        let of = |q: &QuantilePair, base: bool| if base { q.base } else { q.choice };
        let room = |end: usize| {
            move |p: &Pair, base: bool| {
                p.quantiles.get(end).map_or_else(String::new, |q| t.value(p.key, of(q, base)))
            }
        };
        let jars = |end: usize| {
            move |p: &Pair, base: bool| {
                p.quantiles.get(end).map_or_else(String::new, |q| show::whole(of(q, base)))
            }
        };
        let [a, b] = ROOM_ENDS;
        let rows = self.sides(&[
            ("cold_room_wanted", &room(a)),
            ("cold_room_wanted", &room(b)),
            ("jars_wanted", &jars(a)),
            ("jars_wanted", &jars(b)),
        ]);
        let Some(rows) = rows else { return };
        let jar = self.told.names.jars.first().map_or("jars".to_owned(), |j| format!("{j}s"));
        let head = |what: &str, of: &str| format!("{what}{BREAK}{of}");
        let heads = [
            String::new(),
            head("room", "9 of 10"),
            head("room", "19 of 20"),
            head(&jar, "9 of 10"),
            head(&jar, "19 of 20"),
        ];
        let mut out = table(&heads.iter().map(String::as_str).collect::<Vec<_>>());
        rows.iter().for_each(|cells| row(&mut out, cells));
        firm(&mut out);
        add(
            page,
            &format!("Cold room wanted: no more in 9 of 10, and in 19 of 20 {}", self.span.many()),
            out,
        );
        page.say(format!(
            "At the fullest moment of a {}, other food included. A larger store is asked for more, because less is fed \
             away for want of room: this tells what these rules use, not what would do; `size` tries that.",
            self.span.one()
        ));
    }

    fn chilling(&self, page: &mut Page) {
        let t = &self.tongue;
        let mean = |p: &Pair, base: bool| if base { p.base } else { p.choice };
        let hours = |p: &Pair, base: bool| t.value(p.key, mean(p, base));
        let kept = |p: &Pair, base: bool| percent(1.0 - mean(p, base));
        let part = |p: &Pair, base: bool| percent(mean(p, base));
        let cold = t.temperature(4.4);
        let chilled = self.found.choices.iter().filter_map(|c| c.measure("chill_hours"));
        if !chilled.clone().any(|p| p.base.max(p.choice) > 0.0) {
            return;
        }
        let power = |p: &Pair, base: bool| show::rough(mean(p, base));
        let powered = self.found.choices.iter().any(|c| c.measure("energy_used").is_some());
        let heads = [
            String::new(),
            format!("hours above{BREAK}{cold}"),
            format!("milkings that{BREAK}kept the rule"),
            format!("left out of the{BREAK}cold, for room"),
            format!("kWh{BREAK}a day"),
        ];
        let columns: [Column; 4] = [
            ("chill_hours", &hours),
            ("chill_late_part", &kept),
            ("chill_left_out_part", &part),
            ("energy_used", &power),
        ];
        let columns = if powered { &columns[..] } else { &columns[..3] };
        let Some(rows) = self.sides(columns) else { return };
        let mut out = table(&heads.iter().take(columns.len() + 1).map(String::as_str).collect::<Vec<_>>());
        rows.iter().for_each(|cells| row(&mut out, cells));
        firm(&mut out);
        add(page, &format!("Chilling, mean of all {}", self.span.many()), out);
        page.say(format!(
            "Hours until the slowest jar of a milking is down to {cold}, of milkings that all found room. The rule is \
             that of the dairy ordinances (7 °C, 45 °F, within two hours after milking), which binds licensed dairies. \
             Chilled in time is not the same as safe."
        ));
    }
}

/// A difference with its sign.
pub(in crate::report::compare) fn signed(t: &Tongue, p: &Pair, difference: f64) -> String {
    let size = t.size(p.key, difference);
    if difference == 0.0 {
        size
    } else if difference.abs() < A_SPECK * p.margin || size.starts_with("under ") {
        "about 0".into()
    } else if difference > 0.0 {
        format!("+{size}")
    } else {
        format!("−{size}")
    }
}

/// So many of a hundred, as a bare number.
fn hundreds(part: f64) -> String {
    let h = part * 100.0;
    if h > 0.0 && h < 0.5 {
        "<1".into()
    } else if h > 99.5 && h < 100.0 {
        ">99".into()
    } else {
        show::whole(h)
    }
}
