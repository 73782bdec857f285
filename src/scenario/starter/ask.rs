//! The questions, in order, each with its default.

use jiff::civil::Date;

use super::{Answers, MILKS, Milk, WISHES, Wish, YOUNG};
use crate::calendar;
use crate::dairy::Species;
use crate::diagnostics::nearest;
use crate::scenario::names::UnitSystem;
use crate::units::{MILK_KG_PER_L, MilkAmount, Minutes, read};

/// A question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The option that answers it on the command line, without dashes.
    pub option: &'static str,
    /// The question, one sentence.
    pub text: String,
    /// The words that may be answered; none where anything of a form will do.
    pub words: Vec<String>,
    /// What an empty answer means.
    pub default: String,
}

/// Why there are no answers.
#[derive(Debug, PartialEq, Eq)]
pub enum Fault<E> {
    /// What was given beforehand is not understood: one sentence.
    Given(String),
    /// Whoever was asked did not answer.
    Asked(E),
}

/// Most animals, most people of a kind.
const MOST_ANIMALS: u32 = 12;
const MOST_PEOPLE: u32 = 30;
/// Longest name or title, characters.
const LONGEST: usize = 200;

/// Asks a question; told again, with what was wrong, until it is understood.
type Ask<'a, E> = dyn FnMut(&Question, Option<&str>) -> Result<String, E> + 'a;

struct Interview<'a, E> {
    given: Vec<(&'static str, &'a str)>,
    ask: Option<&'a mut Ask<'a, E>>,
}

impl<E> Interview<'_, E> {
    fn get<T>(
        &mut self,
        question: &Question,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Fault<E>> {
        if let Some(at) = self.given.iter().position(|(o, _)| *o == question.option) {
            let (option, text) = self.given.swap_remove(at);
            return read(text.trim()).map_err(|why| Fault::Given(format!("--{option}: {why}")));
        }
        let Some(ask) = self.ask.as_deref_mut() else {
            return read(&question.default).map_err(Fault::Given);
        };
        let mut wrong = None;
        loop {
            let answer = ask(question, wrong.as_deref()).map_err(Fault::Asked)?;
            let answer = answer.trim();
            match read(if answer.is_empty() { &question.default } else { answer }) {
                Ok(value) => return Ok(value),
                Err(why) => wrong = Some(why),
            }
        }
    }
}

/// Goes through the questions: what is `given` counts, the rest is asked, or
/// takes its default where nobody can be asked. `date` is the default freshening.
///
/// # Errors
/// A given answer that is not understood or not needed, or whoever was asked.
pub fn interview<'a, E>(
    given: Vec<(&'static str, &'a str)>,
    date: Date,
    ask: Option<&'a mut Ask<'a, E>>,
) -> Result<Answers, Fault<E>> {
    let mut i = Interview { given, ask };
    let units =
        i.get(&words("units", "Which units do you use?", &names(&UNITS), "us"), |t| one(t, &UNITS))?;
    let milk = i.get(&words("milk", "Whose milk is it?", &names(&MILKS), "cow"), |t| one(t, &MILKS))?;
    let (own, own_words) = match milk {
        Milk::Own(s) => (Some(s), Own::of(s)),
        Milk::Fetched | Milk::HerdShare => (None, Own::of(Species::Cow)),
    };
    let breeds: Vec<String> = match own {
        Some(s) => super::breeds(s).into_iter().map(|b| b.name).collect(),
        None => super::milks(),
    };
    let (text, default) = match milk {
        Milk::Own(_) => ("Which breed?", own_words.breed),
        Milk::Fetched => ("What kind of milk?", "cow milk"),
        Milk::HerdShare => ("What kind of milk?", "jersey milk"),
    };
    let breed = i.get(&words("breed", text, &breeds, default), |t| word(t, &breeds))?;
    let mut a = Answers {
        title: String::new(),
        units,
        milk,
        breed,
        number: 0,
        name: String::new(),
        freshens: date,
        young: super::Young::Gone,
        adults: 0,
        children: 0,
        wishes: Vec::new(),
        fetched_l: 0.0,
        fridge: None,
        freezer: None,
        takers: Vec::new(),
        kitchen_min: 0.0,
    };
    if own.is_some() {
        let text = format!("How many {} are milked?", own_words.several);
        a.number = i.get(&free("number", text, own_words.number), |t| count(t, 1, MOST_ANIMALS))?;
        a.name = i.get(&free("name", "What is she (or the first of them) called?", "Daisy"), named)?;
        let text = format!("When does she {}? (year-month-day)", own_words.freshen);
        a.freshens = i.get(&free("freshens", text, date.to_string()), |t| {
            calendar::read_date(t).map_err(|e| e.to_string())
        })?;
        let text = format!("Where will her {} be?", own_words.young);
        a.young = i.get(&words("calf", text, &names(&YOUNG), "on her"), |t| one(t, &YOUNG))?;
    }
    a.adults = i.get(&free("adults", "How many grown people?", "2"), |t| count(t, 0, MOST_PEOPLE))?;
    let least = u32::from(a.adults == 0);
    let children = if a.adults == 0 { "1" } else { "2" };
    a.children =
        i.get(&free("children", "How many children?", children), |t| count(t, least, MOST_PEOPLE))?;
    a.wishes = i.get(
        &words(
            "wishes",
            "What would you like to make? (several with commas, or none)",
            &names(&WISHES),
            own_words.wishes(milk),
        ),
        |t| several(t, &WISHES),
    )?;
    if own.is_none() {
        a.fetched_l = fetched(&mut i, &a)?;
    }
    rooms(&mut i, &mut a)?;
    let default = if own == Some(Species::Cow) { "45 min" } else { "30 min" };
    a.kitchen_min = i.get(
        &free("kitchen-time", "How long in the kitchen on a weekday, beside the chores?", default),
        |t| match read::<Minutes>(t) {
            Ok(min) if min <= 12.0 * 60.0 => Ok(min),
            Ok(_) => Err("at most 12 h a day".into()),
            Err(e) => Err(e.to_string()),
        },
    )?;
    a.title = i.get(&free("title", "What shall it be called?", title(&a)), named)?;
    match i.given.first() {
        Some((option, _)) if own.is_none() => Err(Fault::Given(format!(
            "--{option}: only with animals of your own (--milk cow, goat or sheep)"
        ))),
        Some((option, _)) => Err(Fault::Given(format!(
            "--{option}: only with milk that is fetched (--milk fetched or \"herd share\")"
        ))),
        None => Ok(a),
    }
}

