//! Rounds: looking at wet packs, drying runs and indicators, on the screen or on paper, and the limits they go by.
//!
//! - `words`: how a clock stands, for every page and letter that speaks of it
//! - `form`: a round as typed
//! - `enter`: the one way looks are let in
mod enter;
mod form;
mod look;
mod pack;
mod paper;
mod round;
mod rule;
mod sheet;
pub mod words;

pub(crate) use pack::{is_wrong, what};

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get(links::ROUNDS, Action::RecordWork, round::new)
        .post(links::ROUNDS, Action::RecordWork, round::create)
        .post(links::ROUND_SHEETS, Action::RecordWork, sheet::create)
        .get("/rounds/sheets/{sheet}", Action::RecordWork, sheet::edit)
        .post("/rounds/sheets/{sheet}", Action::RecordWork, sheet::update)
        .get("/rounds/sheets/{sheet}/sheet.pdf", Action::RecordWork, paper::show)
        .post("/clocks/{clock}/looks", Action::RecordWork, look::create)
        .get("/projects/{project}/clocks", Action::ListFinds, rule::index)
        .get("/projects/{project}/clocks/rule", Action::EditRoutes, rule::edit)
        .post("/projects/{project}/clocks/rule", Action::EditRoutes, rule::update)
}
