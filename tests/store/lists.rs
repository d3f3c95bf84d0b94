//! The list, whatever is asked for together: against a plain reading of every find.
use domain::Instant;
use domain::ids::{ContextId, FindId, PersonId, PlaceId};
use domain::permission::Role;
use domain::stages::{Headline, Stage};
use seed::growth::{Growth, Hands};
use std::collections::{BTreeSet, HashMap};
use store::filter::{self, After, FindFilter, Order};
use store::places::{self, NewPlace, Reach};
use store::{Engine, Tx};
use tests::on_both_engines;
use tests::support::{Site, engines, noon};
use uuid::Uuid;

/// A find as it lies in the table.
#[derive(sqlx::FromRow)]
struct Plain {
    #[sqlx(try_from = "Uuid")]
    id: FindId,
    sort_key: String,
    stage_since: Instant,
    headline: String,
    stage: String,
    material: String,
    bulk: bool,
    held: bool,
    restricted: bool,
    due_at: Option<Instant>,
    context_id: Option<Uuid>,
    place_id: Option<Uuid>,
    /// Its place, what that stands in, and so on.
    #[sqlx(skip)]
    lies_in: Vec<PlaceId>,
    assignee_id: Option<Uuid>,
    void_at: Option<Instant>,
    words: String,
    /// Counts as registered.
    doc: i64,
}

/// Narrows a list in one way.
type Narrow = Box<dyn Fn(&mut FindFilter)>;

impl Plain {
    /// What the filter says, in plain words.
    fn is_asked_for(&self, filter: &FindFilter) -> bool {
        let is = |asked: Option<Uuid>, has: Option<Uuid>| asked.is_none_or(|id| has == Some(id));
        self.void_at.is_some() == filter.void
            && (filter.restricted_too || !self.restricted)
            && filter.headline.is_none_or(|headline| headline.code() == self.headline)
            && filter.stage.is_none_or(|stage| stage.code() == self.stage)
            && filter.material.as_ref().is_none_or(|material| *material == self.material)
            && filter.bulk.is_none_or(|bulk| bulk == self.bulk)
            && (!filter.held || self.held)
            && filter.overdue_at.is_none_or(|at| self.due_at.is_some_and(|due| due < at))
            && is(filter.context.map(|id| id.0), self.context_id)
            && filter.place.is_none_or(|place| self.lies_in.contains(&place))
            && is(filter.assignee.map(|id| id.0), self.assignee_id)
            && self.has_word_begun(&filter.words)
    }
}

impl Plain {
    /// Whether one of its words begins so; all do with nothing.
    fn has_word_begun(&self, begun: &str) -> bool {
        self.words.split(|c: char| !c.is_alphanumeric()).any(|word| word.starts_with(begun))
    }
}

async fn read_all(tx: &mut Tx, site: &Site) -> Vec<Plain> {
    let places = places::list(tx, site.project).await.unwrap();
    let above: HashMap<Uuid, Option<Uuid>> =
        places.iter().map(|place| (place.id.0, place.parent_id)).collect();
    let mut finds: Vec<Plain> = tx.sql(
        "SELECT f.id, sort_key, stage_since, headline, stage, material, bulk, held, restricted, due_at, context_id,
            place_id, assignee_id, void_at, object_type || ' ' || description AS words, doc
         FROM find f JOIN search_doc d ON d.find_id = f.id",
    )
    .all()
    .await
    .unwrap();
    for find in &mut finds {
        find.lies_in = std::iter::successors(find.place_id, |id| above[id]).map(PlaceId).collect();
    }
    finds
}

