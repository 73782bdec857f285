//! From bytes to cells: encoding, delimiter, records with their lines.

use crate::diagnostics::{Diagnostic, Spot};

/// Most rows that a log may have: a hundred years of three milkings a day.
const MOST_ROWS: usize = 110_000;
/// A cell that runs over more lines than this has lost its closing quote.
const LONGEST_CELL: usize = 8;
/// What may stand between cells.
const DELIMITERS: [u8; 4] = *b",;\t|";
/// Rows looked at for the delimiter.
const SAMPLE: usize = 60;

/// One record.
#[derive(Clone, Debug, Default)]
pub(crate) struct Record {
    /// Line on which it begins, from 1.
    pub line: usize,
    /// Its cells, trimmed.
    pub cells: Vec<String>,
}

impl Record {
    /// The cell of a column; empty where there is none.
    pub fn cell(&self, column: usize) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }

    /// No cell holds a word.
    pub fn is_blank(&self) -> bool {
        self.cells.iter().all(String::is_empty)
    }
}

/// All records of a file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    /// The text, line ends made `\n`.
    pub text: String,
    /// What stands between cells.
    pub delimiter: u8,
    /// The records, blank ones too.
    pub records: Vec<Record>,
    /// What was decided, in sentences.
    pub told: Vec<String>,
    /// What had to be guessed of the encoding, in a sentence.
    pub guessed: Option<String>,
}

impl Table {
    /// Reads the table of a file.
    pub fn read(bytes: &[u8]) -> Result<Self, Diagnostic> {
        let (text, guessed) = decode(bytes)?;
        let mut told: Vec<String> = guessed.clone().into_iter().collect();
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        if text.trim().is_empty() {
            return Err(Diagnostic::error("this log is empty")
                .help("write a heading such as `date,milk (lb)` and a row a day"));
        }
        // Some spreadsheets name the delimiter on a line of its own.
        let first = text.lines().next().unwrap_or_default().trim();
        let named = first.strip_prefix("sep=").and_then(|s| s.bytes().next());
        let skip = usize::from(named.is_some());
        let delimiter = named.unwrap_or_else(|| delimiter(&text));
        if named.is_none() && delimiter != b',' {
            let name = match delimiter {
                b';' => "semicolons",
                b'\t' => "tabs",
                _ => "upright bars",
            };
            told.push(format!("Cells are divided by {name}."));
        }
        let body: String = text.split_inclusive('\n').skip(skip).collect();
        let mut records = records(&body, delimiter)?;
        for r in &mut records {
            r.line += skip;
        }
        Ok(Self { text, delimiter, records: with_blanks(records, &body, skip), told, guessed })
    }

    /// The place of a cell.
    pub fn spot(&self, record: &Record, column: usize) -> Option<Spot> {
        let line = self.text.lines().nth(record.line.checked_sub(1)?)?;
        Some(cell_of(line, self.delimiter, column, record.line))
    }
}

/// The text of the bytes, and what had to be guessed.
fn decode(bytes: &[u8]) -> Result<(String, Option<String>), Diagnostic> {
    let no_table = |what: &str| {
        Diagnostic::error(format!("this is {what}, not a table of text"))
            .help("save the sheet as CSV (comma separated values) and give that file")
    };
    match bytes {
        [b'P', b'K', 3, 4, ..] | [0xD0, 0xCF, 0x11, 0xE0, ..] => return Err(no_table("a spreadsheet file")),
        [b'%', b'P', b'D', b'F', ..] => return Err(no_table("a page to print")),
        _ => {}
    }
    let wide = |from: fn([u8; 2]) -> u16| {
        let units = bytes.get(2..).unwrap_or_default().chunks_exact(2).filter_map(|p| p.try_into().ok());
        let units: Vec<u16> = units.map(from).collect();
        String::from_utf16(&units).map_err(|_| no_table("something else"))
    };
    match bytes {
        [0xFF, 0xFE, ..] => return Ok((wide(u16::from_le_bytes)?, None)),
        [0xFE, 0xFF, ..] => return Ok((wide(u16::from_be_bytes)?, None)),
        _ => {}
    }
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    if bytes.contains(&0) {
        return Err(no_table("something else"));
    }
    Ok(match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), None),
        // Latin-1 holds every byte: only accents in notes can come out wrong.
        Err(_) => (
            bytes.iter().map(|b| char::from(*b)).collect(),
            Some("The file is not UTF-8; it was read as Latin-1, so accents may look wrong.".to_owned()),
        ),
    })
}

fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

fn records(text: &str, delimiter: u8) -> Result<Vec<Record>, Diagnostic> {
    let mut out: Vec<Record> = Vec::new();
    for record in reader(text, delimiter).records() {
        let record = record.map_err(|e| Diagnostic::error(format!("this table cannot be read: {e}")))?;
        let line = record.position().map_or(0, |p| usize::try_from(p.line()).unwrap_or(usize::MAX));
        let width = out.first().map_or(record.len(), |first| first.cells.len()).max(2);
        // A line within a cell that has the columns of a row is a row.
        let is_row = |l: &str| l.bytes().filter(|b| *b == delimiter).count() + 1 >= width;
        let swallows = |c: &str| c.lines().count() > LONGEST_CELL || c.lines().skip(1).any(is_row);
        if record.iter().any(swallows) {
            return Err(not_closed(line));
        }
        out.push(Record { line, cells: record.iter().map(str::to_owned).collect() });
        if out.len() > MOST_ROWS {
            return Err(Diagnostic::error(format!("this log has more than {MOST_ROWS} rows"))
                .help("give the log of one animal"));
        }
    }
    // So is what comes after a mark that nothing closes.
    let last = out.last().filter(|r| r.cells.last().is_some_and(|c| c.contains('\n')));
    match last.filter(|_| !text.trim_end().ends_with('"')) {
        Some(r) => Err(not_closed(r.line)),
        None => Ok(out),
    }
}

fn not_closed(line: usize) -> Diagnostic {
    Diagnostic::error("a quotation mark is opened here and not closed")
        .at(Some(Spot { line, column: 1, length: 1 }))
        .help("close it, or take it out: up to there everything would be one cell")
}

/// Blank lines, which the reader skips, put back as blank records.
fn with_blanks(records: Vec<Record>, text: &str, skip: usize) -> Vec<Record> {
    let lines: Vec<&str> = text.lines().collect();
    let mut out = Vec::with_capacity(records.len());
    let mut next = skip + 1;
    for mut r in records {
        // The position may be that of a blank line before the record.
        while r.line <= skip + lines.len()
            && lines.get(r.line - skip - 1).is_some_and(|l| l.trim().is_empty())
            && !r.is_blank()
        {
            r.line += 1;
        }
        while next < r.line {
            if lines.get(next - skip - 1).is_some_and(|l| l.trim().is_empty()) {
                out.push(Record { line: next, cells: Vec::new() });
            }
            next += 1;
        }
        let over = r.cells.iter().map(|c| c.matches('\n').count()).sum::<usize>();
        next = r.line + 1 + over;
        out.push(r);
    }
    for line in next..=skip + lines.len() {
        if lines.get(line - skip - 1).is_some_and(|l| l.trim().is_empty()) {
            out.push(Record { line, cells: Vec::new() });
        }
    }
    out
}

/// The delimiter that gives the most rows of one and the same width above one.
fn delimiter(text: &str) -> u8 {
    let sample: String = text.split_inclusive('\n').filter(|l| !l.trim().is_empty()).take(SAMPLE).collect();
    let score = |d: u8| {
        let widths: Vec<usize> =
            reader(&sample, d).records().flatten().map(|r| r.len()).filter(|w| *w > 1).collect();
        let alike = |w: usize| widths.iter().filter(|x| **x == w).count();
        widths.iter().map(|w| (alike(*w), *w)).max()
    };
    // Of equal ones the first.
    DELIMITERS.into_iter().rev().max_by_key(|d| score(*d)).unwrap_or(b',')
}

/// The place of a cell in its line.
pub(crate) fn cell_of(line: &str, delimiter: u8, column: usize, number: usize) -> Spot {
    let (mut at, mut from, mut quoted) = (0, 0, false);
    let chars: Vec<char> = line.chars().collect();
    let mut to = chars.len();
    for (i, c) in chars.iter().enumerate() {
        match c {
            '"' => quoted = !quoted,
            c if !quoted && *c == char::from(delimiter) => {
                if at == column {
                    to = i;
                    break;
                }
                at += 1;
                from = i + 1;
            }
            _ => {}
        }
    }
    if at < column {
        from = chars.len();
    }
    while from < to && chars.get(from).is_some_and(|c| c.is_whitespace()) {
        from += 1;
    }
    Spot { line: number, column: from + 1, length: to.saturating_sub(from).max(1) }
}
