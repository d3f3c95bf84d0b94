//! Walks through the demo by its links, signed in, so many pages of each shape of address.
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use store::Db;
use tests::support::{Lab, Reply, Site, Visitor};

/// Pages of one shape of address per person; a dozen people see as many of them.
const OF_A_SHAPE: usize = 1;

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
            people.push((name, lab.sign_in_as(id).await));
        }
        let mut crawl = Crawl { lab, people: Vec::new(), seen: Vec::new(), broken: Vec::new() };
        for (name, mut visitor) in people {
            crawl.walk(&name, &mut visitor).await;
            crawl.people.push((name, visitor));
        }
        crawl
    }

    /// The browser of somebody who walked.
    pub fn visitor(&self, who: &str) -> &Visitor {
        &self.people.iter().find(|(name, _)| name == who).unwrap().1
    }

    async fn walk(&mut self, who: &str, visitor: &mut Visitor) {
        let mut waiting: VecDeque<(String, String)> = VecDeque::new();
        waiting.push_back(("the start".into(), "/".into()));
        let mut known = BTreeSet::from(["/".to_owned()]);
        let mut shapes: BTreeMap<String, usize> = BTreeMap::new();
        let mut pages = 0;
        while let Some((from, path)) = waiting.pop_front().filter(|_| pages < OF_A_PERSON) {
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
            for to in links(&reply) {
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
