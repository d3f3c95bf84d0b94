//! Walks through the demo by its links, signed in, so many pages of each shape of address.
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use store::Db;
use tests::support::{Lab, Reply, Site, Visitor};

/// Pages of one shape of address per person; a dozen people see as many of them.
const OF_A_SHAPE: usize = 1;

/// What no walk through the demo comes by: answers for machines and scripts, what only a letter's link opens, a shared
/// tablet, files, and what nobody in the demo has entered or brought.
const OUT_OF_REACH: &[&str] = &[
    "/healthz",
    "/readyz",
    "/finds/{find}/opinion/reading",
    "/finds/{find}/opinions/reading",
    "/letter/{token}",
    "/new-password",
    "/letters-off/{token}",
    "/confirmation/{token}",
    "/confirmation",
    "/bench/awake",
    "/bench/locked",
    "/bench/locked/{person}",
    "/imports/{import}/dry-run.csv",
    "/fixed-years/{fixed_year}/withdrawal",
    "/judgements/{judgement}/withdrawal",
    "/received/{received}",
    "/received/{received}/original",
];

/// A register with a find that is there, one that is new, and a fault.
const REGISTER: &str = "Find no;Object;Weight g\n1;hasp, figure of eight;182,4\n901;nail;5,5\n902;nail;x\n";

/// A bound for one person, should shapes ever multiply.
const OF_A_PERSON: usize = 200;

/// A page as somebody saw it.
pub struct Seen {
    pub who: String,
    pub path: String,
    pub shape: String,
    pub reply: Reply,
}

impl Seen {
    /// What a browser makes this page of, less ids and tokens. Style sheets and scripts are named in it by their content.
    pub fn lasting(&self) -> String {
        let policy = self.reply.headers.get("content-security-policy").unwrap().to_str().unwrap();
        [lasting(policy), lasting(self.reply.source())].concat()
    }
}

/// The demo, and what its people saw.
pub struct Crawl {
    pub lab: Lab,
    pub people: Vec<(String, Visitor)>,
    pub seen: Vec<Seen>,
    /// Links that lead nowhere, pages that failed.
    pub broken: Vec<String>,
    /// Every address that was asked for.
    asked: BTreeSet<String>,
}

impl Crawl {
    /// Seeds the demo and walks through it as everybody, and as a stranger.
    pub async fn of(db: Db) -> Crawl {
        // A project nobody of the demo has a part in.
        let lab = Lab::of(Site::named(&db, "ZZZ99").await);
        web::demo::seed(&lab.app).await.unwrap();
        let cast = web::demo::people();
        let mut people = vec![("stranger".to_owned(), lab.stranger())];
        for person in cast {
            let id = {
                let mut tx = db.read().await.unwrap();
                store::people::find_by_email(&mut tx, &person.email).await.unwrap().unwrap().id
            };
            let name = person.email.split('@').next().unwrap_or_default().to_owned();
            let mut visitor = lab.sign_in_as(id).await;
            if name == "bea" {
                let file = [("file", "register.csv", REGISTER.as_bytes())];
                let read = visitor.upload("/projects/VSQ31/imports", &[("kind", "finds")], &file).await;
                assert!(read.status.is_redirection(), "{}", read.text("main"));
            }
            people.push((name, visitor));
        }
        let mut crawl =
            Crawl { lab, people: Vec::new(), seen: Vec::new(), broken: Vec::new(), asked: BTreeSet::new() };
        let beside = beside(&db).await;
        for (name, mut visitor) in people {
            let starts = beside.iter().filter(|(who, _)| *who == name).map(|(_, path)| path.clone());
            crawl.walk(&name, &mut visitor, starts.collect()).await;
            crawl.people.push((name, visitor));
        }
        crawl
    }

    /// The pages of the program that nobody came by, but those that are known to be out of a walk's reach.
    pub fn unseen(&self) -> Vec<String> {
        let routes = web::routes::all(&self.lab.app).listed;
        let gets = routes.iter().filter(|route| route.method == "GET");
        let missed = gets.filter(|route| !self.asked.iter().any(|asked| leads_to(asked, route.path)));
        let missed = missed.filter(|route| !OUT_OF_REACH.contains(&route.path));
        missed.map(|route| format!("nobody comes by {}", route.path)).collect()
    }

