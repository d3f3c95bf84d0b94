//! Opinions: a draft is its author's alone; a submitted one is never edited, a revision is a new version.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{AssignmentId, FindId, OpinionId, PersonId, ProjectId};
use domain::review::{Finality, SeenAs};
use uuid::Uuid;

/// An opinion to be submitted.
#[derive(Debug, Clone)]
pub struct NewOpinion {
    pub find: FindId,
    pub assignment: Option<AssignmentId>,
    pub finality: Finality,
    pub identification: String,
    pub material_words: String,
    pub date_words: String,
    /// Astronomical years, 0 being 1 BC.
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    /// How the words were read, in words.
    pub date_rule: String,
    pub parallels: String,
    pub basis: String,
    pub seen_as: SeenAs,
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
    pub material_words: String,
    pub date_words: String,
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    pub date_rule: String,
    pub parallels: String,
    pub basis: String,
    #[sqlx(try_from = "String")]
    pub seen_as: SeenAs,
    pub submitted_at: Instant,
    pub superseded_at: Option<Instant>,
}

/// Submits an opinion as the author's next version, superseding the one before and taking the draft away.
pub async fn insert(tx: &mut Tx, new: &NewOpinion, author: PersonId, now: Instant) -> Result<OpinionId> {
    let id = OpinionId::new(now);
    let last: Option<Option<i64>> = tx
        .sql(sql!("SELECT MAX(version) FROM opinion WHERE find_id = $1 AND author_id = $2"))
        .bind(new.find.0)
        .bind(author.0)
        .cell()
        .await?;
    tx.sql(sql!(
        "UPDATE opinion SET superseded_at = $3 WHERE find_id = $1 AND author_id = $2 AND superseded_at IS NULL"
    ))
    .bind(new.find.0)
    .bind(author.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    tx.sql(sql!(
        "INSERT INTO opinion (id, find_id, assignment_id, author_id, version, finality, identification, material_words,
            date_words, date_lo, date_hi, date_rule, parallels, basis, seen_as, submitted_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.assignment.map(Uuid::from))
    .bind(author.0)
    .bind(last.flatten().unwrap_or(0) + 1)
    .bind(new.finality.code())
    .bind(new.identification.clone())
    .bind(new.material_words.clone())
    .bind(new.date_words.clone())
    .bind(new.date_lo)
    .bind(new.date_hi)
    .bind(new.date_rule.clone())
    .bind(new.parallels.clone())
    .bind(new.basis.clone())
    .bind(new.seen_as.code())
    .bind(domain::cut(now))
    .run()
    .await?;
    delete_draft(tx, new.find, author).await?;
    crate::finds::refresh_search(tx, new.find).await?;
    Ok(id)
}

/// The submitted opinions on a find, superseded ones among them: each author's versions together, the latest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Opinion>> {
    tx.sql(sql!(
        "SELECT o.id, o.find_id, o.author_id, p.name AS author_name, p.qualification, o.version, o.finality,
            o.identification, o.material_words, o.date_words, o.date_lo, o.date_hi, o.date_rule, o.parallels, o.basis,
            o.seen_as, o.submitted_at, o.superseded_at
         FROM opinion o JOIN person p ON p.id = o.author_id WHERE o.find_id = $1 ORDER BY p.name, p.id, o.version DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The standing opinions of a project, by find: for the report.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Opinion>> {
    tx.sql(sql!(
        "SELECT o.id, o.find_id, o.author_id, p.name AS author_name, p.qualification, o.version, o.finality,
            o.identification, o.material_words, o.date_words, o.date_lo, o.date_hi, o.date_rule, o.parallels, o.basis,
            o.seen_as, o.submitted_at, o.superseded_at
         FROM find f JOIN opinion o ON o.find_id = f.id JOIN person p ON p.id = o.author_id
         WHERE f.project_id = $1 AND o.superseded_at IS NULL ORDER BY f.sort_key, p.name, p.id"
    ))
    .bind(project.0)
    .all()
    .await
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
