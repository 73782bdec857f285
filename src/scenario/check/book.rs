//! Which recipes the routine makes, and those of the family's own that it does not.

use super::{
    super::raw::{Entries, Scenario},
    Book, Known,
    context::{self, Ctx},
    recipes,
};
use crate::diagnostics::{Diagnostic, nearest};

/// The recipes that some rule makes, in the order of the book, and the words by
/// which rules name them.
pub(super) fn recipes_in_use(c: &mut Ctx, known: &Known, raw: &Scenario) -> (Book, Vec<(String, String)>) {
    let book = recipes::book(known, raw);
    let mut used = vec![false; book.len()];
    let mut named: Vec<(String, String)> = Vec::new();
    for (i, rule) in raw.routine.iter().flatten().enumerate() {
        let Some(what) = recipes::asked_for(rule) else { continue };
        let at = context::under(&context::entry("routine", i), "what");
        match recipes::position(&book, &what) {
            Some(p) => {
                used[p] = true;
                let word = (what, book[p].0.clone());
                if !named.contains(&word) {
                    named.push(word);
                }
            }
            None => {
                let names: Vec<&str> = book.iter().map(|(n, _)| n.as_str()).collect();
                if rule.does.as_ref().is_some_and(|d| d.get().eq_ignore_ascii_case("thaw")) {
                    let message = format!("there is no `{what}` here to thaw it to");
                    c.error(&at, message, "thaw `frozen milk`; what stays wrapped is moved to a fridge");
                    continue;
                }
                let word = rule.what.as_ref().map_or(what.as_str(), |w| w.get());
                c.unknown(&at, "recipe", word, &names);
            }
        }
    }
    for (name, own) in raw.recipes.as_ref().map(Entries::iter).into_iter().flatten() {
        if known.library.recipes.get(name).is_some() {
            continue;
        }
        let at = context::under("recipes", name);
        if let Some(near) = known.library.recipes.names().find(|n| n.eq_ignore_ascii_case(name.trim())) {
            // Else two recipes would go by one name.
            let d = Diagnostic::error(format!("`{name}` is known here as `{near}`"));
            c.push_key(&at, d.help(format!("write `{near}`")));
            continue;
        }
        let in_use = book.iter().zip(&used).any(|((n, _), u)| n == name && *u);
        if own.inputs.is_none() && own.gives.is_none() {
            let names: Vec<&str> = known.library.recipes.names().collect();
            let help = nearest(name, names.iter().copied()).map_or_else(
                || "a recipe of your own needs `inputs` and `gives`".to_owned(),
                |n| format!("did you mean `{n}`?"),
            );
            c.push_key(
                &at,
                Diagnostic::error(format!("`{name}` is no recipe that is known here")).help(help),
            );
        } else if !in_use {
            // What a rule makes is looked at when it is compiled.
            for (key, there) in [("inputs", own.inputs.is_some()), ("gives", own.gives.is_some())] {
                if !there {
                    c.missing(
                        &at,
                        &[key],
                        &format!("`{key}` of the recipe `{name}`"),
                        "say what goes in and what comes out",
                    );
                }
            }
            let d = Diagnostic::warning(format!("no rule makes `{name}`"));
            c.push_key(&at, d.help(format!("add a rule `{{do: make, what: {name}}}` to the routine")));
        }
    }
    let book = book.into_iter().zip(used).filter(|(_, u)| *u).map(|(b, _)| b).collect();
    (book, named)
}