    /// The browser of somebody who walked.
    pub fn visitor(&self, who: &str) -> &Visitor {
        &self.people.iter().find(|(name, _)| name == who).unwrap().1
    }

    async fn walk(&mut self, who: &str, visitor: &mut Visitor, mut starts: Vec<String>) {
        starts.insert(0, "/".into());
        let mut known: BTreeSet<String> = starts.iter().cloned().collect();
        let mut waiting: VecDeque<(String, String)> =
            starts.into_iter().map(|path| ("the start".into(), path)).collect();
        let mut shapes: BTreeMap<String, usize> = BTreeMap::new();
        let mut pages = 0;
        while let Some((from, path)) = waiting.pop_front().filter(|_| pages < OF_A_PERSON) {
            self.asked.insert(path.clone());
            let reply = visitor.get(&path).await;
            if reply.status.is_redirection() {
                let to = reply.location();
                if known.insert(to.clone()) {
                    waiting.push_front((from, to));
                }
                continue;
            }
            pages += 1;
            if !reply.status.is_success() {
                self.broken.push(format!("{who}: {path} on {from}: {}", reply.status));
            }
            if !reply.status.is_success() || !reply.is_page() {
                continue;
            }
            for to in links(&reply).into_iter().chain(choices(&reply)) {
                let shape = shape_of(&to);
                let file = is_file(&shape);
                let count = shapes.entry(shape).or_default();
                if *count < if file { 1 } else { OF_A_SHAPE } && known.insert(to.clone()) {
                    *count += 1;
                    waiting.push_back((path.clone(), to));
                }
            }
            self.broken.extend(lost_anchors(&reply).into_iter().map(|a| format!("{who}: {path} has no {a}")));
            self.seen.push(Seen { who: who.to_owned(), shape: shape_of(&path), path, reply });
        }
    }
}

/// The addresses a page leads to, and of what it is made of.
fn links(page: &Reply) -> Vec<String> {
    let parts = page.attributes("img[src], script[src]", "src").into_iter();
    let ours = page.attributes("[href]", "href").into_iter().chain(parts);
    let ours = ours.filter(|to| to.starts_with('/') && !to.starts_with("//"));
    ours.map(|to| to.split('#').next().unwrap_or_default().to_owned()).collect()
}

/// Pages that are led to only when something stands as the demo does not: who opens them, and where.
async fn beside(db: &Db) -> Vec<(&'static str, String)> {
    let mut tx = db.read().await.unwrap();
    let find: Option<uuid::Uuid> = tx.sql("SELECT id FROM find WHERE number = '88'").cell().await.unwrap();
    let sealed: Option<uuid::Uuid> =
        tx.sql("SELECT place_id FROM sealing ORDER BY place_id LIMIT 1").cell().await.unwrap();
    let packed: Option<uuid::Uuid> = tx
        .sql("SELECT find_id FROM packed WHERE place_id = $1 AND left_at IS NULL LIMIT 1")
        .bind(sealed)
        .cell()
        .await
        .unwrap();
    let (find, sealed, packed) = (find.unwrap(), sealed.unwrap(), packed.unwrap());
    let import: Option<uuid::Uuid> = tx.sql("SELECT id FROM import_run").cell().await.unwrap();
    vec![
        ("bea", format!("/imports/{}", import.unwrap())),
        ("tomas", format!("/finds/{find}/lifts/dry_clean_first/new")),
        ("bea", format!("/finds/{find}/judgements/new")),
        ("odile", format!("/boxes/{sealed}/sealings/new")),
        ("odile", format!("/boxes/{sealed}/takings/new?find={packed}")),
    ]
}

/// Where a list leads with its first line ticked: each button of it, and each record that can be chosen.
fn choices(page: &Reply) -> Vec<String> {
    let ticks = page.attributes("form[method='get'] input[type='checkbox'][name='find']", "value");
    let Some(find) = ticks.first() else { return Vec::new() };
    let forms = "form[method='get']:has(input[name='find']):has(button:not([formaction]))";
    let forms = page.attributes(forms, "action").into_iter();
    let buttons = page.attributes("form[method='get'] button[formaction]", "formaction");
    let works = page.attributes("form[method='get'] select[name='work'] option", "value");
    let work = |to: &String| {
        let to = to.clone();
        works.iter().map(move |work| format!("{to}?find={find}&work={work}"))
    };
    let works: Vec<String> = buttons.iter().filter(|to| to.ends_with("/work/new")).flat_map(work).collect();
    forms.chain(buttons).map(|to| format!("{to}?find={find}")).chain(works).collect()
}

