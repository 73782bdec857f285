//! What a log says of her, in words.

use super::super::amounts::percent;
use super::super::{Block, Page, Show};
use super::Told;
use crate::records::Aside;
use crate::study::learn::Range;
use crate::study::learn::fit::FALSE_ALARMS;
use crate::units::show;

/// Rows that are listed when not all are asked for.
const LISTED: usize = 12;
/// A range within this of even is no difference that counts.
const SLIGHT: f64 = 0.005;

/// The page.
#[must_use]
pub fn page(told: &Told) -> Page {
    let mut page = Page::default();
    let lesson = told.lesson;
    let n = lesson.fit.days - lesson.fit.wrong.len();
    page.blocks.push(Block::Title(format!(
        "{}: what {} of log {} of her milk",
        told.name,
        show::counted(n as f64, "day", "days"),
        if n == 1 { "says" } else { "say" }
    )));
    super::doubt::look_first(told, &mut page);
    answer(told, &mut page);
    noise(told, &mut page);
    wrong(told, &mut page);
    several(told, &mut page);
    rows(told, &mut page);
    page.part(
        "For your scenario",
        "Paste this in place of her entry, or have it written to a file with --write:",
    );
    page.blocks.push(Block::Table(super::fragment(told)));
    page.heading("What to keep in mind");
    page.item(
        "The range stands for what her curve gives when all goes well. Illness, heat, a change of feed and a \
         late or early drying off come on top; the days of the log hold those that were in it.",
    );
    page.item(
        "A day that looks wrong may be a slip of the pen, or she may be unwell: look at her, and ask the \
         veterinarian if her milk stays down.",
    );
    page
}

fn between(r: &Range, say: impl Fn(f64) -> String) -> String {
    format!("{} to {}", say(r.low), say(r.high))
}

fn answer(told: &Told, page: &mut Page) {
    let lesson = told.lesson;
    let show = Show::new(told.units);
    let (Some(l), Some(days)) = (lesson.fit.lactations.last(), lesson.days.lactations.last()) else { return };
    let mass = |kg: f64| show.mass(kg);
    let both = |kg: f64| format!("{} ({})", show.mass(kg), show.milk(kg));
    page.say(format!(
        "In {} days of this lactation (number {}, freshened {}) she is expected to give {}; 8 of 10 times {}.{}",
        lesson.usual_days,
        days.number,
        days.fresh,
        both(l.total_mean),
        between(&l.total, mass),
        level(told, &l.level)
    ));
    let mut facts = Vec::new();
    facts.push(format!(
        "At her best she gives {} a day (8 of 10 times {}), about day {} ({}).",
        both(l.peak.middle),
        between(&l.peak, mass),
        show::whole(l.peak_day.middle),
        between(&l.peak_day, show::whole)
    ));
    facts.push(format!(
        "On day {} she still gives {} of that ({}).",
        lesson.usual_days,
        percent(l.holds.middle),
        between(&l.holds, percent)
    ));
    if let Some(left) = lesson.once_left {
        facts.push(format!(
            "All this is as if she were milked twice. Milked once a day, as on most of these days, the pail holds \
             about {}.",
            both(left * l.total_mean)
        ));
    }
    let span = if days.first == days.last {
        format!("of day {} in milk", days.last)
    } else {
        format!("from day {} to day {} in milk", days.first, days.last)
    };
    let slips = lesson.fit.wrong.iter().any(|w| w.day.date >= days.fresh);
    facts.push(format!(
        "In the log stand {} {span}{}.",
        both(days.pail_kg),
        if slips { ", the days that look wrong among them" } else { "" }
    ));
    if let Some(t) = lesson.tested {
        let fat = t
            .fat_kg
            .map_or_else(String::new, |f| format!(", and {} of fat ({})", mass(f), percent(f / t.kg)));
        facts.push(format!(
            "By the test interval method her test days come to {} in {}{fat}.",
            both(t.kg),
            show::counted(t.days, "day", "days")
        ));
    }
    if let Some((fat, n)) = lesson.fat.filter(|_| lesson.tested.is_none()) {
        facts.push(format!(
            "Fat: {} on the mean of {}.",
            percent(fat),
            show::counted(n as f64, "day", "days")
        ));
    }
    // How much of the answer is hers.
    let (before, after) = (lesson.breed.total_cv, l.total_cv);
    facts.push(format!(
        "How sure: give or take {}. Of {} of which nothing is known it would be {}{}",
        percent(after),
        told.a_breed(),
        percent(before),
        if after > 0.8 * before {
            "; so far this is mostly the breed's curve, and more days will make it hers."
        } else {
            "."
        }
    ));
    if l.bent {
        facts.push(
            "Her days alone would give a curve that never rises or never falls, which a scenario does not take; \
             the nearest that it takes is written below."
                .into(),
        );
    }
    for f in facts {
        page.item(f);
    }
}

