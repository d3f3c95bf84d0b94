//! Registering finds.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::journal;
use crate::{Result, Tx, sql};
use chrono::{NaiveDate, NaiveTime};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::finds::RecoveredState;
use domain::finds::material::UNKNOWN;
use domain::finds::number;
use domain::ids::{ContextId, FindId, PersonId, PlaceId, ProjectId};
use domain::stages::{Route, Stage, StageState};
use std::collections::BTreeMap;
use uuid::Uuid;

/// What is known of a find when it is registered. Lengths in mm, mass in g, positions in m.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct NewFind {
    /// In normal form, see [`domain::finds::number::normal`].
    pub number: String,
    pub bulk: bool,
    pub context: Option<ContextId>,
    /// Code of a material group of the project.
    pub material: String,
    pub material_words: String,
    pub object_type: String,
    pub description: String,
    pub quantity: i64,
    pub weight_g: Option<f64>,
    pub fragments: Option<i64>,
    pub recovered_on: Option<NaiveDate>,
    pub recovered_by: String,
    pub recovery_method: String,
    pub recovered_state: RecoveredState,
    pub sample_number: String,
    pub easting_m: Option<f64>,
    pub northing_m: Option<f64>,
    pub height_m: Option<f64>,
    pub length_mm: Option<f64>,
    pub width_mm: Option<f64>,
    pub thickness_mm: Option<f64>,
    pub diameter_mm: Option<f64>,
    pub period: String,
    pub completeness_pct: Option<f64>,
    pub condition_note: String,
    pub accession_number: String,
    pub note: String,
    pub restricted: bool,
    pub place: Option<PlaceId>,
}

impl Default for NewFind {
    fn default() -> Self {
        Self {
            number: String::new(),
            bulk: false,
            context: None,
            material: UNKNOWN.into(),
            material_words: String::new(),
            object_type: String::new(),
            description: String::new(),
            quantity: 1,
            weight_g: None,
            fragments: None,
            recovered_on: None,
            recovered_by: String::new(),
            recovery_method: String::new(),
            recovered_state: RecoveredState::Unknown,
            sample_number: String::new(),
            easting_m: None,
            northing_m: None,
            height_m: None,
            length_mm: None,
            width_mm: None,
            thickness_mm: None,
            diameter_mm: None,
            period: String::new(),
            completeness_pct: None,
            condition_note: String::new(),
            accession_number: String::new(),
            note: String::new(),
            restricted: false,
            place: None,
        }
    }
}

/// Registers one find; `Taken` when the number is.
pub async fn insert(
    tx: &mut Tx,
    project: ProjectId,
    find: &NewFind,
    by: Option<PersonId>,
    now: Instant,
) -> Result<FindId> {
    Ok(insert_many(tx, project, std::slice::from_ref(find), by, now).await?[0])
}

/// Registers many finds with journal, search words and backlog totals; the ids in the order given.
///
/// A find recovered wet gets its clock by the rules of the project, counted from its recovery where that is known.
pub async fn insert_many(
    tx: &mut Tx,
    project: ProjectId,
    finds: &[NewFind],
    by: Option<PersonId>,
    now: Instant,
) -> Result<Vec<FindId>> {
    let routes = crate::projects::list_routes(tx, project).await?;
    let none = Route::default();
    let rows: Vec<Row<'_>> = finds
        .iter()
        .map(|find| Row {
            id: FindId::new(now),
            project,
            find,
            stage: routes.get(&find.material).unwrap_or(&none).first_after_registration(),
            by,
            now: domain::cut(now),
        })
        .collect();
    bulk::insert(tx, &rows).await?;
    crate::search::insert_many(tx, project, rows.iter().map(|row| (row.id, search_words(row.find)))).await?;
    journal::append_all(tx, &entries(&rows), now).await?;
    add_to_backlog(tx, project, &rows).await?;
    start_clocks(tx, project, &rows, now).await?;
    Ok(rows.iter().map(|row| row.id).collect())
}

