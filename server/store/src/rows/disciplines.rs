//! The disciplines of a project: those the program brings, as the project has changed them, and its own.
use super::{read, written};
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::ProjectId;
use domain::rows::{BROUGHT, Column};

/// A discipline with its columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Discipline {
    pub code: String,
    pub name: String,
    pub columns: Vec<Column>,
    /// 0 as long as it stands as the program brought it.
    pub revision: i64,
    /// Offered no more.
    pub withdrawn: bool,
}

#[derive(sqlx::FromRow)]
struct Row {
    code: String,
    name: String,
    column_list: String,
    revision: i64,
    withdrawn_at: Option<Instant>,
}

/// Every discipline, withdrawn ones among them: those the program brings first, then the own ones by name.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Discipline>> {
    let rows: Vec<Row> = tx
        .sql(sql!(
            "SELECT code, name, column_list, revision, withdrawn_at FROM discipline WHERE project_id = $1 ORDER BY name, code"
        ))
        .bind(project.0)
        .all()
        .await?;
    let mut own = rows.into_iter().map(kept).collect::<Result<Vec<Discipline>>>()?;
    let brought = BROUGHT.iter().map(|brought| {
        let changed = own.iter().position(|one| one.code == brought.code).map(|at| own.remove(at));
        changed.unwrap_or_else(|| Discipline {
            code: brought.code.into(),
            name: brought.name.into(),
            columns: brought.columns(),
            revision: 0,
            withdrawn: false,
        })
    });
    let mut all: Vec<Discipline> = brought.collect();
    all.append(&mut own);
    Ok(all)
}

fn kept(row: Row) -> Result<Discipline> {
    Ok(Discipline {
        columns: read(&row.column_list, "discipline.column_list")?,
        code: row.code,
        name: row.name,
        revision: row.revision,
        withdrawn: row.withdrawn_at.is_some(),
    })
}

/// The discipline of a code.
pub async fn find(tx: &mut Tx, project: ProjectId, code: &str) -> Result<Option<Discipline>> {
    Ok(list(tx, project).await?.into_iter().find(|one| one.code == code))
}

/// Keeps name and columns; `Changed` when somebody else did since that revision. A revision of 0 is kept for the first time.
pub async fn update(tx: &mut Tx, project: ProjectId, new: &Discipline, now: Instant) -> Result<()> {
    let columns = written(&new.columns, "discipline.column_list")?;
    let withdrawn_at = new.withdrawn.then(|| domain::cut(now));
    let statement = match new.revision {
        0 => tx.sql(sql!(
            "INSERT INTO discipline (project_id, code, name, column_list, withdrawn_at) VALUES ($1, $2, $3, $4, $5)
             ON CONFLICT (project_id, code) DO NOTHING"
        )),
        _ => tx.sql(sql!(
            "UPDATE discipline SET name = $3, column_list = $4, withdrawn_at = $5, revision = revision + 1
             WHERE project_id = $1 AND code = $2 AND revision = $6"
        )),
    };
    let statement = statement
        .bind(project.0)
        .bind(new.code.clone())
        .bind(new.name.clone())
        .bind(columns)
        .bind(withdrawn_at);
    let touched = match new.revision {
        0 => statement.run().await?,
        revision => statement.bind(revision).run().await?,
    };
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
