//! Lists of finds by what a person asks for: the only statements put together at run time.
//!
//! Every part is a constant of this file; what a person typed is always bound.
use crate::places::{self, Reach};
use crate::{Engine, Result, Tx, search, sql};
use domain::Instant;
use domain::ids::{ContextId, FindId, PersonId, PlaceId, ProjectId};
use domain::stages::{Headline, Stage, StageState};
use sqlx::AssertSqlSafe;
use uuid::Uuid;

/// What is asked for. Everything given must hold.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FindFilter {
    pub headline: Option<Headline>,
    pub stage: Option<Stage>,
    pub material: Option<String>,
    pub context: Option<ContextId>,
    /// There, or in what stands there.
    pub place: Option<PlaceId>,
    pub assignee: Option<PersonId>,
    pub held: bool,
    /// Something was due before this instant.
    pub overdue_at: Option<Instant>,
    pub bulk: Option<bool>,
    pub void: bool,
    /// Words that must all occur; the last may be begun only.
    pub words: String,
    /// Whether what specialists said is searched for them too.
    pub opinions: bool,
    /// Whether restricted finds are among the answers.
    pub restricted_too: bool,
}

/// In which order.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Order {
    /// With words, as registered: the words of a large site are not sorted unless asked for.
    #[default]
    Number,
    /// The longest at its stage first.
    LongestWaiting,
    /// The latest registered first.
    Newest,
}

/// What a page goes on after: the last find of the page before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct After {
    pub find: FindId,
    /// Since when it stood at its stage on that page; as it stands now where that is not known.
    pub since: Option<Instant>,
}

impl From<&FindLine> for After {
    fn from(line: &FindLine) -> Self {
        Self { find: line.id, since: Some(line.stage_since) }
    }
}

/// A find as a list shows it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct FindLine {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub bulk: bool,
    pub object_type: String,
    pub description: String,
    pub material: String,
    pub material_name: String,
    pub context_number: Option<String>,
    pub place_path: Option<String>,
    pub assignee_name: Option<String>,
    pub quantity: i64,
    pub weight_g: Option<f64>,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub stage_state: StageState,
    pub stage_since: Instant,
    pub held: bool,
    pub due_at: Option<Instant>,
    pub restricted: bool,
    pub void_at: Option<Instant>,
    /// Some of it is on a dispatch.
    pub is_out: bool,
}

const COLUMNS: &str = "SELECT f.id, f.number, f.bulk, f.object_type, f.description, f.material, m.name AS material_name,
    c.number AS context_number, pl.path AS place_path, a.name AS assignee_name, f.quantity, f.weight_g, f.stage,
    f.stage_state, f.stage_since, f.held, f.due_at, f.restricted, f.void_at,
    EXISTS (SELECT 1 FROM dispatch_item di JOIN dispatch d ON d.id = di.dispatch_id
            WHERE di.find_id = f.id AND d.complete_at IS NULL) AS is_out";
const JOINS: &str = " JOIN material m ON m.project_id = f.project_id AND m.code = f.material
    LEFT JOIN context c ON c.id = f.context_id LEFT JOIN place pl ON pl.id = f.place_id
    LEFT JOIN person a ON a.id = f.assignee_id";

/// Goes on from a place to what stands in it.
const INSIDE: &str = " UNION ALL SELECT p.id FROM place p JOIN inside i ON p.parent_id = i.id) ";

/// A page of finds after (not including) `after`, at most `most` of them.
pub async fn list(
    tx: &mut Tx,
    project: ProjectId,
    filter: &FindFilter,
    order: Order,
    after: Option<After>,
    most: i64,
) -> Result<Vec<FindLine>> {
    let words = search::terms(&filter.words);
    let place = match filter.place {
        Some(place) => Some((place, places::reach(tx, place).await?)),
        None => None,
    };
    let asked = Asked { project, filter, place, order, most };
    if words.is_empty() {
        list_ordered(tx, &asked, after).await
    } else {
        list_matching(tx, &asked, &words, after).await
    }
}

