//! A stock-take as a table: what stands in the house, a row a thing.

use super::raw::{Standing, Text};
use crate::diagnostics::{Diagnostic, Spot, nearest};
use crate::records::dates;
use crate::records::table::{Record, Table};
use crate::units::Text as Q;

/// Most rows of a stock-take.
const MOST_ROWS: usize = 500;

/// A stock-take as it was read.
#[derive(Clone, Debug, Default)]
pub(super) struct Sheet {
    table: Table,
    /// The things, and which record of the table each is.
    pub(super) rows: Vec<(usize, Standing)>,
    /// The column of each of our keys.
    columns: Vec<Option<&'static str>>,
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
    /// Where in the table a path such as `stock[3].dated` stands.
    pub(super) fn spot(&self, at: &str) -> Option<Spot> {
        let (row, rest) = at.strip_prefix("stock[")?.split_once(']')?;
        let record = self.table.records.get(self.rows.get(row.parse::<usize>().ok()?)?.0)?;
        let of = |key: &str| self.columns.iter().position(|c| *c == Some(key));
        let column = match rest.trim_start_matches('.') {
            // `3 half gallon jars` may stand as an amount.
            "jars" => of("jars").filter(|c| !record.cell(*c).is_empty()).or_else(|| of("how much")),
            key => of(key),
        };
        self.table.spot(record, column.or_else(|| of("what")).unwrap_or(0))
    }

    /// Reads a table: commas, semicolons or tabs, a heading first. Blank rows
    /// and rows that begin with `#` are passed over; warnings come with it.
    pub(super) fn read(bytes: &[u8]) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        let own = |all: Vec<Diagnostic>| all.into_iter().map(Diagnostic::in_stock_take).collect::<Vec<_>>();
        Self::of(bytes).map(|(sheet, doubts)| (sheet, own(doubts))).map_err(own)
    }

    fn of(bytes: &[u8]) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        let example = "begin with a heading such as `what,how much,jars,dated,in`";
        if bytes.iter().all(u8::is_ascii_whitespace) {
            return Err(vec![Diagnostic::error("this stock-take is empty").help(example)]);
        }
        let table = Table::read(bytes).map_err(|d| vec![d])?;
        let mut warnings: Vec<Diagnostic> = Vec::new();
        if table.guessed.is_some() {
            let d = Diagnostic::warning(
                "this table is not UTF-8; it was read as Latin-1, so accents may look wrong",
            );
            warnings.push(d.help("save it as CSV in UTF-8"));
        }
        let counts = |r: &Record| !r.is_blank() && !r.cells.first().is_some_and(|c| c.starts_with('#'));
        let mut records = table.records.iter().enumerate().filter(|(_, r)| counts(r));
        let Some((_, heading)) = records.next() else {
            return Err(vec![Diagnostic::error("this stock-take has no heading").help(example)]);
        };
        let mut faults = Vec::new();
        let columns = columns(&table, heading, &mut warnings, &mut faults);
        let decimal_comma = table.delimiter != b',';
        let mut rows = Vec::new();
        let records: Vec<(usize, &Record)> = records.collect();
        let plain = plain_dates(&columns, &records);
        for (at, record) in records {
            if rows.len() >= MOST_ROWS {
                faults.push(
                    Diagnostic::error(format!("this stock-take has more than {MOST_ROWS} rows"))
                        .at(table.spot(record, 0))
                        .help("put jars of one milking in one row"),
                );
                break;
            }
            let extra = (columns.len()..record.cells.len()).find(|c| !record.cell(*c).is_empty());
            if let Some(c) = extra {
                let d = Diagnostic::error(format!("`{}` stands under no heading", record.cell(c)));
                faults.push(
                    d.at(table.spot(record, c))
                        .help("give the column a heading, or put quotes around a text with commas"),
                );
            }
            let mut read = record.clone();
            for (_, column, date) in plain.iter().filter(|(line, ..)| *line == record.line) {
                if let Some(cell) = read.cells.get_mut(*column) {
                    cell.clone_from(date);
                }
            }
            rows.push((at, thing(&columns, &read, decimal_comma)));
        }
        if faults.is_empty() { Ok((Self { table, rows, columns }, warnings)) } else { Err(faults) }
    }
}

/// Dates as people write them, in the plain form: line, column, date. What can
/// be read two ways is left as it is.
fn plain_dates(columns: &[Option<&str>], records: &[(usize, &Record)]) -> Vec<(usize, usize, String)> {
    let mut out = Vec::new();
    for (column, key) in columns.iter().enumerate() {
        if !key.is_some_and(|k| ["dated", "ready", "good until"].contains(&k)) {
            continue;
        }
        // `6/29/2026 evening`.
        let split = |cell| match str::rsplit_once(cell, ' ') {
            Some((date, half @ ("morning" | "evening"))) => (date.trim_end(), Some(half)),
            _ => (cell, None),
        };
        let cells: Vec<(&str, Option<&str>)> = records.iter().map(|(_, r)| split(r.cell(column))).collect();
        let dates: Vec<&str> = cells.iter().map(|(date, _)| *date).collect();
        for (((_, record), (_, half)), date) in records.iter().zip(&cells).zip(dates::plain_forms(&dates)) {
            let Some(date) = date else { continue };
            out.push((record.line, column, half.map_or(date.clone(), |h| format!("{date} {h}"))));
        }
    }
    out
}

