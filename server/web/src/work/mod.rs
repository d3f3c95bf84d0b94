//! Work at the bench: records, marks on the route, holds, lifted gates, authorisations.
//!
//! - [`enter`]: the one way a record or a mark is let in
mod again;
mod authorisation;
mod bench_view;
mod beyond;
pub(crate) mod clock;
mod condition;
pub mod enter;
mod examination;
mod form;
mod forms;
pub(crate) mod hold;
mod level_form;
mod level_mail;
mod lift;
mod mark;
mod recheck;
mod record;
mod route;
pub(crate) mod site_map;
mod solvents;
mod standing;
mod step_form;
pub(crate) mod step_words;
mod test_form;
pub(crate) mod test_words;
mod tests;

pub(crate) use again::repeats;
pub(crate) use condition::show::{AssessmentView, latest as latest_assessment};
pub(crate) use examination::show::ExaminationView;
pub(crate) use record::{StoppedLine, stopped_line};

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    let routes = examination::routes(condition::routes(routes));
    routes
        .get("/projects/{project}/work/{stage}/new", Action::RecordWork, record::new)
        .post("/projects/{project}/work/{stage}/new", Action::RecordWork, record::create)
        .get("/projects/{project}/marks/new", Action::RecordWork, mark::new)
        .post("/projects/{project}/marks/new", Action::RecordWork, mark::create)
        .get("/finds/{find}/tests", Action::ViewFind, tests::index)
        .get("/tests/{test}/recheck", Action::RecordWork, recheck::new)
        .post("/tests/{test}/recheck", Action::RecordWork, recheck::create)
        .get("/solvents", Action::ViewFind, solvents::index)
        .get("/projects/{project}/beyond", Action::ListFinds, beyond::index)
        .get("/records/{record}/authorisation", Action::AuthoriseWork, authorisation::show)
        .post("/records/{record}/authorisation", Action::AuthoriseWork, authorisation::create)
        .get("/finds/{find}/holds/new", Action::HoldFinds, hold::new)
        .post("/finds/{find}/holds/new", Action::HoldFinds, hold::create)
        .post("/holds/{hold}/release", Action::HoldFinds, hold::release)
        .get("/finds/{find}/lifts/{gate}/new", Action::LiftGate, lift::new)
        .post("/finds/{find}/lifts/{gate}/new", Action::LiftGate, lift::create)
        .get("/finds/{find}/route", Action::EditRoutes, route::edit)
        .post("/finds/{find}/route", Action::EditRoutes, route::update)
        .get("/projects/{project}/standing", Action::AuthoriseWork, standing::index)
        .post("/projects/{project}/standing", Action::AuthoriseWork, standing::create)
        .post("/projects/{project}/standing/{standing}/withdrawal", Action::AuthoriseWork, standing::withdraw)
}

/// A stage’s name from its stored word.
pub(crate) fn stage_label(code: &str) -> &'static str {
    code.parse::<domain::stages::Stage>().map_or("", domain::stages::Stage::label)
}
