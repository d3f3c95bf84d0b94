//! Specialists: assignments, their own finds, opinions side by side, settlement.
mod assignment;
mod bars;
pub(crate) mod dating;
mod my_finds;
mod opinion;
pub(crate) mod opinion_view;
mod settlement;
mod specialists;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/specialists", Action::ViewAssignments, specialists::index)
        .get("/projects/{project}/assignments/new", Action::AssignSpecialists, assignment::new)
        .post("/projects/{project}/assignments/new", Action::AssignSpecialists, assignment::create)
        .post("/assignments/{assignment}/closing", Action::AssignSpecialists, assignment::close)
        .get(links::MY_FINDS, Action::WriteOpinion, my_finds::index)
        .get("/finds/{find}/opinion", Action::WriteOpinion, opinion::edit)
        .post("/finds/{find}/opinion", Action::WriteOpinion, opinion::save)
        .get("/finds/{find}/opinions", Action::ViewOpinions, settlement::show)
        .post("/finds/{find}/settlements", Action::Settle, settlement::create)
}