async fn start_clocks(tx: &mut Tx, project: ProjectId, rows: &[Row<'_>], now: Instant) -> Result<()> {
    let rules = crate::clocks::rules::list(tx, project).await?;
    for row in rows.iter().filter(|row| row.find.recovered_state == RecoveredState::Wet) {
        let rule = crate::clocks::rules::choose(&rules, ClockKind::Wet, &row.find.material);
        let since = row.find.recovered_on.map_or(now, |day| day.and_time(NaiveTime::MIN).and_utc());
        crate::clocks::start(tx, row.id, ClockKind::Wet, rule, (since, now)).await?;
    }
    Ok(())
}

/// The words by which a find is found, besides its opinions.
fn search_words(find: &NewFind) -> String {
    let number = number::spellings(&find.number);
    [&number, &find.object_type, &find.description, &find.material_words, &find.period, &find.note]
        .map(String::as_str)
        .join(" ")
}

fn entries(rows: &[Row<'_>]) -> Vec<journal::Entry> {
    rows.iter()
        .map(|row| journal::Entry {
            project: Some(row.project),
            find: Some(row.id),
            context: row.find.context,
            verb: "registered",
            words: format!("registered {}", row.find.number),
            by: row.by,
        })
        .collect()
}

async fn add_to_backlog(tx: &mut Tx, project: ProjectId, rows: &[Row<'_>]) -> Result<()> {
    let mut cells: BTreeMap<(&str, &str), i64> = BTreeMap::new();
    for row in rows {
        *cells.entry((row.stage.headline().code(), &row.find.material)).or_default() += 1;
    }
    for ((headline, material), finds) in cells {
        super::progress::add_to_cell(tx, project, headline, material, finds).await?;
    }
    Ok(())
}

struct Row<'a> {
    id: FindId,
    project: ProjectId,
    find: &'a NewFind,
    stage: Stage,
    by: Option<PersonId>,
    now: Instant,
}

impl BulkRow for Row<'_> {
    const TABLE: &'static str = "find";
    const COLUMNS: &'static [&'static str] = &[
        "id",
        "project_id",
        "number",
        "sort_key",
        "bulk",
        "context_id",
        "material",
        "material_words",
        "object_type",
        "description",
        "quantity",
        "weight_g",
        "fragments",
        "recovered_on",
        "recovered_by",
        "recovery_method",
        "recovered_state",
        "sample_number",
        "easting_m",
        "northing_m",
        "height_m",
        "length_mm",
        "width_mm",
        "thickness_mm",
        "diameter_mm",
        "period",
        "completeness_pct",
        "condition_note",
        "accession_number",
        "note",
        "restricted",
        "place_id",
        "stage",
        "stage_state",
        "stage_since",
        "headline",
        "held",
        "registered_at",
        "registered_by",
        "revision",
    ];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let f = self.find;
        statement
            .bind(self.id.0)
            .bind(self.project.0)
            .bind(f.number.clone())
            .bind(number::sort_key(&f.number))
            .bind(f.bulk)
            .bind(f.context.map(Uuid::from))
            .bind(f.material.clone())
            .bind(f.material_words.clone())
            .bind(f.object_type.clone())
            .bind(f.description.clone())
            .bind(f.quantity)
            .bind(f.weight_g)
            .bind(f.fragments)
            .bind(f.recovered_on)
            .bind(f.recovered_by.clone())
            .bind(f.recovery_method.clone())
            .bind(f.recovered_state.code())
            .bind(f.sample_number.clone())
            .bind(f.easting_m)
            .bind(f.northing_m)
            .bind(f.height_m)
            .bind(f.length_mm)
            .bind(f.width_mm)
            .bind(f.thickness_mm)
            .bind(f.diameter_mm)
            .bind(f.period.clone())
            .bind(f.completeness_pct)
            .bind(f.condition_note.clone())
            .bind(f.accession_number.clone())
            .bind(f.note.clone())
            .bind(f.restricted)
            .bind(f.place.map(Uuid::from))
            .bind(self.stage.code())
            .bind(StageState::Waiting.code())
            .bind(self.now)
            .bind(self.stage.headline().code())
            .bind(false)
            .bind(self.now)
            .bind(self.by.map(Uuid::from))
            .bind(1_i64)
    }
}

/// The find whose number people take for the same as this one, void ones too; the same number before others.
pub async fn find_alike(tx: &mut Tx, project: ProjectId, number: &str) -> Result<Option<(FindId, String)>> {
    #[derive(sqlx::FromRow)]
    struct Row {
        #[sqlx(try_from = "Uuid")]
        id: FindId,
        number: String,
    }
    let [joined, parted, plain] = number::alike_keys(number);
    let row: Option<Row> = tx
        .sql(sql!(
            "SELECT id, number FROM find WHERE project_id = $1 AND sort_key IN ($2, $3, $4)
             ORDER BY CASE WHEN number = $5 THEN 0 ELSE 1 END, sort_key, id LIMIT 1"
        ))
        .bind(project.0)
        .bind(joined)
        .bind(parted)
        .bind(plain)
        .bind(number.to_owned())
        .opt()
        .await?;
    Ok(row.map(|row| (row.id, row.number)))
}

/// The next number of a project by its pattern, `#` standing for the running number.
pub async fn next_number(tx: &mut Tx, project: ProjectId) -> Result<String> {
    let pattern: Option<String> =
        tx.sql(sql!("SELECT number_pattern FROM project WHERE id = $1")).bind(project.0).cell().await?;
    let pattern = pattern.unwrap_or_else(|| "#".into());
    let (head, tail) = pattern.split_once('#').unwrap_or((&pattern, ""));
    let (low, high) =
        (number::sort_key(&format!("{head}0{tail}")), format!("{}:", domain::words::fold(head)));
    let last: Option<String> = tx
        .sql(sql!(
            "SELECT number FROM find WHERE project_id = $1 AND sort_key >= $2 AND sort_key < $3 ORDER BY sort_key DESC LIMIT 1"
        ))
        .bind(project.0)
        .bind(low)
        .bind(high)
        .cell()
        .await?;
    let running = last.as_deref().and_then(|number| number.strip_prefix(head));
    let digits: String = running.unwrap_or_default().chars().take_while(char::is_ascii_digit).collect();
    let next = digits.parse::<u64>().unwrap_or(0) + 1;
    Ok(format!("{head}{next}{tail}"))
}