fn level(told: &Told, level: &Range) -> String {
    let part = level.middle - 1.0;
    let breed = format!("{} usually gives in such a lactation", told.a_breed());
    if part.abs() < SLIGHT {
        return format!(" That is what {breed}.");
    }
    let more = if part > 0.0 { "more" } else { "less" };
    let sure = if level.holds(1.0) { ", which may still be chance" } else { "" };
    format!(" That is {} {more} than {breed}{sure}.", percent(part.abs()))
}

fn noise(told: &Told, page: &mut Page) {
    let noise = &told.lesson.fit.noise;
    page.part(
        "From day to day",
        format!(
            "Her milk goes up and down by {} about her curve (two days of three lie within that). Of a good or \
             bad day {} is still there the next day.",
            percent(noise.total()),
            percent(noise.autocorrelation())
        ),
    );
}

fn wrong(told: &Told, page: &mut Page) {
    let show = Show::new(told.units);
    let all = &told.lesson.fit.wrong;
    page.heading("Days that look wrong");
    if all.is_empty() {
        page.say("None.");
        return;
    }
    page.say(format!(
        "{} out and {} not used for her curve. (Of {} logs without a slip one would have such a day.)",
        if all.len() == 1 { "1 day stands".to_owned() } else { format!("{} days stand", all.len()) },
        if all.len() == 1 { "is" } else { "are" },
        show::whole(1.0 / FALSE_ALARMS)
    ));
    for w in all.iter().take(if told.all { usize::MAX } else { LISTED }) {
        page.item(format!(
            "{}: {} where about {} was to be expected.",
            w.day.date,
            show.mass(w.day.pail_kg),
            show.mass(w.expected_kg)
        ));
    }
    if all.len() > LISTED && !told.all {
        page.say(format!("And {} more; --all lists them.", all.len() - LISTED));
    }
}

fn several(told: &Told, page: &mut Page) {
    let lesson = told.lesson;
    let show = Show::new(told.units);
    if lesson.days.lactations.len() > 1 {
        page.heading("Lactation by lactation");
        for (d, l) in lesson.days.lactations.iter().zip(&lesson.fit.lactations) {
            page.blocks.push(Block::Pair(
                format!("{}, freshened {}", d.number, d.fresh),
                format!(
                    "{} in {} days (8 of 10: {}), {} at the peak; from {}",
                    show.mass(l.total_mean),
                    lesson.usual_days,
                    between(&l.total, |kg| show.mass(kg)),
                    show.mass(l.peak.middle),
                    show::counted(d.days.len() as f64, "day", "days")
                ),
            ));
        }
    }
    let next = &lesson.fit.next;
    page.part(
        "Her next lactation",
        format!(
            "As much of her level as stays with an animal of the breed leads to expect {} in {} days, 8 of 10 \
             times {}.",
            show.mass(next.total_mean),
            lesson.usual_days,
            between(&next.total, |kg| show.mass(kg))
        ),
    );
}

fn rows(told: &Told, page: &mut Page) {
    let t = told.tally();
    page.heading("What became of the rows");
    let mut ends = vec![format!("{} used for her curve", show::whole(t.used as f64))];
    for (n, what) in [
        (t.calf, "of days with her young on her"),
        (t.wrong, "of days that look wrong"),
        (t.aside, "set aside"),
        (t.others, "of other animals"),
        (t.blank, "blank"),
        (t.headings, "repeated headings"),
    ] {
        if n > 0 {
            ends.push(format!("{} {what}", show::whole(n as f64)));
        }
    }
    page.say(format!(
        "{} holds {}: {}.",
        told.file,
        show::counted(t.rows as f64, "row", "rows"),
        show::listed(&ends)
    ));
    if let Some(text) = super::reasons::halves(told.log) {
        page.item(text);
    }
    for d in told.log.decided.iter().chain(&told.lesson.days.told) {
        page.item(d.as_str());
    }
    if t.calf > 0 {
        let left = told.lesson.calf_left.map_or_else(String::new, |p| {
            format!(" The pail then held about {} of what her curve says.", percent(p))
        });
        page.item(format!(
            "What her young drank is not known, so days with it on her say nothing of her curve.{left}"
        ));
    }
    list(told, page, "Set aside", told.log.aside.iter().chain(&told.lesson.days.aside));
    list(told, page, "Used, but look at them", told.log.told.iter());
}

/// Rows set aside for one kind of reason are told together.
fn list<'a>(told: &Told, page: &mut Page, title: &str, rows: impl Iterator<Item = &'a Aside>) {
    let all = super::reasons::told(rows, told.all);
    if all.is_empty() {
        return;
    }
    page.heading(title);
    let shown = if told.all { all.len() } else { LISTED };
    for line in all.iter().take(shown) {
        page.item(line.as_str());
    }
    if all.len() > shown {
        page.say(format!("And {} more kinds; --all lists them.", all.len() - shown));
    }
}
