//! Contexts: the table, one context, its form with the relations to its neighbours.
mod form;
mod index;
mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/contexts", Action::ViewContexts, index::index)
        .get("/projects/{project}/contexts/new", Action::EditContexts, form::new)
        .post("/projects/{project}/contexts/new", Action::EditContexts, form::create)
        .get("/contexts/{context}", Action::ViewContexts, show::show)
        .get("/contexts/{context}/edit", Action::EditContexts, form::edit)
        .post("/contexts/{context}/edit", Action::EditContexts, form::update)
}