/// Whether an address is one of that route.
fn leads_to(address: &str, route: &str) -> bool {
    let path = address.split('?').next().unwrap_or_default();
    let (mut parts, mut wanted) = (path.split('/'), route.split('/'));
    loop {
        match (parts.next(), wanted.next()) {
            (None, None) => return true,
            (Some(_), Some(want)) if want.starts_with("{*") => return true,
            (Some(part), Some(want)) if part == want || fills(part, want) => {}
            _ => return false,
        }
    }
}

/// Whether a part of an address fills a part of a route such as `{find}` or `{round}.pdf`.
fn fills(part: &str, want: &str) -> bool {
    want.strip_prefix('{')
        .and_then(|rest| rest.split_once('}'))
        .is_some_and(|(_, end)| part.len() > end.len() && part.ends_with(end))
}

/// Whether an address of that shape hands out something that is no page.
fn is_file(shape: &str) -> bool {
    let path = shape.split('?').next().unwrap_or_default();
    [".pdf", ".csv", ".xlsx", ".svg", ".jpg"].iter().any(|ending| path.ends_with(ending))
        || path.rsplit('/').next().is_some_and(|last| ["original", "file", "large", "thumb"].contains(&last))
}

fn lost_anchors(page: &Reply) -> Vec<String> {
    let ids: BTreeSet<String> = page.attributes("[id]", "id").into_iter().collect();
    let anchors = page.attributes("a[href^='#']", "href").into_iter();
    anchors.filter(|anchor| anchor.len() > 1 && !ids.contains(&anchor[1..])).collect()
}

/// An address with everything that names one record taken out.
pub fn shape_of(address: &str) -> String {
    let (path, query) = address.split_once('?').unwrap_or((address, ""));
    let part = |part: &str| {
        let named = part.len() == 36 && part.matches('-').count() == 4
            || part.bytes().any(|b| b.is_ascii_digit()) && !part.contains('.');
        if named { "·".to_owned() } else { part.to_owned() }
    };
    let path: Vec<String> = path.split('/').map(part).collect();
    let keys: BTreeSet<&str> =
        query.split('&').filter_map(|pair| pair.split('=').next()).filter(|k| !k.is_empty()).collect();
    let keys: Vec<&str> = keys.into_iter().collect();
    if keys.is_empty() { path.join("/") } else { format!("{}?{}", path.join("/"), keys.join("&")) }
}

/// A text without ids and tokens, which are drawn anew for every database and session.
pub fn lasting(text: &str) -> String {
    let in_token = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let mut kept = String::with_capacity(text.len());
    for part in text.split_inclusive(|c| !in_token(c)) {
        let (word, end) = part.split_at(part.rfind(in_token).map_or(0, |at| at + 1));
        let drawn = word.len() >= 30 && word.bytes().any(|b| b.is_ascii_digit());
        kept.push_str(if drawn { "#" } else { word });
        kept.push_str(end);
    }
    kept
}

#[test]
fn shapes_leave_out_what_names_one_record() {
    assert_eq!(
        shape_of("/projects/VSQ31/finds?stage=dry_clean&find=a&find=b"),
        "/projects/·/finds?find&stage"
    );
    assert_eq!(shape_of("/finds/019a3b2c-0000-7000-8000-000000000000/edit"), "/finds/·/edit");
    assert_eq!(shape_of("/today"), "/today");
}

#[test]
fn only_what_is_drawn_anew_is_taken_out_of_a_page() {
    let page = "<a href=\"/finds/019a3b2c-0000-7000-8000-000000000000\">SF 12</a> q7Vd0_kk2Wm-5Tz9XxGg1hBbC3nNaAeE4rRyYuUiIoO";
    assert_eq!(lasting(page), "<a href=\"/finds/#\">SF 12</a> #");
}
