//! Bad and odd rows, one kind each, and what becomes of them.

use jiff::civil::date;
use proptest::prelude::*;

use super::*;

const LB: f64 = 0.453_592_37;

/// What must become of a file.
enum Then {
    /// Refused, with these words in the message or its help.
    Refused(&'static str),
    /// So many amounts used, and one row set aside with these words.
    Aside(usize, &'static str),
    /// So many amounts used, and these words told of a row or a column.
    Told(usize, &'static str),
    /// So many amounts used, nothing else said.
    Used(usize),
}
use Then::{Aside as A, Refused as R, Told as T, Used as U};

fn options() -> Options {
    Options { today: Some(date(2027, 12, 31)), ..Options::default() }
}

/// All that is said of a file, and the number of amounts used.
fn read_text(bytes: &[u8], options: &Options) -> Result<Log, String> {
    read(bytes, options).map_err(|all| {
        all.iter()
            .map(|d| format!("{} {}", d.message, d.help.as_deref().unwrap_or("")))
            .collect::<Vec<_>>()
            .join("\n")
    })
}

fn holds(kind: &str, bytes: &[u8], options: &Options, then: &Then) {
    let read = read_text(bytes, options);
    match (then, &read) {
        (R(words), Err(text)) => assert!(text.contains(words), "{kind}: {text}"),
        (R(words), Ok(log)) => panic!("{kind}: not refused ({words}): {log:?}"),
        (_, Err(text)) => panic!("{kind}: refused: {text}"),
        (A(n, words), Ok(log)) => {
            assert!(log.aside.iter().any(|a| a.why.contains(words) && a.line > 0), "{kind}: {log:?}");
            assert_eq!(log.milkings.len(), *n, "{kind}: {log:?}");
        }
        (T(n, words), Ok(log)) => {
            let said = log.told.iter().any(|a| a.why.contains(words))
                || log.decided.iter().any(|d| d.contains(words));
            assert!(said, "{kind}: {log:?}");
            assert_eq!(log.milkings.len(), *n, "{kind}: {log:?}");
        }
        (U(n), Ok(log)) => {
            assert_eq!(log.milkings.len(), *n, "{kind}: {log:?}");
            assert!(log.aside.is_empty() && log.told.is_empty(), "{kind}: {log:?}");
        }
    }
    if let Ok(log) = read {
        let c = log.counts;
        assert_eq!(
            c.rows,
            c.used + c.aside + c.blank + c.headings + c.others,
            "{kind}: every row counts: {c:?}"
        );
    }
}

/// Rows under `date,milk (lb)`, after one good row of 2027-04-01.
const ROWS: &[(&str, &str, Then)] = &[
    ("a good row", "2027-04-02,41.5", U(2)),
    ("negative", "2027-04-02,-4", A(1, "less than nothing")),
    ("a true minus sign", "2027-04-02,−4", A(1, "less than nothing")),
    ("zero", "2027-04-02,0", A(1, "is no milk")),
    ("words for an amount", "2027-04-02,lots", A(1, "does not begin with a number")),
    ("nan", "2027-04-02,NaN", A(1, "not a finite number")),
    ("infinite", "2027-04-02,inf", A(1, "not a finite number")),
    ("past all numbers", "2027-04-02,1e999", A(1, "not a finite number")),
    ("an empty amount", "2027-04-02,", A(1, "there is no amount")),
    ("a dash", "2027-04-02,-", A(1, "there is no amount")),
    ("missed", "2027-04-02,missed", A(1, "there is no amount")),
    ("not available", "2027-04-02,#N/A", A(1, "there is no amount")),
    ("a spreadsheet's error", "2027-04-02,#VALUE!", A(1, "spreadsheet's error")),
    ("a formula", "2027-04-02,=B1+2", A(1, "is a formula")),
    ("absurdly much", "2027-04-02,4150", A(1, "more than any animal")),
    ("absurdly little", "2027-04-02,0.001", A(1, "less than a mouthful")),
    ("a unit of time", "2027-04-02,40 days", A(1, "is a time")),
    ("a temperature", "2027-04-02,40 °F", A(1, "is a temperature")),
    ("a unit misspelt", "2027-04-02,5 galon", A(1, "did you mean `gal")),
    ("an unknown unit", "2027-04-02,5 churns", A(1, "no unit that is known")),
    ("another unit in the cell", "2027-04-02,5 gal", U(2)),
    ("two terms", "2027-04-02,41 lb 8 oz", U(2)),
    ("a half", "2027-04-02,41½", U(2)),
    ("about so much", "2027-04-02,~41", U(2)),
    ("a star after it", "2027-04-02,41*", U(2)),
    ("divided by nothing", "2027-04-02,1/0", A(1, "divides by nothing")),
    ("no date", ",41", A(1, "there is no date")),
    ("words for a date", "tuesday,41", A(1, "is no date")),
    ("no such day", "2027-02-30,41", A(1, "no day of the calendar")),
    ("no such month", "2027-13-01,41", A(1, "no day of the calendar")),
    ("no year", "12 Apr,41", A(1, "has no year")),
    ("a far year", "1066-10-14,41", A(1, "too far away")),
    ("in the future", "2028-04-02,41", A(1, "lies in the future")),
    ("a number that is no day", "12,41", A(1, "is no date")),
    ("a spreadsheet's day number", "46479,41", U(2)),
    ("a date with its hour", "2027-04-02 06:30,41", U(2)),
    ("the month in words", "\"Fri, April 2nd 2027\",41", U(2)),
    ("blank row", ",", U(1)),
    ("heading again", "date,milk (lb)", U(1)),
    ("a remark", "# vet came", A(1, "a remark")),
    ("a sum", "Total,82.5", A(1, "sums up other rows")),
    ("a mean", "Average April,41", A(1, "sums up other rows")),
    ("too many cells", "2027-04-02,41,5,7", A(1, "more cells than the heading")),
    ("empty cells too many", "2027-04-02,41,,", U(2)),
    ("too few cells", "2027-04-02", A(1, "there is no amount")),
    ("the same row twice", "2027-04-01,40", A(1, "the same as line 2")),
    ("the day twice, unlike", "2027-04-01,44", A(0, "with another amount")),
    ("before the row above", "2027-03-20,41", U(2)),
    ("long gap", "2027-11-20,41", U(2)),
    ("grouped by a blank", "2027-04-02,0 041", A(1, "")),
    ("steering characters", "2027-04-02,\u{1b}[31m41", A(1, "does not begin with a number")),
];

#[test]
fn rows_of_every_kind() {
    for (kind, row, then) in ROWS {
        // A good date whose own row makes the log one of daily rows.
        let text = format!("date,milk (lb)\n2027-04-01,40\n{row}\n");
        if *kind == "grouped by a blank" {
            let log = read_text(text.as_bytes(), &options()).unwrap();
            assert!((log.milkings[1].kg - 41.0 * LB).abs() < 1e-9);
            continue;
        }
        let text = match *kind {
            // One more day with one row, so that the pair is a slip.
            "the same row twice" | "the day twice, unlike" => {
                let text = format!("date,milk (lb)\n2027-04-01,40\n{row}\n2027-04-03,40\n2027-04-04,41\n");
                let then = match then {
                    A(n, w) => A(n + 2, w),
                    _ => unreachable!(),
                };
                holds(kind, text.as_bytes(), &options(), &then);
                continue;
            }
            _ => text,
        };
        holds(kind, text.as_bytes(), &options(), then);
    }
}

/// Whole files.
const FILES: &[(&str, &str, Then)] = &[
    ("empty", "", R("is empty")),
    ("only blanks", " \n\n", R("is empty")),
    ("only a heading", "date,milk (lb)\n", U(0)),
    ("no heading, two columns", "2027-04-01,40 lb\n2027-04-02,41 lb\n", T(2, "There is no heading")),
    ("no heading, three columns", "2027-04-01,40,41\n", R("no heading")),
    ("prose", "Dear all,\nshe gave much milk.\n", R("no heading")),
    ("no date column", "milk (lb),note\n40,fine\n", R("no column of this log is a date")),
    ("no amount column", "date,weather\n2027-04-01,fine\n", R("how much milk")),
    ("a misspelt column", "date,mlik (lb)\n2027-04-01,40\n", R("is it `mlik (lb)`?")),
    ("two date columns", "milking date,test date,milk (lb)\n2027-04-01,2027-04-01,40\n", R("mean the same")),
    ("two amount columns", "date,milk (lb),weight (lb)\n2027-04-01,40,41\n", R("mean the same")),
    ("a weekday beside the date", "date,day,milk (lb)\n2027-04-01,Thu,40\n", T(1, "`day` is not read")),
    ("an unknown column", "date,milk (lb),moon\n2027-04-01,40,new\n", T(1, "`moon` is not read")),
    ("no unit anywhere", "date,milk\n2027-04-01,40\n", R("--unit lb")),
    ("unit in its own column", "date,milk,unit\n2027-04-01,40,lb\n2027-04-02,18,kg\n", U(2)),
    ("unit column left empty", "date,milk,unit\n2027-04-01,40,lb\n2027-04-02,18,\n", A(1, "has no unit")),
    ("semicolons", "date;milk (kg)\n2027-04-01;18,5\n", T(1, "18.5")),
    ("tabs", "date\tmilk (kg)\n2027-04-01\t18.5\n", T(1, "tabs")),
    ("a comma not in quotes", "date,milk (kg)\n2027-04-01,18,5\n", A(0, "more cells than the heading")),
    ("decimal comma in quotes", "date,milk (kg)\n2027-04-01,\"18,5\"\n", T(1, "18.5")),
    ("thousands of grams", "date,milk (g)\n2027-04-01,\"2,350\"\n", T(1, "2350")),
    ("byte order mark", "\u{feff}date,milk (lb)\n2027-04-01,40\n", U(1)),
    ("Windows line ends", "date,milk (lb)\r\n2027-04-01,40\r\n", U(1)),
    ("old line ends", "date,milk (lb)\r2027-04-01,40\r", U(1)),
    ("delimiter on a line of its own", "sep=;\ndate;milk (lb)\n2027-04-01;40\n", U(1)),
    ("a title above", "Clover's milk\n\ndate,milk (lb)\n2027-04-01,40\n", A(1, "above the heading")),
    ("quotes round everything", "\"date\",\"milk (lb)\"\n\"2027-04-01\",\"40\"\n", U(1)),
    ("a note over two lines", "date,milk (lb),note\n2027-04-01,40,\"cold\nwet\"\n2027-04-02,41,\n", U(2)),
    (
        "a quote not closed",
        "date,milk (lb),note\n2027-04-01,40,\"a\n1\n2\n3\n4\n5\n6\n7\n8\n9\n",
        R("not closed"),
    ),
    ("a spreadsheet file", "PK\u{3}\u{4}abc", R("save the sheet as CSV")),
    ("day first by one row", "date,milk (lb)\n3/4/2027,40\n15/4/2027,41\n", T(2, "day first")),
    ("month first by one row", "date,milk (lb)\n4/3/2027,40\n4/15/2027,41\n", T(2, "month first")),
    ("both ways in one column", "date,milk (lb)\n15/4/2027,40\n4/15/2027,41\n", R("--dates day-first")),
    ("undecidable dates", "date,milk (lb)\n3/4/2027,40\n5/6/2027,41\n", R("can be read two ways")),
    ("decided by the future", "date,milk (lb)\n3/1/2028,40\n5/2/2027,41\n", R("can be read two ways")),
    (
        "decided by the days' order",
        "date,milk (lb)\n3/4/2027,40\n4/4/2027,41\n5/4/2027,41\n6/4/2027,41\n",
        T(4, "day by day"),
    ),
    ("the same both ways", "date,milk (lb)\n4/4/2027,40\n", U(1)),
    (
        "no such day in this order",
        "date,milk (lb)\n15/4/2027,40\n30/2/2027,41\n",
        A(1, "no day of the calendar"),
    ),
    ("morning and evening columns", "date,am (lb),pm (lb)\n2027-04-01,22,18\n", U(2)),
    ("one of two left empty", "date,am (lb),pm (lb)\n2027-04-01,22,\n", U(1)),
    ("a sum that does not fit", "date,am (lb),pm (lb),total (lb)\n2027-04-01,22,18,50\n", T(2, "another")),
    ("only the sum", "date,am (lb),pm (lb),total (lb)\n2027-04-01,,,40\n", U(1)),
    ("milking named", "date,milking,lb\n2027-04-01,morning,22\n2027-04-01,evening,18\n", U(2)),
    ("milking by the hour", "date,time,lb\n2027-04-01,6:30,22\n2027-04-01,6:00 pm,18\n", U(2)),
    ("an unknown milking", "date,milking,lb\n2027-04-01,tuesday,22\n", T(1, "names no milking")),
    (
        "date left out in the evening",
        "date,milking,lb\n2027-04-01,morning,22\n,evening,18\n",
        T(2, "that of the row above"),
    ),
    (
        "date left out in the morning",
        "date,milking,lb\n2027-04-01,evening,22\n,morning,18\n",
        A(1, "there is no date"),
    ),
    (
        "one milking twice",
        "date,milking,lb\n2027-04-01,am,22\n2027-04-01,am,22\n",
        A(1, "the same as line 2"),
    ),
    (
        "one milking twice, unlike",
        "date,milking,lb\n2027-04-01,am,22\n2027-04-01,am,25\n",
        A(0, "another amount"),
    ),
    ("calf on", "date,lb,calf\n2027-04-01,22,yes\n2027-04-02,30,no\n", U(2)),
    ("calf on in other words", "date,lb,calf\n2027-04-01,22,perhaps\n", A(0, "whether the young was on her")),
    ("withheld", "date,lb,withheld\n2027-04-01,22,yes\n", U(1)),
    ("withheld in other words", "date,lb,withheld\n2027-04-01,22,penicillin\n", T(1, "kept from people")),
    ("fat out of reason", "date,lb,fat\n2027-04-01,22,49\n", T(1, "is not the fat of milk")),
    ("fat with a comma", "date;kg;fat %\n2027-04-01;10;4,9\n", T(1, "semicolons")),
    ("days in milk", "date,lb,days in milk\n2027-04-01,22,12\n", U(1)),
    ("a stage that is none", "date,lb,stage\n2027-04-01,22,blue\n", T(1, "is no stage")),
    ("dry", "date,lb,stage\n2027-04-01,22,dry\n", A(0, "she is dry")),
    (
        "times milked",
        "date,lb,times milked\n2027-04-01,22,1\n2027-04-02,22,seven\n",
        T(2, "no number of milkings"),
    ),
    (
        "several animals",
        "date,animal,lb\n2027-04-01,Clover,22\n2027-04-01,Daisy,30\n",
        R("--animal: Clover, Daisy"),
    ),
    ("an animal left out", "date,animal,lb\n2027-04-01,Clover,22\n2027-04-02,,30\n", U(2)),
];

#[test]
fn files_of_every_kind() {
    for (kind, text, then) in FILES {
        holds(kind, text.as_bytes(), &options(), then);
    }
    assert!(ROWS.len() + FILES.len() > 100);
}

/// Rows that a lost quotation mark would make one cell are not lost without a word.
#[test]
fn a_quotation_that_swallows_rows_is_refused() {
    let rows = |note: &str, later: &str| {
        format!(
            "date,lb,note\n2027-04-01,20,\n2027-04-02,21,{note}\n2027-04-03,22,\n2027-04-04,23,{later}\n\
             2027-04-05,24,\n"
        )
    };
    for later in ["6\" of rain", "", "dry"] {
        holds(later, rows("\"off feed", later).as_bytes(), &options(), &R("opened here and not closed"));
    }
    let log = read(rows("\"off feed,\nthen better\"", "6\" of rain").as_bytes(), &options()).unwrap();
    assert_eq!(log.milkings.len(), 5);
}

#[test]
fn one_animal_of_several() {
    let text = "date,animal,lb\n2027-04-01,Clover,22\n2027-04-01,Daisy,30\n2027-04-02,,9\n";
    let of = |name: &str| Options { animal: Some(name.into()), ..options() };
    let log = read(text.as_bytes(), &of("clover")).unwrap();
    assert_eq!((log.milkings.len(), log.counts.others, log.counts.aside), (1, 1, 1));
    assert_eq!(log.animal.as_deref(), Some("Clover"));
    holds("a misspelt animal", text.as_bytes(), &of("Clovr"), &R("did you mean Clover?"));
    holds("no such animal", text.as_bytes(), &of("Bossy"), &R("it holds Clover, Daisy"));
}

#[test]
fn options_settle_what_the_file_leaves_open() {
    let text = "date,milk\n3/4/2027,40\n5/6/2027,41\n";
    let told = |dates| Options { dates: Some(dates), unit: Some("lb".into()), ..options() };
    let log = read(text.as_bytes(), &told(Order::MonthFirst)).unwrap();
    assert_eq!(log.milkings[0].date, date(2027, 3, 4));
    assert!((log.milkings[0].kg - 40.0 * LB).abs() < 1e-9);
    let log = read(text.as_bytes(), &told(Order::DayFirst)).unwrap();
    assert_eq!(log.milkings[0].date, date(2027, 4, 3));
    let bad = Options { unit: Some("lbz".into()), ..told(Order::DayFirst) };
    holds("a bad unit option", text.as_bytes(), &bad, &R("did you mean `lb"));
}

#[test]
fn amounts_in_every_unit() {
    for (unit, kg) in
        [("lb", LB), ("kg", 1.0), ("qt", 0.946_352_946 * 1.032), ("L", 1.032), ("gal", 3.785_411_784 * 1.032)]
    {
        let log = read(format!("date,milk ({unit})\n2027-04-01,10\n").as_bytes(), &options()).unwrap();
        assert!((log.milkings[0].kg - 10.0 * kg).abs() < 1e-9, "{unit}");
        let log = read(format!("date,milk\n2027-04-01,10 {unit}\n").as_bytes(), &options()).unwrap();
        assert!((log.milkings[0].kg - 10.0 * kg).abs() < 1e-9, "{unit}");
    }
}

#[test]
fn lines_are_those_of_the_file() {
    let text = "date,lb,note\n\n2027-04-01,22,\"a\nb\"\n\n\n2027-04-02,oops,\n";
    let log = read(text.as_bytes(), &options()).unwrap();
    assert_eq!((log.milkings[0].line, log.aside[0].line), (3, 7));
    assert_eq!((log.counts.blank, log.counts.rows), (3, 5));
    assert_eq!(log.aside[0].column, "lb");
}

/// Sums beside milkings, and a log that was pasted twice.
#[test]
fn a_day_counts_once() {
    let read =
        |rows: &str| read_text(format!("date,milking,milk (lb)\n{rows}").as_bytes(), &options()).unwrap();
    let kg = |log: &Log| log.milkings.iter().map(|m| m.kg).sum::<f64>() / LB;
    // The sum is held against its milkings.
    let day = |d: u32, total: u32| {
        format!("2027-04-{d:02},morning,22\n2027-04-{d:02},evening,18\n2027-04-{d:02},total,{total}\n")
    };
    let log = read(&(1..=9).map(|d| day(d, 40)).collect::<String>());
    assert_eq!((log.milkings.len(), log.aside.len(), log.counts.aside), (18, 9, 9));
    assert!(log.aside[0].why.contains("it sums up") && (kg(&log) - 360.0).abs() < 1e-9, "{log:?}");
    let log = read(&day(1, 50));
    assert!(log.aside[0].why.contains("come to another sum") && (kg(&log) - 40.0).abs() < 1e-9, "{log:?}");
    // Alone it is the day; beside one milking it is used in its place.
    let log = read("2027-04-01,total,40\n2027-04-02,morning,22\n2027-04-02,day,41\n");
    assert!((kg(&log) - 81.0).abs() < 1e-9 && log.aside[0].why.contains("that is used"), "{log:?}");
    // Every row twice, no milking named: one log, not two milkings.
    let rows: String = (1..=9).map(|d| format!("2027-04-{d:02},,4{d}\n")).collect();
    let twice = read(&format!("{rows}{rows}"));
    assert_eq!((twice.milkings.len(), twice.aside.len()), (9, 9));
    // Two rows of a day that differ are two milkings.
    let two: String = (1..=9).map(|d| format!("2027-04-{d:02},,2{d}\n2027-04-{d:02},,1{d}\n")).collect();
    assert_eq!(read(&two).milkings.len(), 18);
    // A column of sums without a unit is in that of its milkings.
    let log = read_text(b"Date,AM (lbs),PM (lbs),Total\n2027-04-01,22,18,40\n", &options()).unwrap();
    assert!(log.milkings.len() == 2 && log.aside.is_empty() && log.told.is_empty(), "{log:?}");
}

#[test]
fn other_encodings() {
    let text = "date,milk (lb)\n2027-04-01,40\n";
    let wide: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    holds("UTF-16", &wide, &options(), &U(1));
    let wide: Vec<u8> =
        [0xFE, 0xFF].into_iter().chain(text.encode_utf16().flat_map(u16::to_be_bytes)).collect();
    holds("UTF-16, the other way", &wide, &options(), &U(1));
    holds("Latin-1", b"date,milk (lb),note\n2027-04-01,40,caf\xe9\n", &options(), &T(1, "not UTF-8"));
    holds("bytes of nothing", b"\x00\x01\x02", &options(), &R("not a table of text"));
}

#[test]
fn places_of_cells() {
    let spot = cell_of("2027-04-01, \"a,b\" ,41", b',', 2, 7);
    assert_eq!((spot.line, spot.column, spot.length), (7, 20, 2));
    assert_eq!(cell_of("a,b", b',', 9, 1).column, 4);
}

proptest! {
    #[test]
    fn nothing_written_panics(text in "\\PC*") {
        let _ = read(text.as_bytes(), &options());
    }

    #[test]
    fn no_cells_panic_and_all_rows_count(
        cells in proptest::collection::vec(("[-0-9/. :apr,\"]{0,12}", "[-0-9.,'½ lbkg=#%]{0,10}"), 0..30)
    ) {
        let rows: String = cells.iter().map(|(a, b)| format!("{a},{b}\n")).collect();
        let with = Options { dates: Some(Order::DayFirst), unit: Some("kg".into()), ..options() };
        if let Ok(log) = read(format!("date,milk\n{rows}").as_bytes(), &with) {
            let c = log.counts;
            prop_assert_eq!(c.rows, c.used + c.aside + c.blank + c.headings + c.others);
        }
    }
}
