//! What is bought when the own is short, or because nothing here makes it.

use super::{
    super::{
        plan::{BuyPlan, ItemId, fixed},
        raw::{Bought, Entries, TextOr},
    },
    context::{Ctx, under},
    prices::Purse,
    trade::World,
};
use crate::{
    diagnostics::{Diagnostic, nearest},
    units::read_amount_rate,
};

/// Fat and protein of what is bought, mass fractions: whole milk at its least
/// fat (21 CFR 131.110), butter of 80 % fat and a little more (7 U.S.C. 321a),
/// heavy cream at its least (21 CFR 131.150), cheddar and yogurt as food tables
/// give them (from memory).
const BOUGHT: [(&str, f64, f64); 8] = [
    ("milk", 0.0325, 0.032),
    ("whole milk", 0.0325, 0.032),
    ("butter", 0.811, 0.0085),
    ("cream", 0.36, 0.021),
    ("table cream", 0.36, 0.021),
    ("hard cheese", 0.33, 0.25),
    ("fresh cheese", 0.20, 0.18),
    ("yogurt", 0.0325, 0.035),
];

/// Compiles `bought when short`.
pub(super) fn bought(
    c: &mut Ctx,
    w: &World,
    purse: &mut Purse,
    raw: &Option<Entries<TextOr<Bought>>>,
) -> (Vec<BuyPlan>, Vec<String>) {
    let (mut plans, mut names) = (Vec::new(), Vec::new());
    for (name, own) in raw.iter().flat_map(Entries::iter) {
        let at = under("bought when short", name);
        let (own, short) = match own {
            TextOr::Short(t) => (Bought { price: Some(t.clone()), ..Bought::default() }, true),
            TextOr::Long(b) => (b.clone(), false),
        };
        let p = |key: &str| if short { at.clone() } else { under(&at, key) };
        let wish = match w.wishes.iter().position(|(n, _)| n.eq_ignore_ascii_case(name)) {
            Some(wish) => Some(wish as u16),
            None if name.eq_ignore_ascii_case("milk") => None,
            None => {
                no_want(c, &at, name, w.wishes);
                continue;
            }
        };
        let density = wish.map_or_else(
            || w.items.density(&[fixed::WHOLE]),
            |i| w.items.density(&w.wishes[usize::from(i)].1),
        );
        let usual = BOUGHT.iter().find(|(n, ..)| n.eq_ignore_ascii_case(name));
        let fat = c.within(&p("fat"), &own.fat, 0.0..=0.9, "a part up to 90 %");
        let protein = c.within(&p("protein"), &own.protein, 0.0..=0.5, "a part up to 50 %");
        let (fat, protein) = match (usual, fat, protein) {
            (_, Some(f), Some(p)) => (f, p),
            (Some((_, f, p)), fat, protein) => (fat.unwrap_or(*f), protein.unwrap_or(*p)),
            _ => {
                let what = format!("`fat` and `protein` of bought {name}");
                c.missing(
                    &at,
                    &["fat", "protein"],
                    &what,
                    "write what the label says, such as `fat: 3 %, protein: 4 %`",
                );
                continue;
            }
        };
        if fat + protein > 1.0 {
            c.error(&p("fat"), "fat and protein together are more than all of it", "check the label");
            continue;
        }
        let most = own.up_to.as_ref().map_or(Some(f64::INFINITY), |q| {
            c.read(&p("up to"), &Some(q.clone()))?;
            c.take(&p("up to"), read_amount_rate(q.as_str())).map(|a| a.kg(density) * 7.0)
        });
        let price = own.price.as_ref().and_then(|t| purse.a_kg(c, &p("price"), t, density));
        let Some(most_kg) = most else { continue };
        let own = wish.and_then(|i| w.wishes[usize::from(i)].1.first().copied()).unwrap_or(fixed::WHOLE);
        let item = w.items.bought_as(own);
        plans.push(BuyPlan { wish, item, most_kg, price: price.unwrap_or(0.0), fat, protein });
        names.push(name.to_owned());
    }
    (plans, names)
}

/// A name that is neither milk nor a wish.
pub(super) fn no_want(c: &mut Ctx, at: &str, name: &str, wishes: &[(String, Vec<ItemId>)]) {
    let names: Vec<&str> = std::iter::once("milk").chain(wishes.iter().map(|(n, _)| n.as_str())).collect();
    let help = nearest(name, names.iter().copied())
        .map_or_else(|| "write `milk` or one of the `wants`".to_owned(), |n| format!("did you mean `{n}`?"));
    c.push_key(at, Diagnostic::error(format!("nobody here wants `{name}`")).help(help));
}
