//! The answer in words, then the table of what was tried.

use super::{Packed, Told};
use crate::report::Span;
use crate::report::amounts::{count, hundredths, join, number, per_hundred, whole};
use crate::report::page::{Block, Page};
use crate::report::tables;
use crate::report::words::{GENERAL_CAUTION, bound, capital};
use crate::study::aims::reaches;
use crate::study::size::{Answer, Rest, Standing, Tried};

/// Cautions told with a size.
const CAUTIONS: usize = 3;

/// The page.
#[must_use]
pub fn page(told: &Told) -> Page {
    let v = Voice { told, span: Span::new(&told.names.first_day, told.days) };
    let mut page = Page::default();
    page.blocks.push(Block::Title(v.title()));
    v.answer(&mut page);
    v.odd(&mut page);
    page.say(v.cost());
    page.heading("What was tried");
    page.blocks.push(Block::Table(v.table()));
    page.say(v.reading());
    v.cautions(&mut page);
    page
}

struct Voice<'a> {
    told: &'a Told<'a>,
    span: Span,
}

impl Voice<'_> {
    fn title(&self) -> String {
        let title = self.told.names.title.trim();
        let title = if title.is_empty() { self.told.file } else { title };
        let end = self.end();
        let aims = match self.told.result.wanted.len() {
            1 => "its aim".to_string(),
            2 => "both its aims".to_string(),
            n => format!("all its {n} aims"),
        };
        format!("{title}: the {end} {} that keeps {aims}", self.fields())
    }

    /// The fields that share the value.
    fn fields(&self) -> String {
        join(self.told.fields, "and")
    }

    fn sure(&self) -> String {
        format!("{} % confidence", number(self.told.result.options.sure * 100.0))
    }

    fn set(&self, at: usize) -> String {
        self.told.setting(at).to_string()
    }

    /// What is sought: `smallest`, `latest`.
    fn end(&self) -> &'static str {
        match (self.told.in_order_given, self.told.dated(), self.told.smallest) {
            (true, ..) => "first",
            (_, true, true) => "earliest",
            (_, true, false) => "latest",
            (_, _, true) => "smallest",
            (_, _, false) => "largest",
        }
    }

    /// `less` of it, or `more` people, and the other way.
    fn ways(&self) -> [&'static str; 2] {
        let all = match (self.told.in_order_given, self.told.dated()) {
            (true, _) => return ["an earlier one", "a later one"],
            (_, true) => ["earlier", "later"],
            _ => ["less", "more"],
        };
        if self.told.smallest { all } else { [all[1], all[0]] }
    }

    /// Of one that keeps the aims, and of one that does not, after it.
    fn verdicts(&self) -> [&'static str; 2] {
        match (self.told.dated() && !self.told.in_order_given, self.told.smallest) {
            (true, true) => ["is not too early", "is"],
            (true, false) => ["is not too late", "is"],
            (false, true) => ["is enough", "is not"],
            (false, false) => ["is not too much", "is"],
        }
    }

    fn answer(&self, page: &mut Page) {
        let r = self.told.result;
        if r.broken_off {
            page.say(format!(
                "Broken off after {}. This is what was known by then.",
                self.span.trials(r.trials)
            ));
        }
        self.say(page, &r.answer);
        if let Some(rest) = &r.rest {
            self.rest(page, rest);
        }
        if let Some(now) = self.told.now {
            page.say(format!("The file says {now} now."));
        }
        if let Some(packed) = &self.told.packed {
            page.say(self.packed(packed));
        }
    }

    /// What plain room means for a fridge.
    fn packed(&self, packed: &Packed) -> String {
        let what = match &packed.jars {
            Some((room, count, jar)) => {
                let jars = if *count == 1 { "jar" } else { "jars" };
                format!("{room} here are {} {jar} {jars} packed box to box", whole(f64::from(*count)))
            }
            None => "here jars are packed box to box".to_owned(),
        };
        format!(
            "Mind that `room` is plain volume: {what}, without a shelf or a gap. A fridge that is sold with that number \
             holds far fewer. To choose a fridge, size `stores.{0}.like` or `stores.{0}.how many`, or measure its \
             shelves.",
            packed.store
        )
    }

    fn say(&self, page: &mut Page, answer: &Answer) {
        match answer {
            Answer::Found { enough, fails } => self.found(page, *enough, *fails),
            Answer::NoneMeets { best, shown, unhelped } => self.none(page, *best, *shown, unhelped),
            Answer::Open { from, up_to } => self.open(page, *from, *up_to),
        }
    }

    /// What does for the aims that can be kept.
    fn rest(&self, page: &mut Page, rest: &Rest) {
        let aims: Vec<String> =
            self.told.result.judged().map(|i| bound(self.told.aim(i)).to_string()).collect();
        let these = if rest.left_out.len() == 1 { "that aim" } else { "those aims" };
        page.heading(format!("Without {these}"));
        page.say(format!(
            "Leave out {}, and ask only for {}:",
            join(&self.bounds(&rest.left_out), "and"),
            join(&aims, "and")
        ));
        self.say(page, &rest.answer);
        if let Answer::Found { enough, .. } = rest.answer
            && let Some(t) = self.told.result.tried(enough)
        {
            let kept = |i: &usize| reaches(t.part(*i), self.told.wanted(*i));
            let too: Vec<usize> = rest.left_out.iter().copied().filter(kept).collect();
            if !too.is_empty() {
                page.item(format!(
                    "{} seems to keep {} too; that is not shown.",
                    self.set(enough),
                    join(&self.bounds(&too), "and")
                ));
            }
        }
    }

    /// Aims by name.
    fn bounds(&self, aims: &[usize]) -> Vec<String> {
        aims.iter().map(|i| bound(self.told.aim(*i)).to_string()).collect()
    }

    fn found(&self, page: &mut Page, enough: usize, fails: Option<usize>) {
        let r = self.told.result;
        let proof = format!("{} that nothing else had used", self.span.trials(r.proof));
        let (is, not) = (self.set(enough), |at: usize| self.set(at));
        let [enough_words, not_words] = self.verdicts();
        match fails {
            Some(f) if f + 1 == enough => {
                page.say(format!("{is} {enough_words}; {} {not_words}.", not(f)));
                page.say(format!(
                    "Shown with {}, both together: the first on {proof}, the second on others of its own.",
                    self.sure()
                ));
            }
            None if enough == 0 => {
                page.say(format!("{is}, the {} that was to be tried, {enough_words} already.", self.end()));
                let wider = if self.told.in_order_given {
                    String::new()
                } else {
                    format!(" For the exact end let the range begin with {}.", self.ways()[0])
                };
                page.say(format!("Shown with {} on {proof}.{wider}", self.sure()));
            }
            _ => {
                let first = fails.map_or(0, |f| f + 1);
                let several = if enough - first == 1 {
                    format!("Whether {} would do as well", not(first))
                } else {
                    let (a, b) = if self.told.smallest { (first, enough - 1) } else { (enough - 1, first) };
                    format!("Whether anything from {} to {} would do as well", not(a), not(b))
                };
                page.say(format!("{is} {enough_words}. {several} cannot be told: {}", self.spent()));
                let too = match self.verdicts() {
                    [_, "is not"] => "is not".to_owned(),
                    [enough, _] => enough.replace("not ", ""),
                };
                let fails =
                    fails.map_or(String::new(), |f| format!(" That {} {too} is shown likewise.", not(f)));
                page.say(format!("Shown with {}, on {proof}.{fails}", self.sure()));
            }
        }
        if let Some(t) = r.tried(enough) {
            let weakest = self.weakest(t);
            let (kept, [_, wanted]) = (self.kept(t, weakest), self.of_hundred(t, weakest));
            page.item(format!(
                "{is}: {} kept; the closest call is {kept}, and {wanted} of 100 were wanted.",
                if r.rest.is_some() { "these aims are" } else { "every aim is" }
            ));
        }
        if let Some(t) = fails.and_then(|f| r.tried(f)) {
            page.item(format!("{}: {}.", not(t.at), self.missed(t)));
        }
    }

    fn none(&self, page: &mut Page, best: usize, shown: bool, unhelped: &[usize]) {
        let r = self.told.result;
        let last = self.told.settings.len().saturating_sub(1);
        let seems = if shown { "keeps" } else { "seems to keep" };
        page.say(if r.tried.len() == r.candidates {
            format!("None of the {} settings {seems} every aim.", r.candidates)
        } else {
            format!("None of the {} settings that were tried {seems} every aim.", r.tried.len())
        });
        if shown {
            page.say(format!("That {} does not is shown with {}.", self.set(last), self.sure()));
        } else {
            page.say(format!("For {} that is not beyond doubt: {}", self.set(last), self.spent()));
        }
        if let Some(t) = r.tried(best) {
            let missed = |t: &Tried| self.below(t, 0..r.wanted.len()).len();
            let alike = r.tried.iter().all(|other| missed(other) == missed(t));
            let why = if alike { "comes closest" } else { "misses the fewest" };
            page.item(format!("{}, which {why}: {}.", self.set(best), self.missed(t)));
        }
        let best_of = |aim: usize| r.tried.iter().max_by(|a, b| a.part(aim).total_cmp(&b.part(aim)));
        let missed: Vec<String> = unhelped
            .iter()
            .filter_map(|aim| Some((*aim, best_of(*aim)?)))
            .map(|(aim, t)| {
                format!(
                    "{} with {} (wanted: {})",
                    self.kept(t, aim),
                    self.set(t.at),
                    self.of_hundred(t, aim)[1]
                )
            })
            .collect();
        if !missed.is_empty() {
            page.item(format!(
                "missed by every setting that was tried; at best {}. Within this range {} alone does not mend it: try \
                 a wider range, or change something else first.",
                join(&missed, "and"),
                self.fields()
            ));
        }
    }

    fn open(&self, page: &mut Page, from: usize, up_to: usize) {
        let r = self.told.result;
        let between = if from == up_to {
            format!("If there is an answer, it is {}", self.set(from))
        } else {
            format!("If there is an answer, it lies between {} and {}", self.set(from), self.set(up_to))
        };
        if r.broken_off {
            page.say(format!("{between}; nothing is shown yet."));
            return;
        }
        page.say(format!("Not told. {between}: {}", self.spent()));
    }

    /// Why no more can be told.
    fn spent(&self) -> String {
        let r = self.told.result;
        let years = self.span.trials(r.trials);
        let more = if r.options.most < 200_000 { " More of them (--trials) may tell." } else { "" };
        if r.spent() {
            format!("it is too close to the edge, and all {years} that were allowed are spent.{more}")
        } else {
            format!("it is too close to the edge after {years}.{more}")
        }
    }

    /// Of the aims that the answer speaks of, the one that is missed by most or kept
    /// with the least to spare.
    fn weakest(&self, t: &Tried) -> usize {
        let margin = |i: &usize| t.part(*i) - self.told.wanted(*i);
        self.told.result.judged().min_by(|a, b| margin(a).total_cmp(&margin(b))).unwrap_or(0)
    }

    /// `milk on the table at least 85 % in 71 of 100 runs`.
    fn kept(&self, t: &Tried, aim: usize) -> String {
        let part = t.part(aim) * 100.0;
        // At the ends of the scale a whole number says too much.
        let text = if (part > 0.0 && part < 1.0) || (part > 99.0 && part < 100.0) {
            per_hundred(t.part(aim))
        } else {
            format!("{} of 100", self.of_hundred(t, aim)[0])
        };
        format!("{} in {text} {}", bound(self.told.aim(aim)), self.span.many())
    }

    /// Of a hundred: how many kept an aim, and how many were wanted.
    fn of_hundred(&self, t: &Tried, aim: usize) -> [String; 2] {
        hundredths(t.part(aim), self.told.wanted(aim))
    }

    /// Aims that are kept too seldom.
    fn below(&self, t: &Tried, aims: impl IntoIterator<Item = usize>) -> Vec<usize> {
        aims.into_iter().filter(|i| !reaches(t.part(*i), self.told.wanted(*i))).collect()
    }

    /// The aims that are missed, the worst first.
    fn missed(&self, t: &Tried) -> String {
        let r = self.told.result;
        let mut all = if self.told.result.rest.is_some() && t.standing == Standing::Fails {
            self.below(t, r.judged())
        } else {
            self.below(t, 0..r.wanted.len())
        };
        all.sort_by(|a, b| {
            let away = |i: &usize| t.part(*i) - self.told.wanted(*i);
            away(a).total_cmp(&away(b)).then(a.cmp(b))
        });
        let words: Vec<String> = all
            .iter()
            .map(|i| format!("{} (wanted: {})", self.kept(t, *i), self.of_hundred(t, *i)[1]))
            .collect();
        if words.is_empty() {
            "no aim is missed by much".into()
        } else {
            format!("only {}", join(&words, "and"))
        }
    }

    fn odd(&self, page: &mut Page) {
        let odd = &self.told.result.odd;
        if odd.is_empty() {
            return;
        }
        let more = match (self.told.in_order_given, self.ways()[1]) {
            (true, _) => "Farther on in the order given".to_owned(),
            (_, "less") => "Fewer or less".to_owned(),
            (_, more) => capital(more),
        };
        page.heading("Against the order");
        for o in odd {
            page.item(format!(
                "{more} is not better for every aim: {} in {} {} with {}, but in {} with {} (on the same {}).",
                bound(self.told.aim(o.aim)),
                per_hundred(o.frugal.1),
                self.span.many(),
                self.set(o.frugal.0),
                per_hundred(o.generous.1),
                self.set(o.generous.0),
                count(o.trials)
            ));
        }
    }

    fn cost(&self) -> String {
        let r = self.told.result;
        let tried = r.tried.len();
        let rest = r.candidates - tried;
        let others = match rest {
            0 => String::new(),
            1 => " The other one was not simulated: it is presumed to lie in order between these.".to_owned(),
            _ => format!(
                " The other {rest} were not simulated: they are presumed to lie in order between these."
            ),
        };
        let by_default = if self.told.in_order_given {
            " Names have no size: the first that does was sought, in the order in which --over gives them."
                .to_owned()
        } else if self.told.direction_is_default {
            let other = if self.told.smallest { "--largest" } else { "--smallest" };
            format!(
                " The {} was sought, as is usual for this field; {other} asks for the other end.",
                self.end()
            )
        } else {
            String::new()
        };
        format!(
            "This took {}, seed {}; {tried} of {} settings were tried.{others}{by_default}",
            self.span.trials(r.trials),
            self.told.seed,
            r.candidates
        )
    }

    fn table(&self) -> String {
        let many = self.span.many();
        let kept = format!("kept in 100 {many}");
        let mut t = tables::table(&["setting", "simulated", "closest call", &kept, "wanted", "so it"]);
        for tried in &self.told.result.tried {
            let aim = self.weakest(tried);
            let [low, high] = tried.interval(aim);
            let [part, wanted] = self.of_hundred(tried, aim);
            tables::row(
                &mut t,
                &[
                    self.set(tried.at),
                    count(tried.trials),
                    bound(self.told.aim(aim)).to_string(),
                    format!("{part} ({:.0} to {:.0})", low * 100.0, high * 100.0),
                    wanted,
                    self.so(tried, aim).to_string(),
                ],
            );
        }
        tables::text(&t)
    }

    fn so(&self, t: &Tried, aim: usize) -> &'static str {
        match t.standing {
            Standing::Enough => "is enough",
            Standing::Fails => "is not",
            Standing::NotShown => "is not shown to be",
            Standing::Searched if reaches(t.part(aim), self.told.wanted(aim)) => "seems so",
            Standing::Searched => "seems not",
        }
    }

    fn reading(&self) -> String {
        let among = if self.told.result.rest.is_some() { ", of those that are asked for still," } else { "" };
        format!(
            "The closest call is the aim{among} that is missed by most, or kept with the least to spare. In brackets: as far as \
             the simulated {} can tell. Only \"is enough\" and \"is not\" are shown, on {} kept for that.",
            self.span.many(),
            self.span.many()
        )
    }

    fn cautions(&self, page: &mut Page) {
        page.heading("Cautions");
        let all = &self.told.names.cautions;
        if all.is_empty() {
            page.item(GENERAL_CAUTION);
        }
        for caution in all.iter().take(CAUTIONS) {
            page.item(caution.as_str());
        }
        if all.len() > CAUTIONS {
            page.item("More belong to this plan: `run` prints them all.");
        }
    }
}
