//! What every command owes a shell.

use std::process::{Command, Stdio};

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
