//! What an opinion holds several of: ranges of years, joint authors, parallels, recommendations, finds it covers.
use crate::{Result, Tx, sql};
use domain::ids::{FindId, OpinionId, PersonId, ProjectId};
use domain::review::Years;
use domain::review::opinion::{DateKind, Dated, Likenesses, Weight};
use std::collections::HashMap;
use uuid::Uuid;

/// Everything of an opinion that stands in rows of its own, in its order.
#[derive(Debug, Clone, Default)]
pub struct Parts {
    pub dates: Vec<DateLine>,
    /// Besides the author who submitted it.
    pub joint: Vec<JointAuthor>,
    pub parallels: Vec<Parallel>,
    pub recommendations: Vec<Recommendation>,
    /// The other finds that the same opinion covers.
    pub covers: Vec<Covered>,
}

/// One range of years; ranges of the same words have the same statement.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct DateLine {
    pub statement: i64,
    /// As written.
    pub words: String,
    #[sqlx(try_from = "String")]
    pub kind: DateKind,
    #[sqlx(rename = "likelihood", try_from = "String")]
    pub weight: Weight,
    /// Astronomical years, 0 being 1 BC.
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    /// How the words were read, in words.
    pub rule: String,
}

impl DateLine {
    /// The range alone.
    pub fn dated(&self) -> Dated {
        let years = Years { lo: self.date_lo, hi: self.date_hi };
        Dated { kind: self.kind, weight: self.weight, years }
    }
}

/// An author besides the one who submitted, with an account or without.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct JointAuthor {
    pub person_id: Option<Uuid>,
    pub name: String,
    pub qualification: String,
}

/// A find of somebody else that is like this one.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Parallel {
    pub citation: String,
    /// Page, number, figure.
    pub at_place: String,
    #[sqlx(try_from = "String")]
    pub likeness: Likenesses,
    pub date_words: String,
    /// What the date of the parallel itself rests on.
    pub date_basis: String,
}

/// What should be done with the find next.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Recommendation {
    pub action: String,
    pub reason: String,
    pub days: Option<f64>,
    /// In the currency of the project.
    pub cost: Option<f64>,
}

/// Another find of the same opinion.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Covered {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
}

/// Keeps the parts of an opinion.
pub(super) async fn insert(tx: &mut Tx, id: OpinionId, parts: &Parts) -> Result<()> {
    for (position, date) in (1_i64..).zip(&parts.dates) {
        tx.sql(sql!(
            "INSERT INTO opinion_date (opinion_id, position, statement, words, kind, likelihood, date_lo, date_hi, rule)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)"
        ))
        .bind(id.0)
        .bind(position)
        .bind(date.statement)
        .bind(date.words.clone())
        .bind(date.kind.code())
        .bind(date.weight.code())
        .bind(date.date_lo)
        .bind(date.date_hi)
        .bind(date.rule.clone())
        .run()
        .await?;
    }
    for (position, author) in (1_i64..).zip(&parts.joint) {
        tx.sql(sql!(
            "INSERT INTO opinion_joint (opinion_id, position, person_id, name, qualification) VALUES ($1, $2, $3, $4, $5)"
        ))
        .bind(id.0)
        .bind(position)
        .bind(author.person_id)
        .bind(author.name.clone())
        .bind(author.qualification.clone())
        .run()
        .await?;
    }
    for (position, parallel) in (1_i64..).zip(&parts.parallels) {
        tx.sql(sql!(
            "INSERT INTO opinion_parallel (opinion_id, position, citation, at_place, likeness, date_words, date_basis)
             VALUES ($1, $2, $3, $4, $5, $6, $7)"
        ))
        .bind(id.0)
        .bind(position)
        .bind(parallel.citation.clone())
        .bind(parallel.at_place.clone())
        .bind(parallel.likeness.code())
        .bind(parallel.date_words.clone())
        .bind(parallel.date_basis.clone())
        .run()
        .await?;
    }
    for (position, advice) in (1_i64..).zip(&parts.recommendations) {
        tx.sql(sql!(
            "INSERT INTO opinion_recommendation (opinion_id, position, action, reason, days, cost)
             VALUES ($1, $2, $3, $4, $5, $6)"
        ))
        .bind(id.0)
        .bind(position)
        .bind(advice.action.clone())
        .bind(advice.reason.clone())
        .bind(advice.days)
        .bind(advice.cost)
        .run()
        .await?;
    }
    Ok(())
}

/// A row with the opinion it belongs to.
#[derive(sqlx::FromRow)]
struct Of<T> {
    #[sqlx(try_from = "Uuid")]
    opinion_id: OpinionId,
    #[sqlx(flatten)]
    row: T,
}

