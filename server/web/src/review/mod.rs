//! Specialists: assignments, their own finds, opinions side by side, settlement.
mod assignment;
mod bars;
mod confirmation;
mod confirmation_mail;
pub(crate) mod dating;
mod entering;
mod my_finds;
mod opinion;
mod opinion_fields;
pub(crate) mod opinion_form;
mod opinion_page;
pub(crate) mod opinion_view;
mod reading;
mod received;
pub(crate) mod reminders;
pub(crate) mod reopened;
mod review_end;
mod settlement;
pub mod settlement_mail;
mod side_by_side;
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
        .get("/finds/{find}/opinion/reading", Action::WriteOpinion, reading::show)
        .get("/finds/{find}/opinions/reading", Action::ViewOpinions, reading::show)
        .get("/finds/{find}/received/new", Action::EnterOpinions, received::new)
        .upload("/finds/{find}/received/new", Action::EnterOpinions, received::create)
        .get("/received/{received}", Action::EnterOpinions, entering::edit)
        .post("/received/{received}", Action::EnterOpinions, entering::save)
        .post("/received/{received}/letter", Action::EnterOpinions, entering::remind)
        .get("/received/{received}/original", Action::ViewOpinions, received::original)
        .get("/confirmation/{token}", Action::Public, confirmation::open)
        .get(links::CONFIRMATION, Action::Public, confirmation::show)
        .post(links::CONFIRMATION, Action::Public, confirmation::create)
        .get("/finds/{find}/opinions", Action::ViewOpinions, settlement::show)
        .post("/finds/{find}/settlements", Action::Settle, settlement::create)
}
