//! Condition: an assessment, two of them side by side, the words of a project's scales.
mod create;
mod form;
pub(crate) mod show;
mod vocabulary;

use crate::routes::Routes;
use domain::permission::Action;

pub(super) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/condition/new", Action::RecordWork, create::new)
        .post("/projects/{project}/condition/new", Action::RecordWork, create::create)
        .get("/finds/{find}/condition", Action::ViewFind, show::show)
        .get("/projects/{project}/vocabulary/{scale}", Action::EditRoutes, vocabulary::edit)
        .post("/projects/{project}/vocabulary/{scale}", Action::EditRoutes, vocabulary::update)
}
