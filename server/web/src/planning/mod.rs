//! Today and the backlog: what waits, across all projects of a person.
mod backlog;
mod today;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/", Action::OwnAccount, today::start)
        .get(links::TODAY, Action::OwnAccount, today::show)
        .get(links::BACKLOG, Action::ViewBacklog, backlog::show)
        .post("/finds/{find}/clock-checks", Action::RecordWork, today::check_clock)
}

/// What a clock is called.
pub fn clock_word(kind: &str) -> &'static str {
    match kind {
        "wet" => "wet pack",
        "indicator" => "indicator check",
        "drying" => "drying",
        _ => "clock",
    }
}