/// All that is asked for but the page.
struct Asked<'a> {
    project: ProjectId,
    filter: &'a FindFilter,
    place: Option<(PlaceId, Reach)>,
    order: Order,
    most: i64,
}

/// A statement with the values it will be given, in order.
#[derive(Default)]
struct Text {
    text: String,
    values: Vec<Value>,
}

enum Value {
    Id(Uuid),
    Words(String),
    Flag(bool),
    At(Instant),
    Number(i64),
}

impl Text {
    fn push(&mut self, part: &'static str) {
        self.text.push_str(part);
    }

    /// Appends a constant part whose `?` becomes the next placeholder.
    fn with(&mut self, part: &'static str, value: Value) {
        self.values.push(value);
        let mut halves = part.splitn(2, '?');
        self.text.push_str(halves.next().unwrap_or_default());
        self.text.push_str(&format!("${}", self.values.len()));
        self.text.push_str(halves.next().unwrap_or_default());
    }

    /// Goes on after the document of a find.
    fn going_on(&mut self, part: &'static str, mark: Option<Mark>) {
        if let Some(mark) = mark {
            self.with(part, Value::Number(mark.doc));
        }
    }

    async fn all(self, tx: &mut Tx) -> Result<Vec<FindLine>> {
        let mut statement = tx.sql(AssertSqlSafe(self.text));
        for value in self.values {
            statement = match value {
                Value::Id(id) => statement.bind(id),
                Value::Words(words) => statement.bind(words),
                Value::Flag(flag) => statement.bind(flag),
                Value::At(at) => statement.bind(domain::cut(at)),
                Value::Number(number) => statement.bind(number),
            };
        }
        statement.all().await
    }
}

async fn list_ordered(tx: &mut Tx, asked: &Asked<'_>, after: Option<After>) -> Result<Vec<FindLine>> {
    let mut text = Text::default();
    text.push(COLUMNS);
    // which finds first, from an index alone, then what is shown of them
    text.push(" FROM (SELECT f.id AS find_id FROM find f");
    text.with(" WHERE f.project_id = ?", Value::Id(asked.project.0));
    restrict(&mut text, asked);
    if let Some(mark) = mark(tx, after).await? {
        match asked.order {
            Order::Number => {
                text.with(" AND (f.sort_key, f.id) > (?", Value::Words(mark.sort_key));
                text.with(", ?)", Value::Id(mark.id));
            }
            Order::LongestWaiting => {
                text.with(" AND (f.stage_since, f.id) > (?", Value::At(mark.stage_since));
                text.with(", ?)", Value::Id(mark.id));
            }
            Order::Newest => text.with(" AND f.id < ?", Value::Id(mark.id)),
        }
    }
    let order = match asked.order {
        Order::Number => " ORDER BY f.sort_key, f.id",
        Order::LongestWaiting => " ORDER BY f.stage_since, f.id",
        Order::Newest => " ORDER BY f.id DESC",
    };
    text.push(order);
    text.with(" LIMIT ?", Value::Number(asked.most));
    text.push(") page JOIN find f ON f.id = page.find_id");
    text.push(JOINS);
    text.push(order);
    text.all(tx).await
}

