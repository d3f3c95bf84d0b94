//! Today and the backlog: what waits, across all projects of a person.
mod backlog;
mod cleaning;
mod photographs;
mod questions;
pub(crate) mod today;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes.get("/", Action::OwnStart, today::start).get(links::TODAY, Action::OwnStart, today::show).get(
        links::BACKLOG,
        Action::ViewBacklog,
        backlog::show,
    )
}