/// Which of our keys each column is.
fn columns(
    table: &Table,
    heading: &Record,
    warnings: &mut Vec<Diagnostic>,
    faults: &mut Vec<Diagnostic>,
) -> Vec<Option<&'static str>> {
    let mut columns = Vec::new();
    for (at, cell) in heading.cells.iter().enumerate() {
        let word = cell.to_lowercase().replace('_', " ");
        let key = COLUMNS.iter().find(|(k, others)| *k == word || others.contains(&word.as_str()));
        let key = key.map(|(k, _)| *k);
        let spot = table.spot(heading, at);
        match key {
            Some(k) if columns.contains(&Some(k)) => {
                let d = Diagnostic::error(format!("two columns say `{k}`"));
                faults.push(d.at(spot).help("leave one of them out"));
            }
            Some(_) => {}
            None if cell.is_empty() => {}
            None => {
                let all = COLUMNS.iter().flat_map(|(k, others)| std::iter::once(k).chain(*others)).copied();
                let help = nearest(&word, all).map_or_else(
                    || {
                        "known here: what, how much, jars, size, dated, in, ready, good until, fat, of, note"
                            .into()
                    },
                    |n| format!("did you mean `{n}`?"),
                );
                let d = Diagnostic::warning(format!("the column `{cell}` is not read"));
                warnings.push(d.at(spot).help(help));
            }
        }
        columns.push(key);
    }
    if faults.is_empty() && !columns.contains(&Some("what")) {
        let d = Diagnostic::error("no column says `what` stands there").at(table.spot(heading, 0));
        faults.push(d.help("begin with a heading such as `what,how much,jars,dated,in`"));
    }
    columns
}

/// One row as a thing.
fn thing(columns: &[Option<&str>], record: &Record, decimal_comma: bool) -> Standing {
    let cell = |key: &str| {
        let at = columns.iter().position(|c| *c == Some(key))?;
        Some(record.cell(at)).filter(|t| !t.is_empty()).map(|t| {
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
        Sheet::read(text.as_bytes())
    }

    #[test]
    fn tables_as_people_keep_them() {
        let (a, w) = read("what,how much,dated,in\nbutter,3 lb,2027-08-20,freezer\n").unwrap();
        let text =
            "\u{feff}Item;Amount;Unit;Date;Where\n# counted by Ada\n\nbutter;3;lb;2027-08-20;freezer\n";
        let (b, _) = read(text).unwrap();
        assert!(w.is_empty());
        assert_eq!(a.rows[0].1, b.rows[0].1);
        let line = |s: &Sheet| s.spot("stock[0]").unwrap().line;
        assert_eq!((line(&a), line(&b)), (2, 4));
        let (c, _) = read("what\tqty\tfat\nyogurt\t1,5 L\t3,8\n").unwrap();
        assert_eq!(c.rows[0].1.how_much.as_ref().unwrap().as_str(), "1.5 L");
        let (d, _) =
            read("what,how much,dated\nbutter,3 lb,8/20/2027\nwhole milk,1 gal,8/5/2027 evening\n").unwrap();
        let dated = |i: usize| d.rows[i].1.dated.clone();
        assert_eq!(dated(0), Some(Text("2027-08-20".into())));
        assert_eq!(dated(1), Some(Text("2027-08-05 evening".into())));
        assert_eq!(c.rows[0].1.fat.as_ref().unwrap().as_str(), "3.8 %");
        for text in
            ["what,jars,size\nwhole milk,3,half gallon\n", "what,amount\nwhole milk,3 half gallon jars\n"]
        {
            assert_eq!(read(text).unwrap().0.rows[0].1.jars, Some(Text("3 half gallon".into())), "{text}");
        }
        let spot = c.spot("stock[0].how much").unwrap();
        assert_eq!((spot.line, spot.column, spot.length), (2, 8, 5));
    }

    #[test]
    fn nothing_is_dropped_in_silence() {
        let said = |text: &str| match read(text) {
            Ok((_, all)) | Err(all) => all.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"),
        };
        assert!(said("").contains("is empty"));
        assert!(said("what,amuont\nbutter,3 lb\n").contains("did you mean `amount`"));
        assert!(said("what,in\nbutter,freezer,3 lb\n").contains("2:16: `3 lb` stands under no heading"));
        assert!(said("amount,in\n3 lb,freezer\n").contains("no column says `what`"));
        assert!(said("what,item\nbutter,x\n").contains("two columns say `what`"));
        // An old code page is read, and that is said.
        let (latin, doubts) = Sheet::read(b"what\nbutter\nk\xe4se\n").unwrap();
        assert!(latin.rows.len() == 2 && doubts[0].message.contains("not UTF-8"), "{doubts:?}");
        assert!(doubts.iter().all(|d| d.beside));
        let long: String = (0..600).map(|_| "butter\n").collect();
        assert!(said(&format!("what\n{long}")).contains("more than 500 rows"));
    }
}
