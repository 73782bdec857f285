//! A stock-take as a table: what stands in the house, a row a thing.

use super::raw::{Standing, Text};
use crate::diagnostics::{Diagnostic, nearest};
use crate::units::Text as Q;

/// Most rows of a stock-take.
const MOST_ROWS: usize = 500;

/// A stock-take as it was read.
#[derive(Clone, Debug, Default)]
pub(super) struct Sheet {
    /// Name of the file, for messages.
    name: String,
    /// Line of each thing in the file, and the thing.
    pub(super) rows: Vec<(usize, Standing)>,
    /// The heading, as written, of each of our keys.
    headings: Vec<(&'static str, String)>,
}

/// Our keys, and what else people write over a column.
const COLUMNS: [(&str, &[&str]); 13] = [
    ("what", &["item", "product", "thing", "name"]),
    ("how much", &["amount", "quantity", "qty", "weight", "volume"]),
    ("unit", &["units"]),
    ("jars", &["number of jars", "how many jars", "count"]),
    ("size", &["jar", "jar size", "of which jar", "which jar"]),
    ("dated", &["date", "milked", "made", "made on", "milked on", "day"]),
    ("in", &["place", "where", "store", "stands in"]),
    ("ready", &["ready on", "ready when"]),
    ("good until", &["use by", "best before", "keeps until"]),
    ("fat", &["fat %", "fat percent"]),
    ("protein", &["protein %"]),
    ("of", &["animal", "cow", "goat", "ewe", "from"]),
    ("note", &["notes", "remark", "remarks", "comment"]),
];

impl Sheet {
    /// Where in the table a path such as `stock[3].dated` stands, in words.
    pub(super) fn place(&self, at: &str) -> Option<String> {
        let (row, rest) = at.strip_prefix("stock[")?.split_once(']')?;
        let line = self.rows.get(row.parse::<usize>().ok()?)?.0;
        let key = rest.trim_start_matches('.');
        let heading = self.headings.iter().find(|(k, _)| *k == key).map_or(key, |(_, h)| h.as_str());
        let name = &self.name;
        Some(if key.is_empty() {
            format!("{name}, row {line}")
        } else {
            format!("{name}, row {line}, column `{heading}`")
        })
    }

    /// Reads a table: commas, semicolons or tabs, a heading first. Blank rows
    /// and rows that begin with `#` are passed over; warnings come with it.
    pub(super) fn read(name: &str, bytes: &[u8]) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        let fail = |message: String, help: &str| vec![Diagnostic::error(message).help(help)];
        let text = std::str::from_utf8(bytes).map_err(|e| {
            let line = bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
            fail(format!("{name}, row {line}: this is not text in UTF-8"), "save the table as CSV in UTF-8")
        })?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let heading = text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or("");
        let delimiter = [b';', b'\t', b',']
            .into_iter()
            .max_by_key(|d| heading.bytes().filter(|b| b == d).count())
            .filter(|d| heading.bytes().any(|b| b == *d))
            .unwrap_or(b',');
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut sheet = Self { name: name.to_owned(), ..Self::default() };
        let (mut columns, mut faults, mut warnings) = (Vec::new(), Vec::new(), Vec::new());
        for record in reader.records() {
            let record = record.map_err(|e| fail(format!("{name}: {e}"), "save the table as CSV anew"))?;
            if record.iter().all(str::is_empty) {
                continue;
            }
            let line = record.position().map_or(1, |p| line_of(text, p.byte() as usize));
            if columns.is_empty() {
                columns = sheet.heading(line, &record, &mut warnings, &mut faults);
                continue;
            }
            if sheet.rows.len() >= MOST_ROWS {
                faults.push(
                    Diagnostic::error(format!("{name} has more than {MOST_ROWS} rows"))
                        .help("put jars of one milking in one row"),
                );
                break;
            }
            if let Some(extra) = record.iter().skip(columns.len()).find(|cell| !cell.is_empty()) {
                let d = Diagnostic::error(format!("{name}, row {line}: `{extra}` stands under no heading"));
                faults.push(d.help("give the column a heading, or put quotes around a text with commas"));
            }
            let decimal_comma = delimiter != b',';
            sheet.rows.push((line, thing(&columns, &record, decimal_comma)));
        }
        if columns.is_empty() && faults.is_empty() {
            return Err(fail(
                format!("{name} is empty"),
                "begin with a heading such as `what,how much,dated,in`",
            ));
        }
        if faults.is_empty() { Ok((sheet, warnings)) } else { Err(faults) }
    }

    /// Which of our keys each column is.
    fn heading(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
        warnings: &mut Vec<Diagnostic>,
        faults: &mut Vec<Diagnostic>,
    ) -> Vec<Option<&'static str>> {
        let name = &self.name;
        let mut columns = Vec::new();
        for cell in record {
            let word = cell.to_lowercase().replace('_', " ");
            let key = COLUMNS.iter().find(|(k, others)| *k == word || others.contains(&word.as_str()));
            let key = key.map(|(k, _)| *k);
            match key {
                Some(k) if columns.contains(&Some(k)) => {
                    let d = Diagnostic::error(format!("{name}, row {line}: two columns say `{k}`"));
                    faults.push(d.help("leave one of them out"));
                }
                Some(k) => self.headings.push((k, cell.to_owned())),
                None if cell.is_empty() => {}
                None => {
                    let all =
                        COLUMNS.iter().flat_map(|(k, others)| std::iter::once(k).chain(*others)).copied();
                    let help = nearest(&word, all).map_or_else(
                        || "known here: what, how much, jars, size, dated, in, ready, good until, fat, of, note".into(),
                        |n| format!("did you mean `{n}`?"),
                    );
                    let message = format!("{name}, row {line}: the column `{cell}` is not read");
                    warnings.push(Diagnostic::warning(message).help(help));
                }
            }
            columns.push(key);
        }
        if faults.is_empty() && !columns.contains(&Some("what")) {
            let d = Diagnostic::error(format!("{name}, row {line}: no column says `what` stands there"));
            faults.push(d.help("begin with a heading such as `what,how much,jars,dated,in`"));
        }
        columns
    }
}

