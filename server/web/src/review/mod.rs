//! Specialists: assignments, their own finds, opinions side by side, settlement.
mod answering;
mod asking;
pub(crate) mod assignment;
mod assignment_change;
mod assignment_form;
mod bars;
mod confirmation;
mod confirmation_mail;
pub(crate) mod dating;
mod desk_find;
mod entering;
mod my_finds;
mod opinion;
mod opinion_fields;
pub(crate) mod opinion_form;
mod opinion_page;
pub(crate) mod opinion_view;
mod own_opinions;
mod reading;
mod received;
pub(crate) mod reminders;
pub(crate) mod reopened;
mod review_end;
mod settlement;
pub mod settlement_mail;
mod side_by_side;
mod specialists;
mod statement;
mod terms_words;
mod thread_view;
mod worked_days;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/specialists", Action::ViewAssignments, specialists::index)
        .get("/projects/{project}/assignments/new", Action::AssignSpecialists, assignment::new)
        .post("/projects/{project}/assignments/new", Action::AssignSpecialists, assignment::create)
        .get("/assignments/{assignment}/edit", Action::AssignSpecialists, assignment_change::edit)
        .post("/assignments/{assignment}/edit", Action::AssignSpecialists, assignment_change::update)
        .post("/assignments/{assignment}/closing", Action::AssignSpecialists, assignment::close)
        .get("/assignments/{assignment}/days", Action::WriteOpinion, worked_days::index)
        .post("/assignments/{assignment}/days", Action::WriteOpinion, worked_days::create)
        .post("/worked-days/{worked_day}/withdrawal", Action::WriteOpinion, worked_days::withdraw)
        .get("/assignments/{assignment}/statement", Action::WriteOpinion, statement::show)
        .get("/assignments/{assignment}/statement.pdf", Action::WriteOpinion, statement::pdf)
        .get("/my-opinions.csv", Action::OwnAccount, own_opinions::csv)
        .get("/my-opinions.xlsx", Action::OwnAccount, own_opinions::xlsx)
        .get(links::MY_FINDS, Action::WriteOpinion, my_finds::index)
        .get("/finds/{find}/opinion", Action::WriteOpinion, opinion::edit)
        .post("/finds/{find}/opinion", Action::WriteOpinion, opinion::save)
        .post("/finds/{find}/opinion/draft", Action::WriteOpinion, opinion::keep)
        .get("/finds/{find}/questions", Action::AnswerQuestions, answering::index)
        .post("/finds/{find}/questions", Action::WriteOpinion, asking::create)
        .post("/finds/{find}/answers", Action::AnswerQuestions, answering::create)
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
