//! Pages judged without a browser.
use super::browser::shared_out;
use super::crawl::{Crawl, lasting};
use std::path::Path;
use std::process::Command;
use tests::judged;
use tests::support::Reply;

/// A form as it is sent back when nothing was filled in.
async fn sent_back(crawl: &Crawl) -> (Vec<(String, Reply)>, Vec<String>) {
    let mut forms = std::collections::BTreeSet::new();
    let (mut pages, mut wrong) = (Vec::new(), Vec::new());
    let people: std::collections::BTreeMap<_, _> = crawl.people.iter().cloned().collect();
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

/// What waits for a script to show it. A button without a name only takes the Enter key; ticking all, the camera and the list of
/// chosen files are extras of a script. Nothing else that can be filled in or followed may be hidden.
const WITHHELD: &str = "[hidden] input:not([data-tick-all]), [hidden] a[href], [hidden] select, [hidden] textarea, input[hidden], \
    select[hidden], textarea[hidden], a[hidden], button[hidden][name]:not([value=look])";

/// What cannot be read or filled in while no script runs, on every page of everybody.
pub fn withheld(crawl: &Crawl) -> Vec<String> {
    let hidden = |seen: &super::crawl::Seen| {
        let main = seen.reply.text("main");
        let count = seen.reply.count(WITHHELD);
        let empty = main.is_empty().then(|| "nothing to read".to_owned());
        let fields = (count > 0).then(|| format!("{count} fields or links wait for a script"));
        let wrong = empty.into_iter().chain(fields);
        wrong.map(|wrong| format!("{}, {}: {wrong}", seen.who, seen.path)).collect::<Vec<_>>()
    };
    crawl.seen.iter().flat_map(hidden).collect()
}

/// What is wrong with the HTML of pages, each shape as two people see it, and of forms sent back.
pub async fn unsound(crawl: &Crawl) -> Vec<String> {
    let (mut pages, mut wrong) = sent_back(crawl).await;
    let looked = shared_out(crawl).into_values().flatten();
    pages.extend(
        looked.map(|page| (format!("{}-{}", page.seen.who, page.seen.path), page.seen.reply.clone())),
    );
    let mark = |reply: &Reply| judged::mark(&("sound", lasting(reply.source())));
    pages.retain(|(_, reply)| !mark(reply).found_good());
    if pages.is_empty() {
        return wrong;
    }
    let folder = tempfile::tempdir().unwrap();
    for (at, (name, reply)) in pages.iter().enumerate() {
        let name: String =
            name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(80).collect();
        std::fs::write(folder.path().join(format!("{at:03}-{name}.html")), &reply.body).unwrap();
    }
    let said = tokio::task::spawn_blocking(move || nu(folder.path())).await.unwrap();
    if said.is_empty() {
        pages.iter().for_each(|(_, reply)| mark(reply).leave());
    }
    wrong.extend(said.lines().map(str::to_owned));
    wrong
}

/// The Nu HTML checker on every page of a folder, in one call; what it says, less its own words about where.
fn nu(folder: &Path) -> String {
    let jar = Path::new(env!("CARGO_MANIFEST_DIR")).join("node/node_modules/vnu-jar/build/dist/vnu.jar");
    let judged = Command::new("java")
        // a short run is over before the better translator is warm
        .args(["-Xss4m", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-jar"])
        .arg(jar)
        .args(["--errors-only", "--format", "gnu", "--skip-non-html"])
        .arg(folder)
        .output()
        .expect("tests/run.sh installs Java");
    let said = String::from_utf8_lossy(&judged.stderr).replace(&format!("file:{}/", folder.display()), "");
    assert!(judged.status.success() || !said.is_empty(), "the checker itself failed");
    said
}