/// The line of the first row at or after a byte: what is passed over counts.
fn line_of(text: &str, byte: usize) -> usize {
    let passed = |line: &&str| line.trim().is_empty() || line.starts_with('#');
    let before = text.get(..byte).unwrap_or("").matches('\n').count();
    let after = text.get(byte..).unwrap_or("").lines().take_while(passed).count();
    before + after + 1
}

/// One row as a thing.
fn thing(columns: &[Option<&str>], record: &csv::StringRecord, decimal_comma: bool) -> Standing {
    let cell = |key: &str| {
        let at = columns.iter().position(|c| *c == Some(key))?;
        record.get(at).filter(|t| !t.is_empty()).map(|t| {
            let number = t.split(' ').next().unwrap_or(t);
            let comma = decimal_comma
                && number.matches(',').count() == 1
                && number.chars().all(|c| c.is_ascii_digit() || c == ',');
            if comma { t.replacen(',', ".", 1) } else { t.to_owned() }
        })
    };
    let text = |key: &str| cell(key).map(Text);
    let bare = |t: &str| t.chars().all(|c| c.is_ascii_digit() || c == '.');
    let mut amount = cell("how much");
    if let (Some(a), Some(unit)) = (&amount, cell("unit"))
        && bare(a)
    {
        amount = Some(format!("{a} {unit}"));
    }
    let mut jars = cell("jars");
    // `3 half gallon jars` as an amount.
    if jars.is_none()
        && let Some(words) = amount.as_ref().and_then(|a| a.strip_suffix(" jars").or(a.strip_suffix(" jar")))
    {
        jars = Some(words.to_owned());
        amount = None;
    }
    if let (Some(n), Some(size)) = (&jars, cell("size"))
        && bare(n)
    {
        jars = Some(format!("{n} {size}"));
    }
    let percent = |key: &str| cell(key).map(|t| Q::new(if bare(&t) { format!("{t} %") } else { t }));
    Standing {
        what: text("what"),
        how_much: amount.map(Q::new),
        jars: jars.map(Text),
        dated: text("dated"),
        place: text("in"),
        ready: text("ready"),
        good_until: text("good until"),
        fat: percent("fat"),
        protein: percent("protein"),
        of: text("of"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<(Sheet, Vec<Diagnostic>), Vec<Diagnostic>> {
        Sheet::read("stock.csv", text.as_bytes())
    }

    #[test]
    fn tables_as_people_keep_them() {
        let (a, w) = read("what,how much,dated,in\nbutter,3 lb,2027-08-20,freezer\n").unwrap();
        let text =
            "\u{feff}Item;Amount;Unit;Date;Where\n# counted by Ada\n\nbutter;3;lb;2027-08-20;freezer\n";
        let (b, _) = read(text).unwrap();
        assert!(w.is_empty());
        assert_eq!(a.rows[0].1, b.rows[0].1);
        assert_eq!((a.rows[0].0, b.rows[0].0), (2, 4));
        let (c, _) = read("what\tqty\tfat\nyogurt\t1,5 L\t3,8\n").unwrap();
        assert_eq!(c.rows[0].1.how_much.as_ref().unwrap().as_str(), "1.5 L");
        assert_eq!(c.rows[0].1.fat.as_ref().unwrap().as_str(), "3.8 %");
        for text in
            ["what,jars,size\nwhole milk,3,half gallon\n", "what,amount\nwhole milk,3 half gallon jars\n"]
        {
            assert_eq!(read(text).unwrap().0.rows[0].1.jars, Some(Text("3 half gallon".into())), "{text}");
        }
        assert_eq!(c.place("stock[0].how much").as_deref(), Some("stock.csv, row 2, column `qty`"));
    }

    #[test]
    fn nothing_is_dropped_in_silence() {
        let said = |text: &str| match read(text) {
            Ok((_, all)) | Err(all) => all.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"),
        };
        assert!(said("").contains("is empty"));
        assert!(said("what,amuont\nbutter,3 lb\n").contains("did you mean `amount`"));
        assert!(said("what,in\nbutter,freezer,3 lb\n").contains("row 2: `3 lb` stands under no heading"));
        assert!(said("amount,in\n3 lb,freezer\n").contains("no column says `what`"));
        assert!(said("what,item\nbutter,x\n").contains("two columns say `what`"));
        let latin = Sheet::read("s.csv", b"what\nbutter\nk\xe4se\n").unwrap_err();
        assert!(latin[0].message.contains("row 3"), "{}", latin[0]);
        let long: String = (0..600).map(|_| "butter\n").collect();
        assert!(said(&format!("what\n{long}")).contains("more than 500 rows"));
    }
}
