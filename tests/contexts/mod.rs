//! Contexts dated by their finds, and the stratigraphic diagram.
mod dated;
mod diagram;
mod form;
mod kept;
mod register;
mod speed;

use domain::ids::{ContextId, FindId};
use domain::permission::Role;
use domain::review::opinion::{DateKind, Seen, SeenAs, Weight};
use domain::review::{Finality, Outcome};
use store::review::content::{DateLine, Parts};
use store::review::opinions::{Content, NewOpinion};
use store::review::settlements::NewSettlement;
use tests::support::{Site, noon};

/// `later` lies above `earlier`.
pub async fn above(site: &Site, later: &str, earlier: &str) {
    relate(site, (later, earlier), "above").await;
}

pub async fn relate(site: &Site, (later, earlier): (&str, &str), kind: &'static str) {
    let (later, earlier) = (site.context(later).await, site.context(earlier).await);
    let mut tx = site.db.write().await.unwrap();
    store::contexts::insert_relation(&mut tx, site.project, later, earlier, kind).await.unwrap();
    tx.commit().await.unwrap();
}

/// A find in a context, dated by a specialist.
pub async fn dated(site: &Site, number: &str, context: ContextId, years: (i64, i64)) -> FindId {
    let find = site.find(number).material("ceramic").object("jar").in_context(context).add().await;
    date(site, find, years).await;
    find
}

/// One more opinion on its date, by another specialist each time.
pub async fn date(site: &Site, find: FindId, years: (i64, i64)) {
    let author = site.another(Role::Specialist, &format!("Author of {}", domain::ids::fresh(noon()))).await;
    let date = DateLine {
        statement: 1,
        words: "as told".into(),
        kind: DateKind::Manufacture,
        weight: Weight::Unsaid,
        date_lo: Some(years.0),
        date_hi: Some(years.1),
        rule: String::new(),
    };
    let content = Content {
        basis: "form".into(),
        seen_as: Seen::of(vec![SeenAs::Object]),
        parts: Parts { dates: vec![date], ..Parts::default() },
        ..Content::saying(Finality::Final, "")
    };
    let new = NewOpinion { find, assignment: None, covering: None, content };
    let mut tx = site.db.write().await.unwrap();
    store::review::opinions::insert(&mut tx, &new, author, noon()).await.unwrap();
    tx.commit().await.unwrap();
}

/// The editor’s word on it.
pub async fn settle(site: &Site, find: FindId, outcome: Outcome, years: (i64, i64)) {
    let new = NewSettlement {
        find,
        outcome,
        identification: String::new(),
        date_words: "as settled".into(),
        date_lo: Some(years.0),
        date_hi: Some(years.1),
        reason: "the stamp".into(),
        stances: Vec::new(),
    };
    let mut tx = site.db.write().await.unwrap();
    store::review::settlements::insert(&mut tx, &new, site.person(Role::Manager), noon()).await.unwrap();
    tx.commit().await.unwrap();
}
