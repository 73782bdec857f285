//! What counts as telling where a figure comes from: the rule for the constants of the
//! source and for the presets alike.

/// Marks that tell where a figure comes from, beside the year of a publication. Held as whole
/// words: a comment on surroundings speaks of no rounding.
const MARKS: [&str; 23] = [
    "our default",
    "our defaults",
    "from memory",
    "common practice",
    "second hand",
    // Named by who publishes it and its title, and bears no year.
    "undated",
    "worked out",
    "chosen:",
    "a definition",
    "physical constant",
    "a bound of the program",
    "a step of the program",
    "a size on the page",
    "rounding",
    // Published without a year of their own: law in force, tables, textbooks kept up to date.
    "CFR",
    "USC",
    "NIST",
    "RFC",
    "Pasteurized Milk Ordinance",
    "USDA Standard Reference",
    "USDA FoodKeeper",
    "University of Guelph",
    "Food Safety and Inspection Service",
];

/// Whether a text holds these words, not as part of longer ones.
fn says(text: &str, words: &str) -> bool {
    let stands = |at: usize| {
        let apart = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
        apart(text[..at].chars().next_back())
            && (words.ends_with(':') || apart(text[at + words.len()..].chars().next()))
    };
    text.match_indices(words).any(|(at, _)| stands(at))
}

/// The words with a capital, as they stand at the beginning of a sentence.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// Something that reads as the year of a publication.
fn names_a_year(text: &str) -> bool {
    let years = text.split(|c: char| !c.is_ascii_alphanumeric());
    years.filter(|w| w.len() == 4).filter_map(|w| w.parse::<u32>().ok()).any(|y| (1840..2045).contains(&y))
}

pub fn is_traced(text: &str) -> bool {
    names_a_year(text) || MARKS.iter().any(|m| says(text, m) || says(text, &capital(m)))
}
