//! The README's first answer is what its main command prints.
//!
//! After a change of values or words: `UPDATE_README=1 cargo test --test readme`.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

const START: &str = "```text\n";
const END: &str = "\n```";

#[test]
fn the_first_answer_is_real() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("README.md");
    let readme = fs::read_to_string(&path).expect("the README");
    let command = "cargo run --release -- run scenarios/first-cow.yaml";
    assert!(readme.contains(command), "the README names its main command");

    let out = tempfile::tempdir().expect("a folder");
    let run = Command::cargo_bin("springhouse")
        .expect("the binary")
        .current_dir(root)
        .args(["run", "scenarios/first-cow.yaml", "--quiet", "--out"])
        .arg(out.path().join("first-cow"))
        .assert()
        .success();
    let printed = String::from_utf8(run.get_output().stdout.clone()).expect("text");
    // All of the answer: down to the way to the rest.
    let answer = printed.split("\nThe whole report\n").next().expect("an answer").trim_end();
    assert!(answer.lines().count() > 10 && answer.lines().all(|l| l.chars().count() <= 80));

    let from = readme.find(START).expect("a block") + START.len();
    let until = from + readme[from..].find(END).expect("its end");
    if std::env::var_os("UPDATE_README").is_some() {
        let new = format!("{}{answer}{}", &readme[..from], &readme[until..]);
        fs::write(&path, new).expect("a writable README");
        return;
    }
    assert_eq!(&readme[from..until], answer, "see the top of this test for how to renew it");
}