/// A store with three of four shelves of the site in it, every second of them in another.
async fn store_places(tx: &mut Tx, site: &Site) -> PlaceId {
    let all = places::list(tx, site.project).await.unwrap();
    let building =
        NewPlace { project: site.project, parent: None, kind: "building".into(), name: "Store".into() };
    let building = places::insert(tx, &building, noon()).await.unwrap();
    let mut above = building;
    let shelves = all.iter().filter(|place| place.parent_id.is_some());
    for (_, place) in shelves.enumerate().filter(|(nth, _)| nth % 4 > 0) {
        tx.sql("UPDATE place SET parent_id = $2 WHERE id = $1")
            .bind(place.id.0)
            .bind(above.0)
            .run()
            .await
            .unwrap();
        above = if above == building { place.id } else { building };
    }
    building
}

/// The site with so many generated finds.
async fn grow(tx: &mut Tx, site: &Site, finds: usize) {
    let hands = Hands { registrar: site.person(Role::Manager), bench: site.person(Role::Conservator) };
    let mut growth = Growth::begin(tx, site.project, hands, finds, noon()).await.unwrap();
    while !growth.is_complete() {
        growth.step(tx, finds).await.unwrap();
    }
}

fn sorted(finds: &[Plain], filter: &FindFilter, order: Order) -> Vec<FindId> {
    let mut asked: Vec<&Plain> = finds.iter().filter(|find| find.is_asked_for(filter)).collect();
    match order {
        Order::Number if !filter.words.is_empty() => asked.sort_by_key(|find| find.doc),
        Order::Newest if !filter.words.is_empty() => asked.sort_by_key(|find| std::cmp::Reverse(find.doc)),
        Order::Number => asked.sort_by_key(|find| (find.sort_key.clone(), find.id.0)),
        Order::LongestWaiting => asked.sort_by_key(|find| (find.stage_since, find.id.0)),
        Order::Newest => asked.sort_by_key(|find| std::cmp::Reverse(find.id.0)),
    }
    asked.iter().map(|find| find.id).collect()
}

/// Every page of a list, one after the other.
async fn leaf(tx: &mut Tx, site: &Site, filter: &FindFilter, order: Order) -> Vec<FindId> {
    let mut all: Vec<FindId> = Vec::new();
    let mut after = None;
    loop {
        let page = filter::list(tx, site.project, filter, order, after, 40).await.unwrap();
        all.extend(page.iter().map(|line| line.id));
        after = page.last().map(After::from);
        if page.len() < 40 {
            return all;
        }
    }
}

/// Ways to narrow a list: for each column one value or two that some finds have, and one person nobody is.
fn narrowings(finds: &[Plain], nobody: PersonId, building: PlaceId) -> Vec<Narrow> {
    let some = |pick: fn(&Plain) -> Option<Uuid>| finds.iter().find_map(pick).unwrap();
    let (context, place) = (ContextId(some(|find| find.context_id)), PlaceId(some(|find| find.place_id)));
    let bench = PersonId(some(|find| find.assignee_id));
    let mut all: Vec<Narrow> = vec![
        Box::new(|_| {}),
        Box::new(|filter| filter.held = true),
        Box::new(|filter| filter.overdue_at = Some(noon())),
        Box::new(|filter| filter.bulk = Some(true)),
        Box::new(|filter| filter.void = true),
        Box::new(|filter| filter.words = "gre".into()),
        Box::new(|filter| filter.restricted_too = true),
        Box::new(move |filter| filter.context = Some(context)),
        Box::new(move |filter| filter.place = Some(place)),
        Box::new(move |filter| filter.place = Some(building)),
        Box::new(move |filter| filter.assignee = Some(bench)),
        Box::new(move |filter| filter.assignee = Some(nobody)),
    ];
    for headline in [Headline::Finished, Headline::WetClean] {
        all.push(Box::new(move |filter| filter.headline = Some(headline)));
    }
    for stage in [Stage::Drying, Stage::Finished] {
        all.push(Box::new(move |filter| filter.stage = Some(stage)));
    }
    for material in ["ceramic", "wood_leather"] {
        all.push(Box::new(move |filter| filter.material = Some(material.into())));
    }
    all
}

