//! What is done from the command line, by the built program.
use tests::support::program::{run, said};

const REGISTER: &str =
    "Find no;Context;Material;Object;Weight g\n12;101;iron;nail;3,5\n13;101;glass;rim;0,8\n";

#[test]
fn a_register_is_tried_then_imported_and_a_second_time_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let made = run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    assert!(made.status.success(), "{}", said(&made));
    std::fs::write(folder.path().join("register.csv"), REGISTER).unwrap();
    let import = ["import", "finds", "register.csv", "--project", "GRO", "--create-contexts", "--data", "."];

    let tried = run(folder.path(), &[&import[..], &["--dry-run"]].concat(), "");
    assert!(tried.status.success(), "{}", said(&tried));
    assert!(said(&tried).contains("2 would be added"), "{}", said(&tried));
    let first = run(folder.path(), &import, "");
    assert!(said(&first).contains("2 were added, 0 changed"), "a try kept nothing: {}", said(&first));
    let again = run(folder.path(), &import, "");
    assert!(said(&again).contains("0 were added, 0 changed, 2 left as they are"), "{}", said(&again));
}

#[test]
fn a_register_with_a_fault_imports_nothing_and_says_where() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    std::fs::write(folder.path().join("register.csv"), format!("{REGISTER}12;101;iron;nail;2\n")).unwrap();
    let import = ["import", "finds", "register.csv", "--project", "GRO", "--create-contexts", "--data", "."];
    let told = run(folder.path(), &import, "");
    assert!(!told.status.success());
    assert!(said(&told).contains("row 4"), "{}", said(&told));
    assert!(said(&told).contains("nothing was imported"), "{}", said(&told));
}

#[test]
fn a_project_is_grown_once_by_each_code() {
    let folder = tempfile::tempdir().unwrap();
    let grow = ["generate", "--finds", "30", "--project", "GRO", "--data", "."];
    assert!(run(folder.path(), &grow, "").status.success());
    let again = run(folder.path(), &grow, "");
    assert!(!again.status.success());
    assert!(said(&again).contains("there is a project GRO already"), "{}", said(&again));
}

#[test]
fn a_demo_is_kept_only_in_a_folder_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("letter.txt"), "of somebody").unwrap();
    let told = run(folder.path(), &["demo", "--data", ".", "--listen", "127.0.0.1:0"], "");
    assert!(!told.status.success());
    assert!(said(&told).contains("empty it or name another folder"), "{}", said(&told));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing was put beside it");
}

#[test]
fn a_demo_at_an_address_that_is_taken_says_so_before_it_makes_anything() {
    let folder = tempfile::tempdir().unwrap();
    let other = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = other.local_addr().unwrap().to_string();
    let told = run(folder.path(), &["demo", "--data", "kept", "--listen", &address], "");
    assert!(!told.status.success());
    assert!(said(&told).contains(&format!("{address} cannot be listened on")), "{}", said(&told));
    assert!(!folder.path().join("kept").exists());
}
