//! Scenarios compiled from short texts.

use springhouse::scenario;

#[test]
fn every_scenario_of_the_folder_compiles() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let mut seen = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|e| e != "yaml") {
            continue;
        }
        seen += 1;
        let bytes = std::fs::read(&path).unwrap();
        let compiled = scenario::compile(&bytes);
        let compiled = compiled.unwrap_or_else(|e| {
            panic!("{}: {}", path.display(), e.iter().map(|d| format!("\n{d}")).collect::<String>())
        });
        for w in &compiled.warnings {
            println!("{}: {w}", path.display());
        }
        assert_eq!(compiled.names.animals.len(), compiled.plan.animals.len());
    }
    assert!(seen >= 4);
}
