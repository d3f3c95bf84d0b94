//! Pages judged without a browser.
use super::crawl::Crawl;
use std::path::Path;
use std::process::Command;
use tests::support::{Db, Engine, Reply, engines};

#[test]
fn every_link_of_the_demo_leads_somewhere() {
    engines::run(Engine::Postgres, async |db: Db| {
        let crawl = Crawl::of(db).await;
        assert!(crawl.seen.len() > 100, "only {} pages were seen", crawl.seen.len());
        assert!(crawl.broken.is_empty(), "\n{}", crawl.broken.join("\n"));
    });
}

/// A form as it is sent back when nothing was filled in.
async fn sent_back(crawl: &mut Crawl) -> (Vec<(String, Reply)>, Vec<String>) {
    let mut forms = std::collections::BTreeSet::new();
    let (mut pages, mut wrong) = (Vec::new(), Vec::new());
    let people: std::collections::BTreeMap<_, _> = std::mem::take(&mut crawl.people).into_iter().collect();
    for seen in &crawl.seen {
        for form in 0..seen.reply.count("form[method=post]") {
            let (to, fields) = seen.reply.nth_form("form[method=post]", form);
            if to == web::links::SIGN_OUT || !forms.insert(super::crawl::shape_of(&to)) {
                continue;
            }
            let mut visitor = people[&seen.who].clone();
            let hidden: Vec<(&str, &str)> = fields
                .iter()
                .filter(|(name, _)| ["_token", "submission", "find", "revision"].contains(&name.as_str()))
                .map(|(name, value)| (name.as_str(), value.as_str()))
                .collect();
            let reply = visitor.post_bare(&to, &hidden).await;
            if reply.status.is_server_error() {
                wrong.push(format!(
                    "{}: the empty form of {} was answered {}",
                    seen.who, seen.path, reply.status
                ));
            } else if reply.is_page() {
                pages.push((format!("empty-{to}"), reply));
            }
        }
    }
    (pages, wrong)
}

#[test]
fn every_page_and_every_form_sent_back_is_sound_html() {
    engines::run(Engine::Sqlite, async |db: Db| {
        let mut crawl = Crawl::of(db).await;
        let (mut pages, wrong) = sent_back(&mut crawl).await;
        pages.extend(crawl.seen.into_iter().map(|seen| (format!("{}-{}", seen.who, seen.path), seen.reply)));
        assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
        let folder = tempfile::tempdir().unwrap();
        for (at, (name, reply)) in pages.iter().enumerate() {
            let name: String =
                name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(80).collect();
            std::fs::write(folder.path().join(format!("{at:03}-{name}.html")), &reply.body).unwrap();
        }
        let said = nu(folder.path());
        assert!(said.is_empty(), "\n{said}");
    });
}

/// The Nu HTML checker on every page of a folder, in one call; what it says, less its own words about where.
fn nu(folder: &Path) -> String {
    let jar = Path::new(env!("CARGO_MANIFEST_DIR")).join("node/node_modules/vnu-jar/build/dist/vnu.jar");
    let judged = Command::new("java")
        .args(["-Xss4m", "-jar"])
        .arg(jar)
        .args(["--errors-only", "--format", "gnu", "--skip-non-html"])
        .arg(folder)
        .output()
        .expect("tests/run.sh installs Java");
    let said = String::from_utf8_lossy(&judged.stderr).replace(&format!("file:{}/", folder.display()), "");
    assert!(judged.status.success() || !said.is_empty(), "the checker itself failed");
    said
}
