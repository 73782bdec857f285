//! The page and its pictures: well-formed, whole, harmless, and the same
//! figures as the files beside them.

mod common;

use std::collections::HashSet;
use std::fs;

use roxmltree::{Document, Node};
use springhouse::report::html::{self, Home};
use springhouse::report::{self, Facts, Show, Subject};
use springhouse::scenario::{Compiled, UnitSystem};
use springhouse::study::results::RunResult;
use springhouse::study::{RunOptions, run};

const COMMAND: &str = "springhouse run 'ours.yaml' --trials 40";

struct Made {
    compiled: Compiled,
    result: RunResult,
}

impl Made {
    fn of(compiled: Compiled, steady: bool) -> Self {
        let options = RunOptions { trials: 40, seed: 7, steady, remedies: false, ..RunOptions::default() };
        let result = run(&compiled.plan, &compiled.names, &options, &|_, _| {}).expect("a run");
        Self { compiled, result }
    }

    fn scenario(name: &str, steady: bool) -> Self {
        let path = format!("{}/scenarios/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
        Self::of(common::compile(&fs::read_to_string(path).expect("a scenario")), steady)
    }

    fn with<T>(&self, f: impl FnOnce(&Subject, &Home) -> T) -> T {
        let c = &self.compiled;
        let (facts, units) = (Facts::of(&c.plan, &c.names), c.names.units);
        let subject = Subject {
            result: &self.result,
            names: &c.names,
            facts: &facts,
            units,
            file: "ours.yaml",
            sha256: &c.sha256,
        };
        f(&subject, &Home::of(&c.plan, &c.names, units))
    }

    fn page(&self) -> String {
        self.with(|s, h| html::report(s, h, COMMAND))
    }

    fn pictures(&self) -> Vec<(String, String)> {
        self.with(html::files)
    }
}

/// The page's body, which holds no void element, as XML.
fn body(page: &str) -> String {
    let from = page.find("<body>").expect("a body");
    let to = page.find("</body>").expect("its end") + "</body>".len();
    page[from..to].to_string()
}

fn by_id<'a, 'b>(doc: &'a Document<'b>, id: &str) -> Node<'a, 'b> {
    doc.descendants().find(|n| n.attribute("id") == Some(id)).unwrap_or_else(|| panic!("no {id}"))
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

#[test]
fn every_scenario_makes_a_well_formed_page_with_described_pictures() {
    for name in ["first-cow", "two-does", "weekly-pickup", "which-fridge"] {
        for steady in [false, true] {
            let made = Made::scenario(name, steady);
            let page = made.page();
            assert!(page.len() < 1_000_000, "{name}: {} bytes", page.len());
            let xml = body(&page);
            let doc = Document::parse(&xml).unwrap_or_else(|e| panic!("{name}: {e}"));
            let mut ids = HashSet::new();
            for id in doc.descendants().filter_map(|n| n.attribute("id")) {
                assert!(ids.insert(id.to_string()), "{name}: {id} twice");
            }
            let pictures: Vec<Node> = doc
                .descendants()
                .filter(|n| n.has_tag_name("svg") && n.attribute("role") == Some("img"))
                .collect();
            assert!(pictures.len() >= 6, "{name}: {}", pictures.len());
            for svg in pictures {
                for tag in ["title", "desc"] {
                    let said = svg.children().find(|n| n.has_tag_name(tag)).map(text).unwrap_or_default();
                    assert!(said.len() > 3, "{name}: a picture without {tag}");
                }
                let figure = svg.ancestors().find(|n| n.has_tag_name("figure")).expect("a figure");
                assert!(!rows(figure).is_empty(), "{name}: a picture without its table");
            }
            for a in doc.descendants().filter_map(|n| n.attribute("href")) {
                assert!(ids.contains(a.trim_start_matches('#')), "{name}: {a} leads nowhere");
            }
            // Nothing is fetched, nothing runs.
            for bad in ["<script", "http:", "https:", "src=", "@import", "url(h", "javascript:"] {
                assert!(!page.contains(bad), "{name}: {bad}");
            }
            for number in ["NaN", "inf"] {
                assert!(
                    !xml.contains(&format!("\"{number}\"")) && !xml.contains(&format!(" {number} ")),
                    "{name}"
                );
            }
            for (file, svg) in made.pictures() {
                let doc = Document::parse(&svg).unwrap_or_else(|e| panic!("{name}: {file}: {e}"));
                assert_eq!(doc.root_element().tag_name().name(), "svg");
                assert!(file.starts_with("picture-") && file.ends_with(".svg"));
            }
        }
    }
}

#[test]
fn the_page_shows_the_figures_of_the_files() {
    let made = Made::scenario("first-cow", false);
    let mut bytes = Vec::new();
    made.with(|s, _| report::write_file(s, "summary.json", &mut bytes)).expect("a summary");
    let summary: serde_json::Value = serde_json::from_slice(&bytes).expect("JSON");
    let xml = body(&made.page());
    let doc = Document::parse(&xml).expect("XML");

    let shown = rows(by_id(&doc, "measures"));
    let measures = summary["measures"].as_object().expect("measures");
    assert_eq!(shown.len(), measures.len());
    for (row, (name, m)) in shown.iter().zip(measures) {
        assert_eq!(&row[0], name);
        for (cell, key) in row[2..].iter().zip(["mean", "p05", "p50", "p95"]) {
            // This reader of JSON may lose the last bit; the browser's does not.
            let (shown, told) = (cell.parse::<f64>().expect("a number"), m[key].as_f64().expect("a number"));
            assert!((shown - told).abs() <= 1e-14 * told.abs(), "{name} {key}: {shown} {told}");
        }
    }

    // Where the milk went, in the family's words.
    let show = Show::new(UnitSystem::Us);
    let went = rows(by_id(&doc, "fig-milk-went"));
    for (fate, words) in [("drunk", "drunk at the table"), ("fed_to_animals", "fed to animals")] {
        let fates = summary["fates"].as_array().expect("fates");
        let f = fates.iter().find(|f| f["fate"] == fate).expect("the fate");
        let row = went.iter().find(|r| r[0] == words).expect("its row");
        assert_eq!(row[1], show.milk(f["milk_kg"].as_f64().expect("kg")));
        assert_eq!(row[2], report_part(f["part"].as_f64().expect("part")));
    }
    // Over-full days month by month sum to the measure's mean.
    let cold = rows(by_id(&doc, "fig-cold"));
    let days: f64 = cold
        .iter()
        .map(|r| r.last().expect("days").trim_start_matches("< ").parse::<f64>().expect("a number"))
        .sum();
    let mean = summary["measures"]["days_over_full"]["mean"].as_f64().expect("mean");
    assert!((days - mean).abs() <= 0.5 * cold.len() as f64, "{days} {mean}");
    // Provenance.
    let all = text(doc.root_element());
    for said in [COMMAND, &made.compiled.sha256, env!("CARGO_PKG_VERSION"), "A first house cow"] {
        assert!(all.contains(said), "{said}");
    }
    for caution in &made.compiled.names.cautions {
        assert!(all.contains(caution.as_str()), "{caution}");
    }
}

/// A part in percent, as the reports round it.
fn report_part(part: f64) -> String {
    springhouse::units::show::part(part)
}

#[test]
fn text_of_the_scenario_is_shown_and_does_nothing() {
    let path = format!("{}/scenarios/first-cow.yaml", env!("CARGO_MANIFEST_DIR"));
    let mut compiled = common::compile(&fs::read_to_string(path).expect("a scenario"));
    let evil = "</title></svg><script>alert(1)</script>\"quoted\" 'single' &amp; שלום \u{202e}back\u{7}";
    let n = &mut compiled.names;
    n.title = format!("{evil}{}", "x".repeat(10_000));
    for names in [&mut n.animals, &mut n.wishes, &mut n.jars, &mut n.rules, &mut n.aims, &mut n.cautions] {
        if let Some(first) = names.first_mut() {
            *first = evil.into();
        }
    }
    let made = Made::of(compiled, false);
    let page = made.page();
    assert!(!page.contains("<script") && !page.contains('\u{202e}') && !page.contains('\u{7}'));
    let xml = body(&page);
    let doc = Document::parse(&xml).expect("still well-formed");
    let all = text(doc.root_element());
    let shown = "</title></svg><script>alert(1)</script>\"quoted\" 'single' &amp; שלום back";
    assert!(all.matches(shown).count() >= 5, "{}", all.matches(shown).count());
    // The whole title stands once, at the foot; on top it is cut.
    assert!(all.contains(&"x".repeat(10_000)));
    let top = doc.descendants().find(|n| n.has_tag_name("h1")).map(text).expect("a heading");
    assert!(top.chars().count() < 200 && top.ends_with('…'), "{top}");
    for (file, svg) in made.pictures() {
        assert!(!svg.contains("<script"), "{file}");
        Document::parse(&svg).unwrap_or_else(|e| panic!("{file}: {e}"));
    }
}

#[test]
fn the_same_run_gives_the_same_bytes() {
    let made = Made::scenario("two-does", false);
    assert_eq!(made.page(), made.page());
    assert_eq!(made.pictures(), Made::scenario("two-does", false).pictures());
}

#[test]
fn a_single_day_and_an_empty_larder_make_a_page() {
    let short = "title: One day\nstarts: 2027-04-10\nlasts: 1 day\nunits: metric\n\
                 milk fetched:\n  - {name: neighbour, amount: 4 L, days: [sat], fat: 4 %, protein: 3.3 %}\n\
                 household:\n  people: {woman 31 to 50: 1}\n\
                 stores:\n  fridge: {like: mini fridge 3 cu ft}\njars: {quart: 4}\n";
    let compiled = match springhouse::scenario::compile(short.as_bytes()) {
        Ok(c) => c,
        Err(e) => panic!("{}", e.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")),
    };
    let made = Made::of(compiled, false);
    Document::parse(&body(&made.page())).expect("well-formed");
}