async fn list_matching(
    tx: &mut Tx,
    asked: &Asked<'_>,
    words: &[String],
    after: Option<After>,
) -> Result<Vec<FindLine>> {
    let query = search::query(tx, asked.project, words, asked.filter.opinions).await?;
    let mut text = Text::default();
    text.push(COLUMNS);
    match tx.engine() {
        Engine::Sqlite => {
            text.push(" FROM search_words s CROSS JOIN search_doc d ON d.doc = s.rowid JOIN find f ON f.id = d.find_id");
            text.push(JOINS);
            text.with(" WHERE s.search_words MATCH ?", Value::Words(query));
        }
        Engine::Postgres => {
            text.push(" FROM search_doc d JOIN find f ON f.id = d.find_id");
            text.push(JOINS);
            text.with(" WHERE d.words @@ to_tsquery('simple', ?)", Value::Words(query));
        }
    }
    text.with(" AND f.project_id = ?", Value::Id(asked.project.0));
    restrict(&mut text, asked);
    let mark = mark(tx, after).await?;
    match (asked.order, tx.engine()) {
        (Order::LongestWaiting, _) => {
            if let Some(mark) = mark {
                text.with(" AND (f.stage_since, f.id) > (?", Value::At(mark.stage_since));
                text.with(", ?)", Value::Id(mark.id));
            }
            text.push(" ORDER BY f.stage_since, f.id");
        }
        (Order::Newest, Engine::Sqlite) => {
            text.going_on(" AND s.rowid < ?", mark);
            text.push(" ORDER BY s.rowid DESC");
        }
        (Order::Newest, Engine::Postgres) => {
            text.going_on(" AND d.doc < ?", mark);
            text.push(" ORDER BY d.doc DESC");
        }
        (Order::Number, Engine::Sqlite) => {
            text.going_on(" AND s.rowid > ?", mark);
            text.push(" ORDER BY s.rowid");
        }
        (Order::Number, Engine::Postgres) => {
            text.going_on(" AND d.doc > ?", mark);
            text.push(" ORDER BY d.doc");
        }
    }
    text.with(" LIMIT ?", Value::Number(asked.most));
    text.all(tx).await
}

fn restrict(text: &mut Text, asked: &Asked<'_>) {
    let filter = asked.filter;
    if !filter.restricted_too {
        text.push(" AND NOT f.restricted");
    }
    text.push(if filter.void { " AND f.void_at IS NOT NULL" } else { " AND f.void_at IS NULL" });
    if let Some(headline) = filter.headline {
        text.with(" AND f.headline = ?", Value::Words(headline.code().into()));
    }
    if let Some(stage) = filter.stage {
        text.with(" AND f.stage = ?", Value::Words(stage.code().into()));
    }
    if let Some(material) = &filter.material {
        text.with(" AND f.material = ?", Value::Words(material.clone()));
    }
    if let Some(context) = filter.context {
        text.with(" AND f.context_id = ?", Value::Id(context.0));
    }
    if let Some((place, reach)) = asked.place {
        match reach {
            Reach::Itself => text.with(" AND f.place_id = ?", Value::Id(place.0)),
            Reach::Few => {
                text.with(
                    " AND f.id IN (WITH RECURSIVE inside (id) AS (SELECT p.id FROM place p WHERE p.id = ?",
                    Value::Id(place.0),
                );
                text.push(INSIDE);
                text.push("SELECT w.id FROM inside CROSS JOIN find w WHERE w.place_id = inside.id)");
            }
            Reach::Many => {
                // not put as `IN`, which would have SQLite take them by place and sort them all
                text.with(" AND NOT f.place_id NOT IN (WITH RECURSIVE inside (id) AS (SELECT p.id FROM place p WHERE p.id = ?", Value::Id(place.0));
                text.push(INSIDE);
                text.push("SELECT id FROM inside)");
            }
        }
    }
    if let Some(person) = filter.assignee {
        text.with(" AND f.assignee_id = ?", Value::Id(person.0));
    }
    if filter.held {
        text.push(" AND f.held");
    }
    if let Some(at) = filter.overdue_at {
        // not put as `<`, which would have SQLite take them by when they were due and sort them all
        text.with(" AND f.due_at IS NOT NULL AND NOT f.due_at >= ?", Value::At(at));
    }
    if let Some(bulk) = filter.bulk {
        text.with(" AND f.bulk = ?", Value::Flag(bulk));
    }
}

#[derive(sqlx::FromRow)]
struct Mark {
    id: Uuid,
    sort_key: String,
    stage_since: Instant,
    doc: i64,
}

/// What a page goes on after.
async fn mark(tx: &mut Tx, after: Option<After>) -> Result<Option<Mark>> {
    let Some(after) = after else { return Ok(None) };
    let mark: Option<Mark> = tx
        .sql(sql!(
            "SELECT f.id, f.sort_key, f.stage_since, d.doc FROM find f JOIN search_doc d ON d.find_id = f.id WHERE f.id = $1"
        ))
        .bind(after.find.0)
        .opt()
        .await?;
    Ok(mark.map(|mark| Mark { stage_since: after.since.unwrap_or(mark.stage_since), ..mark }))
}
