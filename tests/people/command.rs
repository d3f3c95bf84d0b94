//! Accounts from the command line, and what `serve` refuses. Runs the built program.
use tests::support::program::{run, said};

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

#[test]
fn serve_says_which_setting_will_not_do() {
    let folder = tempfile::tempdir().unwrap();
    for (setting, said_of_it) in [
        (["--smtp-url", "foo"], "FINDWAY_SMTP_URL will not do"),
        (["--database-url", "mysql://localhost/finds"], "write sqlite:PATH or postgres://"),
        (["--max-upload-mb", "0"], "0 is not in 1..=100000"),
    ] {
        let output = run(folder.path(), &[&["serve", "--listen", "127.0.0.1:0"][..], &setting].concat(), "");
        assert!(!output.status.success());
        assert!(said(&output).contains(said_of_it), "{setting:?}: {}", said(&output));
    }
    let output =
        run(folder.path(), &["serve", "--listen", "0.0.0.0:0", "--base-url", "http://localhost"], "");
    assert!(!output.status.success() && said(&output).contains("off this machine"), "{}", said(&output));
}
