//! What came in that day, and where it went.

use super::*;

impl Day<'_> {
    /// `Clover 1.4 gal in the morning and 1.2 gal in the evening`.
    pub(super) fn came(&self) -> Option<String> {
        let mut out = Vec::new();
        for animal in 0..self.told.plan.animals.len() {
            let kg = |evening: bool| -> f64 {
                let moment = Moment::Milked { evening };
                let mine = self.events.iter().filter(|e| e.moment == moment);
                mine.map(|e| match e.what {
                    What::Came { animal: Some(a), .. } if a == animal => e.matter.mass,
                    What::Went { fate: Fate::Calf, animal: Some(a), .. } if a == animal => -e.matter.mass,
                    _ => 0.0,
                })
                .sum()
            };
            let milkings: Vec<String> = [(false, "in the morning"), (true, "in the evening")]
                .into_iter()
                .map(|(evening, words)| (kg(evening), words))
                .filter(|(kg, _)| *kg > SPECK)
                .map(|(kg, words)| format!("{} {words}", self.told.amount(None, kg)))
                .collect();
            let calf: f64 = self.sum(
                |e| matches!(e.what, What::Went { fate: Fate::Calf, animal: Some(a), .. } if a == animal),
            );
            if milkings.is_empty() && calf <= SPECK {
                continue;
            }
            let mut text = self.animal(animal).to_string();
            if !milkings.is_empty() {
                text = format!("{text} {}", join(&milkings, "and"));
            }
            if calf > SPECK {
                let also = if milkings.is_empty() { "" } else { "," };
                text = format!("{text}{also} {} to her young", self.told.amount(None, calf));
            }
            out.push(text);
        }
        let fetched = self.sum(|e| matches!(e.what, What::Came { source: Source::Fetched, .. }));
        if fetched > SPECK {
            out.push(format!("fetched {}", self.told.amount(None, fetched)));
        }
        for (want, kg) in self.bought() {
            out.push(format!("bought {} of {}", self.told.want_amount(want, kg), self.told.want(want)));
        }
        let missed: u32 = self.events.iter().map(|e| if let What::NotCome(n) = e.what { n } else { 0 }).sum();
        match (missed, &self.told.names.fetches[..]) {
            (0, _) => {}
            (1, [name]) => out.push(format!("{name} did not come")),
            (1, _) => out.push("a delivery did not come".into()),
            (n, _) => out.push(format!("{n} deliveries did not come")),
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// Amounts by item of the events that a test holds for, in order of items.
    pub(super) fn by_item(&self, test: impl Fn(&Event) -> Option<Option<ItemId>>) -> Vec<String> {
        let mut all: Vec<(Option<ItemId>, f64)> = Vec::new();
        for e in &self.events {
            let Some(item) = test(e) else { continue };
            match all.iter_mut().find(|(i, _)| *i == item) {
                Some((_, kg)) => *kg += e.matter.mass,
                None => all.push((item, e.matter.mass)),
            }
        }
        let words = |(item, kg): (Option<ItemId>, f64)| match item {
            Some(i) => self.told.amount_of(i, kg),
            None => self.told.show().mass(kg),
        };
        all.retain(|(_, kg)| *kg > SPECK);
        // Beside something larger a few grams are no amount to tell.
        let large = all.iter().any(|(_, kg)| *kg >= A_LITTLE);
        let (told, little): (Vec<_>, Vec<_>) =
            all.into_iter().partition(|(item, kg)| !large || *kg >= A_LITTLE || item.is_none());
        let a_little = little.into_iter().filter_map(|(item, _)| item);
        told.into_iter()
            .map(words)
            .chain(a_little.map(|i| format!("a little {}", self.told.item(i))))
            .collect()
    }

    pub(super) fn soured(&self) -> Option<String> {
        let mut out = Vec::new();
        for e in &self.events {
            if let What::Turned { from, to } = e.what
                && e.matter.mass > SPECK
            {
                let what = self.told.amount_of(from, e.matter.mass);
                out.push(format!("{what} has become {}", self.told.item(to)));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    pub(super) fn table(&self) -> Option<String> {
        let of = |fate: Fate| {
            self.by_item(|e| match e.what {
                What::Went { fate: f, item, .. } if f == fate => Some(item),
                _ => None,
            })
        };
        let (drunk, eaten) = (of(Fate::Drunk), of(Fate::Eaten));
        let parts: Vec<String> = [("drank", drunk), ("ate", eaten)]
            .into_iter()
            .filter(|(_, items)| !items.is_empty())
            .map(|(verb, items)| format!("{verb} {}", join(&items, "and")))
            .collect();
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    pub(super) fn short(&self) -> Option<String> {
        let (mut none, mut some) = (Vec::new(), Vec::new());
        for e in &self.events {
            if let What::Short { want, wanted } = e.what {
                let what = self.told.want(want);
                if e.matter.mass > SPECK {
                    some.push(format!("{what}, {}", self.told.want_part(want, e.matter.mass, wanted)));
                } else {
                    none.push(format!("no {what}"));
                }
            }
        }
        if !none.is_empty() {
            some.push(join(&none, "and"));
        }
        (!some.is_empty()).then(|| some.join("; "))
    }

    pub(super) fn fed(&self) -> Option<String> {
        let mut out = Vec::new();
        let outlets = self.told.plan.outlets.len();
        for outlet in (0..outlets).map(Some).chain([None]) {
            let items = self.by_item(|e| match e.what {
                What::Went { fate: Fate::Fed, item, outlet: o, .. } if o == outlet => Some(item),
                _ => None,
            });
            if !items.is_empty() {
                let name =
                    outlet.and_then(|o| self.told.names.outlets.get(o)).map_or("animals", String::as_str);
                out.push(format!("{name} {}", join(&items, "and")));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// What was wasted or poured out, by its cause.
    pub(super) fn lost(&self) -> Option<String> {
        let mut out = Vec::new();
        for fate in Fate::ALL.into_iter().filter(|f| f.is_waste() || *f == Fate::ByproductPoured) {
            let items = self.by_item(|e| match e.what {
                What::Went { fate: f, item, .. } if f == fate => Some(item),
                _ => None,
            });
            if !items.is_empty() {
                let words = crate::report::words::fate_words(fate.key(), None);
                let cause = words.strip_prefix("wasted: ").unwrap_or("a by-product nobody took");
                out.push(format!("{} ({cause})", join(&items, "and")));
            }
        }
        let broke: u32 = self.events.iter().map(|e| if let What::Broke(n) = e.what { n } else { 0 }).sum();
        if broke > 0 {
            out.push(format!("{} broken", crate::report::amounts::counted(f64::from(broke), "jar", "jars")));
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// Milk that people may not have.
    pub(super) fn kept(&self) -> Option<String> {
        let fates = [
            (Fate::ColostrumNewborn, "of colostrum for the newborn"),
            (Fate::ColostrumFed, "of colostrum fed to other animals"),
            (Fate::ColostrumFrozen, "of colostrum frozen for a newborn"),
            (Fate::Withheld, "of colostrum poured out"),
            (Fate::WithheldSick, "while she was ill or treated"),
        ];
        let mut out = Vec::new();
        for (fate, words) in fates {
            let kg = self.sum(|e| matches!(e.what, What::Went { fate: f, .. } if f == fate));
            if kg > SPECK {
                out.push(format!("{} {words}", self.told.amount(None, kg)));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// What left the house one way: `2 gal of whole milk`.
    pub(super) fn gone(&self, fate: Fate) -> Option<String> {
        let items = self.by_item(|e| match e.what {
            What::Went { fate: f, item, .. } if f == fate => Some(item),
            _ => None,
        });
        (!items.is_empty()).then(|| join(&items, "and"))
    }

    /// What was bought, by want.
    fn bought(&self) -> Vec<(usize, f64)> {
        let mut all: Vec<(usize, f64)> = Vec::new();
        for e in &self.events {
            let What::Came { source: Source::Bought, want, .. } = e.what else { continue };
            let want = want.unwrap_or(0);
            match all.iter_mut().find(|(w, _)| *w == want) {
                Some((_, kg)) => *kg += e.matter.mass,
                None => all.push((want, e.matter.mass)),
            }
        }
        all.retain(|(_, kg)| *kg > SPECK);
        all
    }
}
