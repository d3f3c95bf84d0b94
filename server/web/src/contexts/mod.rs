//! Contexts: the table, one context, its form with the relations to its neighbours, what dates it, the diagram.
//!
//! - `site`: the one computation of a project's dates
//! - `dated`, `words`: what it says of a context
//! - `shared`: what a specialist sees of it beside a find
//! - `judgement`, `fixed_year`: what people say of finds and contexts, each to be withdrawn
//! - `diagram`, `drawing`: the stratigraphic diagram
mod dated;
mod diagram;
mod drawing;
mod fixed_year;
mod form;
mod index;
mod judgement;
pub(crate) mod shared;
mod show;
mod site;
pub(crate) mod termini;
mod words;

pub(crate) use words::circle;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/contexts", Action::ViewContexts, index::index)
        .get("/projects/{project}/contexts/new", Action::EditContexts, form::new)
        .post("/projects/{project}/contexts/new", Action::EditContexts, form::create)
        .get("/projects/{project}/diagram", Action::ViewContexts, diagram::show)
        .get("/contexts/{context}", Action::ViewContexts, show::show)
        .get("/contexts/{context}/edit", Action::EditContexts, form::edit)
        .post("/contexts/{context}/edit", Action::EditContexts, form::update)
        .get("/contexts/{context}/fixed-years/new", Action::EditContexts, fixed_year::new)
        .post("/contexts/{context}/fixed-years/new", Action::EditContexts, fixed_year::create)
        .get("/fixed-years/{fixed_year}/withdrawal", Action::EditContexts, fixed_year::ask_why)
        .post("/fixed-years/{fixed_year}/withdrawal", Action::EditContexts, fixed_year::withdraw)
        .get("/finds/{find}/judgements/new", Action::EditContexts, judgement::new)
        .post("/finds/{find}/judgements/new", Action::EditContexts, judgement::create)
        .get("/judgements/{judgement}/withdrawal", Action::EditContexts, judgement::ask_why)
        .post("/judgements/{judgement}/withdrawal", Action::EditContexts, judgement::withdraw)
}
