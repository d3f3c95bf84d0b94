//! Opinions: a draft is its author's alone; a submitted one is never edited, a revision is a new version.
use super::content::{self, DateLine, Parts, Whose};
use super::reopenings;
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{AssignmentId, FindId, OpinionId, PersonId, ProjectId, ReceivedId};
use domain::review::opinion::{Confidence, Seen, leading_kind, leading_years};
use domain::review::{CameAs, Finality, Reopened, Years};
use uuid::Uuid;

/// An opinion to be submitted on one find.
#[derive(Debug, Clone)]
pub struct NewOpinion {
    pub find: FindId,
    pub assignment: Option<AssignmentId>,
    /// Shared by the finds that one opinion covers.
    pub covering: Option<Uuid>,
    pub content: Content,
}

/// What an opinion says, whichever find it is about.
#[derive(Debug, Clone)]
pub struct Content {
    pub finality: Finality,
    pub identification: String,
    pub confidence: Option<Confidence>,
    pub material_words: String,
    pub origin: String,
    pub negative_findings: String,
    pub significance: String,
    pub parallels_none: bool,
    /// What is said of the search for parallels.
    pub parallels_said: String,
    pub basis: String,
    pub seen_as: Seen,
    pub parts: Parts,
}

impl Content {
    /// What a find is, and nothing more yet.
    pub fn saying(finality: Finality, identification: &str) -> Self {
        Self {
            finality,
            identification: identification.to_owned(),
            confidence: None,
            material_words: String::new(),
            origin: String::new(),
            negative_findings: String::new(),
            significance: String::new(),
            parallels_none: false,
            parallels_said: String::new(),
            basis: String::new(),
            seen_as: Seen::default(),
            parts: Parts::default(),
        }
    }
}

/// A submitted opinion.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Opinion {
    #[sqlx(try_from = "Uuid")]
    pub id: OpinionId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub author_id: PersonId,
    pub author_name: String,
    pub qualification: String,
    pub version: i64,
    #[sqlx(try_from = "String")]
    pub finality: Finality,
    pub identification: String,
    #[sqlx(rename = "confidence")]
    confidence_code: String,
    pub material_words: String,
    pub origin: String,
    pub negative_findings: String,
    pub significance: String,
    pub date_words: String,
    /// The span of the leading kind of date, in astronomical years, 0 being 1 BC.
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    pub date_rule: String,
    pub parallels_none: bool,
    #[sqlx(rename = "parallels")]
    pub parallels_said: String,
    pub basis: String,
    #[sqlx(try_from = "String")]
    pub seen_as: Seen,
    pub submitted_at: Instant,
    pub superseded_at: Option<Instant>,
    received_id: Option<Uuid>,
    came_as: Option<String>,
    /// Who entered it for its author.
    pub entered_by: Option<String>,
    pub confirmed_at: Option<Instant>,
    #[sqlx(skip)]
    pub parts: Parts,
}

impl Opinion {
    /// The span of the leading kind of date, where one was given.
    pub fn years(&self) -> Option<Years> {
        let years = Years { lo: self.date_lo, hi: self.date_hi };
        (years.lo.is_some() || years.hi.is_some()).then_some(years)
    }

    /// How sure the author is of the identification, where it was said.
    pub fn confidence(&self) -> Option<Confidence> {
        self.confidence_code.parse().ok()
    }

    /// What it says, to be said again.
    pub fn content(&self) -> Content {
        Content {
            finality: self.finality,
            identification: self.identification.clone(),
            confidence: self.confidence(),
            material_words: self.material_words.clone(),
            origin: self.origin.clone(),
            negative_findings: self.negative_findings.clone(),
            significance: self.significance.clone(),
            parallels_none: self.parallels_none,
            parallels_said: self.parallels_said.clone(),
            basis: self.basis.clone(),
            seen_as: self.seen_as.clone(),
            parts: self.parts.clone(),
        }
    }

    /// What it was entered from, where its author did not submit it.
    pub fn received(&self) -> Option<ReceivedId> {
        self.received_id.map(ReceivedId)
    }

    /// As what it came, where its author did not submit it.
    pub fn came_as(&self) -> Option<CameAs> {
        self.came_as.as_ref()?.parse().ok()
    }

    /// Whether it was entered for its author, who has not confirmed it.
    pub fn is_unconfirmed(&self) -> bool {
        self.received_id.is_some() && self.confirmed_at.is_none()
    }
}

