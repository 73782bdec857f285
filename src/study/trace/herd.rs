//! What befell the animals, from how they stand from day to day.

use crate::scenario::plan::Apart;
use crate::sim::Luck;
use crate::sim::watch::{Calf, Standing, View};

/// Something that befell an animal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Herd {
    /// She came to the family.
    Came,
    /// She left it.
    Left,
    /// She freshened.
    Freshened,
    /// She gives no more milk.
    Dry,
    /// She fell ill.
    FellIll,
    /// From today her milk is kept from people for illness or treatment.
    KeptFromPeople,
    /// From today people may have it again.
    FitAgain,
    /// A heat passed unseen.
    HeatUnseen,
    /// She was bred, and did not settle.
    Bred,
    /// She was bred, and settled.
    Settled,
    /// She is bred no more: she did not settle.
    NotSettled,
    /// The run ends, and she has not settled in a time round of breeding.
    LeftOpen,
    /// Her young is with her day and night again.
    YoungOn,
    /// Her young is shut in overnight from now on.
    YoungShutIn(Apart),
    /// Her young is off her.
    YoungOff,
    /// She is milked once a day for a time.
    OnceADay,
    /// She is milked as before.
    AsBefore,
}

/// How the animals stood yesterday.
pub(super) struct Stands {
    before: Vec<Option<Standing>>,
}

impl Stands {
    pub(super) fn new(animals: usize) -> Self {
        Self { before: vec![None; animals] }
    }

    /// What is new this morning, animal by animal.
    pub(super) fn news(&mut self, view: &View, luck: &Luck) -> Vec<(usize, Herd)> {
        let mut all = Vec::new();
        for (animal, before) in self.before.iter_mut().enumerate() {
            let now = view.standing(animal);
            let mut say = |what: Herd| all.push((animal, what));
            let fresh = now.here && now.fresh == view.day() as i32;
            if let Some(b) = before {
                changes(b, &now, fresh, &mut say);
            } else {
                if fresh {
                    say(Herd::Freshened);
                }
                if now.kept {
                    say(Herd::KeptFromPeople);
                }
                (0..now.cases).for_each(|_| say(Herd::FellIll));
            }
            if now.here {
                let today = |day: f64| day.round() as i32 == view.day() as i32;
                for heat in view.tried(animal, luck).into_iter().filter(|h| today(h.day)) {
                    say(match (heat.used, heat.settled) {
                        (_, true) => Herd::Settled,
                        (true, _) => Herd::Bred,
                        _ => Herd::HeatUnseen,
                    });
                }
            }
            if now.gives_up {
                say(Herd::NotSettled);
            }
            if now.left_open {
                say(Herd::LeftOpen);
            }
            *before = Some(now);
        }
        all
    }
}

/// What differs from yesterday.
fn changes(b: &Standing, now: &Standing, fresh: bool, say: &mut impl FnMut(Herd)) {
    if now.here && !b.here {
        say(Herd::Came);
    }
    if b.here && !now.here {
        say(Herd::Left);
    }
    if fresh {
        say(Herd::Freshened);
    }
    if b.in_milk && !now.in_milk && now.here {
        say(Herd::Dry);
    }
    (b.cases..now.cases).for_each(|_| say(Herd::FellIll));
    match (b.kept, now.kept) {
        (false, true) => say(Herd::KeptFromPeople),
        (true, false) if now.in_milk => say(Herd::FitAgain),
        _ => {}
    }
    if !(b.in_milk && now.in_milk) || fresh {
        return;
    }
    match (b.young, now.young) {
        (a, b) if a == b => {}
        (_, Calf::Gone) => say(Herd::YoungOff),
        (_, Calf::ShutIn(apart)) => say(Herd::YoungShutIn(apart)),
        (_, Calf::FullTime) => say(Herd::YoungOn),
    }
    if now.once != b.once {
        say(if now.once { Herd::OnceADay } else { Herd::AsBefore });
    }
}
