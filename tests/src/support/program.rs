//! The built program `findway`, run as a person would.
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Runs it in a folder with arguments and what is typed; no setting of the caller's surroundings counts.
pub fn run(folder: &Path, arguments: &[&str], typed: &str) -> Output {
    let tests = std::env::current_exe().unwrap();
    let program = tests.parent().unwrap().parent().unwrap().join("findway");
    let mut command = Command::new(program);
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("FINDWAY_")) {
        command.env_remove(name);
    }
    let mut process = command
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("cargo build --workspace comes first");
    // A program that refuses at once does not read.
    let _ = process.stdin.take().unwrap().write_all(typed.as_bytes());
    process.wait_with_output().unwrap()
}

/// What it printed, results and complaints.
pub fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[output.stdout.as_slice(), &output.stderr].concat()).into_owned()
}
