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
fn a_dry_run_that_is_stopped_fails_a_file_that_is_not_there_is_named_and_verbs_to_come_say_so() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    std::fs::write(folder.path().join("register.csv"), format!("{REGISTER}12;101;iron;nail;2\n")).unwrap();
    let import = [
        "import",
        "finds",
        "register.csv",
        "--project",
        "GRO",
        "--create-contexts",
        "--data",
        ".",
        "--dry-run",
    ];
    let told = run(folder.path(), &import, "");
    assert!(!told.status.success() && said(&told).contains("nothing can be imported"), "{}", said(&told));
    let told = run(folder.path(), &["import", "finds", "lost.csv", "--project", "GRO", "--data", "."], "");
    assert!(!told.status.success() && said(&told).contains("lost.csv"), "{}", said(&told));
    for verb in
        [&["backup", "copies"][..], &["restore", "copies"], &["check"], &["report", "GRO", "--out", "here"]]
    {
        let told = run(folder.path(), verb, "");
        assert!(!told.status.success() && said(&told).contains("is not there yet"), "{}", said(&told));
    }
}

/// Two contexts no grown project has, the fill above its cut.
const CONTEXTS: &str = "Context;Kind;Above\n9001;fill;9002\n9002;cut;\n";
const FROM_THE_FILL: &str = "Find no;Context;Material;Object;Weight g\n12;9001;iron;nail;3,5\n";

#[test]
fn contexts_are_tried_then_imported_and_finds_can_be_laid_to_them() {
    let folder = tempfile::tempdir().unwrap();
    let made = run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    assert!(made.status.success(), "{}", said(&made));
    std::fs::write(folder.path().join("contexts.csv"), CONTEXTS).unwrap();
    std::fs::write(folder.path().join("finds.csv"), FROM_THE_FILL).unwrap();
    let contexts = ["import", "contexts", "contexts.csv", "--project", "GRO", "--data", "."];
    let finds = ["import", "finds", "finds.csv", "--project", "GRO", "--data", "."];

    let tried = run(folder.path(), &[&contexts[..], &["--dry-run"]].concat(), "");
    assert!(tried.status.success(), "{}", said(&tried));
    assert!(said(&tried).contains("2 would be added"), "{}", said(&tried));
    let early = run(folder.path(), &finds, "");
    assert!(!early.status.success(), "a try kept no context");
    assert!(said(&early).contains("There is no context 9001"), "{}", said(&early));
    let first = run(folder.path(), &contexts, "");
    assert!(first.status.success(), "{}", said(&first));
    assert!(said(&first).contains("2 were added, 0 changed"), "{}", said(&first));
    let again = run(folder.path(), &contexts, "");
    assert!(said(&again).contains("0 were added, 0 changed, 2 left as they are"), "{}", said(&again));
    let laid = run(folder.path(), &finds, "");
    assert!(laid.status.success(), "{}", said(&laid));
    assert!(said(&laid).contains("1 were added"), "{}", said(&laid));
}

#[test]
fn contexts_that_contradict_each_other_are_not_imported() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    let import = ["import", "contexts", "contexts.csv", "--project", "GRO", "--data", "."];
    for (wrong, place) in [("9002;cut;9001", "row 3"), ("9002;cut;9002", "row 3"), ("9002;cut;9003", "9003")]
    {
        let text = CONTEXTS.replace("9002;cut;", wrong);
        std::fs::write(folder.path().join("contexts.csv"), text).unwrap();
        let told = run(folder.path(), &import, "");
        assert!(!told.status.success(), "{wrong}: {}", said(&told));
        assert!(said(&told).contains(place), "{wrong}: {}", said(&told));
        assert!(said(&told).contains("nothing was imported"), "{wrong}: {}", said(&told));
    }
    std::fs::write(folder.path().join("contexts.csv"), CONTEXTS).unwrap();
    let sound = run(folder.path(), &import, "");
    assert!(said(&sound).contains("2 were added"), "none was there yet: {}", said(&sound));
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

#[test]
fn imports_are_told_field_by_field_and_undone_from_the_command_line_one_after_the_other() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["generate", "--finds", "5", "--project", "GRO", "--data", "."], "");
    let import = ["import", "finds", "register.csv", "--project", "GRO", "--create-contexts", "--data", "."];
    let undo = ["import", "finds", "--project", "GRO", "--undo", "--data", "."];
    let none = run(folder.path(), &undo, "");
    assert!(!none.status.success());
    assert!(said(&none).contains("no import of this kind to undo"), "{}", said(&none));
    std::fs::write(folder.path().join("register.csv"), REGISTER).unwrap();
    assert!(run(folder.path(), &import, "").status.success());
    std::fs::write(folder.path().join("register.csv"), REGISTER.replace("nail", "holdfast")).unwrap();
    let told = said(&run(folder.path(), &import, ""));
    assert!(told.contains("12: Object from “nail” to “holdfast”"), "{told}");

    let undone = run(folder.path(), &undo, "");
    assert!(undone.status.success() && said(&undone).contains("The import is undone"), "{}", said(&undone));
    let again = said(&run(folder.path(), &[&import[..], &["--dry-run"]].concat(), ""));
    assert!(again.contains("12: Object from “nail” to “holdfast”"), "the nail is back: {again}");
    let first = run(folder.path(), &undo, "");
    assert!(first.status.success(), "the first left it as it is again: {}", said(&first));
    let none = run(folder.path(), &undo, "");
    assert!(
        !none.status.success() && said(&none).contains("no import of this kind to undo"),
        "{}",
        said(&none)
    );
}
