//! A page of blocks: the report without a terminal.

/// One block of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// The title of the page.
    Title(String),
    /// A heading.
    Heading(String),
    /// A paragraph, to be wrapped.
    Paragraph(String),
    /// One entry of a list, to be wrapped and indented.
    Item(String),
    /// A label with its text, to be wrapped and hung on the label.
    Pair(String, String),
    /// A table, already at most 80 columns wide.
    Table(String),
}

/// The blocks of a page, top to bottom.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// Blocks in order.
    pub blocks: Vec<Block>,
}

impl Page {
    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    /// Adds a paragraph, unless it is empty.
    pub fn say(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.trim().is_empty() {
            self.blocks.push(Block::Paragraph(text));
        }
    }

    /// Adds an entry of a list.
    pub fn item(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Item(text.into()));
    }

    /// A heading with its paragraph; nothing when the paragraph is empty.
    pub fn part(&mut self, title: &str, text: impl Into<String>) {
        let text = text.into();
        if !text.trim().is_empty() {
            self.heading(title);
            self.say(text);
        }
    }

    /// The page as plain text, wrapped to a width.
    #[must_use]
    pub fn text(&self, width: usize) -> String {
        let mut out = String::new();
        let mut before: Option<&Block> = None;
        for block in &self.blocks {
            out.push_str(gap(before, block));
            out.push_str(&block.text(width));
            before = Some(block);
        }
        out
    }
}

/// What stands between two blocks: an empty line, or nothing.
#[must_use]
pub fn gap(before: Option<&Block>, block: &Block) -> &'static str {
    match (before, block) {
        (None, _)
        | (Some(Block::Heading(_)), _)
        | (Some(Block::Item(_)), Block::Item(_))
        | (Some(Block::Pair(..)), Block::Pair(..)) => "",
        _ => "\n",
    }
}

impl Block {
    /// The block as plain text ending in a line feed.
    #[must_use]
    pub fn text(&self, width: usize) -> String {
        match self {
            Self::Title(t) | Self::Heading(t) | Self::Paragraph(t) => wrap(t, width, "", ""),
            Self::Item(t) => wrap(t, width, "  - ", "    "),
            Self::Pair(label, t) => {
                let head = format!("  {label}: ");
                wrap(t, width, &head, "      ")
            }
            Self::Table(t) => format!("{}\n", t.trim_end()),
        }
    }
}

/// Wraps to `width` columns, counting characters. Control characters are left
/// out, so that no text of a file can steer the terminal.
#[must_use]
pub fn wrap(text: &str, width: usize, first: &str, rest: &str) -> String {
    let width = width.max(20);
    let mut out = String::new();
    let mut line = clean(first);
    let mut used = line.chars().count();
    let mut empty = true;
    for word in with_units(text) {
        let word = clean(&word);
        let n = word.chars().count();
        if !empty && used + 1 + n > width {
            out.push_str(line.trim_end());
            out.push('\n');
            line = rest.to_string();
            used = rest.chars().count();
            empty = true;
        }
        if !empty {
            line.push(' ');
            used += 1;
        }
        line.push_str(&word);
        used += n;
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

/// Words, each number glued to the word after it (`12 gal` is never torn).
fn with_units(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut glue = false;
    for word in text.split_whitespace() {
        let number = word.chars().all(|c| c.is_ascii_digit() || matches!(c, ',' | '.'))
            && word.ends_with(|c: char| c.is_ascii_digit());
        match out.last_mut().filter(|_| glue) {
            Some(last) => {
                last.push(' ');
                last.push_str(word);
            }
            None => out.push(word.to_string()),
        }
        // A number, and a unit of two words.
        glue = number || (glue && word == "cu");
    }
    out
}

fn clean(text: &str) -> String {
    text.chars().filter(|c| !c.is_control() && !is_steering(*c)).collect()
}

/// Marks that turn the direction of text around.
fn is_steering(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_and_hangs() {
        let text = wrap("one two three four five six", 20, "  - ", "    ");
        assert_eq!(text, "  - one two three\n    four five six\n");
        assert!(wrap("a", 0, "", "").starts_with('a'));
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(wrap("there were about 12 gal left", 20, "", ""), "there were about\n12 gal left\n");
    }

    #[test]
    fn a_title_cannot_steer_the_terminal() {
        assert_eq!(wrap("red\u{1b}[31m \u{202e}back", 80, "", ""), "red[31m back\n");
    }

    #[test]
    fn blocks_keep_their_distance() {
        let mut p = Page::default();
        p.part("Milk", "Much.");
        p.part("Nothing", "");
        p.item("a");
        p.item("b");
        assert_eq!(p.text(80), "Milk\nMuch.\n\n  - a\n  - b\n");
    }
}
