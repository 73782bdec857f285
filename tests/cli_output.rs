//! What is left behind when a run is killed or the disk is full: the output
//! folder is whole, or the old one, or not there.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use sha2::{Digest, Sha256};

fn program() -> &'static str {
    assert_cmd::cargo::cargo_bin!("springhouse").to_str().expect("a path of plain letters")
}

/// A folder with the starter scenario in it.
fn home() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let made = Command::new(program()).current_dir(&dir).args(["new", "ours.yaml"]).output().expect("runs");
    assert!(made.status.success());
    dir
}

/// Names and bytes of the files of a folder; `None` without the folder.
fn files(dir: &Path) -> Option<BTreeMap<String, Vec<u8>>> {
    let entries = std::fs::read_dir(dir).ok()?;
    let each = entries.flatten().map(|e| {
        (e.file_name().to_string_lossy().into_owned(), std::fs::read(e.path()).expect("a readable file"))
    });
    Some(each.collect())
}

/// Every file that the manifest lists is there, with the bytes it lists.
fn is_whole(files: &BTreeMap<String, Vec<u8>>) -> bool {
    let Some(manifest) = files.get("manifest.json") else { return false };
    let Ok(manifest) = serde_json::from_slice::<serde_json::Value>(manifest) else { return false };
    let Some(listed) = manifest["files"].as_object() else { return false };
    let hash = |bytes: &[u8]| Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect::<String>();
    listed.len() == 6
        && listed.iter().all(|(name, told)| {
            files.get(name).is_some_and(|bytes| told.as_str() == Some(hash(bytes).as_str()))
        })
}

const RUN: [&str; 8] =
    ["run", "ours.yaml", "--quiet", "--no-remedies", "--seed", "2", "--out", "outputs/ours"];

/// Begins a run and kills it as soon as so many of its files are begun; true
/// if it was killed before its end.
fn killed_at(dir: &Path, begun: usize) -> bool {
    let mut child = Command::new(program())
        .current_dir(dir)
        .args(RUN)
        .args(["--trials", "400"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("runs");
    let until = Instant::now() + Duration::from_secs(120);
    let writes = || {
        let beside = std::fs::read_dir(dir.join("outputs")).into_iter().flatten().flatten();
        beside
            .filter(|e| e.file_name().to_string_lossy().starts_with(".springhouse-"))
            .any(|e| std::fs::read_dir(e.path()).map_or(0, Iterator::count) >= begun)
    };
    while !writes() && child.try_wait().expect("a child").is_none() {
        assert!(Instant::now() < until, "it neither writes nor ends");
        std::thread::yield_now();
    }
    let _ = child.kill();
    child.wait().expect("a child").code().is_none()
}

/// What a killed run left beside its target would count as begun by the next.
fn clear_beside(dir: &Path) {
    for e in std::fs::read_dir(dir.join("outputs")).expect("outputs").flatten() {
        if e.file_name().to_string_lossy().starts_with(".springhouse-") {
            std::fs::remove_dir_all(e.path()).expect("removed");
        }
    }
}

#[test]
fn a_run_that_is_killed_leaves_nothing_half_written() {
    let dir = home();
    let target = dir.path().join("outputs/ours");
    let (mut killed, mut tries) = (0, 0);
    // 1 to 6 files are begun when it is killed; a busy machine may be too late.
    while tries < 6 || (killed == 0 && tries < 30) {
        let begun = tries % 6 + 1;
        tries += 1;
        let was = killed_at(dir.path(), begun);
        match files(&target) {
            None => assert!(was, "ended by itself without a folder"),
            Some(found) => {
                assert!(is_whole(&found), "half-written after {begun} files");
                std::fs::remove_dir_all(&target).expect("removed");
            }
        }
        killed += u32::from(was);
        clear_beside(dir.path());
    }
    assert!(killed > 0, "none of {tries} was killed in time");

    // With old results in their place.
    let first = Command::new(program()).current_dir(&dir).args(RUN).args(["--trials", "9"]).output();
    assert!(first.expect("runs").status.success());
    let old = files(&target).expect("old results");
    assert!(is_whole(&old));
    for begun in [1, 3, 5] {
        killed_at(dir.path(), begun);
        // Between the old one's leaving and the new one's coming there is none.
        if let Some(found) = files(&target) {
            assert!(found == old || is_whole(&found), "neither old nor whole after {begun} files");
        }
        clear_beside(dir.path());
    }
    // What is left of a killed run is in nobody's way.
    let again = Command::new(program()).current_dir(&dir).args(RUN).args(["--trials", "9"]).output();
    assert!(again.expect("runs").status.success());
    assert_eq!(files(&target), Some(old));
}

/// One error, exit code 1, no panic.
#[track_caller]
fn one_clear_error(out: &Output, part: &str) {
    let err = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(1), "{err}");
    assert_eq!(err.matches("error:").count(), 1, "{err}");
    assert!(err.contains(part) && !err.contains("panic"), "{err}");
}

/// Files may not grow beyond so many blocks, as on a full disk.
fn with_room_for(dir: &Path, blocks: u32) -> Output {
    Command::new("sh")
        .current_dir(dir)
        .args(["-c", "trap '' XFSZ; ulimit -f \"$0\"; exec \"$@\""])
        .arg(blocks.to_string())
        .arg(program())
        .args(RUN)
        .args(["--trials", "300"])
        .output()
        .expect("a shell")
}

#[test]
fn no_room_for_the_files_is_one_error_and_leaves_the_old_ones() {
    let dir = home();
    let target = dir.path().join("outputs/ours");
    for old in [false, true] {
        if old {
            let run = Command::new(program()).current_dir(&dir).args(RUN).args(["--trials", "9"]).output();
            assert!(run.expect("runs").status.success());
        }
        let before = files(&target);
        assert_eq!(before.is_some(), old);
        // Room for nothing, for a part of the first file, for some of them.
        for blocks in [0, 4, 200] {
            let out = with_room_for(dir.path(), blocks);
            one_clear_error(&out, "cannot write");
            assert!(out.stdout.starts_with(b"Our first cow: 300 simulated runs"), "the words are still told");
            assert_eq!(files(&target), before, "{blocks} blocks");
            let left = std::fs::read_dir(dir.path().join("outputs")).expect("outputs").count();
            assert_eq!(left, usize::from(old), "nothing is left beside");
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn standard_output_that_is_full_is_one_error() {
    let dir = home();
    let run = [&RUN[..], &["--trials", "9"]].concat();
    let all = [&run[..], &["--all"]].concat();
    let json = [&run[..], &["--format", "json"]].concat();
    let commands: [&[&str]; 7] =
        [&["list"], &["list", "breeds"], &["new"], &["schema"], &["check", "ours.yaml"], &run, &all];
    for args in commands.into_iter().chain([&json[..]]) {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("a full device");
        let out = Command::new(program()).current_dir(&dir).args(args).stdout(full).output().expect("runs");
        one_clear_error(&out, "cannot write the output");
    }
    // The files are there all the same.
    assert!(is_whole(&files(&dir.path().join("outputs/ours")).expect("files")));
}
