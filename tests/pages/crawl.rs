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
        let cast = web::demo::seed(&lab.app).await.unwrap();
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

/// The addresses a page leads to.
fn links(page: &Reply) -> Vec<String> {
    let ours = page
        .attributes("a[href]", "href")
        .into_iter()
        .filter(|to| to.starts_with('/') && !to.starts_with("//"));
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

#[test]
fn shapes_leave_out_what_names_one_record() {
    assert_eq!(
        shape_of("/projects/VSQ31/finds?stage=dry_clean&find=a&find=b"),
        "/projects/·/finds?find&stage"
    );
    assert_eq!(shape_of("/finds/019a3b2c-0000-7000-8000-000000000000/edit"), "/finds/·/edit");
    assert_eq!(shape_of("/today"), "/today");
}
