//! Every scenario of the folder reads as a scenario.
#[test]
fn every_scenario_reads() {
    for entry in std::fs::read_dir("scenarios").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "yaml") {
            let text = std::fs::read_to_string(&path).unwrap();
            let r: Result<springhouse::scenario::raw::Scenario, _> = serde_yaml::from_str(&text);
            assert!(r.is_ok(), "{}: {}", path.display(), r.unwrap_err());
        }
    }
}
