//! What a rule does, by its words, and which settings go with it.

use super::{
    super::{
        super::raw::Rule,
        context::{Ctx, list, under},
        recipes::asked_for,
    },
    day_words,
};
use crate::diagnostics::Diagnostic;

/// What a rule does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Does {
    Skim,
    Make,
    Move,
    Feed,
    PourOut,
    DryOff,
    CalfOn,
    OnceADay,
    TwiceADay,
    ShutIn,
    TakeCalf,
    Thaw,
    HandOut,
    Buy,
}

use Does::{
    Buy, CalfOn, DryOff, Feed, HandOut, Make, Move, OnceADay, PourOut, ShutIn, Skim, TakeCalf, Thaw,
    TwiceADay,
};

/// The words that a family writes.
const ACTIONS: [(&str, Does); 14] = [
    ("skim", Skim),
    ("make", Make),
    ("move", Move),
    ("feed", Feed),
    ("pour out", PourOut),
    ("dry off", DryOff),
    ("leave the calf on", CalfOn),
    ("milk once a day", OnceADay),
    ("milk twice a day", TwiceADay),
    ("shut the calf in", ShutIn),
    ("take the calf off", TakeCalf),
    ("thaw", Thaw),
    ("hand out", HandOut),
    ("buy", Buy),
];

/// Those that speak of one animal.
const OF_AN_ANIMAL: [Does; 6] = [DryOff, CalfOn, OnceADay, TwiceADay, ShutIn, TakeCalf];

impl Does {
    /// Its words.
    fn words(self) -> &'static str {
        ACTIONS.iter().find(|(_, does)| *does == self).map_or("", |(words, _)| words)
    }

    /// Whether it is done to one animal.
    pub(super) fn is_of_an_animal(self) -> bool {
        OF_AN_ANIMAL.contains(&self)
    }
}

/// What the rule says it does.
pub(super) fn does(c: &mut Ctx, at: &str, rule: &Rule) -> Option<Does> {
    if rule.does.is_none() {
        let words: Vec<&str> = ACTIONS.iter().map(|(w, _)| *w).collect();
        c.missing(at, &["do"], "`do`", format!("say what is done: {}", list(&words)));
        return None;
    }
    c.choice(&under(at, "do"), &rule.does, &ACTIONS)
}

/// Settings that mean nothing for this action.
pub(super) fn strays(c: &mut Ctx, at: &str, does: Does, r: &Rule) {
    let settings: [(&str, bool, &[Does]); 15] = [
        ("what", r.what.is_some(), &[Make, Move, Feed, PourOut, Thaw, HandOut, Buy]),
        ("with", r.with.is_some(), &[Skim]),
        ("milk of", r.milk_of.is_some(), &[Skim]),
        ("after", r.after.is_some(), &[Skim]),
        ("leave", r.leave.is_some(), &[Skim]),
        ("take", r.take.is_some(), &[Skim]),
        ("cuts", r.cuts.is_some(), &[Skim]),
        ("a jar takes", r.a_jar_takes.is_some(), &[Skim]),
        ("batch", r.batch.is_some(), &[Make]),
        ("to", r.to.is_some(), &[Move]),
        ("how much", r.how_much.is_some(), &[Move, Feed, PourOut, Thaw, HandOut, Buy]),
        ("who", r.who.is_some(), &OF_AN_ANIMAL),
        ("for", r.for_.is_some(), &[CalfOn, OnceADay, ShutIn]),
        ("apart", r.apart.is_some(), &[ShutIn]),
        ("keep back", r.keep_back.is_some(), &[Skim, Make, Move, Feed, PourOut, Thaw, HandOut]),
    ];
    for (key, there, of) in settings {
        if there && !of.contains(&does) {
            let d = Diagnostic::error(format!("`{key}` means nothing for `do: {}`", does.words()));
            c.push_key(&under(at, key), d.help("leave it out"));
        }
    }
}

/// The rule in a few words.
pub(super) fn name(does: Does, what: &str, weekdays: u8, rule: &Rule) -> String {
    let mut words = match does {
        CalfOn => format!("leave the calf on {what}"),
        OnceADay => format!("milk {what} once a day"),
        TwiceADay => format!("milk {what} twice a day again"),
        ShutIn => format!("shut in the calf of {what}"),
        TakeCalf => format!("take the calf off {what}"),
        Skim if asked_for(rule).is_some() => "skim with the separator".to_owned(),
        Skim => match (&rule.take, &rule.leave) {
            (Some(t), _) => format!("skim {}", t.get()),
            (None, Some(t)) => format!("skim to {}", t.get()),
            (None, None) => "skim".to_owned(),
        },
        _ => format!("{} {what}", does.words()).trim().to_owned(),
    };
    if let (Move, Some(to)) = (does, &rule.to) {
        words = format!("{words} to the {}", to.get());
    }
    if weekdays != 0b111_1111 {
        words = format!("{words} on {}", day_words(weekdays));
    }
    words
}
