//! The README's first answer and its pictures are what its main command makes.
//!
//! After a change of values or words: `UPDATE_README=1 cargo test --test readme`.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

const START: &str = "```text\n";
const END: &str = "\n```";

#[test]
fn the_first_answer_and_the_pictures_are_real() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("README.md");
    let readme = fs::read_to_string(&path).expect("the README");
    let command = "cargo run --release -- run scenarios/first-cow.yaml";
    assert!(readme.contains(command), "the README names its main command");

    let out = tempfile::tempdir().expect("a folder");
    let run = Command::cargo_bin("springhouse")
        .expect("the binary")
        .current_dir(root)
        .args(["run", "scenarios/first-cow.yaml", "--quiet", "--svg", "--out"])
        .arg(out.path().join("first-cow"))
        .assert()
        .success();
    let printed = String::from_utf8(run.get_output().stdout.clone()).expect("text");
    // All of the answer: down to the way to the rest.
    let answer = printed.split("\nThe whole report\n").next().expect("an answer").trim_end();
    assert!(answer.lines().count() > 10 && answer.lines().all(|l| l.chars().count() <= 80));

    let from = readme.find(START).expect("a block") + START.len();
    let until = from + readme[from..].find(END).expect("its end");
    let update = std::env::var_os("UPDATE_README").is_some();
    for (shown, made) in [("milk-went.svg", "picture-milk-went.svg"), ("cold-room.svg", "picture-cold.svg")] {
        let new = fs::read(out.path().join("first-cow").join(made)).expect("a picture");
        let shown = root.join("docs").join(shown);
        if update {
            fs::write(&shown, new).expect("a writable picture");
        } else {
            let old = fs::read(&shown).expect("a picture of the README");
            assert!(old == new, "{shown:?}: see the top of this test for how to renew it");
        }
    }
    if update {
        let new = format!("{}{answer}{}", &readme[..from], &readme[until..]);
        fs::write(&path, new).expect("a writable README");
        return;
    }
    assert_eq!(&readme[from..until], answer, "see the top of this test for how to renew it");
}