on_both_engines! {
    async fn two_filters_and_an_order_list_page_by_page_what_a_plain_reading_of_all_finds_gives(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        grow(&mut tx, &site, 700).await;
        let building = store_places(&mut tx, &site).await;
        tx.sql("UPDATE find SET void_at = $1 WHERE number LIKE '%7'").bind(noon()).run().await.unwrap();
        tx.commit().await.unwrap();

        let mut tx = site.db.read().await.unwrap();
        let finds = read_all(&mut tx, &site).await;
        let ways = narrowings(&finds, site.person(Role::Lead), building);
        let mut listed = 0;
        for (nth, first) in ways.iter().enumerate() {
            for second in &ways[nth..] {
                let mut filter = FindFilter::default();
                first(&mut filter);
                second(&mut filter);
                for order in [Order::Number, Order::LongestWaiting, Order::Newest] {
                    let expected = sorted(&finds, &filter, order);
                    assert_eq!(leaf(&mut tx, &site, &filter, order).await, expected, "{filter:?} {order:?}");
                    listed += usize::from(!expected.is_empty());
                }
            }
        }
        assert!(listed > 250, "most of them list something: {listed}");
    }
}

on_both_engines! {
    async fn a_place_lists_what_stands_in_it_even_when_that_is_much(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        grow(&mut tx, &site, 7_200).await;
        let building = store_places(&mut tx, &site).await;
        tx.commit().await.unwrap();

        let mut tx = site.db.read().await.unwrap();
        assert_eq!(places::reach(&mut tx, building).await.unwrap(), Reach::Many);
        let finds = read_all(&mut tx, &site).await;
        let filter = FindFilter { place: Some(building), stage: Some(Stage::Drying), ..FindFilter::default() };
        for order in [Order::Number, Order::LongestWaiting, Order::Newest] {
            let expected = sorted(&finds, &filter, order);
            assert!(expected.len() > 100, "some are drying there: {}", expected.len());
            assert_eq!(leaf(&mut tx, &site, &filter, order).await, expected, "{order:?}");
        }
    }
}

on_both_engines! {
    async fn a_find_worked_on_between_two_pages_of_the_longest_waiting_hides_no_other(site: Site) {
        for number in 1..=5_i64 {
            let find = site.find(&number.to_string()).add().await;
            let mut tx = site.db.write().await.unwrap();
            let since = noon() - chrono::Duration::days(10 - number);
            tx.sql("UPDATE find SET stage_since = $2 WHERE id = $1").bind(find.0).bind(since).run().await.unwrap();
            tx.commit().await.unwrap();
        }
        let filter = FindFilter::default();
        let mut tx = site.db.write().await.unwrap();
        let first = filter::list(&mut tx, site.project, &filter, Order::LongestWaiting, None, 2).await.unwrap();
        let last = first.last().unwrap();
        assert_eq!(last.number, "2");
        tx.sql("UPDATE find SET stage_since = $2 WHERE id = $1").bind(last.id.0).bind(noon()).run().await.unwrap();
        let after = Some(After::from(last));
        let next = filter::list(&mut tx, site.project, &filter, Order::LongestWaiting, after, 9).await.unwrap();
        let numbers: Vec<&str> = next.iter().map(|line| line.number.as_str()).collect();
        assert_eq!(numbers, ["3", "4", "5", "2"], "the one worked on waits again, at the end");
    }
}

#[test]
fn sqlite_is_told_what_to_expect_of_every_index_of_finds() {
    engines::run(Engine::Sqlite, async |site: Site| {
        let mut tx = site.db.read().await.unwrap();
        let names = async |tx: &mut Tx, text: &'static str| -> BTreeSet<String> {
            let rows: Vec<(String,)> = tx.sql(text).all().await.unwrap();
            rows.into_iter().map(|(name,)| name).collect()
        };
        let there =
            names(&mut tx, "SELECT name FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'find'").await;
        assert_eq!(names(&mut tx, "SELECT idx FROM sqlite_stat1 WHERE tbl = 'find'").await, there);
    });
}
