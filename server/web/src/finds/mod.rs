//! Finds: the list, the find page, what is done to many at once.
mod assign;
mod chosen;
mod edit;
mod elsewhere;
mod export;
pub(crate) mod facts;
mod filter_form;
mod filter_words;
mod form;
mod group;
mod index;
mod quantity;
mod register;
mod saved_filter;
mod show;

pub(crate) use chosen::{Chosen, cautions, load_chosen};
pub(crate) use export::{download, harmless};
pub(crate) use filter_form::FilterForm;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/finds", Action::ListFinds, index::index)
        .get("/projects/{project}/finds.csv", Action::TakeLists, export::csv)
        .get("/projects/{project}/finds.xlsx", Action::TakeLists, export::xlsx)
        .get("/projects/{project}/work/new", Action::RecordWork, index::choose_work)
        .post("/projects/{project}/filters", Action::TakeLists, saved_filter::create)
        .post("/projects/{project}/filters/{filter}/removal", Action::TakeLists, saved_filter::remove)
        .get("/projects/{project}/bench/new", Action::AssignBench, assign::new)
        .post("/projects/{project}/bench/new", Action::AssignBench, assign::create)
        .get("/projects/{project}/finds/new", Action::RegisterFinds, register::new)
        .post("/projects/{project}/finds/new", Action::RegisterFinds, register::create)
        .get("/finds/{find}/edit", Action::RegisterFinds, edit::edit)
        .post("/finds/{find}/edit", Action::RegisterFinds, edit::update)
        .get("/finds/{find}/splits/new", Action::RegisterFinds, quantity::new_split)
        .post("/finds/{find}/splits/new", Action::RegisterFinds, quantity::split)
        .get("/finds/{find}/joins/new", Action::RegisterFinds, quantity::new_join)
        .post("/finds/{find}/joins/new", Action::RegisterFinds, quantity::join)
        .get("/finds/{find}/void/new", Action::RegisterFinds, quantity::new_void)
        .post("/finds/{find}/void/new", Action::RegisterFinds, quantity::void)
        .post("/finds/{find}/groups", Action::RegisterFinds, group::join)
        .post("/finds/{find}/groups/{group}/removal", Action::RegisterFinds, group::leave)
        .get("/finds/{find}", Action::ViewFind, show::show)
}