/// Milk fetched a week, L.
fn fetched<E>(i: &mut Interview<'_, E>, a: &Answers) -> Result<f64, Fault<E>> {
    // A tenth over, for a thirsty week.
    let wanted = 1.1 * (7.0 * a.drunk_l() + a.made_l());
    let default = super::write::volume(a.units, wanted.max(1.0));
    i.get(&free("amount", "How much milk a week?", default), |t| match read::<MilkAmount>(t) {
        Ok(kg) if (0.5..=500.0).contains(&kg) => Ok(kg / MILK_KG_PER_L),
        Ok(_) => Err("from 0.5 L to 500 L (about 130 gal) a week".into()),
        Err(e) => Err(e.to_string()),
    })
}

/// Fridge, freezer, animals that take the extra.
fn rooms<E>(i: &mut Interview<'_, E>, a: &mut Answers) -> Result<(), Fault<E>> {
    let litres = a.given_l();
    let fridge = match litres {
        l if l > 8.0 => "all-fridge 10 cu ft",
        l if l > 2.5 => "mini fridge 3 cu ft",
        _ => "none",
    };
    let freezer = if a.fetches() { "fridge-top freezer 4 cu ft" } else { "chest freezer 7 cu ft" };
    let fridges = with_none(super::stores("fridge"));
    let text = "Which fridge is there for the milk, beside the kitchen fridge?";
    a.fridge = i.get(&words("fridge", text, &fridges, fridge), |t| word(t, &fridges))?.into_some();
    let freezers = with_none(super::stores("freezer"));
    a.freezer =
        i.get(&words("freezer", "Which freezer?", &freezers, freezer), |t| word(t, &freezers))?.into_some();
    let takers = super::takers();
    let default = match a.extra_l() {
        l if l > 1.5 && !a.fetches() => "pigs, hens",
        _ => "hens",
    };
    let text = "Which animals take the extra? (several with commas, or none)";
    a.takers = i.get(&words("animals", text, &takers, default), |t| list(t, &takers))?;
    Ok(())
}

trait IntoSome {
    fn into_some(self) -> Option<String>;
}
impl IntoSome for String {
    fn into_some(self) -> Option<String> {
        (self != NONE).then_some(self)
    }
}

const NONE: &str = "none";
const UNITS: [(&str, UnitSystem); 2] = [("us", UnitSystem::Us), ("metric", UnitSystem::Metric)];

