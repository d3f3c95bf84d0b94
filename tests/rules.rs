//! The house rules a compiler does not keep: how large things may be, who may depend on whom, where SQL may stand.
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Lines of a source file, of a function, of a template.
const FILE: usize = 400;
const FUNCTION: usize = 80;
const TEMPLATE: usize = 150;

/// Files that are a table of data and nothing else.
const TABLES: &[&str] = &[];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap()
}

/// Every file below a folder with that ending, by its path from the root.
fn files(folder: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == ending) {
                let name = path.strip_prefix(root()).unwrap().display().to_string();
                found.push((name, std::fs::read_to_string(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

fn sources() -> Vec<(String, String)> {
    let all = ["server", "seed"].iter().flat_map(|folder| files(folder, "rs"));
    all.filter(|(name, _)| !name.contains("/tests/")).collect()
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn files_and_templates_keep_their_size() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        let lines = text.lines().count();
        if lines > FILE && !TABLES.contains(&name.as_str()) {
            wrong.push(format!("{name}: {lines} lines, {FILE} allowed; cut it by topic"));
        }
    }
    for (name, text) in files("templates", "html") {
        let lines = text.lines().count();
        if lines > TEMPLATE {
            wrong.push(format!("{name}: {lines} lines, {TEMPLATE} allowed; make a partial"));
        }
    }
    none(&wrong);
}

/// Formatted code opens a function and closes it at the same depth.
#[test]
fn functions_keep_their_size() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        let mut open: Option<(usize, usize)> = None;
        for (at, line) in text.lines().enumerate() {
            let depth = line.len() - line.trim_start().len();
            let words = line.trim_start();
            let begins = [
                "fn ",
                "pub fn ",
                "async fn ",
                "pub async fn ",
                "pub(super) async fn ",
                "pub(super) fn ",
                "pub(crate) fn ",
                "pub(crate) async fn ",
            ]
            .iter()
            .any(|word| words.starts_with(word));
            match open {
                None if begins => open = Some((at, depth)),
                Some((start, outer)) if depth == outer && words.starts_with('}') => {
                    if at - start + 1 > FUNCTION {
                        wrong.push(format!(
                            "{name}:{}: {} lines, {FUNCTION} allowed",
                            start + 1,
                            at - start + 1
                        ));
                    }
                    open = None;
                }
                Some((start, outer)) if begins && depth <= outer && at > start => open = Some((at, depth)),
                _ => {}
            }
        }
    }
    none(&wrong);
}

#[test]
fn only_parts_pass_text_unescaped() {
    let unescaped = ["|safe", "| safe", "|escape(\"none\")"];
    let mut wrong = Vec::new();
    for (name, text) in files("templates", "html") {
        if !name.starts_with("templates/parts/") && unescaped.iter().any(|word| text.contains(word)) {
            wrong.push(name);
        }
    }
    none(&wrong);
}

#[test]
fn pages_hold_no_inline_script_or_style() {
    let mut wrong = Vec::new();
    for (name, text) in files("templates", "html") {
        for (at, line) in text.lines().enumerate() {
            let inline = line.contains("<style") || line.contains(" style=\"") || line.contains("<script>");
            if inline
                || [" onclick=", " onchange=", " onsubmit=", "javascript:"].iter().any(|w| line.contains(w))
            {
                wrong.push(format!("{name}:{}: {line}", at + 1));
            }
        }
    }
    none(&wrong);
}

#[test]
fn sql_stands_in_the_store_alone() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        let (store, dynamic) = (
            name.starts_with("server/store/"),
            ["filter", "db", "dialect", "bulk"].iter().any(|f| name.contains(f)),
        );
        for (at, line) in text.lines().enumerate() {
            let sql = ["\"SELECT ", "\"INSERT INTO ", "\"DELETE FROM ", "\"UPDATE "]
                .iter()
                .any(|w| line.contains(w))
                || line.contains("sqlx");
            if !store && sql || line.contains("AssertSqlSafe") && !(store && dynamic) {
                wrong.push(format!("{name}:{}: {}", at + 1, line.trim()));
            }
        }
    }
    none(&wrong);
}

/// A library that builds no test program of its own must hold no test.
#[test]
fn no_test_is_left_out() {
    let mut wrong = Vec::new();
    for (manifest, text) in files("server", "toml") {
        let Some(folder) = manifest.strip_suffix("/Cargo.toml").filter(|_| text.contains("\ntest = false"))
        else {
            continue;
        };
        let tests = files(folder, "rs").into_iter().filter(|(_, text)| text.contains("#[cfg(test)]"));
        wrong.extend(tests.map(|(name, _)| format!("{name}: its tests are never run; move them to tests/")));
    }
    none(&wrong);
}

#[derive(serde::Deserialize)]
struct Metadata {
    packages: Vec<Package>,
}

#[derive(serde::Deserialize)]
struct Package {
    name: String,
    dependencies: Vec<Dependency>,
}

#[derive(serde::Deserialize)]
struct Dependency {
    name: String,
    kind: Option<String>,
}

/// What each crate of ours asks for when it is built, by `cargo metadata`.
fn edges() -> BTreeMap<String, Vec<String>> {
    let told = std::process::Command::new(std::env::var("CARGO").unwrap_or("cargo".into()))
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .unwrap();
    let metadata: Metadata = serde_json::from_slice(&told.stdout).unwrap();
    let packages = metadata.packages.into_iter().map(|package| {
        let normal = package.dependencies.into_iter().filter(|d| d.kind.is_none());
        (package.name, normal.map(|d| d.name).collect())
    });
    packages.collect()
}

/// Which crates of ours a crate may use, and who alone may use a library.
#[test]
fn crates_depend_as_the_architecture_says() {
    let ours: &[(&str, &[&str])] = &[
        ("calc", &[]),
        ("media", &[]),
        ("domain", &["calc"]),
        ("store", &["domain"]),
        ("report", &["domain", "calc"]),
        ("register", &["domain", "calc"]),
        ("pictures", &[]),
        ("seed", &["domain", "calc", "store", "pictures"]),
    ];
    let alone: &[(&str, &[&str])] = &[
        ("sqlx", &["store", "tests"]),
        ("axum", &["web", "tests", "bench"]),
        ("askama", &["web", "report"]),
        ("lettre", &["web"]),
        ("argon2", &["web"]),
        ("typst", &["report"]),
    ];
    let edges = edges();
    let mut wrong = Vec::new();
    for (name, uses) in &edges {
        let allowed = ours.iter().find(|(known, _)| known == name).map(|(_, allowed)| *allowed);
        for used in uses {
            let is_ours = edges.contains_key(used);
            if is_ours && allowed.is_some_and(|allowed| !allowed.contains(&used.as_str())) {
                wrong.push(format!("{name} uses {used}"));
            }
            if alone.iter().any(|(library, users)| library == used && !users.contains(&name.as_str())) {
                wrong.push(format!("{name} uses {used}"));
            }
        }
    }
    none(&wrong);
}
