//! Accounts from the command line, and what `serve` refuses. Runs the built program.
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn run(folder: &Path, arguments: &[&str], typed: &str) -> Output {
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

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[output.stdout.as_slice(), &output.stderr].concat()).into_owned()
}

#[test]
fn the_first_administrator_is_made_with_a_password_from_standard_input() {
    let folder = tempfile::tempdir().unwrap();
    let add = [
        "people",
        "add",
        "--email",
        "Odile@Vessenholt.example",
        "--name",
        "Odile Marchbank",
        "--administrator",
    ];
    let output = run(folder.path(), &add, "quayside-lantern-42\n");
    assert!(output.status.success(), "{}", said(&output));
    assert!(said(&output).contains("odile@vessenholt.example can sign in"));
    let twice = run(folder.path(), &add, "quayside-lantern-42\n");
    assert!(!twice.status.success() && said(&twice).contains("has an account already"));
    let weak = run(folder.path(), &["people", "add", "--email", "a@b.example", "--name", "A"], "short\n");
    assert!(!weak.status.success() && said(&weak).contains("at least 12 characters"));
}

#[test]
fn an_invitation_from_the_command_line_is_a_letter() {
    let folder = tempfile::tempdir().unwrap();
    let add = ["people", "add", "--email", "bea@vessenholt.example", "--name", "Bea Lisle-Okoro", "--invite"];
    let output = run(folder.path(), &add, "");
    assert!(output.status.success(), "{}", said(&output));
    assert_eq!(std::fs::read_dir(folder.path().join("findway-data/letters")).unwrap().count(), 1);
}

#[test]
fn serve_refuses_plain_http_off_this_machine() {
    let folder = tempfile::tempdir().unwrap();
    let output =
        run(folder.path(), &["serve", "--base-url", "http://finds.example", "--listen", "127.0.0.1:0"], "");
    assert!(!output.status.success());
    assert!(said(&output).contains("passwords would cross the network in the clear"), "{}", said(&output));
}