/// Submits an opinion as the author's next version, superseding what stood of the same author; a draft stays until it is
/// taken away.
pub async fn insert(tx: &mut Tx, new: &NewOpinion, author: PersonId, now: Instant) -> Result<OpinionId> {
    tx.sql(sql!(
        "UPDATE opinion SET superseded_at = $3 WHERE find_id = $1 AND author_id = $2 AND superseded_at IS NULL"
    ))
    .bind(new.find.0)
    .bind(author.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    let id = insert_row(tx, new, author, now).await?;
    content::insert(tx, id, &new.content.parts).await?;
    crate::finds::refresh_search(tx, new.find).await?;
    Ok(id)
}

/// The row of the author's next version, without its parts.
pub(super) async fn insert_row(
    tx: &mut Tx,
    new: &NewOpinion,
    author: PersonId,
    now: Instant,
) -> Result<OpinionId> {
    let id = OpinionId::new(now);
    let last: Option<Option<i64>> = tx
        .sql(sql!("SELECT MAX(version) FROM opinion WHERE find_id = $1 AND author_id = $2"))
        .bind(new.find.0)
        .bind(author.0)
        .cell()
        .await?;
    let version = last.flatten().unwrap_or(0) + 1;
    let content = &new.content;
    let date = Leading::of(&content.parts.dates);
    tx.sql(sql!(
        "INSERT INTO opinion (id, find_id, assignment_id, author_id, version, finality, identification, confidence,
            material_words, origin, negative_findings, significance, date_words, date_lo, date_hi, date_rule,
            parallels_none, parallels, basis, seen_as, covering, submitted_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.assignment.map(Uuid::from))
    .bind(author.0)
    .bind(version)
    .bind(content.finality.code())
    .bind(content.identification.clone())
    .bind(content.confidence.map_or("", Confidence::code))
    .bind(content.material_words.clone())
    .bind(content.origin.clone())
    .bind(content.negative_findings.clone())
    .bind(content.significance.clone())
    .bind(date.words)
    .bind(date.years.and_then(|years| years.lo))
    .bind(date.years.and_then(|years| years.hi))
    .bind(date.rule)
    .bind(content.parallels_none)
    .bind(content.parallels_said.clone())
    .bind(content.basis.clone())
    .bind(content.seen_as.code())
    .bind(new.covering)
    .bind(domain::cut(now))
    .run()
    .await?;
    // what was settled did not know of it
    let words = format!("version {version}");
    reopenings::insert(tx, new.find, (Reopened::Opinion, &words), Some(author), now).await?;
    Ok(id)
}

/// The dates of an opinion in one line, and the years that count.
struct Leading {
    words: String,
    years: Option<Years>,
    rule: String,
}

impl Leading {
    fn of(dates: &[DateLine]) -> Self {
        let dated: Vec<_> = dates.iter().map(DateLine::dated).collect();
        let kind = leading_kind(&dated);
        let mut statements = dates.to_vec();
        statements.dedup_by_key(|date| date.statement);
        let words = statements.iter().map(|date| match Some(date.kind) == kind {
            true => date.words.clone(),
            false => format!("{}: {}", date.kind.label(), date.words),
        });
        let leading = statements.iter().filter(|date| Some(date.kind) == kind && !date.rule.is_empty());
        let rules: Vec<&str> = leading.map(|date| date.rule.as_str()).collect();
        Self {
            words: words.collect::<Vec<_>>().join("; "),
            years: leading_years(&dated),
            rule: rules.join("; "),
        }
    }
}

/// The submitted opinions on a find, superseded ones among them: each author's versions together, the latest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Opinion>> {
    let said = tx
        .sql(sql!(
            "SELECT o.id, o.find_id, o.author_id, p.name AS author_name, p.qualification, o.version, o.finality,
                o.identification, o.confidence, o.material_words, o.origin, o.negative_findings, o.significance,
                o.date_words, o.date_lo, o.date_hi, o.date_rule, o.parallels_none, o.parallels, o.basis, o.seen_as,
                o.submitted_at, o.superseded_at, o.received_id, r.came_as, e.name AS entered_by, o.confirmed_at
             FROM opinion o JOIN person p ON p.id = o.author_id
             LEFT JOIN received_opinion r ON r.id = o.received_id LEFT JOIN person e ON e.id = r.kept_by
             WHERE o.find_id = $1 ORDER BY p.name, p.id, o.version DESC"
        ))
        .bind(find.0)
        .all()
        .await?;
    with_parts(tx, said, Whose::Find(find)).await
}

/// An opinion of somebody’s own, with what it is about.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Own {
    #[sqlx(flatten)]
    pub opinion: Opinion,
    pub project_code: String,
    pub project_name: String,
    pub number: String,
}

