//! Cautions that follow the scenario. They defer to the veterinarian, the
//! doctor, the dairy inspector and local law; none calls any milk safe.

use super::{
    super::plan::{Action, FullStep, Plan, fixed},
    household::AtRisk,
    recipes::position,
};

/// What the cautions look at.
pub(super) struct Seen<'a> {
    pub plan: &'a Plan,
    pub at_risk: &'a [AtRisk],
    /// Recipes in use, with whether their milk is heated.
    pub recipes: &'a [(String, super::super::raw::Recipe)],
    pub outlets: &'a [String],
    pub guests: bool,
    /// Milk stands where it is warmer than 4.4 °C.
    pub warm: bool,
}

/// The cautions of a scenario, ready to print.
pub(super) fn cautions(s: &Seen) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut say = |text: &str| all.push(text.to_owned());
    let p = s.plan;
    say(
        "Raw milk can carry germs that make people very ill. Nobody can see, smell or taste them, and cold only \
         slows them. Heating milk as public health bodies advise is what destroys them.",
    );
    for risk in s.at_risk {
        match risk {
            AtRisk::UnderOne => {
                say("A baby under one year drinks no cow's, goat's or sheep's milk, raw or heated. \
                                     Ask your doctor what a baby may have.")
            }
            AtRisk::UnderFive => {
                say("Children under five fall ill from raw milk more often and more gravely. Ask \
                                      your doctor before they drink it.")
            }
            AtRisk::Over65 => {
                say("People of 65 and over fall ill from raw milk more gravely. Ask a doctor first.")
            }
            AtRisk::Pregnant => {
                say("A pregnant woman risks her child with raw milk and soft raw cheese. Ask a \
                                     doctor or midwife first.")
            }
        }
    }
    say(
        "People who are pregnant, very young, old or weak in immunity fall ill from raw milk more easily and more \
         gravely than others.",
    );
    if s.warm {
        say(
            "A place for milk is warmer than 4 °C (40 °F). Germs grow there many times faster; public advice is not \
             to keep milk so warm for more than two hours.",
        );
    }
    if s.guests {
        say(
            "Guests may be pregnant, very young, old or weak in immunity without saying so. Tell them before they \
             drink raw milk.",
        );
    }
    say(
        "What may be sold, shared or given away, and how, differs from place to place. Ask your state, county or \
         food authority first.",
    );
    if !p.animals.is_empty() {
        say(
            "Have the animal tested for tuberculosis and brucellosis before anyone drinks her milk, and ask the \
             veterinarian what else is wise where you live.",
        );
        say(
            "Milk of a treated animal goes to nobody until the label's time, or the veterinarian's, has passed, and \
             to no animal kept for meat or milk unless the veterinarian agrees. Ask too whether her calf may stay on \
             her. A swollen or hard quarter, clots, a fever, a calf lost early: call the veterinarian.",
        );
    }
    let sour = p.household.wishes.iter().any(|w| w.items.contains(&fixed::SOUR_MILK));
    let fed_sour =
        p.when_full.tonight.iter().any(|f| matches!(f, FullStep::Feed(i) if *i == fixed::SOUR_MILK));
    if sour || fed_sour || !p.animals.is_empty() || !p.fetches.is_empty() {
        say(
            "Smell is no test of safety: milk that smells sweet may carry germs, and old cold milk may spoil without \
             turning sour. Sour milk belongs in what is baked or cooked through.",
        );
    }
    let once = |a: &Action| matches!(a, Action::OnceADay { .. } | Action::DryOff { .. });
    let once = p.rules.iter().any(|r| once(&r.action)) || p.when_full.tomorrow.iter().any(once);
    // Every animal that is milked is dried off some day, most at once.
    if once || !p.animals.is_empty() {
        say(
            "Milking once a day, or stopping at a high yield, can bring mastitis. Feel the udder at every milking and \
             ask the veterinarian before you change.",
        );
    }
    if p.animals.iter().any(|a| a.colostrum_days > 0) {
        say(
            "A newborn needs its dam's colostrum within its first hours, before anyone else has of it. Ask the \
             veterinarian how much, and whether what is left may be frozen or fed to other animals.",
        );
    }
    if p.animals.iter().any(|a| a.calf.is_some()) {
        say(
            "A calf on the dam drinks first what the family expects, and it may spread what the udder carries. Weigh \
             it, and see that it gets its colostrum.",
        );
    }
    let uses = |name: &str| position(s.recipes, name).is_some();
    let aged = p.recipes.iter().any(|r| r.ageing_days > 0.0 && !r.heated);
    if aged {
        say(
            "Sixty days of ageing is law for raw-milk cheese in some places; it is no proof that the cheese is sound.",
        );
    }
    let raw_fresh = s.recipes.iter().zip(&p.recipes).any(|((_, r), plan)| {
        let none = r.heat.as_ref().is_some_and(|h| h.get().eq_ignore_ascii_case("none"));
        !plan.heated && !none && plan.ageing_days < 60.0 && plan.ready_hours > 1.5
    });
    if raw_fresh {
        say(
            "Fresh cheese and cultured milk made from raw milk have made people ill: acid and culture do not clean \
             milk. Heat the milk first where the recipe says so.",
        );
    }
    if p.recipes.iter().any(|r| !r.heated && (20.0..60.0).contains(&r.ageing_days))
        || uses("white mould cheese")
    {
        say(
            "Soft ripened and young cheese has made people very ill, that of raw milk most of all. A pregnant woman, \
             a small child, an old person or anyone with weak immunity leaves it alone.",
        );
    }
    if uses("clabber") || uses("cottage cheese") {
        say(
            "Clabber stands warm for a day or more, and germs can grow in it before it is sour. Do not give it to \
             anyone at risk; cook or bake with it.",
        );
    }
    if uses("ice cream") {
        say("Raw milk, cream and eggs in ice cream stay raw. Heat the mix first.");
    }
    if p.household.frozen_milk.is_some() {
        say("Freezing keeps milk, it does not clean it. Thaw it in the fridge and use it within a few days.");
    }
    say(
        "When the power fails, keep the door shut. Public advice is to discard milk that was above 4 °C (40 °F) for \
         two hours or more.",
    );
    say("Do not can milk, butter or cheese at home: no tested way is known.");
    if !s.outlets.is_empty() {
        say(
            "No raw milk to cats where bird flu is about. Rules on feeding milk to pigs and poultry differ from place \
             to place; change an animal's feed slowly.",
        );
    }
    say(
        "Milk and whey never go into a ditch, a stream, a drain or a septic tank: they take the air out of water.",
    );
    say(
        "The chilling times here are computed, not measured, and the chilling rules named bind licensed dairies. \
         Measure with a thermometer.",
    );
    all
}
