//! Rows of specialists: a row for each find or part of it, in the columns of a discipline.
//!
//! - `disciplines`, `discipline`, `columns_form`: the columns, as a project keeps them
//! - `choice`: where a specialist chooses a discipline
//! - `grid`, `grid_page`: rows typed or pasted, kept as a draft, submitted
//! - `spreadsheet`, `returned`: the template to take away and its way back
//! - `package`: photographs, finds and template together
//! - `show`: rows as submitted; `of_find`: those of one find, on its page; `sums`: rows together, in words
mod choice;
mod columns_form;
mod discipline;
mod disciplines;
mod grid;
mod grid_page;
pub(crate) mod of_find;
mod package;
mod returned;
mod show;
mod spreadsheet;
pub(crate) mod sums;

use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::review::assignment::own;
use crate::routes::Routes;
use domain::ids::AssignmentId;
use domain::permission::Action;
use domain::rows::{FindAsked, TypedRow, TypedRows};
use store::Tx;
use store::review::assignments::Assignment;
use store::rows::disciplines::{self as kept_disciplines, Discipline};
use store::rows::drafts::{self, Draft};
use store::rows::lists;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/disciplines", Action::EditDisciplines, disciplines::index)
        .get("/projects/{project}/disciplines/new", Action::EditDisciplines, discipline::new)
        .post("/projects/{project}/disciplines/new", Action::EditDisciplines, discipline::create)
        .get("/projects/{project}/disciplines/{discipline}", Action::EditDisciplines, discipline::edit)
        .post("/projects/{project}/disciplines/{discipline}", Action::EditDisciplines, discipline::update)
        .get("/assignments/{assignment}/rows", Action::WriteOpinion, choice::index)
        .get("/assignments/{assignment}/rows/{discipline}", Action::WriteOpinion, grid::show)
        .post("/assignments/{assignment}/rows/{discipline}", Action::WriteOpinion, grid::save)
        .post("/assignments/{assignment}/rows/{discipline}/draft", Action::WriteOpinion, grid::keep)
        .get(
            "/assignments/{assignment}/rows/{discipline}/template.xlsx",
            Action::WriteOpinion,
            spreadsheet::template,
        )
        .upload("/assignments/{assignment}/rows/{discipline}/file", Action::WriteOpinion, returned::create)
        .get("/assignments/{assignment}/rows/{discipline}/package.zip", Action::WriteOpinion, package::show)
        .get("/row-lists/{row_list}", Action::ReadRows, show::show)
        .get("/row-lists/{row_list}/rows.csv", Action::ReadRows, show::csv)
        .get("/row-lists/{row_list}/rows.xlsx", Action::ReadRows, show::xlsx)
}

/// What a specialist's page of rows is about.
struct About {
    assignment: Assignment,
    discipline: Discipline,
    /// The finds of the assignment that are still shared.
    finds: Vec<FindAsked>,
    /// What each of them is called.
    names: Vec<String>,
    /// What licences ask for where these are handled, each once.
    licences: Vec<String>,
}

impl About {
    /// The assignment, if it is this person’s own, and the discipline of its project.
    async fn load(ctx: &Ctx, tx: &mut Tx, id: AssignmentId, code: &str) -> Answer<Self> {
        let assignment = own(ctx, tx, id).await?;
        let discipline =
            kept_disciplines::find(tx, assignment.project_id, code).await?.ok_or(AppError::NotFound)?;
        let listed = store::rows::list_finds(tx, id).await?;
        let mut licences: Vec<String> =
            listed.iter().map(|one| one.licence.clone()).filter(|words| !words.is_empty()).collect();
        licences.sort();
        licences.dedup();
        let (finds, names) = listed.into_iter().map(|one| (one.find, one.name)).unzip();
        Ok(Self { assignment, discipline, finds, names, licences })
    }

    /// The draft; without one the rows submitted last, to be revised; without these a row for each find.
    async fn draft(&self, tx: &mut Tx) -> Answer<Draft> {
        if let Some(draft) = drafts::find(tx, self.assignment.id, &self.discipline.code).await? {
            return Ok(draft);
        }
        let submitted = lists::list_of_assignment(tx, self.assignment.id).await?;
        let mut own = submitted.iter().filter(|list| list.discipline == self.discipline.code);
        let Some(list) = own.next() else { return Ok(self.fresh()) };
        let row = |line: lists::Line| TypedRow {
            find: line.number,
            sub_number: line.row.sub_number,
            cells: line.row.cells,
        };
        let rows = lists::list_lines(tx, list.id, true).await?.into_iter().map(row).collect();
        let columns = list.columns()?.into_iter().map(|column| column.code).collect();
        Ok(Draft { typed: TypedRows { columns, rows }, note: list.note.clone() })
    }

    fn fresh(&self) -> Draft {
        let row = |find: &FindAsked| TypedRow { find: find.number.clone(), ..TypedRow::default() };
        let columns = self.discipline.columns.iter().map(|column| column.code.clone()).collect();
        let rows = self.finds.iter().map(row).collect();
        Draft { typed: TypedRows { columns, rows }, note: String::new() }
    }
}
