//! Every scenario of the folder, and every example of its README, reads.

use springhouse::scenario::raw::Scenario;

fn read(what: &str, text: &str) {
    let read: Result<Scenario, _> = serde_yaml::from_str(text);
    assert!(read.is_ok(), "{what}: {}\n{text}", read.unwrap_err());
}

#[test]
fn every_scenario_reads() {
    let mut seen = 0;
    for entry in std::fs::read_dir("scenarios").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "yaml") {
            read(&path.display().to_string(), &std::fs::read_to_string(&path).unwrap());
            seen += 1;
        }
    }
    assert!(seen >= 4);
}

#[test]
fn every_example_of_the_readme_reads() {
    let readme = std::fs::read_to_string("scenarios/README.md").unwrap();
    let examples: Vec<&str> =
        readme.split("```yaml\n").skip(1).map(|rest| rest.split("```").next().unwrap_or_default()).collect();
    assert!(examples.len() >= 10);
    for (n, text) in examples.iter().enumerate() {
        read(&format!("example {}", n + 1), text);
    }
}
