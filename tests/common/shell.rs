//! What every command owes a shell.

use std::io::{BufRead, BufReader, Read};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

fn springhouse() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("springhouse"))
}

/// A reader of standard output that leaves at once is no error.
#[cfg(unix)]
#[track_caller]
pub fn may_lose_its_reader(args: &[&str]) {
    let mut child =
        springhouse().args(args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the binary");
    // Closed before anything is read.
    drop(child.stdout.take());
    let out = child.wait_with_output().expect("its end");
    let err = String::from_utf8_lossy(&out.stderr);
    assert_eq!((out.status.code(), err.as_ref()), (Some(0), ""), "{args:?}");
}

/// Colour where it is asked for, none under `NO_COLOR`.
#[track_caller]
pub fn obeys_no_color(args: &[&str]) {
    let run = |no_color: bool| {
        let mut c = springhouse();
        c.env_remove("CLICOLOR_FORCE").env_remove("NO_COLOR");
        if no_color {
            c.env("NO_COLOR", "1");
        } else {
            c.arg("--color=always");
        }
        let out = c.args(args).output().expect("the binary");
        String::from_utf8_lossy(&out.stdout).contains('\u{1b}')
    };
    assert!(run(false) && !run(true), "{args:?}");
}

/// Sends Ctrl-C to a run without a seed, so long after its first note: exit code, standard
/// output, and what else it said. It must end soon.
#[cfg(unix)]
#[track_caller]
pub fn interrupted(command: &mut Command, after: Duration) -> (Option<i32>, String, String) {
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the binary");
    let mut err = BufReader::new(child.stderr.take().expect("its errors"));
    // The note on the seed comes before the first year.
    let mut line = String::new();
    while !line.contains("No seed was given") {
        line.clear();
        assert!(err.read_line(&mut line).expect("a line") > 0, "it ended by itself");
    }
    std::thread::sleep(after);
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill");
    assert!(sent.success());
    let began = Instant::now();
    let code = child.wait().expect("its end").code();
    assert!(began.elapsed().as_secs() < 30, "it took {:?}", began.elapsed());
    let (mut rest, mut out) = (String::new(), String::new());
    err.read_to_string(&mut rest).expect("text");
    child.stdout.take().expect("its output").read_to_string(&mut out).expect("text");
    (code, out, rest)
}
