//! The pages of `compare`, `sweep` and `size`: well-formed, whole, harmless, with the
//! figures of the files beside them.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use roxmltree::{Document, Node};
use serde_json::Value;

const FARM: &str = "\
title: 'A <script>alert(1)</script> & \"small\" place'
starts: 2027-04-01
lasts: 60 days
seed: 5
animals:
  - {name: Clover, breed: jersey, freshens: 2027-03-20}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
stores:
  milk fridge: {like: all-fridge 10 cu ft}
jars: {half gallon: 30}
when full:
  tonight: [feed sour milk, feed oldest milk, pour out oldest milk]
animals fed:
  pigs: {heads: 1}
aims:
  - {measure: waste, below: 10 %, in: 9 of 10 years}
  - {measure: milk on the table, at least: 50 %, in: 9 of 10 years}
variants:
  '<small> fridge':
    stores: {milk fridge: {like: mini fridge 3 cu ft}}
  three pigs: {animals fed: {pigs: {heads: 3}}}
";

fn made(args: &[&str]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("farm.yaml"), FARM).expect("written");
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.current_dir(dir.path()).args(args).args(["--svg", "--quiet", "--out", "out"]);
    c.assert().success();
    dir
}

fn text(node: Node) -> String {
    node.descendants().filter(Node::is_text).filter_map(|n| n.text()).collect()
}

/// Cells of the rows of a table's body.
fn rows(node: Node) -> Vec<Vec<String>> {
    node.descendants()
        .filter(|n| n.has_tag_name("tbody"))
        .flat_map(|b| b.children().filter(|n| n.has_tag_name("tr")))
        .map(|r| r.children().map(text).collect())
        .collect()
}

/// Reads the page, looks at what every page owes, and hands the rows of the table
/// behind the picture and the data file to `look`.
fn page(out: &Path, data: &str, key: &str, look: impl Fn(Vec<Vec<String>>, Value)) {
    let page = fs::read_to_string(out.join("report.html")).expect("a page");
    for bad in ["<script", "http:", "https:", "src=", "@import", "javascript:", "NaN"] {
        assert!(!page.contains(bad), "{bad}");
    }
    let from = page.find("<body>").expect("a body");
    let to = page.find("</body>").expect("its end") + "</body>".len();
    let doc = Document::parse(&page[from..to]).expect("well-formed");
    let figure = doc
        .descendants()
        .find(|n| n.attribute("id") == Some(&format!("fig-{key}")))
        .unwrap_or_else(|| panic!("no picture {key}"));
    let svgs = figure.descendants().filter(|n| n.has_tag_name("svg") && n.attribute("role") == Some("img"));
    assert_eq!(svgs.count(), 2, "one for a page, one for a telephone");
    let told = text(doc.root_element());
    assert!(told.contains("<script>alert(1)</script>"), "the title is shown as it is written");
    assert!(told.contains("springhouse ") && told.contains("SHA-256"), "where it comes from");
    let json = fs::read_to_string(out.join(data)).expect("the data");
    look(rows(figure), serde_json::from_str(&json).expect("JSON"));
    let picture = fs::read_to_string(out.join(format!("picture-{key}.svg"))).expect("a picture");
    Document::parse(&picture).expect("a well-formed picture");
    let manifest = fs::read_to_string(out.join("manifest.json")).expect("the manifest");
    assert!(manifest.contains("report.html") && manifest.contains(&format!("picture-{key}.svg")));
}

#[test]
fn a_sweep_along_one_field_is_a_curve() {
    let dir = made(&[
        "sweep",
        "farm.yaml",
        "--trials",
        "40",
        "--vary",
        "animals fed.pigs.heads",
        "--over",
        "0; 1; 4",
    ]);
    page(&dir.path().join("out"), "sweep.json", "sweep", |rows, _| {
        // Three values, two aims.
        assert_eq!(rows.len(), 6);
        assert_eq!(rows.iter().filter(|r| r[0] == "4").count(), 2);
        assert!(rows.iter().all(|r| r[2].ends_with('%') && r[5] == "90 %"), "{rows:?}");
    });
}

#[test]
fn a_sweep_of_two_fields_is_a_field_of_cells() {
    let dir = made(&[
        "sweep",
        "farm.yaml",
        "--trials",
        "20",
        "--vary",
        "animals fed.pigs.heads",
        "--over",
        "0; 4",
        "--vary",
        "jars.half gallon",
        "--over",
        "10; 20; 40",
    ]);
    page(&dir.path().join("out"), "sweep.json", "sweep", |rows, _| {
        assert_eq!(rows.iter().map(Vec::len).collect::<Vec<_>>(), [4, 4]);
        assert!(rows.iter().flat_map(|r| &r[1..]).all(|c| c.contains("of 2")), "{rows:?}");
    });
}

#[test]
fn a_size_shows_what_was_tried() {
    let dir = made(&[
        "size",
        "farm.yaml",
        "--trials",
        "4000",
        "--vary",
        "animals fed.pigs.heads",
        "--over",
        "0 to 6 by 1",
    ]);
    page(&dir.path().join("out"), "size.json", "size", |rows, data| {
        let tried = data["tried"].as_array().expect("tried");
        assert_eq!(rows.len(), 2 * tried.len());
        for t in tried {
            let setting = t["setting"].as_str().expect("a setting");
            let trials = t["trials"].as_u64().expect("trials");
            let row = rows.iter().find(|r| r[0] == setting).expect("its row");
            let digits: String =
                row[7].chars().take_while(|c| *c != ' ').filter(char::is_ascii_digit).collect();
            assert_eq!(digits, trials.to_string(), "{row:?}");
        }
    });
}

#[test]
fn a_comparison_shows_paired_differences() {
    let dir = made(&["compare", "farm.yaml", "--trials", "40"]);
    page(&dir.path().join("out"), "compare.json", "differences", |rows, _| {
        for choice in ["<small> fridge", "three pigs"] {
            let waste = rows.iter().find(|r| r[0] == choice && r[1] == "waste").expect("a row");
            assert!(waste[2].ends_with('%') && waste.len() == 10, "{waste:?}");
        }
    });
}