/// Whose opinions are asked for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Whose {
    /// Every version on a find.
    Find(FindId),
    /// The standing ones of a project.
    Project(ProjectId),
    /// Every version that a person is an author of.
    Author(PersonId),
}

/// The rows of one kind, read for a find or for a project in the same words.
macro_rules! rows {
    ($tx:expr, $whose:expr, $columns:literal, $from:literal) => {
        match $whose {
            Whose::Find(find) => {
                $tx.sql(sql!(concat!(
                    "SELECT r.opinion_id, ",
                    $columns,
                    " FROM opinion o JOIN ",
                    $from,
                    " WHERE o.find_id = $1 ORDER BY r.opinion_id, r.position"
                )))
                .bind(find.0)
                .all()
                .await?
            }
            Whose::Project(project) => {
                $tx.sql(sql!(concat!(
                    "SELECT r.opinion_id, ",
                    $columns,
                    " FROM find f JOIN opinion o ON o.find_id = f.id JOIN ",
                    $from,
                    " WHERE f.project_id = $1 AND o.superseded_at IS NULL ORDER BY r.opinion_id, r.position"
                )))
                .bind(project.0)
                .all()
                .await?
            }
            Whose::Author(author) => {
                $tx.sql(sql!(concat!(
                    "SELECT r.opinion_id, ",
                    $columns,
                    " FROM opinion o JOIN ",
                    $from,
                    " WHERE o.author_id = $1 OR o.id IN (SELECT j.opinion_id FROM opinion_joint j WHERE j.person_id = $1)
                     ORDER BY r.opinion_id, r.position"
                )))
                .bind(author.0)
                .all()
                .await?
            }
        }
    };
}

/// The parts of opinions, by opinion.
pub(super) async fn list(tx: &mut Tx, whose: Whose) -> Result<HashMap<OpinionId, Parts>> {
    let mut all: HashMap<OpinionId, Parts> = HashMap::new();
    let dates: Vec<Of<DateLine>> = rows!(
        tx,
        whose,
        "r.statement, r.words, r.kind, r.likelihood, r.date_lo, r.date_hi, r.rule",
        "opinion_date r ON r.opinion_id = o.id"
    );
    dates.into_iter().for_each(|of| all.entry(of.opinion_id).or_default().dates.push(of.row));
    let joint: Vec<Of<JointAuthor>> =
        rows!(tx, whose, "r.person_id, r.name, r.qualification", "opinion_joint r ON r.opinion_id = o.id");
    joint.into_iter().for_each(|of| all.entry(of.opinion_id).or_default().joint.push(of.row));
    let parallels: Vec<Of<Parallel>> = rows!(
        tx,
        whose,
        "r.citation, r.at_place, r.likeness, r.date_words, r.date_basis",
        "opinion_parallel r ON r.opinion_id = o.id"
    );
    parallels.into_iter().for_each(|of| all.entry(of.opinion_id).or_default().parallels.push(of.row));
    let advice: Vec<Of<Recommendation>> = rows!(
        tx,
        whose,
        "r.action, r.reason, r.days, r.cost",
        "opinion_recommendation r ON r.opinion_id = o.id"
    );
    advice.into_iter().for_each(|of| all.entry(of.opinion_id).or_default().recommendations.push(of.row));
    for of in covered(tx, whose).await? {
        all.entry(of.opinion_id).or_default().covers.push(of.row);
    }
    Ok(all)
}

/// The other finds of the same opinion; a restricted one is named only where the find itself is restricted.
async fn covered(tx: &mut Tx, whose: Whose) -> Result<Vec<Of<Covered>>> {
    match whose {
        Whose::Find(find) => {
            tx.sql(sql!(
                "SELECT o.id AS opinion_id, c.find_id, n.number
                 FROM opinion o JOIN find f ON f.id = o.find_id
                 JOIN opinion c ON c.covering = o.covering AND c.find_id <> o.find_id JOIN find n ON n.id = c.find_id
                 WHERE o.find_id = $1 AND (f.restricted OR NOT n.restricted) ORDER BY o.id, n.sort_key, n.id"
            ))
            .bind(find.0)
            .all()
            .await
        }
        Whose::Project(project) => {
            tx.sql(sql!(
                "SELECT o.id AS opinion_id, c.find_id, n.number
                 FROM find f JOIN opinion o ON o.find_id = f.id
                 JOIN opinion c ON c.covering = o.covering AND c.find_id <> o.find_id JOIN find n ON n.id = c.find_id
                 WHERE f.project_id = $1 AND o.superseded_at IS NULL AND (f.restricted OR NOT n.restricted)
                 ORDER BY o.id, n.sort_key, n.id"
            ))
            .bind(project.0)
            .all()
            .await
        }
        // taken away as a list, where each find has its own row
        Whose::Author(_) => Ok(Vec::new()),
    }
}
