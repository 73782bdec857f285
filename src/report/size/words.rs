//! The answer in words, then the table of what was tried.

use super::Told;
use crate::report::Span;
use crate::report::amounts::{count, join, number, per_hundred};
use crate::report::page::{Block, Page};
use crate::report::tables;
use crate::report::words::{GENERAL_CAUTION, bound};
use crate::study::size::{Answer, Standing, Tried};

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
        let end = if self.told.smallest { "smallest" } else { "largest" };
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

    /// `less` of it, or `more` people.
    fn frugal(&self) -> &'static str {
        if self.told.smallest { "less" } else { "more" }
    }

    fn answer(&self, page: &mut Page) {
        let r = self.told.result;
        if r.broken_off {
            page.say(format!(
                "Broken off after {}. This is what was known by then.",
                self.span.trials(r.trials)
            ));
        }
        match &r.answer {
            Answer::Found { enough, fails } => self.found(page, *enough, *fails),
            Answer::NoneMeets { best, shown, unhelped } => self.none(page, *best, *shown, unhelped),
            Answer::Open { from, up_to } => self.open(page, *from, *up_to),
        }
        if let Some(now) = self.told.now {
            page.say(format!("The file says {now} now."));
        }
    }

    fn found(&self, page: &mut Page, enough: usize, fails: Option<usize>) {
        let r = self.told.result;
        let proof = format!("{} that nothing else had used", self.span.trials(r.proof));
        let (is, not) = (self.set(enough), |at: usize| self.set(at));
        let enough_words = if self.told.smallest { "is enough" } else { "is not too much" };
        let not_words = if self.told.smallest { "is not" } else { "is" };
        match fails {
            Some(f) if f + 1 == enough => {
                page.say(format!("{is} {enough_words}; {} {not_words}.", not(f)));
                page.say(format!("Shown with {}, both together: on {proof}.", self.sure()));
            }
            None if enough == 0 => {
                let end = if self.told.smallest { "smallest" } else { "largest" };
                page.say(format!("{is}, the {end} that was to be tried, {enough_words} already."));
                page.say(format!(
                    "Shown with {} on {proof}. For the exact size let the range begin with {}.",
                    self.sure(),
                    self.frugal()
                ));
            }
            _ => {
                let first = fails.map_or(0, |f| f + 1);
                let several = if enough - first == 1 {
                    format!("Whether {} would do as well", not(first))
                } else {
                    let (a, b) = if self.told.smallest { (first, enough - 1) } else { (enough - 1, first) };
                    format!("Whether anything from {} to {} would do as well", not(a), not(b))
                };
                page.say(format!(
                    "{is} {enough_words}. {several} is not told apart with {}.",
                    self.span.trials(r.trials)
                ));
                let too = if self.told.smallest { "is not" } else { "is too much" };
                let fails =
                    fails.map_or(String::new(), |f| format!(" That {} {too} is shown likewise.", not(f)));
                page.say(format!("Shown with {}, on {proof}.{fails}", self.sure()));
            }
        }
        if let Some(t) = r.tried(enough) {
            let weakest = weakest(t, &r.wanted);
            let (kept, wanted) = (self.kept(t, weakest), per_hundred(self.told.wanted(weakest)));
            page.item(format!(
                "{is}: every aim is kept; the closest call is {kept}, and {wanted} were wanted."
            ));
        }
        if let Some(t) = fails.and_then(|f| r.tried(f)) {
            page.item(format!("{}: {}.", not(t.at), self.missed(t)));
        }
    }

    fn none(&self, page: &mut Page, best: usize, shown: bool, unhelped: &[usize]) {
        let r = self.told.result;
        let last = self.told.settings.len().saturating_sub(1);
        page.say(format!("No setting from {} to {} keeps every aim.", self.set(0), self.set(last)));
        if shown {
            page.say(format!("That {} does not is shown with {}.", self.set(last), self.sure()));
        } else {
            page.say(format!("None that was tried does; for {} that is not beyond doubt.", self.set(last)));
        }
        if let Some(t) = r.tried(best) {
            page.item(format!("{}, which comes closest: {}.", self.set(best), self.missed(t)));
        }
        if !unhelped.is_empty() {
            let aims: Vec<String> = unhelped.iter().map(|i| bound(self.told.aim(*i)).to_string()).collect();
            page.item(format!(
                "missed at both ends of the range: {}. By itself {} does not help there; something else must change \
                 first.",
                join(&aims, "and"),
                self.fields()
            ));
        }
    }

    fn open(&self, page: &mut Page, from: usize, up_to: usize) {
        let r = self.told.result;
        let years = self.span.trials(r.trials);
        let between = if from == up_to {
            format!("If there is an answer, it is {}", self.set(from))
        } else {
            format!("If there is an answer, it lies between {} and {}", self.set(from), self.set(up_to))
        };
        if r.broken_off {
            page.say(format!("{between}; nothing is shown yet."));
            return;
        }
        let more = if r.options.most < 200_000 { " More of them (--trials) may tell." } else { "" };
        page.say(format!("Not told, with {years}. {between}: it is too close to the edge.{more}"));
    }

    /// `milk on the table at least 85 % in 71 of 100 runs`.
    fn kept(&self, t: &Tried, aim: usize) -> String {
        format!("{} in {} {}", bound(self.told.aim(aim)), per_hundred(t.part(aim)), self.span.many())
    }

    /// The aims that are missed, the worst first.
    fn missed(&self, t: &Tried) -> String {
        let r = self.told.result;
        let mut all: Vec<usize> = (0..r.wanted.len()).filter(|i| t.part(*i) < self.told.wanted(*i)).collect();
        all.sort_by(|a, b| {
            let away = |i: &usize| t.part(*i) - self.told.wanted(*i);
            away(a).total_cmp(&away(b)).then(a.cmp(b))
        });
        let words: Vec<String> = all
            .iter()
            .map(|i| format!("{} (wanted: {:.0})", self.kept(t, *i), self.told.wanted(*i) * 100.0))
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
        let more = if self.told.smallest { "More" } else { "Fewer or less" };
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
            _ => format!(
                " The other {rest} were not simulated: they are presumed to lie in order between these."
            ),
        };
        let by_default = if self.told.direction_is_default {
            let (end, other) =
                if self.told.smallest { ("smallest", "--largest") } else { ("largest", "--smallest") };
            format!(" The {end} was sought, as is usual for this field; {other} asks for the other end.")
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
            let aim = weakest(tried, &self.told.result.wanted);
            let [low, high] = tried.interval(aim);
            tables::row(
                &mut t,
                &[
                    self.set(tried.at),
                    count(tried.trials),
                    bound(self.told.aim(aim)).to_string(),
                    format!("{:.0} ({:.0} to {:.0})", tried.part(aim) * 100.0, low * 100.0, high * 100.0),
                    format!("{:.0}", self.told.wanted(aim) * 100.0),
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
            Standing::Searched if t.part(aim) >= self.told.wanted(aim) => "seems so",
            Standing::Searched => "seems not",
        }
    }

    fn reading(&self) -> String {
        format!(
            "The closest call is the aim that is missed by most, or kept with the least to spare. In brackets: as far as \
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

/// The aim that is missed by most, or kept with the least to spare.
fn weakest(t: &Tried, wanted: &[f64]) -> usize {
    let margin = |i: usize| t.part(i) - wanted.get(i).copied().unwrap_or(0.0);
    (0..wanted.len()).min_by(|a, b| margin(*a).total_cmp(&margin(*b))).unwrap_or(0)
}