/// Words of one species.
struct Own {
    breed: &'static str,
    several: &'static str,
    number: &'static str,
    freshen: &'static str,
    young: &'static str,
}

impl Own {
    fn of(species: Species) -> Self {
        match species {
            Species::Cow => {
                Self { breed: "jersey", several: "cows", number: "1", freshen: "calve", young: "calf" }
            }
            Species::Goat => {
                Self { breed: "alpine", several: "goats", number: "2", freshen: "kid", young: "kids" }
            }
            Species::Sheep => Self {
                breed: "east friesian cross",
                several: "ewes",
                number: "4",
                freshen: "lamb",
                young: "lambs",
            },
        }
    }

    fn wishes(&self, milk: Milk) -> &'static str {
        match milk {
            Milk::Own(Species::Cow) => "butter, yogurt",
            Milk::Own(_) => "cheese, yogurt",
            Milk::Fetched | Milk::HerdShare => "yogurt",
        }
    }
}

fn title(a: &Answers) -> &'static str {
    match (a.milk, a.number) {
        (Milk::Own(Species::Cow), 1) => "Our first cow",
        (Milk::Own(Species::Cow), _) => "Our cows",
        (Milk::Own(Species::Goat), 1) => "Our first goat",
        (Milk::Own(Species::Goat), _) => "Our goats",
        (Milk::Own(Species::Sheep), _) => "Our ewes",
        (Milk::Fetched, _) => "Milk fetched once a week",
        (Milk::HerdShare, _) => "Our herd share",
    }
}

fn names<T>(of: &[(&str, T)]) -> Vec<String> {
    of.iter().map(|(w, _)| (*w).to_owned()).collect()
}

fn with_none(mut words: Vec<String>) -> Vec<String> {
    words.insert(0, NONE.to_owned());
    words
}

fn words(option: &'static str, text: impl Into<String>, words: &[String], default: &str) -> Question {
    Question { option, text: text.into(), words: words.to_vec(), default: default.to_owned() }
}

fn free(option: &'static str, text: impl Into<String>, default: impl Into<String>) -> Question {
    Question { option, text: text.into(), words: Vec::new(), default: default.into() }
}

/// One of the words, however its letters are written.
fn word<S: AsRef<str>>(text: &str, words: &[S]) -> Result<String, String> {
    let all = || words.iter().map(AsRef::as_ref);
    if let Some(w) = all().find(|w| w.eq_ignore_ascii_case(text)) {
        return Ok(w.to_owned());
    }
    Err(match nearest(text, all()) {
        Some(near) => format!("`{text}` is not one of them; did you mean {near}?"),
        None => format!("`{text}` is not one of them; write {}", all().collect::<Vec<_>>().join(", ")),
    })
}

fn one<T: Copy>(text: &str, of: &[(&str, T)]) -> Result<T, String> {
    let found = word(text, &names(of))?;
    of.iter()
        .find(|(w, _)| *w == found)
        .map(|(_, t)| *t)
        .ok_or_else(|| format!("`{text}` is not one of them"))
}

/// Several with commas, each once, or `none`.
fn list<S: AsRef<str>>(text: &str, words: &[S]) -> Result<Vec<String>, String> {
    let mut all: Vec<String> = Vec::new();
    if text.eq_ignore_ascii_case(NONE) {
        return Ok(all);
    }
    for part in text.split(',').map(str::trim).filter(|p| !p.is_empty()) {
        let found = word(part, words)?;
        if !all.contains(&found) {
            all.push(found);
        }
    }
    if all.is_empty() { Err("write one or several, or `none`".into()) } else { Ok(all) }
}

fn several(text: &str, of: &[(&str, Wish)]) -> Result<Vec<Wish>, String> {
    list(text, &names(of))?.iter().map(|w| one(w, of)).collect()
}

fn count(text: &str, least: u32, most: u32) -> Result<u32, String> {
    match text.parse::<u32>() {
        Ok(n) if (least..=most).contains(&n) => Ok(n),
        Ok(n) => Err(format!("{n} is not from {least} to {most}")),
        _ => Err(format!("`{text}` is not understood; write a whole number from {least} to {most}")),
    }
}

fn named(text: &str) -> Result<String, String> {
    match text.chars().count() {
        0 => Err("nothing is written".into()),
        n if n > LONGEST => Err(format!("this is too long; at most {LONGEST} characters")),
        _ => Ok(text.to_owned()),
    }
}
