//! Finds: the list, the find page, what is done to many at once.
mod assign;
mod filter_form;
mod index;
mod saved_filter;
mod show;

pub(crate) use assign::load_chosen;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/finds", Action::ListFinds, index::index)
        .get("/projects/{project}/work/new", Action::RecordWork, index::choose_work)
        .post("/projects/{project}/filters", Action::ListFinds, saved_filter::create)
        .post("/projects/{project}/filters/{filter}/removal", Action::ListFinds, saved_filter::remove)
        .get("/projects/{project}/bench/new", Action::AssignBench, assign::new)
        .post("/projects/{project}/bench/new", Action::AssignBench, assign::create)
        .get("/finds/{find}", Action::ViewFind, show::show)
}