/// Everything a person has said as author or joint author, superseded versions among it, in every project: for ever.
pub async fn list_of_author(tx: &mut Tx, author: PersonId) -> Result<Vec<Own>> {
    let mut said: Vec<Own> = tx
        .sql(sql!(
            "SELECT o.id, o.find_id, o.author_id, p.name AS author_name, p.qualification, o.version, o.finality,
                o.identification, o.confidence, o.material_words, o.origin, o.negative_findings, o.significance,
                o.date_words, o.date_lo, o.date_hi, o.date_rule, o.parallels_none, o.parallels, o.basis, o.seen_as,
                o.submitted_at, o.superseded_at, o.received_id, r.came_as, e.name AS entered_by, o.confirmed_at,
                pr.code AS project_code, pr.name AS project_name, f.number
             FROM opinion o JOIN person p ON p.id = o.author_id JOIN find f ON f.id = o.find_id
             JOIN project pr ON pr.id = f.project_id
             LEFT JOIN received_opinion r ON r.id = o.received_id LEFT JOIN person e ON e.id = r.kept_by
             WHERE o.author_id = $1 OR o.id IN (SELECT j.opinion_id FROM opinion_joint j WHERE j.person_id = $1)
             ORDER BY pr.code, f.sort_key, f.id, p.name, o.version"
        ))
        .bind(author.0)
        .all()
        .await?;
    if !said.is_empty() {
        let mut parts = content::list(tx, Whose::Author(author)).await?;
        for own in &mut said {
            own.opinion.parts = parts.remove(&own.opinion.id).unwrap_or_default();
        }
    }
    Ok(said)
}

/// The standing opinions of a project, by find: for the report.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Opinion>> {
    let said = tx
        .sql(sql!(
            "SELECT o.id, o.find_id, o.author_id, p.name AS author_name, p.qualification, o.version, o.finality,
                o.identification, o.confidence, o.material_words, o.origin, o.negative_findings, o.significance,
                o.date_words, o.date_lo, o.date_hi, o.date_rule, o.parallels_none, o.parallels, o.basis, o.seen_as,
                o.submitted_at, o.superseded_at, o.received_id, r.came_as, e.name AS entered_by, o.confirmed_at
             FROM find f JOIN opinion o ON o.find_id = f.id JOIN person p ON p.id = o.author_id
             LEFT JOIN received_opinion r ON r.id = o.received_id LEFT JOIN person e ON e.id = r.kept_by
             WHERE f.project_id = $1 AND o.superseded_at IS NULL ORDER BY f.sort_key, p.name, p.id"
        ))
        .bind(project.0)
        .all()
        .await?;
    with_parts(tx, said, Whose::Project(project)).await
}

async fn with_parts(tx: &mut Tx, mut said: Vec<Opinion>, whose: Whose) -> Result<Vec<Opinion>> {
    if !said.is_empty() {
        let mut parts = content::list(tx, whose).await?;
        for opinion in &mut said {
            opinion.parts = parts.remove(&opinion.id).unwrap_or_default();
        }
    }
    Ok(said)
}

/// The author's draft on a find, as typed.
pub async fn find_draft(tx: &mut Tx, find: FindId, author: PersonId) -> Result<Option<String>> {
    tx.sql(sql!("SELECT fields FROM opinion_draft WHERE find_id = $1 AND author_id = $2"))
        .bind(find.0)
        .bind(author.0)
        .cell()
        .await
}

/// Keeps a draft as typed.
pub async fn update_draft(
    tx: &mut Tx,
    find: FindId,
    author: PersonId,
    fields: &str,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO opinion_draft (find_id, author_id, fields, saved_at) VALUES ($1, $2, $3, $4)
         ON CONFLICT (find_id, author_id) DO UPDATE SET fields = excluded.fields, saved_at = excluded.saved_at"
    ))
    .bind(find.0)
    .bind(author.0)
    .bind(fields.to_owned())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// Takes a draft away.
pub async fn delete_draft(tx: &mut Tx, find: FindId, author: PersonId) -> Result<()> {
    tx.sql(sql!("DELETE FROM opinion_draft WHERE find_id = $1 AND author_id = $2"))
        .bind(find.0)
        .bind(author.0)
        .run()
        .await?;
    Ok(())
}
